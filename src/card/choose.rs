//! From candidates to the few that are looked at closely: judged at full size, seen face and corners, mended.

use super::ID1_MM;
use super::judge::{Judged, judge, judge_seen};
use super::look::Looked;
use super::search::picture::{COARSE_SIDE, FINE_SIDE};
use super::search::{Candidate, Ranked, SearchPicture, overlap};
use super::sharpen::{MOST_MISFIT, sharpened};
use crate::camera::CameraPrior;
use crate::photo::Photo;
use crate::photo::reduced::LinearLight;
use crate::refusal::Refusal;
use crate::units::PhotoPoint;

/// How much is tried on one picture: candidates that are considered, of them judged at full size (some 5 ms each), and
/// of those looked at (some 15 ms each).
struct Effort {
    candidates: usize,
    judged: usize,
    looked: usize,
}

/// On the coarse picture only what may be plain to see, on the fine one all that is worth it.
const COARSE: Effort = Effort { candidates: 40, judged: 12, looked: 3 };
const FINE: Effort = Effort { candidates: 80, judged: 24, looked: 8 };
/// A candidate whose corners are this near to those of a judged one, as a share of the reach, would be refined to
/// the same.
const SAME_CANDIDATE: f64 = 0.3;
/// Score by its edges at which a card is looked at before the rest is judged, and that of one that is plain to see when it
/// was: a right card with one faint side has 0.6 to 0.8, and each of the dozen judged after it costs a third of a look.
const PLAIN: f64 = 0.6;
const PLAIN_TO_SEE: f64 = 0.85;
/// Score of edges and shape under which none is looked at.
const LEAST_SCORE: f64 = 0.15;
/// Corners that differ by less than this share of the long side are the same.
const SAME_CORNER: f64 = 0.004;
/// Candidates that are mended by what is seen there: one side may have sat on a block, a frame or a shadow.
const MOST_MENDED: usize = 3;
/// How well a mended corner is seen, in mm.
const SEEN_MM: f64 = 1.0;
/// Corners that are seen within this of a candidate's own agree, in mm.
const AGREES_MM: f64 = 0.35;
/// What a card may lose of its score where it is drawn to the sides that are seen.
const MOST_LOST: f64 = 0.1;
/// Candidates elsewhere than the card that are judged as a second one: more cost every photo time, and find few.
const MOST_SECONDS: usize = 3;
/// Merit that a second card lacks at most against the picture's best candidate: 28 of 31 in drawn pairs, and half of the
/// photos of one card need not look.
const SECOND_LACKS_MERIT: f64 = 3.6;
/// Score of edges and shape that a second card needs: a note of nearly the shape has a good face too.
const SECOND_EDGES: f64 = 0.7;

/// The choice among a picture's candidates: those that were looked at, best first.
pub struct Choice<'a> {
    photo: &'a Photo,
    light: &'a LinearLight,
    prior: &'a CameraPrior,
    /// How well a candidate's corners are known, in px.
    reach_px: f64,
    ranked: Ranked,
    picture: SearchPicture,
    /// Judged, and not looked at.
    judged: Vec<(Judged, f64)>,
    looked: Vec<Looked>,
}

impl<'a> Choice<'a> {
    /// Looks at the best candidates, near `tap` where the person tapped, and mends some of them.
    pub fn of(
        photo: &'a Photo,
        light: &'a LinearLight,
        prior: &'a CameraPrior,
        tap: Option<PhotoPoint>,
    ) -> Self {
        let picture = SearchPicture::of(photo, COARSE_SIDE);
        let ranked = picture.candidates(prior, tap);
        let reach_px = picture.corner_reach_px();
        let mut choice =
            Self { photo, light, prior, reach_px, ranked, picture, judged: Vec::new(), looked: Vec::new() };
        choice.look(&COARSE);
        if !choice.is_plain() {
            let fine = SearchPicture::of(photo, FINE_SIDE);
            if fine.factor() < choice.picture.factor() {
                choice.ranked = fine.candidates(prior, tap);
                choice.reach_px = fine.corner_reach_px();
                choice.picture = fine;
            }
            choice.look(&FINE);
        }
        if !choice.is_plain() {
            choice.mend();
        }
        choice.sharpen();
        choice
    }

    /// Why nothing is found, where nothing is.
    pub fn why_nothing(&self) -> Refusal {
        self.picture.why_nothing()
    }

    fn is_plain(&self) -> bool {
        self.looked.first().is_some_and(|best| best.score() > PLAIN_TO_SEE)
    }

    /// Those that were looked at, some of them mended, best first.
    pub fn looked(&self) -> &[Looked] {
        &self.looked
    }

