//! Every topic of a rule but size, times and limits: how the crab stands to it.

use serde::Serialize;

use super::answers::{Answer, Check, Eggs, Parts};
use super::case::Case;
use super::findings::{CitedRule, Finding, NextAct, Notice, Reason};
use super::standing::{Fit, Standing, is_firm, worst};
use crate::rules::facts::{Duty, EggRule, Invasive, PartsRule, RecordTime, SexRule, ShellRule, Take};
use crate::rules::when::{Maturity, Sex, Stage};
use crate::rules::words::InWords;
use crate::rules::{Cited, FactRef, Topic};

/// Whether the kind may be taken here at all.
pub(super) fn kind(case: &Case<'_>) -> Standing {
    let facts = &case.rule.facts;
    let species = case.rule.species_name.clone();
    let mut standings: Vec<Standing> = Vec::new();
    for fact in &facts.invasive {
        let Some(duty) = fact.known() else { continue };
        let rule = case.cite_words(Topic::Invasive, fact);
        let finding = Finding::Invasive { species: species.clone(), words: duty.in_words() };
        standings.push(match duty.keep {
            Duty::MustNot => forbids(case, finding, rule),
            // Unknown duties are never a leave to keep.
            Duty::NotStated => unclear(case, Topic::Invasive, None),
            Duty::May | Duty::Must => permits(case, finding, rule),
        });
    }
    let finding = Finding::MayNotBeTaken { species: species.clone() };
    standings.extend(judge(case, Topic::Take, &facts.take, |take, rule| match take {
        Take::Forbidden => forbids(case, finding.clone(), rule),
        Take::Allowed if is_firm(&rule) => Standing::Silent,
        Take::Allowed => not_confirmed(case, rule),
    }));
    if !case.rule.is_named {
        let finding = Finding::NoRuleForThisKind { species };
        standings.push(Standing::Fails(Reason { finding, rule: None }));
    }
    worst(standings)
}

/// Sex, and maturity where the rule asks for it.
pub(super) fn sex(case: &Case<'_>) -> Standing {
    let answers = case.answers;
    let fits = |found: &str, rule: CitedRule, is_strictest: bool| {
        let finding = Finding::SexFits { found: found.to_owned() };
        if is_strictest {
            Standing::Meets(Reason { finding, rule: Some(rule) })
        } else {
            permits(case, finding, rule)
        }
    };
    let wrong = |found: &str, rule: CitedRule| {
        let finding = Finding::WrongSex { found: found.to_owned() };
        Standing::Fails(Reason { finding, rule: Some(rule) })
    };
    let by_maturity = |rule: CitedRule, forbidden: Maturity| match answers.maturity {
        Answer::Unanswered => Standing::Open(Check::Maturity),
        Answer::NotSure => Standing::Unsure(Check::Maturity),
        Answer::Given(maturity) => {
            let found = maturity_words(maturity);
            if maturity == forbidden { wrong(found, rule) } else { fits(found, rule, false) }
        }
    };
    let standings = judge(case, Topic::Sex, &case.rule.facts.sex, |sexes, rule| {
        if *sexes == SexRule::Either {
            // Which sex it is does not matter: nothing is asked. Known from memory only, a female waits.
            return match answers.sex {
                Answer::Given(Sex::Male) => fits("a male", rule, true),
                Answer::Given(Sex::Female) => fits("a female", rule, false),
                _ if is_firm(&rule) => Standing::Silent,
                Answer::Unanswered => Standing::Open(Check::Sex),
                Answer::NotSure => Standing::Unsure(Check::Sex),
            };
        }
        match (answers.sex, sexes) {
            (Answer::Unanswered, _) => Standing::Open(Check::Sex),
            (Answer::NotSure, _) => Standing::Unsure(Check::Sex),
            (Answer::Given(Sex::Male), SexRule::FemalesOnly) => wrong("a male", rule),
            // No rule known lets a male go for being one, so a rule from memory is enough for him.
            (Answer::Given(Sex::Male), _) => fits("a male", rule, true),
            (Answer::Given(Sex::Female), SexRule::MalesOnly) => wrong("a female", rule),
            (Answer::Given(Sex::Female), SexRule::NoImmatureFemales) => by_maturity(rule, Maturity::Immature),
            (Answer::Given(Sex::Female), SexRule::NoMatureFemales) => by_maturity(rule, Maturity::Mature),
            (Answer::Given(Sex::Female), _) => fits("a female", rule, false),
        }
    });
    if !standings.is_empty() {
        return worst(standings);
    }
    match answers.sex {
        Answer::Unanswered => Standing::Open(Check::Sex),
        Answer::NotSure => Standing::Unsure(Check::Sex),
        Answer::Given(Sex::Male) => Standing::Silent,
        Answer::Given(Sex::Female) => absent(case, Topic::Sex),
    }
}

