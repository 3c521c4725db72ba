//! What a newcomer is taught: lessons in one frame, the diagram of height, and the checks as a group is led through them.
//!
//! A lesson is one file, `www/lessons/NAME.json` in the frame of [`Lesson`], with its own drawings beside it. [`check`] finds
//! what is wrong with one; the build writes it as [`html`], which the page fetches when it is opened. [`stand`] computes
//! what a place of the phone makes of a width, [`diagram`] says it, [`guide`] lists the checks of a rule with the rule's own words, [`sheet`]
//! writes them for the printer.

pub mod check;
pub mod diagram;
pub mod frame;
pub mod guide;
pub mod html;
pub mod sheet;
pub mod stand;

pub use check::{Mistake, mistakes};
pub use frame::{Drawn, Fact, Lesson, Listed, Part, Screenful, Shown, Task, TaughtFrom};
pub use guide::{GuideStep, guide};
pub use stand::{Reading, Stand, Told};

use crate::decide::Check;

/// The lesson that teaches a check.
pub fn lesson_of(check: Check) -> &'static str {
    match check {
        Check::Kind => "kinds",
        Check::Season => "cautions",
        Check::Sex | Check::Maturity | Check::Eggs => "sex-and-eggs",
        Check::Shell => "hard-or-soft",
        Check::Claws => "claws",
        Check::Size => "where-to-measure",
    }
}
