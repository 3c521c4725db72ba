//! Where the lines of a card's sides cross: its corners.

use nalgebra::Vector2;

use super::EdgeLine;
use crate::units::PhotoPoint;

/// Where neighbouring lines cross, in photo px.
pub(in crate::card) fn intersections(
    corners: &[PhotoPoint; 4],
    lines: &[EdgeLine; 4],
) -> Option<[PhotoPoint; 4]> {
    let ends: [(Vector2<f64>, Vector2<f64>); 4] = std::array::from_fn(|i| {
        let (p, q) = (corners[i], corners[(i + 1) % 4]);
        let (p, q) = (Vector2::new(p.x, p.y), Vector2::new(q.x, q.y));
        let along = q - p;
        let inward = Vector2::new(-along.y, along.x) / along.norm().max(1e-9);
        (p + inward * lines[i].at_start, q + inward * lines[i].at_end)
    });
    let mut crossed = *corners;
    for i in 0..4 {
        // Corner i lies between side i - 1 and side i.
        let (p, q) = ends[(i + 3) % 4];
        let (r, s) = ends[i];
        let (d, e) = (q - p, s - r);
        let sine = d.x * e.y - d.y * e.x;
        if sine.abs() < 1e-6 * d.norm() * e.norm() {
            return None;
        }
        let t = ((r - p).x * e.y - (r - p).y * e.x) / sine;
        let at = p + d * t;
        crossed[i] = PhotoPoint::new(at.x, at.y);
    }
    Some(crossed)
}
