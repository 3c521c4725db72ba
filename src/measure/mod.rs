//! The one call: photo and placement to a measurement, or a refusal with a next step.
//!
//! In goes a photo with a [`Request`]; found on it is a [`Scene`]; out comes a [`Measurement`] or [`Refused`].

mod again;
mod answer;
mod request;

pub use answer::{Elapsed, Measurement, PointsFrom, Refused};
pub use request::{Request, SameSpots};

use crate::camera::intrinsics::PictureHistory;
use crate::camera::refine::CameraPrior;
use crate::camera::{FocalFrom, Lens};
use crate::card::{self, CardHint};
use crate::doubts::{self, Warning};
use crate::photo::Photo;
use crate::portable::Portable;
use crate::refusal::Refusal;
use crate::scene::{Scene, credible_poses};
use crate::shell::{self, NoProposal, Proposal, ShellQuery};
use crate::terms::MarkedPoint;
use crate::width::{Budget, HeightPrior, View, measure_width};

/// Tilt beyond which the far edge is out of focus and the height weighs too much, in degrees.
const MOST_TILT_DEG: f64 = 45.0;
/// Least resolution on the card in px per cm.
const LEAST_PX_PER_CM: f64 = 12.0;
/// Standard uncertainty above which a width helps nobody, in mm.
const MOST_U_MM: f64 = 4.0;
/// The rest of the budget may make so much of it, relative: the square root of a half, so that corners, points and poses
/// make the larger part.
const MOST_OF_OTHERS: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Finds card and camera in a photo.
///
/// # Errors
/// [`Refused`] with the reason; the scene is in it where the card was found all the same.
pub fn find_scene(photo: &Photo, request: &Request) -> Result<(Scene, Vec<Warning>), Box<Refused>> {
    find_scene_timed(photo, request, &mut || 0.0).0
}

type FoundScene = Result<(Scene, Vec<Warning>), Box<Refused>>;

fn find_scene_timed(
    photo: &Photo,
    request: &Request,
    clock: &mut dyn FnMut() -> f64,
) -> (FoundScene, Elapsed) {
    let mut elapsed = Elapsed::default();
    let started = clock();
    let size = photo.size();
    let (mut prior, mut focal, mut history) = CameraPrior::of(&photo.exif, size);
    if let Some(calibration) = request.calibration {
        (prior, focal.from, history) = (calibration, FocalFrom::Calibration, PictureHistory::Whole);
    }
    let mut warnings = Vec::new();
    if focal.from == FocalFrom::Prior {
        warnings.push(Warning::NoFocalLength);
    }
    if history != PictureHistory::Whole {
        warnings.push(Warning::CroppedOrResized);
    }
    if focal.from == FocalFrom::Exif && photo.exif.digital_zoom.is_some() {
        warnings.push(Warning::DigitalZoom);
    }
    if photo.foreign_decoder {
        warnings.push(Warning::ForeignDecoder);
    }
    let hint = CardHint {
        near: request.card_near.filter(|point| point.is_finite()),
        corners: request.card_corners.filter(|corners| corners.iter().all(|corner| corner.is_finite())),
    };
    let found = card::find(photo, &prior, &hint);
    elapsed.card = clock() - started;
    let mut found = match found {
        Ok(found) => found,
        Err(nothing) => {
            let refused =
                Refused { refusal: nothing.refusal, scene: None, candidates: nothing.candidates, warnings };
            return (Err(Box::new(refused)), elapsed);
        }
    };
    if found.card.unsure_edges.contains(&true) {
        warnings.push(Warning::UnsureEdge);
    }
    let blur_px = doubts::corner_u_of_blur_px(photo, &found.card.corners);
    for u_px in &mut found.card.corner_u_px {
        *u_px = u_px.portable_hypot(blur_px);
    }
    let started = clock();
    let settled = found.judged.prior;
    let poses = credible_poses(&found.card, &settled);
    // Only now: what all corners are off by together must not weigh them less against the camera's prior.
    let soft_px = doubts::corner_u_of_softness_px(photo, &found.card.corners);
    for u_px in &mut found.card.corner_u_px {
        *u_px = (*u_px * found.judged.refined.birge_ratio()).portable_hypot(soft_px);
    }
    elapsed.pose = clock() - started;
    let refuse = |refusal, scene, warnings| {
        Err(Box::new(Refused { refusal, scene, candidates: Vec::new(), warnings }))
    };
    if poses.is_empty() {
        return (refuse(Refusal::NoCard, None, warnings), elapsed);
    }
    if poses.len() > 1 {
        warnings.push(Warning::FlipOpen);
    }
    let scene = Scene {
        size,
        card: found.card,
        poses,
        focal_from: focal.from,
        focal_relative_u: settled.focal_relative_u,
        prior_intrinsics: settled.intrinsics,
        principal_u_px: settled.principal_u_px,
        lens: Lens::of(&photo.exif, size),
    };
    if scene.tilt_deg() > MOST_TILT_DEG {
        return (refuse(Refusal::Tilt, Some(scene), warnings), elapsed);
    }
    if scene.px_per_cm() < LEAST_PX_PER_CM {
        return (refuse(Refusal::TooFar, Some(scene), warnings), elapsed);
    }
    (Ok((scene, warnings)), elapsed)
}

