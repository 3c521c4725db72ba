//! A tap on the card and four rough corners: the help that is always enough. Truth: the corners of the
//! rendered samples, exact by construction (`samples/README.md`).

use serde::Deserialize;
use shellspan::camera::CameraPrior;
use shellspan::card::{CardHint, find};
use shellspan::photo::{Limits, Photo};
use shellspan::units::PhotoPoint;

#[derive(Deserialize)]
struct Truth {
    card: Card,
}

#[derive(Deserialize)]
struct Card {
    corners_px: [[f64; 2]; 4],
}

fn samples() -> Vec<(String, Photo, [PhotoPoint; 4])> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/samples");
    (0..=9)
        .map(|k| {
            let name = format!("{folder}/crab-{k:02}");
            let bytes = std::fs::read(format!("{name}.jpg")).expect("a sample");
            let photo = Photo::decode(&bytes, &Limits::default()).expect("a photo");
            let truth = std::fs::read_to_string(format!("{name}.json")).expect("its truth");
            let truth: Truth = serde_json::from_str(&truth).expect("its form");
            (name, photo, truth.card.corners_px.map(|[x, y]| PhotoPoint::new(x, y)))
        })
        .collect()
}

fn worst_px(found: &[PhotoPoint; 4], truth: &[PhotoPoint; 4]) -> f64 {
    let nearest =
        |corner: &PhotoPoint| truth.iter().map(|other| corner.distance_px(*other)).fold(f64::MAX, f64::min);
    found.iter().map(nearest).fold(0.0, f64::max)
}

/// Each corner as a thumb places it: 2 % of the long side off, each in another direction.
fn rough(corners: &[PhotoPoint; 4], turn: f64) -> [PhotoPoint; 4] {
    let off = 0.02 * corners[0].distance_px(corners[1]);
    std::array::from_fn(|i| {
        let (sin, cos) = (turn + 2.3 * i as f64).sin_cos();
        PhotoPoint::new(corners[i].x + off * cos, corners[i].y + off * sin)
    })
}

#[test]
fn four_rough_corners_are_enough_on_every_sample() {
    for (name, photo, truth) in samples() {
        let (prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
        for turn in [0.0, 1.0, 2.0] {
            let hint = CardHint { near: None, corners: Some(rough(&truth, turn)) };
            let found = find(&photo, &prior, &hint).unwrap_or_else(|no| panic!("{name}: {:?}", no.refusal));
            let long = truth[0].distance_px(truth[1]);
            let worst = worst_px(&found.card.corners, &truth);
            let u = found.card.corner_u_px.iter().fold(0.0f64, |a, b| a.max(*b));
            // As good as the finder's own, or no worse than it was placed and as unsure as that.
            assert!(
                worst < 0.012 * long || (worst < 0.03 * long && u > 0.009 * long),
                "{name}: {worst} of {long}"
            );
        }
    }
}

#[test]
fn a_tap_on_the_card_finds_it_on_every_sample() {
    for (name, photo, truth) in samples() {
        let (prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
        let middle = PhotoPoint::new(
            truth.iter().map(|p| p.x).sum::<f64>() / 4.0,
            truth.iter().map(|p| p.y).sum::<f64>() / 4.0,
        );
        let hint = CardHint { near: Some(middle), corners: None };
        let found = find(&photo, &prior, &hint).unwrap_or_else(|no| panic!("{name}: {:?}", no.refusal));
        let worst = worst_px(&found.card.corners, &truth);
        assert!(worst < 0.012 * truth[0].distance_px(truth[1]), "{name}: {worst}");
    }
}

#[test]
fn corners_that_no_camera_sees_as_a_card_are_refused() {
    let (_, photo, truth) = samples().swap_remove(0);
    let (prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
    let middle = truth[0].x.midpoint(truth[2].x);
    // A narrow strip.
    let strip = truth.map(|p| PhotoPoint::new(middle + 0.2 * (p.x - middle), p.y));
    assert!(find(&photo, &prior, &CardHint { near: None, corners: Some(strip) }).is_err());
}
