//! Edges of a candidate at full size: where along each side there is a step, and the line through it.

use nalgebra::Vector2;

use super::curve::{Curve, OnCurve, bow, moments, weighted_curve, weighted_line};
use super::steps::{Step, averaged, peaks, slope};
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::units::PhotoPoint;

/// A line near one side of a candidate, in the side's own frame: `offset` px to the inside at the start
/// and at the end of the side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeLine {
    /// Offset to the inside at the side's start, in px.
    pub at_start: f64,
    /// Offset to the inside at the side's end, in px.
    pub at_end: f64,
    /// Share of the profiles with a step on the line, 0 to 1.
    pub support: f64,
    /// Share of the summed step strength of the strip that lies on the line.
    pub salience: f64,
    /// Root mean square distance of the steps from the line in px.
    pub rms_px: f64,
    /// Largest sag of a parabola through the steps, in px: a bent card or the lens.
    pub bow_px: f64,
    /// Standard uncertainty of the offset at the two ends in px, from the scatter alone.
    pub end_u_px: [f64; 2],
}

impl EdgeLine {
    /// The side itself.
    pub(super) fn on_side() -> Self {
        Self {
            at_start: 0.0,
            at_end: 0.0,
            support: 1.0,
            salience: 1.0,
            rms_px: 0.0,
            bow_px: 0.0,
            end_u_px: [0.0; 2],
        }
    }
}

/// How closely a side is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Px to both sides of the candidate's side.
    pub half_width: f64,
    /// Px between samples across the side: half a pixel tells two steps 1.5 px apart.
    pub pitch: f64,
    /// Share of the side over which profiles are averaged: more quiets sand and non-skid, and smears the
    /// step when the side is not yet straight to the strip.
    pub blend_share: f64,
    /// Most profiles along the side.
    pub most_profiles: usize,
}

impl Look {
    /// A first look, for lines that may lie anywhere in the strip.
    pub fn wide(half_width: f64) -> Self {
        Self { half_width, pitch: 1.0, blend_share: 0.06, most_profiles: 72 }
    }

    /// A close look along a line that is known to a fraction of a px.
    pub fn close(half_width: f64) -> Self {
        Self { half_width, pitch: 0.5, blend_share: 0.10, most_profiles: 160 }
    }
}

/// Steps across one side, profile by profile.
#[derive(Debug, Clone)]
pub struct Strip {
    /// Per profile: position along the side (0 to 1) and the steps (offset px, strength).
    profiles: Vec<(f64, Vec<Step>)>,
    /// Profiles that share the same pixels.
    together: f64,
    /// Typical strength of noise.
    noise: f64,
    total: f64,
    length_px: f64,
    /// Steps lie at most this far from the side, in px.
    half_width: f64,
}

/// Least noise of a photo, in linear light per px.
const LEAST_NOISE: f64 = 4e-4;
/// A step this far from a line in px is none of its own.
const ON_LINE_PX: f64 = 1.2;
/// How finely a line's place is told while the best is sought.
const PLACES_PER_PX: f64 = 8.0;

/// Sags below this are told better by a straight line, and beyond this share of the side no card bends so
/// (common practice: 4 to 5 px on the long side of a card near by).
const LEAST_SAG_PX: f64 = 0.6;
const MOST_SAG_SHARE: f64 = 0.018;
/// A bowed edge must have this many times as many steps on it as a straight one: a shadow or a finger across a
/// part of a side looks like a bow too.
const BOWED_IS_SEEN: f64 = 1.4;
/// Or, where steps are seen along as good as the whole side, they must lie this many times closer to it.
const BOWED_IS_CLOSER: f64 = 1.8;
const WHOLE_SIDE: f64 = 0.85;
/// How much less surely a parabola ends than a line through the same even steps: the variance there is 9 of one
/// step's over their number, against 4. Source: least squares (JCGM 100, H.3, for the line).
const BOWED_END_U: f64 = 1.5;

/// Share of a side left out at each end: the rounded corner (3.18 mm) and a little more.
/// On the long side 4.7 %, on the short side 7.5 %.
fn end_margin(is_long: bool) -> f64 {
    if is_long { 4.0 / 85.6 } else { 4.0 / 53.98 }
}

