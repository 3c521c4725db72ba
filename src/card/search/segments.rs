//! Straight segments: connected pixels whose gradients point the same way.
//!
//! Source of the practice: Burns, Hanson and Riseman 1986, Extracting Straight Lines, IEEE PAMI 8(4):425-455
//! (line support regions by gradient direction); growing from the strongest pixel is common practice.

use crate::portable::Portable;
use nalgebra::Vector2;

/// One channel of a reduced picture.
#[derive(Debug, Clone)]
pub struct Plane {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Values, row by row, in coded levels 0..255.
    pub values: Vec<f32>,
}

/// A straight segment in reduced pixels, with the bright side on its left when looking from `a` to `b`
/// with y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    /// One end.
    pub a: Vector2<f64>,
    /// The other end.
    pub b: Vector2<f64>,
    /// Length in reduced px.
    pub length: f64,
    /// Mean step across it in levels per px.
    pub strength: f64,
}

impl Segment {
    /// Unit vector from `a` to `b`.
    pub fn direction(&self) -> Vector2<f64> {
        (self.b - self.a) / self.length
    }
}

/// What counts as a segment.
#[derive(Debug, Clone, Copy)]
pub struct SegmentLimits {
    /// Least gradient in levels per px: smaller finds fainter edges and more texture.
    pub least_gradient: f32,
    /// Least length in px: smaller finds farther cards, slower, more false edges.
    pub least_length: f64,
    /// Least ratio of length to root mean square breadth.
    pub least_slimness: f64,
}

impl Plane {
    /// Smoothed by the binomial 1 4 6 4 1 both ways (standard deviation 1 px).
    pub fn smoothed(&self) -> Self {
        let (width, height) = (self.width, self.height);
        let blend = |p: f32, q: f32, r: f32, s: f32, t: f32| (p + t + 4.0 * (q + s) + 6.0 * r) / 16.0;
        let mut across = vec![0.0f32; self.values.len()];
        for (row, out) in self.values.chunks_exact(width).zip(across.chunks_exact_mut(width)) {
            for x in 0..width {
                let at = |dx: isize| row[x.saturating_add_signed(dx).min(width - 1)];
                out[x] = blend(at(-2), at(-1), row[x], at(1), at(2));
            }
        }
        let mut values = vec![0.0f32; self.values.len()];
        for y in 0..height {
            let row = |dy: isize| {
                let y = y.saturating_add_signed(dy).min(height - 1);
                &across[y * width..(y + 1) * width]
            };
            let (p, q, r, s, t) = (row(-2), row(-1), row(0), row(1), row(2));
            for (x, out) in values[y * width..(y + 1) * width].iter_mut().enumerate() {
                *out = blend(p[x], q[x], r[x], s[x], t[x]);
            }
        }
        Self { width, height, values }
    }

    /// Half of this plane each way, averaged.
    pub fn halved(&self) -> Self {
        let (width, height) = (self.width / 2, self.height / 2);
        let mut values = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let at = 2 * y * self.width + 2 * x;
                let sum = self.values[at]
                    + self.values[at + 1]
                    + self.values[at + self.width]
                    + self.values[at + self.width + 1];
                values.push(sum / 4.0);
            }
        }
        Self { width, height, values }
    }

    /// Central differences of every inner pixel, zero at the rim.
    pub fn gradient(&self) -> Vec<[f32; 2]> {
        let (width, height) = (self.width, self.height);
        let mut gradient = vec![[0.0f32; 2]; self.values.len()];
        for y in 1..height.saturating_sub(1) {
            for x in 1..width.saturating_sub(1) {
                let at = y * width + x;
                gradient[at] = [
                    (self.values[at + 1] - self.values[at - 1]) * 0.5,
                    (self.values[at + width] - self.values[at - width]) * 0.5,
                ];
            }
        }
        gradient
    }
}

