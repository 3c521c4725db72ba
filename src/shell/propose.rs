//! From the photo to two points: the whole window, then the body, then each corner.

use nalgebra::{Matrix2, Vector2};

use super::body::{Body, Peak, bodies, outline, peaks, towards_front};
use super::finder::{BODY_SIDE, CORNER_MM_PER_PX, CORNER_SIDE, Finder, Sight, see};
use super::shape::expected;
use super::window::{HeightPlane, Window, expected_edge_height_mm};
use super::{Proposal, ShellQuery};
use crate::net::Net;
use crate::portable::Portable;
use crate::terms::{Dimension, MarkedPoint};

/// Scale of the first look round the card: the window spans 576 mm.
const WIDE_MM_PER_PX: f64 = 9.0;
/// Scale of the second look, for a small shell near by.
const NEAR_MM_PER_PX: f64 = 4.5;
/// Width a shell is brought to in the body's window, in px.
const BODY_WIDTH_PX: f64 = 40.0;
/// Shells narrower or wider than this are not believed, in mm.
const CREDIBLE_WIDTH_MM: std::ops::RangeInclusive<f64> = 25.0..=280.0;
/// Short over long axis of a body that can be a shell: the rendered ones have 0.59 to 0.83.
const CREDIBLE_ASPECT: std::ops::RangeInclusive<f64> = 0.42..=0.95;
/// Most steps from a first guess to a window that fits the body.
const MOST_STEPS: usize = 3;
/// A proposal below this confidence is not shown.
const LEAST_CONFIDENCE: f64 = 0.8;

/// What speaks for a pair of points; see [`Evidence::confidence`].
#[derive(Debug, Clone, Copy, Default)]
pub struct Evidence {
    /// Skewness of the body where the species is not known: beyond a cancrid's, spines or teeth are open.
    pub unlike_skew: f64,
    /// Height of the lower of the two peaks in the body's window.
    pub peak: f64,
    /// Largest distance between the two views' points, as a share of the width.
    pub disagreement: f64,
    /// How plainly the front is seen: 0 to about 0.5.
    pub front: f64,
    /// Angle between the pair and the body's long axis, in degrees.
    pub off_axis_deg: f64,
    /// Mean probability within the body.
    pub certainty: f64,
}

/// A pair of points with all that was seen on the way.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The points, with their uncertainty.
    pub points: [MarkedPoint; 2],
    /// Outline in photo pixels.
    pub outline: Vec<crate::units::PhotoPoint>,
    /// What speaks for it.
    pub evidence: Evidence,
}

/// Proposes the outline and the two measuring points, or nothing when nothing credible is seen.
pub fn propose(query: &ShellQuery) -> Option<Proposal> {
    let best = best_candidate(Finder::built_in()?, query)?;
    let confidence = best.evidence.confidence();
    (confidence >= LEAST_CONFIDENCE).then_some(Proposal {
        points: best.points,
        outline: best.outline,
        confidence,
    })
}

/// The likeliest pair, however unlikely.
pub fn best_candidate(finder: &Finder, query: &ShellQuery) -> Option<Candidate> {
    let mut best: Option<Candidate> = None;
    for (middle, width) in first_look(finder, query) {
        if let Some(candidate) = look_closer(finder, query, middle, width)
            && best.as_ref().is_none_or(|held| candidate.evidence.confidence() > held.evidence.confidence())
        {
            best = Some(candidate);
        }
    }
    best
}

fn plane_at(query: &ShellQuery, width_mm: f64) -> Option<(HeightPlane, [Vector2<f64>; 4])> {
    let height = expected_edge_height_mm(query.placement, width_mm);
    let plane = HeightPlane::new(&query.intrinsics, &query.pose, height)?;
    let mut card = [Vector2::zeros(); 4];
    for (to, &corner) in card.iter_mut().zip(&query.card_corners) {
        *to = plane.plane_of(corner)?;
    }
    Some((plane, card))
}

/// Where shells may be: middle and width in mm, in the plane of a middling shell's edge.
fn first_look(finder: &Finder, query: &ShellQuery) -> Vec<(Vector2<f64>, f64)> {
    let Some((plane, card)) = plane_at(query, 140.0) else { return Vec::new() };
    let tap = query.shell_near.and_then(|tap| plane.plane_of(tap));
    let card_middle = card.iter().sum::<Vector2<f64>>() / 4.0;
    let middle = tap.unwrap_or(card_middle);
    let mut found: Vec<(Vector2<f64>, f64)> = Vec::new();
    for scale in [WIDE_MM_PER_PX, NEAR_MM_PER_PX] {
        let window = Window::straight(middle, scale, BODY_SIDE);
        let Some(sight) = see(&finder.body, query.photo, &plane, window, Some(&card), query.dimension) else {
            continue;
        };
        for body in bodies(&sight.mask, BODY_SIDE, 0.3, 3) {
            let width = body.expected_width_px() * scale;
            let at = window.plane_of(body.centre_px);
            // A tap on the middle of the shell is within the shell.
            let tapped =
                tap.is_none_or(|tap| (tap - at).norm() < 0.4 * width || body.contains(window.px_of(tap)));
            if CREDIBLE_WIDTH_MM.contains(&width) && tapped {
                found.push((at, width));
            }
        }
        if !found.is_empty() {
            break;
        }
    }
    found
}

