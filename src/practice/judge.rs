//! Marks an answer: what [`decide`] says of the crab as it truly is, against what the learner said of it.

use serde::{Deserialize, Serialize};

use super::crab::Crab;
use super::water::{Ground, SizeLimit};
use crate::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Eggs, Finding, GaugeReading, MeasuredWidth, Outcome, Parts,
    Reason, Risk, decide, fitting_limits, photo_dimension,
};
use crate::rules::Length;
use crate::rules::facts::PartsRule;
use crate::rules::pack::length::LengthUnit;
use crate::rules::when::{Maturity, Sex, Stage};
use crate::terms::Dimension;

/// Why a crab goes back, as a learner says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Why {
    /// The kind may not be kept.
    Kind,
    /// The sex may not.
    Sex,
    /// It carries eggs.
    Eggs,
    /// Its shell is soft.
    Shell,
    /// It is not of size.
    Size,
}

impl Why {
    /// All, in the order of the checks.
    pub const ALL: [Self; 5] = [Self::Kind, Self::Sex, Self::Eggs, Self::Shell, Self::Size];

    /// The ground that a finding tells of; none where it forbids nothing.
    pub fn of(finding: &Finding) -> Option<Self> {
        match finding {
            Finding::WrongSex { .. } => Some(Self::Sex),
            Finding::CarriesEggs | Finding::EggsRemoved => Some(Self::Eggs),
            Finding::SoftShell { .. } => Some(Self::Shell),
            Finding::SizeByGauge { is_of_size: false, .. } => Some(Self::Size),
            other => Ground::is_about_kind(other).then_some(Self::Kind),
        }
    }
}

/// What was seen of a crab: answers to the checks, with a gauge for the size.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    answers: Answers,
    /// The width in mm in every distance; of a crab of practice each its own.
    size: Size,
}

#[derive(Debug, Clone, PartialEq)]
enum Size {
    Same(f64),
    Of(Box<Crab>),
}

impl Seen {
    /// All of a crab, rightly seen.
    pub fn rightly(crab: &Crab) -> Self {
        let answers = answers(crab.kind.id, crab.sex, crab.maturity, crab.eggs, crab.stage());
        Self { answers, size: Size::Of(Box::new(crab.clone())) }
    }

    /// A sound crab, `mm` wide.
    pub fn sound(kind: &str, sex: Sex, maturity: Maturity, mm: f64) -> Self {
        Self { answers: answers(kind, sex, maturity, Eggs::None, Stage::Hard), size: Size::Same(mm) }
    }

    /// What the core decides. The water is taken as open where its calendar does not close it.
    pub fn outcome(&self, ground: &Ground) -> Outcome {
        self.with_case(ground, decide)
    }

    /// The sizes that the core finds to hold for it.
    pub fn limits(&self, ground: &Ground) -> Vec<SizeLimit> {
        let dimensions = [Dimension::Notch, Dimension::Tips, Dimension::Widest];
        let limits = dimensions.into_iter().flat_map(|dimension| {
            // Which limits hold does not depend on the width.
            let any = MeasuredWidth::normal(100.0, 1.0, dimension);
            let found = self.with_case(ground, |case| fitting_limits(case, &any));
            found.into_iter().map(move |limit| SizeLimit {
                is_min: limit.is_min,
                dimension,
                mm: limit.length.exact.millimetres().0,
                words: limit.length.published,
            })
        });
        limits.collect()
    }

