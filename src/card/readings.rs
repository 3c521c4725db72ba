//! Other lines that may be the edges of the card's face: in low sun the rim of the card's own shadow is a stronger step
//! than the edge between shadow and card.
//!
//! What lies between two lines tells. Deck in shadow is darker than the deck outside and goes on in hue and texture, and
//! the card inside is of another hue; a printed border does neither. Steps are looked for in the logarithm of light:
//! between shadow and a card they are faint in light, and as large as others in ratio.

use nalgebra::Vector2;

use super::ID1_MM;
use super::edges::crossings::intersections;
use super::edges::{EdgeLine, Look, Strip};
use super::rims::{CORNER_PX, misshape, shape_weight};
use super::sharpen::MOST_MISFIT;
use crate::camera::CameraPrior;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// How far from a side lines are looked for, in mm: the shadow of a card 0.76 mm thick with the sun 14 degrees high.
const REACH_MM: f64 = 3.2;
/// Light that is added before the logarithm, of full scale: a level or two of 255 near black must not count as a step.
const DARK: f32 = 0.005;
/// Least noise in the logarithm of light, per px (common practice).
const LEAST_NOISE: f64 = 0.006;
/// Lines nearer to each other than this, in mm and px, are one.
const APART_MM: f64 = 0.35;
const APART_PX: f64 = 1.2;
/// Share of a side along which an inner line is seen at least, and its share of the steps.
const LEAST_SUPPORT: f64 = 0.5;
const LEAST_SALIENCE: f64 = 0.05;
/// Most other lines of a side.
const MOST: usize = 2;

/// Parts of a side that are compared: what changes along it tells decks with planks, and prints.
const PARTS: usize = 24;
/// Samples along and across each part.
const SAMPLES: [usize; 2] = [4, 5];
/// How broad the bands outside and inside of both lines are, in mm, and how far from the lines they keep, in mm.
const BAND_MM: f64 = 1.0;
const GAP_MM: f64 = 0.2;
/// Left out at each end of a side, in mm: the rounded corner.
const CORNER_MM: f64 = 5.0;

/// What the odds that the inner line is the edge rest on, in this order: 1; the hue of what lies between against that
/// outside, and inside; how its changes go with those outside, and inside; how much rougher it is than what lies outside.
/// Fitted, with [`FIT_WEIGHT`], by logistic regression on 120 such lines (21 of them the edge) of cards found in every
/// second scene of renderings; the other half took no part.
const WEIGHTS: [f64; 6] = [3.94, -4.94, 1.16, 1.35, -3.05, -2.45];
/// Weight of half of the chi-square that the card's shape gains, and the most that counts of it.
const FIT_WEIGHT: f64 = 0.41;
const MOST_FIT: f64 = 8.0;
/// Odds (logarithm) that an inner line needs, and how far from that the question stays open.
const TAKEN: f64 = 1.5;
const OPEN: f64 = 5.0;
/// What lies between is a shadow only where it is darker than outside by this, in the logarithm of light.
const SHADOW_IS_DARKER: f64 = 0.15;

/// A face so dark (logarithm of its linear light), darker than what lies outside by this, and of a hue so like, may hide
/// the card's shadow: of 64 such sides among those 1180 one in six lay 0.3 mm and more outside of the true edge, of the
/// rest one in sixty.
const DARK_FACE: f64 = -2.5;
const DARKER_BY: f64 = 0.5;
const LIKE_HUE: f64 = 0.6;

/// A line inside of a side that may be the edge of the face.
#[derive(Debug, Clone, Copy)]
struct Inner {
    /// Where it lies.
    line: EdgeLine,
    /// What lies between: see [`Between`].
    between: Between,
}

/// What a band between two lines looks like beside those outside and inside of it.
#[derive(Debug, Clone, Copy)]
struct Between {
    /// Difference of hue (of the logarithms of light, less their mean) to what lies outside.
    hue_outside: f64,
    /// And to what lies inside.
    hue_inside: f64,
    /// Logarithm of its light over that outside.
    darker: f64,
    /// How far its changes along the side go with those outside, -1 to 1.
    with_outside: f64,
    /// And with those inside.
    with_inside: f64,
    /// Logarithm of its texture's strength over that outside.
    rougher_outside: f64,
}

type Bands = Vec<[f64; 3]>;

