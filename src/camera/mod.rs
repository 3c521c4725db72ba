//! The camera: intrinsics, homography, the two poses of a card, refinement.

pub mod intrinsics;
pub mod pose;

pub use intrinsics::{FocalFrom, FocalPrior, Intrinsics};
pub use pose::Pose;
