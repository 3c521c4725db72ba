//! A highlight painted where something has to be read is told; the samples as they are have none. Places: the
//! truth of the rendered samples, exact by construction (`samples/README.md`).

use serde::Deserialize;
use shellspan::doubts::Warning;
use shellspan::doubts::warnings_of;
use shellspan::measure::{Measurement, Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::units::PhotoPoint;

#[derive(Deserialize)]
struct Truth {
    card: Card,
    shell: Shell,
}

#[derive(Deserialize)]
struct Card {
    corners_px: [[f64; 2]; 4],
}

#[derive(Deserialize)]
struct Shell {
    left_px: [f64; 2],
    right_px: [f64; 2],
}

fn sample(k: usize) -> (Photo, Truth, Measurement) {
    let name = format!("{}/samples/crab-{k:02}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(format!("{name}.jpg")).expect("a sample");
    let photo = Photo::decode(&bytes, &Limits::default()).expect("a photo");
    let truth = std::fs::read_to_string(format!("{name}.json")).expect("its truth");
    let truth: Truth = serde_json::from_str(&truth).expect("its form");
    let corners = truth.card.corners_px.map(|[x, y]| PhotoPoint::new(x, y));
    let points = [truth.shell.left_px, truth.shell.right_px].map(|[x, y]| PhotoPoint::new(x, y));
    let request = Request { card_corners: Some(corners), points: Some(points), ..Request::default() };
    let (found, _) = measure(&photo, &request, &mut || 0.0);
    (photo, truth, found.unwrap_or_else(|refused| panic!("crab-{k:02}: {:?}", refused.refusal)))
}

/// The photo with white where `white` says.
fn painted(photo: &Photo, white: impl Fn(f64, f64) -> bool) -> Photo {
    let size = photo.size();
    let mut pixels = Vec::with_capacity(3 * size.width as usize * size.height as usize);
    for y in 0..i64::from(size.height) {
        for x in 0..i64::from(size.width) {
            pixels.extend(if white(x as f64, y as f64) { [255, 128, 128] } else { photo.ycbcr(x, y) });
        }
    }
    Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree")
}

fn has_glare(photo: &Photo, measured: &Measurement) -> bool {
    warnings_of(photo, &measured.scene, &measured.points, &measured.width).contains(&Warning::Glare)
}

#[test]
fn no_sample_has_glare_as_it_is() {
    for k in 0..=9 {
        let (_, _, measured) = sample(k);
        assert!(!measured.warnings.contains(&Warning::Glare), "crab-{k:02}");
    }
}

#[test]
fn a_highlight_on_a_point_is_told() {
    let (photo, truth, measured) = sample(8);
    let [px, py] = truth.shell.left_px;
    let mm = measured.scene.px_per_cm() / 10.0;
    let disc = |middle: f64, radius_mm: f64| {
        painted(&photo, move |x, y| (x - px - middle).hypot(y - py) < radius_mm * mm)
    };
    assert!(has_glare(&disc(0.0, 4.0), &measured), "a highlight over the point");
    assert!(!has_glare(&disc(12.0 * mm, 8.0), &measured), "one beside it");
    // A bright deck up to the point is no glare: the shell's edge is seen against it.
    let half = painted(&photo, |x, y| x < px && (x - px).hypot(y - py) < 9.0 * mm);
    assert!(!has_glare(&half, &measured), "white up to the point");
}

#[test]
fn a_highlight_across_an_edge_of_the_card_is_told() {
    let (photo, truth, measured) = sample(8);
    let [a, b] = [truth.card.corners_px[0], truth.card.corners_px[1]];
    let mm = measured.scene.px_per_cm() / 10.0;
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx.hypot(dy);
    let band = |share: f64, from_mm: f64, to_mm: f64| {
        painted(&photo, move |x, y| {
            let along = ((x - a[0]) * dx + (y - a[1]) * dy) / (length * length);
            let beside = ((x - a[0]) * dy - (y - a[1]) * dx) / length;
            (along - 0.5).abs() < share / 2.0 && (from_mm * mm..to_mm * mm).contains(&beside)
        })
    };
    assert!(has_glare(&band(0.5, -3.0, 3.0), &measured), "over half of the edge");
    assert!(!has_glare(&band(0.1, -3.0, 3.0), &measured), "over a tenth of it");
    assert!(!has_glare(&band(1.0, 0.2, 9.0), &measured), "on one side only: a white deck or a white card");
}
