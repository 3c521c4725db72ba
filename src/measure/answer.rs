//! What comes out: a measurement or a refusal, the warnings, the time it took.

use serde::{Deserialize, Serialize};

use super::scene::Scene;
use crate::shell::{MarkedPoint, Proposal};
use crate::units::PhotoPoint;
use crate::width::{PointsHint, Width};

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
    /// A sign that other points were picked than the rule names, where the outline gives one.
    #[serde(default)]
    pub points_hint: Option<PointsHint>,
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
    /// A measuring point so far outside the picture that no ray through it meets the shell.
    PointsOutside,
}

/// Things to know; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Warning {
    /// No focal length in the file.
    NoFocalLength,
    /// The picture's size disagrees with EXIF's: cropped or resized.
    CroppedOrResized,
    /// Taken with digital zoom: what the file says of the lens can be read two ways.
    DigitalZoom,
    /// The card's two poses cannot be told apart: tilt 10 to 20 degrees.
    FlipOpen,
    /// An edge of the card is predicted, not seen.
    UnsureEdge,
    /// The browser's decoder made the pixels.
    ForeignDecoder,
    /// The picture is blurred.
    Blur,
    /// Light is blown out at a measuring point or along an edge of the card.
    Glare,
    /// The measured line is far from the card or tilted so far that the height weighs heavily.
    FarFromCard,
    /// A shell of a size no crab of this species has: check the points.
    UnlikelyWidth,
    /// Points outside the picture.
    PointsOutside,
}

/// Milliseconds spent in each stage.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Elapsed {
    /// Finding the card.
    pub card: f64,
    /// The pose.
    pub pose: f64,
    /// Proposing the points.
    pub shell: f64,
    /// The width and its uncertainty.
    pub width: f64,
}

impl Refused {
    pub(super) fn after(refusal: Refusal, scene: Scene, warnings: Vec<Warning>) -> Self {
        Self { refusal, scene: Some(scene), candidates: Vec::new(), warnings }
    }
}
