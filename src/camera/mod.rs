//! The camera: intrinsics, homography, the two poses of a card, refinement.

pub mod homography;
pub mod intrinsics;
pub mod ippe;
pub mod pose;
pub mod projection;
pub mod refine;

pub use intrinsics::{FocalFrom, FocalPrior, Intrinsics, Lens};
pub use pose::Pose;
pub use projection::Projection;
pub use refine::{CameraPrior, Refined};
