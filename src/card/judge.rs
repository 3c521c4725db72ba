//! Judgement of a candidate at full size: edges refined, one rigid card, rounded corners.

use nalgebra::{Matrix3, Vector2};

use super::ID1_MM;
use super::edges::crossings::intersections;
use super::edges::{EdgeLine, Look, Strip};
use super::look::corners::SeenCorners;
use super::rims::{corner_sine, corner_uncertainty, face_corners, wall_widths_px};
use super::search::card_shaped;
use super::shape::shape_of;
use crate::camera::homography::{apply, homography_of_four};
use crate::camera::ippe::{card_corners_mm, two_poses};
use crate::camera::refine::{Refined, refine};
use crate::camera::{CameraPrior, Intrinsics};
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// A candidate after refinement, with all that speaks for and against it.
#[derive(Debug, Clone)]
pub struct Judged {
    /// Virtual corners, clockwise, the first side a long one.
    pub corners: [PhotoPoint; 4],
    /// Standard uncertainty of each corner in px, each way, as the edges' fit tells it: what weighs one against another.
    pub corner_u_px: [f64; 4],
    /// The line of each side, in the frame of the last search.
    pub sides: [Side; 4],
    /// The likelier pose with its fit to a rigid ID-1 card.
    pub refined: Refined,
    /// The camera's prior, settled where it was wide.
    pub prior: CameraPrior,
    /// Width in px at which the card's side wall shows outside each side.
    pub walls_px: [f64; 4],
    /// Rounded as an ID-1 card is (1), sharp or of another radius (0); `None` when no corner tells.
    pub roundness: Option<f64>,
    /// What the edges, the shape and the corners say, 0 to 1.
    pub score: f64,
    /// Sides of which it stands open whether they are the card's edge or the rim of its shadow.
    pub open: [bool; 4],
}

/// What one side shows.
#[derive(Debug, Clone, Copy, Default)]
pub struct Side {
    /// Share of the side with a step on the line.
    pub support: f64,
    /// Share of the step strength near the side that lies on the line.
    pub salience: f64,
    /// Scatter of the steps about the line in px.
    pub rms_px: f64,
    /// Sag in px.
    pub bow_px: f64,
}

/// Most lines kept per side while the combination is open: more finds the face between print and shadow,
/// and costs by the fourth power.
const LINES_PER_SIDE: usize = 3;

/// Refines a candidate whose corners are known to some `reach_px`.
pub fn judge(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    reach_px: f64,
) -> Option<Judged> {
    let corners = card_shaped(corners, prior, 0.12)?;
    judge_turned(photo, light, corners, prior, reach_px.max(shadow_px(&corners)), None)
}

/// As [`judge`], for a card of which corners are `seen`: no line farther off than `reach_px` is taken, and of
/// several the ones that meet there.
pub fn judge_seen(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    reach_px: f64,
    seen: &SeenCorners,
) -> Option<Judged> {
    judge_turned(photo, light, card_shaped(&seen.or(corners), prior, 0.12)?, prior, reach_px, Some(seen))
}

/// As [`judge`], for corners that a person placed.
pub fn judge_by_hand(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    reach_px: f64,
) -> Option<Judged> {
    let corners = placed_shape(corners)?;
    judge_turned(photo, light, corners, prior, reach_px.max(shadow_px(&corners)), None)
}

/// Turns corners that a thumb placed so that the first side is a long one; `None` when they look like no card.
///
/// A thumb is 2 % of the card off, and what a camera makes of a small card's shape then is anything: only what
/// a tilt of up to some 50 degrees makes of the sides is asked for.
fn placed_shape(corners: &[PhotoPoint; 4]) -> Option<[PhotoPoint; 4]> {
    let side = |i: usize| {
        0.5 * (corners[i].distance_px(corners[i + 1]) + corners[i + 2].distance_px(corners[(i + 3) % 4]))
    };
    let ratio = side(0) / side(1);
    let square = (0..4).all(|i| corner_sine(corners, i) > 0.55);
    let shaped = |ratio: f64| (0.95..2.6).contains(&ratio);
    match square {
        true if ratio >= 1.0 && shaped(ratio) => Some(*corners),
        true if shaped(1.0 / ratio) => Some([corners[1], corners[2], corners[3], corners[0]]),
        _ => None,
    }
}

