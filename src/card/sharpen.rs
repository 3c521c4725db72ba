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
use crate::portable::Portable;

/// How far from where a side is seen a line is looked for, in mm, and at least in px.
const REACH_MM: f64 = 0.6;
const LEAST_REACH_PX: f64 = 4.0;
/// Corners that agree so well with the sides that are seen, in chi-square, stand as they are.
const LEAST_OFF: f64 = 3.0;
/// What the four corners may be off one rigid card, in chi-square, where they were drawn to what is seen: anything can
/// be drawn to the shape of a card. 98 % of what two degrees of freedom leave.
pub(super) const MOST_MISFIT: f64 = 8.0;
/// From this resolution on the steps alone are finer than the network, which tells a side to a tenth of a millimetre: what
/// it sees is taken only where edges and shape lose nothing by it. Of 9 real cards of 15 to 25 px/mm that makes three
/// better by 3 to 5 px and one worse by 3; below, renderings are better with all that it sees.
const FINE_PX_PER_MM: f64 = 12.0;
/// Where two readings of a corner are so far apart, standard uncertainty of it each way, as a share of that: either may
/// be right. Half the distance, along one of two axes.
const READINGS_U: f64 = 0.35;

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
    if !rigid || seen.misfit(&anew.corners) >= off {
        return None;
    }
    let px_per_mm = card.corners[0].distance_px(card.corners[1]) / ID1_MM[0];
    Some(if px_per_mm < FINE_PX_PER_MM { anew } else { better(card, anew) })
}

/// The reading with the better edges and shape, its corners as unsure as both are apart.
fn better(card: &Judged, anew: Judged) -> Judged {
    let (mut kept, other) =
        if anew.score >= card.score { (anew, card.corners) } else { (card.clone(), anew.corners) };
    for (corner, u_px) in kept.corners.iter().zip(&mut kept.corner_u_px) {
        let apart_px = other.iter().map(|other| corner.distance_px(*other)).fold(f64::MAX, f64::min);
        *u_px = u_px.portable_hypot(READINGS_U * apart_px);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::Intrinsics;
    use crate::card::judge::as_placed;
    use crate::units::{PhotoPoint, PhotoSize};

    /// A card of 1284 x 810 px, one corner drawn out by `off_px`, with the score of its edges and shape.
    fn card(off_px: f64, score: f64) -> Judged {
        let size = PhotoSize { width: 2000, height: 1500 };
        let intrinsics = Intrinsics::centred(1500.0, size);
        let prior = CameraPrior { intrinsics, focal_relative_u: 0.02, principal_u_px: 8.0 };
        let corners = [(300.0 - off_px, 300.0), (1584.0, 300.0), (1584.0, 1109.7), (300.0, 1109.7)]
            .map(|(x, y)| PhotoPoint::new(x, y));
        Judged { score, ..as_placed(&corners, &prior, 0.5).expect("a card") }
    }

    #[test]
    fn of_two_readings_the_better_stands_and_what_parts_them_is_told() {
        for (old, new, kept_off_px) in [(0.9, 0.8, 0.0), (0.8, 0.9, 6.0)] {
            let kept = better(&card(0.0, old), card(6.0, new));
            assert!((kept.corners[0].x - (300.0 - kept_off_px)).abs() < 1e-9, "{:?}", kept.corners);
            // Half of 6 px along one of two axes, and what each reading tells of itself.
            let expected_px = (6.0f64 / 2.0 / std::f64::consts::SQRT_2).portable_hypot(0.5);
            assert!((kept.corner_u_px[0] - expected_px).abs() < 0.05, "{:?}", kept.corner_u_px);
            assert!(kept.corner_u_px[1..].iter().all(|u_px| (u_px - 0.5).abs() < 1e-9));
        }
    }
}
