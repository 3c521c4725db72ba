//! The reducer: one action after the other, no effect outside the session.

use std::rc::Rc;

use crate::decide::photo_dimension;
use crate::measure::{Measurement, Refused};
use crate::shell::Dimension;
use crate::text::Notice;
use crate::units::PhotoPoint;
use crate::worker::protocol::{Answer, Body, Question};

use super::photo::{Aim, InHand, Pending, PhotoWork, Target, Tool};
use super::{Action, Crab, KeptToday, Marks, Screen, Session};

impl Session {
    /// The session after `action`.
    #[must_use]
    pub fn apply(&self, action: Action) -> Self {
        let mut next = self.clone();
        match action {
            Action::Show(screen) => next.screen = screen,
            Action::SetClock(clock) => next.clock = Some(clock),
            Action::SetTheme(theme) => next.settings.theme = theme,
            Action::SetVibration(on) => next.settings.vibration = on,
            Action::Restore(settings) => next.settings = settings,
            Action::TakePhoto { serial, name, is_practice } => {
                if next.crab.is_kept {
                    // That one is done with: the photo shows the next.
                    next.crab = Crab::default();
                    next.follow_rule();
                }
                next.photo.take(InHand { serial, name, is_practice });
                next.screen = Screen::Measure;
            }
            Action::PhotoFailed(notice) => {
                next.photo = self.photo.put_away();
                next.photo.notice = Some(notice);
                next.screen = Screen::Start;
            }
            Action::DropPhoto => {
                next.photo = self.photo.put_away();
                next.screen = Screen::Start;
            }
            Action::Keep => next.keep(),
            Action::Unkeep => next.unkeep(),
            Action::RestoreKept(kept) => {
                if kept.day == self.today {
                    next.kept = kept;
                }
            }
            Action::SetToday(today) => {
                if today != self.today {
                    next.today = today;
                    next.kept = KeptToday::none(today);
                    next.crab.is_kept = false;
                }
            }
            Action::Reply(reply) => {
                if next.crab.is_kept {
                    // Another answer, another verdict: it is counted again when it is kept again.
                    next.unkeep();
                }
                next.crab.reply(reply);
                next.follow_rule();
                let is_settled = next.outcome().is_some_and(|outcome| outcome.verdict().is_some());
                next.screen = if is_settled { Screen::Verdict } else { Screen::Checks };
            }
            Action::LookAt(check) => {
                next.crab.looking_at = Some(check);
                next.screen = Screen::Checks;
            }
            Action::NextCrab => {
                next.crab = Crab::default();
                next.photo = self.photo.put_away();
                next.follow_rule();
                next.screen = Screen::Start;
            }
            Action::SetDate(date) => next.rules.date = date.filter(|&date| date != self.today),
            Action::ChooseRule(choice) => {
                next.rules.choice = Some(choice);
                next.follow_rule();
            }
            Action::PacksLoaded(packs) => {
                next.rules.packs = packs;
                next.follow_rule();
            }
            Action::RestoreRules { choice, confirmations, own } => {
                next.rules.restore(choice, confirmations, own);
                next.follow_rule();
            }
            Action::ConfirmFacts { facts, who } => next.rules.confirm(facts, who, self.today),
            Action::MakeOwnRule { rule, who } => {
                next.rules.make_own(&rule, &who, self.today);
                next.follow_rule();
            }
            Action::ImportPack(text) => {
                next.rules.import(&text, self.today);
                next.follow_rule();
            }
            Action::RemovePack(id) => {
                next.rules.remove(&id);
                next.follow_rule();
            }
            action => {
                next.photo.apply(action);
                if next.photo.is_confirmed() && !self.photo.is_confirmed() {
                    next.crab.looking_at = None;
                }
            }
        }
        next
    }

    /// Looks the rule up anew for the kind that was answered, and tells the photo what it measures.
    fn follow_rule(&mut self) {
        let kind = self.crab.answers.kind.given().cloned();
        self.rules.enforce(kind.as_deref());
        let info = self.rules.in_force.as_ref().and_then(|rule| rule.species_info.as_ref());
        let height_share = info.map(|info| info.height_prior()).map(|prior| (prior.k, prior.u));
        let dimension = self.with_case(photo_dimension).flatten().unwrap_or(self.photo.dimension);
        self.photo.set_shell(dimension, kind, height_share);
    }
}

