//! What the person has said so far: action to session, pure.
//!
//! The page dispatches [`Action`]s and draws a [`Session`]; nothing here knows a browser or a clock. Work
//! for the worker is a value too: [`Session::pending`] holds the question that waits for its answer.
//!
//! [`photo`], [`rule`] and [`catch`] are its parts; [`Action`] has all that can happen, `apply` hands each on. [`saved`] is
//! what of it outlives a reload.

mod action;
mod apply;
pub mod catch;
pub mod day;
pub mod learning;
pub mod photo;
pub mod rule;
pub mod saved;
mod settings;
pub mod several;
pub mod words;

pub use action::Action;
pub use catch::crab::{Crab, Reply};
pub use catch::decision::LimitInForce;
pub use catch::ruler::{Ruler, Tick};
pub use day::act::DayAct;
pub use day::boat::BoatLine;
pub use day::limits::{DayCounts, HeldLine, Keeper, KeptLine, PotCount, keepers_with_a_reason};
pub use day::old_count::OldCount;
pub use day::parts::PartLine;
pub use day::season::SizesShown;
pub use day::sort::{GaugeKeeper, Plain};
pub use learning::{LearnAct, OpenLesson};
pub use photo::ellipse::Ellipse;
pub use photo::framing::Framing;
pub use photo::marks::Marks;
pub use photo::practice::{PracticePhoto, TrueWidths};
pub use photo::{Aim, InHand, Pending, PhotoWork, Target, Tool};
pub use rule::RuleBook;
pub use saved::{SavedCrab, SavedError};
pub use settings::{Settings, Theme};
pub use several::{PhotoState, StripPhoto};

use std::rc::Rc;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::day::Row;
use crate::day::book::{Book, Names};
use crate::decide::{Check, LocalClock, next_check};
use crate::width::Joined;

/// The screens, few and named after what is done on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Screen {
    /// The day: what each person may still keep, and the crab that comes next.
    #[default]
    Day,
    /// Choose a photo.
    Start,
    /// The photo, the points and the ruler.
    Measure,
    /// The checks.
    Checks,
    /// The verdict.
    Verdict,
    /// Choose the rule.
    Rules,
    /// The day before it goes on the official record.
    Record,
    /// Persons and pots.
    Aboard,
    /// The crabs of all days: the list, the totals, the sizes, the copies.
    Crabs,
    /// Crabs to practise on.
    Practice,
    /// The list of lessons.
    Learn,
    /// One lesson.
    Lesson,
    /// The checks for a group, one a screen.
    Guide,
}

/// Everything the person has said and the program has seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// The day, as the page's clock had it at the start.
    pub today: Date,
    /// The day that began while the page stood open, until the person goes on: limits, sizes and seasons may be others.
    pub new_day: Option<Date>,
    /// The time by the device's clock, for waters that close by the hour.
    pub clock: Option<LocalClock>,
    /// Where the person is.
    pub screen: Screen,
    /// Theme and vibration.
    pub settings: Settings,
    /// The photo and what was found on it.
    pub photo: PhotoWork,
    /// Other photos of the same crab.
    pub beside: Vec<PhotoWork>,
    /// The width from all photos, once two have both points.
    pub joined: Option<Rc<Joined>>,
    /// What was answered of the crab in hand.
    pub crab: Crab,
    /// The rules.
    pub rules: RuleBook,
    /// The book of the day.
    pub book: Rc<Book>,
    /// What was kept on the disk is in the book: before, nothing is to be written into it.
    pub day_is_loaded: bool,
    /// Names of new rows.
    pub names: Names,
    /// The kind that was last sorted.
    pub last_kind: Option<String>,
    /// A copy of which it is not known whose it is.
    pub copy_in_question: Option<Rc<[Row]>>,
    /// The lesson that was opened last.
    pub lesson: Option<OpenLesson>,
    /// Practice or the guide, where the water is being chosen for it.
    pub water_for: Option<Screen>,
}

impl Session {
    /// A session that starts on `today`.
    pub fn new(today: Date) -> Self {
        Self {
            today,
            new_day: None,
            clock: None,
            screen: Screen::default(),
            settings: Settings::default(),
            photo: PhotoWork::default(),
            beside: Vec::new(),
            joined: None,
            crab: Crab::default(),
            rules: RuleBook::default(),
            book: Rc::default(),
            day_is_loaded: false,
            names: Names::default(),
            last_kind: None,
            copy_in_question: None,
            lesson: None,
            water_for: None,
        }
    }

    /// The day of the catch.
    pub fn date(&self) -> Date {
        self.rules.date.unwrap_or(self.today)
    }

    /// True where the crab in hand was counted as kept, and is not any more: an answer was changed, or it was taken back.
    pub fn is_uncounted(&self) -> bool {
        self.crab.row.as_ref().is_some_and(|id| self.book.was_kept(id))
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
