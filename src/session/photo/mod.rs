//! The photo in hand: what was asked of the worker, what it found, where the points are.
//!
//! [`apply`] is what happens to it, [`asked`] what the worker is asked and answers. [`marks`] are the two points, each drawn with its [`ellipse`] of doubt;
//! [`framing`] is the part of the photo that is shown first; [`practice`] is what is known of a practice photo.

mod apply;
mod asked;
pub mod ellipse;
pub mod framing;
pub mod marks;
pub mod practice;

use std::rc::Rc;

use serde::{Deserialize, Serialize};

use crate::doubts::{Warning, card_contradicts};
use crate::measure::{Request, SameSpots};
use crate::scene::Scene;
use crate::terms::PointsHint;
use crate::terms::{Dimension, PlacedBy, Placement, Placing};
use crate::text::Notice;
use crate::units::PhotoPoint;
use crate::width::{HeightPrior, View, Width, measure_width};
use crate::worker::protocol::{Question, Step};

use self::marks::Marks;
use self::practice::TrueWidths;

/// The photo and everything about it. The default has no photo.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PhotoWork {
    /// The photo, once one is chosen.
    pub in_hand: Option<InHand>,
    /// The question that waits for its answer.
    pub pending: Option<Pending>,
    /// Number of the last question; answers to earlier ones are dropped.
    pub last_number: u64,
    /// The worker broke or was stopped: the page starts another before it asks again.
    pub worker_lost: bool,
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance the rule measures.
    pub dimension: Dimension,
    /// Species, once the person or the rule named it.
    pub species: Option<String>,
    /// Height of the shell's edge as a share of the width, with its standard uncertainty: the species' own.
    pub height_share: Option<(f64, f64)>,
    /// A tap on the card, kept for later questions.
    pub card_near: Option<PhotoPoint>,
    /// Corners placed by hand, up to four.
    pub corners: Vec<PhotoPoint>,
    /// A tap on the middle of the shell, kept for later questions.
    pub shell_near: Option<PhotoPoint>,
    /// What an earlier photo of the same crab shows round its points.
    pub same_spots: Option<Rc<SameSpots>>,
    /// Card and camera.
    pub scene: Option<Rc<Scene>>,
    /// With two cards: the corners of each.
    pub candidates: Vec<[PhotoPoint; 4]>,
    /// Outline of the shell where one was proposed.
    pub outline: Rc<Vec<PhotoPoint>>,
    /// The two points.
    pub marks: Marks,
    /// The width between them.
    pub width: Option<Rc<Width>>,
    /// A sign that the points as the worker saw them are not those of the rule; gone once one is moved.
    pub points_hint: Option<PointsHint>,
    /// The worker has looked at the confirmed points once more.
    pub is_looked_at: bool,
    /// What lies round the confirmed points, for another photo of this crab.
    pub own_spots: Option<Rc<SameSpots>>,
    /// Things to know.
    pub warnings: Vec<Warning>,
    /// What did not work, and what to do.
    pub notice: Option<Notice>,
    /// What a tap on the photo does.
    pub tool: Tool,
}

/// The photo itself stays with the page; this is its name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct InHand {
    /// Which photo of this session: the page keeps the file under this number.
    pub serial: u64,
    /// Name of the file.
    pub name: String,
    /// One of the practice photos that come with the page: no crab in hand, but its widths are known.
    pub practice: Option<TrueWidths>,
}

/// A question on its way.
#[derive(Debug, Clone, PartialEq)]
pub struct Pending {
    /// Its number.
    pub number: u64,
    /// What was asked.
    pub question: Question,
    /// How far the worker is.
    pub step: Option<Step>,
}

/// What a tap on the photo does.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Takes the nearest mark, or places the missing one.
    #[default]
    Look,
    /// The aiming window is open.
    Aim(Aim),
    /// Names the card.
    TapCard,
    /// Names the middle of the shell.
    TapShell,
    /// Places the card's corners, one after the other.
    Corners,
}

impl Tool {
    /// True when the tool does nothing until the photo is tapped.
    pub fn waits_for_tap(&self) -> bool {
        matches!(self, Self::TapCard | Self::TapShell | Self::Corners)
    }
}

/// The aiming window: the photo moves under a fixed cross.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// What is being placed.
    pub target: Target,
    /// What lies under the cross.
    pub at: PhotoPoint,
}

