//! Widths and limits in a sentence.

use super::conformity::{GreyZone, Size};
use crate::decide::findings::CitedRule;
use crate::units::Millimetres;

/// A figure with its unit, held together where a line ends.
pub(in crate::decide) fn unbroken(figure: &str) -> String {
    figure.replace(' ', "\u{a0}")
}

/// What the photo would have to show for a keep: a width that lies above the limit by more than its ± is still too close.
pub(in crate::decide) fn needed_words(size: Size, zones: &[GreyZone]) -> String {
    let zone_of = |limit: Option<Millimetres>| {
        zones.iter().find(|zone| limit.is_some_and(|limit| zone.limit_mm == limit.0))
    };
    match (zone_of(size.min), zone_of(size.max)) {
        (Some(zone), None) => {
            let needed = unbroken(&format!("{:.1} mm", (zone.to_mm * 10.0).ceil() / 10.0));
            format!(", and with this ± it needs {needed}")
        }
        _ => String::new(),
    }
}

/// The size that is needed, as published and in mm.
pub(in crate::decide) fn limit_words(size: Size, rule: Option<&CitedRule>) -> String {
    let mm = |length: Millimetres| (length.0 * 100.0).round() / 100.0;
    let words = match (size.min, size.max, rule) {
        (Some(min), Some(max), _) => format!("from {} to {} mm", mm(min), mm(max)),
        (Some(_), None, Some(rule)) | (None, Some(_), Some(rule)) if rule.words.contains("mm") => {
            rule.words.clone()
        }
        (Some(only), None, Some(rule)) | (None, Some(only), Some(rule)) => {
            format!("{} ({} mm)", rule.words, mm(only))
        }
        (Some(min), None, None) => format!("at least {} mm", mm(min)),
        (None, Some(max), None) => format!("at most {} mm", mm(max)),
        (None, None, _) => "any size".to_owned(),
    };
    // "at least 6 1/4 in (158.75 mm)": a line may end before the figure and before its mm.
    let Some((word, figure)) = words.find(|c: char| c.is_ascii_digit()).map(|at| words.split_at(at)) else {
        return words;
    };
    format!("{word}{}", unbroken(figure).replace("\u{a0}(", " ("))
}
