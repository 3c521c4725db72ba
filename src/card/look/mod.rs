//! A judged candidate that was looked at, and how likely it is the card.

pub mod corners;
pub mod face;
pub mod sides;
mod window;

use corners::{CornerViews, SeenCorners};
use face::FaceView;

use super::judge::Judged;
use crate::photo::Photo;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// What is weighed, in this order: 1 (the rest of the odds); the score of edges and shape; the logarithm of the odds of
/// the face; the merit in the reduced picture that it lacks against the first candidate; the odds of the four
/// corners, the worst first; how far the shape is off a rigid card.
pub type Signs = [f64; 9];

/// Weight of each sign, fitted by `tests/reference/card/odds.py` on drawn scenes, renderings and photos without a card.
const WEIGHTS: Signs = [-1.76, 1.93, 0.15, -0.095, 0.35, 0.36, 0.175, 0.127, -0.24];

/// Merit above this says no more.
const MOST_LESS_MERIT: f64 = 8.0;
/// Odds beyond these are not believed.
const MOST_ODDS: f64 = 6.0;
/// Odds of a corner that lies outside the photo.
const UNSEEN_ODDS: f64 = -1.0;

/// A judged candidate and what its face and its corners look like.
#[derive(Debug, Clone)]
pub struct Looked {
    /// The candidate after refinement.
    pub judged: Judged,
    face: Option<FaceView>,
    corners: Option<CornerViews>,
    less_merit: f64,
}

impl Looked {
    /// Looks at a candidate. `less_merit`: how much less merit than the picture's first candidate it had; 0 for the
    /// first.
    pub fn at(photo: &Photo, judged: Judged, less_merit: f64) -> Self {
        let face = FaceView::of(photo, &judged.corners);
        let corners = CornerViews::of(photo, &judged.corners);
        Self { judged, face, corners, less_merit }
    }

    /// What speaks for it and against it.
    pub fn signs(&self) -> Signs {
        let face = self.face.as_ref().map_or(0.0, |view| view.is_face);
        let mut corners = [UNSEEN_ODDS; 4];
        if let Some(views) = &self.corners {
            corners =
                views.odds.map(|odds| odds.map_or(UNSEEN_ODDS, |odds| odds.clamp(-MOST_ODDS, MOST_ODDS)));
        }
        corners.sort_by(f64::total_cmp);
        let [a, b, c, d] = corners;
        let misfit = (1.0 + self.judged.refined.chi_square.max(0.0)).portable_ln();
        let face = ((face + 0.005) / (1.0 - face + 0.005)).portable_ln();
        [1.0, self.judged.score, face, self.less_merit.min(MOST_LESS_MERIT), a, b, c, d, misfit]
    }

    /// Probability that it is the card.
    pub fn score(&self) -> f64 {
        let odds: f64 = self.signs().iter().zip(WEIGHTS).map(|(sign, weight)| sign * weight).sum();
        1.0 / (1.0 + (-odds).portable_exp())
    }

    /// How much less merit than the first candidate it had.
    pub fn less_merit(&self) -> f64 {
        self.less_merit
    }

    /// Where corners of the card's face are seen.
    pub fn seen_corners(&self) -> Option<SeenCorners> {
        self.corners.as_ref().and_then(CornerViews::seen)
    }

    /// How far the farthest corner that is seen lies off the candidate's, in mm.
    pub fn off_mm(&self) -> f64 {
        self.corners.as_ref().map_or(0.0, CornerViews::off_mm)
    }

    /// Where the whole face is seen, to a millimetre or two.
    pub fn seen_face(&self) -> Option<[PhotoPoint; 4]> {
        self.face.as_ref().and_then(FaceView::corners)
    }
}
