//! A crab sorted with one tap, as a practised hand sees it: the answers that the tap stands for.

use serde::{Deserialize, Serialize};

use crate::day::Why;
use crate::decide::{Answer, Answers, Eggs, GaugeReading, Parts};
use crate::rules::when::{Sex, Stage};
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
            Self::Keeper => return None,
        })
    }

    /// True where the person lets it go by choice, whatever the rule says.
    pub fn is_by_choice(why: Why) -> bool {
        matches!(why, Why::OneClaw | Why::NotNeeded)
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
            Self::Keeper => {
                answers.sex = Answer::Given(Sex::Male);
                answers.eggs = Answer::Given(Eggs::None);
                answers.shell = Answer::Given(Stage::Hard);
                answers.parts = Answer::Given(Parts::Whole);
                gauge = Some(GaugeReading::OfSize);
            }
        }
        Crab { answers, gauge, let_go: self.why(), ..Crab::default() }
    }
}