/// Eggs: asked of every crab that is not known to be a male.
pub(super) fn eggs(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    let eggs = match (case.answers.sex, case.answers.eggs) {
        // Eggs that were seen count, whatever was answered of the sex.
        (_, Answer::Given(eggs)) => eggs,
        // Who is not sure of eggs is not sure of a male either.
        (_, Answer::NotSure) => return Standing::Unsure(Check::Eggs),
        (Answer::Given(Sex::Male), Answer::Unanswered) => return Standing::Silent,
        (_, Answer::Unanswered) => return Standing::Open(Check::Eggs),
    };
    if eggs == Eggs::None {
        // No rule forbids a crab for having no eggs.
        return Standing::Silent;
    }
    let fails = |finding, rule| Standing::Fails(Reason { finding, rule: Some(rule) });
    let mut standings =
        judge(case, Topic::Eggs, &case.rule.facts.eggs, |rule_of_eggs, rule| match (rule_of_eggs, eggs) {
            (EggRule::MayBeKept, _) | (EggRule::ReleaseWhenDark, Eggs::Light) => {
                permits(case, Finding::EggsAllowed, rule)
            }
            // Where eggs forbid a crab, taking them off does not make it one that may be kept.
            (_, Eggs::Removed) => fails(Finding::EggsRemoved, rule),
            _ => fails(Finding::CarriesEggs, rule),
        });
    standings.retain(|standing| !matches!(standing, Standing::Unclear(reason, _) if reason.finding == Finding::NotKnown { topic: Topic::Eggs }));
    if standings.is_empty() {
        // Nearly everywhere such a crab goes back (common practice): a silent rule is no leave to keep it.
        let finding = if eggs == Eggs::Removed { Finding::EggsRemoved } else { Finding::CarriesEggs };
        return fails(finding, case.cite_absence(Topic::Eggs));
    }
    let found = worst(standings);
    if case.answers.sex == Answer::Given(Sex::Male) && !matches!(found, Standing::Fails(_)) {
        // Only a female carries eggs: one of the two answers is wrong.
        notices.push(Notice::MaleWithEggs);
        return Standing::Open(Check::Sex);
    }
    found
}

/// Condition of the shell.
pub(super) fn shell(case: &Case<'_>) -> Standing {
    let facts = &case.rule.facts;
    let stage = case.answers.shell;
    let soft_words = |stage: Stage| {
        match stage {
            Stage::Hard => "hard",
            Stage::Soft => "soft",
            Stage::Peeler => "about to moult (a peeler)",
        }
        .to_owned()
    };
    let standings = judge(case, Topic::Shell, &facts.shell, |shells, rule| match (shells, stage) {
        (ShellRule::Any, Answer::Given(Stage::Hard)) => Standing::Silent,
        (ShellRule::Any, _) if is_firm(&rule) => Standing::Silent,
        (_, Answer::Unanswered) => Standing::Open(Check::Shell),
        (_, Answer::NotSure) => Standing::Unsure(Check::Shell),
        (ShellRule::Any, Answer::Given(_)) => permits(case, Finding::ShellFits, rule),
        (ShellRule::HardOnly, Answer::Given(Stage::Hard)) => {
            Standing::Meets(Reason { finding: Finding::ShellFits, rule: Some(rule) })
        }
        (ShellRule::HardOnly, Answer::Given(soft)) => {
            let finding = Finding::SoftShell { words: soft_words(soft) };
            Standing::Fails(Reason { finding, rule: Some(rule) })
        }
    });
    if !standings.is_empty() {
        return worst(standings);
    }
    // Sizes of their own for soft crabs say that these may be kept.
    let has_size = |stage: Stage| {
        facts.sizes.iter().any(|size| size.when.as_ref().is_some_and(|when| when.stage.contains(&stage)))
    };
    match stage {
        Answer::Unanswered => Standing::Open(Check::Shell),
        Answer::NotSure => Standing::Unsure(Check::Shell),
        Answer::Given(Stage::Hard) => Standing::Silent,
        Answer::Given(soft) if has_size(soft) => Standing::Silent,
        Answer::Given(_) => absent(case, Topic::Shell),
    }
}

