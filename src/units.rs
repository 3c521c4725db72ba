//! Lengths, exact inches and points: every quantity carries its unit in its type or its name.

use crate::portable::Portable;
use serde::{Deserialize, Serialize};

/// One inch in millimetres, exact (international yard and pound agreement, 1959; from memory, certain).
pub const MM_PER_INCH: f64 = 25.4;

/// A length in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Millimetres(pub f64);

impl Millimetres {
    /// The same length in decimal inches.
    pub fn inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }
}

/// A depth or a length of line in metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Metres(pub f64);

impl Metres {
    /// The same in feet.
    pub fn feet(self) -> f64 {
        self.0 * 1000.0 / (12.0 * MM_PER_INCH)
    }
}

/// A speed in metres a second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MetresPerSecond(pub f64);

impl MetresPerSecond {
    /// A knot: 1852 m an hour, exact (International Hydrographic Conference, 1929; from memory, certain).
    pub const PER_KNOT: f64 = 1852.0 / 3600.0;
}

/// A mass in kilograms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Kilograms(pub f64);

impl Kilograms {
    /// The same in pounds: 0.45359237 kg, exact (international yard and pound agreement, 1959; from memory, certain).
    pub fn pounds(self) -> f64 {
        self.0 / 0.453_592_37
    }
}

/// A point of the upright, full-size photo in pixels; the centre of the first pixel is (0, 0), x to the
/// right, y down.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct PhotoPoint {
    /// Pixels to the right of the first column's centre.
    pub x: f64,
    /// Pixels below the first row's centre.
    pub y: f64,
}

impl PhotoPoint {
    /// A point at (`x`, `y`) pixels.
    pub fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Distance to `other` in pixels.
    pub fn distance_px(self, other: Self) -> f64 {
        (self.x - other.x).portable_hypot(self.y - other.y)
    }

    /// The pixel at or before the point each way, and how far beyond its centre the point lies, 0 to 1.
    #[inline]
    pub fn whole_and_part(self) -> ([i64; 2], [f32; 2]) {
        // Cutting off goes up below 0. No call of a library as `floor` is: millions of points are looked at.
        let below = |value: f64| value as i64 - i64::from(value < 0.0);
        let whole = [below(self.x), below(self.y)];
        (whole, [(self.x - whole[0] as f64) as f32, (self.y - whole[1] as f64) as f32])
    }

    /// True when both coordinates are finite numbers.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl From<[f64; 2]> for PhotoPoint {
    fn from([x, y]: [f64; 2]) -> Self {
        Self { x, y }
    }
}

impl From<PhotoPoint> for [f64; 2] {
    fn from(point: PhotoPoint) -> Self {
        [point.x, point.y]
    }
}

/// Width and height of the upright photo in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PhotoSize {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

impl PhotoSize {
    /// The longer side in pixels.
    pub fn long_side(self) -> u32 {
        self.width.max(self.height)
    }

    /// The diagonal in pixels.
    pub fn diagonal_px(self) -> f64 {
        f64::from(self.width).portable_hypot(f64::from(self.height))
    }

    /// True when `point` lies on the photo.
    pub fn contains(self, point: PhotoPoint) -> bool {
        -0.5 <= point.x
            && point.x <= f64::from(self.width) - 0.5
            && -0.5 <= point.y
            && point.y <= f64::from(self.height) - 0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_lies_at_or_beyond_its_pixel_on_either_side_of_nought() {
        for (x, whole, part) in [(2.75, 2, 0.75), (3.0, 3, 0.0), (0.0, 0, 0.0), (-0.25, -1, 0.75)] {
            let ([at, _], [beyond, _]) = PhotoPoint::new(x, 0.0).whole_and_part();
            assert_eq!((at, beyond), (whole, part), "{x}");
        }
    }
}
