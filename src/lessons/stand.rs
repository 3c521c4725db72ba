//! What the place of the phone makes of a width: the live diagram, computed by the solve that measures photos.
//!
//! A shell 158.75 mm wide stands on a deck with a card before it, and a phone looks at both from a height and a tilt: from
//! the card's side, square to the width. Its photo is computed and read again as every photo is: off the deck as a plane,
//! alone, and with a second one from the other side.

use nalgebra::{Matrix3, Vector3};

use crate::camera::intrinsics::FRAME_35MM_DIAGONAL_MM;
use crate::camera::ippe::card_corners_mm;
use crate::camera::{FocalFrom, Intrinsics, Lens, Pose};
use crate::card::{FoundCard, ID1_MM};
use crate::portable::Portable;
use crate::scene::{Scene, ScenePose};
use crate::terms::{MarkedPoint, Placement};
use crate::units::{PhotoPoint, PhotoSize};
use crate::width::{HeightPrior, View, join, measure_width, on_height_plane, to_photo};

/// Width of the shell that is looked at: 6 1/4 in, the limit of Puget Sound.
pub const SHELL_MM: f64 = 158.75;
/// From the line between the measuring points to the card's middle: what lies nearer is hidden by legs and claws.
const CARD_AWAY_MM: f64 = 110.0;
/// A phone's main camera: 26 mm equivalent, 12 megapixels.
const PHOTO: PhotoSize = PhotoSize { width: 4032, height: 3024 };
const FOCAL_35MM: u16 = 26;
/// How exactly corners and points are seen, in px, and how well the focal length and the middle of the picture are known.
/// Common practice: corners and focal length as in the method's simulations, points as placed by hand.
const CORNER_U_PX: f64 = 0.7;
const POINT_U_PX: f64 = 2.0;
const FOCAL_RELATIVE_U: f64 = 0.02;
const PRINCIPAL_U_PX: f64 = 20.0;
/// The second photo is taken from so far round, in degrees: as the pairs of photos with known truth were.
const BETWEEN_DEG: f64 = 30.0;

/// Where the phone is, and how high the shell's edge stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// Height of the camera above the deck, in mm.
    pub camera_mm: f64,
    /// Tilt from straight down, in degrees: towards the card's side, where the person stands.
    pub tilt_deg: f64,
    /// Height of the measuring points above the deck, in mm.
    pub edge_mm: f64,
}

/// What a photo from there tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Too wide by so much when the points are read off the deck, in mm.
    pub flat_mm: f64,
    /// One photo.
    pub one: Told,
    /// With a second photo from the other side.
    pub two: Told,
    /// Where the rays through both points meet the deck: so far beyond the points, away from the card, in mm.
    pub on_deck_mm: f64,
    /// Where the phone is: so far beyond the points, away from the card, and above the deck, in mm.
    pub phone_mm: [f64; 2],
    /// Where it is for the second photo.
    pub second_phone_mm: [f64; 2],
}

/// A width that was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// Off the truth by so much, in mm: positive where it is too wide.
    pub off_mm: f64,
    /// Its standard uncertainty, in mm.
    pub u_mm: f64,
}

impl Stand {
    /// What a photo from there tells; `None` where the phone stands below the shell or looks along the deck.
    pub fn reading(&self) -> Option<Reading> {
        let first = Photo::from(self.camera_mm, self.tilt_deg, self.edge_mm)?;
        let second = Photo::from(self.camera_mm, self.tilt_deg - BETWEEN_DEG, self.edge_mm)?;
        let on_deck = first.read_at(0.0)?;
        let height = HeightPrior::of(Placement::Deck, None);
        let one = measure_width(&first.view(), &height)?;
        let two = join(&[first.view(), second.view()], &height)?.width;
        let told = |width_mm: f64, u_mm: f64| Told { off_mm: width_mm - SHELL_MM, u_mm };
        Some(Reading {
            flat_mm: (on_deck[0] - on_deck[1]).norm() - SHELL_MM,
            one: told(one.width_mm, one.u_mm),
            two: told(two.width_mm, two.u_mm),
            on_deck_mm: on_deck[0].y - CARD_AWAY_MM,
            phone_mm: first.phone_mm(),
            second_phone_mm: second.phone_mm(),
        })
    }
}

/// A photo of shell and card, in the card's frame.
struct Photo {
    scene: Scene,
    /// The pose it was taken from.
    pose: Pose,
    points: [PhotoPoint; 2],
}

impl Photo {
    fn from(camera_mm: f64, tilt_deg: f64, edge_mm: f64) -> Option<Self> {
        let (sine, cosine) = tilt_deg.to_radians().portable_sin_cos();
        if !(camera_mm > edge_mm && cosine > 0.0) {
            return None;
        }
        // The phone looks at the middle between card and points.
        let aim = Vector3::new(0.0, CARD_AWAY_MM / 2.0, 0.0);
        let camera = aim + Vector3::new(0.0, -camera_mm * sine / cosine, camera_mm);
        let ahead = Vector3::new(0.0, sine, -cosine);
        let right = Vector3::x();
        let down = ahead.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), ahead.transpose()]);
        let pose = Pose { rotation, translation_mm: -(rotation * camera) };
        let focal_px = f64::from(FOCAL_35MM) / FRAME_35MM_DIAGONAL_MM * PHOTO.diagonal_px();
        let intrinsics = Intrinsics::centred(focal_px, PHOTO);
        let seen = |x: f64, y: f64, z: f64| to_photo(&intrinsics, &pose, &Vector3::new(x, y, z));
        let [a, b, c, d] = card_corners_mm(ID1_MM).map(|corner| seen(corner.x, corner.y, 0.0));
        let [left, right] = [-0.5, 0.5].map(|side| seen(side * SHELL_MM, CARD_AWAY_MM, edge_mm));
        let card =
            FoundCard { corners: [a?, b?, c?, d?], corner_u_px: [CORNER_U_PX; 4], unsure_edges: [false; 4] };
        let scene = Scene {
            size: PHOTO,
            card,
            // Seen without a fault, the card has the pose that it was seen from.
            poses: vec![ScenePose { intrinsics, pose, weight: 1.0, rms_px: 0.0 }],
            focal_from: FocalFrom::Exif,
            focal_relative_u: FOCAL_RELATIVE_U,
            prior_intrinsics: intrinsics,
            principal_u_px: PRINCIPAL_U_PX,
            lens: Some(Lens {
                camera: String::new(),
                focal_mm: None,
                focal_35mm: FOCAL_35MM,
                digital_zoom: None,
                sides_px: [PHOTO.width, PHOTO.height],
            }),
        };
        Some(Self { scene, pose, points: [left?, right?] })
    }

    fn view(&self) -> View<'_> {
        let points = self.points.map(|point| MarkedPoint::round(point, POINT_U_PX));
        View { scene: &self.scene, points }
    }

    /// Both points as if they stood at `height_mm`, seen from where the photo was taken.
    fn read_at(&self, height_mm: f64) -> Option<[Vector3<f64>; 2]> {
        let camera = &self.scene.prior_intrinsics;
        let [left, right] = self.points.map(|point| on_height_plane(camera, &self.pose, point, height_mm));
        Some([left?, right?])
    }

    fn phone_mm(&self) -> [f64; 2] {
        let camera = self.pose.camera_in_card_mm();
        [camera.y - CARD_AWAY_MM, camera.z]
    }
}
