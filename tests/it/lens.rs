//! What EXIF says of the lens, written by many hands: in either byte order, absurd, missing, in other tags, cut short.
//!
//! Source of tags and types: Exif 2.32 (CIPA DC-008), 4.6; of the layout: TIFF 6.0, section 2.

use shellspan::camera::{FocalFrom, FocalPrior};
use shellspan::photo::ExifFacts;
use shellspan::units::PhotoSize;

const ORIENTATION: u16 = 0x0112;
const FOCAL_MM: u16 = 0x920A;
const WIDTH: u16 = 0xA002;
const HEIGHT: u16 = 0xA003;
const PLANE_X: u16 = 0xA20E;
const PLANE_UNIT: u16 = 0xA210;
const ZOOM: u16 = 0xA404;
const FOCAL_35MM: u16 = 0xA405;

#[derive(Clone, Copy)]
enum Value {
    Short(u16),
    Long(u32),
    Ratio(u32, u32),
}
use Value::{Long, Ratio, Short};

/// A TIFF block with one directory for the picture and one of Exif.
fn tiff(big_endian: bool, picture: &[(u16, Value)], exif: &[(u16, Value)]) -> Vec<u8> {
    let u16s = |v: u16| if big_endian { v.to_be_bytes() } else { v.to_le_bytes() };
    let u32s = |v: u32| if big_endian { v.to_be_bytes() } else { v.to_le_bytes() };
    let directory = |entries: &[(u16, Value)], at: u32| {
        let mut entries = entries.to_vec();
        entries.sort_by_key(|entry| entry.0);
        let mut block = u16s(entries.len() as u16).to_vec();
        let mut behind: Vec<u8> = Vec::new();
        let start = at + 2 + 12 * entries.len() as u32 + 4;
        for (tag, value) in entries {
            block.extend(u16s(tag));
            let (kind, field) = match value {
                Short(v) => (3, [u16s(v), [0; 2]].concat()),
                Long(v) => (4, u32s(v).to_vec()),
                Ratio(a, b) => {
                    let offset = start + behind.len() as u32;
                    behind.extend([u32s(a), u32s(b)].concat());
                    (5, u32s(offset).to_vec())
                }
            };
            block.extend(u16s(kind));
            block.extend(u32s(1));
            block.extend(field);
        }
        block.extend(u32s(0));
        block.extend(behind);
        block
    };
    let with_pointer = |to| [picture, &[(0x8769, Long(to))]].concat();
    let length = directory(&with_pointer(0), 8).len() as u32;
    let head = if big_endian { [&b"MM"[..], &u16s(42)].concat() } else { [&b"II"[..], &u16s(42)].concat() };
    [head, u32s(8).to_vec(), directory(&with_pointer(8 + length), 8), directory(exif, 8 + length)].concat()
}

/// A JPEG of segments alone, the Exif one behind `before` others.
fn jpeg(tiff: &[u8], before: u8) -> Vec<u8> {
    let segment = |marker: u8, payload: &[u8]| {
        let length = (payload.len() as u16 + 2).to_be_bytes();
        [&[0xFF, marker], &length[..], payload].concat()
    };
    let others: Vec<u8> = (0..before).flat_map(|k| segment(0xE2 + k, b"something else")).collect();
    [&[0xFF, 0xD8][..], &others, &segment(0xE1, &[b"Exif\0\0", tiff].concat()), &[0xFF, 0xD9]].concat()
}

fn facts(exif: &[(u16, Value)]) -> ExifFacts {
    let read = |big| ExifFacts::read(&jpeg(&tiff(big, &[(ORIENTATION, Short(6))], exif), 0));
    assert_eq!(read(true), read(false), "the byte order makes no difference");
    read(true)
}

const WHOLE: PhotoSize = PhotoSize { width: 4032, height: 3024 };

fn prior(exif: &[(u16, Value)], size: PhotoSize) -> FocalPrior {
    FocalPrior::of(&facts(exif), size).0
}

#[test]
fn the_usual_tags_are_read_wherever_the_segment_stands() {
    let block = tiff(
        true,
        &[(ORIENTATION, Short(8))],
        &[(FOCAL_35MM, Short(26)), (WIDTH, Short(4032)), (HEIGHT, Long(3024))],
    );
    for before in [0, 3, 10] {
        let read = ExifFacts::read(&jpeg(&block, before));
        assert_eq!((read.orientation, read.focal_35mm, read.pixel_size), (8, Some(26), Some(WHOLE)));
    }
    for (written, upright) in [(0, 1), (9, 1), (65_535, 1), (5, 5)] {
        let read = ExifFacts::read(&jpeg(&tiff(false, &[(ORIENTATION, Short(written))], &[]), 0));
        assert_eq!(read.orientation, upright);
    }
}

#[test]
fn a_focal_length_that_no_lens_has_is_none() {
    for absurd in [0, 1, 5, 5000, 65_535] {
        let exif = [(FOCAL_35MM, Short(absurd))];
        assert_eq!(prior(&exif, WHOLE).from, FocalFrom::Prior, "{absurd} mm");
    }
    for (a, b) in [(0, 0), (1, 0), (0, 1)] {
        assert_eq!(facts(&[(FOCAL_MM, Ratio(a, b))]).focal_mm, None);
    }
    let huge = facts(&[(WIDTH, Long(u32::MAX)), (HEIGHT, Long(1 << 31))]);
    assert_eq!(huge.pixel_size, None);
}

