//! What the person has said so far: action to session, pure.
//!
//! The page dispatches [`Action`]s and draws a [`Session`]; nothing here knows a browser or a clock. Work
//! for the worker is a value too: [`Session::pending`] holds the question that waits for its answer.

mod action;
mod apply;
mod crab;
mod decision;
mod ellipse;
mod framing;
mod kept;
mod marks;
mod own_rule;
mod photo;
mod photo_apply;
mod rule_book;
mod ruler;
mod settings;

pub use action::Action;
pub use crab::{Crab, Reply};
pub use decision::LimitInForce;
pub use ellipse::Ellipse;
pub use framing::Framing;
pub use kept::{HeldLine, KeptLine, KeptToday};
pub use marks::Marks;
pub use photo::{Aim, InHand, Pending, PhotoWork, Target, Tool};
pub use rule_book::RuleBook;
pub use ruler::{Ruler, Tick};
pub use settings::{Settings, Theme};

use jiff::civil::Date;

use crate::decide::{Check, LocalClock, next_check};

/// The screens, few and named after what is done on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// Choose a photo, or go to the checks.
    #[default]
    Start,
    /// The photo, the points and the ruler.
    Measure,
    /// The checks.
    Checks,
    /// The verdict.
    Verdict,
    /// Choose the rule.
    Rules,
}

/// Everything the person has said and the program has seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// The day, as the page's clock had it at the start.
    pub today: Date,
    /// The time by the device's clock, for waters that close by the hour.
    pub clock: Option<LocalClock>,
    /// Where the person is.
    pub screen: Screen,
    /// Theme and vibration.
    pub settings: Settings,
    /// The photo and what was found on it.
    pub photo: PhotoWork,
    /// What was answered of the crab in hand.
    pub crab: Crab,
    /// The rules.
    pub rules: RuleBook,
    /// What was kept today.
    pub kept: KeptToday,
}

impl Session {
    /// A session that starts on `today`.
    pub fn new(today: Date) -> Self {
        Self {
            today,
            clock: None,
            screen: Screen::default(),
            settings: Settings::default(),
            photo: PhotoWork::default(),
            crab: Crab::default(),
            rules: RuleBook::default(),
            kept: KeptToday::none(today),
        }
    }

    /// The day of the catch.
    pub fn date(&self) -> Date {
        self.rules.date.unwrap_or(self.today)
    }

    /// The check to show: the one that the person went back to, or the next that is open.
    pub fn shown_check(&self) -> Option<Check> {
        self.crab.looking_at.or_else(|| self.with_case(next_check).flatten())
    }

    /// The question that waits for the worker's answer.
    pub fn pending(&self) -> Option<&Pending> {
        self.photo.pending.as_ref()
    }
}

#[cfg(test)]
mod tests;
