//! Quadrangles from segments: two corners that face each other.

use std::collections::HashMap;

use nalgebra::Vector2;

use super::segments::Segment;
use crate::portable::Portable;

/// Two segments that nearly meet.
#[derive(Debug, Clone, Copy)]
pub struct Corner {
    /// Where their lines cross.
    pub at: Vector2<f64>,
    /// Unit direction away from the corner along the first segment; the second lies clockwise from it on
    /// the screen (y down), less than 180 degrees on.
    pub first: Vector2<f64>,
    /// Unit direction away from the corner along the second segment.
    pub second: Vector2<f64>,
    /// How far the two segments reach from the corner, in px.
    pub reach: [f64; 2],
    /// Lengths of the two segments, in px.
    pub lengths: [f64; 2],
}

/// A quadrangle, clockwise on the screen, in reduced px.
pub type Quad = [Vector2<f64>; 4];

/// Sine of the sharpest corner of a card that is tilted by 45 degrees, with a margin.
const LEAST_SINE: f64 = 0.6;

fn cross(a: &Vector2<f64>, b: &Vector2<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// All pairs of segments that nearly meet at an angle of 37 to 143 degrees.
///
/// The corners of an ID-1 card are rounded by 3.18 mm (4 to 6 % of its sides), and a finger may cover one:
/// a gap of a third of the segment, and at least `slack_px`, is expected between a segment and the corner.
pub fn corners(segments: &[Segment], slack_px: f64) -> Vec<Corner> {
    let mut found = Vec::new();
    for (i, s) in segments.iter().enumerate() {
        for t in &segments[i + 1..] {
            // Far apart: cheaper to see than where the lines cross.
            let middle = ((s.a + s.b) - (t.a + t.b)).norm() * 0.5;
            let widest = (s.length + t.length) * 0.9 + 2.0 * slack_px;
            if middle > widest {
                continue;
            }
            let (ds, dt) = (s.direction(), t.direction());
            let sine = cross(&ds, &dt);
            if sine.abs() < LEAST_SINE {
                continue;
            }
            let along_s = cross(&(t.a - s.a), &dt) / sine;
            let along_t = cross(&(t.a - s.a), &ds) / sine;
            let Some((away_s, reach_s)) = ray(ds, s.length, along_s, slack_px) else { continue };
            let Some((away_t, reach_t)) = ray(dt, t.length, along_t, slack_px) else { continue };
            let at = s.a + ds * along_s;
            let (reach, lengths) = ([reach_s, reach_t], [s.length, t.length]);
            found.push(if cross(&away_s, &away_t) > 0.0 {
                Corner { at, first: away_s, second: away_t, reach, lengths }
            } else {
                Corner {
                    at,
                    first: away_t,
                    second: away_s,
                    reach: [reach_t, reach_s],
                    lengths: [lengths[1], lengths[0]],
                }
            });
        }
    }
    found
}

/// Corners nearer than this in px, with rays of nearly the same direction and length, are one corner: an edge is
/// seen in several planes and at two scales.
const SAME_PLACE_PX: f64 = 1.2;
const SAME_WAY_COSINE: f64 = 0.9995;
const SAME_REACH: f64 = 1.2;

/// The corners that differ, of each crowd the first, with their merits; `most` at most.
pub fn distinct(corners: Vec<(f64, Corner)>, most: usize) -> (Vec<f64>, Vec<Corner>) {
    let cell = |p: f64| (p / SAME_PLACE_PX).floor() as i64;
    let (mut merits, mut kept): (Vec<f64>, Vec<Corner>) = (Vec::new(), Vec::new());
    let mut at_cell: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
    for (merit, corner) in corners {
        let (x, y) = (cell(corner.at.x), cell(corner.at.y));
        let known = (-1..=1)
            .flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)))
            .filter_map(|cell| at_cell.get(&cell))
            .flatten()
            .any(|&other| corner.is_as(&kept[other]));
        if !known {
            at_cell.entry((x, y)).or_default().push(kept.len());
            kept.push(corner);
            merits.push(merit);
            if kept.len() == most {
                break;
            }
        }
    }
    (merits, kept)
}

impl Corner {
    fn is_as(&self, other: &Self) -> bool {
        let near = |p: f64, q: f64| p < SAME_REACH * q && q < SAME_REACH * p;
        (self.at - other.at).norm() < SAME_PLACE_PX
            && self.first.dot(&other.first) > SAME_WAY_COSINE
            && self.second.dot(&other.second) > SAME_WAY_COSINE
            && (0..2).all(|i| near(self.reach[i], other.reach[i]))
    }
}

/// Direction away from a corner at `along` px from the segment's start, and how far the segment reaches.
fn ray(direction: Vector2<f64>, length: f64, along: f64, slack_px: f64) -> Option<(Vector2<f64>, f64)> {
    let gap = slack_px + 0.35 * length;
    let overshoot = slack_px + 0.08 * length;
    if -gap <= along && along <= overshoot {
        Some((direction, length - along))
    } else if length - overshoot <= along && along <= length + gap {
        Some((-direction, along))
    } else {
        None
    }
}