    /// The likeliest card elsewhere than `card`.
    pub fn second(&self, card: &[PhotoPoint; 4]) -> Option<Looked> {
        let known = self.looked.iter().filter(|other| !overlap(card, &other.judged.corners)).cloned();
        let candidates = self.ranked.elsewhere(card, MOST_SECONDS);
        let most_merit = candidates.first().map_or(0.0, |first| first.score);
        let best_merit = self.ranked.best(1).first().map_or(0.0, |best| best.score);
        let worth_it = |candidate: &&Candidate| best_merit - candidate.score < SECOND_LACKS_MERIT;
        let others = candidates.iter().filter(worth_it).filter_map(|candidate| {
            let judged = self.judged(candidate).filter(|judged| judged.score > SECOND_EDGES)?;
            Some(Looked::at(self.photo, judged, most_merit - candidate.score))
        });
        let seconds = known.chain(others).filter(|other| other.judged.score > SECOND_EDGES);
        seconds.max_by(|a, b| a.score().total_cmp(&b.score()))
    }

    fn judged(&self, candidate: &Candidate) -> Option<Judged> {
        judge(self.photo, self.light, &candidate.corners, self.prior, self.reach_px)
    }

    fn look(&mut self, effort: &Effort) {
        let candidates = self.ranked.best(effort.candidates);
        let most_merit = candidates.first().map_or(0.0, |first| first.score);
        let mut count = 0;
        for candidate in &candidates {
            let looked = self.looked.iter().map(|found| &found.judged);
            let known = looked.chain(self.judged.iter().map(|(judged, _)| judged));
            let near_to =
                |known: &Judged| near(&candidate.corners, &known.corners, SAME_CANDIDATE * self.reach_px);
            if count >= effort.judged || known.into_iter().any(near_to) {
                continue;
            }
            let Some(found) = self.judged(candidate) else { continue };
            count += 1;
            let less_merit = most_merit - candidate.score;
            if found.score > PLAIN && self.is_new(&found) {
                let seen = Looked::at(self.photo, found, less_merit);
                let is_plain = seen.score() > PLAIN_TO_SEE;
                self.looked.push(seen);
                if is_plain {
                    best_first(&mut self.looked);
                    return;
                }
            } else {
                self.judged.push((found, less_merit));
            }
        }
        self.judged.sort_by(|a, b| b.0.score.total_cmp(&a.0.score));
        for (found, less_merit) in std::mem::take(&mut self.judged) {
            let enough = self.looked.len() >= effort.looked || found.score < LEAST_SCORE;
            if enough {
                self.judged.push((found, less_merit));
            } else if self.is_new(&found) {
                self.looked.push(Looked::at(self.photo, found, less_merit));
            }
        }
        best_first(&mut self.looked);
    }

    /// Judges the best anew where the card is seen.
    fn mend(&mut self) {
        let best: Vec<Looked> = self.looked.iter().take(MOST_MENDED).cloned().collect();
        for found in best {
            let mut tries = self.at_seen_corners(&found);
            if let Some(corners) = found.seen_face().filter(|corners| !same(corners, &found.judged.corners)) {
                tries.extend(judge(self.photo, self.light, &corners, self.prior, 0.8 * self.reach_px));
            }
            for judged in tries {
                if self.is_new(&judged) {
                    self.looked.push(Looked::at(self.photo, judged, found.less_merit()));
                }
            }
        }
        best_first(&mut self.looked);
    }

    /// Where corners are seen elsewhere, tries with them, close by and a little farther, that are one rigid card.
    fn at_seen_corners(&self, found: &Looked) -> Vec<Judged> {
        let Some(seen) = found.seen_corners().filter(|_| found.off_mm() > AGREES_MM) else {
            return Vec::new();
        };
        let corners = &found.judged.corners;
        let seen_px = SEEN_MM * corners[0].distance_px(corners[1]) / ID1_MM[0];
        let reaches = [0.8 * self.reach_px, seen_px];
        let tries =
            reaches.map(|reach| judge_seen(self.photo, self.light, corners, self.prior, reach, &seen));
        tries.into_iter().flatten().filter(|judged| judged.refined.chi_square < MOST_MISFIT).collect()
    }

    /// The best, judged anew where the edges of its face are seen along its sides.
    fn sharpen(&mut self) {
        let Some(best) = self.looked.first() else { return };
        let Some(judged) = sharpened(self.photo, self.light, &best.judged, self.prior) else { return };
        let anew = Looked::at(self.photo, judged, best.less_merit());
        let agrees = anew.off_mm() <= best.off_mm().max(AGREES_MM);
        if agrees && anew.score() > best.score() - MOST_LOST {
            self.looked.insert(0, anew);
        }
    }

    fn is_new(&self, judged: &Judged) -> bool {
        self.looked.iter().all(|other| !same(&judged.corners, &other.judged.corners))
    }
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
