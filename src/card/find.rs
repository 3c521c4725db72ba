//! The card in a photo: the best judged candidate, or why there is none.

use super::FoundCard;
use super::face::FaceView;
use super::judge::{Judged, as_placed, judge, judge_by_hand};
use super::search::SearchPicture;
use crate::camera::CameraPrior;
use crate::measure::Refusal;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Candidates that are considered, and of them looked at in full size: more finds cards among texture, each costs
/// some 5 ms.
const MOST_CANDIDATES: usize = 80;
const MOST_JUDGED: usize = 24;
/// A candidate whose corners are this near to those of a judged one, as a share of the reach, would be refined to
/// the same.
const SAME_CANDIDATE: f64 = 0.3;
/// Score of a card that is plain to see by its edges, and with its face.
const PLAIN: f64 = 0.85;
const PLAIN_WITH_FACE: f64 = 0.8;
/// How much less merit than the first candidate one may have that is looked at as a second card.
const RIVAL_MERIT: f64 = 4.0;
/// Judged candidates that are looked at for a face: the right one is nearly always among the first.
const MOST_LOOKED_AT: usize = 6;
/// Score under which none is looked at.
const LEAST_SCORE: f64 = 0.15;
/// Candidates that are mended by the face that is seen there: one side may have sat on a block, a frame or a
/// shadow.
const MOST_MENDED: usize = 2;
/// A mended corner that moved by less than this share of the long side is the same corner.
const SAME_CORNER: f64 = 0.006;
/// How fast the odds of a card grow with the score of edges and shape. Chosen with [`SURE`] on drawn scenes and
/// on photos with and without a card that the network had not seen.
const EDGES_STEEPNESS: f64 = 4.0;
/// The same for the merit that it lacks, and the most that counts.
const MERIT_STEEPNESS: f64 = 0.15;
const MOST_LESS_MERIT: f64 = 8.0;
/// Score, face and merit included, from which a find is shown without a hint of the person: 2 of 56 everyday photos
/// without a card still pass. Above, faint cards are lost; below, as many wrong finds are won as right ones.
const SURE: f64 = 0.77;
/// Score that is enough where the person tapped on it.
const ENOUGH_WITH_TAP: f64 = 0.08;
/// Score of edges and shape that is enough where the person placed all four corners.
const ENOUGH_BY_HAND: f64 = 0.1;
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

/// A judged candidate and what its face looks like.
#[derive(Debug, Clone)]
struct Looked {
    judged: Judged,
    view: Option<FaceView>,
    /// How much less merit than the picture's first candidate it had; 0 for the first.
    less_merit: f64,
}

impl Looked {
    fn at(photo: &Photo, judged: Judged, less_merit: f64) -> Self {
        let view = FaceView::of(photo, &judged.corners);
        Self { judged, view, less_merit }
    }

    /// Logarithm of the odds of edges and shape, and of the merit, which was seen in the reduced picture only.
    fn without_face(&self) -> f64 {
        EDGES_STEEPNESS * (self.judged.score - 0.5) - MERIT_STEEPNESS * self.less_merit.min(MOST_LESS_MERIT)
    }

