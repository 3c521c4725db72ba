//! Conformity to a limit, the checks, the verdict with its reasons.
//!
//! One pure function, [`decide`]: the rule in force, the day, the answers, the measurement and the catch so
//! far go in; the next check or a verdict comes out. Keep cannot come out while a required check is open or
//! unsure, nor on a rule that is known from memory only and not confirmed, nor on a day of which nobody knows whether
//! the water is open.

pub mod answers;
pub mod case;
pub mod findings;
pub mod fitting;
pub mod licence;
pub mod limits;
pub mod size;
mod standing;
pub mod times;
mod topics;
pub mod verdict;
pub mod words;

pub use crate::terms::PointsHint;
pub use answers::{Answer, Answers, Check, Eggs, Parts};
pub use case::{Case, CatchSoFar, GaugeReading, KeptCount, LicenceWord, LocalClock, Traits};
pub use findings::{Call, CitedRule, Finding, NextAct, Notice, Reason};
pub use fitting::{FittingLimit, fitting_limits, fitting_sizes};
pub use licence::{Whose, whose};
pub use limits::{BagLimit, bag_limits, part_limits};
pub use size::alone::{SizeAlone, photo_dimension, size_alone};
pub use size::conformity::{Conformity, GreyZone, Risk, Size, conformity};
pub use size::measured::MeasuredWidth;
pub use standing::CheckState;
pub use times::{SeasonState, season_state};
pub use verdict::{Outcome, Verdict, checks, decide, next_check};
pub use words::LICENCE_NOT_SAID;
