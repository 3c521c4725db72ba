//! A rectified window: the photo seen square-on in the plane of the shell's edge, at a fixed scale.
//!
//! In this plane shape and size are metric, so that looking for a shell is looking for something of a known
//! range of size, turned by one angle.

use nalgebra::{Matrix3, Vector2, Vector3};

use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::terms::Placement;
use crate::units::PhotoPoint;

/// The plane z = h of the card frame, as the camera sees it.
#[derive(Debug, Clone, Copy)]
pub struct HeightPlane {
    to_photo: Matrix3<f64>,
    to_plane: Matrix3<f64>,
}

impl HeightPlane {
    /// The plane `height_mm` above the card's face. `None` when the camera lies in it.
    pub fn new(intrinsics: &Intrinsics, pose: &Pose, height_mm: f64) -> Option<Self> {
        let centre = intrinsics.principal_point;
        let camera = Matrix3::new(
            intrinsics.focal_px,
            0.0,
            centre.x,
            0.0,
            intrinsics.focal_px,
            centre.y,
            0.0,
            0.0,
            1.0,
        );
        let rotation = pose.rotation;
        let origin = pose.transform(&Vector3::new(0.0, 0.0, height_mm));
        let to_photo =
            camera * Matrix3::from_columns(&[rotation.column(0).into(), rotation.column(1).into(), origin]);
        let to_plane = to_photo.try_inverse()?;
        to_plane.iter().all(|value| value.is_finite()).then_some(Self { to_photo, to_plane })
    }

    /// Card-frame millimetres in the plane to the photo; `None` behind the camera.
    pub fn photo_of(&self, point_mm: Vector2<f64>) -> Option<PhotoPoint> {
        let at = self.to_photo * Vector3::new(point_mm.x, point_mm.y, 1.0);
        (at.z > 1e-6).then(|| PhotoPoint::new(at.x / at.z, at.y / at.z))
    }

    /// Where the ray through `point` meets the plane, in card-frame millimetres.
    pub fn plane_of(&self, point: PhotoPoint) -> Option<Vector2<f64>> {
        let at = self.to_plane * Vector3::new(point.x, point.y, 1.0);
        let mm = Vector2::new(at.x / at.z, at.y / at.z);
        // The depth of the plane's point must be positive: a ray above the horizon meets it behind.
        let depth = self.to_photo.row(2) * Vector3::new(mm.x, mm.y, 1.0);
        (mm.x.is_finite() && mm.y.is_finite() && depth.x > 1e-6).then_some(mm)
    }

    /// Photo pixels a millimetre of the plane spans near `point_mm`, as the 2 x 2 derivative.
    pub fn px_per_mm(&self, point_mm: Vector2<f64>) -> Option<nalgebra::Matrix2<f64>> {
        let step = 0.5;
        let along = |offset: Vector2<f64>| {
            let (a, b) = (self.photo_of(point_mm + offset)?, self.photo_of(point_mm - offset)?);
            Some(Vector2::new(a.x - b.x, a.y - b.y) / (2.0 * step))
        };
        let (dx, dy) = (along(Vector2::new(step, 0.0))?, along(Vector2::new(0.0, step))?);
        Some(nalgebra::Matrix2::from_columns(&[dx, dy]))
    }
}

/// Height of the shell's edge above the card's face to expect for a shell `width_mm` wide.
///
/// A cancrid's body is about a third as deep as it is wide, its edge a little above the middle, and the legs
/// lift it (from memory); the rendered photos have 0.22 on the deck and -0.14 with the card on the back. It
/// only places the window: a wrong height shifts and scales what is seen by a few per cent.
pub fn expected_edge_height_mm(placement: Placement, width_mm: f64) -> f64 {
    match placement {
        Placement::Deck => 0.22 * width_mm,
        Placement::Level => 0.0,
        Placement::Back => -0.14 * width_mm,
    }
}

