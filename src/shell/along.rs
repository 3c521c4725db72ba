//! The shell seen along its own axis: its size, axis, front, and roughly its points.

use nalgebra::Vector2;

use super::ShellQuery;
use super::body::{Body, bodies, outline, peaks};
use super::first::{Found, Guess};
use super::plane::{Plane, plane_at};
use super::sight::{Eyes, Sight, aligned, see};
use super::window::Window;
use crate::portable::Portable;
use crate::terms::Dimension;
use crate::units::PhotoPoint;

/// Width a shell is brought to in the window, px. At 34 px 6 fewer of 252 held-out pairs were within 3 mm.
const WIDTH_PX: f64 = 38.0;
/// Shells narrower or wider than this are not believed, in mm.
const CREDIBLE_WIDTH_MM: std::ops::RangeInclusive<f64> = 25.0..=280.0;
/// Short over long axis of a body that can be a shell: the rendered ones have 0.59 to 0.83.
const CREDIBLE_ASPECT: std::ops::RangeInclusive<f64> = 0.42..=0.95;
/// Most steps from a first guess to a window that fits the body.
const MOST_STEPS: usize = 4;
/// The mask of a strange shell follows the window's axis half of the way: a larger turn than seen is made.
const TURN_GAIN: f64 = 1.4;
/// A window that fits: turn in radians, middle and size as shares of the width.
const FITS: (f64, f64, f64) = (0.05, 0.05, 0.08);

/// A shell seen along its axis from both ends.
#[derive(Debug, Clone)]
pub struct Along {
    /// The plane of its edge.
    pub plane: Plane,
    /// Its middle, in the plane.
    pub middle_mm: Vector2<f64>,
    /// Its width by its area.
    pub width_mm: f64,
    /// Unit vector along the axis.
    pub axis: Vector2<f64>,
    /// Unit vector to the front, across the axis.
    pub front: Vector2<f64>,
    /// How plainly the front is seen: 0 to 1.
    pub front_share: f64,
    /// Mean chance within that it is a shell.
    pub certainty: f64,
    /// Sum of the chances that it lies on its back over those that it does not.
    pub below: f64,
    /// The last turn that was still seen, radians.
    pub turn: f64,
    /// How far the widths of both views differ, as a share.
    pub width_spread: f64,
    /// Ends of the mask along the axis, the first at the negative end.
    pub ends_mm: [Vector2<f64>; 2],
    views: [Sight; 2],
    bodies: [Body; 2],
}

struct View {
    sight: Sight,
    body: Body,
    turn: f64,
    below: f64,
}

impl Along {
    /// Follows a guess until window and shell agree.
    pub fn follow(eyes: &Eyes, query: &ShellQuery, found: &Found, guess: &Guess) -> Option<Self> {
        let (mut plane, mut middle, mut axis) = (found.plane, guess.middle_mm, guess.axis);
        let mut width = guess.width_mm.clamp(*CREDIBLE_WIDTH_MM.start(), 260.0);
        for step in 1.. {
            // The plane moves with the width: the shell stays on its ray.
            let seen_at = plane.height.photo_of(middle)?;
            plane = plane_at(query, width)?;
            middle = plane.height.plane_of(seen_at)?;
            let views = [axis, -axis].map(|axis| view(eyes, query, &plane, middle, width, axis));
            let [Some(one), Some(other)] = views else { return None };
            let scale = one.sight.window.mm_per_px;
            let widths = [&one, &other].map(|view| view.body.expected_width_px() * scale);
            let now = (widths[0] + widths[1]) / 2.0;
            let at = [&one, &other].map(|view| view.sight.window.plane_of(view.body.centre_px));
            let turn = (one.turn + other.turn) / 2.0;
            let shift = ((at[0] + at[1]) / 2.0 - middle).norm() / now;
            let grown = (now / width).portable_ln().abs();
            let fits = turn.abs() < FITS.0 && shift < FITS.1 && grown < FITS.2;
            middle = (at[0] + at[1]) / 2.0;
            width = now;
            if !CREDIBLE_WIDTH_MM.contains(&width) {
                return None;
            }
            if fits || step >= MOST_STEPS {
                let spread = (widths[0] - widths[1]).abs() / now;
                return Some(Self::of(plane, middle, width, turned(axis, turn), turn, spread, one, other));
            }
            let gain = if turn.abs() > 2.0 * FITS.0 { TURN_GAIN } else { 1.0 };
            axis = turned(axis, gain * turn);
        }
        None
    }

