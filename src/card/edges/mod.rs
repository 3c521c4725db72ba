//! Edges of a candidate at full size: where along each side there is a step. The lines through them:
//! `lines`, drawn by `curve`; `steps` finds the steps, `crossings` the corners where two sides meet.

pub(super) mod crossings;
pub(super) mod curve;
mod lines;
mod steps;

use nalgebra::Vector2;

use self::steps::{Step, averaged, peaks, slope};
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
    pub(super) profiles: Vec<(f64, Vec<Step>)>,
    /// Profiles that share the same pixels.
    pub(super) together: f64,
    /// Typical strength of noise.
    pub(super) noise: f64,
    pub(super) total: f64,
    pub(super) length_px: f64,
    /// Steps lie at most this far from the side, in px.
    pub(super) half_width: f64,
}

/// Least noise of a photo, in linear light per px.
const LEAST_NOISE: f64 = 4e-4;
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
}
