//! A width from a photo, as a decision takes it.

use serde::{Deserialize, Serialize};

use crate::terms::{Dimension, PointsHint};
use crate::width::{Hump, Width};

/// A width from a photo, never without its uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MeasuredWidth {
    /// Which distance was measured.
    pub dimension: Dimension,
    /// The humps of its distribution.
    pub humps: Vec<Hump>,
    /// A sign that other points were picked, where the outline gives one.
    pub hint: Option<PointsHint>,
    /// Of photos that do not all fit each other, the humps of each alone: one of them may be of another crab.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub alone: Vec<Vec<Hump>>,
}

impl MeasuredWidth {
    /// The measured `width`, across `dimension`.
    pub fn new(width: &Width, dimension: Dimension) -> Self {
        let one = Hump { weight: 1.0, mean_mm: width.width_mm, u_mm: width.u_mm };
        let humps = if width.humps.is_empty() { vec![one] } else { width.humps.clone() };
        Self { dimension, humps, hint: None, alone: Vec::new() }
    }

    /// The same with a sign of other points, where there is one.
    #[must_use]
    pub fn with_hint(self, hint: Option<PointsHint>) -> Self {
        Self { hint, ..self }
    }

    /// The same with the widths of its photos, each alone, where these do not all fit each other.
    #[must_use]
    pub fn with_alone<'a>(self, alone: impl Iterator<Item = &'a Width>) -> Self {
        let alone = alone.map(|width| Self::new(width, self.dimension).humps).collect();
        Self { alone, ..self }
    }

    /// One normal hump.
    pub fn normal(mean_mm: f64, u_mm: f64, dimension: Dimension) -> Self {
        Self { dimension, humps: vec![Hump { weight: 1.0, mean_mm, u_mm }], hint: None, alone: Vec::new() }
    }
}