/// From a photo to a width: card, pose, points, width. `clock` gives milliseconds from any start.
///
/// # Errors
/// [`Refused`] with the reason; the scene is in it where the card was found all the same.
pub fn measure(
    photo: &Photo,
    request: &Request,
    clock: &mut dyn FnMut() -> f64,
) -> (Result<Measurement, Box<Refused>>, Elapsed) {
    let (found, mut elapsed) = find_scene_timed(photo, request, clock);
    let (scene, mut warnings) = match found {
        Ok(found) => found,
        Err(refused) => return (Err(refused), elapsed),
    };
    let started = clock();
    let given = request.points.filter(|points| points.iter().all(|point| point.is_finite()));
    let (points, points_from, proposal) = match given {
        Some(points) => {
            let mut placed = points.map(|point| scene.hand_placed(point));
            if let Some(u_px) =
                request.points_u_px.filter(|u_px| u_px.iter().all(|u| u.is_finite() && *u > 0.0))
            {
                for (marked, u_px) in placed.iter_mut().zip(u_px) {
                    marked.covariance_px2 = MarkedPoint::round(marked.point, u_px).covariance_px2;
                }
            }
            (placed, PointsFrom::Given, None)
        }
        None => {
            let looked = look_for_shell(photo, &scene, request);
            let again = match (&looked, &request.same_spots) {
                (Err(_), Some(spots)) => again::found_again(photo, &scene, request, spots),
                _ => None,
            };
            match (again, looked) {
                (Some(points), _) => (points, PointsFrom::Proposed, None),
                (None, Ok(proposal)) => (proposal.points, PointsFrom::Proposed, Some(proposal)),
                (None, Err(why)) => {
                    elapsed.shell = clock() - started;
                    let why = match why {
                        NoProposal::Underside => Refusal::Underside,
                        NoProposal::NotSeen | NoProposal::Unsure => Refusal::NoShell,
                    };
                    return (Err(Box::new(Refused::after(why, scene, warnings))), elapsed);
                }
            }
        }
    };
    elapsed.shell = clock() - started;
    if points.iter().any(|marked| !scene.size.contains(marked.point)) {
        warnings.push(Warning::PointsOutside);
    }
    let started = clock();
    let height = HeightPrior::of(request.placement, request.height_share);
    let width = measure_width(&View { scene: &scene, points }, &height);
    elapsed.width = clock() - started;
    let Some(width) = width else {
        let outside = warnings.contains(&Warning::PointsOutside);
        let why = if outside { Refusal::PointsOutside } else { Refusal::Tilt };
        return (Err(Box::new(Refused::after(why, scene, warnings))), elapsed);
    };
    // What the height, the focal length and the card leave unsure is no matter of distance; how far the widths of all
    // credible poses lie apart is. Nor is a rough proposal: the person moves the points.
    let Budget { height, focal, card, .. } = width.budget_mm;
    let others = height.portable_hypot(focal).portable_hypot(card);
    if points_from == PointsFrom::Given && width.u_mm > MOST_U_MM && others < MOST_OF_OTHERS * width.u_mm {
        let blurred = doubts::corner_u_of_blur_px(photo, &scene.card.corners) > 0.0;
        let why = if blurred { Refusal::Blurred } else { Refusal::TooFar };
        return (Err(Box::new(Refused::after(why, scene, warnings))), elapsed);
    }
    warnings.extend(doubts::warnings_of(photo, &scene, &points, &width));
    let places = points.map(|marked| marked.point);
    warnings.extend(doubts::card_contradicts(&scene, &places, request.placement));
    let points_hint = given
        .and_then(|points| doubts::points_hint(photo, &scene, request.placement, request.dimension, &points));
    (Ok(Measurement { scene, points, points_from, proposal, width, points_hint, warnings }), elapsed)
}

/// The finder's proposal for a scene, if it has a credible one.
pub fn propose(photo: &Photo, scene: &Scene, request: &Request) -> Option<Proposal> {
    look_for_shell(photo, scene, request).ok()
}

fn look_for_shell(photo: &Photo, scene: &Scene, request: &Request) -> Result<Proposal, NoProposal> {
    let pose = scene.poses.first().ok_or(NoProposal::NotSeen)?;
    shell::look_for_shell(&ShellQuery {
        photo,
        intrinsics: pose.intrinsics,
        pose: pose.pose,
        card_corners: scene.card.corners,
        placement: request.placement,
        dimension: request.dimension,
        species: request.species.as_deref(),
        shell_near: request.shell_near.filter(|point| point.is_finite()),
    })
}
