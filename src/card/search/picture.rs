//! The reduced picture in which candidates for the card are looked for: lightness and two colours, their steps and
//! straight segments.

use nalgebra::{Vector2, Vector3};

use super::segments::{Plane, Segment, SegmentLimits, segments, with_joined};
use crate::photo::Photo;
use crate::refusal::Refusal;
use crate::units::PhotoPoint;

/// Longest side of the reduced picture in which candidates are looked for first.
pub const COARSE_SIDE: u32 = 700;
/// The same where no card is plain to see then: larger finds smaller cards and more texture, and costs time by the
/// square.
pub const FINE_SIDE: u32 = 1200;
/// Colour steps count more than steps of lightness: many card edges exist in colour only.
const CHROMA_WEIGHT: f32 = 1.6;
/// The longest and strongest segments that are combined; pairs cost by the square.
const MOST_SEGMENTS: usize = 1300;

/// Coded lightness under which the brighter tenth of a picture is too dark to see edges.
const DARK_LEVEL: f32 = 22.0;
/// Steps per reduced px that even the sharpest edges of a blurred picture stay under.
const BLURRED_STEP: f32 = 2.5;
/// A blurred picture still has light and dark: its lightness differs by so many levels, and changes from one to the other
/// within so many reduced px. A smooth deck without anything on it has neither (common practice).
const BLURRED_CONTRAST: f32 = 25.0;
const BLURRED_EDGE_PX: f32 = 100.0;

/// The picture in which candidates are looked for.
pub struct SearchPicture {
    factor: f64,
    /// Smoothed lightness and two colour planes.
    planes: Vec<Plane>,
    gradients: Vec<Vec<[f32; 2]>>,
    /// A step that stands out of the texture, in levels per px.
    step: f32,
}

impl SearchPicture {
    /// Reduces the photo until its longer side is at most `side` px.
    pub fn of(photo: &Photo, side: u32) -> Self {
        let factor = photo.size().long_side().div_ceil(side).max(1);
        let (width, height, factor, means) = photo.block_means(factor);
        let planes: Vec<Plane> = (0..3)
            .map(|c| {
                let weight = if c == 0 { 1.0 } else { CHROMA_WEIGHT };
                let values = means.iter().map(|mean| mean[c] * weight).collect();
                Plane { width, height, values }.smoothed()
            })
            .collect();
        let gradients: Vec<_> = planes.iter().map(Plane::gradient).collect();
        let step = typical_step(&gradients[0]);
        Self { factor: f64::from(factor), planes, gradients, step }
    }

    pub(super) fn full_size(&self, p: Vector2<f64>) -> PhotoPoint {
        let shift = (self.factor - 1.0) / 2.0;
        PhotoPoint::new(p.x * self.factor + shift, p.y * self.factor + shift)
    }

    pub(super) fn reduced(&self, p: PhotoPoint) -> Vector2<f64> {
        let shift = (self.factor - 1.0) / 2.0;
        Vector2::new((p.x - shift) / self.factor, (p.y - shift) / self.factor)
    }

    /// Full-size px in one reduced px.
    pub fn factor(&self) -> f64 {
        self.factor
    }

    /// How far a candidate's corner may be off, in full-size px.
    pub fn corner_reach_px(&self) -> f64 {
        2.0 * self.factor + 5.0
    }

    /// Why a picture without a card has none: too dark, blurred, or just none.
    pub fn why_nothing(&self) -> Refusal {
        let lightness = &self.planes[0].values;
        let mut sample: Vec<f32> = lightness.iter().step_by(53).copied().collect();
        sample.sort_by(f32::total_cmp);
        // The brighter tenth of the picture is still nearly black.
        if sample.get(sample.len() * 9 / 10).is_some_and(|&value| value < DARK_LEVEL) {
            return Refusal::TooDark;
        }
        let mut steps: Vec<f32> =
            self.gradients[0].iter().step_by(7).map(|g| (g[0] * g[0] + g[1] * g[1]).sqrt()).collect();
        steps.sort_by(f32::total_cmp);
        let strong = steps.get(steps.len() * 998 / 1000).copied().unwrap_or(0.0);
        let at = |share: usize| sample.get(sample.len() * share / 100).copied().unwrap_or(0.0);
        let contrast = at(99) - at(1);
        let has_edges = contrast > BLURRED_CONTRAST && contrast < strong * BLURRED_EDGE_PX;
        if strong < BLURRED_STEP && has_edges { Refusal::Blurred } else { Refusal::NoCard }
    }

