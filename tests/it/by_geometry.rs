//! What follows from the geometry of a drawn photo (`drawn.rs`), from the photo to the width: which way the height moves
//! it, both poses of a card seen nearly straight on, corners in either order, and what makes it less sure.

use shellspan::camera::FocalPrior;
use shellspan::doubts::Warning;
use shellspan::measure::{Measurement, Request, find_scene};
use shellspan::photo::ExifFacts;
use shellspan::terms::Placement;
use shellspan::units::PhotoPoint;

use crate::drawn::{Drawn, SIZE, measured, seen_from};

#[track_caller]
fn width_of(drawn: &Drawn, request: &Request) -> Measurement {
    measured(&drawn.photo(), request).unwrap_or_else(|refused| panic!("{:?}", refused.refusal))
}

/// A crab of 140 mm beside or under the card: the points where the documentation says that they stand (a share of the
/// width, `src/width/height.rs`: 0.21 above a card on the deck, level, 0.14 below one on the back).
#[test]
fn the_width_is_right_wherever_the_card_lies() {
    let drawn = seen_from(480.0, 25.0);
    for (placement, height_mm) in
        [(Placement::Deck, 0.21 * 140.0), (Placement::Level, 0.0), (Placement::Back, -0.14 * 140.0)]
    {
        let points = [[-70.0, 75.0, height_mm], [70.0, 75.0, height_mm]];
        let found = width_of(&drawn, &Request { placement, ..drawn.request(points) });
        let off_mm = found.width.width_mm - 140.0;
        assert!(off_mm.abs() < 1.0, "{placement:?}: {off_mm}");
        assert!((found.width.height_mm - height_mm).abs() < 0.5, "{placement:?}: {}", found.width.height_mm);
    }
}

#[test]
fn corners_placed_either_way_round_are_the_same_card() {
    let drawn = seen_from(400.0, 25.0);
    let truth = drawn.corners();
    let [a, b, c, d] = truth.map(|corner| PhotoPoint::new(corner.x + 3.0, corner.y - 2.0));
    // Points above the deck: a card taken from behind would have them below it.
    let height_mm = 0.21 * 120.0;
    let points = [[-60.0, 60.0, height_mm], [60.0, 60.0, height_mm]];
    for corners in [[a, b, c, d], [d, c, b, a], [c, b, a, d], [b, c, d, a]] {
        let found = width_of(&drawn, &Request { card_corners: Some(corners), ..drawn.request(points) });
        assert!((found.width.width_mm - 120.0).abs() < 1.0, "{corners:?}: {}", found.width.width_mm);
        for corner in found.scene.card.corners {
            let off = truth.iter().map(|other| other.distance_px(corner)).fold(f64::MAX, f64::min);
            assert!(off < 0.7, "{corners:?}: {off} px");
        }
    }
}

/// Seen nearly straight on, a card leaning the other way looks the same to a part of a px. Source: Collins and Bartoli,
/// Infinitesimal plane-based pose estimation, IJCV 109 (2014).
#[test]
fn both_poses_of_a_card_seen_nearly_straight_on_stay_open_and_count() {
    let points = [[-60.0, 60.0, 0.0], [60.0, 60.0, 0.0]];
    // With edges in sight, and without them: then the corners stand as a thumb placed them.
    let (mut open, mut open_though_worse) = (0, 0);
    let views = [(800.0, 9.0), (800.0, 10.0), (800.0, 11.0), (700.0, 15.0), (700.0, 20.0), (800.0, 20.0)];
    for (k, (distance_mm, tilt_deg)) in views.into_iter().enumerate() {
        let mut drawn = seen_from(distance_mm, tilt_deg);
        if k >= 3 {
            drawn.card = drawn.deck;
        }
        // Twins may leave no use for a width: the scene is told with the refusal.
        let request = Request { placement: Placement::Level, ..drawn.request(points) };
        let (scene, warnings) = match measured(&drawn.photo(), &request) {
            Ok(found) => (found.scene, found.warnings),
            Err(refused) => (refused.scene.expect("a card"), refused.warnings),
        };
        assert_eq!(warnings.contains(&Warning::FlipOpen), scene.poses.len() == 2);
        let [first, second] = scene.poses.as_slice() else { continue };
        // README: both are kept until the photo tells them apart, so neither with a share of next to nothing.
        assert!(first.weight.min(second.weight) >= 0.04, "{} {}", first.weight, second.weight);
        open += 1;
        open_though_worse += usize::from(second.rms_px > 3.0 * first.rms_px);
    }
    assert!(open >= 2 && open_though_worse >= 1, "{open} open, {open_though_worse} with a worse twin");
    let plain = seen_from(400.0, 30.0);
    let found = width_of(&plain, &Request { placement: Placement::Level, ..plain.request(points) });
    assert_eq!(found.scene.poses.len(), 1, "at 30 degrees from near by they are told apart");
}

/// Birge: what fits its own uncertainty badly is less sure. A card without edges in sight stands as a thumb placed it.
#[test]
fn corners_that_make_no_rigid_card_are_less_sure() {
    let mut drawn = seen_from(400.0, 25.0);
    drawn.card = drawn.deck;
    let points = [[-60.0, 60.0, 0.0], [60.0, 60.0, 0.0]];
    let placed = |by_px: f64| {
        let mut request = Request { placement: Placement::Level, ..drawn.request(points) };
        let mut corners = drawn.corners();
        corners[0].x += by_px;
        corners[2].x += by_px;
        request.card_corners = Some(corners);
        let (scene, _) = find_scene(&drawn.photo(), &request).unwrap_or_else(|no| panic!("{:?}", no.refusal));
        scene.card.corner_u_px[1]
    };
    let (rigid, bent) = (placed(0.0), placed(12.0));
    assert!(bent > 1.4 * rigid, "{bent} px, {rigid} px");
}

/// A point placed by hand is known to 1.5 px and 0.35 mm (common practice), each way, at each end of the line.
#[test]
fn points_placed_by_hand_are_as_unsure_as_a_hand() {
    let drawn = seen_from(400.0, 0.0);
    let points = [[-60.0, 60.0, 0.0], [60.0, 60.0, 0.0]];
    let found = width_of(&drawn, &Request { placement: Placement::Level, ..drawn.request(points) });
    let px_mm = 400.0 / crate::drawn::FOCAL_PX;
    let wanted_mm = (2.0 * (0.35f64.powi(2) + (1.5 * px_mm).powi(2))).sqrt();
    assert!(found.width.budget_mm.points > 0.95 * wanted_mm, "{} mm", found.width.budget_mm.points);
}

/// Some makers count the equivalent by the frame's width: on a 4:3 picture that is 43.27 / 36 x 4 / 5, 3.9 % less than by
/// the diagonal (CIPA DCG-001). Two standard uncertainties reach that far, and the width's budget feels it.
#[test]
fn the_focal_length_of_a_file_is_no_surer_than_its_two_readings() {
    let exif = ExifFacts { focal_35mm: Some(26), pixel_size: Some(SIZE), ..ExifFacts::default() };
    let (prior, _) = FocalPrior::of(&exif, SIZE);
    let by_width: f64 = 36.0 / 43.2666 * (5.0 / 4.0);
    assert!(2.0 * prior.relative_u > by_width.ln(), "{} against {}", prior.relative_u, by_width.ln());
}
