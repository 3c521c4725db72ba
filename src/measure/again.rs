//! The points of an earlier photo of the same crab, found again in this one.

use super::{Request, SameSpots};
use crate::matching::find_again;
use crate::photo::Photo;
use crate::portable::Portable;
use crate::scene::Scene;
use crate::shell::Proposal;
use crate::terms::MarkedPoint;
use crate::units::PhotoPoint;
use crate::width::HeightPrior;

/// Standard uncertainty of a spot found again, each way, in mm on the shell: on the rendered pairs of two still scenes the
/// right ones were 0.4 mm off in the median.
const FOUND_AGAIN_MM: f64 = 0.5;
/// A proposal and a spot found again are the same tooth when they are nearer than this, in mm on the shell.
const SAME_TOOTH_MM: f64 = 3.0;

/// The spots found again: both, and where points are proposed as well, on the same teeth as those.
pub(super) fn found_again(
    photo: &Photo,
    scene: &Scene,
    request: &Request,
    spots: &SameSpots,
    proposal: Option<&Proposal>,
) -> Option<[MarkedPoint; 2]> {
    let pose = scene.poses.first()?;
    let height = HeightPrior::of(request.placement, request.height_share);
    let px_per_mm = scene.px_per_cm() / 10.0;
    let find = |which: usize| {
        let patch = &spots.patches[which];
        find_again(photo, &pose.intrinsics, &pose.pose, patch, &height, spots.width_mm)
    };
    let found = [find(0)?.point, find(1)?.point];
    if found[0].distance_px(found[1]) < SAME_TOOTH_MM * px_per_mm {
        return None;
    }
    if let Some(proposal) = proposal {
        let nearest = |point: PhotoPoint| {
            proposal.points.iter().map(|marked| marked.point.distance_px(point)).fold(f64::MAX, f64::min)
        };
        if found.iter().any(|&point| nearest(point) > SAME_TOOTH_MM * px_per_mm) {
            return None;
        }
    }
    let u_px = (FOUND_AGAIN_MM * px_per_mm).portable_hypot(1.0);
    Some(found.map(|point| MarkedPoint { spot_u_mm: spots.spot_u_mm, ..MarkedPoint::round(point, u_px) }))
}
