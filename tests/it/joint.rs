//! The joint estimator against results from outside, and against its own claims.

use crate::noise::Noise;
use nalgebra::{Matrix3, Vector3};
use serde::Deserialize;
use shellspan::camera::ippe::two_poses;
use shellspan::camera::refine::{CameraPrior, refine};
use shellspan::camera::{FocalFrom, Intrinsics, Lens, Pose};
use shellspan::card::{FoundCard, ID1_MM};
use shellspan::scene::{Scene, ScenePose};
use shellspan::terms::{MarkedPoint, Placement};
use shellspan::units::{PhotoPoint, PhotoSize};
use shellspan::width::{Apart, HeightPrior, View, join, to_photo};

#[derive(Deserialize)]
struct Reference {
    focal_px: f64,
    size_px: [u32; 2],
    corner_u_px: f64,
    point_u_px: f64,
    focal_relative_u: f64,
    principal_u_px: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    one_lens: bool,
    photos: Vec<Seen>,
    points_mm: [[f64; 3]; 2],
    width_mm: f64,
    u_mm: f64,
}

#[derive(Deserialize)]
struct Seen {
    corners_px: [[f64; 2]; 4],
    points_px: [[f64; 2]; 2],
}

pub(crate) fn lens() -> Lens {
    Lens {
        camera: "made up".into(),
        focal_mm: Some(6.8),
        focal_35mm: 26,
        digital_zoom: None,
        sides_px: [4032, 3024],
    }
}

/// A photo that shows these corners, both poses credible as the card alone has it: the better one first.
pub(crate) fn scene(
    corners: [PhotoPoint; 4],
    corner_u_px: f64,
    prior: &CameraPrior,
    size: PhotoSize,
    lens: Option<Lens>,
) -> Scene {
    let both = two_poses(&corners, ID1_MM, &prior.intrinsics).expect("two poses");
    let fit = refine(&both[0].0, &corners, &[corner_u_px; 4], ID1_MM, prior).expect("a fit");
    Scene {
        size,
        card: FoundCard { corners, corner_u_px: [corner_u_px; 4], unsure_edges: [false; 4] },
        poses: vec![ScenePose {
            intrinsics: fit.intrinsics,
            pose: fit.pose,
            weight: 1.0,
            rms_px: fit.rms_px,
        }],
        focal_from: FocalFrom::Exif,
        focal_relative_u: prior.focal_relative_u,
        prior_intrinsics: prior.intrinsics,
        principal_u_px: prior.principal_u_px,
        lens,
    }
}

/// Source: `scipy.optimize.least_squares` on the same model, written again in tests/reference/joint.py.
#[test]
fn scipy_finds_the_same_width_points_and_uncertainty() {
    let reference: Reference =
        serde_json::from_str(include_str!("../reference/joint.json")).expect("the stored results");
    let size = PhotoSize { width: reference.size_px[0], height: reference.size_px[1] };
    let prior = CameraPrior {
        intrinsics: Intrinsics::centred(reference.focal_px, size),
        focal_relative_u: reference.focal_relative_u,
        principal_u_px: reference.principal_u_px,
    };
    let height = HeightPrior::of(Placement::Deck, None);
    for case in &reference.cases {
        let scenes: Vec<(Scene, [MarkedPoint; 2])> = case
            .photos
            .iter()
            .map(|seen| {
                let lens = case.one_lens.then(lens);
                let scene =
                    scene(seen.corners_px.map(PhotoPoint::from), reference.corner_u_px, &prior, size, lens);
                let points = seen.points_px.map(|at| MarkedPoint::round(at.into(), reference.point_u_px));
                (scene, points)
            })
            .collect();
        let views: Vec<View<'_>> =
            scenes.iter().map(|(scene, points)| View { scene, points: *points }).collect();
        let joined = join(&views, &height).expect("a width");
        assert_eq!((joined.apart, joined.width.photos), (None, views.len()), "{}", case.name);
        let width = &joined.width;
        assert!((width.width_mm - case.width_mm).abs() < 2e-3, "{}: {}", case.name, width.width_mm);
        // Rays that miss by more than told make the joint width less sure than the plain law of propagation.
        let u = width.u_mm;
        assert!(0.985 * case.u_mm < u && u < 1.6 * case.u_mm, "{}: {u}, not {}", case.name, case.u_mm);
        if views.len() == 1 {
            assert!((u / case.u_mm - 1.0).abs() < 0.01, "{}: {u}, not {}", case.name, case.u_mm);
        }
        for (found, expected) in width.points_mm.iter().zip(&case.points_mm) {
            assert!((found - Vector3::from(*expected)).norm() < 0.02, "{}: {found}", case.name);
        }
    }
}

/// A photo from `eye` of a card and a shell at `shell`, seen without error.
pub(crate) struct Made {
    pub(crate) scene: Scene,
    pub(crate) points: [MarkedPoint; 2],
}