impl Strip {
    /// Looks `half_width` px to both sides of the side from `start` to `end` (clockwise round the card, so
    /// that the inside lies to the right of the way on the screen).
    pub fn look(
        photo: &Photo,
        light: &LinearLight,
        start: PhotoPoint,
        end: PhotoPoint,
        is_long: bool,
        look: Look,
    ) -> Option<Self> {
        Self::of(|at| light.at(photo, at), LEAST_NOISE, start, end, is_long, look)
    }

    /// As [`Self::look`], on what `seen` tells of each place.
    pub(super) fn of(
        seen: impl Fn(PhotoPoint) -> [f32; 3],
        least_noise: f64,
        start: PhotoPoint,
        end: PhotoPoint,
        is_long: bool,
        look: Look,
    ) -> Option<Self> {
        let Look { half_width, pitch, blend_share, most_profiles } = look;
        let along = Vector2::new(end.x - start.x, end.y - start.y);
        let length = along.norm();
        if !(length.is_finite() && length >= 12.0) {
            return None;
        }
        let inward = Vector2::new(-along.y, along.x) / length;
        let margin = end_margin(is_long);
        let usable = length * (1.0 - 2.0 * margin);
        let count = ((usable / 1.5) as usize).clamp(16, most_profiles);
        let steps = (2.0 * half_width / pitch).ceil() as usize + 5;
        let mut rows: Vec<Vec<[f32; 3]>> = Vec::new();
        let mut places = Vec::new();
        for k in 0..count {
            let share = margin + (1.0 - 2.0 * margin) * (k as f64 + 0.5) / count as f64;
            let on_side = Vector2::new(start.x, start.y) + along * share;
            places.push(share);
            rows.push(
                (0..steps)
                    .map(|i| {
                        let offset = (i as f64 - (steps - 1) as f64 / 2.0) * pitch;
                        let at = on_side + inward * offset;
                        seen(PhotoPoint::new(at.x, at.y))
                    })
                    .collect(),
            );
        }
        // Averaged along the side: noise and texture fall, the step stays.
        let spacing = usable / count as f64;
        let reach = ((0.5 * blend_share * length / spacing).round() as usize).max(1);
        let rows = averaged(&rows, reach);
        let mut all: Vec<f64> = Vec::new();
        let slopes: Vec<Vec<f64>> = rows.iter().map(|row| slope(row)).collect();
        for row in &slopes {
            all.extend(row.iter().copied());
        }
        all.sort_by(f64::total_cmp);
        let noise = all.get(all.len() * 2 / 5).copied().unwrap_or(0.0).max(least_noise);
        let centre = (steps - 1) as f64 / 2.0;
        let mut total = 0.0;
        let profiles = places
            .into_iter()
            .zip(&slopes)
            .map(|(share, row)| {
                let mut found = peaks(row, noise);
                for step in &mut found {
                    step.offset = (step.offset - centre) * pitch;
                }
                total += found.iter().map(|step| step.strength).fold(0.0, f64::max);
                (share, found)
            })
            .collect();
        let half_width = centre * pitch;
        Some(Self { profiles, together: (2 * reach + 1) as f64, noise, total, length_px: length, half_width })
    }

    /// The most voted lines, best first, at most `most`, no two within `apart_px` in the middle.
    ///
    /// A line may leave the side by `most_turn_px` more at one end than at the other.
    pub fn lines(&self, most: usize, most_turn_px: f64, apart_px: f64) -> Vec<EdgeLine> {
        let mut chosen: Vec<(f64, f64, f64)> = Vec::new();
        let third = self.profiles.len() / 3;
        if third == 0 {
            return Vec::new();
        }
        let mut votes: Vec<(f64, f64, f64)> = Vec::new();
        let worths = self.worths();
        let stride = (third / 9).max(1);
        for i in (0..third).step_by(stride) {
            for j in (self.profiles.len() - third..self.profiles.len()).step_by(stride) {
                let (p, q) = (&self.profiles[i], &self.profiles[j]);
                for a in &p.1 {
                    for b in &q.1 {
                        let per_share = (b.offset - a.offset) / (q.0 - p.0);
                        if per_share.abs() > most_turn_px {
                            continue;
                        }
                        let start = a.offset - per_share * p.0;
                        votes.push((self.vote(&worths, start, per_share), start, start + per_share));
                    }
                }
            }
        }
        votes.sort_by(|a, b| b.0.total_cmp(&a.0));
        for vote in votes {
            if chosen.len() >= most {
                break;
            }
            let middle = |v: &(f64, f64, f64)| (v.1 + v.2) / 2.0;
            if chosen.iter().all(|other| (middle(other) - middle(&vote)).abs() > apart_px) {
                chosen.push(vote);
            }
        }
        chosen.into_iter().filter_map(|(_, start, end)| self.polish(start, end)).collect()
    }

