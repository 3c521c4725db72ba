//! Bytes that are no usable photo, turned photos, and what the file says of the lens.

use std::path::PathBuf;

use proptest::prelude::*;
use shellspan::camera::FocalPrior;
use shellspan::camera::intrinsics::FRAME_35MM_DIAGONAL_MM;
use shellspan::card::ID1_MM;
use shellspan::photo::{ExifFacts, Limits, Photo, PhotoError};
use shellspan::text::measure::photo_error;
use shellspan::units::PhotoSize;
use shellspan::width::CARD_RELATIVE_U;

fn decode(bytes: &[u8]) -> Result<Photo, PhotoError> {
    Photo::decode(bytes, &Limits::default())
}

fn code(bytes: &[u8]) -> &'static str {
    decode(bytes).err().map_or("measured", |error| photo_error(&error).code)
}

fn samples() -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples");
    let mut photos: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("samples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "jpg"))
        .collect();
    photos.sort();
    photos
}

/// CRC-32 of a PNG chunk. Source: PNG specification (W3C), annex D.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 })
    })
}

fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [name.as_slice(), data].concat();
    let length = u32::try_from(data.len()).expect("short").to_be_bytes();
    [length.as_slice(), &body, &crc(&body).to_be_bytes()].concat()
}

const PNG: [u8; 8] = [0x89, b'P', b'N', b'G', 13, 10, 26, 10];

/// A PNG header that claims a size, with no pixels behind it.
fn claiming(width: u32, height: u32) -> Vec<u8> {
    let header = [&width.to_be_bytes()[..], &height.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
    [
        PNG.to_vec(),
        chunk(b"IHDR", &header),
        chunk(b"IDAT", &[0x78, 0x9C, 3, 0, 0, 0, 0, 1]),
        chunk(b"IEND", &[]),
    ]
    .concat()
}

/// A JPEG whose frame header claims a size, with a scan of nothing. Source: ITU-T T.81, B.2.2 and B.2.3.
fn jpeg_claiming(width: u16, height: u16) -> Vec<u8> {
    let [h, w] = [height.to_be_bytes(), width.to_be_bytes()];
    let frame = [0xFF, 0xC0, 0, 17, 8, h[0], h[1], w[0], w[1], 3, 1, 0x22, 0, 2, 0x11, 0, 3, 0x11, 0];
    let scan = [0xFF, 0xDA, 0, 12, 3, 1, 0, 2, 0x11, 3, 0x11, 0, 63, 0];
    [&[0xFF, 0xD8][..], &frame, &scan, &[0; 64], &[0xFF, 0xD9]].concat()
}

fn encoded(picture: image::RgbImage, format: image::ImageFormat) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).expect("encoded");
    bytes.into_inner()
}

