//! The card in a photo: the best judged candidate, or why there is none.

use super::FoundCard;
use super::candidates::SearchPicture;
use super::judge::{Judged, judge};
use crate::camera::CameraPrior;
use crate::measure::Refusal;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::units::PhotoPoint;

/// Candidates that are looked at in full size: more finds cards among texture, each costs some 10 ms.
const MOST_JUDGED: usize = 32;
/// Score from which a find is shown without a hint of the person. Below, half of the finds on decks without
/// a card pass; above, faint cards are lost.
const SURE: f64 = 0.6;
/// Score of a card that is plain to see.
const PLAIN: f64 = 0.85;
/// First score of a candidate that may be a second card.
const RIVAL_SCORE: f64 = 0.9;
/// Score that is enough where the person tapped on it.
const ENOUGH_WITH_TAP: f64 = 0.2;
/// Score that is enough where the person placed all four corners.
const ENOUGH_BY_HAND: f64 = 0.1;

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
/// [`NoFind`]: no card, two cards, cut by the frame, too much covered, too dark or blurred.
pub fn find(photo: &Photo, prior: &CameraPrior, hint: &CardHint) -> Result<Find, NoFind> {
    let light = LinearLight::default();
    if let Some(corners) = hint.corners {
        let corners = clockwise(corners);
        let long = (0..4).map(|i| corners[i].distance_px(corners[(i + 1) % 4])).fold(0.0, f64::max);
        // A thumb places a corner to some 2 % of the card.
        let judged = judge(photo, &light, &corners, prior, (0.03 * long).max(6.0))
            .filter(|judged| judged.score > ENOUGH_BY_HAND)
            .ok_or(NoFind::because(Refusal::NoCard))?;
        return within_frame(photo, judged);
    }
    let picture = SearchPicture::of(photo);
    let candidates = picture.candidates(prior, hint.near, MOST_JUDGED);
    let reach = picture.corner_reach_px();
    let mut judged: Vec<Judged> = Vec::new();
    for candidate in &candidates {
        // Once a card is plain to see, only a second one elsewhere is worth the time.
        let plain = judged.iter().filter(|found| found.score > PLAIN).count();
        let elsewhere = || judged.iter().all(|found| !overlap(&found.corners, &candidate.corners));
        if plain > 0 && (candidate.score < RIVAL_SCORE || !elsewhere()) {
            continue;
        }
        judged.extend(judge(photo, &light, &candidate.corners, prior, reach));
    }
    judged.sort_by(|a, b| b.score.total_cmp(&a.score));
    let enough = if hint.near.is_some() { ENOUGH_WITH_TAP } else { SURE };
    let Some(best) = judged.first().filter(|best| best.score > enough).cloned() else {
        return Err(NoFind::because(picture.why_nothing()));
    };
    if hint.near.is_none() {
        let rival = judged.iter().skip(1).find(|other| {
            other.score > enough.max(0.92 * best.score) && !overlap(&best.corners, &other.corners)
        });
        if let Some(rival) = rival {
            return Err(NoFind { refusal: Refusal::TwoCards, candidates: vec![best.corners, rival.corners] });
        }
    }
    within_frame(photo, best)
}

fn within_frame(photo: &Photo, judged: Judged) -> Result<Find, NoFind> {
    if judged.corners.iter().any(|&corner| !photo.size().contains(corner)) {
        return Err(NoFind { refusal: Refusal::CardCut, candidates: vec![judged.corners] });
    }
    let seen = judged.sides.map(|side| side.support);
    if seen.iter().filter(|&&support| support < 0.3).count() >= 2 {
        return Err(NoFind { refusal: Refusal::CardHidden, candidates: vec![judged.corners] });
    }
    let card = FoundCard {
        corners: judged.corners,
        corner_u_px: judged.corner_u_px,
        unsure_edges: judged.sides.map(|side| side.support < 0.5 || side.salience < 0.35),
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

/// True when the middle of one lies in the other.
fn overlap(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4]) -> bool {
    let middle = |quad: &[PhotoPoint; 4]| {
        PhotoPoint::new(
            quad.iter().map(|p| p.x).sum::<f64>() / 4.0,
            quad.iter().map(|p| p.y).sum::<f64>() / 4.0,
        )
    };
    let holds = |quad: &[PhotoPoint; 4], p: PhotoPoint| {
        (0..4).all(|i| {
            let (s, t) = (quad[i], quad[(i + 1) % 4]);
            (t.x - s.x) * (p.y - s.y) - (t.y - s.y) * (p.x - s.x) > 0.0
        })
    };
    holds(a, middle(b)) || holds(b, middle(a))
}
