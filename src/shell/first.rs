//! The first look: where shells may be, how large, along which axis.

use nalgebra::Vector2;

use super::ShellQuery;
use super::body::{Body, bodies};
use super::plane::{Plane, plane_at};
use super::sight::{Eyes, Sight, see, whole};
use super::window::Window;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Scale of the first look: the window spans 576 mm.
const WIDE_MM_PER_PX: f64 = 4.5;
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

/// What a first look finds.
#[derive(Debug, Clone)]
pub struct Found {
    /// The plane it was found in.
    pub plane: Plane,
    /// Shells from above, the largest first.
    pub guesses: Vec<Guess>,
    /// Chance times area of what lies on its back, over that of what does not.
    pub below_over_above: f64,
}

/// Looks round the tap, or round the card.
pub fn first_look(eyes: &Eyes, query: &ShellQuery) -> Option<Found> {
    let plane = plane_at(query, MIDDLING_WIDTH_MM)?;
    let tap = query.shell_near.and_then(|tap| plane.height.plane_of(tap));
    let middle = tap.unwrap_or_else(|| plane.card_mm.iter().sum::<Vector2<f64>>() / 4.0);
    let wide = look(eyes, query, &plane, middle, WIDE_MM_PER_PX)?;
    let mut seen = guesses(&wide, FLOOR);
    // A tap on the middle of the shell is within the shell.
    seen.retain(|guess| {
        tap.is_none_or(|tap| (tap - guess.middle_mm).norm() < 0.6 * guess.width_mm.max(60.0))
    });
    if let Some(tap) = tap.filter(|_| seen.is_empty()) {
        seen.push(Guess { middle_mm: tap, width_mm: 110.0, axis: Vector2::x(), certainty: 0.0 });
    }
    seen.truncate(MOST_GUESSES);
    let below = wide.chances(whole::BELOW).iter().filter(|&&chance| chance > 0.5).count();
    let above = wide.chances(whole::ABOVE).iter().filter(|&&chance| chance > 0.5).count();
    let guesses = seen
        .into_iter()
        .filter_map(|guess| {
            let sure = guess.certainty >= SURE.0 && guess.width_mm / WIDE_MM_PER_PX >= SURE.1;
            if sure { Some(guess) } else { second_look(eyes, query, &plane, &guess) }
        })
        .collect();
    Some(Found { plane, guesses, below_over_above: below as f64 / above.max(1) as f64 })
}

/// The shell at whose edge `point` lies.
pub fn look_round(eyes: &Eyes, query: &ShellQuery, point: PhotoPoint) -> Option<(Found, Guess)> {
    let plane = plane_at(query, MIDDLING_WIDTH_MM)?;
    let at_mm = plane.height.plane_of(point)?;
    let sight = look(eyes, query, &plane, at_mm, *SECOND_MM_PER_PX.end())?;
    // At its edge: half a width from its middle.
    let off = |guess: &Guess| ((guess.middle_mm - at_mm).norm() - 0.5 * guess.width_mm).abs();
    let guess = guesses(&sight, FLOOR)
        .into_iter()
        .filter(|guess| off(guess) < 0.35 * guess.width_mm)
        .max_by(|a, b| a.width_mm.total_cmp(&b.width_mm))?;
    Some((Found { plane, guesses: Vec::new(), below_over_above: 0.0 }, guess))
}

/// The same place larger: patterned shells are seen whole only there.
fn second_look(eyes: &Eyes, query: &ShellQuery, plane: &Plane, guess: &Guess) -> Option<Guess> {
    let width = (1.2 * guess.width_mm).max(60.0);
    let scale = (width / SECOND_WIDTH_PX).clamp(*SECOND_MM_PER_PX.start(), *SECOND_MM_PER_PX.end());
    let sight = look(eyes, query, plane, guess.middle_mm, scale)?;
    guesses(&sight, FLOOR)
        .into_iter()
        .filter(|again| (again.middle_mm - guess.middle_mm).norm() < 0.7 * again.width_mm.max(width))
        .max_by(|a, b| a.width_mm.total_cmp(&b.width_mm))
}

fn look(eyes: &Eyes, query: &ShellQuery, plane: &Plane, middle: Vector2<f64>, scale: f64) -> Option<Sight> {
    let window = Window::straight(middle, scale, whole::SIDE);
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
