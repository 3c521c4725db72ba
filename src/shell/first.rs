//! The first look: where shells may be, how large, along which axis.

use nalgebra::Vector2;

use super::ShellQuery;
use super::body::{AREA_OVER_WIDTH_SQUARED, Body, bodies};
use super::plane::{Plane, plane_at};
use super::sight::{Eyes, Sight, see, whole};
use super::window::Window;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Scales of the first look, mm a px: the window spans 256 to 576 mm, no more than the photo shows.
const WIDE_MM_PER_PX: std::ops::RangeInclusive<f64> = 2.0..=4.5;
/// Width of a shell for whose edge the plane of the first look is chosen, mm.
const MIDDLING_WIDTH_MM: f64 = 140.0;
/// Mask above which a patch may be a shell in the first look. Real shells, unlike rendered ones, are seen faintly.
const FLOOR: f32 = 0.25;
/// Most patches that are followed.
const MOST_GUESSES: usize = 2;
/// A shell is looked at again at this width, in px, where the first look was unsure of it.
const SECOND_WIDTH_PX: f64 = 50.0;
/// Scales of the second look, mm a px.
const SECOND_MM_PER_PX: std::ops::RangeInclusive<f64> = 1.2..=2.8;
/// A strange shell is followed from its axis and from this far to either side, radians: what ends at the same place from
/// each is more likely right.
const OTHER_TURN: f64 = 0.7;
/// What seems to lie on its back must cover a shell this wide, mm: a few pixels are no crab. The rendered ones seen so on
/// scenes left out are 68 mm wide and more.
const LEAST_BELOW_MM: f64 = 40.0;
/// A shell seen this surely and this wide, in px, needs no second look.
const SURE: (f64, f64) = (0.9, 18.0);

/// Where a shell may be.
#[derive(Debug, Clone, Copy)]
pub struct Guess {
    /// Its middle, in the plane of a middling shell's edge.
    pub middle_mm: Vector2<f64>,
    /// Its width.
    pub width_mm: f64,
    /// Unit vector along its long axis.
    pub axis: Vector2<f64>,
    /// Mean chance within that it is a shell.
    pub certainty: f64,
}

impl Guess {
    /// The same with its axis turned by an angle in radians.
    fn turned(self, angle: f64) -> Self {
        let (s, c) = (angle.portable_sin(), angle.portable_cos());
        let axis = Vector2::new(self.axis.x * c - self.axis.y * s, self.axis.x * s + self.axis.y * c);
        Self { axis, ..self }
    }
}

/// What a first look finds.
#[derive(Debug, Clone)]
pub struct Found {
    /// The plane it was found in.
    pub plane: Plane,
    /// Where to follow a shell from, the likeliest first.
    pub starts: Vec<Guess>,
    /// Chance times area of what lies on its back, over that of what does not.
    pub below_over_above: f64,
}

/// Looks round the tap, or round the card.
pub fn first_look(eyes: &Eyes, query: &ShellQuery) -> Option<Found> {
    let plane = plane_at(query, MIDDLING_WIDTH_MM)?;
    let tap = query.shell_near.and_then(|tap| plane.height.plane_of(tap));
    let middle = tap.unwrap_or_else(|| plane.card_mm.iter().sum::<Vector2<f64>>() / 4.0);
    let (middle, scale) = shown(query, &plane, middle);
    let credible = |sight: &Sight| {
        let mut seen = guesses(sight, FLOOR);
        // A tap on the middle of the shell is within the shell.
        seen.retain(|guess| {
            tap.is_none_or(|tap| (tap - guess.middle_mm).norm() < 0.6 * guess.width_mm.max(60.0))
        });
        seen
    };
    let surest = |seen: &[Guess]| seen.iter().map(|guess| guess.certainty).fold(0.0, f64::max);
    let wide = look(eyes, query, &plane, middle, scale, Vector2::x())?;
    let mut seen = credible(&wide);
    let (mut below, mut above) = areas(&wide);
    if surest(&seen) < SURE.0 {
        // Some shells are seen better from another side.
        let turned = look(eyes, query, &plane, middle, scale, Vector2::y())?;
        let again = credible(&turned);
        let (below_again, above_again) = areas(&turned);
        // Both looks must see a belly: one alone is easily mistaken where there is no crab.
        below = below.min(below_again);
        above = above.max(above_again);
        if surest(&again) > surest(&seen) {
            seen = again;
        }
    }
    if let Some(tap) = tap.filter(|_| seen.is_empty()) {
        seen.push(Guess { middle_mm: tap, width_mm: 110.0, axis: Vector2::x(), certainty: 0.0 });
    }
    seen.truncate(MOST_GUESSES);
    let least = AREA_OVER_WIDTH_SQUARED * (LEAST_BELOW_MM / scale).powi(2);
    let mut starts = Vec::new();
    let mut others = Vec::new();
    for guess in seen {
        let sure = guess.certainty >= SURE.0 && guess.width_mm / scale >= SURE.1;
        let again = if sure { None } else { second_look(eyes, query, &plane, &guess) };
        let nearer = again.unwrap_or(guess);
        starts.push(nearer);
        others.extend([nearer.turned(OTHER_TURN), nearer.turned(-OTHER_TURN)]);
        if again.is_some() {
            others.push(guess);
        }
    }
    starts.extend(others);
    Some(Found { plane, starts, below_over_above: below as f64 / (above as f64).max(least) })
}

