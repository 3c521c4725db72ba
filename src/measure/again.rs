//! The points of an earlier photo of the same crab, found again in this one.

use super::{Request, SameSpots};
use crate::matching::find_again;
use crate::photo::Photo;
use crate::portable::Portable;
use crate::scene::Scene;
use crate::terms::MarkedPoint;
use crate::width::HeightPrior;

/// Standard uncertainty of a spot found again, each way, in mm on the shell: most lie within half a millimetre, some on
/// the next tooth; widths from them were 2.5 mm off (RMS) on 59 rendered pairs of scenes left out.
const FOUND_AGAIN_MM: f64 = 1.8;
/// Spots nearer to each other than this are one, in mm on the shell.
const ONE_SPOT_MM: f64 = 3.0;

/// The spots found again, for a photo in which the finder proposes nothing: where it does, its points are the better
/// ones (1.4 mm RMS on such pairs).
pub(super) fn found_again(
    photo: &Photo,
    scene: &Scene,
    request: &Request,
    spots: &SameSpots,
) -> Option<[MarkedPoint; 2]> {
    let pose = scene.poses.first()?;
    let height = HeightPrior::of(request.placement, request.height_share);
    let px_per_mm = scene.px_per_cm() / 10.0;
    let find = |which: usize| {
        let patch = &spots.patches[which];
        find_again(photo, &pose.intrinsics, &pose.pose, patch, &height, spots.width_mm)
    };
    let found = [find(0)?.point, find(1)?.point];
    if found[0].distance_px(found[1]) < ONE_SPOT_MM * px_per_mm {
        return None;
    }
    let u_px = (FOUND_AGAIN_MM * px_per_mm).portable_hypot(1.0);
    Some(found.map(|point| MarkedPoint { spot_u_mm: spots.spot_u_mm, ..MarkedPoint::round(point, u_px) }))
}

#[cfg(test)]
mod tests {
    use nalgebra::{Matrix3, Vector3};

    use super::*;
    use crate::camera::{FocalFrom, Intrinsics, Pose};
    use crate::card::FoundCard;
    use crate::scene::ScenePose;
    use crate::terms::Placement;
    use crate::units::{PhotoPoint, PhotoSize};
    use crate::width::to_photo;

    const SIZE: PhotoSize = PhotoSize { width: 640, height: 480 };
    const HEIGHT_MM: f64 = 24.0;
    const SPOTS: [Vector3<f64>; 2] =
        [Vector3::new(-62.0, 4.0, HEIGHT_MM), Vector3::new(63.0, -3.0, HEIGHT_MM)];

    /// A smooth pattern that is nowhere the same twice within reach.
    fn luma(x: f64, y: f64) -> f64 {
        let wave = |across: f64, up: f64, by: f64| (across * x + up * y + by).portable_sin();
        128.0
            + 30.0 * wave(0.9, 0.37, 0.3)
            + 28.0 * wave(-0.43, 1.1, 1.9)
            + 25.0 * wave(0.61, -0.83, 0.7)
            + 20.0 * wave(0.17, 0.29, 2.0)
    }