/// The lines inside of each side of a card that may be its edge, with what lies between.
fn inner_lines(photo: &Photo, light: &LinearLight, corners: &[PhotoPoint; 4], side: usize) -> Vec<Inner> {
    let px_per_mm = corners[0].distance_px(corners[1]) / ID1_MM[0];
    let log = |at: PhotoPoint| light.at(photo, at).map(|value| (value.max(0.0) + DARK).portable_ln());
    let look = Look::wide((REACH_MM * px_per_mm).max(8.0));
    let (start, end) = (corners[side], corners[(side + 1) % 4]);
    let Some(strip) = Strip::of(log, LEAST_NOISE, start, end, side.is_multiple_of(2), look) else {
        return Vec::new();
    };
    let apart = (APART_MM * px_per_mm).max(APART_PX);
    let middle = |line: &EdgeLine| 0.5 * (line.at_start + line.at_end);
    let mut lines = strip.lines(6, (0.8 * px_per_mm).max(2.5), apart);
    lines.retain(|line| {
        middle(line) > apart && line.support > LEAST_SUPPORT && line.salience > LEAST_SALIENCE
    });
    lines.sort_by(|a, b| (b.support * b.salience).total_cmp(&(a.support * a.salience)));
    let mut found: Vec<Inner> = Vec::new();
    for line in lines {
        let is_new = found.iter().all(|other| (middle(&other.line) - middle(&line)).abs() > apart);
        if found.len() < MOST && is_new {
            let gap_mm = middle(&line) / px_per_mm;
            let keep = GAP_MM.min(gap_mm / 4.0) * px_per_mm;
            let band = |from: [f64; 2], to: [f64; 2]| band(photo, light, [start, end], side, from, to);
            let (inner, off) = ([line.at_start, line.at_end], (BAND_MM + GAP_MM) * px_per_mm);
            let outside = band([-off; 2], [-GAP_MM * px_per_mm; 2]);
            let within = band([keep; 2], inner.map(|at| at - keep));
            let inside = band(inner.map(|at| at + GAP_MM * px_per_mm), inner.map(|at| at + off));
            found.push(Inner { line, between: Between::of(&outside, &within, &inside) });
        }
    }
    found
}

/// True where no line need be seen between card and shadow: along this side the face is dark, darker than what lies
/// outside, and of much the same hue.
pub(super) fn may_hide_shadow(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    side: usize,
) -> bool {
    let px_per_mm = corners[0].distance_px(corners[1]) / ID1_MM[0];
    let ends = [corners[side], corners[(side + 1) % 4]];
    let strip =
        |from: f64, to: f64| band(photo, light, ends, side, [from * px_per_mm; 2], [to * px_per_mm; 2]);
    let (outside, inside) = (strip(-GAP_MM - BAND_MM, -GAP_MM), strip(GAP_MM, GAP_MM + BAND_MM));
    let ratio = median_ratio(&inside, &outside);
    let mean = |rgb: &[f64; 3]| rgb.iter().sum::<f64>() / 3.0;
    let lightness = inside.iter().map(mean).sum::<f64>() / PARTS as f64;
    lightness < DARK_FACE && mean(&ratio) < -DARKER_BY && hue(ratio) < LIKE_HUE
}

/// Logarithm of the mean light of each part of a band beside a side, from `from` to `to` px inside of it at its ends.
fn band(
    photo: &Photo,
    light: &LinearLight,
    [start, end]: [PhotoPoint; 2],
    side: usize,
    from: [f64; 2],
    to: [f64; 2],
) -> Bands {
    let along = Vector2::new(end.x - start.x, end.y - start.y);
    let inward = Vector2::new(-along.y, along.x) / along.norm().max(1e-9);
    let margin = CORNER_MM / ID1_MM[side % 2];
    let [lengthwise, across] = SAMPLES;
    let at = |[first, last]: [f64; 2], share: f64| first + (last - first) * share;
    let part = |k: usize| {
        let mut sum = [0.0f32; 3];
        for a in 0..lengthwise {
            let share = (k as f64 + (a as f64 + 0.5) / lengthwise as f64) / PARTS as f64;
            let share = margin + (1.0 - 2.0 * margin) * share;
            for b in 0..across {
                let part = (b as f64 + 0.5) / across as f64;
                let offset = at(from, share) + (at(to, share) - at(from, share)) * part;
                let place = along * share + inward * offset;
                let seen = light.at(photo, PhotoPoint::new(start.x + place.x, start.y + place.y));
                sum.iter_mut().zip(seen).for_each(|(sum, value)| *sum += value);
            }
        }
        sum.map(|sum| f64::from(sum / (lengthwise * across) as f32 + DARK).portable_ln())
    };
    (0..PARTS).map(part).collect()
}

/// A card with the readings of its sides weighed.
pub(super) struct Weighed {
    /// The likeliest corners.
    pub corners: [PhotoPoint; 4],
    /// What stands open, as a standard uncertainty of each corner in px, each way.
    pub open_u_px: [f64; 4],
    /// Sides of which the reading stands open.
    pub open: [bool; 4],
    /// Sides that were moved to an inner line.
    pub moved: [Option<EdgeLine>; 4],
}