/// What can be placed in the aiming window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// A measuring point, 0 or 1.
    Point(usize),
    /// A corner of the card, 0 to 3.
    Corner(usize),
}

impl PhotoWork {
    /// The request that all hints so far make.
    pub fn request(&self) -> Request {
        Request {
            placement: self.placement,
            dimension: self.dimension,
            species: self.species.clone(),
            card_near: self.card_near,
            card_corners: <[PhotoPoint; 4]>::try_from(self.corners.as_slice()).ok(),
            shell_near: self.shell_near,
            height_share: self.height_share,
            points: None,
            points_u_px: None,
            same_spots: self.same_spots.as_deref().cloned(),
            calibration: None,
        }
    }

    /// True for a photo that practice drew.
    pub fn is_drawn(&self) -> bool {
        let drawn = |photo: &InHand| photo.practice.is_some() && photo.name == practice::DRAWN_PHOTO;
        self.in_hand.as_ref().is_some_and(drawn)
    }

    /// True while the card's corners are placed by hand.
    pub fn places_corners(&self) -> bool {
        matches!(self.tool, Tool::Corners | Tool::Aim(Aim { target: Target::Corner(_), .. }))
    }

    /// What the next tap on the photo is for: the tool's, or what the words about a failed search ask for.
    pub fn asked_tap(&self) -> Tool {
        let code = self.notice.as_ref().map(|notice| notice.code.as_str());
        let has_mark = (0..2).any(|which| self.marks.get(which).is_some());
        match (&self.tool, code) {
            (Tool::Look, Some("no-card")) => Tool::TapCard,
            (Tool::Look, Some("no-shell")) if !has_mark => Tool::TapShell,
            (tool, _) => tool.clone(),
        }
    }

    /// True once the width counts: both points are there, the person confirmed them and they were looked at once more.
    pub fn is_confirmed(&self) -> bool {
        self.width.is_some() && self.marks.confirmed() && self.is_looked_at
    }

    /// True once the file was refused as no photo that can be read: there is no picture to tap on. Told by the notice,
    /// which is saved with the photo.
    pub fn is_unusable(&self) -> bool {
        self.scene.is_none()
            && self
                .notice
                .as_ref()
                .is_some_and(|notice| crate::text::PHOTO_ERRORS.contains(&notice.code.as_str()))
    }

    /// Nothing was asked of it yet, or the question was given up.
    pub(in crate::session) fn is_waiting(&self) -> bool {
        self.in_hand.is_some() && self.pending.is_none() && self.scene.is_none() && self.notice.is_none()
    }

    /// What the picture has against where the card is said to lie: it depends on the points, and is never stored.
    pub fn card_doubt(&self) -> Option<Warning> {
        let View { scene, points } = self.view()?;
        card_contradicts(scene, &points.map(|marked| marked.point), self.placement)
    }

    /// Card, camera and both points, for joining; none while one is missing.
    pub fn view(&self) -> Option<View<'_>> {
        Some(View { scene: self.scene.as_deref()?, points: self.marks.both()? })
    }

    /// Standard uncertainty that a point set in the aiming window would get, in photo pixels.
    pub fn aimed_u_px(&self, px_per_css: f64) -> f64 {
        let placing = Placing { by: PlacedBy::Finger, px_per_css };
        let u_px =
            |scene: &Scene| scene.spread_px2(&scene.placed_so(PhotoPoint::default(), placing))[(0, 0)].sqrt();
        self.scene.as_deref().map_or(placing.u_px(), u_px)
    }

    /// The width between the points as they are now; none while one is missing.
    pub(in crate::session) fn update_width(&mut self) {
        let width = self.scene.as_deref().zip(self.marks.both()).and_then(|(scene, points)| {
            let height = HeightPrior::of(self.placement, self.height_share);
            measure_width(&View { scene, points }, &height)
        });
        self.width = width.map(Rc::new);
    }

    /// Forgets what was seen on the photo, keeps the photo, its name and the person's placement.
    pub fn forget_findings(&mut self) {
        self.scene = None;
        self.candidates.clear();
        self.outline = Rc::default();
        self.marks = Marks::default();
        self.width = None;
        self.points_hint = None;
        self.is_looked_at = false;
        self.own_spots = None;
        self.warnings.clear();
        self.notice = None;
        self.tool = Tool::Look;
    }
}

#[cfg(test)]
mod tests;
