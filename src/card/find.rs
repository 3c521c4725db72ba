//! The card in a photo: the best judged candidate, or why there is none.

use super::FoundCard;
use super::choose::{Choice, near};
use super::judge::{Judged, as_placed, judge_by_hand};
use super::plates::playing::may_be_playing_card;
use super::plates::radius::is_other_plate;
use super::sharpen::sharpened;
use crate::camera::CameraPrior;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::refusal::Refusal;
use crate::units::PhotoPoint;

/// Score from which a find is shown without a hint of the person. Of 60 photographs without a card none came above 0.13,
/// of 15 others only a trading card, and the drawn plates of `tests/it/refusals.rs` are refused at 0.3 too. It was
/// chosen while looking at these and at renderings of scenes that took no part in the training: against 0.65 it wins
/// four more of 296, and of 121 other plates and playing cards laid on such decks 14 are taken for a card, not 12.
const SURE: f64 = 0.5;
/// Score that is enough where the person tapped on it, and sees what was found.
const ENOUGH_WITH_TAP: f64 = 0.01;
/// Score from which a second find is a second card.
const SECOND_SURE: f64 = 0.3;
/// Score of edges and shape that is enough where the person placed all four corners.
const ENOUGH_BY_HAND: f64 = 0.25;
/// How far off the corners are looked for that a person placed, as shares of the long side: a thumb places one
/// to some 2 % of the card.
const HAND_REACHES: [f64; 2] = [0.03, 0.015];
/// A corner that the refinement moved farther is not the one that was placed.
const MOST_MOVED_BY_HAND: f64 = 0.06;
/// Standard uncertainty of a corner that stands as a thumb placed it, as a share of the long side (common
/// practice).
const HAND_CORNER_SHARE: f64 = 0.01;

/// Where to look.
#[derive(Debug, Clone, Copy, Default)]
pub struct CardHint {
    /// A tap on the card.
    pub near: Option<PhotoPoint>,
    /// Four rough corners, in order round the card, either way.
    pub corners: Option<[PhotoPoint; 4]>,
}

/// A card that was found, with the judgement behind it.
#[derive(Debug, Clone)]
pub struct Find {
    /// The card.
    pub card: FoundCard,
    /// What spoke for it.
    pub judged: Judged,
}

/// Why no card is named.
#[derive(Debug, Clone)]
pub struct NoFind {
    /// The reason.
    pub refusal: Refusal,
    /// Cards between which the person must choose.
    pub candidates: Vec<[PhotoPoint; 4]>,
}

impl NoFind {
    fn because(refusal: Refusal) -> Self {
        Self { refusal, candidates: Vec::new() }
    }
}

/// Finds the card.
///
/// # Errors
/// [`NoFind`]: no card, two cards, cut by the frame, too dark or blurred.
pub fn find(photo: &Photo, prior: &CameraPrior, hint: &CardHint) -> Result<Find, NoFind> {
    let light = LinearLight::default();
    if let Some(corners) = hint.corners {
        let judged = by_hand(photo, &light, &clockwise(corners), prior);
        return within_frame(photo, judged.ok_or(NoFind::because(Refusal::NoCard))?);
    }
    let choice = Choice::of(photo, &light, prior, hint.near);
    let enough = if hint.near.is_some() { ENOUGH_WITH_TAP } else { SURE };
    let Some(best) = choice.looked().first().filter(|best| best.score() > enough) else {
        return Err(NoFind::because(choice.why_nothing()));
    };
    if hint.near.is_none() && is_other_plate(photo, &light, &best.judged) {
        return Err(NoFind::because(Refusal::NoCard));
    }
    if hint.near.is_none()
        && let Some(second) = choice.second(&best.judged.corners)
        && second.score() > SECOND_SURE
    {
        let candidates = vec![best.judged.corners, second.judged.corners];
        return Err(NoFind { refusal: Refusal::TwoCards, candidates });
    }
    let told = best.judged.clone().told(photo, &light);
    if hint.near.is_none() && may_be_playing_card(&told, prior) {
        return Err(NoFind::because(Refusal::NoCard));
    }
    within_frame(photo, told)
}

/// From four corners that a person placed: the refinement that explains most, or the corners as they are where
/// no edges are seen near by.
fn by_hand(
    photo: &Photo,
    light: &LinearLight,
    corners: &[PhotoPoint; 4],
    prior: &CameraPrior,
) -> Option<Judged> {
    let long = (0..4).map(|i| corners[i].distance_px(corners[(i + 1) % 4])).fold(0.0, f64::max);
    let meant = |judged: &Judged| {
        judged.score > ENOUGH_BY_HAND && near(&judged.corners, corners, MOST_MOVED_BY_HAND * long)
    };
    HAND_REACHES
        .iter()
        .filter_map(|share| judge_by_hand(photo, light, corners, prior, (share * long).max(6.0)))
        .filter(meant)
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .map(|best| sharpened(photo, light, &best, prior).filter(meant).unwrap_or(best))
        .map(|best| best.told(photo, light))
        .or_else(|| as_placed(corners, prior, HAND_CORNER_SHARE * long))
}

fn within_frame(photo: &Photo, judged: Judged) -> Result<Find, NoFind> {
    if judged.corners.iter().any(|&corner| !photo.size().contains(corner)) {
        return Err(NoFind { refusal: Refusal::CardCut, candidates: vec![judged.corners] });
    }
    let card = FoundCard {
        corners: judged.corners,
        corner_u_px: judged.corner_u_px,
        unsure_edges: judged.unsure_edges(),
    };
    Ok(Find { card, judged })
}

/// The corners in clockwise order on the screen.
fn clockwise(corners: [PhotoPoint; 4]) -> [PhotoPoint; 4] {
    let area: f64 = (0..4)
        .map(|i| {
            let (p, q) = (corners[i], corners[(i + 1) % 4]);
            p.x * q.y - q.x * p.y
        })
        .sum();
    if area < 0.0 { [corners[3], corners[2], corners[1], corners[0]] } else { corners }
}
