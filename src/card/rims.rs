//! The card's two parallel rims: the printed face is the upper one, and its edge the innermost of the lines
//! of face, side wall and contact shadow. Where a side shows several lines, or one that may stand for two,
//! the four that together make one rigid ID-1 card are the likelier.

use nalgebra::{Matrix2, Vector2, Vector3};

use super::ID1_MM;
use super::edges::crossings::intersections;
use super::edges::{EdgeLine, Look, Strip};
use super::look::corners::SeenCorners;
use super::shape::shape_of;
use crate::camera::ippe::card_corners_mm;
use crate::camera::{CameraPrior, Intrinsics, Pose};
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Thickness of the card: its side wall shows along edges that face the camera. Source: ISO/IEC 7810.
const THICKNESS_MM: f64 = 0.76;

/// Width in px at which the side wall shows outside each edge; 0 where the edge faces away.
pub(super) fn wall_widths_px(pose: &Pose, intrinsics: &Intrinsics) -> Option<[f64; 4]> {
    let plane = card_corners_mm(ID1_MM);
    let mut widths = [0.0; 4];
    for (i, width) in widths.iter_mut().enumerate() {
        let (p, q) = (plane[i], plane[(i + 1) % 4]);
        let seen =
            |z: f64, at: Vector2<f64>| intrinsics.project(&pose.transform(&Vector3::new(at.x, at.y, z)));
        let middle = (p + q) / 2.0;
        let (start, end) = (seen(0.0, p)?, seen(0.0, q)?);
        let (face, foot) = (seen(0.0, middle)?, seen(-THICKNESS_MM, middle)?);
        let along = Vector2::new(end.x - start.x, end.y - start.y).normalize();
        let inward = Vector2::new(-along.y, along.x);
        *width = (-(Vector2::new(foot.x - face.x, foot.y - face.y)).dot(&inward)).max(0.0);
    }
    Some(widths)
}

/// A wall narrower than this does not show beside the blur of the picture.
const LEAST_WALL_PX: f64 = 0.5;
/// Share of the best line's strength that makes a line inside it the face's edge.
const INNER_SHARE: f64 = 0.3;
/// The same where the edge faces away and only a contact shadow can lie outside it.
const INNER_SHARE_AWAY: f64 = 0.45;
/// Breadth of the dark line where a card touches what it lies on, in mm (common practice).
const CONTACT_SHADOW_MM: f64 = 0.6;
/// Mean place of the face's edge inside a single step, as a share of the wall's width, measured on photos
/// of known truth: 0 when the wall looks like the deck, 1 when it looks like the face.
const MERGED_WALL_SHARE: f64 = 0.4;
/// Lines of a side that are weaker than this share of its strongest are not its edge.
const FAINT_SHARE: f64 = 0.15;
/// What it costs (in chi-square) to take a line inside the one that the strengths speak for, or outside it.
const INNER_LINE: f64 = 1.5;
const OUTER_LINE: f64 = 3.0;
/// What it costs to take an edge that a network sees where there is no line, and what that is worth as a side.
const SEEN_LINE: f64 = 5.0;
const SEEN_SUPPORT: f64 = 0.4;
/// What it costs to take the rim of a merged wall for the one or the other extreme.
const MERGED_EXTREME: f64 = 0.8;
/// A line farther inside is a reading when it is stronger than the known one by this factor.
const STRONGER: f64 = 1.15;
/// How well the corners of a sharp photo are placed, in px: what a misfit of the shape is weighed against.
pub(super) const CORNER_PX: f64 = 0.35;

/// One reading of a side.
#[derive(Debug, Clone, Copy)]
struct Reading {
    line: EdgeLine,
    /// In chi-square: 0 for the likeliest.
    cost: f64,
}

