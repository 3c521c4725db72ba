//! How much a hypothesis looks like a card in the reduced picture: what is looked at in full size first.
//!
//! On rough ground or stripes hundreds of quadrangles have steps along their sides. What parts the card from them
//! is weighed here: steps along all four sides, one colour outside and another inside, a right shape, and sides
//! that end at the corners. The weights are those that rank the card first most often among drawn scenes
//! (`tests/reference/card/merit.py`).

use nalgebra::{Vector2, Vector3};

use super::picture::SearchPicture;
use super::quads::{Corner, Quad};
use crate::card::ID1_MM;
use crate::card::shape::Shape;
use crate::portable::Portable;

/// Samples along a side.
const SAMPLES: usize = 20;
/// Samples beyond each end of a side.
const BEYOND: usize = 6;

/// What is weighed, in this order: the steps along the three faintest sides, the faintest first; the steps in line
/// with the sides beyond their ends; how far the outsides of the four sides differ from each other, and the insides;
/// the squared misfit of the aspect; the merits of the two corners the hypothesis was made of.
pub type Signs = [f64; 8];

/// Weight of each sign.
const WEIGHTS: Signs = [5.1, 2.3, 6.9, -7.3, -4.3, -4.2, -0.46, 0.54];

/// What one side shows.
struct SideLook {
    /// Strength of the steps in line with it beyond its ends, 0 to 1.
    beyond: f64,
    outside: Vector3<f64>,
    inside: Vector3<f64>,
}

/// The share of a side with a clear step across it, 0 to 1.
pub(super) fn step_share(picture: &SearchPicture, a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    let (along, normal) = (b - a, normal(a, b));
    let clear = picture.clear_step();
    let seen: f64 = (0..SAMPLES)
        .map(|k| (picture.step_across(a + along * share(k), normal) / clear).clamp(0.0, 1.0))
        .sum();
    seen / SAMPLES as f64
}

/// Place of a sample as a share of the side: the rounded corners are left out.
fn share(k: usize) -> f64 {
    0.08 + 0.84 * (k as f64 + 0.5) / SAMPLES as f64
}

/// Unit vector to the inside of a side that runs clockwise on the screen.
fn normal(a: Vector2<f64>, b: Vector2<f64>) -> Vector2<f64> {
    let along = b - a;
    Vector2::new(-along.y, along.x) / along.norm().max(1e-9)
}

fn look(picture: &SearchPicture, a: Vector2<f64>, b: Vector2<f64>, apart: f64) -> SideLook {
    let (along, normal) = (b - a, normal(a, b));
    let length = along.norm().max(1e-9);
    let clear = picture.clear_step();
    let mean_colour = |shift: Vector2<f64>| {
        let seen = (0..SAMPLES).filter_map(|k| picture.colour_at(a + along * share(k) + shift));
        let (sum, count) =
            seen.fold((Vector3::zeros(), 0.0), |(sum, count), colour| (sum + colour, count + 1.0));
        sum / f64::max(count, 1.0)
    };
    let mut beyond = 0.0;
    for (end, away) in [(a, -along / length), (b, along / length)] {
        for k in 0..BEYOND {
            let step = picture.step_across(end + away * ((0.04 + 0.04 * k as f64) * length + 1.5), normal);
            beyond += step / (step + 2.0 * clear) / (2 * BEYOND) as f64;
        }
    }
    SideLook { beyond, outside: mean_colour(-normal * apart), inside: mean_colour(normal * apart) }
}

/// The signs of a hypothesis; `steps`: the share of each side with a clear step.
pub(super) fn signs(
    picture: &SearchPicture,
    quad: &Quad,
    steps: &[f64; 4],
    shape: &Shape,
    corner_merits: f64,
) -> Signs {
    let apart = (0.03 * (quad[1] - quad[0]).norm()).max(2.5);
    let sides: [SideLook; 4] = std::array::from_fn(|i| look(picture, quad[i], quad[(i + 1) % 4], apart));
    let beyond = sides.iter().map(|side| side.beyond).sum::<f64>() / 4.0;
    let mean = |of: fn(&SideLook) -> Vector3<f64>| sides.iter().map(of).sum::<Vector3<f64>>() / 4.0;
    let (outside, inside) = (mean(|side| side.outside), mean(|side| side.inside));
    let step = (inside - outside).norm();
    let varies = |of: fn(&SideLook) -> Vector3<f64>, mean: Vector3<f64>| {
        let off = sides.iter().map(|side| (of(side) - mean).norm()).sum::<f64>() / 4.0;
        off / (off + step + 5.0)
    };
    let (outside, inside) = (varies(|side| side.outside, outside), varies(|side| side.inside, inside));
    let aspect = (shape.aspect / (ID1_MM[0] / ID1_MM[1])).portable_ln();
    let mut steps = *steps;
    steps.sort_by(f64::total_cmp);
    [steps[0], steps[1], steps[2], beyond, outside, inside, (aspect / 0.03).powi(2), corner_merits]
}

/// The signs weighed: the logarithm of the odds of this hypothesis against others of the same picture.
pub(super) fn merit(signs: &Signs) -> f64 {
    signs.iter().zip(WEIGHTS).map(|(sign, weight)| sign * weight).sum()
}

/// How much a corner looks like a card's: long segments that show, and end where they meet. A line that runs on is
/// a plank's, a stripe's or a tile's. The weights are fitted as those of the signs.
pub(super) fn corner_merit(picture: &SearchPicture, corner: &Corner) -> f64 {
    let clear = picture.clear_step();
    let shows = |away: Vector2<f64>, length: f64| {
        let normal = Vector2::new(-away.y, away.x);
        let seen = (0..4).map(|k| {
            let from = 3.0 + 0.1 * f64::from(k) * length.min(60.0);
            let step = picture.step_across(corner.at + away * from, normal);
            0.25 * step / (step + 2.0 * clear)
        });
        seen.sum::<f64>()
    };
    let rays = [(corner.first, corner.lengths[0]), (corner.second, corner.lengths[1])];
    let fainter = rays.map(|(away, length)| shows(away, length)).into_iter().fold(1.0, f64::min);
    let runs_on = rays.map(|(away, length)| shows(-away, length)).into_iter().fold(0.0, f64::max);
    corner.lengths[0].min(corner.lengths[1]).portable_ln() + 4.0 * (fainter - runs_on)
}
