//! What would make a width surer, and by how much: the changed scene is solved, not guessed.

use nalgebra::{Matrix3, Vector3};
use serde::{Deserialize, Serialize};

use super::HeightPrior;
use super::estimate::{Estimate, with_common_parts};
use super::fit::Fit;
use super::problem::{Guess, Problem};
use super::rays::to_photo;
use super::view::Aligned;
use crate::camera::ippe::card_corners_mm;
use crate::camera::{Intrinsics, Pose};
use crate::card::ID1_MM;
use crate::portable::Portable;
use crate::scene::{ScenePose, hand_placed};
use crate::terms::Placement;

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

/// From where one more photo would help most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NextView {
    /// Which way the phone moves as the first photo shows it: to the right and down, of length 1.
    pub towards: [f64; 2],
    /// Angle between the new line of sight to the shell and the nearest old one, in degrees.
    pub parallax_deg: f64,
    /// From the phone to the middle between card and shell, in mm.
    pub distance_mm: f64,
    /// Standard uncertainty to expect, in mm.
    pub expected_u_mm: f64,
}

/// An act that gains less than a fifth is not worth a photo.
const WORTH: f64 = 0.8;
/// Tilts, in degrees: the one to recommend for a photo alone, and that of one more photo.
const TILT_ALONE_DEG: f64 = 15.0;
const TILT_NEXT_DEG: f64 = 25.0;
/// Distances to recommend, in mm: nearer for the pixels, farther for the height.
const NEAR_MM: f64 = 500.0;
const FAR_MM: f64 = 650.0;
/// Directions that are tried for one more photo.
const DIRECTIONS: usize = 8;
/// What is believed of a camera whose file is the original: see the prior of the focal length.
const ORIGINAL_FOCAL_U: f64 = 0.02;

/// The act that would make the width of this one photo surest; `None` when nothing would bring a fifth or more, or
/// several photos carry it.
pub(super) fn remedy(estimate: &Estimate, height: &HeightPrior) -> Option<Remedy> {
    let [view] = estimate.views.as_slice() else { return None };
    let [(intrinsics, pose)] = estimate.guess.cameras.as_slice() else { return None };
    let now_u_mm = super::moments(&estimate.humps).1;
    let points_mm = estimate.guess.points_mm;
    let target = middle(points_mm);
    let eye = pose.camera_in_card_mm();
    let sight = eye - target;
    let from = |direction: Vector3<f64>, distance_mm: f64| {
        looking_at(target, target + direction.normalize() * distance_mm)
    };
    let seen_anew = |pose: Pose| vec![synthetic(view, intrinsics, &pose, points_mm)];
    let expected = |views: Vec<Option<Aligned>>, points_mm, height: &HeightPrior| {
        expected_u_mm(views.into_iter().collect::<Option<Vec<_>>>()?, points_mm, height)
    };
    let mut acts: Vec<(RemedyAct, Option<f64>)> = Vec::new();
    if height.placement != Placement::Level {
        let level = HeightPrior::of(Placement::Level, None);
        let lowered = points_mm.map(|point| point - Vector3::z() * estimate.guess.height_mm());
        let raised = vec![synthetic(view, intrinsics, pose, lowered)];
        acts.push((RemedyAct::RaiseTheCard, expected(raised, lowered, &level)));
    }
    let tilt = TILT_ALONE_DEG.to_radians();
    let flat = Vector3::new(sight.x, sight.y, 0.0);
    let side = if flat.norm() > 1.0 { flat.normalize() } else { Vector3::y() };
    if pose.tilt_deg() < 10.0 {
        let tilted = Vector3::z() * tilt.portable_cos() + side * tilt.portable_sin();
        acts.push((
            RemedyAct::TiltALittle,
            expected(seen_anew(from(tilted, sight.norm())), points_mm, height),
        ));
    }
    // The other twin goes away with the tilt alone.
    if estimate.humps.len() == 1 {
        if sight.norm() > 1.2 * NEAR_MM {
            acts.push((RemedyAct::ComeCloser, expected(seen_anew(from(sight, NEAR_MM)), points_mm, height)));
        }
        if 1.2 * sight.norm() < FAR_MM {
            acts.push((RemedyAct::StepBack, expected(seen_anew(from(sight, FAR_MM)), points_mm, height)));
        }
        let by_hand = view.points.map(|marked| hand_placed(marked.point));
        let placed = Aligned { points: by_hand, ..view.clone() };
        acts.push((RemedyAct::PlaceThePoints, expected(vec![Some(placed)], points_mm, height)));
        if view.prior.focal_relative_u > 1.5 * ORIGINAL_FOCAL_U {
            let mut original = view.clone();
            original.prior.focal_relative_u = ORIGINAL_FOCAL_U;
            acts.push((RemedyAct::KeepTheOriginal, expected(vec![Some(original)], points_mm, height)));
        }
    }
    acts.into_iter()
        .filter_map(|(act, u)| Some(Remedy { act, expected_u_mm: u? }))
        .filter(|remedy| remedy.expected_u_mm < WORTH * now_u_mm)
        .min_by(|a, b| a.expected_u_mm.total_cmp(&b.expected_u_mm))
}

