//! The terms that a rule, a photo and a person share: which distance is measured, where the card lies, a point that
//! is marked on a photo.

use nalgebra::Matrix2;
use serde::{Deserialize, Serialize};

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

/// Where the picked points seem to lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PointsHint {
    /// Near the tips of the spines.
    NearTips,
    /// Near the bottoms of the notches.
    NearNotches,
}
