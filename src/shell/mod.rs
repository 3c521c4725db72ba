//! The shell: proposes its outline and the two measuring points for the dimension a rule names.
//!
//! One interface, so that another finder can take its place: a [`ShellQuery`] in, a [`Proposal`] or
//! nothing out. Better none than a wrong one: the person always confirms.

mod body;
mod finder;
mod propose;
mod shape;
mod snap;
mod window;

pub use propose::propose;
pub use snap::{SNAP_REACH_MM, snap};

use nalgebra::Matrix2;
use serde::{Deserialize, Serialize};

use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
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
    /// Covariance in px squared.
    pub covariance_px2: Matrix2<f64>,
}

impl MarkedPoint {
    /// A point whose standard uncertainty is `u_px` in every direction.
    pub fn round(point: PhotoPoint, u_px: f64) -> Self {
        Self { point, covariance_px2: Matrix2::identity() * u_px * u_px }
    }
}

/// What a finder of measuring points gets.
#[derive(Debug, Clone, Copy)]
pub struct ShellQuery<'a> {
    /// The whole photo.
    pub photo: &'a Photo,
    /// The camera, with the card's pose.
    pub intrinsics: Intrinsics,
    /// `camera_from_card`.
    pub pose: Pose,
    /// The card's corners: it is never part of the shell.
    pub card_corners: [PhotoPoint; 4],
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance.
    pub dimension: Dimension,
    /// Species (`dungeness`, `red-rock`, `blue`, `brown`, `green`) where it is known.
    pub species: Option<&'a str>,
    /// A tap on the middle of the shell, where the person gave one.
    pub shell_near: Option<PhotoPoint>,
}

/// What a finder answers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Proposal {
    /// The two measuring points, in no particular order.
    pub points: [MarkedPoint; 2],
    /// The outline of the shell, closed, in photo pixels; may be empty.
    pub outline: Vec<PhotoPoint>,
    /// Probability that both points are within 10 mm on the shell, by the finder's own reckoning.
    pub confidence: f64,
}

/// Reads the networks ahead of the first photo, as [`crate::card::look::face::prepare`].
pub fn prepare() {
    finder::Finder::built_in();
}