    /// All segments, of three planes at two scales, in reduced px.
    pub fn segments(&self) -> Vec<Segment> {
        let mut found = Vec::new();
        for (c, plane) in self.planes.iter().enumerate() {
            let least = if c == 0 { (self.step * 0.5).clamp(1.5, 4.0) } else { 1.2 };
            let limits = SegmentLimits { least_gradient: least, least_length: 11.0, least_slimness: 4.0 };
            found.extend(segments(&self.gradients[c], plane.width, plane.height, &limits));
            let half = plane.halved().smoothed();
            let limits = SegmentLimits { least_gradient: least, least_length: 9.0, least_slimness: 3.5 };
            for mut segment in segments(&half.gradient(), half.width, half.height, &limits) {
                let double = |p: Vector2<f64>| p * 2.0 + Vector2::new(0.5, 0.5);
                (segment.a, segment.b) = (double(segment.a), double(segment.b));
                segment.length *= 2.0;
                segment.strength /= 2.0;
                found.push(segment);
            }
        }
        // Long ones first; a strong short one before a faint short one.
        let rank = |s: &Segment| s.length * (0.5 + s.strength / (s.strength + f64::from(self.step)));
        found.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        found.truncate(MOST_SEGMENTS);
        with_joined(found, 0.45)
    }

    /// Columns and rows in reduced px.
    pub(super) fn size(&self) -> [f64; 2] {
        [self.planes[0].width as f64, self.planes[0].height as f64]
    }

    /// Place of the nearest reduced pixel, `None` outside.
    fn index(&self, p: Vector2<f64>) -> Option<usize> {
        let (width, height) = (self.planes[0].width as i64, self.planes[0].height as i64);
        let (x, y) = (p.x.round() as i64, p.y.round() as i64);
        (0 <= x && x < width && 0 <= y && y < height).then_some((y * width + x) as usize)
    }

    /// The strongest step across the unit vector's side within a pixel of a place, in levels per px, in whichever
    /// plane shows it; a step along the side is texture, not the side, and is taken off.
    pub(super) fn step_across(&self, p: Vector2<f64>, normal: Vector2<f64>) -> f64 {
        let mut best = 0.0f64;
        for offset in [-1.0, 0.0, 1.0] {
            let Some(at) = self.index(p + normal * offset) else { continue };
            for gradient in &self.gradients {
                let g = gradient[at];
                let across = (f64::from(g[0]) * normal.x + f64::from(g[1]) * normal.y).abs();
                let beside = (f64::from(g[0]) * normal.y - f64::from(g[1]) * normal.x).abs();
                best = best.max(across - 0.6 * beside);
            }
        }
        best
    }

    /// Lightness and the two weighted colours at a place, `None` outside.
    pub(super) fn colour_at(&self, p: Vector2<f64>) -> Option<Vector3<f64>> {
        let at = self.index(p)?;
        Some(Vector3::from_fn(|c, _| f64::from(self.planes[c].values[at])))
    }

    /// A step in levels per px that stands out of this picture's texture, and that any picture shows.
    pub(super) fn clear_step(&self) -> f64 {
        f64::from(self.step.clamp(2.0, 6.0))
    }
}

fn typical_step(gradient: &[[f32; 2]]) -> f32 {
    let mut sizes: Vec<f32> =
        gradient.iter().step_by(37).map(|g| (g[0] * g[0] + g[1] * g[1]).sqrt()).collect();
    sizes.sort_by(f32::total_cmp);
    // Twice the texture's upper quarter.
    2.0 * sizes.get(sizes.len() * 3 / 4).copied().unwrap_or(1.0)
}
