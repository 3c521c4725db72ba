//! The ID-1 card in a photo: candidates, edges, corners, judgement.

pub mod choose;
pub mod edges;
pub mod find;
pub mod judge;
pub mod look;
mod plates;
mod readings;
pub mod rims;
pub mod search;
pub mod shape;
mod sharpen;
pub mod softness;
mod told;

pub use find::{CardHint, Find, NoFind, find};
use serde::{Deserialize, Serialize};

use crate::units::PhotoPoint;

/// Long and short side of an ID-1 card in mm. Source: ISO/IEC 7810, ID-1 (85.60 x 53.98 mm).
pub const ID1_MM: [f64; 2] = [85.60, 53.98];

/// A card that was found: its printed face.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FoundCard {
    /// The four virtual sharp corners, round the card; the first two span a long side.
    pub corners: [PhotoPoint; 4],
    /// Standard uncertainty of each corner in px (root mean square of its two axes).
    pub corner_u_px: [f64; 4],
    /// Edges (from corner i to corner i + 1) that are mostly hidden or too faint: predicted, not seen.
    pub unsure_edges: [bool; 4],
}
