//! Draws a crab as SVG text, with what is seen in words: never what it means.
//!
//! One unit of the drawing is one millimetre, so that the gauge and the points are where the model has them. Colours are
//! attributes: the page's Content-Security-Policy allows no styles. Words say every colour too.

mod belly;
mod gauge;
mod limbs;
mod press;
mod svg;
mod top;
mod words;

use serde::{Deserialize, Serialize};

use super::crab::Crab;
use crate::terms::Dimension;

pub use svg::LINE;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Look {
    /// From above.
    Top,
    /// Turned over.
    Belly,
    /// The edge beside the eye, closer.
    Edge,
    /// A claw, closer.
    Claw,
    /// Pressed below, beside the joint of the claw.
    PressJoint,
    /// Pressed in the middle of the back.
    PressBack,
    /// A gauge set to so many mm, held to these points.
    Gauge {
        /// The gap between its arms.
        gap_mm: f64,
        /// The points.
        at: Dimension,
    },
}

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The SVG.
    pub svg: String,
    /// What is seen, in words: it is the drawing's title too.
    pub words: String,
}

/// Draws what is looked at.
pub fn draw(crab: &Crab, look: Look) -> Drawn {
    let words = words::words(crab, look);
    let svg = match look {
        Look::Top => top::whole(crab, &words),
        Look::Belly => belly::belly(crab, &words),
        Look::Edge => top::edge(crab, &words),
        Look::Claw => top::claw(crab, &words),
        Look::PressJoint => press::press(crab, gives_way(crab, look), &words),
        Look::PressBack => press::press(crab, gives_way(crab, look), &words),
        Look::Gauge { gap_mm, at } => gauge::gauge(crab, gap_mm, at, &words),
    };
    Drawn { svg, words }
}

/// True where the shell gives way under the thumb.
pub fn gives_way(crab: &Crab, look: Look) -> bool {
    use super::crab::Firmness;
    match crab.firmness {
        Firmness::Hard => false,
        Firmness::Springy => look == Look::PressJoint,
        Firmness::Soft => true,
    }
}

/// True where a gauge with this gap goes over the crab between the points it is held to.
pub fn passes(crab: &Crab, gap_mm: f64, at: Dimension) -> bool {
    crab.width_mm(at) < gap_mm
}