/// The last look: along each side the edge of the printed face; where corners are `seen`, lines that meet there.
pub(super) fn face_corners(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    walls_px: &[f64; 4],
    prior: &CameraPrior,
    seen: Option<&SeenCorners>,
) -> Option<([PhotoPoint; 4], [EdgeLine; 4])> {
    let px_per_mm = corners[0].distance_px(corners[1]) / ID1_MM[0];
    let mut sides: [Vec<Reading>; 4] = Default::default();
    for (i, readings) in sides.iter_mut().enumerate() {
        let half_width = 4.0 + (2.0 * walls_px[i]).max(CONTACT_SHADOW_MM * px_per_mm).min(6.0);
        let look = Look::close(half_width);
        let strip = Strip::look(photo, light, corners[i], corners[(i + 1) % 4], i % 2 == 0, look)?;
        *readings = readings_of(&strip.lines(5, 2.5, 0.8), walls_px[i], px_per_mm);
        if let Some((ends, u_px)) = seen.and_then(|seen| seen.side(i)) {
            readings.extend(as_seen([corners[i], corners[(i + 1) % 4]], ends, u_px));
        }
        // The likeliest first: most of the rest need not be weighed then.
        readings.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    }
    let weight = shape_weight(corners, prior, &[CORNER_PX; 4])?;
    let mut best: Option<(f64, [PhotoPoint; 4], [EdgeLine; 4])> = None;
    for a in &sides[0] {
        for b in &sides[1] {
            for c in &sides[2] {
                for d in &sides[3] {
                    let lines = [a.line, b.line, c.line, d.line];
                    let readings = a.cost + b.cost + c.cost + d.cost;
                    if best.as_ref().is_some_and(|(other, ..)| readings >= *other) {
                        continue;
                    }
                    let Some(crossed) = intersections(corners, &lines) else { continue };
                    let Some(off) = misshape(&crossed, &prior.intrinsics) else { continue };
                    let misfit = (off.transpose() * weight * off).x;
                    let elsewhere = seen.map_or(0.0, |seen| seen.misfit(&crossed));
                    let cost = readings + misfit + elsewhere;
                    if best.as_ref().is_none_or(|(other, ..)| cost < *other) {
                        best = Some((cost, crossed, lines));
                    }
                }
            }
        }
    }
    best.map(|(_, crossed, lines)| (crossed, lines))
}

/// The edge where a network sees it, though no step may lie there: a wall or a shadow of the face's own colour.
fn as_seen([start, end]: [PhotoPoint; 2], seen: [PhotoPoint; 2], u_px: f64) -> Option<Reading> {
    let along = Vector2::new(end.x - start.x, end.y - start.y).try_normalize(1e-9)?;
    let inward = Vector2::new(-along.y, along.x);
    let off = |from: PhotoPoint, to: PhotoPoint| Vector2::new(to.x - from.x, to.y - from.y).dot(&inward);
    let line = EdgeLine {
        at_start: off(start, seen[0]),
        at_end: off(end, seen[1]),
        support: SEEN_SUPPORT,
        salience: SEEN_SUPPORT,
        rms_px: u_px,
        bow_px: 0.0,
        end_u_px: [u_px; 2],
    };
    Some(Reading { line, cost: SEEN_LINE })
}

/// What the lines of one side may mean, the likeliest at no cost.
fn readings_of(lines: &[EdgeLine], wall: f64, px_per_mm: f64) -> Vec<Reading> {
    let middle = |line: &EdgeLine| 0.5 * (line.at_start + line.at_end);
    let worth = |line: &EdgeLine| line.support * line.salience;
    let lines = distinct(lines);
    // Around the known line first: the strongest within a px or so of it.
    let near = |line: &&EdgeLine| middle(line).abs() < 1.5 + wall;
    let strongest =
        lines.iter().filter(near).max_by(|a, b| worth(a).total_cmp(&worth(b))).or_else(|| lines.first());
    let Some(strongest) = strongest else { return Vec::new() };
    let (reach, share) = if wall > LEAST_WALL_PX {
        (1.0 + 1.8 * wall, INNER_SHARE)
    } else {
        (CONTACT_SHADOW_MM * px_per_mm, INNER_SHARE_AWAY)
    };
    let inside = |line: &EdgeLine| middle(line) - middle(strongest);
    let inner = lines
        .iter()
        .filter(|line| (1e-9..reach).contains(&inside(line)) && worth(line) > share * worth(strongest))
        .max_by(|a, b| middle(a).total_cmp(&middle(b)));
    let likeliest = inner.unwrap_or(strongest);
    let most = lines.iter().map(worth).fold(0.0, f64::max);
    let mut readings = Vec::new();
    for line in &lines {
        let offset = inside(line);
        let least = if offset.abs() < reach.max(2.0) { FAINT_SHARE } else { STRONGER };
        // The face is the innermost: what is stronger and farther out is the foot of the wall, or the shadow.
        if worth(line) < least * worth(strongest) || offset < -reach.max(2.0) {
            continue;
        }
        let place = match offset {
            _ if line == likeliest => 0.0,
            offset if offset > 0.0 => INNER_LINE,
            _ => OUTER_LINE,
        };
        let other = place + 2.0 * (most / worth(line)).max(1.0).portable_ln();
        // The outermost step may be that of face and wall in one: the wall has the colour of the face, or of
        // the deck, or of neither.
        let alone = inner.is_none() || line != likeliest;
        let shifts: &[(f64, f64)] = if alone && wall > LEAST_WALL_PX {
            &[(0.0, MERGED_EXTREME), (MERGED_WALL_SHARE, 0.0), (0.8, MERGED_EXTREME)]
        } else {
            &[(0.0, 0.0)]
        };
        for (shift, extreme) in shifts {
            let mut line = *line;
            line.at_start += shift * wall;
            line.at_end += shift * wall;
            readings.push(Reading { line, cost: other + extreme });
        }
    }
    readings
}