/// Finds the segments of a gradient field.
pub fn segments(gradient: &[[f32; 2]], width: usize, height: usize, limits: &SegmentLimits) -> Vec<Segment> {
    if width < 8 || height < 8 || gradient.len() != width * height {
        return Vec::new();
    }
    let size: Vec<f32> = gradient.iter().map(|g| (g[0] * g[0] + g[1] * g[1]).sqrt()).collect();
    let ways: Vec<[f32; 2]> =
        gradient.iter().zip(&size).map(|(g, size)| [g[0] / size, g[1] / size]).collect();
    // Strongest first, by buckets: a full sort would cost more than the growing.
    const BUCKETS: usize = 128;
    let bucket = |value: f32| ((value - limits.least_gradient) as usize).min(BUCKETS - 1);
    let mut buckets: Vec<Vec<u32>> = vec![Vec::new(); BUCKETS];
    for (at, &value) in size.iter().enumerate() {
        if value > limits.least_gradient {
            buckets[bucket(value)].push(at as u32);
        }
    }
    // What is too faint counts as taken from the start.
    let mut taken: Vec<bool> = size.iter().map(|&value| value <= limits.least_gradient).collect();
    let mut found = Vec::new();
    let mut region: Vec<u32> = Vec::new();
    for seed in buckets.into_iter().rev().flatten() {
        if taken[seed as usize] {
            continue;
        }
        grow(seed, &ways, width, SAME_WAY, &mut taken, &mut region);
        if (region.len() as f64) < limits.least_length {
            continue;
        }
        // Stripes that meet an edge at a low angle grow into it: a broad region is grown anew, narrower in
        // direction, and what it gives up is free for others.
        if breadth(&region, &size, width) > BROAD_PX {
            for &at in &region {
                taken[at as usize] = false;
            }
            grow(seed, &ways, width, SAME_WAY_NARROW, &mut taken, &mut region);
            if (region.len() as f64) < limits.least_length {
                continue;
            }
        }
        if let Some(segment) = fit(&region, gradient, &size, width, limits) {
            found.push(segment);
        }
    }
    found
}

/// Cosine of the widest turn within one region: 22.5 degrees, an eighth of the half circle (Burns et al.).
const SAME_WAY: f32 = 0.923_88;
/// The same for a second try: 9 degrees. Smaller breaks noisy edges, larger joins shallow stripes.
const SAME_WAY_NARROW: f32 = 0.987_7;
/// Root mean square breadth of a clean edge is under 1 px after the smoothing.
const BROAD_PX: f64 = 1.25;

/// Joins segments that lie in line with a gap between them (a finger, a stripe, a faint stretch): the
/// joined ones are added, the pieces stay.
pub fn with_joined(mut segments: Vec<Segment>, most_gap_share: f64) -> Vec<Segment> {
    let pieces = segments.clone();
    for (i, start) in pieces.iter().enumerate() {
        let mut joined = *start;
        // Longest first: each piece is offered once, nearest in the list first.
        for other in pieces.iter().skip(i + 1) {
            if let Some(longer) = join(&joined, other, most_gap_share) {
                joined = longer;
            }
        }
        if joined.length > 1.25 * start.length {
            segments.push(joined);
        }
    }
    segments
}

fn join(s: &Segment, t: &Segment, most_gap_share: f64) -> Option<Segment> {
    let d = s.direction();
    let (p, q) = ((t.a - s.a).dot(&d), (t.b - s.a).dot(&d));
    let (low, high) = (p.min(q), p.max(q));
    let gap = if low > s.length { low - s.length } else { -high };
    if gap > most_gap_share * (s.length + t.length) || gap < -3.0 {
        return None;
    }
    // Within 4 degrees, and in line to 1.5 px and 1 % of the length.
    if d.dot(&t.direction()).abs() < 0.9976 {
        return None;
    }
    let off = |point: Vector2<f64>| ((point - s.a).x * d.y - (point - s.a).y * d.x).abs();
    let reach = 1.5 + 0.01 * (s.length + t.length);
    if off(t.a) > reach || off(t.b) > reach {
        return None;
    }
    let ends = [s.a, s.b, t.a, t.b];
    let along = |point: &Vector2<f64>| (point - s.a).dot(&d);
    let a = *ends.iter().min_by(|x, y| along(x).total_cmp(&along(y)))?;
    let b = *ends.iter().max_by(|x, y| along(x).total_cmp(&along(y)))?;
    let length = (b - a).norm();
    let strength = (s.strength * s.length + t.strength * t.length) / (s.length + t.length);
    Some(Segment { a, b, length, strength })
}

/// Root mean square distance of a region's pixels from its own axis in px.
fn breadth(region: &[u32], size: &[f32], width: usize) -> f64 {
    let (_, _, _, across_var, _) = inertia(region, size, width);
    across_var.sqrt()
}

