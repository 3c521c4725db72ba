//! One photo of the crab, as it is saved.

use std::rc::Rc;

use serde::{Deserialize, Serialize};

use crate::doubts::Warning;
use crate::measure::SameSpots;
use crate::scene::Scene;
use crate::session::Marks;
use crate::session::photo::{InHand, PhotoWork};
use crate::terms::PointsHint;
use crate::text::Notice;
use crate::units::PhotoPoint;
use crate::width::Width;

/// What the person said and the worker found of one photo; what is said of the crab stands beside it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct SavedPhoto {
    in_hand: InHand,
    card_near: Option<PhotoPoint>,
    corners: Vec<PhotoPoint>,
    shell_near: Option<PhotoPoint>,
    scene: Option<Rc<Scene>>,
    candidates: Vec<[PhotoPoint; 4]>,
    outline: Rc<Vec<PhotoPoint>>,
    marks: Marks,
    /// The very width that was confirmed: another build may measure a little otherwise.
    width: Option<Rc<Width>>,
    points_hint: Option<PointsHint>,
    is_looked_at: bool,
    own_spots: Option<Rc<SameSpots>>,
    warnings: Vec<Warning>,
    notice: Option<Notice>,
}

impl SavedPhoto {
    /// None without a photo. All fields are named, so that a new one is not forgotten here.
    pub(super) fn of(work: &PhotoWork) -> Option<Self> {
        let PhotoWork {
            in_hand,
            pending: _,
            last_number: _,
            worker_lost: _,
            placement: _,
            dimension: _,
            species: _,
            height_share: _,
            card_near,
            corners,
            shell_near,
            same_spots: _,
            scene,
            candidates,
            outline,
            marks,
            width,
            points_hint,
            is_looked_at,
            own_spots,
            warnings,
            notice,
            tool: _,
        } = work.clone();
        Some(Self {
            in_hand: in_hand?,
            card_near,
            corners,
            shell_near,
            scene,
            candidates,
            outline,
            marks,
            width,
            points_hint,
            is_looked_at,
            own_spots,
            warnings,
            notice,
        })
    }

    pub(super) fn serial(&self) -> u64 {
        self.in_hand.serial
    }

    /// The photo with `rest` said of its crab.
    pub(super) fn into_work(self, rest: &PhotoWork) -> PhotoWork {
        PhotoWork {
            in_hand: Some(self.in_hand),
            card_near: self.card_near,
            corners: self.corners,
            shell_near: self.shell_near,
            scene: self.scene,
            candidates: self.candidates,
            outline: self.outline,
            marks: self.marks,
            width: self.width,
            points_hint: self.points_hint,
            is_looked_at: self.is_looked_at,
            own_spots: self.own_spots,
            warnings: self.warnings,
            notice: self.notice,
            ..rest.clone()
        }
    }
}