/// Weighs for each side of a card whether it is its edge or the rim of its shadow; `None` where nothing speaks for that.
pub(super) fn weighed(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    corner_u_px: &[f64; 4],
    prior: &CameraPrior,
) -> Option<Weighed> {
    let sides: [Vec<Inner>; 4] = std::array::from_fn(|side| {
        let mut inner = inner_lines(photo, light, corners, side);
        inner.retain(|inner| inner.between.darker < -SHADOW_IS_DARKER);
        inner
    });
    if sides.iter().all(Vec::is_empty) {
        return None;
    }
    let u_px = corner_u_px.map(|u_px| u_px.portable_hypot(CORNER_PX));
    let weight = shape_weight(corners, prior, &u_px)?;
    let misfit = |corners: &[PhotoPoint; 4]| {
        let off = misshape(corners, &prior.intrinsics)?;
        Some((off.transpose() * weight * off).x)
    };
    let as_found = misfit(corners)?;
    // Every choice of one reading a side: which, its odds, its corners.
    let mut choices: Vec<([usize; 4], f64, [PhotoPoint; 4])> = Vec::new();
    let counts = sides.each_ref().map(|inner| inner.len() + 1);
    for k in 0..counts.iter().product() {
        let mut rest = k;
        let which = counts.map(|count| {
            let this = rest % count;
            rest /= count;
            this
        });
        let taken: [Option<&Inner>; 4] =
            std::array::from_fn(|i| which[i].checked_sub(1).and_then(|at| sides[i].get(at)));
        let lines = taken.map(|inner| inner.map_or(EdgeLine::on_side(), |inner| inner.line));
        let Some(crossed) = intersections(corners, &lines) else { continue };
        let Some(off) = misfit(&crossed).filter(|off| *off <= as_found.max(MOST_MISFIT)) else { continue };
        let gained = (0.5 * (as_found - off)).clamp(-MOST_FIT, MOST_FIT);
        let odds: f64 = taken.iter().flatten().map(|inner| inner.between.odds() - TAKEN).sum();
        choices.push((which, odds + FIT_WEIGHT * gained, crossed));
    }
    let best = |choices: &mut dyn Iterator<Item = &([usize; 4], f64, [PhotoPoint; 4])>| {
        choices.max_by(|a, b| a.1.total_cmp(&b.1)).copied()
    };
    let (which, odds, likeliest) = best(&mut choices.iter())?;
    let mut weighed = Weighed {
        corners: likeliest,
        open_u_px: [0.0; 4],
        open: [false; 4],
        moved: std::array::from_fn(|i| {
            which[i].checked_sub(1).and_then(|at| sides[i].get(at)).map(|inner| inner.line)
        }),
    };
    for side in 0..4 {
        for other in (0..counts[side]).filter(|&other| other != which[side]) {
            let others = &mut choices.iter().filter(|choice| choice.0[side] == other);
            let Some((_, other_odds, elsewhere)) = best(others) else { continue };
            if odds - other_odds > OPEN {
                continue;
            }
            weighed.open[side] = true;
            for (u_px, (p, q)) in weighed.open_u_px.iter_mut().zip(likeliest.iter().zip(elsewhere)) {
                // Twice the uncertainty reaches to the other reading; it lies along one of two ways.
                *u_px = u_px.max(0.5 * p.distance_px(q));
            }
        }
    }
    Some(weighed)
}

impl Between {
    /// Odds (logarithm) that deck in shadow lies between, by how it looks.
    fn odds(&self) -> f64 {
        let signs = [
            1.0,
            self.hue_outside,
            self.hue_inside,
            self.with_outside,
            self.with_inside,
            self.rougher_outside,
        ];
        signs.iter().zip(WEIGHTS).map(|(sign, weight)| sign * weight).sum()
    }