pub(crate) const SIZE: PhotoSize = PhotoSize { width: 4032, height: 3024 };
pub(crate) const SOUTH: Vector3<f64> = Vector3::new(20.0, -150.0, 520.0);
pub(crate) const NORTH: Vector3<f64> = Vector3::new(-20.0, 300.0, 500.0);
pub(crate) const EAST: Vector3<f64> = Vector3::new(260.0, 40.0, 520.0);

pub(crate) fn prior() -> CameraPrior {
    CameraPrior {
        intrinsics: Intrinsics::centred(3028.7, SIZE),
        focal_relative_u: 0.02,
        principal_u_px: 16.0,
    }
}

pub(crate) fn made(eye: Vector3<f64>, shell: [Vector3<f64>; 2]) -> Made {
    made_with_card_off(eye, shell, 0.0)
}

/// The same, with one long side of the card read `off_px` too far out, and sure of it.
fn made_with_card_off(eye: Vector3<f64>, shell: [Vector3<f64>; 2], off_px: f64) -> Made {
    let prior = prior();
    let forward = (Vector3::new(0.0, 60.0, 0.0) - eye).normalize();
    let right = forward.cross(&Vector3::y()).normalize();
    let rotation =
        Matrix3::from_rows(&[right.transpose(), forward.cross(&right).transpose(), forward.transpose()]);
    let pose = Pose { rotation, translation_mm: -(rotation * eye) };
    let see = |place: Vector3<f64>| to_photo(&prior.intrinsics, &pose, &place).expect("in front");
    let mut corners = shellspan::camera::ippe::card_corners_mm(ID1_MM)
        .map(|corner| see(Vector3::new(corner.x, corner.y, 0.0)));
    let (a, d) = (corners[0], corners[3]);
    let out = a.distance_px(d).max(1.0);
    for (i, j) in [(0, 3), (1, 2)] {
        let (from, to) = (corners[j], corners[i]);
        corners[i] =
            PhotoPoint::new(to.x + off_px * (to.x - from.x) / out, to.y + off_px * (to.y - from.y) / out);
    }
    let scene = scene(corners, 0.4, &prior, SIZE, Some(lens()));
    let points = shell.map(|place| scene.hand_placed(see(place)));
    Made { scene, points }
}

pub(crate) fn views(photos: &[Made]) -> Vec<View<'_>> {
    photos.iter().map(|photo| View { scene: &photo.scene, points: photo.points }).collect()
}

pub(crate) fn shell(height_mm: f64) -> [Vector3<f64>; 2] {
    [Vector3::new(-80.0, 110.0, height_mm + 4.0), Vector3::new(79.0, 113.0, height_mm - 4.0)]
}

pub(crate) fn true_width() -> f64 {
    (shell(0.0)[0] - shell(0.0)[1]).norm()
}

#[test]
fn two_photos_need_not_be_told_where_the_card_lies() {
    for (height_mm, lies) in [(34.0, Placement::Deck), (0.0, Placement::Level), (-22.0, Placement::Back)] {
        let photos = [made(SOUTH, shell(height_mm)), made(NORTH, shell(height_mm))];
        for told in [Placement::Deck, Placement::Level, Placement::Back] {
            let joined = join(&views(&photos), &HeightPrior::of(told, None)).expect("a width");
            assert_eq!(joined.apart, None, "{lies:?} told as {told:?}");
            let off = joined.width.width_mm - true_width();
            assert!(off.abs() < 0.35, "{lies:?} told as {told:?}: {off} mm off");
            let noticed = (told != lies).then_some(lies);
            assert_eq!(joined.width.placement_seen, noticed, "{lies:?} told as {told:?}");
        }
    }
}

#[test]
fn a_card_turned_end_for_end_and_points_in_another_order_are_the_same() {
    let height = HeightPrior::of(Placement::Deck, None);
    let plain = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let expected = join(&views(&plain), &height).expect("a width").width;
    let mut turned = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let mut corners = turned[1].scene.card.corners;
    corners.rotate_left(2);
    turned[1].scene = scene(corners, 0.4, &prior(), SIZE, Some(lens()));
    turned[1].points.swap(0, 1);
    let joined = join(&views(&turned), &height).expect("a width");
    assert!((joined.width.width_mm - expected.width_mm).abs() < 1e-6);
    assert!(joined.shares[1].is_swapped && !joined.shares[0].is_swapped);
}

#[test]
fn a_crab_that_moved_is_noticed_and_stands_apart() {
    let height = HeightPrior::of(Placement::Deck, None);
    let shift = Vector3::new(4.0, 0.0, 0.0);
    let moved = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0).map(|place| place + shift))];
    let joined = join(&views(&moved), &height).expect("a width");
    assert_eq!(joined.apart, Some(Apart::Moved));
    // What contradicts each other decides nothing sharp: both photos' hills stay, and the width is as unsure as they
    // differ.
    assert_eq!(joined.shares.iter().filter(|share| share.used).count(), 2);
    assert!(joined.width.humps.len() >= 2);
    let alone = |i: usize| join(&views(&moved[i..=i]), &height).expect("a width").width;
    let (one, other) = (alone(0), alone(1));
    assert!((joined.width.width_mm - 0.5 * (one.width_mm + other.width_mm)).abs() < 1e-6);
    assert!(joined.width.u_mm > one.u_mm.min(other.u_mm), "{}", joined.width.u_mm);
}