/// Whole crab or claws: asked where the rule says something of it.
pub(super) fn parts(case: &Case<'_>) -> Standing {
    let standings = judge(case, Topic::Parts, &case.rule.facts.parts, |parts, rule| {
        let kept = match (parts, case.answers.parts) {
            (PartsRule::Any, _) => return Standing::Silent,
            (_, Answer::Unanswered) => return Standing::Open(Check::Claws),
            (_, Answer::NotSure) => return Standing::Unsure(Check::Claws),
            (_, Answer::Given(kept)) => kept,
        };
        let fits = match parts {
            PartsRule::WholeOnly => kept == Parts::Whole,
            PartsRule::ClawsOnly => kept != Parts::Whole,
            PartsRule::RightClawOnly => kept == Parts::RightClaw,
            PartsRule::Any => true,
        };
        if !fits {
            Standing::Fails(Reason { finding: Finding::PartNotAllowed, rule: Some(rule) })
        } else if kept == Parts::Whole {
            Standing::Meets(Reason { finding: Finding::PartsFit, rule: Some(rule) })
        } else {
            permits(case, Finding::PartsFit, rule)
        }
    });
    worst(standings)
}

/// True when the check has an answer that the person is sure of.
pub(super) fn is_sure(case: &Case<'_>, check: Check) -> bool {
    let answers = case.answers;
    match check {
        Check::Kind => answers.kind.given().is_some(),
        Check::Season => answers.open.given().is_some(),
        Check::Sex => answers.sex.given().is_some(),
        Check::Maturity => answers.maturity.given().is_some(),
        Check::Eggs => answers.eggs.given().is_some(),
        Check::Shell => answers.shell.given().is_some(),
        Check::Claws => answers.parts.given().is_some(),
        Check::Size => case.measured.is_some() || case.gauge.is_some(),
    }
}

/// What to do with a crab that may be kept.
pub(super) fn keep_acts(case: &Case<'_>) -> Vec<NextAct> {
    let facts = &case.rule.facts;
    let mut acts: Vec<NextAct> = facts
        .record
        .iter()
        .filter_map(Cited::known)
        .filter(|duty| is_due_at_the_crab(duty.due))
        .map(|duty| NextAct::WriteRecord { words: duty.words.clone() })
        .collect();
    for parts in facts.parts.iter().filter_map(Cited::known) {
        match parts {
            PartsRule::WholeOnly => acts.push(NextAct::KeepWhole),
            PartsRule::ClawsOnly | PartsRule::RightClawOnly => acts.push(NextAct::ClawThenRelease),
            PartsRule::Any => {}
        }
    }
    acts
}

/// What to do with a crab that goes back.
pub(super) fn release_acts(case: &Case<'_>, fails: &[Reason]) -> Vec<NextAct> {
    let duties = || case.rule.facts.invasive.iter().filter_map(Cited::known);
    let mut acts = Vec::new();
    if !duties().any(|duty| matches!(duty.put_back, Duty::MustNot)) {
        acts.push(NextAct::ReleaseGently);
    }
    let is_closed =
        |reason: &Reason| matches!(reason.finding, Finding::ClosedSeason { .. } | Finding::SaidClosed);
    if fails.iter().any(is_closed) {
        acts.push(NextAct::WaitForTheSeason);
    }
    acts
}

