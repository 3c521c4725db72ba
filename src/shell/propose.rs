//! From the photo to two points: where a shell is, how it lies, then each end near by.

use nalgebra::Vector2;

use super::along::Along;
use super::chance::Evidence;
use super::corner::{Corner, Near, Reach};
use super::first::{Found, Guess, first_look};
use super::plane::marked_point;
use super::sight::Eyes;
use super::{NoProposal, Proposal, ShellQuery};
use crate::portable::Portable;
use crate::terms::{Dimension, MarkedPoint};
use crate::units::PhotoPoint;

/// A proposal below this chance is not shown.
const LEAST_CHANCE: f64 = 0.7;
/// A pair this likely ends the search.
const PLAIN_CHANCE: f64 = 0.9;
/// Most places and turns a shell is followed from.
const MOST_STARTS: usize = 6;
/// So many others that end at the same points end the search, where the pair is likely enough to be shown.
const ENOUGH_ALIKE: usize = 2;
/// Points closer than this share of the width are the same.
const ALIKE: f64 = 0.06;
/// A shell on its back: its chances outweigh those of one that is not by this.
const BELOW: f64 = 1.0;
/// Reach of a close look at a place known only roughly.
const REACH: Reach = Reach { far_mm: 11.0, spread_mm: 5.0 };
/// How far from the mask's end the widest place is looked for, as a share of the width.
const WIDEST_REACH: f64 = 0.05;
/// A corner farther from the middle of its window than this is looked at again, mm.
const AGAIN_MM: f64 = 3.0;
/// A corner that is not seen plainer than this does not move a point.
const LEAST_NEAR: f64 = 0.15;
/// Standard uncertainty of a point seen near by, in mm in each direction: that of a plain one, widened for worn teeth, and
/// how far off the wrong corner of the margin is, of which the pair's chance tells. Fitted on 632 points in two thirds of
/// the scenes of renderings (chi-square a direction 1.0); on 364 of the other third it comes to 1.1, where one figure for
/// all would come to 2.2, with points of a chance above 0.98 off by a third of it.
const PLAIN_SIGMA_MM: f64 = 0.35;
const WRONG_CORNER_MM: f64 = 4.2;
/// The same of a plain widest place: renderings have 0.4 to 1.0, the 12 points proposed on real shells 1.7.
const WIDEST_SIGMA_MM: f64 = 1.2;
/// Standard uncertainty of a point seen along the axis only, in mm in each direction.
const ROUGH_SIGMA_MM: f64 = 3.5;

/// A pair of points with all that was seen on the way.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The points, with their uncertainty.
    pub points: [MarkedPoint; 2],
    /// Outline in photo pixels.
    pub outline: Vec<PhotoPoint>,
    /// What speaks for it.
    pub evidence: Evidence,
}

/// Proposes the outline and the two measuring points.
///
/// # Errors
/// [`NoProposal`] where nothing credible is seen.
pub fn look_for_shell(query: &ShellQuery) -> Result<Proposal, NoProposal> {
    let best = likeliest(query)?;
    if best.evidence.below > BELOW {
        return Err(NoProposal::Underside);
    }
    let confidence = best.evidence.chance();
    if confidence < LEAST_CHANCE {
        return Err(NoProposal::Unsure);
    }
    Ok(Proposal { points: best.points, outline: best.outline, confidence })
}

/// As [`look_for_shell`], without the reason.
pub fn propose(query: &ShellQuery) -> Option<Proposal> {
    look_for_shell(query).ok()
}

/// The likeliest pair, however unlikely.
///
/// # Errors
/// [`NoProposal`] where no shell is seen at all.
pub fn likeliest(query: &ShellQuery) -> Result<Candidate, NoProposal> {
    let eyes = Eyes::built_in().ok_or(NoProposal::NotSeen)?;
    let found = first_look(eyes, query).ok_or(NoProposal::NotSeen)?;
    let mut ends: Vec<Candidate> = Vec::new();
    for start in found.starts.iter().take(MOST_STARTS) {
        let Some(candidate) = follow(eyes, query, &found, start) else { continue };
        if candidate.evidence.chance() > PLAIN_CHANCE {
            return Ok(candidate);
        }
        ends.push(candidate);
        let is_settled =
            |seen: Chosen| seen.alike.len() >= ENOUGH_ALIKE && seen.evidence.chance() >= LEAST_CHANCE;
        if choose(&ends).is_some_and(is_settled) {
            break;
        }
    }
    let nothing = if found.below_over_above > BELOW { NoProposal::Underside } else { NoProposal::NotSeen };
    let Chosen { best, alike, evidence } = choose(&ends).ok_or(nothing)?;
    let mut chosen = Candidate { evidence, ..ends[best].clone() };
    if query.dimension == Dimension::Widest {
        let pairs: Vec<_> = alike.iter().map(|&other| ends[best].paired(&ends[other])).collect();
        let share = 1.0 / (pairs.len() + 1) as f64;
        for (end, marked) in chosen.points.iter_mut().enumerate() {
            let sum = pairs
                .iter()
                .fold(marked.point, |sum, pair| PhotoPoint::new(sum.x + pair[end].x, sum.y + pair[end].y));
            marked.point = PhotoPoint::new(sum.x * share, sum.y * share);
        }
    }
    Ok(chosen)
}

