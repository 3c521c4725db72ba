//! Candidates for the card: quadrangles of segments whose shape is an ID-1 card's and whose sides are edges.

use nalgebra::Vector2;

use super::merit::{Signs, corner_merit, merit, signs, step_share};
use super::picture::SearchPicture;
use super::quads::{Corner, Quad, ThreeSides, corners, distinct as distinct_corners, quads, three_sides};
use crate::camera::CameraPrior;
use crate::card::ID1_MM;
use crate::card::shape::{Shape, completed, shape_of};
use crate::units::PhotoPoint;

/// A quadrangle in full-size pixels, clockwise, its first side a long one, with a first score.
#[derive(Debug, Clone, Copy)]
pub struct Candidate {
    /// Corners.
    pub corners: [PhotoPoint; 4],
    /// What is seen of it in the reduced picture.
    pub signs: Signs,
    /// Its merit: the signs weighed.
    pub score: f64,
}

/// Corners that are combined at most: the right ones are nearly always among the first thousand.
const MOST_CORNERS: usize = 6000;
/// Quadrangles of four sides that are considered at most, and of three: a pavement of tiles makes millions.
const MOST_WEIGHED: usize = 100_000;
const MOST_COMPLETED: usize = 8_000;
/// Least share of a side with a clear step, and of all sides together, for a hypothesis to be weighed.
const LEAST_SIDE: f64 = 0.15;
const LEAST_SIDES: f64 = 0.4;
/// The same for each of three sides where the fourth is not asked for: a finger, a leg or weed may cover it.
const LEAST_OF_THREE: f64 = 0.6;
/// What a predicted side costs, in corner merits.
const OPEN_COSTS: f64 = 3.0;
/// Shifts at which an open side is looked for, as shares of the sides that lead to it.
const OPEN_SHIFTS: [f64; 8] = [-0.015, 0.015, -0.03, 0.03, -0.05, 0.05, -0.075, 0.075];
/// A shifted side must show this much more of a step.
const SHIFTED_IS_SEEN: f64 = 0.25;

/// All candidates of a picture, best first, many of them nearly the same.
#[derive(Debug, Clone)]
pub struct Ranked {
    found: Vec<Candidate>,
    /// Corners nearer than this are the same, in full-size px.
    apart_px: f64,
}

impl Ranked {
    /// The best that differ, at most `most`.
    pub fn best(&self, most: usize) -> Vec<Candidate> {
        distinct(self.found.iter(), self.apart_px, most)
    }

    /// The best that differ among those that lie elsewhere than `card`, at most `most`.
    pub fn elsewhere(&self, card: &[PhotoPoint; 4], most: usize) -> Vec<Candidate> {
        let elsewhere = self.found.iter().filter(|candidate| !overlap(&candidate.corners, card));
        distinct(elsewhere, self.apart_px, most)
    }
}

impl SearchPicture {
    /// The candidates, near `near` where the person tapped.
    pub fn candidates(&self, prior: &CameraPrior, near: Option<PhotoPoint>) -> Ranked {
        let mut found = self.hypotheses(prior, near);
        found.sort_by(|a, b| b.score.total_cmp(&a.score));
        Ranked { found, apart_px: 2.5 * self.factor() }
    }

    /// All hypotheses with four sides, or three and a card's shape, in no order.
    fn hypotheses(&self, prior: &CameraPrior, near: Option<PhotoPoint>) -> Vec<Candidate> {
        let [width, height] = self.size();
        // The card's long side spans 5 to 50 % of the photo's width; close photos and crops are all but filled by it.
        let sides = [(0.05 * width * 0.5).max(12.0), 0.85 * width.max(height)];
        let mut corners: Vec<(f64, Corner)> = corners(&self.segments(), 4.0)
            .into_iter()
            .map(|corner| (corner_merit(self, &corner), corner))
            .collect();
        // The best first: where there are too many, the rest is not combined.
        corners.sort_by(|a, b| b.0.total_cmp(&a.0));
        let (merits, corners) = distinct_corners(corners, MOST_CORNERS);
        let sum = |[i, j]: [usize; 2]| merits[i] + merits[j];
        let tapped = |quad: &Quad| near.is_none_or(|near| contains(quad, self.reduced(near)));
        let mut found: Vec<Candidate> = Vec::new();
        quads(&corners, sides, MOST_WEIGHED, |quad, of| {
            if tapped(&quad) {
                found.extend(self.closed(quad, sum(of), prior));
            }
        });
        three_sides(&corners, sides, MOST_COMPLETED, |open, of| {
            for quad in self.completed(&open, sides, prior).into_iter().flatten() {
                if tapped(&quad) {
                    found.extend(self.open(quad, sum(of), prior));
                }
            }
        });
        found
    }

