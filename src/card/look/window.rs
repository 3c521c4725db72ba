//! What the networks of this room look at: a window of the photo, square-on in the plane of a hypothesis.

use nalgebra::Vector2;

use crate::camera::homography::{apply, homography_of_four};
use crate::camera::ippe::card_corners_mm;
use crate::card::ID1_MM;
use crate::net::Maps;
use crate::photo::Photo;
use crate::units::PhotoPoint;

/// A network's answer has a cell for every 2 x 2 px of its window.
pub(super) const CELL_PX: usize = 2;
/// Samples along each side of a px that are averaged at most.
const MOST_SAMPLES: i32 = 5;

/// Coded R, G, B (0..255) of the window's pixels, row by row; `None` outside the photo.
pub(super) struct Window {
    side_px: usize,
    pixels: Vec<Option<[f32; 3]>>,
}

impl Window {
    /// A window of `side_px` columns and rows. `place_mm` tells where in the plane of the hypothesis (its frame: the
    /// origin in the middle, x along the first side, y up) a place in px of the window lies, the middle of its
    /// first px at (0, 0); `mm_per_px` how broad and high a px is there. `None` for corners that are no quadrangle.
    pub(super) fn of(
        photo: &Photo,
        hypothesis: &[PhotoPoint; 4],
        side_px: usize,
        mm_per_px: [f64; 2],
        place_mm: impl Fn(f64, f64) -> Vector2<f64>,
    ) -> Option<Self> {
        let homography = homography_of_four(&card_corners_mm(ID1_MM), hypothesis)?;
        let px_per_mm = hypothesis[0].distance_px(hypothesis[1]) / ID1_MM[0];
        let [across, down] =
            mm_per_px.map(|mm| ((px_per_mm * mm / 2.0).ceil() as i32).clamp(1, MOST_SAMPLES));
        let share = 1.0 / (across * down) as f32;
        let place = |x: f64, y: f64| {
            let at = place_mm(x, y);
            apply(&homography, at.x, at.y)
        };
        let size = photo.size();
        let mut pixels = vec![None; side_px * side_px];
        for (i, pixel) in pixels.iter_mut().enumerate() {
            let (x, y) = ((i % side_px) as f64, (i / side_px) as f64);
            let Some(middle) = place(x, y).filter(|&point| size.contains(point)) else { continue };
            if across * down == 1 {
                *pixel = Some(photo.rgb_at(middle).map(|value| value.clamp(0.0, 255.0)));
                continue;
            }
            let mut sum = [0.0f32; 3];
            for k in 0..across * down {
                let shift = |k: i32, samples: i32| (f64::from(k) + 0.5) / f64::from(samples) - 0.5;
                let point =
                    place(x + shift(k % across, across), y + shift(k / across, down)).unwrap_or(middle);
                let rgb = photo.rgb_near(point);
                for (total, value) in sum.iter_mut().zip(rgb) {
                    *total += value.clamp(0.0, 255.0);
                }
            }
            *pixel = Some(sum.map(|value| value * share));
        }
        Some(Self { side_px, pixels })
    }

    /// R, G, B less their means, over their common spread; the four pixels of a cell side by side, and the cell's
    /// share within the photo: what the networks were trained on. `None` where less than `least_seen` (a share) lies
    /// within the photo.
    pub(super) fn normalised(&self, least_seen: f64) -> Option<Maps> {
        let seen = || self.pixels.iter().flatten();
        let count = seen().count();
        if (count as f64) < least_seen * self.pixels.len() as f64 {
            return None;
        }
        let mut means = [0.0f64; 3];
        for rgb in seen() {
            for (mean, &value) in means.iter_mut().zip(rgb) {
                *mean += f64::from(value) / count as f64;
            }
        }
        let square: f64 =
            seen().map(|rgb| (0..3).map(|c| (f64::from(rgb[c]) - means[c]).powi(2)).sum::<f64>()).sum();
        let spread = (square / (3 * count) as f64).sqrt() + 3.0;
        let mut maps = Maps::zeros(self.side_px / CELL_PX, 3 * CELL_PX * CELL_PX + 1);
        let within = maps.channels - 1;
        for (i, rgb) in self.pixels.iter().enumerate() {
            let Some(rgb) = rgb else { continue };
            let (x, y) = (i % self.side_px, i / self.side_px);
            let block = (y % CELL_PX) * CELL_PX + x % CELL_PX;
            let (x, y) = (x / CELL_PX, y / CELL_PX);
            for c in 0..3 {
                maps.set(3 * block + c, x, y, ((f64::from(rgb[c]) - means[c]) / spread) as f32);
            }
            let share = 1.0 / (CELL_PX * CELL_PX) as f32;
            maps.set(within, x, y, maps.at(within, x, y) + share);
        }
        Some(maps)
    }
}
