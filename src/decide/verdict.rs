//! The verdict with its reasons, and the one function that can make it.

use serde::Serialize;

use super::answers::{Answer, Check};
use super::case::Case;
use super::findings::{Call, Finding, NextAct, Notice, Reason};
use super::limits::limits;
use super::standing::{CheckState, Standing};
use super::{size, times, topics};
use crate::rules::choose::{source_age_years, staleness};
use crate::rules::pack::{ANY_CRAB, OwnNote};
use crate::rules::{FactRef, Topic};

/// What a decision gives: the next check, or a verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Something that matters is still open.
    Open {
        /// The check to make next.
        next: Check,
        /// Things to know besides.
        notices: Vec<Notice>,
    },
    /// It is settled.
    Settled(Verdict),
}

impl Outcome {
    /// The verdict, where it is settled.
    pub fn verdict(&self) -> Option<&Verdict> {
        match self {
            Self::Open { .. } => None,
            Self::Settled(verdict) => Some(verdict),
        }
    }
}

/// Keep, release or gauge, with the reasons. Only [`decide`] makes one, and there is no way to read one
/// back from a file: what is stored are the case's parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    call: Call,
    reasons: Vec<Reason>,
    acts: Vec<NextAct>,
    notices: Vec<Notice>,
}

impl Verdict {
    /// The call.
    pub fn call(&self) -> Call {
        self.call
    }

    /// The word of the verdict: what must not be put back is not called a release, and where only the official rule
    /// is left to be read, no gauge is asked for.
    pub fn word(&self) -> &'static str {
        let is_gauged = |act: &NextAct| matches!(act, NextAct::UseGauge { .. });
        match self.call {
            Call::Release if self.acts.contains(&NextAct::DoNotPutBack) => "Do not keep it",
            Call::Gauge if !self.acts.iter().any(is_gauged) => "Look up the rule",
            call => call.word(),
        }
    }

    /// The reasons, the deciding one first.
    pub fn reasons(&self) -> &[Reason] {
        &self.reasons
    }

    /// What to do next, in order.
    pub fn acts(&self) -> &[NextAct] {
        &self.acts
    }

    /// Things to know besides.
    pub fn notices(&self) -> &[Notice] {
        &self.notices
    }
}

/// Decides one crab: the next check, or a verdict.
pub fn decide(case: &Case<'_>) -> Outcome {
    let (standings, mut notices) = stand(case);
    let find = |wanted: fn(&Standing) -> bool| standings.iter().filter(move |(_, standing)| wanted(standing));
    let reasons_of = |wanted: fn(&Standing) -> bool| -> Vec<Reason> {
        find(wanted).filter_map(|(_, standing)| reason_of(standing)).collect()
    };
    let fails = reasons_of(|standing| matches!(standing, Standing::Fails(_)));
    if !fails.is_empty() {
        // What the agency wants of an invasive crab comes before letting it go.
        let mut acts = topics::invasive_acts(case);
        acts.extend(topics::release_acts(case, &fails));
        return settle(case, Call::Release, fails, acts, notices);
    }
    let unsure: Vec<Check> = find(|standing| matches!(standing, Standing::Unsure(_)))
        .filter_map(|(_, standing)| if let Standing::Unsure(check) = standing { Some(*check) } else { None })
        .collect();
    if let Some(&first) = unsure.first() {
        let reasons =
            unsure.iter().map(|&check| Reason { finding: Finding::NotSure { check }, rule: None }).collect();
        let acts = vec![NextAct::LookAgain { check: first }, NextAct::ReleaseGently];
        return settle(case, Call::Release, reasons, acts, notices);
    }
    let open = find(|standing| matches!(standing, Standing::Open(_)))
        .filter_map(|(_, standing)| if let Standing::Open(check) = standing { Some(*check) } else { None })
        .min();
    if let Some(next) = open {
        return Outcome::Open { next, notices };
    }
    let mut left: Vec<Reason> = reasons_of(|standing| matches!(standing, Standing::Gauge(_)));
    let unclear = reasons_of(|standing| matches!(standing, Standing::Unclear(..)));
    let mut meets = reasons_of(|standing| matches!(standing, Standing::Meets(_)));
    // The size, checked last, is what decides among crabs that passed the rest.
    meets.reverse();
    if left.is_empty() && unclear.is_empty() {
        let mut acts = topics::keep_acts(case);
        acts.extend(topics::invasive_acts(case));
        return settle(case, Call::Keep, meets, acts, notices);
    }
    let mut facts: Vec<FactRef> = Vec::new();
    let mut acts = Vec::new();
    for (_, standing) in &standings {
        if let Standing::Unclear(reason, confirmable) = standing {
            facts
                .extend(confirmable.iter().filter(|fact| !facts.contains(fact)).cloned().collect::<Vec<_>>());
            match reason.finding {
                Finding::NotKnown { topic } => acts.push(NextAct::LookUp { topic }),
                Finding::LimitForSome { .. } => acts.push(NextAct::LookUp { topic: Topic::Limit }),
                Finding::PartsDiffer { .. } => acts.push(NextAct::ChoosePart),
                _ => {}
            }
        }
    }
    if !left.is_empty() {
        acts.insert(0, size::gauge_act(case));
    }
    if !facts.is_empty() {
        acts.push(NextAct::ConfirmRule { facts });
    }
    acts.extend(topics::invasive_acts(case));
    notices.dedup();
    left.extend(unclear);
    left.extend(meets);
    settle(case, Call::Gauge, left, acts, notices)
}

