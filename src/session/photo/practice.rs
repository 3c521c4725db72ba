//! What is known of a practice photo: it shows a rendered crab, so that the person can see how good the own points were.

use serde::{Deserialize, Serialize};

use crate::terms::Dimension;

/// One photo of the list beside the practice photos.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PracticePhoto {
    /// Name of the file.
    pub name: String,
    /// The crab's own widths.
    pub truth: TrueWidths,
    /// Its kind, by its id.
    #[serde(default)]
    pub kind: Option<String>,
}

/// The true widths of a rendered crab in mm, by the distance that a rule may name.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct TrueWidths {
    /// Between the notches.
    #[serde(default)]
    pub notch_mm: Option<f64>,
    /// Between the tips.
    #[serde(default)]
    pub tips_mm: Option<f64>,
}

impl TrueWidths {
    /// The width in mm, where it is known for this distance.
    pub fn of(&self, dimension: Dimension) -> Option<f64> {
        match dimension {
            Dimension::Notch => self.notch_mm,
            Dimension::Tips => self.tips_mm,
            Dimension::Widest => None,
        }
    }
}