    /// A hypothesis with a step along all four sides.
    fn closed(&self, quad: Quad, corner_merits: f64, prior: &CameraPrior) -> Option<Candidate> {
        let corners = quad.map(|p| self.full_size(p));
        let (corners, shape) = card_shape(&corners, prior, 0.09)?;
        let quad = corners.map(|corner| self.reduced(corner));
        let mut steps = [0.0; 4];
        for i in 0..4 {
            steps[i] = step_share(self, quad[i], quad[(i + 1) % 4]);
            if steps[i] < LEAST_SIDE {
                return None;
            }
        }
        (steps.iter().sum::<f64>() / 4.0 > LEAST_SIDES)
            .then(|| self.weighed(corners, &quad, &steps, &shape, corner_merits))
    }

    /// A hypothesis whose last but one side, from corner 2 to 3, need not be seen.
    fn open(&self, quad: Quad, corner_merits: f64, prior: &CameraPrior) -> Option<Candidate> {
        let seen = [0, 1, 3].map(|i| step_share(self, quad[i], quad[(i + 1) % 4]));
        if seen.iter().any(|&step| step < LEAST_OF_THREE) {
            return None;
        }
        let shifted = |share: f64| {
            let (c, d) = (quad[2] + (quad[2] - quad[1]) * share, quad[3] + (quad[3] - quad[0]) * share);
            ([quad[0], quad[1], c, d], step_share(self, c, d))
        };
        let mut best = shifted(0.0);
        let predicted = best.1;
        for share in OPEN_SHIFTS {
            let other = shifted(share);
            if other.1 > best.1.max(predicted + SHIFTED_IS_SEEN) {
                best = other;
            }
        }
        let corners = best.0.map(|p| self.full_size(p));
        let (corners, shape) = card_shape(&corners, prior, 0.09)?;
        let quad = corners.map(|corner| self.reduced(corner));
        let steps = std::array::from_fn(|i| step_share(self, quad[i], quad[(i + 1) % 4]));
        // Its far corners are predicted, not seen.
        Some(self.weighed(corners, &quad, &steps, &shape, corner_merits - OPEN_COSTS))
    }

    /// The two cards that three sides leave: the middle one is a long or a short side.
    fn completed(&self, open: &ThreeSides, sides: [f64; 2], prior: &CameraPrior) -> [Option<Quad>; 2] {
        let [a, b] = [open.a, open.b].map(|p| self.full_size(p));
        let [c, d] = [open.b + open.to_c * 20.0, open.a + open.to_d * 20.0].map(|p| self.full_size(p));
        let ratio = ID1_MM[0] / ID1_MM[1];
        [ratio, 1.0 / ratio].map(|aspect| {
            let quad = completed([a, b], [d, c], aspect, &prior.intrinsics)?.map(|p| self.reduced(p));
            let legs = [(quad[3] - quad[0]).norm(), (quad[2] - quad[1]).norm()];
            let fits = (0..2).all(|i| {
                (sides[0]..sides[1]).contains(&legs[i])
                    && open.reach[i] < 1.12 * legs[i] + 3.0
                    && open.lengths[i] > 0.22 * legs[i]
            });
            fits.then_some(quad)
        })
    }

    fn weighed(
        &self,
        corners: [PhotoPoint; 4],
        quad: &Quad,
        steps: &[f64; 4],
        shape: &Shape,
        corner_merits: f64,
    ) -> Candidate {
        let signs = signs(self, quad, steps, shape, corner_merits);
        Candidate { corners, signs, score: merit(&signs) }
    }
}
/// What the right angle of a candidate may be off by, in degrees.
const MOST_OFF_SQUARE_DEG: f64 = 7.0;

/// Turns the corners so that the first side is a long one; `None` when no camera within the prior sees an
/// ID-1 card there. `tolerance`: relative, of the aspect.
pub fn card_shaped(
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    tolerance: f64,
) -> Option<[PhotoPoint; 4]> {
    Some(card_shape(corners, prior, tolerance)?.0)
}

/// As [`card_shaped`], with the shape that the camera sees.
fn card_shape(
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
    tolerance: f64,
) -> Option<([PhotoPoint; 4], Shape)> {
    let expected = ID1_MM[0] / ID1_MM[1];
    // A wide prior is tried at several focal lengths: any of them may explain the card.
    let stretches: &[f64] = if prior.focal_relative_u > 0.08 { &[0.6, 0.8, 1.0, 1.25, 1.6] } else { &[1.0] };
    for stretch in stretches {
        let mut intrinsics = prior.intrinsics;
        intrinsics.focal_px *= stretch;
        let Some(shape) = shape_of(corners, &intrinsics) else { continue };
        if (shape.angle_deg - 90.0).abs() > MOST_OFF_SQUARE_DEG {
            continue;
        }
        if (shape.aspect / expected - 1.0).abs() < tolerance {
            return Some((*corners, shape));
        }
        if (shape.aspect * expected - 1.0).abs() < tolerance {
            let turned = [corners[1], corners[2], corners[3], corners[0]];
            return Some((turned, Shape { aspect: 1.0 / shape.aspect, ..shape }));
        }
    }
    None
}

