//! Which part of the photo is shown first: all of it, until card and points are known, then these.

use crate::units::{PhotoPoint, PhotoSize};

use super::PhotoWork;

/// Room left round card and points, as a share of what they span: the shell's rim and the card's edges
/// must be seen too.
const MARGIN: f64 = 0.3;
/// Closer than this a 12-megapixel photo only grows soft on a phone.
const CLOSEST: f64 = 4.0;

/// A view of the photo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Framing {
    /// 1 where the photo's whole width is shown, 2 where half of it is.
    pub zoom: f64,
    /// What lies in the middle, as shares of the photo's width and height.
    pub middle: (f64, f64),
}

impl Framing {
    /// All of the photo.
    pub const WHOLE: Self = Self { zoom: 1.0, middle: (0.5, 0.5) };

    /// Card and shell with some room round them, in a window `window_aspect` times as wide as high. The
    /// whole photo while either is unknown: the person must see where to tap.
    pub fn of(work: &PhotoWork, window_aspect: f64) -> Self {
        if work.places_corners() {
            // The card alone, whole: a corner that one cannot see cannot be placed.
            let card = work
                .scene
                .as_ref()
                .map(|scene| Self::round(scene.card.corners.into_iter(), scene.size, window_aspect));
            return card.unwrap_or(Self::WHOLE);
        }
        let Some(scene) = work.scene.as_ref().filter(|_| Self::knows_shell(work)) else { return Self::WHOLE };
        let points = work.marks.both().into_iter().flatten().map(|marked| marked.point);
        let seen = scene.card.corners.into_iter().chain(points).chain(work.outline.iter().copied());
        Self::round(seen, scene.size, window_aspect)
    }

    /// Changes where the view is to start anew.
    pub fn occasion(work: &PhotoWork) -> u8 {
        u8::from(Self::knows_shell(work)) + 2 * u8::from(work.places_corners())
    }

    /// True once there is more to show than the card.
    pub fn knows_shell(work: &PhotoWork) -> bool {
        work.marks.both().is_some() || !work.outline.is_empty()
    }

    fn round(points: impl Iterator<Item = PhotoPoint>, size: PhotoSize, window_aspect: f64) -> Self {
        let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
        for point in points.filter(|point| point.is_finite()) {
            for (i, value) in [point.x, point.y].into_iter().enumerate() {
                low[i] = low[i].min(value);
                high[i] = high[i].max(value);
            }
        }
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let room = (1.0 + 2.0 * MARGIN) * (high[0] - low[0]).max((high[1] - low[1]) * window_aspect);
        if !room.is_finite() || room <= 0.0 {
            return Self::WHOLE;
        }
        let middle = |i: usize, whole: f64| ((low[i] + high[i]) / 2.0 / whole).clamp(0.0, 1.0);
        Self { zoom: (width / room).clamp(1.0, CLOSEST), middle: (middle(0, width), middle(1, height)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: PhotoSize = PhotoSize { width: 4000, height: 3000 };

    fn round(points: &[(f64, f64)]) -> Framing {
        Framing::round(points.iter().map(|&(x, y)| PhotoPoint::new(x, y)), SIZE, 4.0 / 3.0)
    }

    #[test]
    fn what_was_found_fills_the_window_with_some_room() {
        let framing = round(&[(1000.0, 1000.0), (2000.0, 1500.0)]);
        assert!((framing.zoom - 4000.0 / 1600.0).abs() < 1e-9, "{framing:?}");
        assert_eq!(framing.middle, (0.375, 1250.0 / 3000.0));
    }

    #[test]
    fn a_tall_find_is_not_cut() {
        let framing = round(&[(1000.0, 500.0), (1100.0, 2000.0)]);
        let seen_height = 4000.0 / framing.zoom * 3.0 / 4.0;
        assert!(seen_height >= 1500.0, "{framing:?} shows {seen_height} px");
    }

    #[test]
    fn nothing_or_rubbish_shows_the_whole_photo() {
        assert_eq!(round(&[]), Framing::WHOLE);
        assert_eq!(round(&[(f64::NAN, 2.0)]), Framing::WHOLE);
        assert_eq!(Framing::of(&PhotoWork::default(), 1.0), Framing::WHOLE);
    }
}