/// By the pinhole: focal length in px is the one in mm times the sensor's px per mm. Exif 2.32: unit 2 is the inch,
/// 3 the centimetre.
#[test]
fn a_camera_that_tells_its_sensor_needs_no_equivalent() {
    let exif = |per, unit| [(FOCAL_MM, Ratio(500, 10)), (PLANE_X, Ratio(per, 10)), (PLANE_UNIT, Short(unit))];
    // 180 px a mm: 22.4 mm wide, as APS-C is.
    for (per, unit) in [(45_720, 2), (18_000, 3)] {
        let known = prior(&exif(per, unit), WHOLE);
        assert_eq!(known.from, FocalFrom::Exif);
        assert!((known.focal_px - 9000.0).abs() < 1.0, "{}", known.focal_px);
        let half = prior(
            &[&exif(per, unit)[..], &[(WIDTH, Long(4032)), (HEIGHT, Long(3024))]].concat(),
            PhotoSize { width: 2016, height: 1512 },
        );
        assert!((half.focal_px - 4500.0).abs() < 1.0, "{}", half.focal_px);
    }
}

/// A phone's main lens is 3.5 to 9 mm long; 50 mm is a camera's, whose field of view is not told.
#[test]
fn a_lens_that_is_no_phones_main_one_is_not_taken_for_it() {
    let phone = prior(&[(FOCAL_MM, Ratio(681, 100))], WHOLE);
    for (mm, equivalents) in [(50, [50.0, 80.0]), (2, [13.0, 24.0])] {
        let other = prior(&[(FOCAL_MM, Ratio(mm, 1))], WHOLE);
        assert_eq!(other.from, FocalFrom::Prior);
        assert!(other.relative_u > 2.0 * phone.relative_u);
        for f35 in equivalents {
            let true_px = f35 / 43.2666 * 5040.0;
            let off = (true_px / other.focal_px).ln() / other.relative_u;
            assert!(off.abs() < 2.0, "{mm} mm, {f35} mm equivalent: {off} standard uncertainties");
        }
    }
}

/// Whether the equivalent has the zoom in it is not told: both readings lie within one standard uncertainty.
#[test]
fn digital_zoom_leaves_both_readings_open() {
    let plain = prior(&[(FOCAL_35MM, Short(26))], WHOLE);
    for none in [Ratio(0, 1), Ratio(0, 0), Ratio(1, 1), Ratio(100, 100)] {
        assert_eq!(prior(&[(FOCAL_35MM, Short(26)), (ZOOM, none)], WHOLE), plain);
    }
    let zoomed = prior(&[(FOCAL_35MM, Short(26)), (ZOOM, Ratio(20, 10))], WHOLE);
    for reading in [1.0, 2.0] {
        let off = (reading * plain.focal_px / zoomed.focal_px).ln() / zoomed.relative_u;
        assert!(off.abs() < 1.01, "{reading}: {off}");
    }
}

/// The sides change places when a program turns the pixels and leaves the tags; a 16:9 cut of a 4:3 picture keeps
/// the angle of each pixel.
#[test]
fn a_turned_picture_is_whole_and_one_cut_to_another_shape_keeps_its_lens() {
    let exif = [(FOCAL_35MM, Short(26)), (WIDTH, Long(4032)), (HEIGHT, Long(3024))];
    let whole = prior(&exif, WHOLE);
    assert_eq!(prior(&exif, PhotoSize { width: 3024, height: 4032 }), whole);
    for cut in [PhotoSize { width: 4032, height: 2268 }, PhotoSize { width: 2268, height: 4032 }] {
        let found = prior(&exif, cut);
        assert!((found.focal_px - whole.focal_px).abs() < 1.0, "{} and {}", found.focal_px, whole.focal_px);
        assert!(found.relative_u < 0.1);
    }
}

#[test]
fn a_block_that_is_cut_loops_or_lies_gives_what_can_be_read_and_never_hangs() {
    let block =
        tiff(true, &[(ORIENTATION, Short(6))], &[(FOCAL_35MM, Short(26)), (FOCAL_MM, Ratio(681, 100))]);
    for length in 0..block.len() {
        let read = ExifFacts::read(&jpeg(&block[..length], 0));
        assert!(read.focal_35mm.is_none_or(|f35| f35 == 26));
    }
    // Its Exif directory is the picture's own; the next directory is itself; more entries than bytes.
    let to_itself = [&block[..30], &8u32.to_be_bytes(), &block[34..]].concat();
    let after_itself =
        [&b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0"[..], &8u32.to_be_bytes()].concat();
    let lying = [&b"MM\0\x2A\0\0\0\x08\xFF\xFF"[..], &block[10..]].concat();
    for odd in [to_itself, after_itself, lying] {
        let read = ExifFacts::read(&jpeg(&odd, 0));
        assert!((1..=8).contains(&read.orientation));
    }
}
