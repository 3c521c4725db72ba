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
}

impl MeasuredWidth {
    /// The measured `width`, across `dimension`.
    pub fn new(width: &Width, dimension: Dimension) -> Self {
        let one = Hump { weight: 1.0, mean_mm: width.width_mm, u_mm: width.u_mm };
        let humps = if width.humps.is_empty() { vec![one] } else { width.humps.clone() };
        Self { dimension, humps, hint: None }
    }

    /// The same with a sign of other points, where there is one.
    #[must_use]
    pub fn with_hint(self, hint: Option<PointsHint>) -> Self {
        Self { hint, ..self }
    }

    /// One normal hump.
    pub fn normal(mean_mm: f64, u_mm: f64, dimension: Dimension) -> Self {
        Self { dimension, humps: vec![Hump { weight: 1.0, mean_mm, u_mm }], hint: None }
    }
}
