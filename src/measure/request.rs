//! What goes in beside the photo: what the person says of it.

use serde::{Deserialize, Serialize};

use crate::camera::CameraPrior;
use crate::matching::Patch;
use crate::photo::Photo;
use crate::scene::Scene;
use crate::terms::{Dimension, MarkedPoint, Placement};
use crate::units::PhotoPoint;

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
    /// Height of the shell's edge as a share of the width and its standard uncertainty, where the species'
    /// own is known.
    pub height_share: Option<(f64, f64)>,
    /// Both measuring points placed by hand.
    pub points: Option<[PhotoPoint; 2]>,
    /// How exactly each of them was placed, as a standard uncertainty each way in px; none: as with the magnifier.
    pub points_u_px: Option<[f64; 2]>,
    /// What an earlier photo of the same crab shows round its points.
    pub same_spots: Option<SameSpots>,
    /// A calibration of this camera at this size of picture: it stands before what the file says.
    pub calibration: Option<CameraPrior>,
}

/// The points of an earlier photo of the same still crab and card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SameSpots {
    /// What it shows round each.
    pub patches: [Patch; 2],
    /// The width between them as that photo has it, in mm.
    pub width_mm: f64,
    /// How sure each spot is, as [`MarkedPoint::spot_u_mm`].
    pub spot_u_mm: f64,
}

impl SameSpots {
    /// The spots of `points`. `None` without a pose.
    pub fn cut(photo: &Photo, scene: &Scene, points: &[MarkedPoint; 2], width_mm: f64) -> Option<Self> {
        let [left, right] = points.map(|marked| Patch::cut(photo, scene, marked.point));
        let spot_u_mm = points[0].spot_u_mm.max(points[1].spot_u_mm);
        Some(Self { patches: [left?, right?], width_mm, spot_u_mm })
    }
}
