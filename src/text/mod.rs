//! The words: every sentence a person reads that comes out of the core.

pub mod check_words;
pub mod kind_marks;
pub mod measure;
pub mod notice;
pub mod quantity;
pub mod rule_facts;
pub mod rule_in_short;
pub mod rule_words;

pub use check_words::{check_words, state_word};
pub use kind_marks::marks_in_short;
pub use measure::{PHOTO_ERRORS, apart, card_elsewhere, card_lies, photo_error, refusal, remedy, warning};
pub use notice::Notice;
pub use rule_facts::{CitedText, ShownFact, TopicFacts, facts_by_topic};
pub use rule_in_short::{ShortLine, rule_in_short};
pub use rule_words::{
    ago, full_area_name, rule_in_force, season_at_the_top, season_in_short, unbroken, where_to_look_up,
};
