//! The plane of a shell's edge, with the card's outline in it.

use nalgebra::{Matrix2, Vector2};

use super::ShellQuery;
use super::window::{HeightPlane, expected_edge_height_mm};
use crate::terms::MarkedPoint;

/// The plane in which shells are looked for.
#[derive(Debug, Clone, Copy)]
pub struct Plane {
    /// The plane.
    pub height: HeightPlane,
    /// The card's outline in it.
    pub card_mm: [Vector2<f64>; 4],
}

/// The plane at the height of the edge of a shell `width_mm` wide.
pub fn plane_at(query: &ShellQuery, width_mm: f64) -> Option<Plane> {
    let height = expected_edge_height_mm(query.placement, width_mm);
    let height = HeightPlane::new(&query.intrinsics, &query.pose, height)?;
    let mut card_mm = [Vector2::zeros(); 4];
    for (to, &corner) in card_mm.iter_mut().zip(&query.card_corners) {
        *to = height.plane_of(corner)?;
    }
    Some(Plane { height, card_mm })
}

/// A point of the plane on the photo, `sigma_mm` in every direction of the plane.
pub fn marked_point(plane: &HeightPlane, at_mm: Vector2<f64>, sigma_mm: f64) -> Option<MarkedPoint> {
    let derivative: Matrix2<f64> = plane.px_per_mm(at_mm)?;
    Some(MarkedPoint {
        point: plane.photo_of(at_mm)?,
        covariance_px2: derivative * derivative.transpose() * (0.5 * sigma_mm * sigma_mm),
        // Photos of one crab mislead the finder alike: half of its variance is told as the same in each.
        spot_u_mm: sigma_mm * std::f64::consts::FRAC_1_SQRT_2,
    })
}
