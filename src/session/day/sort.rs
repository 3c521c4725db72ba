//! A crab sorted with one tap, as a practised hand sees it: the answers that the tap stands for.

use serde::{Deserialize, Serialize};

use crate::day::Why;
use crate::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Check, CheckState, Eggs, GaugeReading, Parts, Verdict, checks,
    decide,
};
use crate::rules::RuleInForce;
use crate::rules::facts::Duty;
use crate::rules::when::{Maturity, Sex, Stage};
use crate::session::Session;
use crate::session::catch::crab::Crab;

/// A kind without a rule here, as the check of the kind answers it.
pub const OTHER_KIND: &str = "other";

/// What the practised hand sees at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Plain {
    /// A female.
    Female,
    /// With eggs.
    Eggs,
    /// A soft shell.
    Soft,
    /// Too small by the gauge.
    Short,
    /// Another kind.
    OtherKind,
    /// A claw is missing, and it is let go.
    OneClaw,
    /// Not needed.
    NotNeeded,
    /// A hard male, large enough by the gauge.
    Keeper,
    /// A hard female without eggs, large enough by the gauge.
    FemaleKeeper,
    /// The same, mature.
    MatureKeeper,
    /// The same, immature.
    ImmatureKeeper,
    /// A hard crab without eggs, large enough by the gauge: its sex was not looked at.
    EitherKeeper,
}

/// A button that keeps a crab by the gauge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GaugeKeeper {
    /// What is sorted with it.
    pub plain: Plain,
    /// What the gauge is held against for such a crab, in words; none where nothing is known of it.
    pub limits: Option<String>,
}

impl Plain {
    /// Those that let a crab go.
    pub const RELEASES: [Self; 7] =
        [Self::Short, Self::Female, Self::Soft, Self::Eggs, Self::OtherKind, Self::OneClaw, Self::NotNeeded];

    /// Why it is let go; none where it is kept.
    pub fn why(self) -> Option<Why> {
        Some(match self {
            Self::Female => Why::Female,
            Self::Eggs => Why::Eggs,
            Self::Soft => Why::Soft,
            Self::Short => Why::Short,
            Self::OtherKind => Why::OtherKind,
            Self::OneClaw => Why::OneClaw,
            Self::NotNeeded => Why::NotNeeded,
            Self::Keeper
            | Self::FemaleKeeper
            | Self::MatureKeeper
            | Self::ImmatureKeeper
            | Self::EitherKeeper => return None,
        })
    }

    /// The crab of `kind` that this is said of.
    pub fn crab(self, kind: Option<String>) -> Crab {
        let mut answers =
            Answers { kind: kind.map_or(Answer::Unanswered, Answer::Given), ..Answers::default() };
        let mut gauge = None;
        match self {
            Self::Female => answers.sex = Answer::Given(Sex::Female),
            Self::Eggs => {
                answers.sex = Answer::Given(Sex::Female);
                answers.eggs = Answer::Given(Eggs::Light);
            }
            Self::Soft => answers.shell = Answer::Given(Stage::Soft),
            Self::Short => gauge = Some(GaugeReading::NotOfSize),
            Self::OtherKind => answers.kind = Answer::Given(OTHER_KIND.to_owned()),
            Self::OneClaw | Self::NotNeeded => {}
            Self::Keeper
            | Self::FemaleKeeper
            | Self::MatureKeeper
            | Self::ImmatureKeeper
            | Self::EitherKeeper => {
                (answers.sex, answers.maturity) = self.sex_and_maturity();
                answers.eggs = Answer::Given(Eggs::None);
                answers.shell = Answer::Given(Stage::Hard);
                answers.parts = Answer::Given(Parts::Whole);
                gauge = Some(GaugeReading::OfSize);
            }
        }
        Crab { answers, gauge, let_go: self.why(), ..Crab::default() }
    }

