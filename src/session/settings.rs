//! How the page looks and feels, remembered from day to day.

use serde::{Deserialize, Serialize};

/// Ground and ink.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Theme {
    /// Near-white ground, near-black ink.
    #[default]
    Sun,
    /// Dim, for eyes used to the dark.
    Night,
}

impl Theme {
    /// The name the style sheet knows it by.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Night => "night",
        }
    }
}

/// What the person set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Settings {
    /// Theme.
    pub theme: Theme,
    /// A short vibration at a verdict.
    pub vibration: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self { theme: Theme::Sun, vibration: true }
    }
}
