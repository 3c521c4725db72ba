//! The live diagram of height against the formula, an independent projection and the method's own simulations.

use nalgebra::{DMatrix, DVector, Matrix3, Rotation3, Vector3};
use shellspan::lessons::stand::SHELL_MM;
use shellspan::lessons::{Reading, Stand};

const PLACES: [(f64, f64, f64); 6] = [
    (350.0, 0.0, 32.0),
    (500.0, 15.0, 32.0),
    (700.0, 5.0, 20.0),
    (700.0, 30.0, 45.0),
    (1000.0, 0.0, 50.0),
    (300.0, 25.0, 15.0),
];

fn reading(camera_mm: f64, tilt_deg: f64, edge_mm: f64) -> Reading {
    Stand { camera_mm, tilt_deg, edge_mm }.reading().expect("a place that sees shell and card")
}

/// Too wide by h / (D - h) of the width, whatever the tilt: similar triangles. Source: thin-lens-free pinhole geometry,
/// Hartley and Zisserman, Multiple View Geometry, section 2.4; the same formula stands in the method's own notes.
#[test]
fn read_off_the_deck_the_width_grows_by_similar_triangles() {
    for (camera_mm, tilt_deg, edge_mm) in PLACES {
        let expected = SHELL_MM * edge_mm / (camera_mm - edge_mm);
        let got = reading(camera_mm, tilt_deg, edge_mm).flat_mm;
        assert!(
            (got - expected).abs() < 1e-6,
            "{camera_mm} {tilt_deg} {edge_mm}: {got}, by formula {expected}"
        );
    }
}

/// A camera written here on its own: photo of the card's corners and both points, homography of the deck by linear least
/// squares, points taken back to the deck.
#[test]
fn a_projection_of_our_own_reads_the_same_off_the_deck() {
    for (camera_mm, tilt_deg, edge_mm) in PLACES {
        let tilt = tilt_deg.to_radians();
        // Deck frame: x along the width, y away from the person, z up; the points at y 110, the card about the origin.
        let camera = Vector3::new(0.0, 55.0 - camera_mm * tilt.tan(), camera_mm);
        // Turned over about x looks straight down; then towards +y by the tilt.
        let to_camera = Rotation3::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI - tilt);
        let seen = |point: Vector3<f64>| {
            let at = to_camera * (point - camera);
            (1000.0 * at.x / at.z, 1000.0 * at.y / at.z)
        };
        let corners = [(-42.8, 26.99), (42.8, 26.99), (42.8, -26.99), (-42.8, -26.99)];
        let mut rows = DMatrix::zeros(8, 8);
        let mut right = DVector::zeros(8);
        for (i, (x, y)) in corners.into_iter().enumerate() {
            // From the photo to the deck.
            let (u, v) = seen(Vector3::new(x, y, 0.0));
            for (row, values) in [
                (2 * i, [u, v, 1.0, 0.0, 0.0, 0.0, -u * x, -v * x]),
                (2 * i + 1, [0.0, 0.0, 0.0, u, v, 1.0, -u * y, -v * y]),
            ] {
                rows.row_mut(row).copy_from_slice(&values);
            }
            right[2 * i] = x;
            right[2 * i + 1] = y;
        }
        let h = rows.lu().solve(&right).expect("four corners");
        let to_deck = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0);
        let [left, right] = [-0.5, 0.5].map(|side| {
            let (u, v) = seen(Vector3::new(side * SHELL_MM, 110.0, edge_mm));
            let at = to_deck * Vector3::new(u, v, 1.0);
            (at.x / at.z, at.y / at.z)
        });
        let off = (left.0 - right.0).hypot(left.1 - right.1) - SHELL_MM;
        let got = reading(camera_mm, tilt_deg, edge_mm);
        assert!(
            (got.flat_mm - off).abs() < 1e-6,
            "{camera_mm} {tilt_deg} {edge_mm}: {} and {off}",
            got.flat_mm
        );
        assert!(
            (got.on_deck_mm - (left.1 - 110.0)).abs() < 1e-6,
            "{} and {}",
            got.on_deck_mm,
            left.1 - 110.0
        );
        assert!(
            (got.phone_mm[0] - (camera.y - 110.0)).abs() < 1e-6 && (got.phone_mm[1] - camera.z).abs() < 1e-6
        );
    }
}

/// Source: the method's Monte Carlo with OpenCV (4032 x 3024, 26 mm, 158.75 mm wide, edge 32 mm, corners 0.7 px, points 2 px,
/// focal length 2 %), written again here.
#[test]
fn it_agrees_with_the_simulations_of_the_method() {
    for (distance, flat) in [(350.0, 16.2), (500.0, 11.0), (700.0, 7.8), (1000.0, 5.1)] {
        let got = reading(distance, 0.0, 32.0).flat_mm;
        assert!((got - flat).abs() < 0.3, "{distance}: {got}, simulated {flat}");
    }
    for (distance, tilt, u) in [
        (350.0, 15.0, 2.5),
        (500.0, 15.0, 1.9),
        (700.0, 0.0, 1.6),
        (700.0, 15.0, 1.5),
        (1000.0, 15.0, 1.5),
        (1000.0, 30.0, 1.6),
    ] {
        let got = reading(distance, tilt, 32.0).one.u_mm;
        assert!((got - u).abs() < 0.3, "one photo from {distance}, {tilt} degrees: {got}, simulated {u}");
    }
    for (distance, u) in [(500.0, 0.7), (700.0, 0.95)] {
        let got = reading(distance, 15.0, 32.0).two.u_mm;
        assert!((got - u).abs() < 0.35, "two photos from {distance}: {got}, simulated {u}");
    }
}

#[test]
fn a_second_photo_settles_what_a_wrong_height_did() {
    for edge_mm in [15.0, 24.0, 45.0, 50.0] {
        let got = reading(500.0, 15.0, edge_mm);
        assert!(got.one.off_mm.abs() > 2.0, "{edge_mm}: one photo guesses 33 mm, {:?}", got.one);
        assert_eq!(got.one.off_mm > 0.0, edge_mm > 33.0, "{edge_mm}: {:?}", got.one);
        assert!(got.two.off_mm.abs() < 0.2, "{edge_mm}: {:?}", got.two);
        assert!(got.two.u_mm < 0.5 * got.one.u_mm, "{edge_mm}: {got:?}");
    }
}

/// Straight down the card's pose is told least well: the method's advice of 10 to 20 degrees rests on it.
#[test]
fn a_tilt_makes_a_photo_surer() {
    for camera_mm in [500.0, 700.0, 1000.0] {
        let [flat, tilted] = [2.0, 15.0].map(|tilt_deg| reading(camera_mm, tilt_deg, 32.0).one.u_mm);
        assert!(tilted < flat, "{camera_mm}: {tilted} at 15 degrees, {flat} at 2");
    }
}

#[test]
fn a_phone_below_the_shell_reads_nothing() {
    for (camera_mm, tilt_deg, edge_mm) in
        [(20.0, 0.0, 32.0), (32.0, 0.0, 32.0), (500.0, 90.0, 32.0), (f64::NAN, 0.0, 32.0)]
    {
        assert_eq!(Stand { camera_mm, tilt_deg, edge_mm }.reading(), None, "{camera_mm} {tilt_deg}");
    }
}
