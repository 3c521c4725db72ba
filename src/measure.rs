//! The one call: photo and placement to a measurement, or a refusal with a next step.

use serde::{Deserialize, Serialize};

use crate::camera::{FocalFrom, Intrinsics, Pose};
use crate::card::FoundCard;
use crate::shell::{Dimension, MarkedPoint, Placement, Proposal};
use crate::units::{PhotoPoint, PhotoSize};
use crate::width::Width;

/// What the person says of the photo. Everything but the photo has a default.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Request {
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance the rule names.
    pub dimension: Dimension,
    /// Species, where known: `dungeness`, `red-rock`, `blue`, `brown`, `green`, or another pack's.
    pub species: Option<String>,
    /// A tap on the card.
    pub card_near: Option<PhotoPoint>,
    /// Four rough corners placed by hand, in order round the card.
    pub card_corners: Option<[PhotoPoint; 4]>,
    /// A tap on the middle of the shell.
    pub shell_near: Option<PhotoPoint>,
    /// Both measuring points placed by hand.
    pub points: Option<[PhotoPoint; 2]>,
}

/// What the photo shows of the card and the camera: enough to turn points into a width without the photo,
/// so that the page follows a dragged point without asking the worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Scene {
    /// Upright size.
    pub size: PhotoSize,
    /// The card.
    pub card: FoundCard,
    /// The credible poses of the card, the likelier first: one, or two while the flip is open.
    pub poses: Vec<ScenePose>,
    /// Where the focal length came from.
    pub focal_from: FocalFrom,
    /// Relative standard uncertainty of the focal length before the card was looked at.
    pub focal_relative_u: f64,
}

/// One pose that explains the card, with the camera refined for it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ScenePose {
    /// The camera.
    pub intrinsics: Intrinsics,
    /// `camera_from_card`.
    pub pose: Pose,
    /// Share of belief, 0 to 1; all add up to 1.
    pub weight: f64,
    /// Root mean square reprojection error of the corners in px.
    pub rms_px: f64,
}

/// Where the two points came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PointsFrom {
    /// Proposed by the program, not yet confirmed.
    Proposed,
    /// Given by the person.
    Given,
}

/// What a photo gave.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measurement {
    /// Card and camera.
    pub scene: Scene,
    /// The two points and where they came from.
    pub points: [MarkedPoint; 2],
    /// Proposed or given.
    pub points_from: PointsFrom,
    /// The proposal's outline, where there is one.
    pub proposal: Option<Proposal>,
    /// The width.
    pub width: Width,
    /// Things to know that do not stop the measurement.
    pub warnings: Vec<Warning>,
}

/// Why a readable photo gives no width. The stable code and the sentences are in [`crate::text`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Refused {
    /// Why.
    pub refusal: Refusal,
    /// Card and camera, where they were found all the same.
    pub scene: Option<Scene>,
    /// With two cards: a point on each, to ask which.
    pub candidates: Vec<[PhotoPoint; 4]>,
    /// Things to know besides.
    pub warnings: Vec<Warning>,
}

/// The reasons for a refusal; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Refusal {
    /// No card is seen.
    NoCard,
    /// The card is cut by the frame.
    CardCut,
    /// Too much of the card is covered.
    CardHidden,
    /// Two cards: which one?
    TwoCards,
    /// No credible shell and no points given.
    NoShell,
    /// Blurred beyond use.
    Blurred,
    /// Too dark.
    TooDark,
    /// Tilted by more than 45 degrees.
    Tilt,
    /// Too far away.
    TooFar,
}

/// Things to know; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Warning {
    /// No focal length in the file.
    NoFocalLength,
    /// The picture's size disagrees with EXIF's: cropped or resized.
    CroppedOrResized,
    /// The card's two poses cannot be told apart: tilt 10 to 20 degrees.
    FlipOpen,
    /// An edge of the card is predicted, not seen.
    UnsureEdge,
    /// The browser's decoder made the pixels.
    ForeignDecoder,
    /// The picture is blurred.
    Blur,
    /// The measured line is far from the card or tilted so far that the height weighs heavily.
    FarFromCard,
    /// A shell of a size no crab of this species has: check the points.
    UnlikelyWidth,
    /// Points outside the picture.
    PointsOutside,
}

impl Scene {
    /// Distance from the camera to the card's centre, of the likelier pose, in mm.
    pub fn distance_mm(&self) -> f64 {
        self.poses.first().map_or(f64::NAN, |pose| pose.pose.distance_mm())
    }

    /// Tilt of the likelier pose in degrees.
    pub fn tilt_deg(&self) -> f64 {
        self.poses.first().map_or(f64::NAN, |pose| pose.pose.tilt_deg())
    }
}
