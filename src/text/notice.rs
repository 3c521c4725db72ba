//! What is said when something did not work: what was seen, and the one thing to do.

use serde::{Deserialize, Serialize};

/// A message with its next step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Notice {
    /// Stable code in kebab-case.
    pub code: String,
    /// What was seen.
    pub seen: String,
    /// The one thing to do.
    pub next_step: String,
}

impl Notice {
    /// A message of `code`: what was seen and what to do.
    pub fn new(code: &str, seen: &str, next_step: &str) -> Self {
        Self { code: code.into(), seen: seen.into(), next_step: next_step.into() }
    }
}

impl From<super::measure::Notice> for Notice {
    fn from(notice: super::measure::Notice) -> Self {
        Self { code: notice.code.to_owned(), seen: notice.seen, next_step: notice.next_step }
    }
}
