//! The warnings: things to know that do not stop a measurement.

use serde::{Deserialize, Serialize};

/// Things to know; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Warning {
    /// No focal length in the file.
    NoFocalLength,
    /// The picture's size disagrees with EXIF's: cropped or resized.
    CroppedOrResized,
    /// Taken with digital zoom: what the file says of the lens can be read two ways.
    DigitalZoom,
    /// The card's two poses cannot be told apart: tilt 10 to 20 degrees.
    FlipOpen,
    /// An edge of the card is predicted, not seen.
    UnsureEdge,
    /// The browser's decoder made the pixels.
    ForeignDecoder,
    /// The picture is blurred.
    Blur,
    /// Light is blown out at a measuring point or along an edge of the card.
    Glare,
    /// The measured line is far from the card or tilted so far that the height weighs heavily.
    FarFromCard,
    /// A shell of a size no crab of this species has: check the points.
    UnlikelyWidth,
    /// Points outside the picture.
    PointsOutside,
    /// The card is said to lie beside the shell, and is seen on it.
    CardOnShell,
    /// The card is said to lie on the shell, and is seen beside it.
    CardBesideShell,
}