/// The lines that are not the same line once more: the search may end at one from several sides.
fn distinct(lines: &[EdgeLine]) -> Vec<EdgeLine> {
    let mut kept: Vec<EdgeLine> = Vec::new();
    for line in lines {
        let same = |other: &EdgeLine| {
            (other.at_start - line.at_start).abs() + (other.at_end - line.at_end).abs() < 0.8
        };
        if !kept.iter().any(same) {
            kept.push(*line);
        }
    }
    kept
}

/// What is left of an ID-1 card's shape: logarithm of the aspect against 85.60 / 53.98, and the angle less 90
/// degrees in radians.
pub(super) fn misshape(corners: &[PhotoPoint; 4], intrinsics: &Intrinsics) -> Option<Vector2<f64>> {
    let shape = shape_of(corners, intrinsics)?;
    let aspect = (shape.aspect / (ID1_MM[0] / ID1_MM[1])).portable_ln();
    Some(Vector2::new(aspect, (shape.angle_deg - 90.0).to_radians()))
}

/// How surely the shape is seen: the inverse covariance of [`misshape`], from the corners' and the camera's
/// uncertainty by the law of propagation (JCGM 100, 5.1.2). A small or slanted card tells little.
pub(super) fn shape_weight(
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    corner_u_px: &[f64; 4],
) -> Option<Matrix2<f64>> {
    let here = misshape(corners, &prior.intrinsics)?;
    let mut covariance = Matrix2::zeros();
    for i in 0..8 {
        let mut moved = *corners;
        let corner = &mut moved[i / 2];
        *(if i % 2 == 0 { &mut corner.x } else { &mut corner.y }) += corner_u_px[i / 2];
        let change = misshape(&moved, &prior.intrinsics)? - here;
        covariance += change * change.transpose();
    }
    let mut intrinsics = prior.intrinsics;
    intrinsics.focal_px *= 1.0 + prior.focal_relative_u;
    let change = misshape(corners, &intrinsics)? - here;
    covariance += change * change.transpose();
    for axis in 0..2 {
        let mut intrinsics = prior.intrinsics;
        let centre = &mut intrinsics.principal_point;
        *(if axis == 0 { &mut centre.x } else { &mut centre.y }) += prior.principal_u_px;
        let change = misshape(corners, &intrinsics)? - here;
        covariance += change * change.transpose();
    }
    covariance.try_inverse()
}

/// The floor of an edge's place in px: what remains on sharp photos of known truth.
const EDGE_FLOOR_PX: f64 = 0.15;

/// Share of the side wall's width by which the face's edge may be misplaced where both cannot be told
/// apart: its colour may be the face's or the deck's.
const WALL_SHARE: f64 = 0.45;

pub(super) fn corner_uncertainty(
    corners: &[PhotoPoint; 4],
    lines: &[EdgeLine; 4],
    walls_px: &[f64; 4],
) -> [f64; 4] {
    std::array::from_fn(|i| {
        let before = &lines[(i + 3) % 4];
        let after = &lines[i];
        let side = |line: &EdgeLine, end: usize, wall: f64| {
            // A bow shows that the edge is no straight line: a straight one is off by a part of it.
            [line.end_u_px[end], EDGE_FLOOR_PX, 0.5 * line.bow_px, WALL_SHARE * wall]
                .iter()
                .map(|u| u * u)
                .sum::<f64>()
                .sqrt()
        };
        let (u, v) = (side(before, 1, walls_px[(i + 3) % 4]), side(after, 0, walls_px[i]));
        let sharp = corner_sine(corners, i).max(0.3);
        ((u * u + v * v) / 2.0).sqrt() / sharp
    })
}

pub(super) fn corner_sine(corners: &[PhotoPoint; 4], i: usize) -> f64 {
    let (p, q, r) = (corners[(i + 3) % 4], corners[i], corners[(i + 1) % 4]);
    let (a, b) = (Vector2::new(p.x - q.x, p.y - q.y), Vector2::new(r.x - q.x, r.y - q.y));
    ((a.x * b.y - a.y * b.x) / (a.norm() * b.norm()).max(1e-9)).abs()
}