/// The likeliest of several candidates, by what the others say.
struct Chosen {
    best: usize,
    /// Those that end at the same points.
    alike: Vec<usize>,
    /// Its evidence, with the others'.
    evidence: Evidence,
}

/// The others speak with the weight of their own chances: two unlikely ones that agree do not outvote a likely one.
fn choose(ends: &[Candidate]) -> Option<Chosen> {
    let chances: Vec<f64> = ends.iter().map(|end| end.evidence.chance()).collect();
    let heard = |best: usize| {
        let others = (0..ends.len()).filter(|&other| other != best);
        let (alike, apart): (Vec<usize>, Vec<usize>) =
            others.partition(|&other| ends[best].agrees_with(&ends[other]));
        let sum = |of: &[usize]| of.iter().map(|&other| chances[other]).sum();
        let evidence = Evidence { alike: sum(&alike), apart: sum(&apart), ..ends[best].evidence };
        Chosen { best, alike, evidence }
    };
    (0..ends.len()).map(heard).max_by(|a, b| a.evidence.chance().total_cmp(&b.evidence.chance()))
}

impl Candidate {
    /// The other's points in this one's order.
    fn paired(&self, other: &Self) -> [PhotoPoint; 2] {
        let [a, b] = other.points.map(|marked| marked.point);
        let far = |p: PhotoPoint, q: PhotoPoint| {
            self.points[0].point.distance_px(p) + self.points[1].point.distance_px(q)
        };
        if far(a, b) <= far(b, a) { [a, b] } else { [b, a] }
    }

    /// True where both points lie close to the other's, for the pair's width.
    fn agrees_with(&self, other: &Self) -> bool {
        let width_px = self.points[0].point.distance_px(self.points[1].point);
        let pairs = self.points.iter().zip(self.paired(other));
        pairs.map(|(marked, at)| marked.point.distance_px(at)).fold(0.0, f64::max) < ALIKE * width_px
    }
}

fn follow(eyes: &Eyes, query: &ShellQuery, found: &Found, guess: &Guess) -> Option<Candidate> {
    let along = Along::follow(eyes, query, found, guess)?;
    let (rough, rough_chance) = along.points(query.dimension);
    let mut at_mm = rough;
    let mut is_plain = [false; 2];
    let (mut near, mut rival, mut moved) = (1.0f64, 0.0f64, 0.0f64);
    for (end, side) in [-1.0, 1.0].into_iter().enumerate() {
        let corner = near_end(eyes, query, &along, rough[end], along.axis * side);
        near = near.min(corner.map_or(0.0, |corner| corner.chance));
        rival = rival.max(corner.map_or(0.0, |corner| corner.rival));
        let plain = corner.filter(|corner| corner.chance >= LEAST_NEAR);
        at_mm[end] = plain.map_or(rough[end], |corner| corner.at_mm);
        moved = moved.max((at_mm[end] - rough[end]).norm());
        is_plain[end] = plain.is_some();
    }
    let degrees = |a: Vector2<f64>, b: Vector2<f64>| {
        let cosine = a.dot(&b).abs() / (a.norm() * b.norm()).max(1e-9);
        cosine.min(1.0).portable_acos().to_degrees()
    };
    let reach = at_mm.map(|at| (at - along.middle_mm).dot(&along.axis).abs());
    let evidence = Evidence {
        first: guess.certainty,
        first_size: (guess.width_mm / along.width_mm).portable_ln().abs(),
        first_shift: shift(found, guess, &along)? / along.width_mm,
        first_turn_deg: degrees(guess.axis, along.axis),
        certainty: along.certainty,
        front: along.front_share,
        below: along.below,
        turn_deg: along.turn.to_degrees(),
        width_spread: along.width_spread,
        rough: rough_chance,
        near,
        rival,
        moved: moved / along.width_mm,
        off_axis_deg: degrees(at_mm[1] - at_mm[0], along.axis),
        lopsided: (reach[0] - reach[1]).abs() / along.width_mm,
        widest: if query.dimension == Dimension::Widest { 1.0 } else { 0.0 },
        alike: 0.0,
        apart: 0.0,
    };
    let plain_sigma_mm = if query.dimension == Dimension::Widest { WIDEST_SIGMA_MM } else { PLAIN_SIGMA_MM };
    let near_sigma_mm = near_sigma_mm(plain_sigma_mm, evidence.chance());
    let point = |end: usize| {
        let sigma_mm = if is_plain[end] { near_sigma_mm } else { near_sigma_mm.max(ROUGH_SIGMA_MM) };
        marked_point(&along.plane.height, at_mm[end], sigma_mm)
    };
    Some(Candidate { points: [point(0)?, point(1)?], outline: along.outline(), evidence })
}

