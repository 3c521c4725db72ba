//! Every way that JPEG codes colours and data gives the same picture; data that are not whole give none.
//!
//! Source of the true colours: what tests/reference/jpeg/make.py drew; libjpeg-turbo coded it.

use std::path::{Path, PathBuf};

use proptest::prelude::*;
use shellspan::photo::{Limits, Photo, PhotoError};
use shellspan::text::measure::photo_error;

/// The colours of the four fields, left to right and top to bottom.
const QUADRANTS: [[f32; 3]; 4] =
    [[200.0, 40.0, 60.0], [30.0, 160.0, 80.0], [50.0, 70.0, 190.0], [180.0, 180.0, 180.0]];

const COLOURED: [&str; 10] =
    ["420", "422", "444", "progressive", "restarts", "three-scans", "rgb", "rgb-by-mark", "cmyk", "ycck"];
const GREY: [&str; 2] = ["grey", "progressive-grey"];

fn path(of: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(of)
}

fn small(name: &str) -> Vec<u8> {
    std::fs::read(path(&format!("tests/reference/jpeg/{name}.jpg"))).expect("a small JPEG")
}

fn sample() -> Vec<u8> {
    std::fs::read(path("samples/crab-02.jpg")).expect("a sample")
}

fn decode(bytes: &[u8]) -> Result<Photo, PhotoError> {
    Photo::decode(bytes, &Limits::default())
}

fn code(bytes: &[u8]) -> &'static str {
    decode(bytes).err().map_or("a photo", |error| photo_error(&error).code)
}

/// The coded R, G, B in the middle of each field.
fn fields(photo: &Photo) -> [[f32; 3]; 4] {
    let (width, height) = (i64::from(photo.size().width), i64::from(photo.size().height));
    std::array::from_fn(|i| {
        let (column, row) = (i as i64 % 2, i as i64 / 2);
        photo.rgb(width * (1 + 2 * column) / 4, height * (1 + 2 * row) / 4)
    })
}

