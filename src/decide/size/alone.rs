//! What the size alone says, before any other check: for the ruler and the native command.

use serde::{Deserialize, Serialize};

use crate::decide::answers::Check;
use crate::decide::case::Case;
use crate::decide::findings::{Notice, Reason};
use crate::decide::size;
use crate::decide::standing::{Fit, Standing};
use crate::decide::topics;
use crate::rules::Cited;
use crate::terms::Dimension;

/// The size of a crab against the rule in force; never a verdict.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SizeAlone {
    /// Of size, at the accepted risk.
    OfSize(Reason),
    /// Not of size, at the accepted risk.
    NotOfSize(Reason),
    /// A gauge must tell, or the rule must be confirmed or looked up.
    Undecided(Reason),
    /// Which size holds depends on a check that is still open, or the width is missing.
    Needs(Check),
}

/// What the size alone says, with things to know about the width. A kind of which it is not known whether it may be
/// taken at all is not of size for anything; an invasive one is told.
pub fn size_alone(case: &Case<'_>) -> (SizeAlone, Vec<Notice>) {
    let mut notices = Vec::new();
    let duties = case.rule.facts.invasive.iter().filter_map(Cited::known);
    notices.extend(duties.map(|duty| Notice::InvasiveKind { words: duty.words.clone() }));
    let found = match size::size(case, &mut notices) {
        Standing::Meets(reason) => match topics::kind(case) {
            Standing::Fails(reason) => SizeAlone::NotOfSize(reason),
            Standing::Unclear(reason, _) | Standing::Gauge(reason) => SizeAlone::Undecided(reason),
            Standing::Open(check) | Standing::Unsure(check) => SizeAlone::Needs(check),
            Standing::Meets(_) | Standing::Silent => SizeAlone::OfSize(reason),
        },
        Standing::Fails(reason) => SizeAlone::NotOfSize(reason),
        Standing::Gauge(reason) | Standing::Unclear(reason, _) => SizeAlone::Undecided(reason),
        Standing::Open(check) | Standing::Unsure(check) => SizeAlone::Needs(check),
        // `size` is never silent; were it so, the width would be what is missing.
        Standing::Silent => SizeAlone::Needs(Check::Size),
    };
    (found, notices)
}

/// The distance to measure in the photo, of the sizes that hold on the day for the crab as far as it is
/// answered; `None` where none can be measured in a photo.
pub fn photo_dimension(case: &Case<'_>) -> Option<Dimension> {
    case.rule
        .facts
        .sizes
        .iter()
        .filter(|rule| !matches!(case.fit(rule.when.as_ref()), Fit::No))
        .find_map(|rule| rule.dimension.known().and_then(|dimension| dimension.by_photo()))
}
