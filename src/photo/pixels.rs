//! The decoded photo at full size, seen upright without being turned in memory.

use super::exif::ExifFacts;
use crate::units::{PhotoPoint, PhotoSize};

/// A full-size photo: luma and chroma (JPEG's YCbCr, full range) of each pixel, upright.
///
/// The bytes stay as they were stored; the EXIF orientation is a pair of strides. Turning a 12-megapixel
/// photo in memory would cost a second copy of 36 MB.
#[derive(Debug, Clone)]
pub struct Photo {
    /// Y, Cb, Cr of each stored pixel, row by row.
    stored: Vec<u8>,
    size: PhotoSize,
    /// Byte offset of the upright pixel (0, 0), and the steps to the right and down.
    origin: isize,
    step_right: isize,
    step_down: isize,
    /// What the file says of the camera.
    pub exif: ExifFacts,
    /// True when a decoder other than our own made the pixels (HEIC or AVIF by the browser).
    pub foreign_decoder: bool,
}

impl Photo {
    /// Wraps `stored` (3 bytes a pixel, Y Cb Cr, `stored_size`); `None` when the length does not fit.
    ///
    /// `exif.orientation` says how to look at it (TIFF 6.0 / Exif, tag 0x0112).
    pub fn from_ycbcr(stored: Vec<u8>, stored_size: PhotoSize, exif: ExifFacts) -> Option<Self> {
        let width = isize::try_from(stored_size.width).ok()?;
        let height = isize::try_from(stored_size.height).ok()?;
        let bytes = width.checked_mul(height)?.checked_mul(3)?;
        if width == 0 || height == 0 || usize::try_from(bytes).ok()? != stored.len() {
            return None;
        }
        let (row, last_x, last_y) = (width * 3, (width - 1) * 3, (height - 1) * width * 3);
        let (origin, step_right, step_down) = match exif.orientation {
            2 => (last_x, -3, row),
            3 => (last_x + last_y, -3, -row),
            4 => (last_y, 3, -row),
            5 => (0, row, 3),
            6 => (last_y, -row, 3),
            7 => (last_x + last_y, -row, -3),
            8 => (last_x, row, -3),
            _ => (0, 3, row),
        };
        let size = if (5..=8).contains(&exif.orientation) {
            PhotoSize { width: stored_size.height, height: stored_size.width }
        } else {
            stored_size
        };
        Some(Self { stored, size, origin, step_right, step_down, exif, foreign_decoder: false })
    }

    /// Upright size.
    pub fn size(&self) -> PhotoSize {
        self.size
    }

    /// Y, Cb, Cr of the upright pixel (`x`, `y`), clamped to the photo.
    #[inline]
    pub fn ycbcr(&self, x: i64, y: i64) -> [u8; 3] {
        let x = x.clamp(0, i64::from(self.size.width) - 1) as isize;
        let y = y.clamp(0, i64::from(self.size.height) - 1) as isize;
        let at = (self.origin + x * self.step_right + y * self.step_down) as usize;
        match self.stored.get(at..at + 3) {
            Some(&[luma, cb, cr]) => [luma, cb, cr],
            _ => [0, 128, 128],
        }
    }

    /// Means of Y, Cb, Cr over whole blocks of `factor` x `factor` upright pixels, row by row, with the
    /// columns, rows and the factor used. Pixels left over at the right and lower rim are dropped.
    pub fn block_means(&self, factor: u32) -> (usize, usize, u32, Vec<[f32; 3]>) {
        let factor = factor.clamp(1, self.size.width.min(self.size.height));
        let (width, height) = ((self.size.width / factor) as usize, (self.size.height / factor) as usize);
        let block = factor as usize;
        let share = 1.0 / (factor * factor) as f32;
        // Along the stored rows, whichever way the photo is turned: across them every pixel is a cache line away.
        let upright = self.step_right.abs() == 3;
        let (along, step, across) =
            if upright { (width, self.step_right, height) } else { (height, self.step_down, width) };
        let next_row = if upright { self.step_down } else { self.step_right };
        let mut sums = vec![[0u32; 3]; along];
        let mut means = vec![[0.0; 3]; width * height];
        for row in 0..across {
            sums.fill([0; 3]);
            for line in row * block..(row + 1) * block {
                let mut at = self.origin + line as isize * next_row;
                for sum in &mut sums {
                    for _ in 0..block {
                        if let Some(&[luma, cb, cr]) = self.stored.get(at as usize..at as usize + 3) {
                            sum[0] += u32::from(luma);
                            sum[1] += u32::from(cb);
                            sum[2] += u32::from(cr);
                        }
                        at += step;
                    }
                }
            }
            for (k, sum) in sums.iter().enumerate() {
                let at = if upright { row * width + k } else { k * width + row };
                means[at] = sum.map(|value| value as f32 * share);
            }
        }
        (width, height, factor, means)
    }

    /// R, G, B of the upright pixel, coded values 0..255 as floats (JFIF conversion, unclamped).
    #[inline]
    pub fn rgb(&self, x: i64, y: i64) -> [f32; 3] {
        rgb_of(self.ycbcr(x, y))
    }

    /// R, G, B of the upright pixel nearest to `point`.
    #[inline]
    pub fn rgb_near(&self, point: PhotoPoint) -> [f32; 3] {
        // Cutting off is rounding for what is not negative, and the rest is clamped all the same: no call of a library.
        self.rgb((point.x + 0.5) as i64, (point.y + 0.5) as i64)
    }