    /// What a button that keeps says of the belly.
    fn sex_and_maturity(self) -> (Answer<Sex>, Answer<Maturity>) {
        let (female, mature) = (Answer::Given(Sex::Female), Answer::Given);
        match self {
            Self::Keeper => (Answer::Given(Sex::Male), Answer::Unanswered),
            Self::MatureKeeper => (female, mature(Maturity::Mature)),
            Self::ImmatureKeeper => (female, mature(Maturity::Immature)),
            Self::FemaleKeeper => (female, Answer::Unanswered),
            _ => (Answer::Unanswered, Answer::Unanswered),
        }
    }
}

impl Session {
    /// The crabs that one tap keeps by the gauge here, of the kind that is sorted: one of either sex where nothing depends on
    /// the sex, else a male and a female (mature and immature where that matters), without those that the rule sends back
    /// whatever else they are. The verdict is asked again of the crab itself.
    pub fn gauge_keepers(&self) -> Vec<GaugeKeeper> {
        let male = vec![GaugeKeeper { plain: Plain::Keeper, limits: None }];
        let Some(kind) = self.crab.answers.kind.given() else { return male };
        let Some(rule) = self.rules.in_force.as_ref().filter(|rule| rule.species == *kind) else {
            return male;
        };
        let asks = |plain: Plain, check: Check| {
            // A full limit sends back every crab, and nothing more is asked: the buttons stay where the hand knows them.
            let states = self.with_case_of(rule, &plain.crab(Some(kind.clone())).answers, |case| {
                let catch = CatchSoFar { kept: Vec::new(), ..case.catch.clone() };
                checks(&Case { catch: &catch, ..*case })
            });
            states.into_iter().any(|(about, state)| about == check && state == CheckState::Open)
        };
        let plains: &[Plain] = if !asks(Plain::EitherKeeper, Check::Sex) {
            &[Plain::EitherKeeper]
        } else if asks(Plain::FemaleKeeper, Check::Maturity) {
            &[Plain::Keeper, Plain::MatureKeeper, Plain::ImmatureKeeper]
        } else {
            &[Plain::Keeper, Plain::FemaleKeeper]
        };
        let may = |plain: &&Plain| plains.len() == 1 || self.may_keep_by_gauge(rule, **plain, kind);
        let found: Vec<GaugeKeeper> =
            plains.iter().filter(may).map(|plain| self.keeper_of(rule, *plain, kind)).collect();
        // A closed season sends back everything: the button stays where the hand knows it.
        if found.is_empty() { vec![self.keeper_of(rule, Plain::Keeper, kind)] } else { found }
    }

    /// Why the crab in hand is let go, where the person chooses so: the rule does not send it back for it, or not yet. None
    /// for a kind that must not be put back.
    pub fn let_go_by_choice(&self) -> Option<Why> {
        let why = self.crab.let_go?;
        let duties = self.rules.in_force.iter().flat_map(|rule| &rule.facts.invasive);
        if duties.filter_map(|duty| duty.known()).any(|duty| duty.put_back == Duty::MustNot) {
            return None;
        }
        let is_choice = matches!(why, Why::OneClaw | Why::NotNeeded);
        let call = self.outcome().and_then(|outcome| outcome.verdict().map(Verdict::call));
        (is_choice || call != Some(Call::Release)).then_some(why)
    }

    fn keeper_of(&self, rule: &RuleInForce, plain: Plain, kind: &str) -> GaugeKeeper {
        let answers = plain.crab(Some(kind.to_owned())).answers;
        GaugeKeeper { plain, limits: self.gauge_limits_of(rule, &answers) }
    }

    /// True where no rule sends such a crab back, were it the first of an open day.
    fn may_keep_by_gauge(&self, rule: &RuleInForce, plain: Plain, kind: &str) -> bool {
        let crab = plain.crab(Some(kind.to_owned()));
        let call = self.with_case_of(rule, &crab.answers, |case| {
            let answers = Answers { open: Answer::Given(true), ..case.answers.clone() };
            let catch = CatchSoFar::default();
            let first = Case { answers: &answers, catch: &catch, gauge: crab.gauge.as_ref(), ..*case };
            decide(&first).verdict().map(Verdict::call)
        });
        call != Some(Call::Release)
    }
}
