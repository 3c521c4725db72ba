//! What becomes of each photo of several, and of each photo's doubts.

use nalgebra::Vector3;
use shellspan::camera::ippe::two_poses;
use shellspan::camera::refine::refine;
use shellspan::card::ID1_MM;
use shellspan::scene::ScenePose;
use shellspan::terms::{MarkedPoint, Placement};
use shellspan::units::PhotoPoint;
use shellspan::width::{Apart, HeightPrior, Joined, join, on_height_plane, to_photo};

use crate::joint::{EAST, Made, NORTH, SOUTH, made, prior, shell, true_width, views};

fn deck() -> HeightPrior {
    HeightPrior::of(Placement::Deck, None)
}

fn joined(photos: &[Made]) -> Joined {
    join(&views(photos), &deck()).expect("a width")
}

fn moved_by(point: MarkedPoint, right_px: f64, down_px: f64) -> MarkedPoint {
    MarkedPoint { point: PhotoPoint::new(point.point.x + right_px, point.point.y + down_px), ..point }
}

/// The photo with both of its card's poses, the wrong one first and believed by `weight`.
pub(crate) fn with_twin(eye: Vector3<f64>, weight: f64) -> Made {
    let mut photo = made(eye, shell(34.0));
    let corners = photo.scene.card.corners;
    let right = photo.scene.poses[0];
    let both = two_poses(&corners, ID1_MM, &prior().intrinsics).expect("two poses");
    let twin = refine(&both[1].0, &corners, &[0.4; 4], ID1_MM, &prior()).expect("a fit");
    let twin = ScenePose { intrinsics: twin.intrinsics, pose: twin.pose, weight, rms_px: twin.rms_px };
    photo.scene.poses = vec![twin, ScenePose { weight: 1.0 - weight, ..right }];
    photo
}

#[test]
fn the_wrong_twin_of_a_pose_loses_by_the_rays_and_not_by_belief() {
    let photos = [with_twin(SOUTH, 0.6), with_twin(NORTH, 0.6)];
    let joined = joined(&photos);
    assert_eq!(joined.apart, None);
    let off = joined.width.width_mm - true_width();
    assert!(off.abs() < 0.35, "{off} mm off");
}

/// Source: the moments of a mixture, written out.
#[test]
fn one_photo_with_a_twin_has_two_humps_that_count_by_belief() {
    // Blurred corners tell the twins apart by little; a tenth is still believed.
    let widths = (2..12).map(|k| {
        let mut photo = with_twin(Vector3::new(10.0, 60.0 - 25.0 * f64::from(k), 600.0), 0.1);
        photo.scene.card.corner_u_px = [2.0; 4];
        joined(&[photo]).width
    });
    let width = widths.into_iter().find(|width| width.humps.len() == 2).expect("an open twin");
    let [a, b] = width.humps.as_slice() else { panic!("{:?}", width.humps) };
    let (likely, other) = if a.weight > b.weight { (a, b) } else { (b, a) };
    assert!(other.weight < 0.2 && other.weight > 0.004, "{:?}", width.humps);
    for hump in [likely, other] {
        assert!(width.interval_mm[0] <= hump.mean_mm - 1.95 * hump.u_mm, "{:?}", width.humps);
        assert!(width.interval_mm[1] >= hump.mean_mm + 1.95 * hump.u_mm, "{:?}", width.humps);
    }
    let mean = likely.weight * likely.mean_mm + other.weight * other.mean_mm;
    let square =
        |hump: &shellspan::width::Hump| hump.weight * (hump.u_mm.powi(2) + (hump.mean_mm - mean).powi(2));
    assert!((width.width_mm - mean).abs() < 1e-9);
    assert!((width.u_mm - (square(likely) + square(other)).sqrt()).abs() < 1e-9);
}

#[test]
fn each_point_and_each_corner_counts_as_much_as_it_is_sure() {
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let sure = photos[1].points[0];
    photos[1].points[0] =
        MarkedPoint { spot_u_mm: 0.0, ..moved_by(MarkedPoint::round(sure.point, 14.0), 14.0, 0.0) };
    let by_points = joined(&photos);
    assert_eq!(by_points.apart, None, "the point that is off is told as unsure as that");
    assert!((by_points.width.width_mm - true_width()).abs() < 0.6, "{}", by_points.width.width_mm);
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let card = &mut photos[1].scene.card;
    card.corners[2].x += 8.0;
    card.corner_u_px[2] = 8.0;
    let by_corners = joined(&photos);
    assert_eq!(by_corners.apart, None, "the corner that is off is told as unsure as that");
    assert!((by_corners.width.width_mm - true_width()).abs() < 0.6, "{}", by_corners.width.width_mm);
}

