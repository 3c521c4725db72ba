//! Cards that are not the one that is looked for, or not alone: playing cards, two cards of which both together have the
//! shape of one. And the card itself, close by. Drawn by the pinhole model (`drawn.rs`).

use shellspan::camera::CameraPrior;
use shellspan::card::{CardHint, Find, NoFind, find};
use shellspan::photo::ExifFacts;
use shellspan::refusal::Refusal;
use shellspan::units::PhotoSize;

use crate::drawn::{CARD, Drawn, Rgb, seen_from};

const PRINT: Rgb = [90.0, 60.0, 50.0];
/// Distances in mm and tilts in degrees at which the shape tells.
const VIEWS: [(f64, f64); 4] = [(300.0, 2.0), (300.0, 8.0), (300.0, 15.0), (400.0, 15.0)];

fn plate(x: f64, y: f64, [width, height]: [f64; 2], radius: f64) -> bool {
    let (dx, dy) = (x.abs() - (width / 2.0 - radius), y.abs() - (height / 2.0 - radius));
    dx.max(0.0).hypot(dy.max(0.0)) <= radius && dx.max(dy) <= radius
}

fn printed(x: f64, y: f64) -> Rgb {
    if (x + 20.0).hypot(y - 5.0) < 9.0 || (x - 10.0).abs() < 14.0 && (y + 12.0).abs() < 2.0 {
        PRINT
    } else {
        CARD
    }
}

/// What is found where the file tells nothing of the lens.
fn without_exif(mut drawn: Drawn) -> Result<Find, NoFind> {
    drawn.exif = ExifFacts::default();
    let photo = drawn.photo();
    let (prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
    find(&photo, &prior, &CardHint::default())
}

fn known(drawn: &Drawn) -> CameraPrior {
    CameraPrior { intrinsics: drawn.intrinsics(), focal_relative_u: 0.02, principal_u_px: 4.0 }
}

/// 2.25 x 3.5 inches, and 63 x 88 mm (common practice).
#[test]
fn a_playing_card_that_hardly_leans_is_not_taken_for_a_bank_card() {
    let narrow: fn(f64, f64) -> Option<Rgb> = |x, y| plate(x, y, [88.9, 57.15], 3.5).then(|| printed(x, y));
    let broad: fn(f64, f64) -> Option<Rgb> = |x, y| plate(x, y, [88.0, 63.0], 3.0).then(|| printed(x, y));
    // A broad one from farther off has a side drawn in to a bank card's shape, and is not told.
    for (cover, views) in [(narrow, &VIEWS[..]), (broad, &VIEWS[..3])] {
        for &(distance_mm, tilt_deg) in views {
            let mut drawn = seen_from(distance_mm, tilt_deg);
            drawn.cards_mm.clear();
            drawn.cover = cover;
            let found = without_exif(drawn);
            let refusal = found.as_ref().err().map(|nothing| nothing.refusal);
            assert_eq!(refusal, Some(Refusal::NoCard), "{distance_mm} mm, {tilt_deg} degrees");
        }
    }
}

#[test]
fn a_bank_card_is_taken_where_a_playing_card_is_not() {
    for (distance_mm, tilt_deg) in VIEWS.into_iter().chain([(350.0, 30.0)]) {
        let mut drawn = seen_from(distance_mm, tilt_deg);
        drawn.cover = |x, y| plate(x, y, [80.0, 48.0], 1.0).then(|| printed(x, y));
        assert!(without_exif(drawn).is_ok(), "{distance_mm} mm, {tilt_deg} degrees");
    }
}

/// Upright beside each other, 27.8 mm apart: 85.60 mm high and 2 x 53.98 + 27.8 mm broad, the ratio of one card.
#[test]
fn two_cards_that_have_the_shape_of_one_together_are_not_taken_for_one() {
    for (distance_mm, tilt_deg) in [(400.0, 15.0), (450.0, 5.0), (500.0, 25.0)] {
        let mut drawn = seen_from(distance_mm, tilt_deg);
        drawn.cards_mm.clear();
        drawn.cover = |x, y| {
            let off = (53.98 + 27.8) / 2.0;
            [-off, off].into_iter().find(|cx| plate(x - cx, y, [53.98, 85.60], 3.18)).map(|_| CARD)
        };
        let nothing = find(&drawn.photo(), &known(&drawn), &CardHint::default()).expect_err("which one?");
        assert_eq!((nothing.refusal, nothing.candidates.len()), (Refusal::TwoCards, 2), "{distance_mm} mm");
    }
}

/// Phones focus from some 100 mm on (common practice): the card all but fills the picture.
#[test]
fn a_card_that_all_but_fills_the_picture_is_found() {
    let mut drawn = seen_from(110.0, 8.0);
    drawn.size = PhotoSize { width: 1200, height: 950 };
    let found = find(&drawn.photo(), &known(&drawn), &CardHint::default()).unwrap_or_else(|nothing| {
        panic!("{:?}", nothing.refusal);
    });
    for (corner, truth) in found.card.corners.iter().map(|corner| {
        let nearest = |a: &f64, b: &f64| a.total_cmp(b);
        let off = drawn.corners().map(|truth| truth.distance_px(*corner)).into_iter().min_by(nearest);
        (corner, off.unwrap_or(f64::MAX))
    }) {
        assert!(truth < 2.0, "{corner:?} is {truth} px off");
    }
    assert!(found.judged.score > 0.7, "{}", found.judged.score);
}