    /// Edges, shape, merit and face together, 0 to 1: the odds of each, multiplied. The face's odds count by their
    /// root, since the network errs too.
    fn score(&self) -> f64 {
        let face = self.view.as_ref().map_or(0.0, |view| view.is_face);
        let face = (face + 0.005) / (1.0 - face + 0.005);
        let odds = self.without_face().portable_exp() * face.sqrt();
        odds / (1.0 + odds)
    }
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
        let judged = by_hand(photo, &light, &clockwise(corners), prior);
        return within_frame(photo, judged.ok_or(NoFind::because(Refusal::NoCard))?);
    }
    let picture = SearchPicture::of(photo);
    let candidates = picture.candidates(prior, hint.near, MOST_CANDIDATES);
    let reach = picture.corner_reach_px();
    let most_merit = candidates.first().map_or(0.0, |first| first.score);
    let mut found: Vec<Looked> = Vec::new();
    let mut plain: Vec<[PhotoPoint; 4]> = Vec::new();
    for candidate in &candidates {
        // Once a card is plain to see, only a second one elsewhere is worth the time.
        let elsewhere = || plain.iter().all(|card| !overlap(card, &candidate.corners));
        if !plain.is_empty() && (candidate.score < most_merit - RIVAL_MERIT || !elsewhere()) {
            continue;
        }
        let same = |other: &Looked| near(&candidate.corners, &other.judged.corners, SAME_CANDIDATE * reach);
        if found.len() >= MOST_JUDGED || found.iter().any(same) {
            continue;
        }
        let Some(judged) = judge(photo, &light, &candidate.corners, prior, reach) else { continue };
        let less_merit = most_merit - candidate.score;
        let mut looked = Looked { judged, view: None, less_merit };
        if looked.judged.score > PLAIN {
            looked = Looked::at(photo, looked.judged, less_merit);
            if looked.score() > PLAIN_WITH_FACE {
                plain.push(looked.judged.corners);
            }
        }
        found.push(looked);
    }
    let looked = looked_at(photo, &light, prior, found, reach);
    let enough = if hint.near.is_some() { ENOUGH_WITH_TAP } else { SURE };
    let Some(best) = looked.first().filter(|best| best.score() > enough) else {
        return Err(NoFind::because(picture.why_nothing()));
    };
    if hint.near.is_none() {
        let rival = looked.iter().skip(1).find(|other| {
            other.score() > RIVAL_SURE.max(RIVAL_SHARE * best.score())
                && other.judged.score > RIVAL_EDGES
                && other.less_merit < RIVAL_MERIT
                && !overlap(&best.judged.corners, &other.judged.corners)
        });
        if let Some(rival) = rival {
            let candidates = vec![best.judged.corners, rival.judged.corners];
            return Err(NoFind { refusal: Refusal::TwoCards, candidates });
        }
    }
    within_frame(photo, best.judged.clone())
}

/// A second find counts as a second card from this score, and from this share of the first one's.
const RIVAL_SURE: f64 = 0.65;
const RIVAL_SHARE: f64 = 0.75;
/// And its edges and shape alone must be worth this: a note of nearly the shape has a good face too.
const RIVAL_EDGES: f64 = 0.7;

/// The best candidates with their faces, some of them mended, best first.
fn looked_at(
    photo: &Photo,
    light: &LinearLight,
    prior: &CameraPrior,
    mut found: Vec<Looked>,
    reach: f64,
) -> Vec<Looked> {
    found.retain(|found| found.judged.score > LEAST_SCORE);
    found.sort_by(|a, b| b.judged.score.total_cmp(&a.judged.score));
    let mut looked: Vec<Looked> = found
        .into_iter()
        .take(MOST_LOOKED_AT)
        .map(
            |found| {
                if found.view.is_some() { found } else { Looked::at(photo, found.judged, found.less_merit) }
            },
        )
        .collect();
    looked.sort_by(|a, b| b.score().total_cmp(&a.score()));
    if looked.first().is_some_and(|best| best.score() > PLAIN_WITH_FACE) {
        return looked;
    }
    let mended: Vec<Looked> = looked
        .iter()
        .take(MOST_MENDED)
        .filter_map(|found| {
            let seen = found.view.as_ref()?.corners()?;
            let here = &found.judged.corners;
            let same = SAME_CORNER * here[0].distance_px(here[1]);
            let moved = here.iter().zip(&seen).any(|(a, b)| a.distance_px(*b) > same);
            let judged = moved.then(|| judge(photo, light, &seen, prior, 0.8 * reach))??;
            Some(Looked::at(photo, judged, found.less_merit))
        })
        .collect();
    looked.extend(mended);
    looked.sort_by(|a, b| b.score().total_cmp(&a.score()));
    looked
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
    HAND_REACHES
        .iter()
        .filter_map(|share| judge_by_hand(photo, light, corners, prior, (share * long).max(6.0)))
        .filter(|judged| judged.score > ENOUGH_BY_HAND)
        .filter(|judged| near(&judged.corners, corners, MOST_MOVED_BY_HAND * long))
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .or_else(|| as_placed(corners, prior, HAND_CORNER_SHARE * long))
}

/// True when each corner lies within `reach_px` of one of the others.
fn near(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4], reach_px: f64) -> bool {
    a.iter().all(|corner| b.iter().any(|other| corner.distance_px(*other) < reach_px))
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
