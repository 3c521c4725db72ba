//! What is known of a practice photo: it shows a rendered crab, so that the person can see how good the own points were.

use serde::{Deserialize, Serialize};

use crate::terms::Dimension;
use crate::units::PhotoPoint;

/// One photo of the list beside the practice photos.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PracticePhoto {
    /// Name of the file.
    pub name: String,
    /// The crab's own widths.
    pub truth: TrueWidths,
    /// Its kind, by its id.
    #[serde(default)]
    pub kind: Option<String>,
}

/// Name of a photo that practice draws.
pub const DRAWN_PHOTO: &str = "practice-crab.png";

/// The photo after the one named `name`; the first after the last, and for a name that is not in the list.
pub fn next_after<'a>(list: &'a [PracticePhoto], name: &str) -> Option<&'a PracticePhoto> {
    let at = list.iter().position(|photo| photo.name == name).map_or(0, |at| (at + 1) % list.len());
    list.get(at)
}

/// The true widths of a rendered crab in mm, by the distance that a rule may name.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct TrueWidths {
    /// Between the notches.
    #[serde(default)]
    pub notch_mm: Option<f64>,
    /// Between the tips.
    #[serde(default)]
    pub tips_mm: Option<f64>,
    /// Where the notches are seen, in px of the upright photo, the crab's own left first.
    #[serde(default)]
    pub notches: Option<[PhotoPoint; 2]>,
    /// Where the tips are seen.
    #[serde(default)]
    pub tips: Option<[PhotoPoint; 2]>,
}

impl TrueWidths {
    /// The width in mm, where it is known for this distance.
    pub fn of(&self, dimension: Dimension) -> Option<f64> {
        match dimension {
            Dimension::Notch => self.notch_mm,
            Dimension::Tips => self.tips_mm,
            Dimension::Widest => None,
        }
    }

    /// Where the two points of this distance are seen, where it is known.
    pub fn points(&self, dimension: Dimension) -> Option<[PhotoPoint; 2]> {
        match dimension {
            Dimension::Notch => self.notches,
            Dimension::Tips => self.tips,
            Dimension::Widest => None,
        }
    }

    /// How far each of `own` lies from the right point, in mm; in the order of `own`, whichever side it is. The scale is
    /// that of the true width on the photo: good to a few hundredths at the tilts a photo is taken at.
    pub fn apart_mm(&self, dimension: Dimension, own: [PhotoPoint; 2]) -> Option<[f64; 2]> {
        let (right, width_mm) = (self.points(dimension)?, self.of(dimension)?);
        let mm_per_px = width_mm / right[0].distance_px(right[1]);
        let apart = |right: [PhotoPoint; 2]| [0, 1].map(|at| own[at].distance_px(right[at]) * mm_per_px);
        let (straight, crossed) = (apart(right), apart([right[1], right[0]]));
        let sum = |apart: [f64; 2]| apart[0] + apart[1];
        Some(if sum(straight) <= sum(crossed) { straight } else { crossed })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_photo_is_the_next_in_the_list_and_after_the_last_the_first() {
        let photo =
            |name: &str| PracticePhoto { name: name.into(), truth: TrueWidths::default(), kind: None };
        let list = ["a", "b", "c"].map(photo);
        let next = |name| next_after(&list, name).map(|photo| photo.name.as_str());
        assert_eq!((next("a"), next("c"), next("x")), (Some("b"), Some("a"), Some("a")));
        assert_eq!(next_after(&[], "a"), None);
    }

    #[test]
    fn how_far_own_points_lie_is_told_in_mm_whichever_side_came_first() {
        let (left, right) = (PhotoPoint::new(100.0, 50.0), PhotoPoint::new(500.0, 50.0));
        let truth =
            TrueWidths { notch_mm: Some(160.0), notches: Some([left, right]), ..TrueWidths::default() };
        // 160 mm over 400 px: 0.4 mm a px.
        let own = [PhotoPoint::new(503.0, 54.0), PhotoPoint::new(100.0, 50.0)];
        let [first, second] = truth.apart_mm(Dimension::Notch, own).expect("the points are known");
        assert!((first - 2.0).abs() < 1e-9 && second < 1e-9, "{first} {second}");
        assert_eq!(truth.apart_mm(Dimension::Tips, own), None);
    }
}