#[test]
fn rays_that_miss_by_more_than_told_make_the_width_less_sure() {
    let exact = joined(&[made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))]);
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    // To the side of the line between the cameras, as the photos show it.
    for point in &mut photos[1].points {
        *point = moved_by(*point, 5.5, 0.0);
    }
    let off = joined(&photos);
    assert_eq!(off.apart, None);
    assert!(off.width.u_mm > 1.15 * exact.width.u_mm, "{} and {}", off.width.u_mm, exact.width.u_mm);
}

/// Cameras that are known leave all of it to the points: half of the gap between both rays of a point, worked out here.
#[test]
fn the_rays_of_two_photos_miss_a_point_by_half_their_gap() {
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    for photo in &mut photos {
        photo.scene.card.corner_u_px = [0.03; 4];
        photo.scene.focal_relative_u = 1e-5;
        photo.scene.principal_u_px = 0.03;
    }
    for point in &mut photos[1].points {
        *point = moved_by(*point, 3.0, 0.0);
    }
    let told = joined(&photos).width.ray_miss_mm.expect("of two photos");
    let gap = |k: usize| {
        let rays = photos.iter().map(|photo| {
            let pose = &photo.scene.poses[0];
            let [near, far] = [60.0, 0.0].map(|height_mm| {
                on_height_plane(&pose.intrinsics, &pose.pose, photo.points[k].point, height_mm).expect("met")
            });
            (near, (far - near).normalize())
        });
        let [(a, along_a), (b, along_b)] = rays.collect::<Vec<_>>().try_into().expect("two rays");
        (b - a).dot(&along_a.cross(&along_b).normalize()).abs()
    };
    let expected = ((gap(0).powi(2) + gap(1).powi(2)) / 8.0).sqrt();
    assert!((told / expected - 1.0).abs() < 0.1, "{told}, not {expected}");
}

/// One photo knows no more of the height than what is expected of it: 0.035 of the width, and the card's thickness.
#[test]
fn the_height_of_one_photo_is_as_unsure_as_expected() {
    let width = joined(&[made(SOUTH, shell(34.0))]).width;
    // The higher the edge, the smaller the crab, and the less is expected.
    let smaller = 0.21 * width.width_mm / (SOUTH.z - 34.0);
    let expected = (0.035 * width.width_mm).hypot(0.76) / (1.0 + smaller);
    assert!((width.height_u_mm / expected - 1.0).abs() < 0.05, "{}, not {expected}", width.height_u_mm);
}

/// The rays of a crab that was carried 45 mm along the line between the cameras meet exactly, where no crab's edge can be.
#[test]
fn rays_that_meet_far_above_any_crab_are_of_one_that_moved() {
    let shift = (SOUTH - NORTH).normalize() * 45.0;
    for photos in [
        [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0).map(|place| place + shift))],
        [made(NORTH, shell(34.0).map(|place| place + shift)), made(SOUTH, shell(34.0))],
    ] {
        let joined = joined(&photos);
        assert_eq!(joined.apart, Some(Apart::Moved), "{} mm high", joined.width.height_mm);
        let total: f64 = joined.width.humps.iter().map(|hump| hump.weight).sum();
        assert!((total - 1.0).abs() < 1e-9, "{total}");
    }
}

#[test]
fn a_photo_s_own_points_are_held_against_where_all_photos_put_them() {
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0)), made(EAST, shell(34.0))];
    photos[1].points.swap(0, 1);
    let joined = joined(&photos);
    let swapped: Vec<bool> = joined.shares.iter().map(|share| share.is_swapped).collect();
    assert_eq!(swapped, [false, true, false]);
    for share in &joined.shares {
        assert!(share.residual_px.is_some_and(|px| px < 1.0), "{share:?}");
    }
}

/// From nearly the same side nothing is joined; widths that contradict each other are told all the same.
#[test]
fn photos_of_two_crabs_from_one_side_contradict_each_other() {
    let short = shell(34.0).map(|place| nalgebra::Vector3::new(0.6 * place.x, place.y, place.z));
    let photos = [made(SOUTH, shell(34.0)), made(SOUTH * 1.4, short)];
    let joined = joined(&photos);
    assert_eq!(joined.apart, Some(Apart::Moved));
    assert!(joined.width.u_mm > 20.0, "{}", joined.width.u_mm);
}