impl PhotoWork {
    /// No photo, but what the person said of the card's place and what the rule measures stay.
    fn put_away(&self) -> Self {
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

    fn take(&mut self, in_hand: InHand) {
        let was_busy = self.pending.is_some();
        self.forget_findings();
        self.card_near = None;
        self.corners.clear();
        self.shell_near = None;
        self.worker_lost |= was_busy;
        self.in_hand = Some(in_hand);
        self.ask_measure();
    }

    fn apply(&mut self, action: Action) {
        match action {
            Action::Heard(answer) => self.hear(answer),
            Action::WorkerStopped => self.lose_worker(),
            Action::Cancel => self.cancel(),
            Action::SetPlacement(placement) => {
                self.placement = placement;
                self.marks.unconfirm();
                self.update_width();
            }
            Action::LookAgain => {
                self.forget_findings();
                self.ask_measure();
            }
            Action::PointAtCard => self.tool = Tool::TapCard,
            Action::PointAtShell => self.tool = Tool::TapShell,
            Action::PlaceCorners => {
                self.corners.clear();
                self.tool = Tool::Corners;
            }
            Action::PlacePoints => {
                self.marks.clear();
                self.tool = Tool::Look;
                self.update_width();
            }
            Action::Tap { at, reach_px } => {
                self.tap(at, reach_px);
                if self.tool != Tool::Look {
                    self.notice = None;
                }
            }
            Action::BeginMove => self.marks.begin_step(),
            Action::MoveMark { which, to } => self.put_mark(which, to),
            Action::OpenAim { target, at } => self.tool = Tool::Aim(Aim { target, at }),
            Action::AimAt(at) => self.aim_at(at),
            Action::SetAim => self.set_aim(),
            Action::SnapAim => self.ask_snap(),
            Action::CloseTool => self.tool = Tool::Look,
            Action::Undo => self.undo(),
            Action::ConfirmPoints => {
                self.marks.confirm();
                self.tool = Tool::Look;
            }
            Action::ReopenPoints => self.marks.unconfirm(),
            _ => {}
        }
    }

    fn ask(&mut self, question: Question) {
        self.last_number += 1;
        self.notice = None;
        self.pending = Some(Pending { number: self.last_number, question, step: None });
    }

    fn ask_measure(&mut self) {
        if self.in_hand.is_some() {
            self.ask(Question::Measure(self.request()));
        }
    }

    fn ask_snap(&mut self) {
        let pose = self.scene.as_ref().and_then(|scene| scene.poses.first().copied());
        if let (&Tool::Aim(Aim { target: Target::Point(_), at }), Some(pose)) = (&self.tool, pose) {
            self.ask(Question::Snap {
                scene_pose: Box::new(pose),
                placement: self.placement,
                dimension: self.dimension,
                point: at,
            });
        }
    }

    fn hear(&mut self, answer: Answer) {
        if let Body::Stopped(_) = answer.body {
            self.lose_worker();
            return;
        }
        let Some(pending) = self.pending.as_mut().filter(|pending| pending.number == answer.number) else {
            return;
        };
        if let Body::Step(step) = answer.body {
            pending.step = Some(step);
            return;
        }
        self.pending = None;
        self.worker_lost = false;
        match answer.body {
            Body::Measured(measurement) => self.measured(*measurement),
            Body::Refused(refused) => self.refused(*refused),
            Body::Unusable(notice) => self.notice = Some(notice),
            Body::Snapped(Some(point)) => self.aim_at(point),
            Body::Snapped(None) => {
                self.notice = Some(Notice::new(
                    "no-corner-near",
                    "No corner of the margin stands out here.",
                    "Move the cross onto the point yourself, then set it.",
                ));
            }
            Body::Step(_) | Body::Stopped(_) => {}
        }
    }

    fn measured(&mut self, measurement: Measurement) {
        self.scene = Some(Rc::new(measurement.scene));
        self.outline = Rc::new(measurement.proposal.map(|proposal| proposal.outline).unwrap_or_default());
        self.marks = Marks::proposed(measurement.points);
        self.width = Some(Rc::new(measurement.width));
        self.warnings = measurement.warnings;
        self.candidates.clear();
        self.tool = Tool::Look;
    }

    fn refused(&mut self, refused: Refused) {
        self.scene = refused.scene.map(Rc::new);
        self.notice = Some(crate::text::refusal(refused.refusal).into());
        self.warnings = refused.warnings;
        self.candidates = refused.candidates;
        self.tool = Tool::Look;
    }

    fn cancel(&mut self) {
        if self.pending.take().is_some() {
            self.worker_lost = true;
            self.notice = Some(Notice::new(
                "stopped",
                "You stopped the search.",
                "Look again, show it the card, or choose another photo.",
            ));
        }
    }

    fn lose_worker(&mut self) {
        self.pending = None;
        self.worker_lost = true;
        self.notice = Some(Notice::new(
            "worker-stopped",
            "The measuring part stopped; your answers are safe.",
            "Look again. If it stops again, take the photo anew or use the gauge.",
        ));
    }

    /// The rule names a distance, a kind and its height: what was found for another is looked for anew,
    /// but points that the person placed for the same distance stay.
    pub(super) fn set_shell(
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
        match &self.tool {
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

    fn aim_at(&mut self, at: PhotoPoint) {
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

    fn set_aim(&mut self) {
        let Tool::Aim(Aim { target, at }) = self.tool else { return };
        match target {
            Target::Point(which) => {
                self.marks.begin_step();
                self.put_mark(which, at);
                self.tool = Tool::Look;
            }
            Target::Corner(_) => {
                self.corners.push(at);
                self.tool = Tool::Corners;
                if self.corners.len() == 4 {
                    self.card_near = None;
                    self.forget_findings();
                    self.ask_measure();
                }
            }
        }
    }

    fn put_mark(&mut self, which: usize, to: PhotoPoint) {
        let Some(scene) = self.scene.clone() else { return };
        self.marks.put(which, scene.hand_placed(to), scene.size);
        self.update_width();
    }

    fn undo(&mut self) {
        match self.tool {
            Tool::Corners => {
                self.corners.pop();
            }
            Tool::Aim(Aim { target: Target::Corner(_), .. }) => self.tool = Tool::Corners,
            Tool::Aim(_) => self.tool = Tool::Look,
            _ => {
                self.marks.undo();
                self.update_width();
            }
        }
    }
}