    fn with_case<T>(&self, ground: &Ground, look: impl FnOnce(&Case<'_>) -> T) -> T {
        let mut answers = self.answers.clone();
        // What is kept of it is no trait of a crab: what the rule allows is taken.
        let mut parts = ground.rule.facts.parts.iter().filter_map(|fact| fact.known());
        let wants_claws = parts.any(|rule| matches!(rule, PartsRule::ClawsOnly | PartsRule::RightClawOnly));
        answers.parts = Answer::Given(if wants_claws { Parts::RightClaw } else { Parts::Whole });
        let catch = CatchSoFar::default();
        let mut case = Case {
            rule: &ground.rule,
            date: ground.date,
            clock: None,
            answers: &answers,
            measured: None,
            gauge: None,
            catch: &catch,
            confirmations: &ground.confirmations,
            risk: Risk::default(),
        };
        let dimension = photo_dimension(&case).unwrap_or_default();
        let mm = match &self.size {
            Size::Same(mm) => *mm,
            Size::Of(crab) => crab.width_mm(dimension),
        };
        // To the hundredth of a millimetre below: a crab is never called wider than it is.
        let reading =
            Length::new((mm * 100.0).floor() as i64, 100, LengthUnit::Millimetre).map(GaugeReading::Reads);
        case.gauge = reading.as_ref();
        look(&case)
    }
}

fn answers(kind: &str, sex: Sex, maturity: Maturity, eggs: Eggs, stage: Stage) -> Answers {
    Answers {
        kind: Answer::Given(kind.to_owned()),
        open: Answer::Given(true),
        sex: Answer::Given(sex),
        maturity: if sex == Sex::Female { Answer::Given(maturity) } else { Answer::Unanswered },
        eggs: if sex == Sex::Female { Answer::Given(eggs) } else { Answer::Unanswered },
        shell: Answer::Given(stage),
        parts: Answer::Unanswered,
    }
}

/// What truly is to be done with a crab.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Keep or release; gauge where the rule does not tell.
    pub call: Call,
    /// Why it goes back: every ground, the deciding one first.
    pub fails: Vec<Why>,
    /// The reasons of the core.
    pub reasons: Vec<Reason>,
}

/// What `decide` says of the crab as it is.
pub fn truth(ground: &Ground, crab: &Crab) -> Truth {
    let Some(verdict) = ground.verdict(&Seen::rightly(crab)) else {
        return Truth { call: Call::Gauge, fails: Vec::new(), reasons: Vec::new() };
    };
    let mut fails = Vec::new();
    if verdict.call() == Call::Release {
        for why in verdict.reasons().iter().filter_map(|reason| Why::of(&reason.finding)) {
            if !fails.contains(&why) {
                fails.push(why);
            }
        }
    }
    Truth { call: verdict.call(), fails, reasons: verdict.reasons().to_vec() }
}

/// What the learner said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Said {
    /// Which kind.
    pub kind: String,
    /// Why it goes back; none: keep it.
    pub why: Option<Why>,
}

/// How an answer stands to the truth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// Keep or release was right.
    pub is_call_right: bool,
    /// The reason was one of the true ones (or it was rightly kept).
    pub is_why_right: bool,
    /// The kind was right.
    pub is_kind_right: bool,
    /// It was kept, and these grounds forbade it.
    pub wrongly_kept: Vec<Why>,
    /// It was let go for nothing.
    pub wrongly_released: bool,
    /// Checks that this crab put to the test, each with whether it was made rightly.
    pub checks: Vec<(Why, bool)>,
}

impl Mark {
    /// Everything was right.
    pub fn is_right(&self) -> bool {
        self.is_call_right && self.is_why_right && self.is_kind_right
    }
}

/// Marks an answer.
pub fn mark(crab: &Crab, truth: &Truth, said: &Said) -> Mark {
    let (keeps, should_keep) = (said.why.is_none(), truth.call == Call::Keep);
    let is_call_right = keeps == should_keep;
    let is_why_right = is_call_right && said.why.is_none_or(|why| truth.fails.contains(&why));
    let is_kind_right = said.kind == crab.kind.id;
    let mut checks = Vec::new();
    let mut put = |why: Why, is_right: bool| {
        if !checks.iter().any(|(known, _)| *known == why) {
            checks.push((why, is_right));
        }
    };
    // Which kind it is, is asked of every crab.
    put(Why::Kind, is_kind_right && !(keeps && truth.fails.contains(&Why::Kind)));
    match (said.why, should_keep) {
        // Rightly kept: every check was passed.
        (None, true) => Why::ALL.into_iter().for_each(|why| put(why, true)),
        // Each ground was overlooked.
        (None, false) => truth.fails.iter().for_each(|&why| put(why, false)),
        (Some(why), _) => put(why, truth.fails.contains(&why)),
    }
    let wrongly_kept = if keeps && !should_keep { truth.fails.clone() } else { Vec::new() };
    Mark {
        is_call_right,
        is_why_right,
        is_kind_right,
        wrongly_kept,
        wrongly_released: !keeps && should_keep,
        checks,
    }
}
