//! Blown-out light where something has to be read: a measuring point, an edge of the card.

use nalgebra::Vector2;

use crate::photo::Photo;
use crate::scene::Scene;
use crate::terms::MarkedPoint;
use crate::units::PhotoPoint;

/// Coded level from which a channel counts as full (common practice: the last few of 255 levels).
const FULL_LEVEL: f32 = 250.0;
/// A point is read from what lies within this distance of it, in mm.
const AROUND_POINT_MM: f64 = 2.0;
/// A point is lost where more than this share around it is blown out: a bright deck beside a dark shell fills
/// half of it, and the edge between them is still seen (common practice).
const BLOWN_AROUND_POINT: f64 = 0.8;
/// An edge is read from what lies this far to both its sides, in mm.
const BESIDE_EDGE_MM: [f64; 3] = [0.4, 0.8, 1.2];
/// An edge is lost where both its sides are blown out along more than this share of it (common practice: the
/// finder needs some three quarters of an edge).
const BLOWN_ALONG_EDGE: f64 = 0.25;
/// Places looked at along an edge, and across the neighbourhood of a point.
const PLACES: usize = 48;
const ACROSS: i32 = 9;

/// True where light is blown out at a point or along an edge of the card so that it cannot be read there.
pub(super) fn is_blown_out(photo: &Photo, scene: &Scene, points: &[MarkedPoint; 2]) -> bool {
    let px_per_mm = scene.px_per_cm() / 10.0;
    let corners = &scene.card.corners;
    points.iter().any(|marked| around(photo, marked.point, px_per_mm) > BLOWN_AROUND_POINT)
        || (0..4).any(|i| along(photo, corners[i], corners[(i + 1) % 4], px_per_mm) > BLOWN_ALONG_EDGE)
}

fn is_full(photo: &Photo, at: Vector2<f64>) -> bool {
    let point = PhotoPoint::new(at.x, at.y);
    photo.size().contains(point) && photo.rgb_near(point).iter().all(|&v| v >= FULL_LEVEL)
}

/// Share of a disc about the point that is blown out.
fn around(photo: &Photo, point: PhotoPoint, px_per_mm: f64) -> f64 {
    let middle = Vector2::new(point.x, point.y);
    let (mut full, mut count) = (0, 0);
    for y in -ACROSS..=ACROSS {
        for x in -ACROSS..=ACROSS {
            let from = Vector2::new(f64::from(x), f64::from(y)) / f64::from(ACROSS);
            if from.norm() <= 1.0 {
                count += 1;
                full += i32::from(is_full(photo, middle + from * (AROUND_POINT_MM * px_per_mm)));
            }
        }
    }
    f64::from(full) / f64::from(count.max(1))
}

/// Share of an edge along which both its sides are blown out.
fn along(photo: &Photo, from: PhotoPoint, to: PhotoPoint, px_per_mm: f64) -> f64 {
    let (from, to) = (Vector2::new(from.x, from.y), Vector2::new(to.x, to.y));
    let way = to - from;
    let across = Vector2::new(-way.y, way.x) / way.norm().max(1e-9);
    let both = |at: Vector2<f64>| {
        BESIDE_EDGE_MM.iter().all(|beside| {
            let off = across * (beside * px_per_mm);
            is_full(photo, at + off) && is_full(photo, at - off)
        })
    };
    // The rounded corners are left out.
    let place = |k: usize| from + way * (0.08 + 0.84 * (k as f64 + 0.5) / PLACES as f64);
    (0..PLACES).filter(|&k| both(place(k))).count() as f64 / PLACES as f64
}