/// Pixels of shells that lie on their backs, and of those that do not.
fn areas(sight: &Sight) -> (usize, usize) {
    let count = |plane| sight.chances(plane).iter().filter(|&&chance| chance > 0.5).count();
    (count(whole::BELOW), count(whole::ABOVE))
}

/// The shell at whose edge `point` lies.
pub fn look_round(eyes: &Eyes, query: &ShellQuery, point: PhotoPoint) -> Option<(Found, Guess)> {
    let plane = plane_at(query, MIDDLING_WIDTH_MM)?;
    let at_mm = plane.height.plane_of(point)?;
    let sight = look(eyes, query, &plane, at_mm, *SECOND_MM_PER_PX.end(), Vector2::x())?;
    // At its edge: half a width from its middle.
    let off = |guess: &Guess| ((guess.middle_mm - at_mm).norm() - 0.5 * guess.width_mm).abs();
    let guess = guesses(&sight, FLOOR)
        .into_iter()
        .filter(|guess| off(guess) < 0.35 * guess.width_mm)
        .max_by(|a, b| a.width_mm.total_cmp(&b.width_mm))?;
    Some((Found { plane, starts: Vec::new(), below_over_above: 0.0 }, guess))
}

/// The same place larger: patterned shells are seen whole only there.
fn second_look(eyes: &Eyes, query: &ShellQuery, plane: &Plane, guess: &Guess) -> Option<Guess> {
    let width = (1.2 * guess.width_mm).max(60.0);
    let scale = (width / SECOND_WIDTH_PX).clamp(*SECOND_MM_PER_PX.start(), *SECOND_MM_PER_PX.end());
    let sight = look(eyes, query, plane, guess.middle_mm, scale, Vector2::x())?;
    guesses(&sight, FLOOR)
        .into_iter()
        .filter(|again| (again.middle_mm - guess.middle_mm).norm() < 0.7 * again.width_mm.max(width))
        .max_by(|a, b| a.width_mm.total_cmp(&b.width_mm))
}

/// Middle and scale of the first look: about `middle`, but no farther than the photo shows.
fn shown(query: &ShellQuery, plane: &Plane, middle: Vector2<f64>) -> (Vector2<f64>, f64) {
    let far = 0.5 * whole::SIDE as f64 * WIDE_MM_PER_PX.end();
    let size = query.photo.size();
    let (w, h) = (f64::from(size.width), f64::from(size.height));
    let corners =
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| plane.height.plane_of(PhotoPoint::new(x, y)));
    let (mut low, mut high) = (Vector2::repeat(f64::INFINITY), Vector2::repeat(f64::NEG_INFINITY));
    for corner in corners {
        // A corner above the horizon is as far as the window reaches, on either side.
        let Some(at) = corner else { return (middle, *WIDE_MM_PER_PX.end()) };
        low = low.inf(&at);
        high = high.sup(&at);
    }
    let (low, high) = (low.sup(&middle.add_scalar(-far)), high.inf(&middle.add_scalar(far)));
    let scale = (high - low).max() / whole::SIDE as f64;
    ((low + high) / 2.0, scale.clamp(*WIDE_MM_PER_PX.start(), *WIDE_MM_PER_PX.end()))
}

fn look(
    eyes: &Eyes,
    query: &ShellQuery,
    plane: &Plane,
    middle: Vector2<f64>,
    scale: f64,
    axis: Vector2<f64>,
) -> Option<Sight> {
    let window = Window { axis, ..Window::straight(middle, scale, whole::SIDE) };
    see(&eyes.whole, query.photo, &plane.height, window, Some(&plane.card_mm))
}

fn guesses(sight: &Sight, floor: f32) -> Vec<Guess> {
    let above = sight.chances(whole::ABOVE);
    bodies(&above, whole::SIDE, floor, 3)
        .into_iter()
        .map(|body| {
            let mut double = Vector2::zeros();
            for (x, y) in body.places() {
                let weight = f64::from(above[y * whole::SIDE + x]);
                let [cosine, sine] = whole::AXIS.map(|plane| f64::from(sight.value(plane, x, y)));
                double += Vector2::new(cosine, sine) * weight;
            }
            let angle = 0.5 * double.y.portable_atan2(double.x);
            let axis = Vector2::new(angle.portable_cos(), angle.portable_sin());
            Guess {
                middle_mm: sight.window.plane_of(body.centre_px),
                width_mm: width_px(&body) * sight.window.mm_per_px,
                axis: sight.direction_mm(axis).normalize(),
                certainty: body.certainty,
            }
        })
        .collect()
}

/// Width by the number of pixels: a faint mask's sum of chances would make the shell too small.
fn width_px(body: &Body) -> f64 {
    body.expected_width_px() / body.certainty.max(0.1).sqrt()
}
