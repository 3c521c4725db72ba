//! Where the card is seen to lie, on the shell or beside it, against where the person says it lies.
//!
//! A card taken to lie elsewhere than it does shifts the width by one to three centimetres. On the shell or beside it
//! shows in the picture; on the deck or level with the shell's edge does not, and is asked.

use nalgebra::{Vector2, Vector3};

use super::Warning;
use crate::camera::homography::homography_of_four;
use crate::camera::ippe::card_corners_mm;
use crate::card::ID1_MM;
use crate::portable::Portable;
use crate::scene::Scene;
use crate::terms::Placement;
use crate::units::PhotoPoint;

/// Longer than broad is no crab of the packs: the outline reaches at most so far to the front and the back of the line
/// between the points, as a share of half the width.
const OUTLINE_SHARE: f64 = 0.8;
/// The card lies on the shell while its middle is within this share of the outline. Fitted on 928 renderings (crabs of
/// five kinds): on the back the middle comes to 0.50 at most, beside the shell to 1.17 at least; the geometric mean.
const ON_SHELL_WITHIN: f64 = 0.77;

/// What the picture has against the placement, if anything.
pub fn card_contradicts(scene: &Scene, points: &[PhotoPoint; 2], placement: Placement) -> Option<Warning> {
    let is_on_shell = lies_on_shell(scene, points)?;
    match (placement, is_on_shell) {
        (Placement::Deck | Placement::Level, true) => Some(Warning::CardOnShell),
        (Placement::Back, false) => Some(Warning::CardBesideShell),
        _ => None,
    }
}

/// Whether the card's middle is seen within the shell's outline. `None` for points that are one.
///
/// Both points are seen on the card's plane: their height above it moves them all alike, by little beside a shell.
fn lies_on_shell(scene: &Scene, points: &[PhotoPoint; 2]) -> Option<bool> {
    let to_card = homography_of_four(&card_corners_mm(ID1_MM), &scene.card.corners)?.try_inverse()?;
    let [left, right] = points.map(|point| {
        let at = to_card * Vector3::new(point.x, point.y, 1.0);
        Vector2::new(at.x / at.z, at.y / at.z)
    });
    let (line, middle) = (right - left, (left + right) / 2.0);
    let half = line.norm() / 2.0;
    let along = middle.dot(&line) / (2.0 * half * half);
    let across = (middle.x * line.y - middle.y * line.x) / (2.0 * half * half * OUTLINE_SHARE);
    let away = along.portable_hypot(across);
    away.is_finite().then_some(away < ON_SHELL_WITHIN)
}