    fn of(outside: &Bands, within: &Bands, inside: &Bands) -> Self {
        let (to_outside, to_inside) = (median_ratio(within, outside), median_ratio(inside, within));
        let rough = |bands: &Bands| roughness(bands) + 0.01;
        Self {
            hue_outside: hue(to_outside),
            hue_inside: hue(to_inside),
            darker: to_outside.iter().sum::<f64>() / 3.0,
            with_outside: agreement(within, outside),
            with_inside: agreement(within, inside),
            rougher_outside: (rough(within) / rough(outside)).portable_ln(),
        }
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

/// Of each channel the median, over the parts, of how much lighter the one is than the other.
fn median_ratio(one: &Bands, other: &Bands) -> [f64; 3] {
    std::array::from_fn(|c| median(one.iter().zip(other).map(|(a, b)| a[c] - b[c]).collect()))
}

/// How far the channels differ among themselves.
fn hue(ratio: [f64; 3]) -> f64 {
    let mean = ratio.iter().sum::<f64>() / 3.0;
    ratio.iter().map(|value| (value - mean).powi(2)).sum::<f64>().sqrt()
}

/// Correlation of the lightness of two bands along the side; what changes by less than 2 % is noise.
fn agreement(one: &Bands, other: &Bands) -> f64 {
    let changes = |bands: &Bands| -> Vec<f64> {
        let light: Vec<f64> = bands.iter().map(|rgb| rgb.iter().sum::<f64>() / 3.0).collect();
        let mean = light.iter().sum::<f64>() / light.len().max(1) as f64;
        light.into_iter().map(|value| value - mean).collect()
    };
    let (a, b) = (changes(one), changes(other));
    let sum = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(x, y)| x * y).sum::<f64>();
    sum(&a, &b) / ((sum(&a, &a) * sum(&b, &b)).sqrt() + PARTS as f64 * 0.02 * 0.02)
}

/// Median change from part to part.
fn roughness(bands: &Bands) -> f64 {
    let steps = bands.windows(2).flat_map(|pair| (0..3).map(|c| (pair[1][c] - pair[0][c]).abs()));
    median(steps.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::Intrinsics;
    use crate::units::PhotoSize;

    /// A card of 8 px a millimetre, seen straight on from 400 mm; outside of its lower side a strip of `strip_mm` that is
    /// either deck at a quarter of its light or a border of the card.
    fn drawn(strip_mm: f64, is_shadow: bool) -> (Photo, [PhotoPoint; 4], CameraPrior) {
        let size = PhotoSize { width: 1000, height: 800 };
        let (left, top, px) = (150.0, 150.0, 8.0);
        let (right, bottom) = (left + ID1_MM[0] * px, top + ID1_MM[1] * px);
        let mut pixels = Vec::new();
        for y in 0..size.height {
            for x in 0..size.width {
                let (fx, fy) = (f64::from(x), f64::from(y));
                // Planks across the lower side, with a grain of their own.
                let plank = if (x / 60).is_multiple_of(2) { 150.0 } else { 110.0 };
                let deck = plank + f64::from((x * 31 + y * 17) % 23);
                let beside = (left..right).contains(&fx);
                let rgb = match fy {
                    _ if beside && (top..bottom).contains(&fy) => [30.0, 140.0, 50.0],
                    _ if beside && is_shadow && (bottom..bottom + strip_mm * px).contains(&fy) => {
                        [0.5 * deck, 0.5 * deck, 0.5 * deck]
                    }
                    _ => [deck, deck, deck],
                };
                let [r, g, b] = rgb;
                // Source: JFIF 1.02, Y Cb Cr of R G B.
                pixels.extend(
                    [
                        0.299 * r + 0.587 * g + 0.114 * b,
                        128.0 - 0.168_7 * r - 0.331_3 * g + 0.5 * b,
                        128.0 + 0.5 * r - 0.418_7 * g - 0.081_3 * b,
                    ]
                    .map(|value| value as u8),
                );
            }
        }
        let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
        let corners =
            [(left, top), (right, top), (right, bottom), (left, bottom)].map(|(x, y)| PhotoPoint::new(x, y));
        let intrinsics = Intrinsics::centred(3200.0, size);
        (photo, corners, CameraPrior { intrinsics, focal_relative_u: 0.02, principal_u_px: 16.0 })
    }

    #[test]
    fn deck_that_goes_on_darker_is_the_cards_shadow() {
        let (photo, truth, prior) = drawn(1.5, true);
        let mut with_shadow = truth;
        with_shadow[2].y += 12.0;
        with_shadow[3].y += 12.0;
        let light = LinearLight::default();
        let weighed = weighed(&photo, &light, &with_shadow, &[0.3; 4], &prior).expect("an inner line");
        for (found, truth) in weighed.corners.iter().zip(truth) {
            assert!(found.distance_px(truth) < 1.5, "{found:?} against {truth:?}");
        }
        assert!(weighed.moved[2].is_some() && weighed.moved[0].is_none());
    }

    #[test]
    fn a_card_without_a_shadow_stays_as_it_is() {
        let (photo, truth, prior) = drawn(1.5, false);
        let light = LinearLight::default();
        let weighed = weighed(&photo, &light, &truth, &[0.3; 4], &prior);
        assert!(weighed.is_none_or(|weighed| weighed.moved.iter().all(Option::is_none)));
    }
}