/// The check to make next; `None` when it is settled.
pub fn next_check(case: &Case<'_>) -> Option<Check> {
    match decide(case) {
        Outcome::Open { next, .. } => Some(next),
        Outcome::Settled(_) => None,
    }
}

/// The state of every check, for a list.
pub fn checks(case: &Case<'_>) -> Vec<(Check, CheckState)> {
    let (standings, _) = stand(case);
    let state = |standing: &Standing| match standing {
        Standing::Silent => CheckState::Passed,
        Standing::Meets(_) => CheckState::Passed,
        Standing::Fails(_) => CheckState::Failed,
        Standing::Open(_) => CheckState::Open,
        Standing::Unsure(_) => CheckState::Unsure,
        Standing::Unclear(..) | Standing::Gauge(_) => CheckState::Undecided,
    };
    let asks = |standing: &Standing, check: Check| matches!(standing, Standing::Open(asked) | Standing::Unsure(asked) if *asked == check);
    Check::ALL
        .into_iter()
        .map(|check| {
            let own = standings.iter().find(|(about, _)| *about == Some(check)).map(|(_, own)| own);
            // Another topic may need this check's answer (a size that differs by sex).
            let asked = standings.iter().map(|(_, standing)| standing).find(|other| asks(other, check));
            let found = match (asked, own) {
                (Some(asked), _) => state(asked),
                // Where nothing depends on it, "not sure" is no answer either.
                (None, Some(Standing::Silent)) if !topics::is_sure(case, check) => CheckState::NotNeeded,
                (None, Some(own)) => state(own),
                (None, None) if topics::is_sure(case, check) => CheckState::Passed,
                (None, None) => CheckState::NotNeeded,
            };
            (check, found)
        })
        .collect()
}

/// How the crab stands to every topic, in the order in which reasons are told.
fn stand(case: &Case<'_>) -> (Vec<(Option<Check>, Standing)>, Vec<Notice>) {
    let mut notices = general_notices(case);
    let mut standings = Vec::new();
    let is_this_kind = matches!(&case.answers.kind, Answer::Given(kind) if *kind == case.rule.species);
    let kind = match &case.answers.kind {
        Answer::NotSure => Standing::Unsure(Check::Kind),
        _ if is_this_kind && case.rule.species != ANY_CRAB => topics::kind(case),
        _ => Standing::Open(Check::Kind),
    };
    standings.push((Some(Check::Kind), kind));
    standings.push((Some(Check::Season), times::season(case, &mut notices)));
    if is_this_kind {
        standings.push((None, limits(case, &mut notices)));
        standings.push((Some(Check::Sex), topics::sex(case)));
        standings.push((Some(Check::Eggs), topics::eggs(case, &mut notices)));
        standings.push((Some(Check::Shell), topics::shell(case)));
        standings.push((Some(Check::Claws), topics::parts(case)));
        standings.push((Some(Check::Size), size::size(case, &mut notices)));
    }
    (standings, notices)
}

fn reason_of(standing: &Standing) -> Option<Reason> {
    match standing {
        Standing::Meets(reason)
        | Standing::Fails(reason)
        | Standing::Gauge(reason)
        | Standing::Unclear(reason, _) => Some(reason.clone()),
        Standing::Silent | Standing::Open(_) | Standing::Unsure(_) => None,
    }
}

/// Makes the verdict: the only place that does.
fn settle(
    case: &Case<'_>,
    call: Call,
    reasons: Vec<Reason>,
    acts: Vec<NextAct>,
    mut notices: Vec<Notice>,
) -> Outcome {
    let mut oldest: Option<(i16, String)> = None;
    for reason in &reasons {
        let Some(rule) = &reason.rule else { continue };
        if let Some((who, when)) = &rule.confirmed {
            push_new(&mut notices, Notice::ConfirmedBy { who: who.clone(), when: *when });
        }
        if let Some(source) = &rule.source
            && let Some(years) = source_age_years(source, case.date).filter(|&years| years > 1)
        {
            oldest = oldest.max(Some((years, source.title.clone())));
        }
    }
    notices.extend(oldest.map(|(years, title)| Notice::SourceOld { years, title }));
    if call == Call::Release {
        // Nothing is kept: the limit and the hours are for another crab.
        notices.retain(Notice::matters_at_release);
    }
    let mut unique = Vec::new();
    for act in acts {
        if !unique.contains(&act) {
            unique.push(act);
        }
    }
    Outcome::Settled(Verdict { call, reasons, acts: unique, notices })
}

fn general_notices(case: &Case<'_>) -> Vec<Notice> {
    let mut notices = Vec::new();
    if let Some(own) = &case.rule.own {
        let OwnNote { who, when, why } = own.clone();
        notices.push(Notice::OwnRule { who, when, why });
    }
    let stale = staleness(case.rule.checked, case.rule.season, case.date);
    notices.extend(stale.into_iter().map(Notice::PackStale));
    notices
}

fn push_new(notices: &mut Vec<Notice>, notice: Notice) {
    if !notices.contains(&notice) {
        notices.push(notice);
    }
}
