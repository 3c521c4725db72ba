//! Along the epipolar line, and a little to its sides: where does the other photo show the same?

use nalgebra::{Matrix3, Vector2, Vector3};

use super::correlation::correlation;
use super::patch::Patch;
use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::units::PhotoPoint;
use crate::width::{HeightPrior, on_height_plane, to_photo};

/// Half the side of the window that is compared, in mm on the shell: one tooth. A larger one holds more of the deck,
/// which moves otherwise (5 mm found half as many of the same spots again).
const HALF_WINDOW_MM: f64 = 3.0;
/// Samples from its middle to its rim.
const HALF_SAMPLES: i32 = 10;
/// Steps along the ray, in mm of height, and to the side of the line, in mm on the shell.
const HEIGHT_STEP_MM: f64 = 0.75;
const SIDE_STEP_MM: f64 = 0.4;
/// How far to the side the spot may lie: the poses of both cards are a little off, a crab breathes.
const SIDE_STEPS: i32 = 6;
/// The height is looked for within so many standard uncertainties of the expected one.
const HEIGHT_REACH: f64 = 2.5;
/// Least likeness of a spot that is shown as the same: on the rendered pairs of two still scenes three of four above it
/// lay within 1 mm, half of those below; the others were on the next tooth.
const LEAST_LIKENESS: f64 = 0.75;

/// A spot found again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundAgain {
    /// Where, in the other photo.
    pub point: PhotoPoint,
    /// How alike both look, up to 1.
    pub likeness: f64,
    /// Height of the spot above the card's face, in mm, where both rays meet.
    pub height_mm: f64,
}

/// Looks for the spot of `patch` in `photo`, seen by a camera with this pose; `width_mm`: about how wide the crab is.
///
/// The card's ends may be swapped between the photos: both ways are tried. `None` where nothing looks alike enough.
pub fn find_again(
    photo: &Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    patch: &Patch,
    height: &HeightPrior,
    width_mm: f64,
) -> Option<FoundAgain> {
    let half_turn = Matrix3::from_diagonal(&Vector3::new(-1.0, -1.0, 1.0));
    let turned = Pose { rotation: pose.rotation * half_turn, ..*pose };
    [*pose, turned]
        .iter()
        .filter_map(|pose| Search { photo, intrinsics, pose, patch }.best(height, width_mm))
        .max_by(|a, b| a.likeness.total_cmp(&b.likeness))
        .filter(|found| found.likeness >= LEAST_LIKENESS)
}

struct Search<'a> {
    photo: &'a Photo,
    intrinsics: &'a Intrinsics,
    pose: &'a Pose,
    patch: &'a Patch,
}

impl Search<'_> {
    fn best(&self, height: &HeightPrior, width_mm: f64) -> Option<FoundAgain> {
        let (middle, reach) = (height.height_mm(width_mm), HEIGHT_REACH * height.u_mm(width_mm) + 4.0);
        let steps = (reach / HEIGHT_STEP_MM).ceil() as i32;
        let mut best: Option<(f64, i32, i32)> = None;
        for along in -steps..=steps {
            let height_mm = middle + f64::from(along) * HEIGHT_STEP_MM;
            let Some(template) = self.template(height_mm) else { continue };
            for across in -SIDE_STEPS..=SIDE_STEPS {
                if let Some(likeness) = self.likeness(&template, height_mm, f64::from(across) * SIDE_STEP_MM)
                    && best.is_none_or(|best| likeness > best.0)
                {
                    best = Some((likeness, along, across));
                }
            }
        }
        let (likeness, along, across) = best?;
        // The top of a parabola through the neighbours, each way.
        let at = |along: f64, across: f64| {
            let height_mm = middle + along * HEIGHT_STEP_MM;
            self.likeness(&self.template(height_mm)?, height_mm, across * SIDE_STEP_MM)
        };
        let (a, s) = (f64::from(along), f64::from(across));
        let finer = |before: Option<f64>, after: Option<f64>| {
            let (Some(before), Some(after)) = (before, after) else { return 0.0 };
            let bend = before - 2.0 * likeness + after;
            if bend < -1e-9 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 }
        };
        let along = a + finer(at(a - 1.0, s), at(a + 1.0, s));
        let across = s + finer(at(a, s - 1.0), at(a, s + 1.0));
        let height_mm = middle + along * HEIGHT_STEP_MM;
        let place = self.place(height_mm, across * SIDE_STEP_MM)?;
        let point = to_photo(self.intrinsics, self.pose, &place)?;
        self.photo.size().contains(point).then_some(FoundAgain { point, likeness, height_mm })
    }

    /// Where the marked point's ray is at a height.
    fn on_ray(&self, height_mm: f64) -> Option<Vector3<f64>> {
        on_height_plane(&self.patch.intrinsics, &self.patch.pose, self.patch.point, height_mm)
    }

    /// A place beside the ray: square to the line along which the other photo sees the ray.
    fn place(&self, height_mm: f64, across_mm: f64) -> Option<Vector3<f64>> {
        let baseline = self.pose.camera_in_card_mm() - self.patch.pose.camera_in_card_mm();
        let along = Vector2::new(baseline.x, baseline.y).try_normalize(1e-6)?;
        Some(self.on_ray(height_mm)? + Vector3::new(-along.y, along.x, 0.0) * across_mm)
    }

    /// The patch seen square-on in the plane at this height.
    fn template(&self, height_mm: f64) -> Option<Vec<f32>> {
        let middle = self.on_ray(height_mm)?;
        window(middle, |place| {
            self.patch.luma_at(to_photo(&self.patch.intrinsics, &self.patch.pose, &place)?)
        })
    }

    fn likeness(&self, template: &[f32], height_mm: f64, across_mm: f64) -> Option<f64> {
        let seen = window(self.place(height_mm, across_mm)?, |place| {
            let at = to_photo(self.intrinsics, self.pose, &place)?;
            self.photo.size().contains(at).then(|| self.photo.luma_at(at))
        })?;
        correlation(template, &seen)
    }
}

/// Samples of a level window about `middle`; `None` where one of them is not seen.
fn window(middle: Vector3<f64>, sample: impl Fn(Vector3<f64>) -> Option<f32>) -> Option<Vec<f32>> {
    let step = HALF_WINDOW_MM / f64::from(HALF_SAMPLES);
    let mut values = Vec::with_capacity(((2 * HALF_SAMPLES + 1) * (2 * HALF_SAMPLES + 1)) as usize);
    for row in -HALF_SAMPLES..=HALF_SAMPLES {
        for column in -HALF_SAMPLES..=HALF_SAMPLES {
            let off = Vector3::new(f64::from(column), f64::from(row), 0.0) * step;
            values.push(sample(middle + off)?);
        }
    }
    Some(values)
}
