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
}