    /// Coded R, G, B at a sub-pixel `point`, bilinear.
    pub fn rgb_at(&self, point: PhotoPoint) -> [f32; 3] {
        let ([x0, y0], [fx, fy]) = point.whole_and_part();
        let (a, b) = (self.rgb(x0, y0), self.rgb(x0 + 1, y0));
        let (c, d) = (self.rgb(x0, y0 + 1), self.rgb(x0 + 1, y0 + 1));
        std::array::from_fn(|i| {
            let top = a[i] + (b[i] - a[i]) * fx;
            let bottom = c[i] + (d[i] - c[i]) * fx;
            top + (bottom - top) * fy
        })
    }

    /// Coded luma at a sub-pixel `point`, bilinear.
    pub fn luma_at(&self, point: PhotoPoint) -> f32 {
        let ([x0, y0], [fx, fy]) = point.whole_and_part();
        let luma = |x, y| f32::from(self.ycbcr(x, y)[0]);
        let top = luma(x0, y0) * (1.0 - fx) + luma(x0 + 1, y0) * fx;
        let bottom = luma(x0, y0 + 1) * (1.0 - fx) + luma(x0 + 1, y0 + 1) * fx;
        top * (1.0 - fy) + bottom * fy
    }
}

/// JFIF: Y Cb Cr (full range) to R G B, unclamped. Source: ITU-T T.871, section 7.
#[inline]
pub fn rgb_of([luma, cb, cr]: [u8; 3]) -> [f32; 3] {
    rgb_of_means([f32::from(luma), f32::from(cb), f32::from(cr)])
}

/// As [`rgb_of`], for means that are not whole numbers.
#[inline]
pub fn rgb_of_means([luma, cb, cr]: [f32; 3]) -> [f32; 3] {
    let (cb, cr) = (cb - 128.0, cr - 128.0);
    [luma + 1.402 * cr, luma - 0.344_136_3 * cb - 0.714_136_3 * cr, luma + 1.772 * cb]
}

/// JFIF: R G B to Y Cb Cr (full range), rounded. Source: ITU-T T.871, section 7.
#[inline]
pub fn ycbcr_of([r, g, b]: [u8; 3]) -> [u8; 3] {
    let (r, g, b) = (f32::from(r), f32::from(g), f32::from(b));
    let luma = 0.299 * r + 0.587 * g + 0.114 * b;
    let byte = |value: f32| value.round().clamp(0.0, 255.0) as u8;
    [byte(luma), byte((b - luma) / 1.772 + 128.0), byte((r - luma) / 1.402 + 128.0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Exif orientation table of TIFF 6.0: for stored W x H and a stored pixel (x, y), the upright
    /// pixel is 1 (x,y); 2 (W-1-x,y); 3 (W-1-x,H-1-y); 4 (x,H-1-y); 5 (y,x); 6 (H-1-y,x); 7 (H-1-y,W-1-x);
    /// 8 (y,W-1-x).
    #[test]
    fn each_orientation_maps_stored_pixels_as_exif_says() {
        let (w, h) = (4i64, 3i64);
        let stored: Vec<u8> = (0..w * h).flat_map(|i| [i as u8, 128, 128]).collect();
        for orientation in 1..=8u16 {
            let exif = ExifFacts { orientation, ..ExifFacts::default() };
            let size = PhotoSize { width: w as u32, height: h as u32 };
            let photo = Photo::from_ycbcr(stored.clone(), size, exif).expect("sizes agree");
            for y in 0..h {
                for x in 0..w {
                    let (ux, uy) = match orientation {
                        2 => (w - 1 - x, y),
                        3 => (w - 1 - x, h - 1 - y),
                        4 => (x, h - 1 - y),
                        5 => (y, x),
                        6 => (h - 1 - y, x),
                        7 => (h - 1 - y, w - 1 - x),
                        8 => (y, w - 1 - x),
                        _ => (x, y),
                    };
                    assert_eq!(i64::from(photo.ycbcr(ux, uy)[0]), y * w + x, "orientation {orientation}");
                }
            }
        }
    }

    #[test]
    fn means_of_blocks_are_those_of_the_upright_pixels() {
        let (w, h, factor) = (11u32, 8u32, 3usize);
        let stored: Vec<u8> = (0..w * h * 3).map(|i| (i * 37 % 251) as u8).collect();
        for orientation in 1..=8u16 {
            let exif = ExifFacts { orientation, ..ExifFacts::default() };
            let photo = Photo::from_ycbcr(stored.clone(), PhotoSize { width: w, height: h }, exif);
            let photo = photo.expect("sizes agree");
            let (columns, rows, _, means) = photo.block_means(factor as u32);
            let upright = [photo.size().width, photo.size().height].map(|side| side as usize / factor);
            assert_eq!([columns, rows], upright);
            for (k, mean) in means.iter().enumerate() {
                let (left, top) = (k % columns * factor, k / columns * factor);
                let cells = (0..factor * factor).map(|i| (left + i % factor, top + i / factor));
                let sum: u32 = cells.map(|(x, y)| u32::from(photo.ycbcr(x as i64, y as i64)[0])).sum();
                assert!((mean[0] - sum as f32 / 9.0).abs() < 1e-3, "orientation {orientation}, block {k}");
            }
        }
    }

    #[test]
    fn colour_survives_the_round_trip_to_one_step() {
        for rgb in [[0, 0, 0], [255, 255, 255], [200, 30, 90], [10, 240, 128]] {
            let back = rgb_of(ycbcr_of(rgb));
            for i in 0..3 {
                assert!((back[i] - f32::from(rgb[i])).abs() < 1.6, "{rgb:?} {back:?}");
            }
        }
    }
}
