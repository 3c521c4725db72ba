//! The practice photo through the same finder and solver as a real one.

use shellspan::measure::{Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::practice::scene::photograph;
use shellspan::terms::Dimension;

use super::{PUGET_SOUND, crabs, grounds};

/// Photos drawn in the suite: each takes some four seconds.
const PHOTOS: u32 = 4;

/// The camera stands 46 to 74 cm away and leans 8 to 20 degrees; the height of the shell's edge is spread as the prior
/// has it. The points are the true ones, the card is found.
#[test]
fn the_solved_width_agrees_with_the_drawn_one_within_its_interval() {
    let grounds = grounds(PUGET_SOUND);
    for (crab, _) in crabs(1, PHOTOS, &grounds) {
        let scene = photograph(&crab, 1);
        let photo = Photo::decode(&scene.png(), &Limits::default()).expect("a photo");
        assert_eq!(photo.exif.focal_35mm, Some(26));
        let points = scene.points(&crab, Dimension::Notch).expect("they are seen");
        let request =
            Request { points: Some(points), species: Some(crab.kind.id.into()), ..Request::default() };
        let found = measure(&photo, &request, &mut || 0.0).0.expect("the card is found");
        let (truth, [low, high]) = (crab.width_mm(Dimension::Notch), found.width.interval_mm);
        assert!(low <= truth && truth <= high, "crab {}: {truth} not in {low} to {high}", crab.number);
        // Not by an interval so wide that it would hold anything.
        assert!(high - low < 0.12 * truth, "crab {}: {low} to {high}", crab.number);
        // The corners that were found are those that were drawn.
        let [half_x, half_y] = shellspan::card::ID1_MM.map(|side| side / 2.0);
        for (x, y) in [(-half_x, half_y), (half_x, half_y), (half_x, -half_y), (-half_x, -half_y)] {
            let corner = nalgebra::Vector3::new(x, y, 0.0);
            let drawn = scene.view.intrinsics.project(&scene.view.pose.transform(&corner)).expect("seen");
            let near =
                found.scene.card.corners.iter().map(|at| at.distance_px(drawn)).fold(f64::MAX, f64::min);
            assert!(near < 1.5, "crab {}: a corner is {near:.2} px off", crab.number);
        }
    }
}

#[test]
fn the_same_crab_gives_the_same_photo() {
    let grounds = grounds(PUGET_SOUND);
    let (crab, _) = crabs(2, 1, &grounds).remove(0);
    let (one, other) = (photograph(&crab, 5), photograph(&crab, 5));
    assert_eq!(one.view, other.view);
    assert_eq!(one.rgb, other.rgb);
    assert_ne!(photograph(&crab, 6).view, one.view);
}
