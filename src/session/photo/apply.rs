//! What happens to the photo in hand: taps and marks.

use crate::terms::{Dimension, PlacedBy, Placing};
use crate::units::PhotoPoint;

use super::{Aim, InHand, PhotoWork, Target, Tool};
use crate::session::Action;

impl PhotoWork {
    /// No photo, but what the person said of the card's place and what the rule measures stay.
    pub(in crate::session) fn put_away(&self) -> Self {
        Self {
            last_number: self.last_number,
            placement: self.placement,
            dimension: self.dimension,
            species: self.species.clone(),
            height_share: self.height_share,
            worker_lost: self.worker_lost || self.pending.is_some(),
            ..Self::default()
        }
    }

    pub(in crate::session) fn take(&mut self, in_hand: InHand) {
        let was_busy = self.pending.is_some();
        self.forget_findings();
        self.card_near = None;
        self.corners.clear();
        self.shell_near = None;
        self.worker_lost |= was_busy;
        self.in_hand = Some(in_hand);
        self.ask_measure();
    }

    pub(in crate::session) fn apply(&mut self, action: Action) {
        match action {
            Action::Heard(answer) => self.hear(answer),
            Action::WorkerStopped => self.lose_worker(),
            Action::Cancel => self.cancel(),
            Action::SetPlacement(placement) => {
                self.placement = placement;
                self.marks.unconfirm();
                self.update_width();
            }
            Action::LookAgain => self.look_again(),
            Action::PointAtCard | Action::PlaceCorners if self.is_unusable() => {}
            Action::PointAtCard => self.tool = Tool::TapCard,
            Action::PointAtShell => self.tool = Tool::TapShell,
            Action::PlaceCorners => {
                self.corners.clear();
                self.tool = match self.known_corner(0) {
                    Some(at) => Tool::Aim(Aim { target: Target::Corner(0), at }),
                    None => Tool::Corners,
                };
            }
            Action::PlacePoints => {
                let start = self.marks.last_place(0).or_else(|| self.middle());
                self.marks.clear();
                self.tool = match start {
                    Some(at) => Tool::Aim(Aim { target: Target::Point(0), at }),
                    None => Tool::Look,
                };
                self.update_width();
            }
            Action::Tap { at, reach_px } => {
                self.tap(at, reach_px);
                if self.tool != Tool::Look {
                    self.notice = None;
                }
            }
            Action::BeginMove => self.marks.begin_step(),
            Action::MoveMark { which, to, px_per_css } => {
                self.put_mark(which, to, Placing { by: PlacedBy::Finger, px_per_css });
            }
            Action::StepMark { which, right_px, down_px, px_per_css } => {
                if let Some(from) = self.marks.get(which).map(|marked| marked.point) {
                    self.marks.begin_step();
                    let to = PhotoPoint::new(from.x + right_px, from.y + down_px);
                    self.put_mark(which, to, Placing { by: PlacedBy::Keys, px_per_css });
                }
            }
            Action::OpenAim { target, at } => self.tool = Tool::Aim(Aim { target, at }),
            Action::AimAt(at) => self.aim_at(at),
            Action::StepAim { right_px, down_px } => {
                if let Tool::Aim(Aim { at, .. }) = self.tool {
                    self.aim_at(PhotoPoint::new(at.x + right_px, at.y + down_px));
                }
            }
            Action::SetAim { px_per_css } => self.set_aim(px_per_css),
            Action::SnapAim => self.ask_snap(),
            Action::CloseTool => self.tool = Tool::Look,
            Action::Undo => self.undo(),
            Action::ConfirmPoints => {
                self.is_looked_at = false;
                self.marks.confirm();
                self.tool = Tool::Look;
                self.ask_look();
            }
            Action::ReopenPoints => self.marks.unconfirm(),
            _ => {}
        }
    }

    /// Takes over what is said of the crab, whichever photo is in view. Another distance has other points.
    pub(in crate::session) fn follow(&mut self, shown: &Self) {
        self.last_number = self.last_number.max(shown.last_number);
        if self.dimension != shown.dimension {
            self.forget_findings();
        }
        let has_news = self.placement != shown.placement || self.height_share != shown.height_share;
        self.placement = shown.placement;
        self.dimension = shown.dimension;
        self.species.clone_from(&shown.species);
        self.height_share = shown.height_share;
        if has_news {
            self.update_width();
        }
    }

