//! Where the camera stands, and where the crab lies beside the card.

use nalgebra::{Matrix3, Vector3};

use crate::camera::refine::rotation_of;
use crate::camera::{Intrinsics, Pose};
use crate::portable::Portable;
use crate::practice::crab::Crab;
use crate::practice::outline::Place;
use crate::practice::random::Random;
use crate::rules::pack::species::DEFAULT_HEIGHT;
use crate::units::{PhotoPoint, PhotoSize};

/// 4:3 as phones deliver, and small enough to be drawn in a second or two.
pub const SIZE: PhotoSize = PhotoSize { width: 1600, height: 1200 };
/// The lens, as EXIF tells it: 35 mm equivalent by the diagonal (CIPA DCG-001).
pub const FOCAL_35MM: u16 = 26;
/// The same in px: the diagonal is 2000 px, that of the 35 mm frame 43.2666 mm.
pub const FOCAL_PX: f64 = 26.0 / 43.266_615_305_567_87 * 2000.0;
/// The card lies with its lower face on the deck: ISO/IEC 7810, thickness of an ID-1 card.
pub const CARD_THICK_MM: f64 = 0.76;

/// The scene's geometry. Its frame is the card's: mm, the origin on the middle of its face, z up.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The lens.
    pub intrinsics: Intrinsics,
    /// The card before the camera.
    pub pose: Pose,
    /// The middle of the crab.
    pub crab_at: Place,
    /// How far the crab is turned, in radians anticlockwise.
    pub crab_turn: f64,
    /// Height of the shell's edge above the card's face, in mm.
    pub edge_mm: f64,
    /// The share of the width that the edge stands above the deck.
    pub height_share: f64,
    /// Where the light comes from, a unit vector.
    pub light: Vector3<f64>,
    /// What draws grain and planks.
    pub grain: u64,
}

impl View {
    /// The view of a crab under `seed`: 520 to 680 mm away, tilted by 8 to 20 degrees, as the page advises.
    pub fn of(crab: &Crab, seed: u64) -> Self {
        let mut random = Random::of_part(seed ^ crab.marks, u64::from(crab.number));
        let half = crab.outline.tip[0];
        // The card lies behind the crab, clear of its legs.
        let away = 1.5 * half + 42.0 + random.between(0.0, 14.0);
        let crab_turn = random.between(-0.2, 0.2);
        let aside = random.between(-0.25, 0.25) * half;
        let crab_at = [aside, away];
        let distance = (3.6 * half + 60.0).clamp(460.0, 680.0) + random.between(0.0, 60.0);
        let facing = Matrix3::from_diagonal(&Vector3::new(1.0, -1.0, -1.0));
        let about = random.between(0.0, std::f64::consts::TAU);
        let (sin, cos) = about.portable_sin_cos();
        let tilt = random.between(8.0, 20.0).to_radians();
        let lean = rotation_of(&(Vector3::new(cos, sin, 0.0) * tilt));
        let roll = rotation_of(&Vector3::new(0.0, 0.0, random.between(-0.15, 0.15)));
        let rotation = lean * roll * facing;
        // The camera looks at the middle between card and crab.
        let middle = Vector3::new(aside / 2.0, away * 0.62, 0.0);
        let translation_mm = Vector3::new(0.0, 0.0, distance) - rotation * middle;
        let height_share = normal(&mut random) * DEFAULT_HEIGHT.u + DEFAULT_HEIGHT.k;
        // The prior's own spread, cut off where no crab stands.
        let height_share = height_share.clamp(0.12, 0.32);
        let widest = 2.0 * half;
        let light = Vector3::new(random.between(-0.5, 0.5), random.between(-0.5, 0.5), 1.0).normalize();
        Self {
            intrinsics: Intrinsics::centred(FOCAL_PX, SIZE),
            pose: Pose { rotation, translation_mm },
            crab_at,
            crab_turn,
            edge_mm: height_share * widest - CARD_THICK_MM,
            height_share,
            light,
            grain: random.whole(),
        }
    }

    /// A place of the crab at a height above the card's face, in the card's frame.
    pub fn in_card(&self, [x, y]: Place, height_mm: f64) -> Vector3<f64> {
        let (sin, cos) = self.crab_turn.portable_sin_cos();
        Vector3::new(self.crab_at[0] + x * cos - y * sin, self.crab_at[1] + x * sin + y * cos, height_mm)
    }

    /// Where a place of the shell's edge is seen.
    pub fn seen(&self, place: Place) -> Option<PhotoPoint> {
        self.intrinsics.project(&self.pose.transform(&self.in_card(place, self.edge_mm)))
    }
}

/// A normal number: mean 0, standard deviation 1 (Box and Muller 1958).
fn normal(random: &mut Random) -> f64 {
    let radius = (-2.0 * (1.0 - random.share()).portable_ln()).sqrt();
    radius * (random.share() * std::f64::consts::TAU).portable_cos()
}