fn judge_turned(
    photo: &Photo,
    light: &LinearLight,
    mut corners: [PhotoPoint; 4],
    prior: &CameraPrior,
    reach_px: f64,
    seen: Option<&SeenCorners>,
) -> Option<Judged> {
    let short = (0..4).map(|i| corners[i].distance_px(corners[(i + 1) % 4])).fold(f64::MAX, f64::min);
    let wide = reach_px.min(short * 0.12).max(4.0);
    for (pass, reach) in [wide, (wide * 0.5).clamp(4.0, 7.0)].into_iter().enumerate() {
        corners = refined_corners(photo, light, &corners, prior, reach, pass == 0, seen)?;
    }
    let settled = settled_prior(prior, &corners)?;
    let (pose, _) = two_poses(&corners, ID1_MM, &settled.intrinsics)?[0];
    let walls_px = wall_widths_px(&pose, &settled.intrinsics)?;
    let (corners, lines) = face_corners(photo, light, &corners, &walls_px, &settled, seen)?;
    let corner_u_px = corner_uncertainty(&corners, &lines, &walls_px);
    let prior = settled_prior(prior, &corners)?;
    let (pose, _) = two_poses(&corners, ID1_MM, &prior.intrinsics)?[0];
    let refined = refine(&pose, &corners, &corner_u_px, ID1_MM, &prior)?;
    let sides = lines.map(|line| Side {
        support: line.support,
        salience: line.salience.min(1.0),
        rms_px: line.rms_px,
        bow_px: line.bow_px,
    });
    let roundness = roundness(photo, light, &corners);
    // Any tiles and planks are a card to a camera of which nothing is known: there the person's tap counts.
    let known = if prior.focal_relative_u > 0.2 { 0.6 } else { 1.0 };
    let score = known * score(&sides, &refined, roundness);
    Some(Judged { corners, corner_u_px, sides, refined, prior, walls_px, roundness, score, open: [false; 4] })
}

/// A card whose corners a person placed where its edges are not to be seen: they stand as placed, each known to
/// `u_px`. `None` where no camera sees an ID-1 card so.
pub fn as_placed(corners: &[PhotoPoint; 4], prior: &CameraPrior, u_px: f64) -> Option<Judged> {
    let corners = placed_shape(corners)?;
    let prior = settled_prior(prior, &corners)?;
    let (pose, _) = two_poses(&corners, ID1_MM, &prior.intrinsics)?[0];
    let corner_u_px = [u_px; 4];
    let refined = refine(&pose, &corners, &corner_u_px, ID1_MM, &prior)?;
    // No side is seen, none is known to be hidden.
    let sides = [Side { support: 0.4, ..Side::default() }; 4];
    Some(Judged {
        corners,
        corner_u_px,
        sides,
        refined,
        prior,
        walls_px: [0.0; 4],
        roundness: None,
        score: 0.0,
        open: [false; 4],
    })
}

/// A wide focal prior moved to where this card is rectangular, so that the refinement starts near.
pub(super) fn settled_prior(prior: &CameraPrior, corners: &[PhotoPoint; 4]) -> Option<CameraPrior> {
    if prior.focal_relative_u <= 0.08 {
        return Some(*prior);
    }
    let misfit = |focal_px: f64| {
        let intrinsics = Intrinsics { focal_px, ..prior.intrinsics };
        two_poses(corners, ID1_MM, &intrinsics).map(|poses| poses[0].1).unwrap_or(f64::MAX)
            + 2.0 * ((focal_px / prior.intrinsics.focal_px).portable_ln() / prior.focal_relative_u).powi(2)
    };
    let best = (-10..=10)
        .map(|k| {
            prior.intrinsics.focal_px * (f64::from(k) * 0.1 * 2.0 * prior.focal_relative_u).portable_exp()
        })
        .min_by(|a, b| misfit(*a).total_cmp(&misfit(*b)))?;
    let mut settled = *prior;
    settled.intrinsics.focal_px = best;
    Some(settled)
}