    /// The rule names a distance, a kind and its height: what was found for another is looked for anew,
    /// but points that the person placed for the same distance stay.
    pub(in crate::session) fn set_shell(
        &mut self,
        dimension: Dimension,
        species: Option<String>,
        height_share: Option<(f64, f64)>,
    ) {
        if self.dimension == dimension && self.species == species && self.height_share == height_share {
            return;
        }
        let other_points = self.dimension != dimension;
        self.dimension = dimension;
        self.species = species;
        self.height_share = height_share;
        if self.in_hand.is_none() || self.scene.is_none() {
            return;
        }
        let is_persons = self.marks.moved() || self.marks.confirmed();
        if other_points || !is_persons {
            self.forget_findings();
            self.ask_measure();
        } else {
            self.update_width();
        }
    }

    fn tap(&mut self, at: PhotoPoint, reach_px: f64) {
        if self.in_hand.is_none() || !at.is_finite() {
            return;
        }
        match self.asked_tap() {
            Tool::TapCard => {
                self.card_near = Some(at);
                self.corners.clear();
                self.forget_findings();
                self.ask_measure();
            }
            Tool::TapShell => {
                self.shell_near = Some(at);
                self.forget_findings();
                self.ask_measure();
            }
            Tool::Corners => {
                let target = Target::Corner(self.corners.len());
                self.tool = Tool::Aim(Aim { target, at });
            }
            Tool::Aim(_) => self.aim_at(at),
            Tool::Look if !self.candidates.is_empty() => {
                self.card_near = Some(at);
                self.forget_findings();
                self.ask_measure();
            }
            Tool::Look if self.scene.is_some() => {
                let near = self.marks.near(at, reach_px);
                let place = near.and_then(|which| Some((which, self.marks.get(which)?.point)));
                let place = place.or_else(|| Some((self.marks.missing()?, at)));
                if let Some((which, at)) = place {
                    self.tool = Tool::Aim(Aim { target: Target::Point(which), at });
                }
            }
            Tool::Look => {}
        }
    }

    pub(super) fn aim_at(&mut self, at: PhotoPoint) {
        if let Tool::Aim(aim) = &mut self.tool
            && at.is_finite()
        {
            aim.at = match &self.scene {
                Some(scene) => PhotoPoint::new(
                    at.x.clamp(0.0, f64::from(scene.size.width) - 1.0),
                    at.y.clamp(0.0, f64::from(scene.size.height) - 1.0),
                ),
                None => at,
            };
        }
    }

    fn set_aim(&mut self, px_per_css: f64) {
        let Tool::Aim(Aim { target, at }) = self.tool else { return };
        match target {
            Target::Point(which) => {
                // The window stays open for the other point: one thumb, no search for the next button.
                let start = |other| self.marks.last_place(other).unwrap_or(at);
                let next = |other| Tool::Aim(Aim { target: Target::Point(other), at: start(other) });
                let other = 1 - which.min(1);
                let tool = if self.marks.get(other).is_none() { next(other) } else { Tool::Look };
                self.marks.begin_step();
                self.put_mark(which, at, Placing { by: PlacedBy::Finger, px_per_css });
                self.tool = tool;
            }
            Target::Corner(_) => {
                self.corners.push(at);
                let target = Target::Corner(self.corners.len());
                self.tool =
                    Tool::Aim(Aim { target, at: self.known_corner(self.corners.len()).unwrap_or(at) });
                if self.corners.len() == 4 {
                    self.card_near = None;
                    self.forget_findings();
                    self.ask_measure();
                }
            }
        }
    }

    /// Where a corner was seen that may lie a little beside: the best place to begin.
    fn known_corner(&self, which: usize) -> Option<PhotoPoint> {
        self.scene.as_ref()?.card.corners.get(which).copied()
    }

    /// The middle of the photo: where aiming starts while nothing better is known.
    fn middle(&self) -> Option<PhotoPoint> {
        let size = self.scene.as_ref()?.size;
        Some(PhotoPoint::new(f64::from(size.width) / 2.0, f64::from(size.height) / 2.0))
    }

    fn put_mark(&mut self, which: usize, to: PhotoPoint, placing: Placing) {
        let Some(scene) = self.scene.clone() else { return };
        if !placing.u_px().is_finite() {
            return;
        }
        self.marks.put(which, scene.placed_so(to, placing), scene.size);
        self.points_hint = None;
        self.is_looked_at = false;
        self.update_width();
    }

    fn undo(&mut self) {
        match self.tool {
            Tool::Corners => {
                self.corners.pop();
            }
            Tool::Aim(Aim { target: Target::Corner(_), .. }) => {
                self.tool = match self.corners.pop() {
                    Some(at) => Tool::Aim(Aim { target: Target::Corner(self.corners.len()), at }),
                    None => Tool::Look,
                };
            }
            Tool::Aim(_) => self.tool = Tool::Look,
            _ => {
                self.marks.undo();
                self.update_width();
            }
        }
    }
}
