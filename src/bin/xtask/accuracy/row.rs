//! One photo measured and held against its truth.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::matching::Patch;
use shellspan::measure::{Request, find_scene, propose};
use shellspan::photo::{Limits, Photo};
use shellspan::refusal::Refusal;
use shellspan::scene::Scene;
use shellspan::terms::{MarkedPoint, Placement};
use shellspan::units::{Millimetres, PhotoPoint};
use shellspan::width::{HeightPrior, View, Width, measure_width, on_height_plane};

use super::keeps::Tried;
use super::truth::{TrueShell, Truth};

/// Within this share of the card's longer side at every corner, the right card was found.
const SAME_CARD: f64 = 0.04;

#[derive(Default)]
pub struct Row {
    pub name: String,
    pub has_card: bool,
    pub found: Find,
    pub sharp: bool,
    pub corner_px: Vec<f64>,
    pub placement: Option<Placement>,
    pub true_width_mm: f64,
    pub with_true_points: Option<Judged>,
    pub proposed: Option<Proposed>,
    /// Ways to a wrong keep, tried on it.
    pub tried: Option<Tried>,
    /// For judging several photos of one scene together.
    pub seen: Option<Seen>,
}

/// A photo whose card was found, with its truth.
pub struct Seen {
    pub truth: Truth,
    pub scene: Scene,
    pub height: HeightPrior,
    pub proposed: Option<[MarkedPoint; 2]>,
    pub path: PathBuf,
    /// What the photo shows round the true points and round the proposed ones.
    pub true_patches: [Option<Patch>; 2],
    pub proposed_patches: [Option<Patch>; 2],
}

#[derive(Default, PartialEq, Clone, Copy)]
pub enum Find {
    Right,
    Wrong,
    #[default]
    Nothing,
    Refused(Refusal),
}

pub struct Judged {
    pub width: Width,
    /// Error of the width with each point at its true height: what the geometry alone leaves.
    pub geometry_error_mm: Option<f64>,
    pub call: Call,
}

#[derive(PartialEq, Clone, Copy)]
pub enum Call {
    Right,
    KeptShort,
    ReleasedLegal,
    Gauge,
}

pub struct Proposed {
    pub error_px: [f64; 2],
    pub error_mm: [f64; 2],
    pub width: Option<Judged>,
    /// Probability that both points are within 5 mm, as it is told.
    pub chance: f64,
}

impl Row {
    /// Measures the photo at `path`.
    pub fn of(path: &Path) -> Result<Self> {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let bytes = std::fs::read(path)?;
        let photo = Photo::decode(&bytes, &Limits::default())?;
        drop(bytes);
        let beside = path.with_extension("json");
        if !beside.exists() {
            let found = match find_scene(&photo, &Request::default()) {
                Ok(_) => Find::Wrong,
                Err(refused) if refused.scene.is_some() => Find::Wrong,
                Err(refused) => Find::Refused(refused.refusal),
            };
            return Ok(Self { name, found, ..Self::default() });
        }
        let truth: Truth = serde_json::from_slice(&std::fs::read(&beside)?)
            .with_context(|| format!("read {}", beside.display()))?;
        let species = truth.shell.species.replace('_', "-");
        let prior = shellspan::rules::species(&species).map(|info| info.height_prior());
        let points = [truth.shell.left_px, truth.shell.right_px].map(PhotoPoint::from);
        let request = Request {
            placement: truth.card.placement,
            dimension: truth.shell.dimension,
            species: Some(species.clone()),
            height_share: prior.map(|prior| (prior.k, prior.u)),
            calibration: truth.hidden_camera(),
            ..Request::default()
        };
        let mut row = Self {
            name,
            has_card: true,
            sharp: truth.scene.motion_blur_px == 0.0,
            placement: Some(truth.card.placement),
            true_width_mm: truth.shell.width_mm,
            ..Self::default()
        };
        let scene = match find_scene(&photo, &request) {
            Ok((scene, _)) => scene,
            Err(refused) => {
                // A card that is seen and leans too much is refused, and is no other card.
                let is_other = |scene: &Scene| !is_same_card(&scene.card.corners, &truth.card.corners_px);
                row.found = match &refused.scene {
                    Some(scene) if is_other(scene) => Find::Wrong,
                    _ => Find::Refused(refused.refusal),
                };
                return Ok(row);
            }
        };
        let errors = corner_errors(&scene.card.corners, &truth.card.corners_px.map(PhotoPoint::from));
        let is_same = is_same_card(&scene.card.corners, &truth.card.corners_px);
        row.found = if is_same { Find::Right } else { Find::Wrong };
        if row.found == Find::Wrong {
            return Ok(row);
        }
        row.corner_px = errors;
        if !truth.scene.upside_down.unwrap_or(false) {
            row.tried = Some(Tried::of(&photo, &scene, &request, &truth.shell));
        }
        let limit = limit_mm(&species);
        let judge = |points: &[MarkedPoint; 2]| judged(&scene, points, &request, &truth.shell, limit);
        row.with_true_points = judge(&points.map(|point| scene.hand_placed(point)));
        let proposal = propose(&photo, &scene, &request);
        row.proposed = proposal.as_ref().map(|proposal| {
            let places = proposal.points.map(|marked| marked.point);
            let (error_px, error_mm) =
                point_errors(&scene, places, points, truth.shell.mean_height_above_card_mm);
            Proposed { error_px, error_mm, width: judge(&proposal.points), chance: proposal.confidence }
        });
        let height = HeightPrior::of(request.placement, request.height_share);
        let proposed = proposal.map(|proposal| proposal.points);
        let cut = |points: [PhotoPoint; 2]| points.map(|point| Patch::cut(&photo, &scene, point));
        let true_patches = cut(points);
        let proposed_patches =
            proposed.map(|points| cut(points.map(|marked| marked.point))).unwrap_or_default();
        let path = path.to_owned();
        row.seen = Some(Seen { truth, height, proposed, path, true_patches, proposed_patches, scene });
        Ok(row)
    }
}