fn look_closer(finder: &Finder, query: &ShellQuery, middle: Vector2<f64>, width: f64) -> Option<Candidate> {
    // The plane moves with the width, the window with the body: follow the same ray until both stand still.
    let (mut middle, mut width, mut axis) = (middle, width, Vector2::new(1.0, 0.0));
    let (mut plane, mut card) = plane_at(query, 140.0)?;
    for _ in 0..MOST_STEPS {
        let seen_at = plane.photo_of(middle)?;
        (plane, card) = plane_at(query, width)?;
        let window = window_for(plane.plane_of(seen_at)?, width, axis, false);
        let (sight, body) = view(&finder.body, query, &plane, &card, window)?;
        let (was, held) = (window.centre_mm, width);
        width = body.expected_width_px() * window.mm_per_px;
        middle = window.plane_of(body.centre_px);
        axis = in_plane(&sight, &body, body.long_axis);
        if (middle - was).norm() < 0.12 * width && (0.85..1.18).contains(&(width / held)) {
            break;
        }
    }

    // Two more views: along the shell's own axis and mirrored; they must agree.
    let along = window_for(middle, width, axis, false);
    let (sight, body) = view(&finder.aligned, query, &plane, &card, along)?;
    let mirrored = window_for(middle, width, axis, true);
    let (other_sight, other_body) = view(&finder.aligned, query, &plane, &card, mirrored)?;
    let forward = (forward_in_plane(&sight, &body) + forward_in_plane(&other_sight, &other_body)) / 2.0;
    let pair = best_pair(&sight, &body, query, forward)?;
    let other_pair = best_pair(&other_sight, &other_body, query, forward)?;
    let (first, mut second) = (pair.at_mm, other_pair.at_mm);
    let apart = |second: [Vector2<f64>; 2]| (first[0] - second[0]).norm().max((first[1] - second[1]).norm());
    let (straight, crossed) = (apart(second), apart([second[1], second[0]]));
    if crossed < straight {
        second.swap(0, 1);
    }
    let mean = [(first[0] + second[0]) / 2.0, (first[1] + second[1]) / 2.0];

    let span = mean[1] - mean[0];
    let body_axis = in_plane(&sight, &body, body.long_axis);
    let body_width = body.expected_width_px() * along.mm_per_px;
    let skew = body.skew.abs().max(other_body.skew.abs());
    let evidence = Evidence {
        peak: pair.peak.min(other_pair.peak),
        disagreement: straight.min(crossed) / body_width,
        front: forward.norm(),
        off_axis_deg: span.normalize().dot(&body_axis).abs().min(1.0).portable_acos().to_degrees(),
        certainty: body.certainty.min(other_body.certainty),
        unlike_skew: if query.species.is_none() { skew } else { 0.0 },
    };
    let mut points = [MarkedPoint::round(Default::default(), 0.0); 2];
    for (i, marked) in points.iter_mut().enumerate() {
        let outward = (mean[i] - mean[1 - i]).normalize();
        let near = near_look(finder, query, &plane, mean[i], outward);
        // A corner that is not clearly the one seen from afar would only move the point to another tooth.
        let clear =
            near.filter(|near| near.height >= 0.3 && near.rival <= 0.5 && near.disagreement_mm <= 1.5);
        let (at, sigma) = clear.map_or((mean[i], COARSE_SIGMA_MM), |near| (near.at_mm, near.sigma_mm));
        *marked = marked_point(&plane, at, sigma)?;
    }
    let rim = outline(&body, &sight.mask, 120);
    let outline = rim.into_iter().filter_map(|at| plane.photo_of(along.plane_of(at))).collect();
    Some(Candidate { points, outline, evidence })
}

/// Standard uncertainty of a point that the near look found clearly, in mm in each direction: measured on
/// rendered crabs the network had not seen (0.8 mm there), widened for worn teeth.
const CORNER_SIGMA_MM: f64 = 1.0;
/// Standard uncertainty of a point seen in the body's window only, in mm in each direction: measured likewise.
const COARSE_SIGMA_MM: f64 = 3.5;

