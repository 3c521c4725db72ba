//! The shell: proposes its outline and the two measuring points for the dimension a rule names.
//!
//! One interface, so that another finder can take its place: a [`ShellQuery`] in, a [`Proposal`] or
//! nothing out. Better none than a wrong one: the person always confirms.

mod along;
mod body;
mod chance;
mod corner;
mod first;
mod plane;
mod propose;
mod sight;
mod snap;
mod window;

pub use chance::Evidence;
pub use propose::{Candidate, likeliest, look_for_shell, propose};
pub use snap::{SNAP_REACH_MM, points_look_like, snap, tip_odds};

use serde::{Deserialize, Serialize};

use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::terms::{Dimension, MarkedPoint, Placement};
use crate::units::PhotoPoint;

/// What a finder of measuring points gets.
#[derive(Debug, Clone, Copy)]
pub struct ShellQuery<'a> {
    /// The whole photo.
    pub photo: &'a Photo,
    /// The camera, with the card's pose.
    pub intrinsics: Intrinsics,
    /// `camera_from_card`.
    pub pose: Pose,
    /// The card's corners: it is never part of the shell.
    pub card_corners: [PhotoPoint; 4],
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance.
    pub dimension: Dimension,
    /// Species (`dungeness`, `red-rock`, `blue`, `brown`, `green`) where it is known.
    pub species: Option<&'a str>,
    /// A tap on the middle of the shell, where the person gave one.
    pub shell_near: Option<PhotoPoint>,
}

/// What a finder answers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Proposal {
    /// The two measuring points, in no particular order.
    pub points: [MarkedPoint; 2],
    /// The outline of the shell, closed, in photo pixels; may be empty.
    pub outline: Vec<PhotoPoint>,
    /// Probability that both points are within 5 mm on the shell, by the finder's own reckoning.
    pub confidence: f64,
}

/// Why there is no proposal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NoProposal {
    /// No shell is seen.
    NotSeen,
    /// A shell may be there, but its points are too unsure to be shown.
    Unsure,
    /// The crab lies on its back.
    Underside,
}

/// Reads the networks ahead of the first photo, as [`crate::card::look::face::prepare`].
pub fn prepare() {
    sight::Eyes::built_in();
}
