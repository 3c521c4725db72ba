//! What a scene can be refused for. The sentences are in [`crate::text`].

use serde::{Deserialize, Serialize};

/// The reasons for a refusal; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Refusal {
    /// No card is seen.
    NoCard,
    /// The card is cut by the frame.
    CardCut,
    /// Two cards: which one?
    TwoCards,
    /// No credible shell and no points given.
    NoShell,
    /// The crab lies on its back.
    Underside,
    /// Blurred beyond use.
    Blurred,
    /// Too dark.
    TooDark,
    /// Tilted by more than 45 degrees.
    Tilt,
    /// Too far away.
    TooFar,
    /// A measuring point so far outside the picture that no ray through it meets the shell.
    PointsOutside,
}
