//! JPEG to pixels: what the header says, whether the coded data are whole, and the colours.

mod codes;
mod header;
mod progressive;
mod whole;

use std::borrow::Cow;

use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use self::header::{ADOBE_YCBCR, Colours, Header};
use super::exif::ExifFacts;
use super::limits::{Limits, PhotoError};
use super::pixels::{Photo, ycbcr_of};

/// Decodes a JPEG file, whatever its colours are coded as.
pub(super) fn decode(file: &[u8], limits: &Limits) -> Result<Photo, PhotoError> {
    let header = Header::read(file).map_err(damaged)?;
    if let Some(format) = header.not_decoded() {
        return Err(PhotoError::UnsupportedFormat { format });
    }
    limits.admit(usize::from(header.width), usize::from(header.height))?;
    // What is missing is filled in by the decoder, with grey or worse; it tells only of some of it.
    whole::check(file).map_err(damaged)?;
    let file = plainly_coloured(file, &header);
    // Strict, too. Without the decoder's platform code, so that the page and the native command see the same
    // pixels to the last bit. The decoder's own bound is the format's: `admit` has judged the claim.
    let side = usize::from(u16::MAX);
    let options = DecoderOptions::default()
        .set_strict_mode(true)
        .set_use_unsafe(false)
        .set_max_width(side)
        .set_max_height(side);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(file.as_ref()), options);
    decoder.decode_headers().map_err(damaged)?;
    let (width, height) = decoder.dimensions().ok_or_else(|| damaged("no frame header"))?;
    let size = limits.admit(width, height)?;
    let wanted = match (header.colours, decoder.input_colorspace()) {
        (Colours::Grey, _) => ColorSpace::Luma,
        // Four inks are mixed by the decoder; three channels come as they are.
        (Colours::Inks, _) => ColorSpace::RGB,
        (_, Some(ColorSpace::RGB)) => ColorSpace::RGB,
        _ => ColorSpace::YCbCr,
    };
    decoder.set_options(decoder.options().jpeg_set_out_colorspace(wanted));
    let mut pixels = decoder.decode().map_err(damaged)?;
    match header.colours {
        Colours::Grey => pixels = pixels.into_iter().flat_map(|luma| [luma, 128, 128]).collect(),
        Colours::YCbCr => {}
        Colours::Rgb | Colours::Inks => {
            for pixel in pixels.as_chunks_mut::<3>().0 {
                *pixel = ycbcr_of(*pixel);
            }
        }
    }
    Photo::from_ycbcr(pixels, size, ExifFacts::read(&file)).ok_or_else(|| damaged("pixels missing"))
}

fn damaged(detail: impl ToString) -> PhotoError {
    PhotoError::Damaged { detail: detail.to_string() }
}

/// The file with Adobe's colour mark taken out where it would mislead the decoder: it takes every mark but that
/// of YCbCr for one of four inks.
fn plainly_coloured<'a>(file: &'a [u8], header: &Header) -> Cow<'a, [u8]> {
    match header.adobe {
        Some(mark) if header.colours != Colours::Inks && mark.transform != ADOBE_YCBCR => {
            let mut changed = file.to_vec();
            if let Some(letter) = changed.get_mut(mark.at) {
                *letter = b'-';
            }
            Cow::Owned(changed)
        }
        _ => Cow::Borrowed(file),
    }
}