#[test]
fn every_way_to_code_colours_shows_the_same_colours() {
    for name in COLOURED {
        let photo = decode(&small(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        for (seen, drawn) in fields(&photo).iter().zip(&QUADRANTS) {
            let off = (0..3).map(|i| (seen[i] - drawn[i]).abs()).fold(0.0, f32::max);
            assert!(off < 4.0, "{name}: {seen:?} where {drawn:?} was drawn");
        }
    }
    for name in GREY {
        let photo = decode(&small(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        for (seen, drawn) in fields(&photo).iter().zip(&QUADRANTS) {
            // Source of the weights: ITU-R BT.601, as JFIF takes them.
            let luma = 0.299 * drawn[0] + 0.587 * drawn[1] + 0.114 * drawn[2];
            assert!(seen.iter().all(|value| (value - luma).abs() < 2.0), "{name}: {seen:?}, drawn {luma}");
        }
    }
}

/// The place of a segment's marker; the first with that second byte.
fn marker(jpeg: &[u8], wanted: u8) -> usize {
    let mut at = 2;
    while jpeg[at + 1] != wanted {
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
    at
}

/// Source of the markers: ITU-T T.81, table B.1; SOF55 of JPEG-LS: ITU-T T.87.
#[test]
fn what_is_not_decoded_here_is_named_not_called_damaged() {
    let with = |kind: u8, precision: u8| {
        let mut jpeg = small("420");
        let at = marker(&jpeg, 0xC0);
        (jpeg[at + 1], jpeg[at + 4]) = (kind, precision);
        jpeg
    };
    for (kind, precision, name) in [
        (0xC9, 8, "arithmetic"),
        (0xCA, 8, "arithmetic"),
        (0xC3, 8, "lossless"),
        (0xC5, 8, "hierarchical"),
        (0xF7, 8, "JPEG-LS"),
        (0xC1, 12, "8 bits"),
    ] {
        let error = decode(&with(kind, precision)).expect_err(name);
        let notice = photo_error(&error);
        assert_eq!(notice.code, "unsupported-format", "{kind:X}");
        assert!(notice.seen.contains(name), "{}", notice.seen);
    }
    assert_eq!(code(&with(0xC1, 8)), "a photo", "extended sequential, but of 8 bits");
}

/// The end of the data cut off or blotted out, whatever was put in its place.
#[test]
fn a_photo_whose_lower_part_is_missing_is_damaged_however_its_end_looks() {
    let mut files = vec![("a sample", sample())];
    files.extend(COLOURED.iter().chain(&GREY).map(|name| (*name, small(name))));
    for (name, whole) in files {
        assert_eq!(code(&whole), "a photo", "{name}");
        let data = marker(&whole, 0xDA) + 14;
        for share in [0.1, 0.5, 0.9] {
            let kept = data + ((whole.len() - 2 - data) as f64 * share) as usize;
            let lost = whole.len() - 2 - kept;
            let end = [0xFF, 0xD9];
            let ends: [(&str, Vec<u8>); 4] = [
                ("nothing", Vec::new()),
                ("an end mark", end.to_vec()),
                ("zeros and an end mark", [&vec![0; lost][..], &end].concat()),
                ("zeros, an end mark and more", [&vec![0; lost][..], &end, &[7; 5000]].concat()),
            ];
            for (with, end) in ends {
                let file = [&whole[..kept], &end].concat();
                assert_eq!(code(&file), "damaged", "{name}, {share} kept, then {with}");
            }
        }
    }
}

#[test]
fn a_hole_or_a_stray_mark_within_the_data_is_damage() {
    let whole = sample();
    let middle = whole.len() / 2;
    let with = |bytes: &[u8]| [&whole[..middle], bytes, &whole[middle + bytes.len()..]].concat();
    let shorter = [&whole[..middle], &whole[middle + 4096..]].concat();
    for (name, file) in [
        ("a block of zeros", with(&[0; 4096])),
        ("a block of another place", with(&whole[middle - 65_536..middle - 61_440])),
        ("a block less", shorter),
        ("an end mark", with(&[0xFF, 0xD9])),
        ("a restart mark", with(&[0xFF, 0xD3])),
        ("a scan header", with(&[0xFF, 0xDA])),
    ] {
        assert_eq!(code(&file), "damaged", "{name}");
    }
    // In a file with restart marks the harm would stay within one of them, and be seen by nobody.
    let marked = small("restarts");
    let first = marked.windows(2).position(|two| two == [0xFF, 0xD2]).expect("a restart mark");
    let without = [&marked[..first - 4], &marked[first..]].concat();
    assert_eq!(code(&without), "damaged");
}

/// Some encoders fill the data up to a word; more than that are data that belong to no block.
#[test]
fn a_few_bytes_of_filling_are_no_damage_and_more_are() {
    let whole = small("420");
    let filled = |filling: &[u8]| [&whole[..whole.len() - 2], filling, &[0xFF, 0xD9]].concat();
    for filling in [&[0x5A; 2][..], &[0; 12], &[0xFF; 40]] {
        assert_eq!(code(&filled(filling)), "a photo", "{filling:?}");
    }
    for more in [&[0x5A; 12][..], &[0; 60]] {
        assert_eq!(code(&filled(more)), "damaged", "{more:?}");
    }
}

/// ITU-T T.81, B.2.2: height and width follow the precision.
#[test]
fn a_header_of_another_size_than_the_data_is_damage() {
    for (width, height) in [(176, 160), (176, 184), (160, 168), (352, 168), (176, 8000)] {
        let mut jpeg = small("420");
        let at = marker(&jpeg, 0xC0);
        jpeg[at + 5..at + 7].copy_from_slice(&u16::to_be_bytes(height));
        jpeg[at + 7..at + 9].copy_from_slice(&u16::to_be_bytes(width));
        assert_eq!(code(&jpeg), "damaged", "{width} x {height}");
    }
}

/// What phones hang behind the picture, or put before it, does not harm.
#[test]
fn more_before_or_behind_the_picture_is_passed_over() {
    let whole = small("420");
    let again = small("422");
    let application = |marker: u8, text: &[u8]| {
        let length = u16::try_from(text.len() + 2).expect("short").to_be_bytes();
        [&[0xFF, marker], &length[..], text].concat()
    };
    let before = |segment: Vec<u8>| [&whole[..2], &segment, &whole[2..]].concat();
    for (name, file) in [
        ("a second picture", [&whole[..], &again].concat()),
        ("a film", [&whole[..], b"\0\0\0\x18ftypmp42", &[9; 3000]].concat()),
        ("zeros", [&whole[..], &[0; 3000]].concat()),
        ("no end mark", whole[..whole.len() - 2].to_vec()),
        ("a comment that looks like a picture", before(application(0xFE, &again[..600]))),
        ("twenty large segments", before(application(0xEF, &[0xFF; 65_000]).repeat(20))),
        ("fill bytes", before(vec![0xFF; 5])),
        ("a mark of Adobe that is cut short", before(application(0xEE, b"Adobe"))),
        ("Adobe's mark beside JFIF's", before(application(0xEE, b"Adobe\0\x64\0\0\0\0\0"))),
    ] {
        let photo = decode(&file).unwrap_or_else(|error| panic!("{name}: {error}"));
        let seen = fields(&photo);
        let off = seen.iter().flatten().zip(QUADRANTS.iter().flatten());
        assert!(off.map(|(seen, drawn)| (seen - drawn).abs()).fold(0.0, f32::max) < 4.0, "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_changed_byte_never_panics(
        name in prop::sample::select([&COLOURED[..], &GREY].concat()),
        at in any::<prop::sample::Index>(),
        byte in any::<u8>(),
    ) {
        let mut file = small(name);
        let at = at.index(file.len());
        file[at] = byte;
        if let Err(error) = decode(&file) {
            prop_assert!(photo_error(&error).next_step.len() > 10);
        }
    }
}