/// Mass, centre, variance along and across the axis, and the axis.
fn inertia(region: &[u32], size: &[f32], width: usize) -> (f64, Vector2<f64>, f64, f64, Vector2<f64>) {
    let place = |at: u32| Vector2::new((at as usize % width) as f64, (at as usize / width) as f64);
    let (mut mass, mut centre) = (0.0, Vector2::zeros());
    for &at in region {
        let weight = f64::from(size[at as usize]);
        mass += weight;
        centre += place(at) * weight;
    }
    centre /= mass;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for &at in region {
        let weight = f64::from(size[at as usize]);
        let d = place(at) - centre;
        xx += weight * d.x * d.x;
        xy += weight * d.x * d.y;
        yy += weight * d.y * d.y;
    }
    let (xx, xy, yy) = (xx / mass, xy / mass, yy / mass);
    let root = ((xx - yy).powi(2) + 4.0 * xy * xy).sqrt();
    let angle = 0.5 * (2.0 * xy).portable_atan2(xx - yy);
    let axis = Vector2::new(angle.portable_cos(), angle.portable_sin());
    (mass, centre, 0.5 * (xx + yy + root), (0.5 * (xx + yy - root)).max(0.0), axis)
}

/// Collects the free pixels round `seed` whose gradient points the way (unit vectors) that the region's does on
/// average, up to an angle of which `same_way` is the cosine, and takes them.
fn grow(
    seed: u32,
    ways: &[[f32; 2]],
    width: usize,
    same_way: f32,
    taken: &mut [bool],
    region: &mut Vec<u32>,
) {
    region.clear();
    region.push(seed);
    taken[seed as usize] = true;
    let row = width as isize;
    let steps = [-1, 1, -row, row, -row - 1, 1 - row, row - 1, row + 1];
    let mut sum = ways[seed as usize];
    let mut next = 0;
    while let Some(&from) = region.get(next) {
        next += 1;
        let norm = (sum[0] * sum[0] + sum[1] * sum[1]).sqrt().max(1e-6);
        let mean = [sum[0] / norm, sum[1] / norm];
        for step in steps {
            // The gradient is zero at the rim, so the neighbours of a taken pixel are always inside.
            let at = (from as usize).wrapping_add_signed(step);
            let (Some(taken), Some(way)) = (taken.get_mut(at), ways.get(at)) else { continue };
            if !*taken && way[0] * mean[0] + way[1] * mean[1] > same_way {
                *taken = true;
                region.push(at as u32);
                sum = [sum[0] + way[0], sum[1] + way[1]];
            }
        }
    }
}

fn fit(
    region: &[u32],
    gradient: &[[f32; 2]],
    size: &[f32],
    width: usize,
    limits: &SegmentLimits,
) -> Option<Segment> {
    let place = |at: u32| Vector2::new((at as usize % width) as f64, (at as usize / width) as f64);
    let (mass, centre, along_var, across_var, mut direction) = inertia(region, size, width);
    let mut way = Vector2::zeros();
    for &at in region {
        let g = gradient[at as usize];
        way += Vector2::new(f64::from(g[0]), f64::from(g[1]));
    }
    // The bright side on the left: the gradient is the direction turned by -90 degrees (y down).
    if direction.y * way.x - direction.x * way.y < 0.0 {
        direction = -direction;
    }
    let (mut low, mut high) = (f64::MAX, f64::MIN);
    for &at in region {
        let t = (place(at) - centre).dot(&direction);
        low = low.min(t);
        high = high.max(t);
    }
    let length = high - low;
    // A uniform bar of this length has a variance of length^2 / 12: far less means a blob with whiskers.
    let slim = length / (12.0 * across_var).sqrt().max(0.5);
    if length < limits.least_length || slim < limits.least_slimness || along_var * 30.0 < length * length {
        return None;
    }
    let a = centre + direction * low;
    let b = centre + direction * high;
    Some(Segment { a, b, length, strength: mass / region.len() as f64 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bright_rectangle_has_four_segments_with_the_bright_side_on_the_left() {
        let (width, height) = (120usize, 90usize);
        let inside = |x: usize, y: usize| (30..90).contains(&x) && (25..65).contains(&y);
        let values =
            (0..width * height).map(|at| if inside(at % width, at / width) { 200.0 } else { 40.0 }).collect();
        let plane = Plane { width, height, values }.smoothed();
        let limits = SegmentLimits { least_gradient: 4.0, least_length: 12.0, least_slimness: 4.0 };
        let found = segments(&plane.gradient(), width, height, &limits);
        assert_eq!(found.len(), 4, "{found:?}");
        let middle = Vector2::new(59.5, 44.5);
        for segment in found {
            let to_middle = middle - segment.a;
            let d = segment.direction();
            assert!(d.x * to_middle.y - d.y * to_middle.x < 0.0, "{segment:?}");
            assert!(segment.length > 34.0);
        }
    }
}
