//! A crab on the deck, for the tests of decisions: what was answered and measured of it.

use jiff::civil::Date;
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Check, Finding, GaugeReading, MeasuredWidth, Outcome, Parts,
    Risk, decide,
};
use shellspan::rules::pack::ANY_CRAB;
use shellspan::rules::when::{Sex, Stage};
use shellspan::rules::{self, Confirmation, Pack, RuleInForce};
use shellspan::terms::Dimension;

pub fn day(year: i16, month: i8, day: i8) -> Date {
    Date::new(year, month, day).expect("a date")
}

/// A crab on the deck: what was answered and measured of it.
pub struct Crab {
    pub answers: Answers,
    pub measured: Option<MeasuredWidth>,
    pub gauge: Option<GaugeReading>,
    pub catch: CatchSoFar,
    pub confirmations: Vec<Confirmation>,
    pub date: Date,
}

impl Crab {
    pub fn of(kind: &str) -> Self {
        Self {
            answers: Answers { kind: Answer::Given(kind.to_owned()), ..Answers::default() },
            measured: None,
            gauge: None,
            catch: CatchSoFar::default(),
            confirmations: Vec::new(),
            date: day(2026, 7, 4),
        }
    }

    /// A whole male with a hard shell, from a water that the person looked up: open.
    pub fn keeper(kind: &str) -> Self {
        let mut crab = Self::of(kind);
        crab.answers.open = Answer::Given(true);
        crab.answers.sex = Answer::Given(Sex::Male);
        crab.answers.shell = Answer::Given(Stage::Hard);
        crab.answers.parts = Answer::Given(Parts::Whole);
        crab
    }

    pub fn wide(mut self, mean_mm: f64, u_mm: f64) -> Self {
        self.measured = Some(MeasuredWidth::normal(mean_mm, u_mm, Dimension::Notch));
        self
    }

    pub fn decide_in(&self, pack: &Pack, area: &str) -> Outcome {
        let species = self.answers.kind.given().map_or(ANY_CRAB, String::as_str);
        let rule = RuleInForce::find(pack, area, species).expect("the area");
        decide(&self.case(&rule))
    }

    pub fn case<'a>(&'a self, rule: &'a RuleInForce) -> Case<'a> {
        Case {
            rule,
            date: self.date,
            clock: None,
            answers: &self.answers,
            measured: self.measured.as_ref(),
            gauge: self.gauge.as_ref(),
            catch: &self.catch,
            confirmations: &self.confirmations,
            risk: Risk::default(),
        }
    }

    pub fn decide(&self) -> Outcome {
        self.decide_in(&rules::built_in_pack(), "puget-sound")
    }

    #[track_caller]
    pub fn call(&self) -> Call {
        let outcome = self.decide();
        outcome.verdict().unwrap_or_else(|| panic!("still open: {outcome:?}")).call()
    }

    #[track_caller]
    pub fn next(&self) -> Check {
        match self.decide() {
            Outcome::Open { next, .. } => next,
            Outcome::Settled(verdict) => panic!("settled: {verdict:?}"),
        }
    }

    #[track_caller]
    pub fn deciding(&self) -> Finding {
        let outcome = self.decide();
        outcome.verdict().expect("settled").reasons()[0].finding.clone()
    }
}
