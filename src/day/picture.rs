//! A photo of a measured crab, as it is kept with its row: its name, and what was measured in it.
//!
//! The photo itself is kept beside the rows, smaller than it was taken and as pixels alone: no place, time or device.

use serde::{Deserialize, Serialize};

use super::rows::Id;
use crate::units::{PhotoPoint, PhotoSize};

/// Longer side of a photo that is kept, px: enough to check the points again by eye, some 500 kB.
pub const KEPT_LONG_SIDE_PX: u32 = 2048;
/// Longer side of the small picture in a list, px.
pub const SMALL_LONG_SIDE_PX: u32 = 160;
/// After the name of a photo: its small picture.
const SMALL: &str = "/small";

/// What was measured in one photo of a crab.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// Its number among the photos of the page that took it; with the crab's name it names the photo.
    pub number: u64,
    /// Size of the photo as it was taken, upright.
    pub size: PhotoSize,
    /// Corners of the card in it.
    pub card: [PhotoPoint; 4],
    /// The two measuring points.
    pub points: [PhotoPoint; 2],
    /// Standard uncertainty of each point, in its worst direction, px.
    pub u_px: [f64; 2],
}

/// What is drawn into a photo, in the pixels of the photo that it is drawn into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Corners of the card.
    pub card: [PhotoPoint; 4],
    /// The two measuring points.
    pub points: [PhotoPoint; 2],
    /// Twice the standard uncertainty of each.
    pub radius_px: [f64; 2],
    /// Width of a line.
    pub line_px: f64,
}

impl Picture {
    /// Under this name the photo is kept.
    pub fn name(&self, crab: &Id) -> String {
        format!("{}/{}", crab.0, self.number)
    }

    /// The measurement for a copy of the photo that is `width_px` wide; none where a size is 0.
    pub fn drawn(&self, width_px: u32) -> Option<Drawn> {
        if self.size.width == 0 || width_px == 0 {
            return None;
        }
        let scale = f64::from(width_px) / f64::from(self.size.width);
        // Pixel centres lie at whole numbers: half a pixel belongs to the rim.
        let at =
            |point: PhotoPoint| PhotoPoint::new((point.x + 0.5) * scale - 0.5, (point.y + 0.5) * scale - 0.5);
        let line_px = (f64::from(self.size.long_side()) * scale / 400.0).max(2.0);
        Some(Drawn {
            card: self.card.map(at),
            points: self.points.map(at),
            // Never too small to be seen.
            radius_px: self.u_px.map(|u_px| (2.0 * u_px * scale).max(2.0 * line_px)),
            line_px,
        })
    }
}

/// The name of a photo's small picture.
pub fn small(name: &str) -> String {
    format!("{name}{SMALL}")
}

/// The crab that a picture of this name belongs to.
pub fn crab_of(name: &str) -> Id {
    Id(name.split('/').next().unwrap_or_default().into())
}

/// The size of a copy whose longer side is at most `long_side_px`; never larger than the photo.
pub fn fitted(size: PhotoSize, long_side_px: u32) -> PhotoSize {
    let long = size.long_side();
    if long <= long_side_px {
        return size;
    }
    let side = |side: u32| {
        let fitted = u64::from(side) * u64::from(long_side_px) + u64::from(long) / 2;
        u32::try_from(fitted / u64::from(long)).unwrap_or(long_side_px).max(1)
    };
    PhotoSize { width: side(size.width), height: side(size.height) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture() -> Picture {
        let at = PhotoPoint::new;
        Picture {
            number: 7,
            size: PhotoSize { width: 4000, height: 3000 },
            card: [at(-0.5, -0.5), at(3999.5, -0.5), at(3999.5, 2999.5), at(-0.5, 2999.5)],
            points: [at(999.5, 1499.5), at(2999.5, 1499.5)],
            u_px: [3.0, 0.0],
        }
    }

    #[test]
    fn the_measurement_is_drawn_where_it_was_made() {
        let drawn = picture().drawn(1000).expect("a size");
        assert_eq!(drawn.card[2], PhotoPoint::new(999.5, 749.5));
        assert_eq!(drawn.points[0], PhotoPoint::new(249.5, 374.5));
        assert_eq!((drawn.line_px, drawn.radius_px), (2.5, [5.0, 5.0]));
        assert_eq!(picture().drawn(4000).expect("a size").points, picture().points);
        assert_eq!(picture().drawn(0), None);
    }

    #[test]
    fn a_copy_keeps_the_shape_and_is_never_larger() {
        let size = PhotoSize { width: 3000, height: 4000 };
        assert_eq!(fitted(size, 2048), PhotoSize { width: 1536, height: 2048 });
        assert_eq!(fitted(size, 5000), size);
        assert_eq!(fitted(PhotoSize { width: 9000, height: 1 }, 100), PhotoSize { width: 100, height: 1 });
    }

    #[test]
    fn a_photo_is_named_after_its_crab() {
        let crab = Id("00ff-3".into());
        let name = picture().name(&crab);
        assert_eq!((name.as_str(), crab_of(&name), crab_of(&small(&name))), ("00ff-3/7", crab.clone(), crab));
        assert_ne!(small(&name), name);
    }
}
