//! The size limits that fit the case: for the ruler, and for whoever else draws them.

use super::case::Case;
use super::size::conformity::{GreyZone, Size, grey_zones};
use super::size::measured::MeasuredWidth;
use super::standing::Fit;
use crate::rules::facts::{Bound, MeasuredDimension, PublishedLength, SizeRule};

/// A size limit that holds, or may still hold, for the crab as far as it is answered.
#[derive(Debug, Clone, PartialEq)]
pub struct FittingLimit {
    /// True for a smallest size, false for a largest.
    pub is_min: bool,
    /// The size.
    pub length: PublishedLength,
    /// Where a width like the one that was measured leaves the decision to a gauge.
    pub zone: GreyZone,
}

/// The sizes of the rule whose conditions hold or are still to be answered on the day, the largest first.
pub fn fitting_sizes<'a>(case: &Case<'a>) -> Vec<&'a SizeRule> {
    let sizes = case.rule.facts.sizes.iter();
    let mut fitting: Vec<&SizeRule> =
        sizes.filter(|size| !matches!(case.fit(size.when.as_ref()), Fit::No)).collect();
    let least = |size: &SizeRule| match size.min.as_ref().and_then(|min| min.known()) {
        Some(Bound::At(length)) => length.exact.millimetres().0,
        Some(Bound::None) | None => 0.0,
    };
    fitting.sort_by(|one, other| least(other).total_cmp(&least(one)));
    fitting
}

/// Every limit of the rule that a width like `measured` stands before: those of the distance that was measured whose
/// conditions hold or are still to be answered. Each once.
pub fn fitting_limits(case: &Case<'_>, measured: &MeasuredWidth) -> Vec<FittingLimit> {
    let mut found: Vec<FittingLimit> = Vec::new();
    for size in &case.rule.facts.sizes {
        let named = size.dimension.known().copied().and_then(MeasuredDimension::by_photo);
        if matches!(case.fit(size.when.as_ref()), Fit::No) || named != Some(measured.dimension) {
            continue;
        }
        for (is_min, bound) in [(true, &size.min), (false, &size.max)] {
            let Some(Bound::At(length)) = bound.as_ref().and_then(|bound| bound.known()) else { continue };
            let at = Some(length.exact.millimetres());
            let one = if is_min { Size { min: at, max: None } } else { Size { min: None, max: at } };
            let Some(zone) = grey_zones(measured, one, case.risk).into_iter().next() else { continue };
            let limit = FittingLimit { is_min, length: length.clone(), zone };
            if !found.contains(&limit) {
                found.push(limit);
            }
        }
    }
    found
}
