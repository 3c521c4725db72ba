//! The sizes of measured crabs beside the limits that the chosen water has for them now.

use crate::day::Moment;
use crate::day::told::season::Sizes;
use crate::rules::MeasuredDimension;
use crate::rules::facts::Bound;
use crate::session::Session;
use crate::terms::Dimension;

/// Sizes of one kind, with the limits to draw beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct SizesShown {
    /// Name of the kind.
    pub kind: String,
    /// The sizes.
    pub sizes: Sizes,
    /// Each limit of the chosen water that is a number: as published, and in mm.
    pub limits: Vec<(String, f64)>,
}

impl Session {
    /// Now, by the device's clock, whichever day is looked at.
    pub fn now(&self) -> Moment {
        Moment { day: self.today, clock: self.clock }
    }

    /// The sizes of the measured crabs, with the limits of the chosen water.
    pub fn sizes_shown(&self) -> Vec<SizesShown> {
        let shown = |sizes: Sizes| SizesShown {
            kind: self
                .rules
                .rule_of(&sizes.kind)
                .map_or_else(|| sizes.kind.clone(), |rule| rule.species_name),
            limits: self.size_limits(&sizes.kind, sizes.dimension),
            sizes,
        };
        self.book.sizes().into_iter().map(shown).collect()
    }

    fn size_limits(&self, kind: &str, dimension: Dimension) -> Vec<(String, f64)> {
        let Some(rule) = self.rules.rule_of(kind) else { return Vec::new() };
        let mut limits: Vec<(String, f64)> = Vec::new();
        for size in &rule.facts.sizes {
            let named = size.dimension.known().copied().and_then(MeasuredDimension::by_photo);
            if named != Some(dimension) {
                continue;
            }
            for (word, bound) in [("at least", &size.min), ("at most", &size.max)] {
                let Some(Bound::At(length)) = bound.as_ref().and_then(|bound| bound.known()) else {
                    continue;
                };
                let limit = (format!("{word} {}", length.published), length.exact.millimetres().0);
                if !limits.contains(&limit) {
                    limits.push(limit);
                }
            }
        }
        limits
    }
}