    /// A photo by a camera at `eye` of a patterned plane at the height of the spots, moved by `shift_mm` to the right.
    fn photo_from(eye: Vector3<f64>, shift_mm: f64) -> (Photo, Scene) {
        let intrinsics = Intrinsics::centred(900.0, SIZE);
        let forward = -eye.normalize();
        let right = forward.cross(&Vector3::y()).normalize();
        let down = forward.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
        let pose = Pose { rotation, translation_mm: -(rotation * eye) };
        let pixels = (0..SIZE.height * SIZE.width).flat_map(|i| {
            let at = PhotoPoint::new(f64::from(i % SIZE.width), f64::from(i / SIZE.width));
            let place = crate::width::on_height_plane(&intrinsics, &pose, at, HEIGHT_MM);
            [place.map_or(0, |place| luma(place.x - shift_mm, place.y).round() as u8), 128, 128]
        });
        let photo = Photo::from_ycbcr(pixels.collect(), SIZE, Default::default()).expect("sizes agree");
        let corners = crate::camera::ippe::card_corners_mm(crate::card::ID1_MM).map(|corner| {
            to_photo(&intrinsics, &pose, &Vector3::new(corner.x, corner.y, 0.0)).expect("in front")
        });
        let scene = Scene {
            size: SIZE,
            card: FoundCard { corners, corner_u_px: [0.4; 4], unsure_edges: [false; 4] },
            poses: vec![ScenePose { intrinsics, pose, weight: 1.0, rms_px: 0.0 }],
            focal_from: FocalFrom::Exif,
            focal_relative_u: 0.02,
            prior_intrinsics: intrinsics,
            principal_u_px: 3.0,
            lens: None,
        };
        (photo, scene)
    }

    fn seen(scene: &Scene, place: Vector3<f64>) -> PhotoPoint {
        let pose = &scene.poses[0];
        to_photo(&pose.intrinsics, &pose.pose, &place).expect("in front")
    }

    fn spots_of(photo: &Photo, scene: &Scene, places: [Vector3<f64>; 2]) -> SameSpots {
        let points =
            places.map(|place| MarkedPoint { spot_u_mm: 0.4, ..MarkedPoint::round(seen(scene, place), 1.5) });
        SameSpots::cut(photo, scene, &points, 125.0).expect("a pose")
    }

    fn found(photo: &Photo, scene: &Scene, spots: &SameSpots) -> Option<[MarkedPoint; 2]> {
        let request = Request { placement: Placement::Deck, ..Request::default() };
        found_again(photo, scene, &request, spots)
    }

    const SOUTH: Vector3<f64> = Vector3::new(40.0, -170.0, 560.0);
    const NORTH: Vector3<f64> = Vector3::new(-50.0, 190.0, 540.0);

    /// Source: the projection of the spots; a third of a pixel is left for the eight bits of each and the raster.
    #[test]
    fn both_spots_are_found_again_to_a_part_of_a_pixel() {
        let (first, first_scene) = photo_from(SOUTH, 0.0);
        let spots = spots_of(&first, &first_scene, SPOTS);
        for shift_mm in [0.0, 1.0] {
            let (other, mut scene) = photo_from(NORTH, shift_mm);
            // Which end of the card is up cannot be seen: both ways are tried.
            for _ in 0..2 {
                let points = found(&other, &scene, &spots).expect("both spots");
                let (_, told) = photo_from(NORTH, 0.0);
                for (point, place) in points.iter().zip(SPOTS) {
                    let expected = seen(&told, place + Vector3::x() * shift_mm);
                    let off = point.point.distance_px(expected);
                    assert!(off < 0.35, "moved by {shift_mm} mm: {off} px off");
                    let u_px = point.covariance_px2[(0, 0)].sqrt();
                    let px_per_mm = scene.px_per_cm() / 10.0;
                    assert!((u_px / (FOUND_AGAIN_MM * px_per_mm).hypot(1.0) - 1.0).abs() < 1e-9);
                    assert!((point.spot_u_mm - 0.4).abs() < 1e-9);
                }
                scene.poses[0].pose.rotation *= Matrix3::from_diagonal(&Vector3::new(-1.0, -1.0, 1.0));
            }
        }
    }

    #[test]
    fn what_is_not_there_is_not_found_and_one_spot_is_not_two() {
        let (first, first_scene) = photo_from(SOUTH, 0.0);
        let (other, scene) = photo_from(NORTH, 400.0);
        assert!(found(&other, &scene, &spots_of(&first, &first_scene, SPOTS)).is_none());
        let (other, scene) = photo_from(NORTH, 0.0);
        let twice = [SPOTS[0], SPOTS[0] + Vector3::x()];
        assert!(found(&other, &scene, &spots_of(&first, &first_scene, twice)).is_none());
    }
}