#[test]
fn the_surer_of_two_photos_stands_where_they_are_not_joined() {
    let far = SOUTH * 1.4;
    for (photos, surer) in [
        ([made(SOUTH, shell(34.0)), made(far, shell(34.0))], 0),
        ([made(far, shell(34.0)), made(SOUTH, shell(34.0))], 1),
    ] {
        let us = [0, 1].map(|i| join(&views(&photos[i..=i]), &deck()).expect("a width").width.u_mm);
        let surest = usize::from(us[1] < us[0]);
        let joined = joined(&photos);
        assert_eq!(joined.apart, Some(Apart::TooAlike), "{surer}");
        let used: Vec<bool> = joined.shares.iter().map(|share| share.used).collect();
        assert_eq!(used, [surest == 0, surest == 1]);
        assert!((joined.width.u_mm - us[surest]).abs() < 1e-9);
    }
}

#[test]
fn a_photo_without_a_pose_leaves_one() {
    let mut photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    photos[1].scene.poses.clear();
    let joined = joined(&photos);
    assert_eq!(joined.apart, Some(Apart::OneLeft));
    assert!(joined.shares[0].used && !joined.shares[1].used);
}

/// A crab over the middle of the card looks the same from the card's other end: the rays tell which end is up.
#[test]
fn a_crab_over_the_card_is_measured_whichever_end_is_up() {
    let across = Vector3::new(0.0, -108.0, 0.0);
    for height_mm in [34.0, -22.0] {
        let over = shell(height_mm).map(|place| place + across);
        for told in [Placement::Deck, Placement::Back] {
            let photos = [made(SOUTH, over), made(EAST, over)];
            let joined = join(&views(&photos), &HeightPrior::of(told, None)).expect("a width");
            assert_eq!(joined.apart, None, "{height_mm} mm, told {told:?}");
            let off = joined.width.width_mm - true_width();
            assert!(off.abs() < 0.5, "{height_mm} mm, told {told:?}: {off} mm off");
        }
    }
}

/// Source: the geometry itself.
#[test]
fn a_ray_along_the_height_plane_or_away_from_it_meets_nothing() {
    let photo = made(SOUTH, shell(34.0));
    let pose = &photo.scene.poses[0];
    let at = photo.points[0].point;
    assert!(on_height_plane(&pose.intrinsics, &pose.pose, at, 34.0).is_some());
    assert!(on_height_plane(&pose.intrinsics, &pose.pose, at, 2000.0).is_none(), "behind the camera");
    let eye = pose.pose.camera_in_card_mm();
    let level = eye + Vector3::new(0.0, 1000.0, -90.0);
    let seen = to_photo(&pose.intrinsics, &pose.pose, &level).expect("in front");
    assert!(on_height_plane(&pose.intrinsics, &pose.pose, seen, 34.0).is_none(), "5 degrees to the plane");
}

/// All cameras on one line along the crab's width: of each pair the rays meet, and a point that is off to that side shows
/// as a height. Without the third photo the crab is 159 mm wide, without the second 166 mm.
#[test]
fn where_either_of_two_photos_may_be_wrong_none_is_left_out() {
    let [west, middle, east] = [-200.0, 0.0, 220.0].map(|x| Vector3::new(x, 111.0, 540.0));
    let out = Vector3::new(7.0, 0.0, 0.0);
    let tips = [shell(34.0)[0] - out, shell(34.0)[1] + out];
    let joined = joined(&[made(west, shell(34.0)), made(middle, shell(34.0)), made(east, tips)]);
    assert_eq!(joined.apart, Some(Apart::Moved), "{} mm", joined.width.width_mm);
}

/// Two crabs from the same side are no two photos of one: the wider one alone does not decide.
#[test]
fn photos_too_alike_to_be_joined_that_contradict_each_other_decide_nothing() {
    let narrow = shell(34.0).map(|place| Vector3::new(0.8 * place.x, place.y, place.z));
    let joined = joined(&[made(SOUTH, shell(34.0)), made(SOUTH, narrow)]);
    assert!(joined.apart.is_some());
    let [low, high] = joined.width.interval_mm;
    assert!(low < 0.8 * true_width() && true_width() < high, "{low} to {high} mm");
}
