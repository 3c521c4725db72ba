//! What the worker is asked of the photo in hand, and what comes of its answers.

use std::rc::Rc;

use crate::doubts::Warning;
use crate::measure::{Measurement, Refused};
use crate::text::Notice;
use crate::worker::protocol::{Answer, Body, LastLook, Question};

use super::marks::Marks;
use super::{Aim, Pending, PhotoWork, Target, Tool};

impl PhotoWork {
    /// Looks for everything afresh.
    pub(in crate::session) fn look_again(&mut self) {
        self.forget_findings();
        self.ask_measure();
    }

    /// Asks again what was on its way to the worker when the page was closed.
    pub(in crate::session) fn ask_on(&mut self) {
        if self.is_waiting() {
            self.look_again();
        } else if self.marks.confirmed() && !self.is_looked_at {
            self.ask_look();
        }
    }

    fn ask(&mut self, question: Question) {
        self.last_number += 1;
        self.notice = None;
        self.pending = Some(Pending { number: self.last_number, question, step: None });
    }

    pub(in crate::session) fn ask_measure(&mut self) {
        if self.in_hand.is_some() {
            self.ask(Question::Measure(Box::new(self.request())));
        }
    }

    pub(super) fn ask_snap(&mut self) {
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

    /// Points are looked at once more before they count: tips look much like notches, and another photo of this crab may
    /// follow.
    pub(super) fn ask_look(&mut self) {
        let Some((points, scene)) = self.marks.both().zip(self.scene.clone()) else { return };
        let Some(width) = self.width.clone() else { return };
        self.ask(Question::Look(Box::new(LastLook {
            scene: (*scene).clone(),
            placement: self.placement,
            dimension: self.dimension,
            points,
            width_mm: width.width_mm,
        })));
    }

    pub(super) fn hear(&mut self, answer: Answer) {
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
            // A point moved meanwhile is no longer the one that was looked at.
            Body::Looked { hint, spots } if self.marks.confirmed() => {
                self.points_hint = hint;
                self.own_spots = spots.map(|spots| Rc::new(*spots));
                self.is_looked_at = true;
            }
            Body::Looked { .. } => {}
            // Practice has a worker of its own.
            Body::Step(_) | Body::Stopped(_) | Body::Practice(_) => {}
        }
    }

    fn measured(&mut self, measurement: Measurement) {
        self.scene = Some(Rc::new(measurement.scene));
        self.outline = Rc::new(measurement.proposal.map(|proposal| proposal.outline).unwrap_or_default());
        self.marks = Marks::proposed(measurement.points);
        self.width = Some(Rc::new(measurement.width));
        self.points_hint = measurement.points_hint;
        self.warnings = measurement.warnings;
        // Told anew after every move of a point, see `card_doubt`.
        self.warnings.retain(|warning| !matches!(warning, Warning::CardOnShell | Warning::CardBesideShell));
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

    pub(super) fn cancel(&mut self) {
        if self.pending.take().is_some() {
            if !self.is_looked_at {
                self.marks.unconfirm();
            }
            self.worker_lost = true;
            self.notice = Some(Notice::new(
                "stopped",
                "You stopped the search.",
                "Look again, show it the card, or choose another photo.",
            ));
        }
    }

    pub(super) fn lose_worker(&mut self) {
        self.pending = None;
        if !self.is_looked_at {
            // The last look was not taken: the points count once it is.
            self.marks.unconfirm();
        }
        self.worker_lost = true;
        self.notice = Some(Notice::new(
            "worker-stopped",
            "The measuring part stopped; your answers are safe.",
            "Look again. If it stops again, take the photo anew or use the gauge.",
        ));
    }
}