    /// For each profile what a line is worth that crosses it, by eighths of a px from its outermost place: thousands of
    /// lines are asked for.
    fn worths(&self) -> Vec<Vec<f32>> {
        let count = (2.0 * self.half_width * PLACES_PER_PX) as usize + 1;
        let of = |(_, steps): &(f64, Vec<Step>)| {
            let mut row = vec![0.0f32; count];
            for step in steps {
                let middle = (step.offset + self.half_width) * PLACES_PER_PX;
                let reach = ON_LINE_PX * PLACES_PER_PX;
                let first = (middle - reach).ceil().max(0.0) as usize;
                for (k, worth) in row.iter_mut().enumerate().skip(first) {
                    let d = (k as f64 - middle) / reach;
                    if d >= 1.0 {
                        break;
                    }
                    *worth = worth.max(((1.0 - d * d) * step.sure) as f32);
                }
            }
            row
        };
        self.profiles.iter().map(of).collect()
    }

    /// What a straight line is worth, as [`Self::score`] but for the rounding of places.
    fn vote(&self, worths: &[Vec<f32>], start: f64, per_share: f64) -> f64 {
        let rows = self.profiles.iter().zip(worths);
        let worth = |((share, _), row): (&(f64, Vec<Step>), &Vec<f32>)| {
            let place = (start + per_share * share + self.half_width) * PLACES_PER_PX + 0.5;
            if place < 0.0 { 0.0 } else { row.get(place as usize).copied().unwrap_or(0.0) }
        };
        f64::from(rows.map(worth).sum::<f32>())
    }

    fn score(&self, curve: &Curve) -> f64 {
        let seen = |(share, steps): &(f64, Vec<Step>)| {
            let on_curve = curve.at(*share);
            let worth = |step: &Step| {
                let d = (step.offset - on_curve) / ON_LINE_PX;
                (1.0 - d * d).max(0.0) * step.sure
            };
            steps.iter().map(worth).fold(0.0, f64::max)
        };
        self.profiles.iter().map(seen).sum()
    }

    /// Reweighted least squares from a rough line, bowed where the steps say so. `None` when too few profiles
    /// agree.
    pub fn polish(&self, start: f64, end: f64) -> Option<EdgeLine> {
        let straight = self.fitted(Curve { start, end, sag: 0.0 }, false)?;
        let begin = Curve { sag: bow(&straight.near, &straight.curve), ..straight.curve };
        let bowed = self.fitted(begin, true).filter(|bowed| {
            let more = self.score(&bowed.curve) / self.score(&straight.curve).max(1e-9);
            let closer = straight.scale / bowed.scale;
            let all_along = bowed.near.len() as f64 > WHOLE_SIDE * self.profiles.len() as f64;
            (LEAST_SAG_PX..MOST_SAG_SHARE * self.length_px).contains(&bowed.curve.sag.abs())
                && (more > BOWED_IS_SEEN || (more > 1.0 && closer > BOWED_IS_CLOSER && all_along))
        });
        let Fit { curve, near, scale } = bowed.unwrap_or(straight);
        let count = near.len() as f64;
        if count < 8.0 {
            return None;
        }
        // Neighbouring profiles were averaged together.
        let independent = (count / self.together).max(3.0);
        let (mean, spread) = moments(&near);
        let bend = if curve.sag == 0.0 { 1.0 } else { BOWED_END_U };
        let end_u = |share: f64| {
            bend * scale
                * (1.0 / independent + (share - mean).powi(2) / (independent * spread.max(1e-4))).sqrt()
        };
        let on_curve: f64 = self
            .profiles
            .iter()
            .map(|(share, steps)| {
                let at = curve.at(*share);
                steps
                    .iter()
                    .filter(|step| (step.offset - at).abs() < 1.2)
                    .map(|step| step.strength)
                    .fold(0.0, f64::max)
            })
            .sum();
        Some(EdgeLine {
            at_start: curve.start,
            at_end: curve.end,
            support: count / self.profiles.len() as f64,
            salience: on_curve / self.total.max(1e-9),
            rms_px: scale,
            bow_px: if curve.sag == 0.0 { bow(&near, &curve) } else { curve.sag }.abs(),
            end_u_px: [end_u(0.0), end_u(1.0)],
        })
    }

