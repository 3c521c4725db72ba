//! Homography, both poses of the card, and projection against OpenCV 5.0.0 (opencv-python-headless from
//! PyPI), as tests/reference/geometry.py wrote them down.

use nalgebra::{Matrix3, Vector2, Vector3};
use serde_json::Value;
use shellspan::camera::homography::{apply, homography_of_four};
use shellspan::camera::ippe::{card_corners_mm, two_poses};
use shellspan::camera::{Intrinsics, Pose};
use shellspan::card::ID1_MM;
use shellspan::units::PhotoPoint;

/// Relative agreement asked for.
const CLOSE: f64 = 1e-6;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn point(value: &Value) -> PhotoPoint {
    PhotoPoint::new(number(&value[0]), number(&value[1]))
}

fn matrix(value: &Value) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| number(&value[row][column]))
}

fn vector(value: &Value) -> Vector3<f64> {
    Vector3::from_fn(|row, _| number(&value[row]))
}

fn camera(case: &Value) -> Intrinsics {
    Intrinsics { focal_px: number(&case["focal_px"]), principal_point: point(&case["principal_px"]) }
}

fn cases() -> Vec<Value> {
    let told: Value = serde_json::from_str(include_str!("../reference/geometry.json")).expect("JSON");
    assert_eq!(told["opencv"], "5.0.0");
    let cases = told["cases"].as_array().expect("cases").clone();
    assert_eq!(cases.len(), 40);
    cases
}

/// Source: cv2.findHomography, OpenCV 5.0.0, method 0 on four points.
#[test]
fn the_homography_of_four_points_is_opencvs() {
    // Hundredths of a millimetre: see geometry.py.
    let plane = card_corners_mm(ID1_MM)
        .map(|corner| Vector2::new((corner.x * 100.0).round(), (corner.y * 100.0).round()));
    for (i, case) in cases().iter().enumerate() {
        let corners = std::array::from_fn(|k| point(&case["corners_64ths_px"][k]));
        let ours = homography_of_four(&plane, &corners).expect("a homography");
        let theirs = matrix(&case["homography_from_hundredths"]);
        // Elements have different units, so each column is compared by where it takes the card's rim.
        for (x, y) in [(-4280.0, 0.0), (1000.0, 2699.0), (0.0, 0.0), (12_000.0, -9_000.0)] {
            let a = apply(&ours, x, y).expect("finite");
            let b = apply(&theirs, x, y).expect("finite");
            assert!(a.distance_px(b) < CLOSE * (b.x.hypot(b.y) + 4032.0), "case {i}: {a:?} {b:?}");
        }
        assert!((ours[(2, 2)] - 1.0).abs() < 1e-12 && (theirs[(2, 2)] - 1.0).abs() < 1e-12);
    }
}

/// Source: cv2.solvePnPGeneric, OpenCV 5.0.0, SOLVEPNP_IPPE. Its error is per coordinate, ours per corner:
/// larger by the root of two.
#[test]
fn both_poses_of_the_card_are_opencvs() {
    let mut worst = 0.0_f64;
    for (i, case) in cases().iter().enumerate() {
        let corners = std::array::from_fn(|k| point(&case["corners_px"][k]));
        let ours = two_poses(&corners, ID1_MM, &camera(case)).expect("two poses");
        let theirs: Vec<(Pose, f64)> = case["poses"]
            .as_array()
            .expect("poses")
            .iter()
            .map(|told| {
                let pose = Pose {
                    rotation: matrix(&told["rotation"]),
                    translation_mm: vector(&told["translation_mm"]),
                };
                (pose, number(&told["rmse_px"]) * std::f64::consts::SQRT_2)
            })
            .collect();
        assert_eq!(theirs.len(), 2, "case {i}");
        let apart = |a: &(Pose, f64), b: &(Pose, f64)| {
            let turn = (a.0.rotation - b.0.rotation).norm() / 3.0_f64.sqrt();
            let shift = (a.0.translation_mm - b.0.translation_mm).norm() / b.0.translation_mm.norm();
            // The error of exact corners is nothing but rounding: it is compared against a pixel.
            turn.max(shift).max((a.1 - b.1).abs() / (1.0 + b.1))
        };
        let straight = apart(&ours[0], &theirs[0]).max(apart(&ours[1], &theirs[1]));
        let crossed = apart(&ours[0], &theirs[1]).max(apart(&ours[1], &theirs[0]));
        let difference = straight.min(crossed);
        worst = worst.max(difference);
        assert!(difference < CLOSE, "case {i}, tilt {}: {difference:e}", case["tilt_deg"]);
        assert!(ours[0].1 <= ours[1].1, "case {i}: the smaller error first");
    }
    println!("worst pose: {worst:.2e}");
}

/// Noise-free corners must give back the pose they were made with. Source: the pose that
/// cv2.projectPoints, OpenCV 5.0.0, was given.
#[test]
fn exact_corners_give_back_the_true_pose() {
    let exact = |case: &&Value| number(&case["noise_px"]) == 0.0 && number(&case["tilt_deg"]) > 1.0;
    let mut seen = 0;
    for case in cases().iter().filter(exact) {
        let corners = std::array::from_fn(|k| point(&case["corners_px"][k]));
        let best = two_poses(&corners, ID1_MM, &camera(case)).expect("two poses")[0];
        assert!((best.0.rotation - matrix(&case["rotation"])).norm() < CLOSE);
        let shift = vector(&case["translation_mm"]);
        assert!((best.0.translation_mm - shift).norm() < CLOSE * shift.norm());
        seen += 1;
    }
    assert!(seen >= 10, "{seen}");
}

/// Source: cv2.projectPoints, OpenCV 5.0.0, without distortion.
#[test]
fn projection_is_opencvs() {
    for (i, case) in cases().iter().enumerate() {
        let pose =
            Pose { rotation: matrix(&case["rotation"]), translation_mm: vector(&case["translation_mm"]) };
        for k in 0..4 {
            let told = point(&case["points_px"][k]);
            let ours =
                camera(case).project(&pose.transform(&vector(&case["points_mm"][k]))).expect("in front");
            assert!(
                ours.distance_px(told) < CLOSE * told.x.hypot(told.y).max(1.0),
                "case {i}: {ours:?} {told:?}"
            );
        }
    }
}