/// Limits to decide by in this report, by kind; a scenario, no rule.
pub fn limit_mm(species: &str) -> f64 {
    match species {
        "dungeness" => 158.75,
        "red-rock" | "blue" => 127.0,
        "brown" => 140.0,
        _ => 55.0,
    }
}

fn judged(
    scene: &Scene,
    points: &[MarkedPoint; 2],
    request: &Request,
    truth: &TrueShell,
    limit: f64,
) -> Option<Judged> {
    let height = HeightPrior::of(request.placement, request.height_share);
    let width = measure_width(&View { scene, points: *points }, &height)?;
    let pose = scene.poses.first()?;
    // Each point at its own height: a crab that stands askew has two.
    let at_true_height = |marked: &MarkedPoint| {
        let from = |place: [f64; 2]| marked.point.distance_px(PhotoPoint::from(place));
        let left_is_nearer = from(truth.left_px) < from(truth.right_px);
        let height_mm = if left_is_nearer { truth.left_card_mm[2] } else { truth.right_card_mm[2] };
        on_height_plane(&pose.intrinsics, &pose.pose, marked.point, height_mm)
    };
    let geometry_error_mm = at_true_height(&points[0])
        .zip(at_true_height(&points[1]))
        .map(|(left, right)| (left - right).norm() - truth.width_mm);
    let measured = MeasuredWidth::new(&width, request.dimension);
    let size = Size { min: Some(Millimetres(limit)), max: None };
    let legal = truth.width_mm >= limit;
    let call = match conformity(&measured, size, Risk::default())?.1 {
        Conformity::GaugeByHand => Call::Gauge,
        Conformity::Conforms if legal => Call::Right,
        Conformity::Fails if !legal => Call::Right,
        Conformity::Conforms => Call::KeptShort,
        Conformity::Fails => Call::ReleasedLegal,
    };
    Some(Judged { width, geometry_error_mm, call })
}

/// True where each corner lies near its true place.
pub fn is_same_card(found: &[PhotoPoint; 4], truth_px: &[[f64; 2]; 4]) -> bool {
    let truth = truth_px.map(PhotoPoint::from);
    let long_px = truth[0].distance_px(truth[1]).max(truth[1].distance_px(truth[2]));
    corner_errors(found, &truth).iter().all(|&error| error < SAME_CARD * long_px)
}

/// Distances of the corners, matched by the turn that fits best: which corner is the print's first cannot
/// be told from the outline.
pub fn corner_errors(found: &[PhotoPoint; 4], truth: &[PhotoPoint; 4]) -> Vec<f64> {
    (0..4)
        .map(|turn| (0..4).map(|i| found[(i + turn) % 4].distance_px(truth[i])).collect::<Vec<f64>>())
        .min_by(|a, b| a.iter().sum::<f64>().total_cmp(&b.iter().sum()))
        .unwrap_or_default()
}

fn point_errors(
    scene: &Scene,
    found: [PhotoPoint; 2],
    truth: [PhotoPoint; 2],
    height_mm: f64,
) -> ([f64; 2], [f64; 2]) {
    let swapped = found[0].distance_px(truth[0]) + found[1].distance_px(truth[1])
        > found[0].distance_px(truth[1]) + found[1].distance_px(truth[0]);
    let truth = if swapped { [truth[1], truth[0]] } else { truth };
    let px = [found[0].distance_px(truth[0]), found[1].distance_px(truth[1])];
    let mm = std::array::from_fn(|i| {
        let on_shell = |point| {
            let pose = scene.poses.first()?;
            on_height_plane(&pose.intrinsics, &pose.pose, point, height_mm)
        };
        on_shell(found[i]).zip(on_shell(truth[i])).map_or(f64::NAN, |(p, q)| (p - q).norm())
    });
    (px, mm)
}

/// Root mean square, and of how many.
pub fn rms(values: impl Iterator<Item = f64>) -> (f64, usize) {
    let (mut sum, mut count) = (0.0, 0);
    for value in values {
        sum += value * value;
        count += 1;
    }
    (if count == 0 { f64::NAN } else { (sum / count as f64).sqrt() }, count)
}