fn contains(quad: &Quad, p: Vector2<f64>) -> bool {
    (0..4).all(|i| {
        let (a, b) = (quad[i], quad[(i + 1) % 4]);
        (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0.0
    })
}

/// True when the middle of one lies in the other.
pub fn overlap(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4]) -> bool {
    let middle = |quad: &[PhotoPoint; 4]| {
        PhotoPoint::new(
            quad.iter().map(|p| p.x).sum::<f64>() / 4.0,
            quad.iter().map(|p| p.y).sum::<f64>() / 4.0,
        )
    };
    let holds = |quad: &[PhotoPoint; 4], p: PhotoPoint| {
        (0..4).all(|i| {
            let (s, t) = (quad[i], quad[(i + 1) % 4]);
            (t.x - s.x) * (p.y - s.y) - (t.y - s.y) * (p.x - s.x) > 0.0
        })
    };
    holds(a, middle(b)) || holds(b, middle(a))
}

fn distinct<'a>(sorted: impl Iterator<Item = &'a Candidate>, apart_px: f64, most: usize) -> Vec<Candidate> {
    let mut kept: Vec<Candidate> = Vec::new();
    for candidate in sorted {
        if kept.len() >= most {
            break;
        }
        let same = |other: &Candidate| {
            (0..4).any(|turn| {
                (0..4).all(|i| other.corners[i].distance_px(candidate.corners[(i + turn) % 4]) < apart_px)
            })
        };
        if !kept.iter().any(same) {
            kept.push(*candidate);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::Photo;
    use crate::units::PhotoSize;

    const SIZE: PhotoSize = PhotoSize { width: 1200, height: 900 };

    fn seen(light: impl Fn(u32, u32) -> u8) -> (SearchPicture, CameraPrior) {
        let places = (0..SIZE.height).flat_map(|y| (0..SIZE.width).map(move |x| (x, y)));
        let pixels = places.flat_map(|(x, y)| [light(x, y), 128, 128]).collect();
        let photo = Photo::from_ycbcr(pixels, SIZE, Default::default()).expect("sizes agree");
        let (mut prior, _, _) = CameraPrior::of(&photo.exif, SIZE);
        (prior.intrinsics.focal_px, prior.focal_relative_u) = (1000.0, 0.02);
        (SearchPicture::of(&photo, crate::card::search::picture::FINE_SIDE), prior)
    }

    /// How far the worst corner of a candidate is off, in px.
    fn off_px(candidate: &Candidate, truth: &[(f64, f64); 4]) -> f64 {
        let nearest = |&(x, y): &(f64, f64)| {
            let away = candidate.corners.iter().map(|corner| corner.distance_px(PhotoPoint::new(x, y)));
            away.fold(f64::MAX, f64::min)
        };
        truth.iter().map(nearest).fold(0.0, f64::max)
    }

    /// The last fifth of the card has the ground's colour: three sides and the shape give the fourth.
    #[test]
    fn a_side_that_is_not_seen_is_predicted_by_the_other_three() {
        let card = [(420.0, 350.0), (780.0, 350.0), (780.0, 577.0), (420.0, 577.0)];
        let bright = |x: u32, y: u32| (420..708).contains(&x) && (350..577).contains(&y);
        let (picture, prior) = seen(|x, y| if bright(x, y) { 190 } else { 90 });
        let found = picture.candidates(&prior, None).best(24);
        assert!(found.iter().any(|candidate| off_px(candidate, &card) < 8.0), "{found:?}");
    }

    /// Rows of planks and tiles have a step along all four sides of many a rectangle; their lines run on.
    #[test]
    fn a_card_stands_before_the_rectangles_of_a_grid() {
        let card = [(500.0, 372.0), (700.0, 372.0), (700.0, 498.0), (500.0, 498.0)];
        let on_card = |x: u32, y: u32| (500..700).contains(&x) && (372..498).contains(&y);
        let joint = |x: u32, y: u32| x % 86 < 6 || y % 54 < 6;
        let (picture, prior) = seen(|x, y| match (on_card(x, y), joint(x, y)) {
            (true, _) => 150,
            (false, true) => 10,
            (false, false) => 110,
        });
        let found = picture.candidates(&prior, None).best(24);
        let best = |of: &dyn Fn(f64) -> bool| {
            let these = found.iter().filter(|candidate| of(off_px(candidate, &card)));
            these.map(|candidate| candidate.score).fold(f64::MIN, f64::max)
        };
        let (of_card, of_grid) = (best(&|off| off < 6.0), best(&|off| off > 60.0));
        // Twenty times likelier, by a factor e for each unit of merit.
        assert!(of_grid > f64::MIN && of_card > of_grid + 3.0, "{of_card} against {of_grid}");
    }
}