fn refined_corners(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    reach: f64,
    first: bool,
    seen: Option<&SeenCorners>,
) -> Option<[PhotoPoint; 4]> {
    let mut options: [Vec<EdgeLine>; 4] = Default::default();
    for i in 0..4 {
        let strip =
            Strip::look(photo, light, corners[i], corners[(i + 1) % 4], i % 2 == 0, Look::wide(reach))?;
        options[i] = strip.lines(LINES_PER_SIDE, reach * if first { 1.6 } else { 1.0 }, 1.2);
        if options[i].is_empty() {
            return None;
        }
    }
    let mut best: Option<(f64, [PhotoPoint; 4])> = None;
    for a in &options[0] {
        for b in &options[1] {
            for c in &options[2] {
                for d in &options[3] {
                    let lines = [*a, *b, *c, *d];
                    // The candidate's own place counts a little: its segments were seen there.
                    let shown: f64 = lines
                        .iter()
                        .map(|line| {
                            let moved = 0.5 * (line.at_start + line.at_end) / reach;
                            line.support * 0.5 + line.salience - 0.3 * moved * moved
                        })
                        .sum();
                    if best.as_ref().is_some_and(|(other, ..)| shown <= *other) {
                        continue;
                    }
                    let Some(moved) = intersections(corners, &lines) else { continue };
                    let Some(misfit) = misshape(&moved, prior) else { continue };
                    let elsewhere = seen.map_or(0.0, |seen| seen.misfit(&moved));
                    let value = shown - 0.25 * misfit - ELSEWHERE_COSTS * elsewhere;
                    if best.as_ref().is_none_or(|(other, ..)| value > *other) {
                        best = Some((value, moved));
                    }
                }
            }
        }
    }
    best.map(|(_, corners)| corners)
}

/// What a corner elsewhere than it is seen costs, for one of chi-square, in shares of a side that is seen.
const ELSEWHERE_COSTS: f64 = 0.1;

/// How far outside a card's edge its own shadow may draw a stronger line, in mm (common practice: a card
/// 0.76 mm thick in low light).
const SHADOW_MM: f64 = 2.0;

/// The same in px, for corners of which the first two span a long side.
fn shadow_px(corners: &[PhotoPoint; 4]) -> f64 {
    SHADOW_MM * corners[0].distance_px(corners[1]) / ID1_MM[0]
}

/// How far a quadrangle is from an ID-1 card, squared, in units of what good corners leave: 1 % of aspect
/// and 0.6 degrees, and the focal length's share.
fn misshape(corners: &[PhotoPoint; 4], prior: &CameraPrior) -> Option<f64> {
    let shape = shape_of(corners, &prior.intrinsics)?;
    let aspect = (shape.aspect / (ID1_MM[0] / ID1_MM[1])).portable_ln();
    let loose = 1.0 + 20.0 * prior.focal_relative_u.max(0.02);
    Some((aspect / (0.007 * loose)).powi(2) + ((shape.angle_deg - 90.0) / (0.4 * loose)).powi(2))
}