/// A square window of the plane, `side` pixels wide, turned by an angle and perhaps mirrored.
#[derive(Debug, Clone, Copy)]
pub struct Window {
    /// Middle of the window, card-frame mm.
    pub centre_mm: Vector2<f64>,
    /// Scale.
    pub mm_per_px: f64,
    /// Columns and rows.
    pub side: usize,
    /// The window's x axis in the plane.
    pub axis: Vector2<f64>,
    /// True when the window shows the plane mirrored.
    pub mirrored: bool,
}

impl Window {
    /// A window along the card's axes.
    pub fn straight(centre_mm: Vector2<f64>, mm_per_px: f64, side: usize) -> Self {
        Self { centre_mm, mm_per_px, side, axis: Vector2::new(1.0, 0.0), mirrored: false }
    }

    /// Window pixels to plane millimetres.
    pub fn plane_of(&self, at_px: Vector2<f64>) -> Vector2<f64> {
        let middle = (self.side as f64 - 1.0) / 2.0;
        let (u, v) = ((at_px.x - middle) * self.mm_per_px, (at_px.y - middle) * self.mm_per_px);
        // Seen from above, the window's y runs down as a picture's does.
        let across = Vector2::new(self.axis.y, -self.axis.x) * if self.mirrored { -1.0 } else { 1.0 };
        self.centre_mm + self.axis * u + across * v
    }
}

/// Coded R, G, B (0..1) of each pixel of a window, and whether it is seen.
#[derive(Debug, Clone)]
pub struct Seen {
    /// Row by row.
    pub rgb: Vec<[f32; 3]>,
    /// 1 where the photo shows the plane, 0 outside the photo and on the card.
    pub valid: Vec<f32>,
}

/// Samples lie this far apart, in photo px: the glints of a wet shell must be averaged, not picked. With 4 samples a side
/// at most, 3 of 14 real shells were not seen at all in the first look.
const SAMPLE_STEP_PX: f64 = 3.0;
/// Most samples a side that are averaged for one window pixel.
const MOST_SAMPLES: i32 = 16;

/// Looks through `window` at the photo. `hidden_mm` is the card's outline in the plane, never part of the shell.
pub fn look(
    photo: &Photo,
    plane: &HeightPlane,
    window: &Window,
    hidden_mm: Option<&[Vector2<f64>; 4]>,
) -> Seen {
    let side = window.side;
    let mut seen = Seen { rgb: vec![[0.0; 3]; side * side], valid: vec![0.0; side * side] };
    let size = photo.size();
    let spread = plane
        .px_per_mm(window.centre_mm)
        .map_or(1.0, |d| d.column(0).norm().max(d.column(1).norm()) * window.mm_per_px);
    let samples = ((spread / SAMPLE_STEP_PX).ceil() as i32).clamp(1, MOST_SAMPLES);
    let share = 1.0 / (samples * samples) as f32 / 255.0;
    // From the window's pixels to the photo's in one step.
    let origin = window.plane_of(Vector2::zeros());
    let to_plane = [Vector2::x(), Vector2::y()].map(|axis| (window.plane_of(axis) - origin).push(0.0));
    let to_photo = plane.to_photo * Matrix3::from_columns(&[to_plane[0], to_plane[1], origin.push(1.0)]);
    for row in 0..side {
        for column in 0..side {
            let at = Vector2::new(column as f64, row as f64);
            let middle_mm = window.plane_of(at);
            if hidden_mm.is_some_and(|corners| inside_convex(corners, middle_mm)) {
                continue;
            }
            let Some(middle) = plane.photo_of(middle_mm) else { continue };
            if !size.contains(middle) {
                continue;
            }
            let index = row * side + column;
            seen.valid[index] = 1.0;
            let mut sums = [0.0f32; 3];
            for j in 0..samples {
                for i in 0..samples {
                    let shift = |k: i32| (f64::from(k) + 0.5) / f64::from(samples) - 0.5;
                    let sub = to_photo * Vector3::new(at.x + shift(i), at.y + shift(j), 1.0);
                    let nearness = 1.0 / sub.z;
                    let point = if sub.z > 1e-6 {
                        PhotoPoint::new(sub.x * nearness, sub.y * nearness)
                    } else {
                        middle
                    };
                    let rgb = if samples == 1 { photo.rgb_at(point) } else { photo.rgb_near(point) };
                    for (sum, value) in sums.iter_mut().zip(rgb) {
                        *sum += value.clamp(0.0, 255.0);
                    }
                }
            }
            seen.rgb[index] = sums.map(|sum| sum * share);
        }
    }
    seen
}