/// Duties about an invasive species, whatever the call.
pub(super) fn invasive_acts(case: &Case<'_>) -> Vec<NextAct> {
    let mut acts = Vec::new();
    for Invasive { keep_alive, kill, put_back, report, words, .. } in
        case.rule.facts.invasive.iter().filter_map(Cited::known)
    {
        if *report == Duty::Must {
            acts.push(NextAct::Report { words: words.clone() });
        }
        if *keep_alive == Duty::MustNot {
            acts.push(NextAct::DoNotKeepAlive);
        }
        match kill {
            Duty::Must => acts.push(NextAct::Kill),
            // Look-alikes are killed by mistake: where the rule does not ask for it, nobody should.
            Duty::MustNot | Duty::NotStated => acts.push(NextAct::DoNotKill),
            Duty::May => {}
        }
        if *put_back == Duty::MustNot {
            acts.push(NextAct::DoNotPutBack);
        }
    }
    acts
}

/// Judges every fact of a topic that holds for the crab.
fn judge<T: InWords + Serialize>(
    case: &Case<'_>,
    topic: Topic,
    facts: &[Cited<T>],
    judge_one: impl Fn(&T, CitedRule) -> Standing,
) -> Vec<Standing> {
    facts
        .iter()
        .filter_map(|fact| match case.fit(fact.when.as_ref()) {
            Fit::No => None,
            Fit::Ask(check) => Some(Standing::Open(check)),
            Fit::Unsure(check) => Some(Standing::Unsure(check)),
            Fit::Yes => Some(match fact.known() {
                Some(value) => judge_one(value, case.cite_words(topic, fact)),
                None => unclear(case, topic, Some(case.cite_words(topic, fact))),
            }),
        })
        .collect()
}

/// Met, where keep may rest on the rule; else waiting for a confirmation.
pub(super) fn permits(case: &Case<'_>, finding: Finding, rule: CitedRule) -> Standing {
    if is_firm(&rule) {
        Standing::Meets(Reason { finding, rule: Some(rule) })
    } else {
        not_confirmed(case, rule)
    }
}

/// Failed, where a release may rest on the rule alone; else waiting for a confirmation.
pub(super) fn forbids(case: &Case<'_>, finding: Finding, rule: CitedRule) -> Standing {
    if is_firm(&rule) {
        Standing::Fails(Reason { finding, rule: Some(rule) })
    } else {
        not_confirmed(case, rule)
    }
}

/// Known from memory only: it decides nothing alone.
pub(super) fn not_confirmed(case: &Case<'_>, rule: CitedRule) -> Standing {
    let (topic, fact) = (rule.topic, case.fact_of(&rule));
    let reason = Reason { finding: Finding::NotConfirmed { topic }, rule: Some(rule) };
    Standing::Unclear(reason, vec![fact])
}

/// The rule is not known: it must be looked up, and cannot be confirmed without a figure.
pub(super) fn unclear(case: &Case<'_>, topic: Topic, rule: Option<CitedRule>) -> Standing {
    let rule = rule.unwrap_or_else(|| case.cite_absence(topic));
    Standing::Unclear(Reason { finding: Finding::NotKnown { topic }, rule: Some(rule) }, Vec::new())
}

/// The pack says nothing: a person may look it up and confirm that nothing forbids the crab.
fn absent(case: &Case<'_>, topic: Topic) -> Standing {
    let rule = case.cite_absence(topic);
    if is_firm(&rule) {
        return Standing::Silent;
    }
    let facts: Vec<FactRef> = vec![case.fact_of(&rule)];
    Standing::Unclear(Reason { finding: Finding::NotKnown { topic }, rule: Some(rule) }, facts)
}

fn maturity_words(maturity: Maturity) -> &'static str {
    match maturity {
        Maturity::Mature => "a mature female",
        Maturity::Immature => "an immature female",
    }
}

/// Record duties that are due at the crab itself.
fn is_due_at_the_crab(time: RecordTime) -> bool {
    matches!(time, RecordTime::AtOnce | RecordTime::SameDay)
}
