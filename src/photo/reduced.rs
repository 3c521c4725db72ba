//! Reduced upright copies of a photo, in which things are looked for.

use super::pixels::{Photo, rgb_of, rgb_of_means};
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// An upright copy at a fraction of the size, area-averaged, as coded R, G, B (0..255).
#[derive(Debug, Clone)]
pub struct Reduced {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Full-size pixels per reduced pixel (1, 2, 3, ...).
    pub factor: u32,
    /// R, G, B of each pixel, row by row.
    pub rgb: Vec<[f32; 3]>,
}

impl Reduced {
    /// Averages whole blocks of `factor` x `factor` pixels, the smallest factor that brings the longer side
    /// to `long_side` or less. Pixels left over at the right and lower rim are dropped.
    pub fn of(photo: &Photo, long_side: u32) -> Self {
        let size = photo.size();
        let factor = size.long_side().div_ceil(long_side.max(1)).max(1);
        Self::by_factor(photo, factor)
    }

    /// Averages whole blocks of `factor` x `factor` pixels.
    pub fn by_factor(photo: &Photo, factor: u32) -> Self {
        let (width, height, factor, blocks) = photo.block_means(factor);
        let rgb = blocks.into_iter().map(rgb_of_means).collect();
        Self { width, height, factor, rgb }
    }

    /// Full-size point of a reduced point.
    pub fn to_photo(&self, x: f64, y: f64) -> PhotoPoint {
        let factor = f64::from(self.factor);
        let shift = (factor - 1.0) / 2.0;
        PhotoPoint::new(x * factor + shift, y * factor + shift)
    }

    /// Reduced coordinates of a full-size point.
    pub fn from_photo(&self, point: PhotoPoint) -> (f64, f64) {
        let factor = f64::from(self.factor);
        let shift = (factor - 1.0) / 2.0;
        ((point.x - shift) / factor, (point.y - shift) / factor)
    }

    /// L*, a*, b* of every pixel.
    pub fn lab(&self) -> Vec<[f32; 3]> {
        self.rgb.iter().map(|&rgb| lab_of(rgb)).collect()
    }
}

/// Coded values to linear light by table: edges are placed in linear light, where a bright card does not
/// look larger than it is.
#[derive(Debug, Clone)]
pub struct LinearLight {
    table: Vec<f32>,
}

impl Default for LinearLight {
    fn default() -> Self {
        Self { table: (0..1024).map(|i| linear_of(i as f32 * (255.0 / 1023.0))).collect() }
    }
}

impl LinearLight {
    fn of(&self, coded: f32) -> f32 {
        let at = (coded * (1023.0 / 255.0) + 0.5).clamp(0.0, 1023.0) as usize;
        self.table.get(at).copied().unwrap_or(1.0)
    }

    /// Linear R, G, B (0..1) at a sub-pixel point, bilinear in linear light.
    pub fn at(&self, photo: &Photo, point: PhotoPoint) -> [f32; 3] {
        let ([x0, y0], [fx, fy]) = point.whole_and_part();
        let pixel = |x, y| photo.rgb(x, y).map(|value| self.of(value));
        let (a, b, c, d) = (pixel(x0, y0), pixel(x0 + 1, y0), pixel(x0, y0 + 1), pixel(x0 + 1, y0 + 1));
        std::array::from_fn(|i| {
            let top = a[i] + (b[i] - a[i]) * fx;
            let bottom = c[i] + (d[i] - c[i]) * fx;
            top + (bottom - top) * fy
        })
    }
}

/// CIE L*, a*, b* (D65) of coded sRGB 0..255. Source: IEC 61966-2-1 and CIE 15 (constants from memory,
/// checked in the tests against published values).
pub fn lab_of(rgb: [f32; 3]) -> [f32; 3] {
    let [r, g, b] = rgb.map(linear_of);
    let x = (0.412_456_4 * r + 0.357_576_1 * g + 0.180_437_5 * b) / 0.950_47;
    let y = 0.212_672_9 * r + 0.715_152_2 * g + 0.072_175 * b;
    let z = (0.019_333_9 * r + 0.119_192 * g + 0.950_304_1 * b) / 1.088_83;
    let f = |t: f32| if t > 0.008_856_452 { t.portable_cbrt() } else { 7.787_037 * t + 16.0 / 116.0 };
    let (fx, fy, fz) = (f(x), f(y), f(z));
    [116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)]
}

/// Linear light 0..1 of a coded sRGB value 0..255 (IEC 61966-2-1).
#[inline]
pub fn linear_of(coded: f32) -> f32 {
    let value = (coded / 255.0).clamp(0.0, 1.0);
    if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).portable_powf(2.4) }
}

/// As [`linear_of`], for one pixel of Y Cb Cr.
#[inline]
pub fn linear_rgb_of(ycbcr: [u8; 3]) -> [f32; 3] {
    rgb_of(ycbcr).map(linear_of)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: CIE L*a*b* of the sRGB primaries, D65, as printed by many colour tables (red 53.24, 80.09,
    /// 67.20; green 87.73, -86.18, 83.18; blue 32.30, 79.19, -107.86): from memory.
    #[test]
    fn primaries_have_their_published_lab_values() {
        let cases = [
            ([255.0, 0.0, 0.0], [53.24, 80.09, 67.20]),
            ([0.0, 255.0, 0.0], [87.73, -86.18, 83.18]),
            ([0.0, 0.0, 255.0], [32.30, 79.19, -107.86]),
        ];
        for (rgb, expected) in cases {
            let lab = lab_of(rgb);
            for i in 0..3 {
                assert!((lab[i] - expected[i]).abs() < 0.05, "{rgb:?}: {lab:?}");
            }
        }
    }
}
