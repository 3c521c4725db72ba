//! A blurred card's corners are known less well, and say so. Places: the truth of the rendered samples, exact by
//! construction (`samples/README.md`).

use shellspan::doubts::Warning;
use shellspan::measure::{Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::refusal::Refusal;
use shellspan::scene::Scene;
use shellspan::units::PhotoPoint;

fn sample(k: usize) -> (Photo, [PhotoPoint; 4], [PhotoPoint; 2]) {
    let name = format!("{}/samples/crab-{k:02}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(format!("{name}.jpg")).expect("a sample");
    let photo = Photo::decode(&bytes, &Limits::default()).expect("a photo");
    let truth = std::fs::read_to_string(format!("{name}.json")).expect("its truth");
    let truth: serde_json::Value = serde_json::from_str(&truth).expect("JSON");
    let point = |value: &serde_json::Value| {
        PhotoPoint::new(value[0].as_f64().expect("a number"), value[1].as_f64().expect("a number"))
    };
    let corners = std::array::from_fn(|i| point(&truth["card"]["corners_px"][i]));
    (photo, corners, [point(&truth["shell"]["left_px"]), point(&truth["shell"]["right_px"])])
}

/// Running means over `reach` px to each side, across and down.
fn blurred(photo: &Photo, reach: usize) -> Photo {
    let size = photo.size();
    let (width, height) = (size.width as usize, size.height as usize);
    let mut pixels: Vec<[u8; 3]> = Vec::with_capacity(width * height);
    for y in 0..height {
        pixels.extend((0..width).map(|x| photo.ycbcr(x as i64, y as i64)));
    }
    let mut pass = |lines: usize, length: usize, line: usize, step: usize| {
        let count = 2 * reach as u32 + 1;
        for first in (0..lines).map(|i| i * line) {
            let values: Vec<[u8; 3]> = (0..length).map(|i| pixels[first + i * step]).collect();
            let at = |i: isize| values[i.clamp(0, length as isize - 1) as usize].map(u32::from);
            let add = |a: [u32; 3], b: [u32; 3]| std::array::from_fn(|c| a[c] + b[c]);
            let reach = reach as isize;
            let mut sum = (-reach..=reach).fold([0; 3], |sum, i| add(sum, at(i)));
            for i in 0..length as isize {
                pixels[first + i as usize * step] = sum.map(|total| (total / count) as u8);
                let left = at(i - reach);
                sum = std::array::from_fn(|c| sum[c] + at(i + reach + 1)[c] - left[c]);
            }
        }
    };
    pass(height, width, width, 1);
    pass(width, height, 1, width);
    Photo::from_ycbcr(pixels.concat(), size, photo.exif.clone()).expect("sizes agree")
}

fn worst_corner_mm(scene: &Scene, truth: &[PhotoPoint; 4]) -> f64 {
    let nearest =
        |corner: &PhotoPoint| truth.iter().map(|true_one| corner.distance_px(*true_one)).fold(1e9, f64::min);
    scene.card.corners.iter().map(nearest).fold(0.0, f64::max) / (scene.px_per_cm() / 10.0)
}

fn corner_u_mm(scene: &Scene) -> f64 {
    let mean_square = scene.card.corner_u_px.iter().map(|u| u * u).sum::<f64>() / 4.0;
    mean_square.sqrt() / (scene.px_per_cm() / 10.0)
}

#[test]
fn the_corners_of_a_blurred_card_are_as_unsure_as_they_are_off() {
    for k in [2, 8] {
        let (photo, corners, points) = sample(k);
        let request = Request { card_corners: Some(corners), points: Some(points), ..Request::default() };
        let sharp = measure(&photo, &request, &mut || 0.0).0.unwrap_or_else(|no| panic!("{:?}", no.refusal));
        assert!(!sharp.warnings.contains(&Warning::Blur), "crab-{k:02}");
        // In one of the two a dark side may hide the card's shadow, and is told as unsure.
        assert!(corner_u_mm(&sharp.scene) < 0.3, "crab-{k:02}: {}", corner_u_mm(&sharp.scene));
        let px_per_mm = sharp.scene.px_per_cm() / 10.0;
        let soft = blurred(&photo, (1.2 * px_per_mm).round() as usize);
        let (scene, told) = match measure(&soft, &request, &mut || 0.0).0 {
            Ok(found) => (found.scene, found.warnings.contains(&Warning::Blur)),
            Err(no) => (no.scene.expect("a card by hand"), no.refusal == Refusal::Blurred),
        };
        assert!(told, "crab-{k:02}: smeared over 2.4 mm");
        let (off, u) = (worst_corner_mm(&scene, &corners), corner_u_mm(&scene));
        assert!(u > 0.25 && off < 3.0 * u, "crab-{k:02}: {off} mm off, u {u} mm");
    }
}