/// The direction from which one more photo would make the width surest.
pub(super) fn next_view(estimate: &Estimate, height: &HeightPrior) -> Option<NextView> {
    let (view, (intrinsics, pose)) = (estimate.views.first()?, estimate.guess.cameras.first()?);
    let points_mm = estimate.guess.points_mm;
    let target = middle(points_mm);
    let shell = (points_mm[0] + points_mm[1]) / 2.0;
    let distance_mm = (pose.camera_in_card_mm() - target).norm().clamp(NEAR_MM, FAR_MM);
    let tilt = TILT_NEXT_DEG.to_radians();
    let mut best: Option<NextView> = None;
    for k in 0..DIRECTIONS {
        let turn = std::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
        let across = Vector3::new(turn.portable_cos(), turn.portable_sin(), 0.0);
        let eye = target + (Vector3::z() * tilt.portable_cos() + across * tilt.portable_sin()) * distance_mm;
        let Some(next) = next_by_hand(view, intrinsics, &looking_at(target, eye), points_mm) else {
            continue;
        };
        let views: Vec<Aligned> = estimate.views.iter().cloned().chain([next]).collect();
        let Some(expected_u_mm) = expected_u_mm(views, points_mm, height) else { continue };
        if best.is_some_and(|best| best.expected_u_mm <= expected_u_mm) {
            continue;
        }
        let nearest = estimate.guess.cameras.iter().map(|(_, pose)| {
            let (old, new) = ((pose.camera_in_card_mm() - shell).normalize(), (eye - shell).normalize());
            old.dot(&new).clamp(-1.0, 1.0).portable_acos().to_degrees()
        });
        let shift = pose.rotation * (eye - pose.camera_in_card_mm());
        let length = shift.x.portable_hypot(shift.y).max(1e-9);
        best = Some(NextView {
            towards: [shift.x / length, shift.y / length],
            parallax_deg: nearest.fold(180.0, f64::min),
            distance_mm,
            expected_u_mm,
        });
    }
    best
}

/// Between the card's centre and the middle of the shell, on the card's plane: what a photo of both is aimed at.
fn middle(points_mm: [Vector3<f64>; 2]) -> Vector3<f64> {
    let shell = (points_mm[0] + points_mm[1]) / 2.0;
    Vector3::new(shell.x / 2.0, shell.y / 2.0, 0.0)
}

/// A camera at `eye` that looks at `target`, card frame; its roll does not matter.
fn looking_at(target: Vector3<f64>, eye: Vector3<f64>) -> Pose {
    let forward = (target - eye).normalize();
    let beside = if forward.x.abs() < 0.7 { Vector3::x() } else { Vector3::y() };
    let right = forward.cross(&beside).normalize();
    let down = forward.cross(&right);
    let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
    Pose { rotation, translation_mm: -(rotation * eye) }
}

/// A view by a camera like the one of `like`, seen without error, its points placed by hand.
fn next_by_hand(
    like: &Aligned,
    intrinsics: &Intrinsics,
    pose: &Pose,
    points_mm: [Vector3<f64>; 2],
) -> Option<Aligned> {
    let view = synthetic(like, intrinsics, pose, points_mm)?;
    Some(Aligned { points: view.points.map(|marked| hand_placed(marked.point)), ..view })
}

/// A view by a camera like the one of `like`, seen without error, its points as surely placed as there.
fn synthetic(
    like: &Aligned,
    intrinsics: &Intrinsics,
    pose: &Pose,
    points_mm: [Vector3<f64>; 2],
) -> Option<Aligned> {
    let mut view = like.clone();
    for (corner, plane) in view.corners.iter_mut().zip(card_corners_mm(ID1_MM)) {
        *corner = to_photo(intrinsics, pose, &Vector3::new(plane.x, plane.y, 0.0))?;
    }
    for (marked, point) in view.points.iter_mut().zip(&points_mm) {
        marked.point = to_photo(intrinsics, pose, point)?;
    }
    let u_px = (like.corner_u_px.iter().map(|u| u * u).sum::<f64>() / 4.0).sqrt();
    view.corner_u_px = [u_px; 4];
    view.poses = vec![ScenePose { intrinsics: *intrinsics, pose: *pose, weight: 1.0, rms_px: 0.0 }];
    Some(view)
}

/// Standard uncertainty of the width that these views would give, their points truly at `points_mm`.
fn expected_u_mm(views: Vec<Aligned>, points_mm: [Vector3<f64>; 2], height: &HeightPrior) -> Option<f64> {
    let cameras = views.iter().map(|view| view.camera(0)).collect::<Option<Vec<_>>>()?;
    let guess = Guess { cameras, points_mm };
    let width_mm = guess.width_mm();
    let linear = Problem::of(&views, height, width_mm)?.at(&guess)?;
    let budget = Fit { guess, linear }.budget()?;
    let u_mm = with_common_parts(budget, &views, width_mm, 1.0).total();
    u_mm.is_finite().then_some(u_mm)
}
