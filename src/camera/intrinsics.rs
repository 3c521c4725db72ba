//! The intrinsics of a phone's camera, from EXIF or from a wide prior.

use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

use super::CameraPrior;
use crate::photo::ExifFacts;
use crate::portable::Portable;
use crate::units::{PhotoPoint, PhotoSize};

/// Pinhole intrinsics with square pixels.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Intrinsics {
    /// Focal length in pixels of the upright photo.
    pub focal_px: f64,
    /// Where the optical axis meets the photo.
    pub principal_point: PhotoPoint,
}

impl Intrinsics {
    /// Principal point at the centre of the photo: `((W-1)/2, (H-1)/2)`.
    pub fn centred(focal_px: f64, size: PhotoSize) -> Self {
        let principal_point =
            PhotoPoint::new((f64::from(size.width) - 1.0) / 2.0, (f64::from(size.height) - 1.0) / 2.0);
        Self { focal_px, principal_point }
    }

    /// Direction of the ray through `point` in the camera frame (x right, y down, z forward), z = 1.
    pub fn ray(&self, point: PhotoPoint) -> Vector3<f64> {
        Vector3::new(
            (point.x - self.principal_point.x) / self.focal_px,
            (point.y - self.principal_point.y) / self.focal_px,
            1.0,
        )
    }

    /// Projects a point of the camera frame. `None` when it is not in front of the camera.
    pub fn project(&self, point_in_camera: &Vector3<f64>) -> Option<PhotoPoint> {
        (point_in_camera.z > 1e-9).then(|| {
            PhotoPoint::new(
                self.focal_px * point_in_camera.x / point_in_camera.z + self.principal_point.x,
                self.focal_px * point_in_camera.y / point_in_camera.z + self.principal_point.y,
            )
        })
    }
}

/// Where the focal length came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FocalFrom {
    /// EXIF FocalLengthIn35mmFilm.
    Exif,
    /// A calibration of this phone.
    Calibration,
    /// Nothing is known of the lens: the range of phones' main cameras.
    Prior,
}

/// What is known of the focal length before the card is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FocalPrior {
    /// Most likely focal length in pixels.
    pub focal_px: f64,
    /// Relative standard uncertainty (0.02 is 2 %).
    pub relative_u: f64,
    /// Where it came from.
    pub from: FocalFrom,
}

/// A lens at the size of picture it made, as the file tells them: equal ones share the error of their focal length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lens {
    /// Make, model and lens as written; empty where the file is silent.
    pub camera: String,
    /// FocalLength in mm.
    pub focal_mm: Option<f64>,
    /// FocalLengthIn35mmFilm in mm.
    pub focal_35mm: u16,
    /// DigitalZoomRatio.
    pub digital_zoom: Option<f64>,
    /// Sides of the picture in px, the longer first.
    pub sides_px: [u32; 2],
}

impl Lens {
    /// The lens of a picture. `None` where the file does not tell, or shows that it is a part of a picture.
    pub fn of(exif: &ExifFacts, size: PhotoSize) -> Option<Self> {
        let whole = PictureHistory::of(exif, size) != PictureHistory::Cropped;
        let focal_35mm = exif.focal_35mm.filter(|_| whole)?;
        Some(Self {
            camera: exif.camera.clone().unwrap_or_default(),
            focal_mm: exif.focal_mm,
            focal_35mm,
            digital_zoom: exif.digital_zoom,
            sides_px: [size.long_side(), size.width.min(size.height)],
        })
    }
}

/// Diagonal of a 36 x 24 mm frame in mm: sqrt(36^2 + 24^2).
pub const FRAME_35MM_DIAGONAL_MM: f64 = 43.266_615_305_567_87;

/// A phone's main camera where nothing is known: 26 mm equivalent. Main cameras run from 23 to 28 mm and
/// some photos come through a 2x crop; 8 % covers the first (common practice); a 2x crop is beyond it and shows as a card that fits badly.
const UNKNOWN_LENS_35MM: f64 = 26.0;
const UNKNOWN_LENS_U: f64 = 0.08;
/// Whole millimetres at 26 mm leave 1.1 %, phones' real lenses differ by 1 % from their nominal, and some
/// makers count by the frame's width (3.85 % on a 4:3 sensor): 2 % in all.
const EXIF_LENS_U: f64 = 0.02;
/// Focal length and pitch of the sensor's pixels are both rounded, and some makers count the whole sensor.
const SENSOR_LENS_U: f64 = 0.03;
/// Off-centre optical axis of phones, as a share of the long side (common practice).
const PRINCIPAL_U: f64 = 0.004;

