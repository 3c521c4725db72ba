//! Is it a playing card? Its corners are as round as a bank card's; its sides are of another ratio, which a camera of
//! unknown focal length hides only where the card leans much.

use crate::camera::ippe::two_poses;
use crate::camera::refine::refine;
use crate::camera::{CameraPrior, Intrinsics};
use crate::card::ID1_MM;
use crate::card::judge::Judged;

/// Long over short side of playing and trading cards: 63 x 88 mm, 2.25 x 3.5 inches and cuts between (common practice).
const RATIOS: [f64; 3] = [1.40, 1.54, 1.556];
/// An ID-1 card's shape fits worse than one of these by this much, in chi-square: none of 524 right cards of renderings and
/// photographs does, and a drawn playing card that leans by up to 15 degrees does by 9 and more.
const FITS_WORSE: f64 = 6.0;
/// The focal lengths that are tried where it is not known, as shares of the likeliest, and the relative standard
/// uncertainty from which it counts as not known.
const FOCAL_SHARES: [f64; 6] = [1.0, 0.7, 0.85, 1.2, 1.5, 2.0];
const UNKNOWN_FOCAL_U: f64 = 0.05;
/// How well a corner is known at best, in px.
const LEAST_U_PX: f64 = 0.35;
/// Of a camera of which little is known, two sides make a card of anything.
const MOST_UNSURE_SIDES: usize = 2;

/// True where the sides speak for a playing card, or where camera and sides tell too little.
pub(in crate::card) fn may_be_playing_card(card: &Judged, prior: &CameraPrior) -> bool {
    let unsure = card.unsure_edges().iter().filter(|&&unsure| unsure).count();
    if prior.focal_relative_u > UNKNOWN_FOCAL_U && unsure > MOST_UNSURE_SIDES {
        return true;
    }
    let Some(of_id1) = misfit(card, prior, ID1_MM[0] / ID1_MM[1]) else { return false };
    let others = RATIOS.iter().filter_map(|&ratio| misfit(card, prior, ratio));
    of_id1 - others.fold(f64::MAX, f64::min) > FITS_WORSE
}

/// What is left, in chi-square, of a rectangle whose sides have this ratio. Its size is of no account: it only moves
/// the camera nearer or farther.
fn misfit(card: &Judged, prior: &CameraPrior, ratio: f64) -> Option<f64> {
    let size_mm = [ID1_MM[0], ID1_MM[0] / ratio];
    let corner_u_px = card.corner_u_px.map(|u_px| u_px.max(LEAST_U_PX));
    let tried = if prior.focal_relative_u > UNKNOWN_FOCAL_U { &FOCAL_SHARES[..] } else { &FOCAL_SHARES[..1] };
    let fits = tried.iter().filter_map(|share| {
        let intrinsics = Intrinsics { focal_px: share * prior.intrinsics.focal_px, ..prior.intrinsics };
        let (pose, _) = two_poses(&card.corners, size_mm, &intrinsics)?[0];
        Some(refine(&pose, &card.corners, &corner_u_px, size_mm, prior)?.chi_square)
    });
    fits.min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::judge::as_placed;
    use crate::units::PhotoPoint;

    const PRIOR: CameraPrior = CameraPrior {
        intrinsics: Intrinsics { focal_px: 1500.0, principal_point: PhotoPoint { x: 1000.0, y: 750.0 } },
        focal_relative_u: 0.02,
        principal_u_px: 8.0,
    };

    /// Seen square-on, 500 px long, of this ratio.
    fn card(ratio: f64) -> Judged {
        let (x, y) = (250.0, 250.0 / ratio);
        let corners =
            [(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| PhotoPoint::new(1000.0 + x, 750.0 + y));
        as_placed(&corners, &PRIOR, 1.0).expect("a card")
    }

    /// By how much an ID-1 card fits worse than the other ratios.
    fn fits_worse(card: &Judged) -> f64 {
        let of = |ratio| misfit(card, &PRIOR, ratio).expect("a pose");
        of(ID1_MM[0] / ID1_MM[1]) - RATIOS.map(of).into_iter().fold(f64::MAX, f64::min)
    }

    /// ISO/IEC 7810: 85.60 x 53.98 mm, a ratio of 1.586; the nearest playing card has 1.556.
    #[test]
    fn what_fits_both_ratios_is_a_card_and_what_fits_the_other_much_better_is_none() {
        let either = card(1.569);
        assert!((1.0..5.0).contains(&fits_worse(&either)), "{}", fits_worse(&either));
        assert!(!may_be_playing_card(&either, &PRIOR));
        assert!(!may_be_playing_card(&card(ID1_MM[0] / ID1_MM[1]), &PRIOR));
        assert!(may_be_playing_card(&card(1.556), &PRIOR));
    }
}
