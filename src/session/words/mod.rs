//! Words that depend on the session: the measuring screen and the count of the day.

mod kept;
mod photo;
mod several;

pub use kept::{held_words, kept_in_short, kept_today};
pub use photo::{card_contradicts, photo_hint, practice_truth, remedy_line, ruler_caption, ruler_label};
pub use several::{OneMoreWords, card_lies_elsewhere, how_they_fit, one_more_words, photo_state, why_apart};
