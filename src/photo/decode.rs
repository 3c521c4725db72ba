//! Decoding behind limits: a header is a claim until it has been admitted.

use std::io::Cursor;

use super::exif::ExifFacts;
use super::limits::{Limits, PhotoError};
use super::pixels::{Photo, ycbcr_of};

impl Photo {
    /// Decodes a JPEG, PNG or WebP file, the same pixels on every machine.
    ///
    /// # Errors
    /// [`PhotoError`], each with a code and a next step in [`crate::text`]. Never panics on bad bytes.
    pub fn decode(file: &[u8], limits: &Limits) -> Result<Self, PhotoError> {
        match Format::of(file)? {
            Format::Jpeg => super::jpeg::decode(file, limits),
            Format::Image(format) => decode_with_image(file, format, limits),
        }
    }

    /// Takes pixels that the browser decoded (R G B A), already upright.
    ///
    /// # Errors
    /// [`PhotoError`] when the size is not admitted or does not fit the bytes.
    pub fn from_browser(rgba: &[u8], width: u32, height: u32, limits: &Limits) -> Result<Self, PhotoError> {
        let size = limits.admit(width as usize, height as usize)?;
        let pixels =
            rgba.chunks_exact(4).flat_map(|pixel| ycbcr_of([pixel[0], pixel[1], pixel[2]])).collect();
        let mut photo = Self::from_ycbcr(pixels, size, ExifFacts::default())
            .ok_or(PhotoError::Damaged { detail: "pixels missing".into() })?;
        photo.foreign_decoder = true;
        Ok(photo)
    }
}

enum Format {
    Jpeg,
    Image(image::ImageFormat),
}

impl Format {
    /// By the first bytes, never by the name: a text file named .jpg is not a photo.
    fn of(file: &[u8]) -> Result<Self, PhotoError> {
        let unsupported = |format| Err(PhotoError::UnsupportedFormat { format });
        match file {
            [] => Err(PhotoError::Empty),
            [0xFF, 0xD8, 0xFF, ..] => Ok(Self::Jpeg),
            [0x89, b'P', b'N', b'G', ..] => Ok(Self::Image(image::ImageFormat::Png)),
            [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => {
                Ok(Self::Image(image::ImageFormat::WebP))
            }
            [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => match brand.get(..4) {
                Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"mif1" | b"msf1") => {
                    unsupported("HEIC")
                }
                Some(b"avif" | b"avis") => unsupported("AVIF"),
                Some(b"crx ") => unsupported("raw"),
                _ => unsupported("video or other"),
            },
            [b'G', b'I', b'F', b'8', ..] => unsupported("GIF"),
            [b'B', b'M', _, _, _, _, 0, 0, 0, 0, ..] => unsupported("BMP"),
            [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => unsupported("TIFF or raw"),
            [0xFF, 0x0A, ..] | [0, 0, 0, 12, b'J', b'X', b'L', b' ', ..] => unsupported("JPEG XL"),
            [0xFF, 0x4F, 0xFF, 0x51, ..] | [0, 0, 0, 12, b'j', b'P', b' ', b' ', ..] => {
                unsupported("JPEG 2000")
            }
            _ => Err(PhotoError::NotAPhoto),
        }
    }
}

fn decode_with_image(file: &[u8], format: image::ImageFormat, limits: &Limits) -> Result<Photo, PhotoError> {
    let damaged = |error: image::ImageError| PhotoError::Damaged { detail: error.to_string() };
    let reader = || image::ImageReader::with_format(Cursor::new(file), format);
    let (width, height) = reader().into_dimensions().map_err(|error| match error {
        image::ImageError::Limits(_) => PhotoError::TooLarge { megapixels: u64::MAX },
        other => damaged(other),
    })?;
    let size = limits.admit(width as usize, height as usize)?;
    let decode = |file: &[u8]| {
        let mut decoding = image::ImageReader::with_format(Cursor::new(file), format);
        let mut allowance = image::Limits::default();
        allowance.max_alloc = Some(limits.pixels * 8);
        decoding.limits(allowance);
        decoding.decode()
    };
    if format == image::ImageFormat::WebP {
        super::webp::check(file, |shorter| decode(shorter).is_ok())?;
    }
    let mut pixels = decode(file).map_err(damaged)?.into_rgb8().into_raw();
    for pixel in pixels.chunks_exact_mut(3) {
        let coded = ycbcr_of([pixel[0], pixel[1], pixel[2]]);
        pixel.copy_from_slice(&coded);
    }
    Photo::from_ycbcr(pixels, size, ExifFacts::read(file))
        .ok_or(PhotoError::Damaged { detail: "pixels missing".into() })
}
