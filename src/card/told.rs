//! A judged card told with all that stands open about its sides: the card's own shadow, sides that are hardly seen. Only
//! what is handed on is widened; among candidates the edges' own fit decides.

use super::ID1_MM;
use super::edges::EdgeLine;
use super::judge::{Judged, Side, settled_prior};
use super::readings::{may_hide_shadow, weighed};
use super::rims::corner_sine;
use crate::camera::ippe::two_poses;
use crate::camera::refine::refine;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Least support and salience of a side that counts as seen.
const LEAST_SUPPORT: f64 = 0.5;
const LEAST_SALIENCE: f64 = 0.35;
/// Standard uncertainty of a side, each in mm or px as said: of one that is hardly seen; of one inside which the card's
/// shadow may be hidden; of an inner line between shadow and card, which blur draws to the darker side. From 1180 sides
/// of cards found in every second scene of renderings: the RMS of 67, of 64, and common practice.
const HARDLY_SEEN_MM: f64 = 0.45;
const HIDDEN_SHADOW_MM: f64 = 0.33;
const FAINT_LINE_MM: f64 = 0.1;
impl Judged {
    /// True for a side that is predicted or may be another edge than the card's, not seen.
    pub(super) fn unsure_edges(&self) -> [bool; 4] {
        std::array::from_fn(|i| self.open[i] || hardly_seen(&self.sides[i]))
    }

    /// How many sides are hardly seen.
    pub(super) fn hardly_seen_sides(&self) -> usize {
        self.sides.iter().filter(|side| hardly_seen(side)).count()
    }

    /// The card with its likeliest reading and all that stands open in the uncertainty of its corners.
    pub(super) fn told(self, photo: &Photo, light: &LinearLight) -> Self {
        let anew = self.widened(photo, light);
        anew.unwrap_or(self)
    }

    fn widened(&self, photo: &Photo, light: &LinearLight) -> Option<Self> {
        let weighed = weighed(photo, light, &self.corners, &self.corner_u_px, &self.prior);
        let (corners, open_u_px, mut open, moved) = match weighed {
            Some(weighed) => (weighed.corners, weighed.open_u_px, weighed.open, weighed.moved),
            None => (self.corners, [0.0; 4], [false; 4], [None; 4]),
        };
        let px_per_mm = corners[0].distance_px(corners[1]) / ID1_MM[0];
        let mut sides = self.sides;
        // What is added to each side, at its start and its end.
        let mut added_px = [[0.0; 2]; 4];
        for side in 0..4 {
            let widen = |u_px: &mut f64, by: f64| *u_px = u_px.portable_hypot(by);
            if let Some(EdgeLine { end_u_px, rms_px, bow_px, .. }) = moved[side] {
                sides[side] = Side { rms_px, bow_px, ..sides[side] };
                for (u_px, end) in added_px[side].iter_mut().zip(end_u_px) {
                    widen(u_px, end.portable_hypot(FAINT_LINE_MM * px_per_mm));
                }
            } else if hardly_seen(&sides[side]) {
                added_px[side].iter_mut().for_each(|u_px| widen(u_px, HARDLY_SEEN_MM * px_per_mm));
            } else if may_hide_shadow(photo, light, &corners, side) {
                added_px[side].iter_mut().for_each(|u_px| widen(u_px, HIDDEN_SHADOW_MM * px_per_mm));
                open[side] = true;
            }
        }
        if added_px.iter().flatten().chain(&open_u_px).all(|&u_px| u_px == 0.0) {
            return None;
        }
        let corner_u_px = std::array::from_fn(|i| {
            let (before, after) = (added_px[(i + 3) % 4][1], added_px[i][0]);
            let added = of_sides(before, after, &corners, i);
            self.corner_u_px[i].portable_hypot(added).portable_hypot(open_u_px[i])
        });
        let prior = settled_prior(&self.prior, &corners)?;
        let (pose, _) = two_poses(&corners, ID1_MM, &prior.intrinsics)?[0];
        let refined = refine(&pose, &corners, &corner_u_px, ID1_MM, &prior)?;
        Some(Self { corners, corner_u_px, sides, refined, prior, open, ..self.clone() })
    }
}

fn hardly_seen(side: &Side) -> bool {
    side.support < LEAST_SUPPORT || side.salience < LEAST_SALIENCE
}

/// Standard uncertainty of the corner where two sides meet, each way, from theirs across them.
fn of_sides(before: f64, after: f64, corners: &[PhotoPoint; 4], i: usize) -> f64 {
    ((before * before + after * after) / 2.0).sqrt() / corner_sine(corners, i).max(0.3)
}
