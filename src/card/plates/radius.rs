//! How round a card's corners are: a plate of the same shape and another size has other corners.

use nalgebra::{Vector2, Vector3};

use crate::camera::homography::{apply, homography_of_four};
use crate::camera::ippe::card_corners_mm;
use crate::card::ID1_MM;
use crate::card::judge::Judged;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::units::PhotoPoint;

/// From the virtual corner along the diagonal to a round outline, as a share of its radius.
const ON_DIAGONAL: f64 = std::f64::consts::SQRT_2 - 1.0;
/// Looked at along the diagonal, in mm from the virtual corner inward, and step.
const FROM_MM: f64 = -1.0;
const STEPS: usize = 81;
const STEP_MM: f64 = 0.05;
/// An ID-1 card's corners have a radius of 2.88 to 3.48 mm (ISO/IEC 7810). Those of another plate are rounder or sharper,
/// all four alike: where they differ by more than this, prints, shadows and hands speak, not the plate.
const PLATE_RADII_MM: std::ops::Range<f64> = 1.2..2.4;
const ALIKE_MM: f64 = 0.6;
/// Least resolution at which half a millimetre on the diagonal is told.
const LEAST_PX_PER_MM: f64 = 3.0;

/// True for a plate with sides like a card's and other corners: the scale that it gives is another's.
pub(in crate::card) fn is_other_plate(photo: &Photo, light: &LinearLight, judged: &Judged) -> bool {
    let px_per_mm = judged.corners[0].distance_px(judged.corners[1]) / ID1_MM[0];
    let radii = corner_radii_mm(photo, light, &judged.corners).unwrap_or_default();
    let [least, .., most] = radii[..] else { return false };
    px_per_mm >= LEAST_PX_PER_MM
        && judged.hardly_seen_sides() == 0
        && radii.len() == 4
        && most - least < ALIKE_MM
        && PLATE_RADII_MM.contains(&(radii.iter().sum::<f64>() / 4.0))
}

/// Radii of the corners that tell, in mm, the smallest first: where card and deck differ, for right virtual corners.
fn corner_radii_mm(photo: &Photo, light: &LinearLight, corners: &[PhotoPoint; 4]) -> Option<Vec<f64>> {
    let plane = card_corners_mm(ID1_MM);
    let homography = homography_of_four(&plane, corners)?;
    let mut told: Vec<f64> = plane
        .iter()
        .filter_map(|corner| {
            let inward = Vector2::new(-corner.x.signum(), -corner.y.signum());
            let look = |x_mm: f64, y_mm: f64| -> Option<Vector3<f32>> {
                let at = Vector2::new(corner.x + inward.x * x_mm, corner.y + inward.y * y_mm);
                let point = apply(&homography, at.x, at.y)?;
                photo.size().contains(point).then(|| Vector3::from(light.at(photo, point)))
            };
            let mean = |places: &[(f64, f64)]| -> Option<Vector3<f32>> {
                let seen = places.iter().map(|&(x, y)| look(x, y)).collect::<Option<Vec<_>>>()?;
                Some(seen.iter().sum::<Vector3<f32>>() / places.len() as f32)
            };
            let out = mean(&[(-1.3, 5.0), (5.0, -1.3), (-1.3, 4.0), (4.0, -1.3), (-1.0, -1.0)])?;
            let inside = mean(&[(1.3, 5.0), (5.0, 1.3), (1.3, 4.0), (4.0, 1.3), (3.2, 3.2)])?;
            let step = out - inside;
            let contrast = step.norm_squared();
            if contrast < 0.003f32.max(0.04 * out.norm_squared().max(inside.norm_squared())) {
                return None;
            }
            let outness = |k: usize| {
                let at_mm = (FROM_MM + STEP_MM * k as f64) * std::f64::consts::FRAC_1_SQRT_2;
                let beside = 0.1;
                let seen = mean(&[
                    (at_mm, at_mm),
                    (at_mm + beside, at_mm - beside),
                    (at_mm - beside, at_mm + beside),
                ])?;
                Some((seen - inside).dot(&step) / contrast)
            };
            let profile = (0..STEPS).map(outness).collect::<Option<Vec<f32>>>()?;
            // Inward from where it is deck: the first step to the card.
            let crossing = profile.windows(2).position(|pair| pair[0] >= 0.5 && pair[1] < 0.5)?;
            let share = (profile[crossing] - 0.5) / (profile[crossing] - profile[crossing + 1]);
            Some((FROM_MM + STEP_MM * (crossing as f64 + f64::from(share))) / ON_DIAGONAL)
        })
        .collect();
    told.sort_by(f64::total_cmp);
    Some(told)
}
