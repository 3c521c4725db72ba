//! The lines through the steps of one side: voted for, then fitted, bowed where a bent card or the lens bows them.

use super::curve::{Curve, OnCurve, bow, moments, weighted_curve, weighted_line};
use super::steps::Step;
use super::{EdgeLine, Strip};

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

impl Strip {
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
        chosen.into_iter().filter_map(|(_, start, end)| self.polish(start, end, most_turn_px)).collect()
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

    /// Reweighted least squares from a rough line, bowed where the steps say so and its ends keep to the turn that is
    /// allowed: a bow that grows from a slanted line ends anywhere. `None` when too few profiles agree.
    fn polish(&self, start: f64, end: f64, most_turn_px: f64) -> Option<EdgeLine> {
        let straight = self.fitted(Curve { start, end, sag: 0.0 }, false)?;
        let begin = Curve { sag: bow(&straight.near, &straight.curve), ..straight.curve };
        let bowed = self.fitted(begin, true).filter(|bowed| {
            let more = self.score(&bowed.curve) / self.score(&straight.curve).max(1e-9);
            let closer = straight.scale / bowed.scale;
            let all_along = bowed.near.len() as f64 > WHOLE_SIDE * self.profiles.len() as f64;
            (bowed.curve.end - bowed.curve.start).abs() <= most_turn_px
                && (LEAST_SAG_PX..MOST_SAG_SHARE * self.length_px).contains(&bowed.curve.sag.abs())
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
    use crate::card::edges::Look;
    use crate::photo::Photo;
    use crate::photo::reduced::LinearLight;
    use crate::portable::Portable;
    use crate::units::{PhotoPoint, PhotoSize};

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