    fn fitted(&self, mut curve: Curve, bowed: bool) -> Option<Fit> {
        let mut scale: f64 = 1.0;
        let mut near: Vec<OnCurve> = Vec::new();
        // A bow is first seen on a part of the side, and grows from there.
        let (rounds, wide) = if bowed { (10, 6) } else { (6, 2) };
        for round in 0..rounds {
            near.clear();
            let reach = if round < wide { 1.6 } else { (3.0 * scale).clamp(0.6, 1.6) };
            for (share, steps) in &self.profiles {
                let on_curve = curve.at(*share);
                let best = steps
                    .iter()
                    .map(|step| (step.offset - on_curve, step))
                    .filter(|(d, _)| d.abs() < reach)
                    .max_by(|a, b| a.1.strength.total_cmp(&b.1.strength));
                if let Some((d, step)) = best {
                    let tukey = (1.0 - (d / reach).powi(2)).powi(2);
                    let sure = step.strength / (step.strength + 4.0 * self.noise);
                    near.push((*share, step.offset, tukey * sure));
                }
            }
            curve = if bowed { weighted_curve(&near)? } else { weighted_line(&near)? };
            let residuals: f64 =
                near.iter().map(|&(share, offset, weight)| weight * (offset - curve.at(share)).powi(2)).sum();
            let weights: f64 = near.iter().map(|n| n.2).sum();
            scale = (residuals / weights.max(1e-9)).sqrt().max(0.1);
        }
        Some(Fit { curve, near, scale })
    }
}

/// A curve and the steps on it.
struct Fit {
    curve: Curve,
    near: Vec<OnCurve>,
    scale: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::portable::Portable;
    use crate::units::PhotoSize;

    /// Dark above, bright below a curve from (20, 40) to (220, 40) that sags to the inside by `sag_px`.
    fn polished(sag_px: f64) -> EdgeLine {
        let size = PhotoSize { width: 240, height: 80 };
        let mut pixels = Vec::new();
        for y in 0..size.height {
            for x in 0..size.width {
                let share = (f64::from(x) - 20.0) / 200.0;
                let edge = 40.0 + sag_px * 4.0 * share * (1.0 - share);
                let cover = (f64::from(y) + 0.5 - edge).clamp(0.0, 1.0);
                // A ripple of the print, so that the noise is not nought.
                let ripple = f64::from((x * 7 + y * 13) % 5);
                // The camera mixes light, not coded values.
                let light = 0.05 + 0.4 * cover;
                pixels.extend([(255.0 * light.portable_powf(1.0 / 2.2) + ripple) as u8, 128, 128]);
            }
        }
        let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
        let (start, end) = (PhotoPoint::new(20.0, 40.0), PhotoPoint::new(220.0, 40.0));
        let strip = Strip::look(&photo, &LinearLight::default(), start, end, true, Look::close(9.0));
        let lines = strip.expect("long enough").lines(3, 3.0, 0.8);
        let best =
            lines.into_iter().max_by(|a, b| (a.support * a.salience).total_cmp(&(b.support * b.salience)));
        best.expect("an edge")
    }

    /// What a bent card or a lens makes of an edge must not move its ends, where the corners are.
    #[test]
    fn a_bowed_edge_ends_where_it_ends() {
        for sag in [-2.0, 1.5, 2.2] {
            let line = polished(sag);
            assert!(line.at_start.abs() < 0.4 && line.at_end.abs() < 0.4, "{sag}: {line:?}");
            assert!((line.bow_px - sag.abs()).abs() < 0.3, "{sag}: {line:?}");
            assert!(line.support > 0.9, "{sag}: {line:?}");
        }
    }

    #[test]
    fn a_straight_edge_stays_straight() {
        let line = polished(0.0);
        assert!(line.at_start.abs() < 0.2 && line.at_end.abs() < 0.2 && line.bow_px < 0.2, "{line:?}");
    }
}
