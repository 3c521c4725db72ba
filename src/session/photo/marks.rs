//! The two measuring points on the photo: proposed, placed, undone, confirmed.

use serde::{Deserialize, Serialize};

use crate::terms::MarkedPoint;
use crate::units::{PhotoPoint, PhotoSize};

/// Steps that undo remembers; older ones are forgotten.
const REMEMBERED_STEPS: usize = 50;

/// The two points, with their past.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Marks {
    points: [Option<MarkedPoint>; 2],
    past: Vec<[Option<MarkedPoint>; 2]>,
    confirmed: bool,
    moved: bool,
}

impl Marks {
    /// Points as the finder proposes them: not confirmed, nothing to undo.
    pub fn proposed(points: [MarkedPoint; 2]) -> Self {
        Self { points: points.map(Some), ..Self::default() }
    }

    /// One point, where it is placed.
    pub fn get(&self, which: usize) -> Option<MarkedPoint> {
        self.points.get(which).copied().flatten()
    }

    /// Both points, once both are placed.
    pub fn both(&self) -> Option<[MarkedPoint; 2]> {
        Some([self.points[0]?, self.points[1]?])
    }

    /// The first point that is not placed.
    pub fn missing(&self) -> Option<usize> {
        self.points.iter().position(Option::is_none)
    }

    /// True once the person has said that the points are right.
    pub fn confirmed(&self) -> bool {
        self.confirmed
    }

    /// True when the person placed or moved one.
    pub fn moved(&self) -> bool {
        self.moved
    }

    /// True when there is a step to take back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// The person says that the points are right. Does nothing while one is missing.
    pub fn confirm(&mut self) {
        self.confirmed = self.both().is_some();
    }

    /// Something else changed that makes the person look again.
    pub fn unconfirm(&mut self) {
        self.confirmed = false;
    }

    /// Remembers the present state, before a drag or a step.
    pub fn begin_step(&mut self) {
        if self.past.last() == Some(&self.points) {
            return;
        }
        if self.past.len() == REMEMBERED_STEPS {
            self.past.remove(0);
        }
        self.past.push(self.points);
    }

    /// Puts one point, held inside the photo. What was confirmed no longer is.
    pub fn put(&mut self, which: usize, marked: MarkedPoint, size: PhotoSize) {
        let Some(slot) = self.points.get_mut(which) else { return };
        let point = marked.point;
        if !point.is_finite() {
            return;
        }
        let inside = PhotoPoint::new(
            point.x.clamp(0.0, f64::from(size.width) - 1.0),
            point.y.clamp(0.0, f64::from(size.height) - 1.0),
        );
        *slot = Some(MarkedPoint { point: inside, ..marked });
        self.confirmed = false;
        self.moved = true;
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        if let Some(before) = self.past.pop() {
            self.points = before;
            self.confirmed = false;
        }
    }

    /// Takes both points away, to be placed anew; undo brings them back.
    pub fn clear(&mut self) {
        self.begin_step();
        self.points = [None, None];
        self.confirmed = false;
    }

    /// Where a point is, or was before the last step: a good place to start from when it is placed anew.
    pub fn last_place(&self, which: usize) -> Option<PhotoPoint> {
        let before = || self.past.last().and_then(|points| points.get(which).copied().flatten());
        self.get(which).or_else(before).map(|marked| marked.point)
    }

    /// The point within `reach_px` of a tap, the nearer one.
    pub fn near(&self, tap: PhotoPoint, reach_px: f64) -> Option<usize> {
        let away = |which: usize| self.get(which).map(|mark| mark.point.distance_px(tap));
        (0..2)
            .filter_map(|which| Some((which, away(which)?)))
            .filter(|&(_, distance)| distance <= reach_px)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(which, _)| which)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: PhotoSize = PhotoSize { width: 400, height: 300 };

    fn at(x: f64, y: f64) -> PhotoPoint {
        PhotoPoint::new(x, y)
    }

    #[test]
    fn undo_takes_back_a_whole_drag() {
        let mut marks = Marks::proposed([at(10.0, 10.0), at(90.0, 10.0)].map(|p| MarkedPoint::round(p, 2.0)));
        marks.begin_step();
        for x in 0..20 {
            marks.put(0, MarkedPoint::round(at(f64::from(x), 12.0), 1.0), SIZE);
        }
        marks.undo();
        assert_eq!(marks.get(0).map(|mark| mark.point), Some(at(10.0, 10.0)));
        assert!(!marks.can_undo());
    }

    #[test]
    fn moving_a_point_takes_the_confirmation_away() {
        let mut marks = Marks::proposed([at(10.0, 10.0), at(90.0, 10.0)].map(|p| MarkedPoint::round(p, 2.0)));
        marks.confirm();
        assert!(marks.confirmed());
        marks.put(1, MarkedPoint::round(at(91.0, 10.0), 1.0), SIZE);
        assert!(!marks.confirmed());
    }

    #[test]
    fn one_point_cannot_be_confirmed() {
        let mut marks = Marks::default();
        marks.put(0, MarkedPoint::round(at(1.0, 1.0), 1.0), SIZE);
        marks.confirm();
        assert!(!marks.confirmed());
        assert_eq!(marks.missing(), Some(1));
    }

    #[test]
    fn points_stay_inside_and_numbers_stay_numbers() {
        let mut marks = Marks::default();
        marks.put(0, MarkedPoint::round(at(-50.0, 1e9), 1.0), SIZE);
        assert_eq!(marks.get(0).map(|mark| mark.point), Some(at(0.0, 299.0)));
        marks.put(0, MarkedPoint::round(at(f64::NAN, 5.0), 1.0), SIZE);
        assert_eq!(marks.get(0).map(|mark| mark.point), Some(at(0.0, 299.0)));
    }

    #[test]
    fn a_tap_takes_the_nearer_point() {
        let marks = Marks::proposed([at(10.0, 10.0), at(30.0, 10.0)].map(|p| MarkedPoint::round(p, 2.0)));
        assert_eq!(marks.near(at(22.0, 10.0), 50.0), Some(1));
        assert_eq!(marks.near(at(200.0, 10.0), 50.0), None);
    }
}
