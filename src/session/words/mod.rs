//! Words that depend on the session: the measuring screen and the count of the day.

mod day;
mod kept;
mod photo;
mod several;

pub use day::{
    call_words, choice_words, clock_words, duty_words, end_words, flag_words, from_words, hours_words,
    is_overdue, keep_words, left_words, overdue_words, part_words, plain_words, pot_words, pots_words,
    pull_words, pulls_words, redo_words, sex_words, undo_words, why_words, written_words,
};
pub use kept::{held_words, kept_in_short, kept_today};
pub use photo::{
    card_contradicts, label_lines, photo_hint, points_apart, practice_truth, remedy_line, ruler_caption,
    ruler_label,
};
pub use several::{OneMoreWords, card_lies_elsewhere, how_they_fit, one_more_words, photo_state, why_apart};