/// True when `point` lies within the convex quadrangle, whichever way round its corners run.
fn inside_convex(corners: &[Vector2<f64>; 4], point: Vector2<f64>) -> bool {
    let mut signs = [false; 2];
    for i in 0..4 {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        let cross = (b - a).perp(&(point - a));
        signs[usize::from(cross > 0.0)] = true;
    }
    !(signs[0] && signs[1])
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::units::PhotoSize;

    /// A camera 500 mm above the card, tilted by 20 degrees.
    pub fn tilted_camera() -> (Intrinsics, Pose, PhotoSize) {
        let size = PhotoSize { width: 1600, height: 1200 };
        let (s, c) = 20f64.to_radians().sin_cos();
        // Looking down: camera y and z turn against the card's.
        let rotation = Matrix3::new(1.0, 0.0, 0.0, 0.0, -c, s, 0.0, -s, -c);
        let pose = Pose { rotation, translation_mm: Vector3::new(10.0, -5.0, 500.0) };
        (Intrinsics::centred(1300.0, size), pose, size)
    }

    /// Checked against the plain definition: pose, then projection ([`Intrinsics::project`]).
    #[test]
    fn the_plane_agrees_with_pose_and_projection_and_inverts() {
        let (intrinsics, pose, _) = tilted_camera();
        let plane = HeightPlane::new(&intrinsics, &pose, 31.0).expect("a plane in view");
        for mm in [Vector2::new(0.0, 0.0), Vector2::new(120.0, -80.0), Vector2::new(-55.0, 140.0)] {
            let photo = plane.photo_of(mm).expect("in front");
            let direct =
                intrinsics.project(&pose.transform(&Vector3::new(mm.x, mm.y, 31.0))).expect("in front");
            assert!(photo.distance_px(direct) < 1e-9);
            assert!((plane.plane_of(photo).expect("on the plane") - mm).norm() < 1e-9);
        }
    }

    /// Against the definition: x along the axis, y a right angle to the right of it, or to the left if mirrored.
    #[test]
    fn a_window_is_turned_and_mirrored_as_it_says() {
        let (axis, centre) = (Vector2::new(0.8, 0.6), Vector2::new(30.0, -12.0));
        for (mirrored, across) in [(false, Vector2::new(0.6, -0.8)), (true, Vector2::new(-0.6, 0.8))] {
            let window = Window { axis, mirrored, ..Window::straight(centre, 1.7, 97) };
            let at = window.plane_of(Vector2::new(48.0 + 5.0, 48.0 - 3.0));
            assert!((at - (centre + axis * 8.5 - across * 5.1)).norm() < 1e-9);
        }
    }

    #[test]
    fn what_lies_outside_the_photo_or_on_the_card_is_not_seen() {
        let (intrinsics, pose, size) = tilted_camera();
        let plane = HeightPlane::new(&intrinsics, &pose, 0.0).expect("a plane in view");
        let pixels = vec![128u8; (size.width * size.height * 3) as usize];
        let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
        let card =
            [(-42.8, -26.99), (42.8, -26.99), (42.8, 26.99), (-42.8, 26.99)].map(|(x, y)| Vector2::new(x, y));
        let window = Window::straight(Vector2::new(0.0, 0.0), 20.0, 96);
        let seen = look(&photo, &plane, &window, Some(&card));
        let at = |mm: Vector2<f64>| {
            let px = Vector2::new(mm.x, -mm.y) / 20.0 + Vector2::repeat(47.5);
            seen.valid[px.y.round() as usize * 96 + px.x.round() as usize]
        };
        assert_eq!(at(Vector2::new(0.0, 0.0)), 0.0, "the card");
        assert_eq!(at(Vector2::new(100.0, 0.0)), 1.0, "beside the card");
        assert_eq!(at(Vector2::new(900.0, 0.0)), 0.0, "outside the photo");
    }
}
