//! What there is to doubt about a photo that can be measured all the same: blur, glare, a shell far from the card, a
//! width that no crab has, points that look like other points than the rule names, a card that lies elsewhere than it is
//! said to.

mod glare;
mod placement;
mod warning;

pub use placement::card_contradicts;
pub use warning::Warning;

use nalgebra::Vector2;

use crate::card::softness::rise_px;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::scene::{Scene, px_per_cm};
use crate::shell::points_look_like;
use crate::terms::PointsHint;
use crate::terms::{Dimension, MarkedPoint, Placement};
use crate::units::PhotoPoint;
use crate::width::{CREDIBLE_WIDTHS_MM, Width, on_height_plane};

/// The card's sharpest edge may be this soft, in mm from a tenth to nine tenths of its step, before the photo
/// counts as blurred: more, and neither edge nor tooth can be placed to a millimetre (common practice).
const SOFT_EDGE_MM: f64 = 0.9;
/// From this softness on, in mm, it begins to tell.
const SOFT_BEGINS_MM: f64 = 0.7;
/// A step this soft, in px, is still that of a sharp picture, however few of them span a mm: of 431 rendered photos (two
/// thirds of the scenes of 2 px/mm) nine of ten had 2.9 px or less, and what the edges' fit tells of their corners held.
const SHARP_STEP_PX: f64 = 3.0;
/// Standard uncertainty of a corner between blurred edges, as a share of how soft the sharpest of them is: an
/// edge of two steps, a shadow that runs into it. On renderings blurred in motion, by the lens and by making
/// them smaller the corners were off by 0.25 of it in the median, several times what the edges' fit tells.
const CORNER_U_OF_SOFT: f64 = 0.25;
/// What remains of the place of a sharp edge in px, and for each px that its step is soft: the picture is blurred before
/// its tones are mapped, so that a bright card looks larger all round. From 1180 sides of cards found in every second
/// scene of renderings: 0.27 px RMS where the step takes 2 px, 0.40 px where it takes 3.5 px.
const SHARP_U_PX: f64 = 0.2;
const EDGE_U_OF_SOFT: f64 = 0.09;
/// From the card's middle to the middle of the measured line, in mm: beyond, small errors of the card's tilt
/// count more than those of the points (common practice; four times the card's length).
const FAR_FROM_CARD_MM: f64 = 340.0;

/// Warnings that only the measurement as a whole gives.
pub fn warnings_of(photo: &Photo, scene: &Scene, points: &[MarkedPoint; 2], width: &Width) -> Vec<Warning> {
    let mut found = Vec::new();
    if softest_mm(photo, &scene.card.corners).is_some_and(|soft| soft > SOFT_EDGE_MM) {
        found.push(Warning::Blur);
    }
    if glare::is_blown_out(photo, scene, points) {
        found.push(Warning::Glare);
    }
    if middle_from_card_mm(scene, points, width.height_mm).is_some_and(|far| far > FAR_FROM_CARD_MM) {
        found.push(Warning::FarFromCard);
    }
    if !CREDIBLE_WIDTHS_MM.contains(&width.width_mm) {
        found.push(Warning::UnlikelyWidth);
    }
    found
}

/// How soft the card's sharpest edge is, in mm: a shadow or a side wall softens an edge too, so that only the
/// sharpest of the four tells of the lens and the hand.
fn softest_mm(photo: &Photo, corners: &[PhotoPoint; 4]) -> Option<f64> {
    let light = LinearLight::default();
    let px_per_mm = px_per_cm(corners) / 10.0;
    (0..4)
        .filter_map(|i| rise_px(photo, &light, corners[i], corners[(i + 1) % 4]))
        .min_by(f64::total_cmp)
        .map(|rise| rise / px_per_mm)
}

/// What blur adds to the uncertainty of each corner, in px; 0 in a sharp picture.
pub fn corner_u_of_blur_px(photo: &Photo, corners: &[PhotoPoint; 4]) -> f64 {
    let soft_mm = softest_mm(photo, corners).unwrap_or(0.0);
    let soft_px = soft_mm * px_per_cm(corners) / 10.0;
    let in_mm = ((soft_mm - SOFT_BEGINS_MM) / (SOFT_EDGE_MM - SOFT_BEGINS_MM)).clamp(0.0, 1.0);
    let in_px = (soft_px - SHARP_STEP_PX).clamp(0.0, 1.0);
    in_mm * in_px * CORNER_U_OF_SOFT * soft_px
}

/// What every edge is off by all round, as an uncertainty of each corner in px: it widens the width's, and must not weigh
/// the corners less against the camera's prior.
pub fn corner_u_of_softness_px(photo: &Photo, corners: &[PhotoPoint; 4]) -> f64 {
    let soft_px = softest_mm(photo, corners).unwrap_or(0.0) * px_per_cm(corners) / 10.0;
    SHARP_U_PX.portable_hypot(EDGE_U_OF_SOFT * soft_px)
}

fn middle_from_card_mm(scene: &Scene, points: &[MarkedPoint; 2], height_mm: f64) -> Option<f64> {
    let pose = scene.poses.first()?;
    let middle = PhotoPoint::new(
        (points[0].point.x + points[1].point.x) / 2.0,
        (points[0].point.y + points[1].point.y) / 2.0,
    );
    let at = on_height_plane(&pose.intrinsics, &pose.pose, middle, height_mm)?;
    Some(Vector2::new(at.x, at.y).norm())
}

/// A sign that the tips were picked where the rule names the notches, by what is seen round both points.
pub fn points_hint(
    photo: &Photo,
    scene: &Scene,
    placement: Placement,
    dimension: Dimension,
    points: &[PhotoPoint; 2],
) -> Option<PointsHint> {
    let pose = scene.poses.first().filter(|_| dimension == Dimension::Notch)?;
    points_look_like(photo, &pose.intrinsics, &pose.pose, placement, points)
        .filter(|hint| *hint == PointsHint::NearTips)
}
