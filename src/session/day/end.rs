//! How the crab in hand ends: whether that may be written down, what is written, and what takes it back.

use std::rc::Rc;

use crate::day::rows::{Checks, CrabEntry, EntryWidth, Told, Water, What};
use crate::day::{End, Id, Picture, StepName};
use crate::decide::Traits;
use crate::session::photo::PhotoWork;
use crate::session::{Ellipse, Session};
use crate::terms::MarkedPoint;
use crate::units::Millimetres;
use crate::width::{Apart, View};

use super::sort::OTHER_KIND;

impl Session {
    /// True where what became of the crab in hand may be written down: a crab of today that is not done with yet.
    pub fn may_be_recorded(&self) -> bool {
        !self.is_practice() && !self.is_ended() && self.date() == self.today && self.day_is_loaded
    }

    /// True where the crab in hand may be counted as kept: a keep verdict of today, on no practice photo.
    pub fn may_count(&self) -> bool {
        self.may_be_recorded() && self.keepers().iter().any(|keeper| keeper.may)
    }

    /// True for a practice photo: no crab is in hand.
    pub fn is_practice(&self) -> bool {
        self.photo.in_hand.as_ref().is_some_and(|photo| photo.practice.is_some())
    }

    /// True once the crab in hand is kept or let go, and that was not taken back.
    pub fn is_ended(&self) -> bool {
        self.crab.row.as_ref().is_some_and(|id| self.book.row(id).is_some())
    }

    /// Who kept the crab in hand.
    pub fn kept_by(&self) -> Option<Id> {
        match &self.book.row(self.crab.row.as_ref()?)?.what {
            What::Crab(crab) => match &crab.end {
                End::Kept { by, .. } => Some(by.clone()),
                End::Released(_) => None,
            },
            _ => None,
        }
    }

    /// What was said of how the crab in hand ended no longer holds: another answer, another verdict.
    pub(in crate::session) fn reopen_end(&mut self) {
        if let Some(id) = self.crab.row.clone().filter(|id| self.book.row(id).is_some()) {
            let day = self.today;
            Rc::make_mut(&mut self.book).take_away(&mut self.names, StepName::Reopened, day, &id);
        }
    }

    /// The step that wrote the crab down is taken back where it was the last one. Another tab may have made one since: that
    /// one stays, and this crab is taken off by a step of its own.
    pub(super) fn undo_end(&mut self) {
        let is_last = |id: &Id| self.book.last_step().is_some_and(|step| step.made.contains(id));
        if self.crab.row.as_ref().is_some_and(is_last) {
            Rc::make_mut(&mut self.book).undo();
        } else {
            self.reopen_end();
        }
    }

    pub(super) fn end_crab(&mut self, end: End) {
        let id = self.crab.row.clone().unwrap_or_else(|| self.names.draw());
        let name = if matches!(end, End::Kept { .. }) { StepName::Kept } else { StepName::Released };
        let kind = self.crab.answers.kind.given().cloned();
        let choice = self.rules.choice.as_ref();
        let water = self.rules.in_force.as_ref().map(|rule| Water {
            pack: rule.pack.clone(),
            area: choice.map_or_else(|| rule.area.clone(), |choice| choice.area.clone()),
            name: self.rules.water(),
        });
        // Of photos that contradict each other nobody knows which is of this crab.
        let is_apart = self.joined.as_ref().is_some_and(|joined| joined.apart == Some(Apart::Moved));
        let is_its_own = self.is_width_confirmed() && !is_apart;
        let width = self.width().filter(|_| is_its_own).map(|width| EntryWidth {
            dimension: self.photo.dimension,
            width: Millimetres(width.width_mm),
            u: Millimetres(width.u_mm),
            photos: u32::try_from(self.photos().len()).unwrap_or(u32::MAX),
        });
        let outcome = self.outcome();
        let verdict = outcome.as_ref().and_then(|outcome| outcome.verdict()).map(|verdict| Told {
            call: verdict.call(),
            reason: verdict.reasons().first().map(|reason| reason.sentence()).unwrap_or_default(),
        });
        let entry = CrabEntry {
            at: self.moment(),
            water: water.unwrap_or_default(),
            kind: kind.clone(),
            traits: Traits::of(&self.crab.answers),
            checks: self.checks_made(width.is_some()),
            end,
            verdict,
            width,
            gauge: self.crab.gauge,
            pull: self.book.pull_in_hand().map(|(id, _)| id.clone()),
            pictures: if width.is_some() { self.pictures() } else { Vec::new() },
        };
        self.step(name, vec![(id.clone(), What::Crab(Box::new(entry)))]);
        self.crab.row = Some(id);
        if let Some(kind) = kind.filter(|kind| kind != OTHER_KIND) {
            self.last_kind = Some(kind);
        }
    }

    /// What was looked at of the crab in hand besides its traits.
    fn checks_made(&self, is_measured: bool) -> Checks {
        let answers = &self.crab.answers;
        let looked_up =
            self.rules.in_force.as_ref().and_then(|rule| self.rules.season_word(rule, self.date()));
        Checks {
            eggs: answers.eggs.given().copied(),
            parts: answers.parts.given().copied(),
            said_open: looked_up.or_else(|| answers.open.given().copied()),
            placement: is_measured.then_some(self.photo.placement),
        }
    }

    /// What was measured in each photo of the crab in hand.
    fn pictures(&self) -> Vec<Picture> {
        let picture = |work: &PhotoWork| {
            let View { scene, points } = work.view()?;
            // Half of the ellipse's longer axis, which is twice the standard uncertainty.
            let worst_px = |marked: &MarkedPoint| {
                Ellipse::of(&marked.covariance_px2).map_or(0.0, |ellipse| 0.5 * ellipse.major_px)
            };
            Some(Picture {
                number: work.in_hand.as_ref()?.serial,
                size: scene.size,
                card: scene.card.corners,
                points: points.map(|marked| marked.point),
                u_px: [worst_px(&points[0]), worst_px(&points[1])],
            })
        };
        self.photos().into_iter().filter_map(picture).collect()
    }
}