/// Standard uncertainty of a point seen near by, in mm in each direction, by the chance that its pair is right.
fn near_sigma_mm(plain_sigma_mm: f64, chance: f64) -> f64 {
    let wrong = (1.0 - chance).clamp(0.0, 1.0).sqrt();
    plain_sigma_mm.portable_hypot(WRONG_CORNER_MM * wrong)
}

/// From the first look's middle to the shell's, mm.
fn shift(found: &Found, guess: &Guess, along: &Along) -> Option<f64> {
    let seen_at = found.plane.height.photo_of(guess.middle_mm)?;
    Some((along.plane.height.plane_of(seen_at)? - along.middle_mm).norm())
}

/// The point of an end, looked at again where it lay far from the middle of its window.
fn near_end(
    eyes: &Eyes,
    query: &ShellQuery,
    along: &Along,
    rough: Vector2<f64>,
    outward: Vector2<f64>,
) -> Option<Corner> {
    let look = |at| Near::look(eyes, query.photo, &along.plane.height, at, outward, along.front);
    if query.dimension == Dimension::Widest {
        // The mask's end is right to a few mm; farther out lie limbs.
        return look(rough)?.find(
            query.dimension,
            rough,
            Reach { far_mm: WIDEST_REACH * along.width_mm, ..REACH },
        );
    }
    let first = look(rough)?.find(query.dimension, rough, REACH)?;
    if (first.at_mm - rough).norm() <= AGAIN_MM {
        return Some(first);
    }
    look(first.at_mm)?.find(query.dimension, first.at_mm, Reach { far_mm: 6.0, ..REACH }).or(Some(first))
}

#[cfg(test)]
mod tests {
    use nalgebra::Matrix2;

    use super::*;

    fn candidate(x: f64, near: f64) -> Candidate {
        let at = |x| MarkedPoint {
            point: PhotoPoint::new(x, 100.0),
            covariance_px2: Matrix2::identity(),
            spot_u_mm: 1.0,
        };
        let evidence = Evidence { certainty: 0.9, widest: 1.0, near, ..Evidence::default() };
        Candidate { points: [at(x), at(x + 500.0)], outline: Vec::new(), evidence }
    }

    #[test]
    fn unlikely_looks_that_agree_do_not_outvote_a_likely_one() {
        let (faint, likely) = (0.02, 0.6);
        let ends = [candidate(0.0, faint), candidate(3.0, faint), candidate(200.0, likely)];
        let chosen = choose(&ends).expect("one is chosen");
        assert_eq!((chosen.best, chosen.alike.len()), (2, 0));
        let alone = choose(&ends[2..]).expect("one is chosen").evidence.chance();
        let chance = chosen.evidence.chance();
        assert!(chance < alone && chance > 0.98 * alone, "{chance} of {alone}");
    }

    #[test]
    fn of_looks_as_likely_those_that_agree_are_chosen() {
        let ends = [candidate(200.0, 0.6), candidate(0.0, 0.6), candidate(3.0, 0.6)];
        let chosen = choose(&ends).expect("one is chosen");
        assert!(chosen.best > 0 && chosen.alike.len() == 1, "{}", chosen.best);
        let each = ends[0].evidence.chance();
        assert!((chosen.evidence.alike - each).abs() < 1e-9 && (chosen.evidence.apart - each).abs() < 1e-9);
    }
}
