//! From candidates to the few that are looked at closely: judged at full size, seen face and corners, mended.

use super::ID1_MM;
use super::judge::{Judged, judge, judge_close};
use super::look::Looked;
use super::search::SearchPicture;
use crate::camera::CameraPrior;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::units::PhotoPoint;

/// Candidates that are considered, and of them looked at in full size: more finds cards among texture, each costs
/// some 5 ms.
const MOST_CANDIDATES: usize = 80;
const MOST_JUDGED: usize = 24;
/// A candidate whose corners are this near to those of a judged one, as a share of the reach, would be refined to
/// the same.
const SAME_CANDIDATE: f64 = 0.3;
/// Score of a card that is plain to see by its edges, and when it was looked at.
const PLAIN: f64 = 0.85;
const PLAIN_TO_SEE: f64 = 0.85;
/// How much less merit than the first candidate one may have that is looked at as a second card.
pub(super) const RIVAL_MERIT: f64 = 4.0;
/// Judged candidates whose face and corners are looked at, each once.
const MOST_LOOKED_AT: usize = 8;
/// Score of edges and shape under which none is looked at.
const LEAST_SCORE: f64 = 0.15;
/// Corners that differ by less than this share of the long side are the same.
const SAME_CORNER: f64 = 0.004;
/// Candidates that are mended by what is seen there: one side may have sat on a block, a frame or a shadow.
const MOST_MENDED: usize = 3;

/// How well a mended corner is seen, in mm.
const SEEN_MM: f64 = 1.0;

/// The best candidates looked at, some of them mended, best first.
pub fn looked_at(
    photo: &Photo,
    light: &LinearLight,
    picture: &SearchPicture,
    prior: &CameraPrior,
    tap: Option<PhotoPoint>,
) -> Vec<Looked> {
    let reach = picture.corner_reach_px();
    let mut looked = looked_once(photo, light, picture, prior, tap);
    best_first(&mut looked);
    if looked.first().is_some_and(|best| best.score() > PLAIN_TO_SEE) {
        return looked;
    }
    let mut mended: Vec<Looked> = Vec::new();
    for found in looked.iter().take(MOST_MENDED) {
        for corners in found.elsewhere() {
            if same(&corners, &found.judged.corners) {
                continue;
            }
            let seen_px = SEEN_MM * corners[0].distance_px(corners[1]) / ID1_MM[0];
            let tries = [
                judge(photo, light, &corners, prior, 0.8 * reach),
                judge_close(photo, light, &corners, prior, seen_px),
            ];
            for judged in tries.into_iter().flatten() {
                if looked.iter().chain(&mended).all(|other| !same(&judged.corners, &other.judged.corners)) {
                    mended.push(Looked::at(photo, judged, found.less_merit()));
                }
            }
        }
    }
    looked.extend(mended);
    best_first(&mut looked);
    looked
}

fn looked_once(
    photo: &Photo,
    light: &LinearLight,
    picture: &SearchPicture,
    prior: &CameraPrior,
    tap: Option<PhotoPoint>,
) -> Vec<Looked> {
    let reach = picture.corner_reach_px();
    let candidates = picture.candidates(prior, tap, MOST_CANDIDATES);
    let most_merit = candidates.first().map_or(0.0, |first| first.score);
    let mut looked: Vec<Looked> = Vec::new();
    let mut judged: Vec<(Judged, f64)> = Vec::new();
    let mut plain: Vec<[PhotoPoint; 4]> = Vec::new();
    let mut count = 0;
    for candidate in &candidates {
        // Once a card is plain to see, only a second one elsewhere is worth the time.
        let elsewhere = || plain.iter().all(|card| !overlap(card, &candidate.corners));
        if !plain.is_empty() && (candidate.score < most_merit - RIVAL_MERIT || !elsewhere()) {
            continue;
        }
        let known = looked.iter().map(|found| &found.judged).chain(judged.iter().map(|(judged, _)| judged));
        let refined_there = |known: &Judged| near(&candidate.corners, &known.corners, SAME_CANDIDATE * reach);
        if count >= MOST_JUDGED || known.into_iter().any(refined_there) {
            continue;
        }
        let Some(found) = judge(photo, light, &candidate.corners, prior, reach) else { continue };
        count += 1;
        let less_merit = most_merit - candidate.score;
        if found.score > PLAIN && looked.iter().all(|other| !same(&found.corners, &other.judged.corners)) {
            let seen = Looked::at(photo, found, less_merit);
            if seen.score() > PLAIN_TO_SEE {
                plain.push(seen.judged.corners);
            }
            looked.push(seen);
        } else {
            judged.push((found, less_merit));
        }
    }
    judged.sort_by(|a, b| b.0.score.total_cmp(&a.0.score));
    for (found, less_merit) in judged {
        if looked.len() >= MOST_LOOKED_AT || found.score < LEAST_SCORE {
            break;
        }
        if looked.iter().all(|other| !same(&found.corners, &other.judged.corners)) {
            looked.push(Looked::at(photo, found, less_merit));
        }
    }
    looked
}

fn best_first(looked: &mut [Looked]) {
    looked.sort_by(|a, b| b.score().total_cmp(&a.score()));
}

/// True when no corner of one lies off those of the other, whichever side is the first.
fn same(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4]) -> bool {
    near(a, b, SAME_CORNER * a[0].distance_px(a[1]))
}

/// True when each corner lies within `reach_px` of one of the others.
pub(super) fn near(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4], reach_px: f64) -> bool {
    a.iter().all(|corner| b.iter().any(|other| corner.distance_px(*other) < reach_px))
}

/// True when the middle of one lies in the other.
pub(super) fn overlap(a: &[PhotoPoint; 4], b: &[PhotoPoint; 4]) -> bool {
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
