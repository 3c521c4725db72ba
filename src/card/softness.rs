//! How soft the card's edges are: what lens and hand make of a step that is sharp in life.

use nalgebra::Vector2;

use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::units::PhotoPoint;

/// How soft the step across a side is, in px from a tenth to nine tenths of it, in linear light; `None` where
/// there is no clear step. `start` and `end` are the virtual corners of the side.
pub fn rise_px(photo: &Photo, light: &LinearLight, start: PhotoPoint, end: PhotoPoint) -> Option<f64> {
    const HALF_WIDTH: i32 = 48;
    const PITCH: f64 = 0.5;
    const PROFILES: i32 = 48;
    let along = Vector2::new(end.x - start.x, end.y - start.y);
    let length = along.norm();
    if !(length.is_finite() && length >= 12.0) {
        return None;
    }
    let inward = Vector2::new(-along.y, along.x) / length;
    let mut row = vec![[0.0f32; 3]; (2 * HALF_WIDTH + 1) as usize];
    for k in 0..PROFILES {
        // The middle half: straight whatever the card's bow and corners do.
        let share = 0.25 + 0.5 * (f64::from(k) + 0.5) / f64::from(PROFILES);
        for (i, sum) in row.iter_mut().enumerate() {
            let at = along * share + inward * ((i as f64 - f64::from(HALF_WIDTH)) * PITCH);
            let seen = light.at(photo, PhotoPoint::new(start.x + at.x, start.y + at.y));
            for (total, value) in sum.iter_mut().zip(seen) {
                *total += value / PROFILES as f32;
            }
        }
    }
    // Along the difference between inside and outside, seen well away from the edge.
    let level = |rows: &[[f32; 3]]| {
        let mut mean = [0.0f32; 3];
        for value in rows {
            for c in 0..3 {
                mean[c] += value[c] / rows.len() as f32;
            }
        }
        mean
    };
    let far = row.len() / 4;
    let (outside, inside) = (level(&row[..far]), level(&row[row.len() - far..]));
    let step: [f32; 3] = std::array::from_fn(|c| inside[c] - outside[c]);
    let size: f32 = step.iter().map(|d| d * d).sum();
    if size < LEAST_STEP {
        return None;
    }
    let height = |value: &[f32; 3]| (0..3).map(|c| (value[c] - outside[c]) * step[c]).sum::<f32>() / size;
    // How fast it rises, over 1 px: at the edge fastest. Sand, a print or a soft shadow beside it rise slowly and long.
    let slope: Vec<f32> = row.windows(3).map(|three| height(&three[2]) - height(&three[0])).collect();
    let middle = slope.len() / 2;
    let steepest = (middle - far..=middle + far).max_by(|&a, &b| slope[a].total_cmp(&slope[b]))?;
    let half = slope[steepest] / 2.0;
    // To where it rises half as fast, between two samples.
    let reach = |outward: &mut dyn Iterator<Item = usize>| {
        let (mut last, mut steps) = (slope[steepest], 0.0f32);
        for i in outward {
            if slope[i] < half {
                return Some(f64::from(steps + (last - half) / (last - slope[i])));
            }
            (last, steps) = (slope[i], steps + 1.0);
        }
        None
    };
    let width = reach(&mut (0..steepest).rev())? + reach(&mut (steepest + 1..slope.len()))?;
    (half > 0.0).then_some(width * PITCH * RISE_OF_HALF_WIDTH)
}

/// From the width of a Gaussian at half its height, 2.355 standard deviations, to the rise of its integral from a tenth
/// to nine tenths, 2.563. Source: quantiles of the normal distribution.
const RISE_OF_HALF_WIDTH: f64 = 2.563 / 2.355;
/// Squared step in linear light, of full scale, from which its softness can be told.
const LEAST_STEP: f32 = 0.004;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::PhotoSize;

    /// A vertical edge at x = 200, blurred by a Gaussian: from a tenth to nine tenths it rises over 2.563
    /// standard deviations. Source: quantiles of the normal distribution (1.2816 at 90 %).
    #[test]
    fn a_gaussian_edge_rises_over_two_and_a_half_standard_deviations() {
        for sigma in [1.5f64, 3.0, 5.0] {
            let size = PhotoSize { width: 400, height: 200 };
            // The normal distribution by the logistic approximation of Bowling et al. 2009, good to 1e-4.
            let share = |z: f64| 1.0 / (1.0 + (-(0.07056 * z.powi(3) + 1.5976 * z)).exp());
            let coded = |linear: f64| (255.0 * (1.055 * linear.powf(1.0 / 2.4) - 0.055)).round() as u8;
            let pixels = (0..200 * 400)
                .flat_map(|i| [coded(0.05 + 0.6 * share((f64::from(i % 400) - 200.0) / sigma)), 128, 128])
                .collect();
            let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
            // Clockwise round the card, which lies to the right: up along its left side.
            let (start, end) = (PhotoPoint::new(200.0, 180.0), PhotoPoint::new(200.0, 20.0));
            let rise = rise_px(&photo, &LinearLight::default(), start, end).expect("a clear step");
            assert!((rise - 2.563 * sigma).abs() < 0.9, "{sigma}: {rise}");
        }
    }

    /// The deck darkens slowly towards a dark card, as it does where the card keeps the sky's light away: the edge is as
    /// sharp as it is.
    #[test]
    fn a_soft_shadow_beside_a_sharp_edge_does_not_make_it_soft() {
        let size = PhotoSize { width: 400, height: 200 };
        let coded = |linear: f64| (255.0 * (1.055 * linear.powf(1.0 / 2.4) - 0.055)).round() as u8;
        let linear = |x: f64| if x > 200.0 { 0.05 } else { 0.3 + 0.3 * ((200.0 - x) / 20.0).min(1.0) };
        let pixels =
            (0..200 * 400).flat_map(|i| [coded(linear(f64::from(i % 400))), 128, 128]).collect::<Vec<u8>>();
        let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
        let (start, end) = (PhotoPoint::new(200.0, 180.0), PhotoPoint::new(200.0, 20.0));
        let rise = rise_px(&photo, &LinearLight::default(), start, end).expect("a clear step");
        assert!(rise < 2.5, "{rise}");
    }

    #[test]
    fn where_there_is_no_step_nothing_is_told() {
        let size = PhotoSize { width: 400, height: 200 };
        let photo =
            Photo::from_ycbcr(vec![90; 400 * 200 * 3], size, Default::default()).expect("sizes agree");
        let (start, end) = (PhotoPoint::new(200.0, 180.0), PhotoPoint::new(200.0, 20.0));
        assert_eq!(rise_px(&photo, &LinearLight::default(), start, end), None);
    }
}