/// Radius of an ID-1 card's corner, 2.88 to 3.48 mm, so that its outline crosses the diagonal
/// 3.18 (sqrt 2 - 1) = 1.32 mm inside the virtual corner. Source: ISO/IEC 7810.
/// A place 0.3 to 1.0 mm in from the virtual corner is deck beside a card, and card when the corner is
/// sharp; 2.0 to 2.6 mm in is card, and deck beside a phone or a hatch, whose radius is above 6 mm.
fn roundness(photo: &Photo, light: &LinearLight, corners: &[PhotoPoint; 4]) -> Option<f64> {
    let plane = card_corners_mm(ID1_MM);
    let homography = homography_of_four(&plane, corners)?;
    let mut told: Vec<f64> = Vec::new();
    for corner in plane {
        let inward = Vector2::new(-corner.x.signum(), -corner.y.signum());
        let look = |x_mm: f64, y_mm: f64| -> Option<[f32; 3]> {
            let at = Vector2::new(corner.x + inward.x * x_mm, corner.y + inward.y * y_mm);
            let point = apply(&homography, at.x, at.y)?;
            photo.size().contains(point).then(|| light.at(photo, point))
        };
        let mean = |places: &[(f64, f64)]| -> Option<[f32; 3]> {
            let mut sum = [0.0f32; 3];
            for &(x, y) in places {
                let seen = look(x, y)?;
                for c in 0..3 {
                    sum[c] += seen[c] / places.len() as f32;
                }
            }
            Some(sum)
        };
        let (Some(out), Some(inside), Some(wedge), Some(deep)) = (
            mean(&[(-1.3, 5.0), (5.0, -1.3), (-1.3, 4.0), (4.0, -1.3), (-1.0, -1.0)]),
            mean(&[(1.3, 5.0), (5.0, 1.3), (1.3, 4.0), (4.0, 1.3), (3.2, 3.2)]),
            mean(&[(0.45, 0.45), (0.25, 0.75), (0.75, 0.25), (0.6, 0.6)]),
            mean(&[(1.9, 1.9), (1.5, 2.4), (2.4, 1.5)]),
        ) else {
            continue;
        };
        let dot = |a: [f32; 3], b: [f32; 3]| f64::from(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]);
        let minus = |a: [f32; 3], b: [f32; 3]| [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
        let step = minus(out, inside);
        let contrast = dot(step, step);
        // A step of a thirtieth of full scale, or a sixth of the light there, is enough to tell.
        let level = dot(out, out).max(dot(inside, inside));
        if contrast < (0.003f64).max(0.04 * level) {
            continue;
        }
        let outness = |seen: [f32; 3]| (dot(minus(seen, inside), step) / contrast).clamp(0.0, 1.0);
        told.push(outness(wedge) - outness(deep));
    }
    told.sort_by(f64::total_cmp);
    match told.len() {
        0 => None,
        1 | 2 => Some(told.iter().sum::<f64>() / told.len() as f64),
        // One corner may be covered: the worst is left out.
        n => Some(told[1..].iter().sum::<f64>() / (n - 1) as f64),
    }
}

/// From where a card is photographed, in mm: phones focus from some 100 mm on (common practice), and the focal length
/// that tells it is a tenth off where the file is silent.
const DISTANCES_MM: std::ops::Range<f64> = 90.0..2200.0;

fn score(sides: &[Side; 4], refined: &Refined, roundness: Option<f64>) -> f64 {
    let mut seen: Vec<f64> = sides.iter().map(|side| side.support * side.salience).collect();
    seen.sort_by(f64::total_cmp);
    // Three edges and a rigid card are enough: the worst side counts half.
    let unseen = if seen[0] < 0.12 { 0.5 } else { 1.0 };
    let edges = unseen * (0.5 * seen[0] + seen[1] + seen[2] + seen[3]) / 3.5;
    let rigid = (-0.5 * (refined.chi_square / 20.0)).portable_exp();
    // Sand and shadow blur what a corner shows: seven tenths of it is as good as all.
    let rounded = roundness.map_or(0.4, |roundness| roundness / 0.72);
    // Nobody holds a phone so far off or so slanted: most such finds are something else.
    let tilt = if refined.pose.tilt_deg() > 47.0 { 0.6 } else { 1.0 };
    let distance = if DISTANCES_MM.contains(&refined.pose.distance_mm()) { 1.0 } else { 0.5 };
    tilt * distance * edges * (0.4 + 0.6 * rigid) * (0.35 + 0.65 * rounded.clamp(0.0, 1.0))
}

/// The homography of a judged card, from card mm to photo px.
pub fn card_homography(corners: &[PhotoPoint; 4]) -> Option<Matrix3<f64>> {
    homography_of_four(&card_corners_mm(ID1_MM), corners)
}
