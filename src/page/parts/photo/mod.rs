//! The photo: how it comes in, how it is shown, and how points are placed on it.

pub mod aim;
pub mod both_points;
pub mod frame;
pub mod magnified;
pub mod marks;
pub mod nudge;
pub mod one_more;
pub mod pick;
pub mod placement;
pub mod right_points;
pub mod samples;
pub mod strip;
pub mod view;
