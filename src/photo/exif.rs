//! What the file says of the camera: orientation, focal length, time, pixel size.

use std::io::Cursor;

use serde::{Deserialize, Serialize};

use crate::units::{MM_PER_INCH, PhotoSize};

/// 35 mm equivalents that a lens can have: beyond, the tag is filled in wrongly (common practice: the shortest
/// fisheye to the longest zoom).
const LENSES_35MM: std::ops::RangeInclusive<u16> = 8..=1200;
/// Sides in px that a sensor or a panorama can have.
const SIDES_PX: std::ops::RangeInclusive<u32> = 1..=100_000;

/// EXIF facts that the measurement or the record uses. Everything is optional but the orientation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ExifFacts {
    /// Tag 0x0112, 1 to 8; 1 when absent or out of range.
    pub orientation: u16,
    /// FocalLengthIn35mmFilm (0xA405), whole millimetres; `None` when absent or 0 (unknown).
    pub focal_35mm: Option<u16>,
    /// FocalLength (0x920A) in mm.
    pub focal_mm: Option<f64>,
    /// FocalPlaneXResolution (0xA20E) with its unit, as px per mm of the sensor: cameras that are no phones.
    #[serde(default)]
    pub sensor_px_per_mm: Option<f64>,
    /// DigitalZoomRatio (0xA404), where it is more than 1.
    #[serde(default)]
    pub digital_zoom: Option<f64>,
    /// Make (0x010F), Model (0x0110) and LensModel (0xA434), joined by spaces, where any is written.
    #[serde(default)]
    pub camera: Option<String>,
    /// DateTimeOriginal (0x9003) as written: `YYYY:MM:DD HH:MM:SS`.
    pub taken: Option<String>,
    /// PixelXDimension and PixelYDimension as stored, before turning.
    pub pixel_size: Option<PhotoSize>,
}

impl Default for ExifFacts {
    fn default() -> Self {
        Self {
            orientation: 1,
            focal_35mm: None,
            focal_mm: None,
            sensor_px_per_mm: None,
            digital_zoom: None,
            camera: None,
            taken: None,
            pixel_size: None,
        }
    }
}

impl ExifFacts {
    /// Reads the facts out of a whole JPEG, PNG or WebP file. A file without EXIF, or with a broken one,
    /// gives the defaults: the photo can be measured all the same.
    pub fn read(file: &[u8]) -> Self {
        // Phones and editors write EXIF with small faults (a wrong pointer to the next directory, say):
        // what can be read is used.
        let mut reader = exif::Reader::new();
        reader.continue_on_error(true);
        let read = reader.read_from_container(&mut Cursor::new(file));
        let Ok(exif) = read.or_else(|error| error.distill_partial_result(|_| {})) else {
            return Self::default();
        };
        let number = |tag| exif.get_field(tag, exif::In::PRIMARY).and_then(|field| field.value.get_uint(0));
        let orientation = number(exif::Tag::Orientation)
            .and_then(|value| u16::try_from(value).ok())
            .filter(|value| (1..=8).contains(value))
            .unwrap_or(1);
        let focal_35mm = number(exif::Tag::FocalLengthIn35mmFilm)
            .and_then(|value| u16::try_from(value).ok())
            .filter(|value| LENSES_35MM.contains(value));
        let ratio = |tag| {
            exif.get_field(tag, exif::In::PRIMARY).and_then(|field| match &field.value {
                exif::Value::Rational(values) => {
                    values.first().map(|value| value.to_f64()).filter(|&value| value > 0.0 && value < 1e9)
                }
                _ => None,
            })
        };
        // Exif: 2 inch (also where the tag is missing), 3 cm; in use besides: 4 mm.
        let unit_mm = match number(exif::Tag::FocalPlaneResolutionUnit).unwrap_or(2) {
            2 => Some(MM_PER_INCH),
            3 => Some(10.0),
            4 => Some(1.0),
            _ => None,
        };
        let text = |tag| {
            exif.get_field(tag, exif::In::PRIMARY).and_then(|field| match &field.value {
                exif::Value::Ascii(lines) => {
                    lines.first().map(|line| String::from_utf8_lossy(line).into_owned())
                }
                _ => None,
            })
        };
        let names = [exif::Tag::Make, exif::Tag::Model, exif::Tag::LensModel].into_iter().filter_map(text);
        let camera = Some(names.collect::<Vec<_>>().join(" ")).filter(|names| !names.is_empty());
        let pixel_size = match (number(exif::Tag::PixelXDimension), number(exif::Tag::PixelYDimension)) {
            (Some(width), Some(height)) if SIDES_PX.contains(&width) && SIDES_PX.contains(&height) => {
                Some(PhotoSize { width, height })
            }
            _ => None,
        };
        Self {
            orientation,
            focal_35mm,
            focal_mm: ratio(exif::Tag::FocalLength),
            sensor_px_per_mm: ratio(exif::Tag::FocalPlaneXResolution).zip(unit_mm).map(|(px, mm)| px / mm),
            digital_zoom: ratio(exif::Tag::DigitalZoomRatio).filter(|zoom| (1.001..100.0).contains(zoom)),
            camera,
            taken: text(exif::Tag::DateTimeOriginal),
            pixel_size,
        }
    }
}
