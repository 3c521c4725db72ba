//! Candidates for the card: quadrangles of segments whose shape is an ID-1 card's and whose sides are edges.

use nalgebra::Vector2;

use super::ID1_MM;
use super::quads::{Quad, corners, quads};
use super::segments::{Plane, Segment, SegmentLimits, segments, with_joined};
use super::shape::shape_of;
use crate::camera::CameraPrior;
use crate::measure::Refusal;
use crate::photo::Photo;
use crate::units::PhotoPoint;

/// Longest side of the reduced picture in which candidates are looked for: larger finds farther cards and
/// more texture, and costs time by the square.
const SEARCH_SIDE: u32 = 1200;
/// Colour steps count more than steps of lightness: many card edges exist in colour only.
const CHROMA_WEIGHT: f32 = 1.6;
/// The longest and strongest segments that are combined; pairs cost by the square.
const MOST_SEGMENTS: usize = 1300;

/// Coded lightness under which the brighter tenth of a picture is too dark to see edges.
const DARK_LEVEL: f32 = 22.0;
/// Steps per reduced px that even the sharpest edges of a blurred picture stay under.
const BLURRED_STEP: f32 = 2.5;

/// A quadrangle in full-size pixels, clockwise, its first side a long one, with a first score.
#[derive(Debug, Clone, Copy)]
pub struct Candidate {
    /// Corners.
    pub corners: [PhotoPoint; 4],
    /// How well its sides are edges: mean and worst side, 0 to 1.
    pub score: f64,
}

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
    /// Reduces the photo.
    pub fn of(photo: &Photo) -> Self {
        let factor = photo.size().long_side().div_ceil(SEARCH_SIDE).max(1);
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

    fn full_size(&self, p: Vector2<f64>) -> PhotoPoint {
        let shift = (self.factor - 1.0) / 2.0;
        PhotoPoint::new(p.x * self.factor + shift, p.y * self.factor + shift)
    }

    fn reduced(&self, p: PhotoPoint) -> Vector2<f64> {
        let shift = (self.factor - 1.0) / 2.0;
        Vector2::new((p.x - shift) / self.factor, (p.y - shift) / self.factor)
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
        let strong = steps.get(steps.len() * 995 / 1000).copied().unwrap_or(0.0);
        if strong < BLURRED_STEP { Refusal::Blurred } else { Refusal::NoCard }
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

    /// Strength of the step across a side at its samples, as the share that stands out: 0 to 1.
    fn side_support(&self, a: Vector2<f64>, b: Vector2<f64>) -> f64 {
        let along = b - a;
        let length = along.norm().max(1e-9);
        let normal = Vector2::new(-along.y, along.x) / length;
        let (width, height) = (self.planes[0].width as i64, self.planes[0].height as i64);
        const SAMPLES: usize = 20;
        let threshold = f64::from(self.step.clamp(2.0, 6.0));
        let mut seen = 0.0;
        for k in 0..SAMPLES {
            let share = 0.08 + 0.84 * (k as f64 + 0.5) / SAMPLES as f64;
            let on_side = a + along * share;
            let mut best = 0.0f64;
            for offset in [-1.0, 0.0, 1.0] {
                let p = on_side + normal * offset;
                let (x, y) = (p.x.round() as i64, p.y.round() as i64);
                if !(0 <= x && x < width && 0 <= y && y < height) {
                    continue;
                }
                let at = (y * width + x) as usize;
                for gradient in &self.gradients {
                    let g = gradient[at];
                    let across = (f64::from(g[0]) * normal.x + f64::from(g[1]) * normal.y).abs();
                    let beside = (f64::from(g[0]) * normal.y - f64::from(g[1]) * normal.x).abs();
                    // A step along the side is texture, not the side.
                    best = best.max(across - 0.6 * beside);
                }
            }
            seen += (best / threshold).clamp(0.0, 1.0);
        }
        seen / SAMPLES as f64
    }

    /// The candidates, best first, at most `most`, near `near` where the person tapped.
    pub fn candidates(&self, prior: &CameraPrior, near: Option<PhotoPoint>, most: usize) -> Vec<Candidate> {
        let segments = self.segments();
        let width = self.planes[0].width as f64;
        let long_side = width.max(self.planes[0].height as f64);
        // The card's long side spans 5 to 50 % of the photo's width; cropped pictures more.
        let sides = [(0.05 * width * 0.5).max(12.0), 0.75 * long_side];
        let found_corners = corners(&segments, 4.0);
        let mut found: Vec<Candidate> = Vec::new();
        quads(&found_corners, sides, |quad| {
            if let Some(near) = near
                && !contains(&quad, self.reduced(near))
            {
                return;
            }
            if let Some(candidate) = self.judge(quad, prior) {
                found.push(candidate);
            }
        });
        found.sort_by(|a, b| b.score.total_cmp(&a.score));
        distinct(found, self.factor * 2.5, most)
    }

    fn judge(&self, quad: Quad, prior: &CameraPrior) -> Option<Candidate> {
        let corners = quad.map(|p| self.full_size(p));
        let corners = card_shaped(&corners, prior, 0.09)?;
        let quad = corners.map(|corner| self.reduced(corner));
        let mut supports = [0.0; 4];
        for i in 0..4 {
            supports[i] = self.side_support(quad[i], quad[(i + 1) % 4]);
            if supports[i] < 0.15 {
                return None;
            }
        }
        let mean = supports.iter().sum::<f64>() / 4.0;
        let worst = supports.iter().copied().fold(1.0, f64::min);
        let score = 0.6 * mean + 0.4 * worst;
        (score > 0.4).then_some(Candidate { corners, score })
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
            return Some(*corners);
        }
        if (shape.aspect * expected - 1.0).abs() < tolerance {
            return Some([corners[1], corners[2], corners[3], corners[0]]);
        }
    }
    None
}

fn typical_step(gradient: &[[f32; 2]]) -> f32 {
    let mut sizes: Vec<f32> =
        gradient.iter().step_by(37).map(|g| (g[0] * g[0] + g[1] * g[1]).sqrt()).collect();
    sizes.sort_by(f32::total_cmp);
    // Twice the texture's upper quarter.
    2.0 * sizes.get(sizes.len() * 3 / 4).copied().unwrap_or(1.0)
}

fn contains(quad: &Quad, p: Vector2<f64>) -> bool {
    (0..4).all(|i| {
        let (a, b) = (quad[i], quad[(i + 1) % 4]);
        (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0.0
    })
}

fn distinct(sorted: Vec<Candidate>, apart_px: f64, most: usize) -> Vec<Candidate> {
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
            kept.push(candidate);
        }
    }
    kept
}
