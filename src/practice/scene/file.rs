//! The photo as a file: PNG, with what a phone's EXIF says of its lens.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};

use super::Scene;
use super::view::{FOCAL_35MM, SIZE};

impl Scene {
    /// The file; empty where it cannot be written, which memory alone could forbid.
    pub fn png(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut encoder = PngEncoder::new_with_quality(&mut bytes, CompressionType::Fast, FilterType::Sub);
        // A file without it only makes the lens less well known.
        let _ = encoder.set_exif_metadata(exif());
        match encoder.write_image(&self.rgb, SIZE.width, SIZE.height, ExtendedColorType::Rgb8) {
            Ok(()) => bytes,
            Err(_) => Vec::new(),
        }
    }
}

/// A TIFF header, one directory that points to the Exif directory, and in it the 35 mm equivalent (tag 0xA405) and the
/// pixel sizes (0xA002, 0xA003). Source: TIFF 6.0, section 2; Exif 2.3, section 4.6.
fn exif() -> Vec<u8> {
    const SHORT: u16 = 3;
    const LONG: u16 = 4;
    let mut bytes = b"II*\0\x08\0\0\0".to_vec();
    let mut directory = |entries: &[(u16, u16, u32)]| {
        bytes.extend((entries.len() as u16).to_le_bytes());
        for (tag, kind, value) in entries {
            bytes.extend(tag.to_le_bytes());
            bytes.extend(kind.to_le_bytes());
            bytes.extend(1_u32.to_le_bytes());
            bytes.extend(value.to_le_bytes());
        }
        bytes.extend(0_u32.to_le_bytes());
    };
    // The second directory follows the first: 8 + 2 + 12 + 4 bytes.
    directory(&[(0x8769, LONG, 26)]);
    directory(&[
        (0xa002, LONG, SIZE.width),
        (0xa003, LONG, SIZE.height),
        (0xa405, SHORT, u32::from(FOCAL_35MM)),
    ]);
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::ExifFacts;

    #[test]
    fn the_reader_of_photos_finds_the_lens() {
        let mut bytes = Vec::new();
        let mut encoder = PngEncoder::new(&mut bytes);
        encoder.set_exif_metadata(exif()).expect("PNG has room for it");
        encoder.write_image(&[9; 12], 2, 2, ExtendedColorType::Rgb8).expect("it is written");
        let facts = ExifFacts::read(&bytes);
        assert_eq!(facts.focal_35mm, Some(FOCAL_35MM));
        assert_eq!(facts.pixel_size, Some(SIZE));
    }
}