/// A point of the plane on the photo, `sigma_mm` in every direction of the plane.
pub(super) fn marked_point(plane: &HeightPlane, at_mm: Vector2<f64>, sigma_mm: f64) -> Option<MarkedPoint> {
    let derivative: Matrix2<f64> = plane.px_per_mm(at_mm)?;
    Some(MarkedPoint {
        point: plane.photo_of(at_mm)?,
        covariance_px2: derivative * derivative.transpose() * (0.5 * sigma_mm * sigma_mm),
        // Photos of one crab mislead the finder alike: half of its variance is told as the same in each.
        spot_u_mm: sigma_mm * std::f64::consts::FRAC_1_SQRT_2,
    })
}

fn window_for(middle: Vector2<f64>, width_mm: f64, axis: Vector2<f64>, mirrored: bool) -> Window {
    let mm_per_px = (width_mm / BODY_WIDTH_PX).clamp(0.5, 7.0);
    Window { axis, mirrored, ..Window::straight(middle, mm_per_px, BODY_SIDE) }
}

fn view(
    net: &Net,
    query: &ShellQuery,
    plane: &HeightPlane,
    card: &[Vector2<f64>; 4],
    window: Window,
) -> Option<(Sight, Body)> {
    let sight = see(net, query.photo, plane, window, Some(card), query.dimension)?;
    let body = bodies(&sight.mask, BODY_SIDE, 0.5, 1).pop()?;
    let width = body.expected_width_px() * window.mm_per_px;
    (CREDIBLE_WIDTH_MM.contains(&width) && CREDIBLE_ASPECT.contains(&body.aspect)).then_some((sight, body))
}

/// The two points of one view.
#[derive(Debug, Clone, Copy)]
struct Pair {
    /// Where, in the plane.
    at_mm: [Vector2<f64>; 2],
    /// The lower of the two values of the heat map.
    peak: f64,
}

/// The two points that best fit both what is seen of them and where they belong on such a body.
fn best_pair(sight: &Sight, body: &Body, query: &ShellQuery, forward: Vector2<f64>) -> Option<Pair> {
    let found = peaks(&sight.heat, BODY_SIDE, 0.03, 24);
    let unit = body.area_px2.sqrt();
    let across = Vector2::new(-body.long_axis.y, body.long_axis.x);
    let mut best: Option<(f64, Pair)> = None;
    for proportions in expected(query.species, query.dimension) {
        for front in [-1.0, 1.0] {
            let skew = (body.skew + front * proportions.skew) / 0.05;
            let seen = (in_plane(sight, body, across) * front).dot(&forward) / 0.4;
            let mut score = FRONT_WEIGHT * seen.clamp(-1.0, 1.0) - 0.5 * skew * skew;
            let mut pair = Pair { at_mm: [Vector2::zeros(); 2], peak: 1.0 };
            for (slot, side) in pair.at_mm.iter_mut().zip([-1.0, 1.0]) {
                let place = body.centre_px
                    + body.long_axis * (side * proportions.reach * unit)
                    + across * (front * proportions.ahead * unit);
                let bare = Peak { at_px: place, height: f64::from(heat_at(&sight.heat, place)).max(0.02) };
                let (value, peak) = found
                    .iter()
                    .chain([&bare])
                    .map(|peak| {
                        let off = (peak.at_px - place).norm() / unit;
                        (peak.height.portable_ln() - 0.5 * (off / SHAPE_SPREAD).powi(2), *peak)
                    })
                    .max_by(|a, b| a.0.total_cmp(&b.0))?;
                score += value;
                pair.peak = pair.peak.min(peak.height);
                *slot = sight.window.plane_of(peak.at_px);
            }
            if best.is_none_or(|(held, _)| score > held) {
                best = Some((score, pair));
            }
        }
    }
    best.map(|(_, pair)| pair)
}

/// How much a plainly seen front counts against the points' own heat.
const FRONT_WEIGHT: f64 = 2.0;

/// A window's direction in the plane.
fn in_plane(sight: &Sight, body: &Body, direction: Vector2<f64>) -> Vector2<f64> {
    (sight.window.plane_of(body.centre_px + direction) - sight.window.plane_of(body.centre_px)).normalize()
}

/// What a view says of the direction of the front, in the plane, as long as it is sure.
fn forward_in_plane(sight: &Sight, body: &Body) -> Vector2<f64> {
    let seen = towards_front(body, &sight.mask, &sight.front);
    if seen.norm() < 1e-6 { Vector2::zeros() } else { in_plane(sight, body, seen) * seen.norm() }
}

/// Spread of a point about where the body's proportions put it, in roots of the area: the shapes' own and
/// what an unsure mask adds.
const SHAPE_SPREAD: f64 = 0.04;

