//! What goes in beside the photo: what the person says of it.

use serde::{Deserialize, Serialize};

use crate::terms::{Dimension, Placement};
use crate::units::PhotoPoint;

/// What the person says of the photo. Everything but the photo has a default.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Request {
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance the rule names.
    pub dimension: Dimension,
    /// Species, where known: `dungeness`, `red-rock`, `blue`, `brown`, `green`, or another pack's.
    pub species: Option<String>,
    /// A tap on the card.
    pub card_near: Option<PhotoPoint>,
    /// Four rough corners placed by hand, in order round the card.
    pub card_corners: Option<[PhotoPoint; 4]>,
    /// A tap on the middle of the shell.
    pub shell_near: Option<PhotoPoint>,
    /// Height of the shell's edge as a share of the width and its standard uncertainty, where the species'
    /// own is known.
    pub height_share: Option<(f64, f64)>,
    /// Both measuring points placed by hand.
    pub points: Option<[PhotoPoint; 2]>,
}
