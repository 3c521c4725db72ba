//! The same spot of the shell, found again in another photo of the same still crab and card.
//!
//! A [`Patch`] is what one photo shows round a marked point; [`find_again`] looks for it in another photo: along the
//! line on which the point must lie there (the epipolar line, as far as the point's height is in doubt), with both
//! photos seen square-on in the plane of the point.

mod correlation;
mod patch;
mod search;

pub use patch::Patch;
pub use search::{FoundAgain, find_again};
