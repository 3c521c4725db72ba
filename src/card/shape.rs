//! Is a quadrangle the picture of a rectangle, and of what aspect? Known once the focal length is.

use nalgebra::Vector3;

use crate::camera::Intrinsics;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Shape of the flat rectangle that a quadrangle would be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Length of the first side (from corner 0 to 1) over the second.
    pub aspect: f64,
    /// Angle between the sides in degrees; 90 for a rectangle.
    pub angle_deg: f64,
}

/// The shape seen by a camera with these intrinsics. `None` for a degenerate quadrangle.
///
/// Source: Zhang and He 2003, Whiteboard Scanning and Image Enhancement, Microsoft Research technical report
/// MSR-TR-2003-39, equations 11 and 20: the second and third corner's depths against the first follow
/// from the four rays.
pub fn shape_of(corners: &[PhotoPoint; 4], intrinsics: &Intrinsics) -> Option<Shape> {
    let [p, q, r, s] = corners.map(|corner| intrinsics.ray(corner));
    // With depths 1, k, m, n: p - k q + m r - n s = 0 for a parallelogram.
    let depth = |a: &Vector3<f64>, b: &Vector3<f64>, c: &Vector3<f64>| {
        let under = a.cross(b).dot(c);
        (under.abs() > 1e-12).then_some(under)
    };
    let k = depth(&p, &r, &s)? / depth(&q, &r, &s)?;
    let n = depth(&p, &q, &r)? / -depth(&q, &s, &r)?;
    let first = q * k - p;
    let second = s * n - p;
    let (x, y) = (first.norm(), second.norm());
    if !(x.is_finite() && y.is_finite() && x > 1e-9 && y > 1e-9 && k > 0.0 && n > 0.0) {
        return None;
    }
    let cosine = (first.dot(&second) / (x * y)).clamp(-1.0, 1.0);
    Some(Shape { aspect: x / y, angle_deg: cosine.portable_acos().to_degrees() })
}

/// Cosine of the angle between a ray and the open sides under which their lengths are told by the picture.
const LEAST_COSINE: f64 = 0.05;
/// Greatest slant of a side towards the camera, as depth over breadth: 45 degrees.
const MOST_SLANT: f64 = 1.0;

/// The rectangle of which one side, from `side[0]` to `side[1]`, is seen, and of the sides that lead away from its
/// two ends a point each (`beyond`, in the same order). `aspect`: length of the seen side over the others.
///
/// The two open sides are parallel in space: their direction is where the planes of the camera and of each meet,
/// and the seen side lies square to it.
pub fn completed(
    side: [PhotoPoint; 2],
    beyond: [PhotoPoint; 2],
    aspect: f64,
    intrinsics: &Intrinsics,
) -> Option<[PhotoPoint; 4]> {
    let [p, q] = side.map(|corner| intrinsics.ray(corner));
    let [to_d, to_c] = beyond.map(|point| intrinsics.ray(point));
    let mut along = p.cross(&to_d).cross(&q.cross(&to_c)).try_normalize(1e-12)?;
    // Towards the points beyond, not away.
    if (to_d - p).dot(&along) + (to_c - q).dot(&along) < 0.0 {
        along = -along;
    }
    // The far end's depth against the near one's; all but unknown where the rays are square to the open sides.
    let (cosine, breadth) = (q.dot(&along), (q - p).norm());
    let depth = if cosine.abs() > LEAST_COSINE { p.dot(&along) / cosine } else { 1.0 };
    let depth = depth.clamp(1.0 - MOST_SLANT * breadth, 1.0 + MOST_SLANT * breadth);
    let length = (q * depth - p).norm() / aspect;
    let d = intrinsics.project(&(p + along * length))?;
    let c = intrinsics.project(&(q * depth + along * length))?;
    Some([side[0], side[1], c, d])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::Pose;
    use crate::camera::refine::rotation_of;
    use crate::units::PhotoSize;

    #[test]
    fn a_tilted_card_has_the_aspect_of_id1() {
        let intrinsics = Intrinsics::centred(3000.0, PhotoSize { width: 4000, height: 3000 });
        let flip = rotation_of(&Vector3::new(std::f64::consts::PI, 0.0, 0.0));
        let pose = Pose {
            rotation: rotation_of(&Vector3::new(0.4, 0.3, 0.7)) * flip,
            translation_mm: Vector3::new(40.0, -60.0, 600.0),
        };
        let corners = crate::camera::ippe::card_corners_mm(super::super::ID1_MM)
            .map(|c| intrinsics.project(&pose.transform(&Vector3::new(c.x, c.y, 0.0))).expect("in front"));
        let shape = shape_of(&corners, &intrinsics).expect("a quadrangle");
        assert!((shape.aspect - 85.60 / 53.98).abs() < 1e-9, "{shape:?}");
        assert!((shape.angle_deg - 90.0).abs() < 1e-7, "{shape:?}");
    }

    #[test]
    fn three_sides_of_a_tilted_card_give_the_fourth() {
        let intrinsics = Intrinsics::centred(3000.0, PhotoSize { width: 4000, height: 3000 });
        let flip = rotation_of(&Vector3::new(std::f64::consts::PI, 0.0, 0.0));
        let pose = Pose {
            rotation: rotation_of(&Vector3::new(-0.3, 0.35, 1.1)) * flip,
            translation_mm: Vector3::new(90.0, 60.0, 500.0),
        };
        let corners = crate::camera::ippe::card_corners_mm(super::super::ID1_MM)
            .map(|c| intrinsics.project(&pose.transform(&Vector3::new(c.x, c.y, 0.0))).expect("in front"));
        for first in 0..4 {
            let turned: [PhotoPoint; 4] = std::array::from_fn(|i| corners[(first + i) % 4]);
            let [a, b, c, d] = turned;
            let part = |p: PhotoPoint, q: PhotoPoint| {
                PhotoPoint::new(p.x + 0.6 * (q.x - p.x), p.y + 0.6 * (q.y - p.y))
            };
            let ratio = super::super::ID1_MM[0] / super::super::ID1_MM[1];
            let aspect = if first % 2 == 0 { ratio } else { 1.0 / ratio };
            let found = completed([a, b], [part(a, d), part(b, c)], aspect, &intrinsics).expect("a card");
            for (found, truth) in found.iter().zip(turned) {
                assert!(found.distance_px(truth) < 1e-6, "{found:?} against {truth:?}");
            }
        }
    }
}
