//! The one call: photo and placement to a measurement, or a refusal with a next step.

use serde::{Deserialize, Serialize};

use crate::camera::intrinsics::PictureHistory;
use crate::camera::ippe::two_poses;
use crate::camera::refine::{CameraPrior, Refined, refine};
use crate::camera::{FocalFrom, Intrinsics, Pose};
use crate::card::{self, CardHint, FoundCard, ID1_MM};
use crate::doubts;
use crate::photo::Photo;
use crate::portable::Portable;
use crate::shell::{self, Dimension, MarkedPoint, Placement, Proposal, ShellQuery};
use crate::units::{PhotoPoint, PhotoSize};
use crate::width::{HeightPrior, PointsHint, Width, measure_width};

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
    /// The intrinsics believed before the card was looked at.
    pub prior_intrinsics: Intrinsics,
    /// Standard uncertainty of the principal point in px each way.
    pub principal_u_px: f64,
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

/// Tilt beyond which the far edge is out of focus and the height weighs too much, in degrees.
const MOST_TILT_DEG: f64 = 45.0;
/// Least resolution on the card in px per cm.
const LEAST_PX_PER_CM: f64 = 12.0;
/// Standard uncertainty above which a width helps nobody, in mm.
const MOST_U_MM: f64 = 4.0;
/// A point placed by hand with the magnifier, in px of the full-size photo (common practice); at least
/// this share of a millimetre on the shell, since the tooth itself is not sharper.
const HAND_U_PX: f64 = 1.5;
const HAND_U_MM: f64 = 0.35;
/// The chi-square difference up to which the card's second pose stays credible (measured flips of an ID-1
/// card: the wrong one has the smaller error in up to 40 % of near-frontal photos).
const OPEN_CHI_SQUARE: f64 = 9.0;
/// The ratio of the two errors up to which it stays credible.
const OPEN_RATIO: f64 = 2.0;
/// Share of belief an open twin keeps at least, so that it is never dropped silently.
const LEAST_TWIN_WEIGHT: f64 = 0.05;

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
    let (prior, focal, history) = CameraPrior::of(&photo.exif, size);
    let mut warnings = Vec::new();
    if focal.from == FocalFrom::Prior {
        warnings.push(Warning::NoFocalLength);
    }
    if history != PictureHistory::Whole {
        warnings.push(Warning::CroppedOrResized);
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
    let found = match found {
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
    let started = clock();
    let settled = found.judged.prior;
    let poses = credible_poses(&found.card, &settled);
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
    };
    if scene.tilt_deg() > MOST_TILT_DEG {
        return (refuse(Refusal::Tilt, Some(scene), warnings), elapsed);
    }
    if scene.px_per_cm() < LEAST_PX_PER_CM {
        return (refuse(Refusal::TooFar, Some(scene), warnings), elapsed);
    }
    (Ok((scene, warnings)), elapsed)
}

/// The pose, or both where neither can be told from the other.
fn credible_poses(card: &FoundCard, prior: &CameraPrior) -> Vec<ScenePose> {
    let Some(both) = two_poses(&card.corners, ID1_MM, &prior.intrinsics) else { return Vec::new() };
    let mut fits: Vec<Refined> = both
        .iter()
        .filter_map(|(pose, _)| refine(pose, &card.corners, &card.corner_u_px, ID1_MM, prior))
        .collect();
    fits.sort_by(|a, b| a.chi_square.total_cmp(&b.chi_square));
    let Some(best) = fits.first().copied() else { return Vec::new() };
    let apart = |a: &Refined, b: &Refined| {
        let normals = (a.pose.rotation.column(2), b.pose.rotation.column(2));
        normals.0.dot(&normals.1).clamp(-1.0, 1.0).portable_acos().to_degrees()
    };
    // A residual that is larger than the corners' own uncertainty says that they are worse than thought.
    let inflation = (best.chi_square / 2.0).max(1.0);
    let mut poses: Vec<(Refined, f64)> = vec![(best, 1.0)];
    for twin in fits.iter().skip(1) {
        let difference = (twin.chi_square - best.chi_square) / inflation;
        let open = difference < OPEN_CHI_SQUARE || twin.rms_px < OPEN_RATIO * best.rms_px;
        // The refinement may bring both to the same place.
        if open && apart(&best, twin) > 1.0 {
            poses.push((*twin, (-0.5 * difference).portable_exp().max(LEAST_TWIN_WEIGHT)));
        }
    }
    let total: f64 = poses.iter().map(|pose| pose.1).sum();
    poses
        .into_iter()
        .map(|(fit, weight)| ScenePose {
            intrinsics: fit.intrinsics,
            pose: fit.pose,
            weight: weight / total,
            rms_px: fit.rms_px,
        })
        .collect()
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
        Some(points) => (points.map(|point| scene.hand_placed(point)), PointsFrom::Given, None),
        None => match propose(photo, &scene, request) {
            Some(proposal) => (proposal.points, PointsFrom::Proposed, Some(proposal)),
            None => {
                elapsed.shell = clock() - started;
                return (Err(Box::new(Refused::after(Refusal::NoShell, scene, warnings))), elapsed);
            }
        },
    };
    elapsed.shell = clock() - started;
    if points.iter().any(|marked| !scene.size.contains(marked.point)) {
        warnings.push(Warning::PointsOutside);
    }
    let started = clock();
    let height = HeightPrior::of(request.placement, request.height_share);
    let width = measure_width(&scene, &points, request.placement, &height);
    elapsed.width = clock() - started;
    let Some(width) = width else {
        return (Err(Box::new(Refused::after(Refusal::Tilt, scene, warnings))), elapsed);
    };
    // A proposal that is only a rough one is no matter of distance: the person moves the points.
    let far = width.budget_mm.corners.portable_hypot(width.budget_mm.points);
    if points_from == PointsFrom::Given && width.u_mm > MOST_U_MM && far > 0.7 * width.u_mm {
        return (Err(Box::new(Refused::after(Refusal::TooFar, scene, warnings))), elapsed);
    }
    warnings.extend(doubts::warnings_of(photo, &scene, &points, &width));
    let points_hint = given
        .and_then(|points| doubts::points_hint(photo, &scene, request.placement, request.dimension, &points));
    (Ok(Measurement { scene, points, points_from, proposal, width, points_hint, warnings }), elapsed)
}

/// The finder's proposal for a scene, if it has a credible one.
pub fn propose(photo: &Photo, scene: &Scene, request: &Request) -> Option<Proposal> {
    let pose = scene.poses.first()?;
    shell::propose(&ShellQuery {
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

impl Refused {
    fn after(refusal: Refusal, scene: Scene, warnings: Vec<Warning>) -> Self {
        Self { refusal, scene: Some(scene), candidates: Vec::new(), warnings }
    }
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

    /// Resolution on the card in px per cm: its shorter image side over its true length, the smaller of the
    /// two directions.
    pub fn px_per_cm(&self) -> f64 {
        let c = &self.card.corners;
        let long = 0.5 * (c[0].distance_px(c[1]) + c[2].distance_px(c[3])) / (ID1_MM[0] / 10.0);
        let short = 0.5 * (c[1].distance_px(c[2]) + c[3].distance_px(c[0])) / (ID1_MM[1] / 10.0);
        long.min(short)
    }

    /// A point that the person placed, with the uncertainty of doing so.
    pub fn hand_placed(&self, point: PhotoPoint) -> MarkedPoint {
        MarkedPoint::round(point, HAND_U_PX.portable_hypot(HAND_U_MM * self.px_per_cm() / 10.0))
    }
}
