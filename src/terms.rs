//! The terms that a rule, a photo and a person share: which distance is measured, where the card lies, a point that
//! is marked on a photo.

use nalgebra::Matrix2;
use serde::{Deserialize, Serialize};

use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Which distance across the shell a rule means.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema, Default,
)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// Between the bottoms of the notches just in front of the last (largest) lateral teeth.
    #[default]
    Notch,
    /// Between the tips of the lateral spines or teeth.
    Tips,
    /// The widest part of a shell without spines.
    Widest,
}

/// Where the card lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(rename_all = "kebab-case")]
pub enum Placement {
    /// Flat on the deck beside the crab.
    #[default]
    Deck,
    /// Raised level with the measuring points.
    Level,
    /// On the crab's back.
    Back,
}

/// A point on the photo with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MarkedPoint {
    /// Where.
    pub point: PhotoPoint,
    /// Covariance of placing it on this photo, in px squared.
    pub covariance_px2: Matrix2<f64>,
    /// Standard uncertainty of which spot of the shell is meant, each way, in mm: the same in every photo, so that more
    /// photos do not lessen it.
    pub spot_u_mm: f64,
}

impl MarkedPoint {
    /// A point placed with the standard uncertainty `u_px` in every direction, on a spot that is sharp.
    pub fn round(point: PhotoPoint, u_px: f64) -> Self {
        Self { point, covariance_px2: Matrix2::identity() * u_px * u_px, spot_u_mm: 0.0 }
    }
}

/// How a person placed a point on the screen: what it says of how exact it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placing {
    /// With what.
    pub by: PlacedBy,
    /// Photo pixels in one CSS pixel, as the photo was shown.
    pub px_per_css: f64,
}

/// With what a point is placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlacedBy {
    /// A finger that drags the point, or the photo under the cross.
    Finger,
    /// Keys that move it by whole photo pixels until it looks right.
    Keys,
}

/// Standard uncertainty of a finger's drag, each way, in CSS pixels: common practice, nobody has measured it here. At
/// one photo pixel a CSS pixel it comes to the 1.5 px that are told of a point placed with the magnifier.
const FINGER_U_CSS: f64 = 1.4;
/// What the eye tells apart, in CSS pixels: one minute of arc (visual acuity 1, ISO 8596); a CSS pixel is seen under
/// 1.28 of them (CSS Values and Units 3, reference pixel; both from memory).
const SIGHT_U_CSS: f64 = 0.8;
/// Nothing is placed better than to half a pixel of the photo (common practice).
const PIXEL_U_PX: f64 = 0.5;

impl Placing {
    /// Standard uncertainty of the place, each way, in photo pixels.
    pub fn u_px(self) -> f64 {
        let u_css = match self.by {
            PlacedBy::Finger => FINGER_U_CSS,
            PlacedBy::Keys => SIGHT_U_CSS,
        };
        PIXEL_U_PX.portable_hypot(u_css * self.px_per_css)
    }
}

/// Where the picked points seem to lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PointsHint {
    /// Near the tips of the spines.
    NearTips,
    /// Near the bottoms of the notches.
    NearNotches,
}
