//! Words about several photos of one crab.

use crate::session::PhotoState;
use crate::text::quantity::centimetres;
use crate::units::Millimetres;
use crate::width::{Joined, NextView, Width};

/// What one more photo would bring, and how to take it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneMoreWords {
    /// What it would bring.
    pub gain: String,
    /// From where.
    pub how: String,
}

/// The offer of one more photo.
pub fn one_more_words(next: &NextView, u_mm: f64) -> OneMoreWords {
    OneMoreWords {
        gain: format!(
            "One more photo from the other side: about ± {:.1} mm instead of {u_mm:.1}.",
            next.expected_u_mm
        ),
        how: format!(
            "Leave crab and card as they lie. Go round, hold the phone {} away, card and crab in the picture.",
            centimetres(Millimetres(next.distance_mm))
        ),
    }
}

/// What a photo does, in a word or two.
pub fn photo_state(state: PhotoState) -> &'static str {
    match state {
        PhotoState::Busy => "looking",
        PhotoState::Waiting => "waits",
        PhotoState::NoPoints => "no points yet",
        PhotoState::ToConfirm => "to confirm",
        PhotoState::Carries => "counts",
        PhotoState::StandsApart => "left out",
    }
}

/// How many photos carry the width and how well they fit; `None` for one.
pub fn how_they_fit(width: &Width) -> Option<String> {
    let miss_mm = width.ray_miss_mm?;
    Some(format!("From {} photos, which fit to {miss_mm:.1} mm.", width.photos))
}

/// Where the photos put the card, when that is not where it was said to lie, and what to do.
pub fn card_lies_elsewhere(width: &Width) -> Option<String> {
    let notice = crate::text::card_elsewhere(width.placement_seen?);
    Some(format!("{} {}", notice.seen, notice.next_step))
}

/// Why the photos were not joined, and what to do.
pub fn why_apart(joined: &Joined) -> Option<String> {
    let notice = crate::text::apart(joined.apart?);
    Some(format!("{} {}", notice.seen, notice.next_step))
}
