//! A judged card drawn to where the edges of its face are seen along its sides.
//!
//! The steps across a side are told to a fraction of a px, but not which of them is the face's: its wall, a contact
//! shadow or a print's frame is often the stronger. The network of [`super::look::sides`] tells that, less finely.

use super::ID1_MM;
use super::judge::{Judged, judge_seen};
use super::look::sides::corners_of_sides;
use crate::camera::CameraPrior;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;

/// How far from where a side is seen a line is looked for, in mm, and at least in px.
const REACH_MM: f64 = 0.6;
const LEAST_REACH_PX: f64 = 4.0;
/// Corners that agree so well with the sides that are seen, in chi-square, stand as they are.
const LEAST_OFF: f64 = 3.0;
/// What the four corners may be off one rigid card, in chi-square, where they were drawn to what is seen: anything can
/// be drawn to the shape of a card. 98 % of what two degrees of freedom leave.
pub(super) const MOST_MISFIT: f64 = 8.0;

/// The card judged anew where its sides are seen; `None` where they agree with it already, or make no better card.
pub(super) fn sharpened(
    photo: &Photo,
    light: &LinearLight,
    card: &Judged,
    prior: &CameraPrior,
) -> Option<Judged> {
    let seen = corners_of_sides(photo, &card.corners)?;
    let off = seen.misfit(&card.corners);
    if off < LEAST_OFF {
        return None;
    }
    let reach_px = REACH_MM * card.corners[0].distance_px(card.corners[1]) / ID1_MM[0];
    let anew = judge_seen(photo, light, &card.corners, prior, reach_px.max(LEAST_REACH_PX), &seen)?;
    let rigid = anew.refined.chi_square < MOST_MISFIT.max(card.refined.chi_square);
    (rigid && seen.misfit(&anew.corners) < off).then_some(anew)
}