/// Codes: those of the native command's documented answer for an unusable file.
#[test]
fn each_hostile_file_gets_its_code_and_a_next_step() {
    let sample = std::fs::read(&samples()[0]).expect("a sample");
    let dot = encoded(image::RgbImage::new(1, 1), image::ImageFormat::Png);
    let half_png = {
        let whole = encoded(
            image::RgbImage::from_fn(300, 300, |x, y| image::Rgb([x as u8, y as u8, (x * y) as u8])),
            image::ImageFormat::Png,
        );
        whole[..whole.len() / 2].to_vec()
    };
    let table: [(&str, Vec<u8>, &str); 25] = [
        ("no bytes", Vec::new(), "not-a-photo"),
        ("text named .jpg", b"Dear reader, this is a letter.\n".to_vec(), "not-a-photo"),
        ("markup", b"<svg xmlns='http://www.w3.org/2000/svg'/>".to_vec(), "not-a-photo"),
        ("zeros", vec![0; 4096], "not-a-photo"),
        ("half a JPEG", sample[..sample.len() / 2].to_vec(), "damaged"),
        ("a JPEG's first kilobyte", sample[..1024].to_vec(), "damaged"),
        ("three bytes of a JPEG", sample[..3].to_vec(), "damaged"),
        ("half a PNG", half_png, "damaged"),
        ("a PNG's signature", PNG.to_vec(), "damaged"),
        ("a PNG of 100000 x 100000", claiming(100_000, 100_000), "too-large"),
        ("a JPEG of 16000 x 16000", jpeg_claiming(16_000, 16_000), "too-large"),
        ("a PNG of 4000 x 3000 without pixels", claiming(4000, 3000), "damaged"),
        ("a PNG of one pixel", dot, "too-small"),
        ("GIF", b"GIF89a\x01\x00\x01\x00\x80\x00\x00".to_vec(), "unsupported-format"),
        ("HEIC", b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic".to_vec(), "unsupported-format"),
        ("AVIF", b"\x00\x00\x00\x18ftypavif\x00\x00\x00\x00mif1avif".to_vec(), "unsupported-format"),
        ("TIFF", b"II*\x00\x08\x00\x00\x00\x00\x00".to_vec(), "unsupported-format"),
        ("BigTIFF", b"II+\x00\x08\x00\x00\x00\x00\x00".to_vec(), "unsupported-format"),
        ("BMP", b"BM\x36\x00\x0c\x00\x00\x00\x00\x00\x36\x00".to_vec(), "unsupported-format"),
        ("a letter that begins as BMP does", b"BM, no picture at all".to_vec(), "not-a-photo"),
        ("JPEG XL", b"\xFF\x0A\x00\x00".to_vec(), "unsupported-format"),
        ("JPEG 2000", b"\x00\x00\x00\x0CjP  \x0D\x0A\x87\x0A".to_vec(), "unsupported-format"),
        ("a film", b"\x00\x00\x00\x18ftypqt  \x00\x00\x00\x00qt  ".to_vec(), "unsupported-format"),
        ("PDF", b"%PDF-1.7\n".to_vec(), "not-a-photo"),
        ("ZIP", b"PK\x03\x04\x14\x00".to_vec(), "not-a-photo"),
    ];
    let wrong: Vec<String> = table
        .iter()
        .filter(|(_, bytes, expected)| code(bytes) != *expected)
        .map(|(name, bytes, expected)| format!("{name}: not {expected} but {:?}", decode(bytes).err()))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    for (name, bytes, _) in table {
        let error = decode(&bytes).expect_err(name);
        assert!(photo_error(&error).next_step.len() > 10, "{name}");
    }
}

/// Claims past the decoders' own limits: a frame of 65000 x 65000, the largest PNG there can be.
fn claims_past_the_decoders() -> [Vec<u8>; 2] {
    [jpeg_claiming(65_000, 65_000), claiming(0x7FFF_FFFF, 0x7FFF_FFFF)]
}

#[test]
fn a_claim_past_the_decoders_own_limit_is_refused() {
    for bytes in claims_past_the_decoders() {
        assert!(matches!(code(&bytes), "too-large" | "damaged"), "{:?}", decode(&bytes).err());
    }
}

#[test]
fn a_claim_past_the_decoders_own_limit_is_called_too_large() {
    for bytes in claims_past_the_decoders() {
        assert_eq!(code(&bytes), "too-large", "{:?}", decode(&bytes).err());
    }
}

#[test]
fn a_panorama_is_told_by_its_side_not_by_its_pixels() {
    for bytes in [claiming(20_000, 900), jpeg_claiming(900, 20_000)] {
        let notice = photo_error(&decode(&bytes).expect_err("too long"));
        assert_eq!(notice.code, "too-large");
        assert!(notice.seen.contains("20000 pixels"), "{}", notice.seen);
    }
}

/// A photo that ends early is never taken for a whole one: the lower half would be grey.
#[test]
fn every_sample_cut_at_sixty_lengths_is_refused() {
    let paths = samples();
    assert!(paths.len() >= 8);
    for path in paths {
        let bytes = std::fs::read(&path).expect("a sample");
        // Most within the headers, where there is most to get wrong.
        let near = (0..52).map(|i| 1 + i * i * 8);
        let far = (1..=8).map(|i| bytes.len() / 9 * i);
        for length in near.chain(far).filter(|&length| length < bytes.len()) {
            let told = code(&bytes[..length]);
            assert!(matches!(told, "damaged" | "not-a-photo"), "{} cut at {length}: {told}", path.display());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes_never_panic(
        bytes in prop::collection::vec(any::<u8>(), 0..600),
        start in prop::sample::select(vec![&b""[..], b"\xFF\xD8\xFF", &PNG, b"RIFF\x40\0\0\0WEBPVP8 ", b"RIFF\x40\0\0\0WEBPVP8L", b"RIFF\x40\0\0\0WEBPVP8X"]),
    ) {
        let file = [start, &bytes].concat();
        if let Err(error) = decode(&file) {
            prop_assert!(!photo_error(&error).code.is_empty());
        }
    }

    #[test]
    fn a_damaged_small_png_never_panics(at in 0usize..2000, byte in any::<u8>()) {
        let mut file = encoded(image::RgbImage::from_fn(170, 165, |x, y| image::Rgb([x as u8, y as u8, (x ^ y) as u8])), image::ImageFormat::Png);
        let at = at % file.len();
        file[at] = byte;
        if let Ok(photo) = decode(&file) {
            prop_assert!(photo.size().width >= 160);
        }
    }
}

/// Where the first stored pixel and the end of the first stored row are seen. Source: TIFF 6.0 / Exif, tag
/// 0x0112: "the 0th row is the visual ... of the image, and the 0th column is the visual ...": top left, top
/// right, bottom right, bottom left, left top, right top, right bottom, left bottom.
#[test]
fn each_orientation_puts_the_first_row_and_column_where_exif_says() {
    let (w, h) = (200_u32, 170_u32);
    // (0th row, 0th column)
    let table = [
        ("top", "left"),
        ("top", "right"),
        ("bottom", "right"),
        ("bottom", "left"),
        ("left", "top"),
        ("right", "top"),
        ("right", "bottom"),
        ("left", "bottom"),
    ];
    // The first row is grey, the first column white where it is not also the first row.
    let picture = image::RgbImage::from_fn(w, h, |x, y| {
        image::Rgb(
            [if y == 0 {
                128
            } else if x == 0 {
                255
            } else {
                0
            }; 3],
        )
    });
    let plain = encoded(picture, image::ImageFormat::Png);
    for (i, (row, column)) in table.into_iter().enumerate() {
        let value = i as u8 + 1;
        let tiff = [
            b"MM\0\x2A\0\0\0\x08\0\x01".as_slice(),
            &[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, value, 0, 0],
            &[0; 4],
        ]
        .concat();
        // After signature and header: 8 + 25 bytes.
        let file = [&plain[..33], &chunk(b"eXIf", &tiff), &plain[33..]].concat();
        let photo = decode(&file).expect("a photo");
        assert_eq!(photo.exif.orientation, u16::from(value));
        let upright =
            if value < 5 { PhotoSize { width: w, height: h } } else { PhotoSize { width: h, height: w } };
        assert_eq!(photo.size(), upright, "orientation {value}");
        let (right, bottom) = (i64::from(upright.width) - 1, i64::from(upright.height) - 1);
        let middle = |side: &str| match side {
            "top" => (right / 2, 0),
            "bottom" => (right / 2, bottom),
            "left" => (0, bottom / 2),
            _ => (right, bottom / 2),
        };
        for (side, luma) in [(row, 128), (column, 255)] {
            let (x, y) = middle(side);
            assert!(
                (i32::from(photo.ycbcr(x, y)[0]) - luma).abs() <= 1,
                "orientation {value}: {side} {:?}",
                photo.ycbcr(x, y)
            );
        }
    }
}

/// Source: CIPA DCG-001 (equal diagonal angle of view), as quoted in public copies: 26 mm on 4032 x 3024 is
/// 3028.7 px by the diagonal (2912.0 px by the width); the frame's diagonal is sqrt(36^2 + 24^2) mm.
#[test]
fn the_focal_length_follows_from_the_35mm_equivalent() {
    assert!((FRAME_35MM_DIAGONAL_MM - 36.0_f64.hypot(24.0)).abs() < 1e-13);
    let size = PhotoSize { width: 4032, height: 3024 };
    let exif = |focal_35mm, pixel_size| ExifFacts { focal_35mm, pixel_size, ..ExifFacts::default() };
    let focal = |exif: &ExifFacts, size| FocalPrior::of(exif, size).0;
    let whole = focal(&exif(Some(26), Some(size)), size);
    assert!((whole.focal_px - 3028.7).abs() < 0.05, "{}", whole.focal_px);
    // Seen upright, the sides change places and the lens stays.
    let upright = PhotoSize { width: 3024, height: 4032 };
    assert!((focal(&exif(Some(26), Some(size)), upright).focal_px - 3028.7).abs() < 0.05);
    // Half the size, half the focal length in pixels.
    let half = PhotoSize { width: 2016, height: 1512 };
    assert!((focal(&exif(Some(26), Some(size)), half).focal_px - 3028.7 / 2.0).abs() < 0.05);
    // Without the tag the prior is wide, and wider than both ways to count the equivalent (3.85 %).
    assert!(whole.relative_u < 0.0385 && focal(&exif(None, None), size).relative_u > 0.0385);
}

/// Source: ISO/IEC 7810, ID-1: 85.60 x 53.98 mm; an unused card's width 85.47 to 85.72 mm, as quoted in
/// public copies; rectangular distribution (JCGM 100, 4.3.7).
#[test]
fn the_card_is_an_id1_card() {
    assert_eq!(ID1_MM, [85.60, 53.98]);
    let rectangular = (85.72 - 85.47) / 2.0 / 3.0_f64.sqrt() / 85.60;
    assert!((CARD_RELATIVE_U - rectangular).abs() < 0.01 * rectangular, "{rectangular}");
}
