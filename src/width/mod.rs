//! Rays to the height plane: the width, its uncertainty and what dominates it.

mod height;
mod remedy;
pub(crate) mod solve;

pub use height::HeightPrior;
pub use solve::{CARD_RELATIVE_U, interval, measure_width, moments, on_height_plane, to_photo};

use serde::{Deserialize, Serialize};

/// Widths that some crab of the packs' kinds may have, in mm (from memory: a king crab's shell may span 280 mm).
pub const CREDIBLE_WIDTHS_MM: std::ops::RangeInclusive<f64> = 15.0..=300.0;

/// The parts of the width's standard uncertainty, each in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Budget {
    /// The card's corners in the photo.
    pub corners: f64,
    /// The two measuring points in the photo.
    pub points: f64,
    /// The height of the measuring points above the card's face.
    pub height: f64,
    /// The focal length.
    pub focal: f64,
    /// The card's own size.
    pub card: f64,
}

/// A width, never without its uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Width {
    /// Best estimate in mm.
    pub width_mm: f64,
    /// Standard uncertainty in mm.
    pub u_mm: f64,
    /// 95 % interval in mm; spans both humps where the card's two poses cannot be told apart.
    pub interval_mm: [f64; 2],
    /// The parts of `u_mm`.
    pub budget_mm: Budget,
    /// Height of the points above the card's face that was used, and its standard uncertainty, in mm.
    pub height_mm: f64,
    /// See `height_mm`.
    pub height_u_mm: f64,
    /// The humps of the distribution: one, or two while the card's pose has a credible twin.
    pub humps: Vec<Hump>,
    /// The one thing that would make it surer.
    pub remedy: Option<Remedy>,
}

/// One normal component of the width's distribution.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Hump {
    /// Share, 0 to 1; all shares add up to 1.
    pub weight: f64,
    /// Mean in mm.
    pub mean_mm: f64,
    /// Standard deviation in mm.
    pub u_mm: f64,
}

/// What the person can do to be surer, and the standard uncertainty it would bring.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// Which act.
    pub act: RemedyAct,
    /// Standard uncertainty to expect, in mm.
    pub expected_u_mm: f64,
}

/// The acts that make a width surer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RemedyAct {
    /// Put the card level with the shell's edge.
    RaiseTheCard,
    /// Tilt the phone 10 to 20 degrees from straight down.
    TiltALittle,
    /// Come closer: the card spans too few pixels.
    ComeCloser,
    /// Step back: the height of the edge weighs too much from near.
    StepBack,
    /// Place the points again with the magnifier.
    PlaceThePoints,
    /// Use the camera app's own photo file: the focal length is missing.
    KeepTheOriginal,
}
