//! A photo drawn by the pinhole model (Hartley & Zisserman, Multiple View Geometry, 2nd ed., 6.1): a card of ISO/IEC
//! 7810 ID-1 on a plain deck, seen by a known camera from a known place. All that is asked of it follows from that.

use nalgebra::{Matrix3, Vector3};
use shellspan::camera::refine::rotation_of;
use shellspan::camera::{Intrinsics, Pose};
use shellspan::measure::{Measurement, Refused, Request, measure};
use shellspan::photo::{ExifFacts, Photo};
use shellspan::terms::Dimension;
use shellspan::units::{PhotoPoint, PhotoSize};

/// ISO/IEC 7810: size and corner radius of an ID-1 card, in mm.
const SIZE_MM: [f64; 2] = [85.60, 53.98];
const RADIUS_MM: f64 = 3.18;
/// Samples along each side of a pixel.
const SAMPLES: i32 = 2;

/// 4:3, as phones deliver; 26 mm equivalent (CIPA DCG-001, by the diagonal).
pub const SIZE: PhotoSize = PhotoSize { width: 1600, height: 1200 };
pub const FOCAL_35MM: u16 = 26;
pub const FOCAL_PX: f64 = 26.0 / 43.266_615 * 2000.0;

/// Light of the scene, coded, red, green and blue.
pub type Rgb = [f64; 3];
pub const CARD: Rgb = [225.0, 222.0, 210.0];
pub const DECK: Rgb = [70.0, 80.0, 90.0];

/// The deck with a card and what else lies there.
pub struct Drawn {
    pub pose: Pose,
    pub size: PhotoSize,
    pub exif: ExifFacts,
    pub card: Rgb,
    pub deck: Rgb,
    /// Where the middles of the cards lie on the deck, in mm of the first one's frame.
    pub cards_mm: Vec<[f64; 2]>,
    /// Covers places of the deck (mm) with a colour.
    pub cover: fn(f64, f64) -> Option<Rgb>,
}

/// A camera `distance_mm` from the card, whose normal leans `tilt_deg` from the line of sight.
pub fn seen_from(distance_mm: f64, tilt_deg: f64) -> Drawn {
    let facing = Matrix3::from_diagonal(&Vector3::new(1.0, -1.0, -1.0));
    let lean = rotation_of(&Vector3::new(0.6, 0.8, 0.0).scale(tilt_deg.to_radians()));
    let turn = rotation_of(&Vector3::new(0.0, 0.0, 0.2));
    Drawn {
        pose: Pose { rotation: lean * turn * facing, translation_mm: Vector3::new(0.0, 0.0, distance_mm) },
        size: SIZE,
        exif: ExifFacts { focal_35mm: Some(FOCAL_35MM), pixel_size: Some(SIZE), ..ExifFacts::default() },
        card: CARD,
        deck: DECK,
        cards_mm: vec![[0.0, 0.0]],
        cover: |_, _| None,
    }
}

impl Drawn {
    pub fn intrinsics(&self) -> Intrinsics {
        Intrinsics::centred(FOCAL_PX, self.size)
    }

    /// Where a place (mm of the card's frame) is seen.
    pub fn seen(&self, place_mm: [f64; 3]) -> PhotoPoint {
        let at = self.pose.transform(&Vector3::from(place_mm));
        self.intrinsics().project(&at).expect("in front of the camera")
    }

    /// The card's virtual corners, clockwise on the screen.
    pub fn corners(&self) -> [PhotoPoint; 4] {
        let [x, y] = SIZE_MM.map(|side| side / 2.0);
        [[-x, y, 0.0], [x, y, 0.0], [x, -y, 0.0], [-x, -y, 0.0]].map(|place| self.seen(place))
    }

    fn colour(&self, x: f64, y: f64) -> Rgb {
        if let Some(cover) = (self.cover)(x, y) {
            return cover;
        }
        let on_card = self.cards_mm.iter().any(|[cx, cy]| {
            let dx = (x - cx).abs() - (SIZE_MM[0] / 2.0 - RADIUS_MM);
            let dy = (y - cy).abs() - (SIZE_MM[1] / 2.0 - RADIUS_MM);
            dx.max(0.0).hypot(dy.max(0.0)) <= RADIUS_MM && dx.max(dy) <= RADIUS_MM
        });
        if on_card { self.card } else { self.deck }
    }

    /// The photo.
    pub fn photo(&self) -> Photo {
        let (camera, eye) = (self.intrinsics(), self.pose.camera_in_card_mm());
        let back = self.pose.rotation.transpose();
        let mut pixels = Vec::with_capacity(3 * (self.size.width * self.size.height) as usize);
        let share = f64::from(SAMPLES * SAMPLES).recip();
        for y in 0..self.size.height {
            for x in 0..self.size.width {
                let mut sum = [0.0; 3];
                for k in 0..SAMPLES * SAMPLES {
                    let part = |k: i32| (f64::from(k) + 0.5) / f64::from(SAMPLES) - 0.5;
                    let at =
                        PhotoPoint::new(f64::from(x) + part(k % SAMPLES), f64::from(y) + part(k / SAMPLES));
                    let ray = back * camera.ray(at);
                    let place = eye - ray * (eye.z / ray.z);
                    let rgb = self.colour(place.x, place.y);
                    sum.iter_mut().zip(rgb).for_each(|(sum, value)| *sum += share * value);
                }
                // A grain of a few levels, so that the noise is not nought.
                let grain = f64::from((x * 7 + y * 13 + x * y) % 5) - 2.0;
                let [r, g, b] = sum.map(|value| value + grain);
                // Source: JFIF 1.02.
                let luma = 0.299 * r + 0.587 * g + 0.114 * b;
                let (cb, cr) = (128.0 + (b - luma) / 1.772, 128.0 + (r - luma) / 1.402);
                pixels.extend([luma, cb, cr].map(|value| value.round().clamp(0.0, 255.0) as u8));
            }
        }
        Photo::from_ycbcr(pixels, self.size, self.exif.clone()).expect("sizes agree")
    }

    /// A request with the true corners and two points of the deck's frame, in mm.
    pub fn request(&self, points_mm: [[f64; 3]; 2]) -> Request {
        Request {
            card_corners: Some(self.corners()),
            points: Some(points_mm.map(|place| self.seen(place))),
            dimension: Dimension::Tips,
            ..Request::default()
        }
    }
}

pub fn measured(photo: &Photo, request: &Request) -> Result<Measurement, Box<Refused>> {
    measure(photo, request, &mut || 0.0).0
}