impl FocalPrior {
    /// What EXIF and the size of the picture say.
    ///
    /// Source: CIPA DCG-001, equivalence by equal diagonal angle of view:
    /// `focal_px = f35 / 43.2666 * diagonal_px`.
    pub fn of(exif: &ExifFacts, size: PhotoSize) -> (Self, PictureHistory) {
        let history = PictureHistory::of(exif, size);
        let Some((f35, lens_u)) = lens_35mm(exif, size) else {
            let (f35, lens_u) = unknown_lens(exif.focal_mm);
            let focal_px = f35 / FRAME_35MM_DIAGONAL_MM * size.diagonal_px();
            let relative_u = if history == PictureHistory::Cropped { lens_u.max(0.35) } else { lens_u };
            return (Self { focal_px, relative_u, from: FocalFrom::Prior }, history);
        };
        let by = |diagonal_px: f64| f35 / FRAME_35MM_DIAGONAL_MM * diagonal_px;
        let short = |size: PhotoSize| size.width.min(size.height);
        let (focal_px, relative_u) = match (history, exif.pixel_size) {
            // A crop keeps the pixels' angular size, unless it was also resized.
            (PictureHistory::Cropped, Some(original))
                if original.long_side() >= size.long_side() && short(original) >= short(size) =>
            {
                (by(original.diagonal_px()), lens_u.max(0.05))
            }
            // Cropped by an unknown amount: from none to a third of the sensor is left.
            (PictureHistory::Cropped, _) => (by(size.diagonal_px()) * 1.8, 0.45),
            _ => (by(size.diagonal_px()), lens_u),
        };
        (Self { focal_px, relative_u, from: FocalFrom::Exif }, history)
    }
}

/// The 35 mm equivalent that the file tells, with its relative standard uncertainty.
fn lens_35mm(exif: &ExifFacts, size: PhotoSize) -> Option<(f64, f64)> {
    match (exif.focal_35mm, exif.digital_zoom, exif.focal_mm, exif.sensor_px_per_mm) {
        // Some phones count the digital zoom in, some do not (from memory): the prior spans both.
        (Some(f35), Some(zoom), ..) => {
            let half = 0.5 * zoom.portable_ln();
            Some((f64::from(f35) * half.portable_exp(), EXIF_LENS_U.portable_hypot(half)))
        }
        (Some(f35), ..) => Some((f64::from(f35), EXIF_LENS_U)),
        (None, _, Some(focal_mm), Some(px_per_mm)) => {
            let whole = exif.pixel_size.unwrap_or(size).diagonal_px();
            let f35 = focal_mm * px_per_mm / whole * FRAME_35MM_DIAGONAL_MM;
            (8.0..1200.0).contains(&f35).then_some((f35, SENSOR_LENS_U))
        }
        _ => None,
    }
}

/// What to believe of a lens whose equivalent is not told, by its true focal length where that is.
fn unknown_lens(focal_mm: Option<f64>) -> (f64, f64) {
    match focal_mm {
        // Longer than any phone's main lens: a camera with a sensor of unknown size, and mostly a zoom.
        Some(mm) if mm > 10.0 => (50.0, 0.45),
        // Shorter: a phone's second, wide lens or one for selfies.
        Some(mm) if mm < 3.0 => (19.0, 0.25),
        _ => (UNKNOWN_LENS_35MM, UNKNOWN_LENS_U),
    }
}

impl CameraPrior {
    /// The prior on intrinsics that belongs to a picture.
    pub fn of(exif: &ExifFacts, size: PhotoSize) -> (Self, FocalPrior, PictureHistory) {
        let (focal, history) = FocalPrior::of(exif, size);
        let off_centre = if history == PictureHistory::Cropped { 0.35 } else { PRINCIPAL_U };
        let prior = Self {
            intrinsics: Intrinsics::centred(focal.focal_px, size),
            focal_relative_u: focal.relative_u,
            principal_u_px: off_centre * f64::from(size.long_side()),
        };
        (prior, focal, history)
    }
}

/// What happened to the picture between the sensor and the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureHistory {
    /// Nothing that shows.
    Whole,
    /// The same picture at another size.
    Resized,
    /// A part of a picture: focal length and optical axis are uncertain.
    Cropped,
}

impl PictureHistory {
    /// Compares the picture's size with EXIF's, and its aspect with those cameras deliver.
    pub fn of(exif: &ExifFacts, size: PhotoSize) -> Self {
        let aspect =
            |size: PhotoSize| f64::from(size.long_side()) / f64::from(size.width.min(size.height).max(1));
        // Cameras deliver 4:3, 3:2, 16:9, 1:1 (and 20:9 or so in tall modes).
        let usual = [4.0 / 3.0, 1.5, 16.0 / 9.0, 1.0, 20.0 / 9.0, 19.5 / 9.0]
            .iter()
            .any(|usual: &f64| (aspect(size) / usual - 1.0).abs() < 0.012);
        match exif.pixel_size {
            Some(original)
                if original.long_side() != size.long_side()
                    || original.width.min(original.height) != size.width.min(size.height) =>
            {
                let same_shape = (aspect(original) / aspect(size) - 1.0).abs() < 0.01;
                if same_shape { Self::Resized } else { Self::Cropped }
            }
            _ if usual => Self::Whole,
            _ => Self::Cropped,
        }
    }
}
