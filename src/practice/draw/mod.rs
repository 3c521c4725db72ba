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

#[cfg(test)]
mod tests {
    use super::limbs::hand;
    use super::svg::paint;
    use super::*;
    use crate::decide::Eggs;
    use crate::practice::crab::{Claws, Coat, Firmness};
    use crate::practice::kinds::{KINDS, Kind};
    use crate::practice::outline::Outline;
    use crate::rules::when::{Maturity, Sex};

    fn crab(kind: &'static Kind, sex: Sex, claws: Claws) -> Crab {
        Crab {
            number: 0,
            kind,
            colour: kind.back.value,
            sex,
            maturity: Maturity::Mature,
            eggs: Eggs::None,
            firmness: Firmness::Hard,
            coat: Coat::Plain,
            claws,
            lost_leg: None,
            outline: Outline::new(&kind.shape, Dimension::Tips, 100.0),
            turn_deg: 0.0,
            marks: 1,
        }
    }

    /// The numbers that follow `name` in the text, as far as they are asked for.
    fn numbers<const N: usize>(svg: &str, name: &str) -> [f64; N] {
        let text = &svg[svg.find(name).expect("it is there") + name.len()..];
        let mut found = text.split(|letter: char| !(letter.is_ascii_digit() || "-.".contains(letter)));
        std::array::from_fn(|_| {
            loop {
                if let Ok(number) = found.next().expect("a number").parse() {
                    break number;
                }
            }
        })
    }

    #[test]
    fn the_socket_of_a_lost_claw_stands_on_the_edge() {
        for kind in KINDS {
            let crab = crab(kind, Sex::Male, Claws::OneGone(true));
            let [x, y, _] = numbers(&draw(&crab, Look::Top).svg, "<circle cx=");
            assert!((x - 29.0).abs() < 0.01 && (y + crab.outline.edge_at(29.0)).abs() < 0.01, "{}", kind.id);
        }
    }

    #[test]
    fn a_claw_seen_close_has_its_tips() {
        for kind in KINDS {
            let crab = crab(kind, Sex::Male, Claws::Both);
            let [left, top, width, height] = numbers(&draw(&crab, Look::Claw).svg, "viewBox=");
            let [x, y] = hand(&crab, 1.0)[1].map(|share| share * crab.outline.tip[0]);
            // A twentieth of the frame stays free in front of the tips.
            assert!(x > left + 0.05 * width && x < left + 0.95 * width, "{}", kind.id);
            assert!(-y > top + 0.05 * height && -y < top + height, "{}", kind.id);
        }
    }

    #[test]
    fn the_room_beside_a_gauge_is_drawn_where_it_goes_over() {
        for kind in KINDS {
            let crab = crab(kind, Sex::Male, Claws::Both);
            let at = Dimension::Notch;
            for gap_mm in [crab.width_mm(at) - 1.0, crab.width_mm(at) + 1.0] {
                let svg = draw(&crab, Look::Gauge { gap_mm, at }).svg;
                assert_eq!(svg.contains("stroke-dasharray"), passes(&crab, gap_mm, at), "{}", kind.id);
            }
        }
    }

    #[test]
    fn the_tips_are_drawn_and_told_as_the_sex_has_them() {
        for kind in KINDS {
            for sex in [Sex::Male, Sex::Female] {
                let crab = crab(kind, sex, Claws::Both);
                let Some(colour) = crab.tip_colour() else {
                    assert!(kind.tips_by_sex.is_none(), "{}", kind.id);
                    continue;
                };
                let drawn = draw(&crab, Look::Claw);
                assert!(drawn.svg.contains(&paint(colour, 1.0)), "{}", kind.id);
                assert_eq!(drawn.words.contains("tips are orange-red"), sex == Sex::Female, "{}", kind.id);
            }
        }
    }
}