fn heat_at(heat: &[f32], at: Vector2<f64>) -> f32 {
    let (x, y) = (at.x.round(), at.y.round());
    let last = BODY_SIDE as f64 - 1.0;
    if (0.0..=last).contains(&x) && (0.0..=last).contains(&y) {
        heat[y as usize * BODY_SIDE + x as usize]
    } else {
        0.0
    }
}

/// A corner of the margin, seen near by.
#[derive(Debug, Clone, Copy)]
pub struct NearCorner {
    /// Where, in the plane.
    pub at_mm: Vector2<f64>,
    /// Height of its peak in the fainter of two views.
    pub height: f64,
    /// Distance between the two views' peaks.
    pub disagreement_mm: f64,
    /// Height of the next best peak within reach over this one's.
    pub rival: f64,
    /// Standard uncertainty in each direction.
    pub sigma_mm: f64,
}

/// Looks near `at_mm` for the corner; `outward` points away from the shell where that is known.
fn near_look(
    finder: &Finder,
    query: &ShellQuery,
    plane: &HeightPlane,
    at_mm: Vector2<f64>,
    outward: Vector2<f64>,
) -> Option<NearCorner> {
    corner_near(
        finder,
        query.photo,
        plane,
        query.dimension,
        at_mm,
        outward,
        Reach { far_mm: 6.5, spread_mm: 3.0 },
    )
}

/// How far from a point its corner is looked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reach {
    /// Not farther than this.
    pub far_mm: f64,
    /// Standard deviation of the point's own place.
    pub spread_mm: f64,
}

/// The corner of the margin within reach of `at_mm`, from two views, the second turned and mirrored.
pub(super) fn corner_near(
    finder: &Finder,
    photo: &crate::photo::Photo,
    plane: &HeightPlane,
    dimension: Dimension,
    at_mm: Vector2<f64>,
    outward: Vector2<f64>,
    reach: Reach,
) -> Option<NearCorner> {
    let mut seen: [Option<(Vector2<f64>, f64, f64)>; 2] = [None; 2];
    let views = [(outward, false), (Vector2::new(-outward.y, outward.x), true)];
    for (slot, (axis, mirrored)) in seen.iter_mut().zip(views) {
        let window = Window { axis, mirrored, ..Window::straight(at_mm, CORNER_MM_PER_PX, CORNER_SIDE) };
        let sight = see(&finder.corner, photo, plane, window, None, dimension)?;
        let within: Vec<Peak> = peaks(&sight.heat, CORNER_SIDE, 0.02, 12)
            .into_iter()
            .filter(|peak| (window.plane_of(peak.at_px) - at_mm).norm() <= reach.far_mm)
            .collect();
        // Of two corners alike the nearer one was meant.
        let belief = |peak: &Peak| {
            let away = (window.plane_of(peak.at_px) - at_mm).norm() / reach.spread_mm;
            peak.height * (-0.5 * away * away).portable_exp()
        };
        let best = within.iter().max_by(|a, b| belief(a).total_cmp(&belief(b)))?;
        let rival = within.iter().filter(|peak| peak.at_px != best.at_px).map(belief).fold(0.0, f64::max);
        *slot = Some((window.plane_of(best.at_px), best.height, rival / belief(best)));
    }
    let [Some(first), Some(second)] = seen else { return None };
    let total = first.1 + second.1;
    let disagreement_mm = (first.0 - second.0).norm();
    Some(NearCorner {
        at_mm: (first.0 * first.1 + second.0 * second.1) / total,
        height: first.1.min(second.1),
        disagreement_mm,
        rival: first.2.max(second.2),
        sigma_mm: CORNER_SIGMA_MM,
    })
}

impl Evidence {
    /// Probability that both points are within 10 mm.
    ///
    /// A logistic regression on 20 rendered crabs (208 looks, in two folds) that the body's networks had not
    /// seen; the corner's network had seen half of them. Of the proposals shown with the species known 73 of
    /// 76 were within 10 mm, 56 within 5, 19 within 3: figures of the very looks it was fitted to, and so a
    /// little rosy. The gates are meant for what those renderings did not have (no crab, its underside,
    /// another animal); how well they do there has not been measured.
    pub fn confidence(&self) -> f64 {
        let credible = self.peak >= 0.1
            && self.front >= 0.15
            && self.certainty >= 0.9
            && self.unlike_skew <= MOST_CANCRID_SKEW;
        if !credible {
            return 0.0;
        }
        let score = 1.81 + 0.126 * self.peak.portable_ln() - 26.4 * self.disagreement
            + 4.11 * self.front.min(0.35)
            - 0.283 * self.off_axis_deg;
        1.0 / (1.0 + (-score).portable_exp())
    }
}

/// Skewness across the long axis beyond which a body is not a cancrid's.
const MOST_CANCRID_SKEW: f64 = 0.025;
