//! The pixels: a ray for the ground, triangles before it by their depth, four samples a pixel.

use nalgebra::Vector3;

use super::ground::{Ground, hash};
use super::solid::Piece;
use super::view::{CARD_THICK_MM, SIZE, View};
use crate::units::PhotoPoint;

/// Samples along each side of a pixel.
const SAMPLES: usize = 2;
/// Rows drawn at once: the samples of a band fit a few megabytes.
const BAND: usize = 48;
/// What of the light comes from everywhere.
const AMBIENT: f64 = 0.42;

/// A piece on the picture: corners in samples of the whole picture with their depth, and its lit colour.
struct Seen {
    corners: [[f64; 3]; 3],
    rgb: [f32; 3],
}

/// The picture, 3 bytes a pixel.
pub fn pixels(view: &View, mesh: &[Piece], ground: &Ground) -> Vec<u8> {
    let (width, height) = (SIZE.width as usize, SIZE.height as usize);
    let seen: Vec<Seen> = mesh.iter().filter_map(|piece| seen(view, piece)).collect();
    let mut rgb = Vec::with_capacity(3 * width * height);
    for top in (0..height).step_by(BAND) {
        let rows = BAND.min(height - top);
        let mut band = Samples::of_ground(view, ground, top, rows);
        for piece in &seen {
            band.put(piece);
        }
        band.pixels(view.grain, &mut rgb);
    }
    rgb
}

/// A piece as it is seen and lit from both sides alike.
fn seen(view: &View, piece: &Piece) -> Option<Seen> {
    let [a, b, c] = piece.corners;
    let normal = (b - a).cross(&(c - a)).try_normalize(1e-12)?;
    let lit = AMBIENT + (1.0 - AMBIENT) * normal.dot(&view.light).abs();
    let mut corners = [[0.0; 3]; 3];
    for (corner, place) in corners.iter_mut().zip(piece.corners) {
        let at = view.pose.transform(&place);
        let point = view.intrinsics.project(&at)?;
        // Samples lie at quarters of a pixel to either side of its centre.
        let sample = |value: f64| (value + 0.5) * SAMPLES as f64 - 0.5;
        *corner = [sample(point.x), sample(point.y), 1.0 / at.z];
    }
    Some(Seen { corners, rgb: piece.rgb.map(|value| (value * lit) as f32) })
}

struct Samples {
    top: usize,
    width: usize,
    rows: usize,
    /// One over the depth: the larger is nearer.
    near: Vec<f32>,
    rgb: Vec<[f32; 3]>,
}

impl Samples {
    fn of_ground(view: &View, ground: &Ground, top: usize, rows: usize) -> Self {
        let (width, rows) = (SIZE.width as usize * SAMPLES, rows * SAMPLES);
        let top = top * SAMPLES;
        let eye = view.pose.camera_in_card_mm();
        let back = view.pose.rotation.transpose();
        let mut near = vec![0.0; width * rows];
        let mut rgb = vec![[0.0; 3]; width * rows];
        let ray = |column: f64, row: f64| -> Vector3<f64> {
            let pixel = |sample: f64| (sample + 0.5) / SAMPLES as f64 - 0.5;
            back * view.intrinsics.ray(PhotoPoint::new(pixel(column), pixel(row)))
        };
        let meets = |ray: &Vector3<f64>, height: f64| eye + ray * ((height - eye.z) / ray.z);
        for row in (0..rows).step_by(SAMPLES) {
            for column in (0..width).step_by(SAMPLES) {
                // The deck has no edges: its colour is that of the pixel's middle.
                let half = (SAMPLES - 1) as f64 / 2.0;
                let middle = meets(&ray(column as f64 + half, (top + row) as f64 + half), -CARD_THICK_MM);
                let deck = ground.deck(middle.x, middle.y).map(|value| value as f32);
                let far = (1.0 / view.pose.transform(&middle).z) as f32;
                let may_be_card = Ground::is_near_card(middle.x, middle.y);
                for (dy, dx) in (0..SAMPLES * SAMPLES).map(|k| (k / SAMPLES, k % SAMPLES)) {
                    let at = (row + dy) * width + column + dx;
                    (near[at], rgb[at]) = (far, deck);
                    if may_be_card {
                        let on_card = meets(&ray((column + dx) as f64, (top + row + dy) as f64), 0.0);
                        if let Some(colour) = ground.card(on_card.x, on_card.y) {
                            rgb[at] = colour.map(|value| value as f32);
                        }
                    }
                }
            }
        }
        Self { top, width, rows, near, rgb }
    }

    /// Fills a triangle, row by row.
    fn put(&mut self, piece: &Seen) {
        let [a, b, c] = piece.corners;
        let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        if area.abs() < 1e-9 {
            return;
        }
        let bound = |axis: usize| {
            let values = [a[axis], b[axis], c[axis]];
            (values.iter().copied().fold(f64::MAX, f64::min), values.iter().copied().fold(f64::MIN, f64::max))
        };
        let ((left, right), (up, down)) = (bound(0), bound(1));
        let first = up.ceil().max(self.top as f64) as usize;
        let last = down.floor().min((self.top + self.rows) as f64 - 1.0);
        if last < first as f64 || right < 0.0 || left > self.width as f64 - 1.0 {
            return;
        }
        let columns = left.ceil().max(0.0) as usize..=right.floor().min(self.width as f64 - 1.0) as usize;
        for y in first..=last as usize {
            for x in columns.clone() {
                let (dx, dy) = (x as f64 - a[0], y as f64 - a[1]);
                let v = (dx * (c[1] - a[1]) - dy * (c[0] - a[0])) / area;
                let w = (dy * (b[0] - a[0]) - dx * (b[1] - a[1])) / area;
                if v < 0.0 || w < 0.0 || v + w > 1.0 {
                    continue;
                }
                let near = (a[2] + v * (b[2] - a[2]) + w * (c[2] - a[2])) as f32;
                let at = (y - self.top) * self.width + x;
                if near > self.near[at] {
                    self.near[at] = near;
                    self.rgb[at] = piece.rgb;
                }
            }
        }
    }

    /// The means of the samples, with the grain of a sensor.
    fn pixels(&self, grain: u64, out: &mut Vec<u8>) {
        let share = 1.0 / (SAMPLES * SAMPLES) as f32;
        for row in (0..self.rows).step_by(SAMPLES) {
            for column in (0..self.width).step_by(SAMPLES) {
                let mut sum = [0.0_f32; 3];
                for at in
                    (0..SAMPLES * SAMPLES).map(|k| (row + k / SAMPLES) * self.width + column + k % SAMPLES)
                {
                    sum.iter_mut().zip(self.rgb[at]).for_each(|(sum, value)| *sum += share * value);
                }
                let place = ((self.top + row) * self.width + column) as u64;
                let noise = 7.0 * (hash(grain ^ place.wrapping_mul(0x2545_f491_4f6c_dd1d)) as f32 - 0.5);
                out.extend(sum.map(|value| (value + noise).round().clamp(0.0, 255.0) as u8));
            }
        }
    }
}
