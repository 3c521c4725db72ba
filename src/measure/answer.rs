//! What comes out: a measurement or a refusal, the warnings, the time it took.

use serde::{Deserialize, Serialize};

use crate::doubts::Warning;
use crate::refusal::Refusal;
use crate::scene::Scene;
use crate::shell::Proposal;
use crate::terms::MarkedPoint;
use crate::terms::PointsHint;
use crate::units::PhotoPoint;
use crate::width::Width;

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
