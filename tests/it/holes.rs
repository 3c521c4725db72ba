//! Photos with holes: stretches that were blotted out or swapped, as by a card that fails or a copy that broke off.
//!
//! Source of the files: tests/reference/holes/make.py (libjpeg-turbo, libwebp). Where the holes lie is drawn by
//! SplitMix64 (Steele, Lea and Flood 2014).

use shellspan::photo::{Limits, Photo};
use shellspan::text::measure::photo_error;

/// Lengths of the holes in bytes; of each, so many.
const LENGTHS: [usize; 4] = [100, 300, 700, 2000];
const OF_EACH: usize = 24;

fn file(name: &str) -> Vec<u8> {
    std::fs::read(super::command::path(&format!("tests/reference/holes/{name}"))).expect("a photo")
}

fn code(file: &[u8]) -> &'static str {
    Photo::decode(file, &Limits::default()).err().map_or("a photo", |error| photo_error(&error).code)
}

/// How many of 96 photos with a hole are called damaged.
fn damaged(whole: &[u8]) -> usize {
    let mut state = 18u64;
    let mut below = |most: usize| {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % most as u64) as usize
    };
    let mut found = 0;
    for length in LENGTHS {
        for which in 0..OF_EACH {
            let first = whole.len() / 20;
            let (at, other) =
                (first + below(whole.len() - first - length), first + below(whole.len() - first - length));
            let mut holed = whole.to_vec();
            if which % 2 == 0 {
                holed[at..at + length].fill(0);
            } else {
                holed[at..at + length].copy_from_slice(&whole[other..other + length]);
                holed[other..other + length].copy_from_slice(&whole[at..at + length]);
            }
            found += usize::from(code(&holed) == "damaged");
        }
    }
    found
}

#[test]
fn a_progressive_jpeg_with_a_hole_is_damaged() {
    let whole = file("progressive.jpg");
    assert_eq!(code(&whole), "a photo");
    let found = damaged(&whole);
    assert!(found >= 88, "{found} of 96");
}

#[test]
fn a_lossy_webp_with_a_hole_is_damaged() {
    for name in ["one-part.webp", "four-parts.webp"] {
        let whole = file(name);
        assert_eq!(code(&whole), "a photo", "{name}");
        let found = damaged(&whole);
        assert!(found >= 88, "{name}: {found} of 96");
    }
}