/// Rays of a crab that moved along the line between the cameras meet, but nowhere where a crab's edge is.
#[test]
fn a_crab_that_moved_between_the_cameras_is_noticed_by_its_height() {
    let height = HeightPrior::of(Placement::Deck, None);
    for by_mm in [-34.0, -30.0, 26.0, 34.0] {
        let shift = Vector3::new(0.0, by_mm, 0.0);
        let moved = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0).map(|place| place + shift))];
        let joined = join(&views(&moved), &height).expect("a width");
        let held = joined.apart == Some(Apart::Moved) || joined.width.placement_seen.is_some();
        assert!(held, "{by_mm} mm: {:?} {:?}", joined.apart, joined.width.height_mm);
    }
}

#[test]
fn one_photo_with_a_wrong_card_edge_is_left_out() {
    let height = HeightPrior::of(Placement::Deck, None);
    let photos = [
        made(SOUTH, shell(34.0)),
        made(NORTH, shell(34.0)),
        made_with_card_off(Vector3::new(-200.0, 60.0, 500.0), shell(34.0), 22.0),
        made(EAST, shell(34.0)),
    ];
    let joined = join(&views(&photos), &height).expect("a width");
    assert_eq!(joined.apart, None);
    let used: Vec<bool> = joined.shares.iter().map(|share| share.used).collect();
    assert_eq!(used, [true, true, false, true]);
    assert!((joined.width.width_mm - true_width()).abs() < 0.3, "{}", joined.width.width_mm);
}

#[test]
fn the_same_photo_twice_says_nothing_new() {
    let height = HeightPrior::of(Placement::Deck, None);
    let photos = [made(SOUTH, shell(34.0)), made(SOUTH, shell(34.0))];
    let joined = join(&views(&photos), &height).expect("a width");
    assert_eq!(joined.apart, Some(Apart::TooAlike));
    assert!(
        (joined.width.u_mm - join(&views(&photos[..1]), &height).expect("a width").width.u_mm).abs() < 1e-9
    );
}

/// Source: JCGM 101, an own Monte Carlo: what noise of the stated size on corners, points, camera and card moves the joint
/// width by.
#[test]
fn the_joint_uncertainty_is_what_a_monte_carlo_gives() {
    let height = HeightPrior::of(Placement::Deck, None);
    let photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let told = join(&views(&photos), &height).expect("a width").width;
    let mut noise = Noise(7);
    let mut widths = Vec::new();
    let mut apart = 0;
    for _ in 0..1000 {
        // One lens: both focal lengths are off together.
        let focal = 0.02 * noise.normal();
        let grown = 1.0 + shellspan::width::CARD_RELATIVE_U * noise.normal();
        let lens_off = 1.0 + 0.001 * noise.normal();
        let spots = [0, 1].map(|_| {
            Vector3::new(noise.normal(), noise.normal(), noise.normal()) * photos[0].points[0].spot_u_mm
        });
        let noisy: Vec<Made> = photos
            .iter()
            .map(|photo| {
                let mut prior = prior();
                prior.intrinsics.focal_px *= (focal + 0.003 * noise.normal()).exp();
                prior.intrinsics.principal_point.x += 16.0 * noise.normal();
                prior.intrinsics.principal_point.y += 16.0 * noise.normal();
                let corners = photo
                    .scene
                    .card
                    .corners
                    .map(|at| PhotoPoint::new(at.x + 0.4 * noise.normal(), at.y + 0.4 * noise.normal()));
                let pose = &photo.scene.poses[0];
                let scene = scene(corners, 0.4, &prior, SIZE, Some(lens()));
                let points = [0, 1].map(|k| {
                    let place = shell(34.0)[k] + spots[k];
                    let at = to_photo(&pose.intrinsics, &pose.pose, &place).expect("in front");
                    let u_px = photo.points[k].covariance_px2[(0, 0)].sqrt();
                    scene.hand_placed(PhotoPoint::new(
                        at.x + u_px * noise.normal(),
                        at.y + u_px * noise.normal(),
                    ))
                });
                Made { scene, points }
            })
            .collect();
        let joined = join(&views(&noisy), &height).expect("a width");
        match joined.apart {
            None => widths.push(joined.width.width_mm * grown * lens_off),
            Some(_) => apart += 1,
        }
    }
    let mean = widths.iter().sum::<f64>() / widths.len() as f64;
    let spread =
        (widths.iter().map(|width| (width - mean).powi(2)).sum::<f64>() / (widths.len() - 1) as f64).sqrt();
    println!("told {:.3}, seen {spread:.3}, {apart} stood apart", told.u_mm);
    assert!((told.u_mm / spread - 1.0).abs() < 0.05, "told {}, seen {spread}", told.u_mm);
    assert!(apart <= 20, "{apart} of 1000 stood apart: one in a hundred is meant");
}