/// Quadrangles whose two opposite corners are given: the other two follow from the lines.
///
/// `corners`: the best first; `sides_px`: least and greatest side. A side shorter than the segment on it, or much
/// longer, is no side. `keep` gets each with the places of its two corners in the list. After `most` quadrangles the rest, of worse corners, is left out.
pub fn quads(corners: &[Corner], sides_px: [f64; 2], most: usize, mut keep: impl FnMut(Quad, [usize; 2])) {
    // Corners that can face each other have their first rays nearly opposite: look only there.
    let mut bins: Vec<Vec<u32>> = vec![Vec::new(); BINS];
    let longest = sides_px[1] * 1.25;
    let mut kept = 0;
    for (i, a) in corners.iter().enumerate() {
        if kept >= most {
            break;
        }
        let own = bin_of(&a.first);
        for bin in own + BINS + BINS / 2 - 2..=own + BINS + BINS / 2 + 2 {
            for &j in &bins[bin % BINS] {
                let c = &corners[j as usize];
                let across = c.at - a.at;
                let distance = across.norm();
                if distance < sides_px[0] || distance > longest * 1.2 {
                    continue;
                }
                // Each lies inside the other's angle.
                if cross(&a.first, &across) <= 0.0
                    || cross(&across, &a.second) <= 0.0
                    || cross(&c.first, &-across) <= 0.0
                    || cross(&-across, &c.second) <= 0.0
                {
                    continue;
                }
                if let Some(quad) = closed(a, c, &across, sides_px) {
                    kept += 1;
                    keep(quad, [i, j as usize]);
                }
            }
        }
        bins[own].push(i as u32);
    }
}

/// Directions of rays are sorted into this many bins.
const BINS: usize = 24;

fn bin_of(v: &Vector2<f64>) -> usize {
    let turn = v.y.portable_atan2(v.x) / std::f64::consts::TAU;
    (turn.rem_euclid(1.0) * BINS as f64) as usize % BINS
}

/// A side and its two neighbours: a quadrangle whose fourth side is not seen.
#[derive(Debug, Clone, Copy)]
pub struct ThreeSides {
    /// One end of the middle side.
    pub a: Vector2<f64>,
    /// The other, clockwise round the quadrangle.
    pub b: Vector2<f64>,
    /// Unit direction of the side that leads on from `b`.
    pub to_c: Vector2<f64>,
    /// Unit direction of the side that leads back from `a`.
    pub to_d: Vector2<f64>,
    /// How far the segments of the two neighbours reach, at `a` and at `b`, in px.
    pub reach: [f64; 2],
    /// Their lengths in px.
    pub lengths: [f64; 2],
}

/// Three sides from two corners that share one. `corners`, `sides_px` and `most` as in [`quads`].
pub fn three_sides(
    corners: &[Corner],
    sides_px: [f64; 2],
    most: usize,
    mut keep: impl FnMut(ThreeSides, [usize; 2]),
) {
    let mut bins: [Vec<Vec<u32>>; 2] = [vec![Vec::new(); BINS], vec![Vec::new(); BINS]];
    let mut kept = 0;
    for (i, corner) in corners.iter().enumerate() {
        if kept >= most {
            break;
        }
        let own = [bin_of(&corner.first), bin_of(&corner.second)];
        // The corner's first ray against the second rays of those before it, and the other way round.
        for way in 0..2 {
            let opposite = own[way] + BINS + BINS / 2;
            for bin in opposite - 1..=opposite + 1 {
                for &j in &bins[1 - way][bin % BINS] {
                    let other = &corners[j as usize];
                    let (a, b) = if way == 0 { (corner, other) } else { (other, corner) };
                    if let Some(open) = shared(a, b, sides_px) {
                        kept += 1;
                        keep(open, [i, j as usize]);
                    }
                }
            }
        }
        bins[0][own[0]].push(i as u32);
        bins[1][own[1]].push(i as u32);
    }
}

/// The side that two corners share, when the first ray of `a` and the second of `b` lie on one line.
fn shared(a: &Corner, b: &Corner, sides_px: [f64; 2]) -> Option<ThreeSides> {
    let along = b.at - a.at;
    let side = along.dot(&a.first);
    let off = 1.5 + 0.012 * side;
    if !(sides_px[0]..sides_px[1]).contains(&side)
        || cross(&a.first, &along).abs() > off
        || cross(&b.second, &along).abs() > off
        || a.first.dot(&b.second) > -0.99
    {
        return None;
    }
    let (reach, length) = (a.reach[0].max(b.reach[1]), a.lengths[0].max(b.lengths[1]));
    let square = cross(&a.first, &a.second).min(cross(&b.first, &b.second));
    (reach < 1.12 * side + 3.0 && length > 0.3 * side && square > 0.6).then_some(ThreeSides {
        a: a.at,
        b: b.at,
        to_c: b.first,
        to_d: a.second,
        reach: [a.reach[1], b.reach[0]],
        lengths: [a.lengths[1], b.lengths[0]],
    })
}

fn closed(a: &Corner, c: &Corner, across: &Vector2<f64>, sides_px: [f64; 2]) -> Option<Quad> {
    // Clockwise from a: along its first ray to b, to c, along c's first ray to d.
    let b_sine = cross(&a.first, &c.second);
    let d_sine = cross(&a.second, &c.first);
    if b_sine.abs() < 0.5 || d_sine.abs() < 0.5 {
        return None;
    }
    let ab = cross(across, &c.second) / b_sine;
    let ad = cross(across, &c.first) / d_sine;
    let b = a.at + a.first * ab;
    let d = a.at + a.second * ad;
    let cb = (b - c.at).dot(&c.second);
    let cd = (d - c.at).dot(&c.first);
    let sides = [(ab, a, 0), (ad, a, 1), (cd, c, 0), (cb, c, 1)];
    for (side, corner, which) in sides {
        if side < sides_px[0] || side > sides_px[1] {
            return None;
        }
        let (reach, length) = (corner.reach[which], corner.lengths[which]);
        if reach > side * 1.12 + 3.0 || length < side * 0.22 {
            return None;
        }
    }
    // Opposite sides of a card within 45 degrees of tilt differ by less than this.
    let ratio = |p: f64, q: f64| if p > q { p / q } else { q / p };
    (ratio(ab, cd) < 1.45 && ratio(ad, cb) < 1.45).then_some([a.at, b, c.at, d])
}