    #[allow(clippy::too_many_arguments)]
    fn of(
        plane: Plane,
        middle_mm: Vector2<f64>,
        width_mm: f64,
        axis: Vector2<f64>,
        turn: f64,
        width_spread: f64,
        one: View,
        other: View,
    ) -> Self {
        let across = Vector2::new(-axis.y, axis.x);
        let share = (front_towards(&one, across) + front_towards(&other, across)) / 2.0;
        let ends_mm = [-1.0, 1.0].map(|side| {
            let ends = [&one, &other].map(|view| end_of(view, axis * side));
            (ends[0] + ends[1]) / 2.0
        });
        Self {
            plane,
            middle_mm,
            width_mm,
            axis,
            front: if share < 0.0 { -across } else { across },
            front_share: share.abs(),
            certainty: one.body.certainty.min(other.body.certainty),
            below: one.below.max(other.below),
            turn: turn.abs(),
            width_spread,
            ends_mm,
            views: [one.sight, other.sight],
            bodies: [one.body, other.body],
        }
    }

    /// Roughly where the points of a dimension are, the first at the negative end of the axis, with how plainly
    /// the fainter one is seen: the highest place of each end's map, of both views.
    pub fn points(&self, dimension: Dimension) -> ([Vector2<f64>; 2], f64) {
        let plane = match dimension {
            Dimension::Notch => aligned::NOTCHES,
            Dimension::Tips => aligned::TIPS,
            Dimension::Widest => return (self.ends_mm, self.certainty),
        };
        let mut least = 1.0f64;
        let places = [-1.0, 1.0].map(|side| {
            let (mut sum, mut total) = (Vector2::zeros(), 0.0);
            for sight in &self.views {
                let heat = sight.chances(plane);
                let best = peaks(&heat, aligned::SIDE, 0.02, 24).into_iter().find(|peak| {
                    let along = (sight.window.plane_of(peak.at_px) - self.middle_mm).dot(&self.axis) * side;
                    along > 0.25 * self.width_mm
                });
                if let Some(best) = best {
                    sum += sight.window.plane_of(best.at_px) * best.height;
                    total += best.height;
                }
            }
            least = least.min(total / 2.0);
            let end = self.ends_mm[usize::from(side > 0.0)];
            if total > 0.0 { sum / total } else { end }
        });
        (places, least)
    }

    /// The outline on the photo.
    pub fn outline(&self) -> Vec<PhotoPoint> {
        let rim = outline(&self.bodies[0], &self.views[0].chances(aligned::ABOVE), 120);
        rim.into_iter()
            .filter_map(|at| self.plane.height.photo_of(self.views[0].window.plane_of(at)))
            .collect()
    }
}

fn turned(axis: Vector2<f64>, angle: f64) -> Vector2<f64> {
    let (s, c) = (angle.portable_sin(), angle.portable_cos());
    Vector2::new(axis.x * c - axis.y * s, axis.x * s + axis.y * c)
}

fn view(
    eyes: &Eyes,
    query: &ShellQuery,
    plane: &Plane,
    middle: Vector2<f64>,
    width_mm: f64,
    axis: Vector2<f64>,
) -> Option<View> {
    let mm_per_px = (width_mm / WIDTH_PX).clamp(0.5, 7.0);
    let window = Window { axis, ..Window::straight(middle, mm_per_px, aligned::SIDE) };
    let sight = see(&eyes.aligned, query.photo, &plane.height, window, Some(&plane.card_mm))?;
    let mask = sight.chances(aligned::ABOVE);
    let body = bodies(&mask, aligned::SIDE, 0.5, 1).pop()?;
    if !CREDIBLE_ASPECT.contains(&body.aspect) {
        return None;
    }
    let seen = sight.direction_mm(body.long_axis).normalize();
    let seen = if seen.dot(&axis) < 0.0 { -seen } else { seen };
    let turn = axis.perp(&seen).portable_atan2(axis.dot(&seen));
    let back: f32 = sight.chances(aligned::BELOW).iter().sum();
    let above: f32 = mask.iter().sum();
    Some(View { sight, body, turn, below: f64::from(back / above.max(1.0)) })
}

/// From -1 to 1: how much of the front half lies towards `across`.
fn front_towards(view: &View, across: Vector2<f64>) -> f64 {
    let window = &view.sight.window;
    let middle = window.plane_of(view.body.centre_px);
    let (front, mask) = (view.sight.chances(aligned::FRONT), view.sight.chances(aligned::ABOVE));
    let (mut ahead, mut total) = (0.0, 1e-9);
    for (x, y) in view.body.places() {
        let at = y * aligned::SIDE + x;
        let place = (window.plane_of(Vector2::new(x as f64, y as f64)) - middle).dot(&across);
        ahead += f64::from(2.0 * front[at] - mask[at]) * place;
        total += f64::from(mask[at]) * place.abs();
    }
    ahead / total
}

/// Where the mask ends in a direction: the outermost place of its rim.
fn end_of(view: &View, outward: Vector2<f64>) -> Vector2<f64> {
    let window = &view.sight.window;
    outline(&view.body, &view.sight.chances(aligned::ABOVE), 120)
        .into_iter()
        .map(|at| window.plane_of(at))
        .max_by(|a, b| a.dot(&outward).total_cmp(&b.dot(&outward)))
        .unwrap_or_else(|| window.plane_of(view.body.centre_px))
}
