//! What is wrong with a lesson: a fact without its source, too many words, a drawing without its text.

use std::collections::BTreeSet;

use super::diagram;
use super::frame::{COMMON_PRACTICE, Drawn, Fact, Lesson, Shown};

/// A screen of a lesson has fewer words than this, heading and title included.
pub const WORDS_ON_A_SCREEN: usize = 60;
/// Words read aloud in a minute, mean of 77 studies with 5965 readers of English.
/// Source: Brysbaert 2019, How many words do we read per minute?, Journal of Memory and Language 109:104047, abstract.
pub const WORDS_ALOUD_PER_MINUTE: f64 = 183.0;
/// A lesson read aloud takes less than this.
pub const LONGEST_MINUTES: f64 = 2.0;

/// What is wrong, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Mistake {
    /// A fact names a source that the lesson does not have.
    #[error("{from:?} is neither a source of the lesson nor `common practice`: {says}")]
    NoSource {
        /// The name.
        from: String,
        /// The fact.
        says: String,
    },
    /// A source that nothing names.
    #[error("nothing is from the source {0:?}")]
    UnusedSource(String),
    /// A source without title, or without publisher, or with neither date nor address.
    #[error("the source {0:?} lacks its title, its publisher, or both date and address")]
    BareSource(String),
    /// A screen with too many words.
    #[error("{words} words on screen {screen}, fewer than {WORDS_ON_A_SCREEN} wanted")]
    Wordy {
        /// Which screen, from 1.
        screen: usize,
        /// So many.
        words: usize,
    },
    /// The lesson is too long.
    #[error("{minutes} minutes read aloud, under {LONGEST_MINUTES} wanted")]
    Long {
        /// So long, to a tenth.
        minutes: String,
    },
    /// A screen says nothing.
    #[error("screen {0} says nothing")]
    Empty(usize),
    /// A drawing without a text that tells what matters.
    #[error("the drawing {0:?} has no text of at least five words")]
    Untold(String),
}

/// The schema of a lesson (JSON Schema, draft 2020-12), as the file that is published beside the lessons.
#[cfg(not(target_arch = "wasm32"))]
pub fn lesson_schema_text() -> String {
    let schema = schemars::schema_for!(Lesson).to_value();
    serde_json::to_string_pretty(&schema).map_or_else(|_| String::new(), |text| text + "\n")
}

/// Words as a person counts them.
pub fn words(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.contains(char::is_alphanumeric)).count()
}

/// Everything that is wrong with `lesson`.
pub fn mistakes(lesson: &Lesson) -> Vec<Mistake> {
    let mut found = Vec::new();
    let mut used = BTreeSet::new();
    let mut all_words = words(&lesson.title);
    for at in 0..lesson.screens() {
        // An answer is folded away until it is asked for.
        let Shown { part, says: said, diagram, .. } = lesson.screen(at);
        let said: usize = said.iter().map(|says| words(says)).sum();
        // What the diagram says is read as well.
        let body = said + if diagram { diagram::words_shown(&diagram::START) } else { 0 };
        let on_screen = words(&lesson.title) + words(part.words()) + body;
        if said == 0 {
            found.push(Mistake::Empty(at + 1));
        }
        if on_screen >= WORDS_ON_A_SCREEN {
            found.push(Mistake::Wordy { screen: at + 1, words: on_screen });
        }
        all_words += words(part.words()) + body;
    }
    all_words += words(&lesson.try_it.answer.says);
    let minutes = all_words as f64 / WORDS_ALOUD_PER_MINUTE;
    if minutes >= LONGEST_MINUTES {
        found.push(Mistake::Long { minutes: format!("{minutes:.1}") });
    }
    for fact in facts(lesson) {
        if fact.from == COMMON_PRACTICE {
            continue;
        }
        if lesson.sources.contains_key(&fact.from) {
            used.insert(fact.from.clone());
        } else {
            found.push(Mistake::NoSource { from: fact.from.clone(), says: fact.says.clone() });
        }
    }
    for (name, source) in &lesson.sources {
        if !used.contains(name) {
            found.push(Mistake::UnusedSource(name.clone()));
        }
        let is_found = !(source.date.is_empty() && source.address.is_empty());
        if source.title.is_empty() || source.publisher.is_empty() || !is_found {
            found.push(Mistake::BareSource(name.clone()));
        }
    }
    /// Fewer words name a drawing, they do not tell what matters in it.
    const LEAST_TOLD: usize = 5;
    let untold = drawings(lesson).into_iter().filter(|drawn| words(&drawn.shows) < LEAST_TOLD);
    found.extend(untold.map(|drawn| Mistake::Untold(drawn.name.clone())));
    found
}

/// Every fact of the lesson, the answer included.
pub fn facts(lesson: &Lesson) -> Vec<&Fact> {
    (0..lesson.screens()).flat_map(|at| lesson.screen(at).facts).collect()
}

/// Every drawing of the lesson.
pub fn drawings(lesson: &Lesson) -> Vec<&Drawn> {
    (0..lesson.screens()).filter_map(|at| lesson.screen(at).drawing).collect()
}
