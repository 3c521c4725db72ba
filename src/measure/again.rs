//! The points of an earlier photo of the same crab, found again in this one.

use super::{Request, SameSpots};
use crate::matching::find_again;
use crate::photo::Photo;
use crate::portable::Portable;
use crate::scene::Scene;
use crate::terms::MarkedPoint;
use crate::width::HeightPrior;

/// Standard uncertainty of a spot found again, each way, in mm on the shell: most lie within half a millimetre, some on
/// the next tooth; widths from them were 2.5 mm off (RMS) on 59 rendered pairs of scenes left out.
const FOUND_AGAIN_MM: f64 = 1.8;
/// Spots nearer to each other than this are one, in mm on the shell.
const ONE_SPOT_MM: f64 = 3.0;

/// The spots found again, for a photo in which the finder proposes nothing: where it does, its points are the better
/// ones (1.4 mm RMS on such pairs).
pub(super) fn found_again(
    photo: &Photo,
    scene: &Scene,
    request: &Request,
    spots: &SameSpots,
) -> Option<[MarkedPoint; 2]> {
    let pose = scene.poses.first()?;
    let height = HeightPrior::of(request.placement, request.height_share);
    let px_per_mm = scene.px_per_cm() / 10.0;
    let find = |which: usize| {
        let patch = &spots.patches[which];
        find_again(photo, &pose.intrinsics, &pose.pose, patch, &height, spots.width_mm)
    };
    let found = [find(0)?.point, find(1)?.point];
    if found[0].distance_px(found[1]) < ONE_SPOT_MM * px_per_mm {
        return None;
    }
    let u_px = (FOUND_AGAIN_MM * px_per_mm).portable_hypot(1.0);
    Some(found.map(|point| MarkedPoint { spot_u_mm: spots.spot_u_mm, ..MarkedPoint::round(point, u_px) }))
}
