//! What crosses between the page and its worker: numbered questions and answers, small and encoded.
//!
//! The photo itself goes beside the question as a `Blob`, never through this codec. A question that comes
//! without one is about the photo the worker already holds.

use serde::{Deserialize, Serialize};

use crate::measure::{Measurement, Refused, Request, SameSpots};
use crate::practice;
use crate::scene::{Scene, ScenePose};
use crate::terms::{Dimension, MarkedPoint, Placement, PointsHint};
use crate::text::Notice;
use crate::units::PhotoPoint;

/// One question of the page. Numbers only rise, so that a late answer is known and dropped.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ask {
    /// The question's number.
    pub number: u64,
    /// What is asked.
    pub question: Question,
}

/// What the worker can be asked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Question {
    /// Card, pose and proposal, with the person's hints.
    Measure(Box<Request>),
    /// The margin corner nearest to a placed point.
    Snap {
        /// The pose that was found.
        scene_pose: Box<ScenePose>,
        /// Where the card lies.
        placement: Placement,
        /// Which distance is measured.
        dimension: Dimension,
        /// Where the person put the point.
        point: PhotoPoint,
    },
    /// A last look at points that the person calls right: do they look like other points than the rule names, and what
    /// lies round them, to be found again in another photo?
    Look(Box<LastLook>),
    /// A step of practice, which needs no photo.
    Practice(Box<practice::desk::Question>),
}

/// What is looked at last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LastLook {
    /// The scene that was found.
    pub scene: Scene,
    /// Where the card lies.
    pub placement: Placement,
    /// Which distance is measured.
    pub dimension: Dimension,
    /// The points.
    pub points: [MarkedPoint; 2],
    /// The width between them, in mm.
    pub width_mm: f64,
}

/// One answer of the worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// The number of the question; 0 for what nobody asked.
    pub number: u64,
    /// The answer.
    pub body: Body,
}

/// What the worker says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Body {
    /// It goes on with the next step.
    Step(Step),
    /// The photo gave a width.
    Measured(Box<Measurement>),
    /// The photo gives no width yet.
    Refused(Box<Refused>),
    /// The file is no usable photo.
    Unusable(Notice),
    /// A snapped point, or none near.
    Snapped(Option<PhotoPoint>),
    /// What the last look gave.
    Looked {
        /// A sign of wrong points, or none.
        hint: Option<PointsHint>,
        /// What lies round the points.
        spots: Option<Box<SameSpots>>,
    },
    /// What practice shows next.
    Practice(Box<practice::desk::Told>),
    /// The worker broke and must be replaced.
    Stopped(String),
}

/// The steps of the work, as the page shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Step {
    /// Decoding the file.
    Reading,
    /// Looking for the card and the shell.
    Looking,
}

/// Bytes of a message. Empty when it cannot be encoded, which the types rule out.
pub fn encode<T: Serialize>(message: &T) -> Vec<u8> {
    postcard::to_stdvec(message).unwrap_or_default()
}

/// A message from its bytes; `None` for anything else, such as one from an older build.
pub fn decode<T: for<'a> Deserialize<'a>>(bytes: &[u8]) -> Option<T> {
    postcard::from_bytes(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_survive_the_crossing() {
        let ask = Ask {
            number: 7,
            question: Question::Measure(Box::new(Request {
                card_near: Some(PhotoPoint::new(12.5, -3.0)),
                species: Some("dungeness".into()),
                ..Request::default()
            })),
        };
        assert_eq!(decode::<Ask>(&encode(&ask)), Some(ask));
        let answer = Answer { number: 7, body: Body::Snapped(Some(PhotoPoint::new(1.0, 2.0))) };
        assert_eq!(decode::<Answer>(&encode(&answer)), Some(answer));
    }

    #[test]
    fn rubbish_is_no_message() {
        assert_eq!(decode::<Answer>(&[]), None);
        assert_eq!(decode::<Answer>(&[255; 9]), None);
    }
}
