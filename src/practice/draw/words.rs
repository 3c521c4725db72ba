//! What is seen, in words. They tell what the eye and the thumb meet, not what follows from it.

use super::{Look, gives_way, passes};
use crate::decide::Eggs;
use crate::practice::crab::{Claws, Coat, Crab};
use crate::practice::kinds::{Flap, Tips};
use crate::rules::when::{Maturity, Sex};
use crate::terms::Dimension;

/// The words of a drawing.
pub fn words(crab: &Crab, look: Look) -> String {
    match look {
        Look::Top => top(crab),
        Look::Belly => belly(crab),
        Look::Edge => format!("The edge, close: {}; {}.", crab.kind.teeth.value, crab.kind.front.value),
        Look::Claw => format!("A claw, close: {}.", tips(crab)),
        Look::PressJoint => pressed(crab, look, "Under the shell, beside the claw's joint"),
        Look::PressBack => pressed(crab, look, "In the middle of the back"),
        Look::Gauge { gap_mm, at } => gauged(crab, gap_mm, at),
    }
}

fn top(crab: &Crab) -> String {
    let coat = match crab.coat {
        Coat::Bright => "clean and bright",
        Coat::Plain => "with a few scratches",
        Coat::Worn => "dull and scratched, with barnacles",
    };
    let side = |right: bool| if right { "right" } else { "left" };
    let claws = match crab.claws {
        Claws::Both => "Both claws are there".to_owned(),
        Claws::OneGone(right) => format!("The {} claw is gone", side(right)),
        Claws::OneSmall(right) => format!("The {} claw is small, half as long as the other", side(right)),
    };
    let legs = if crab.lost_leg.is_some() { ", one leg is missing" } else { "" };
    let paddles = if crab.kind.paddles.value { " The last legs are flat as paddles." } else { "" };
    let eyes = crab.kind.eyes.map_or_else(String::new, |eyes| format!(" The eyes are {}.", eyes.value.words));
    format!(
        "From above. The back is {}, {coat}.{eyes} The edge has {}. {claws}{legs}; {}.{paddles}",
        crab.colour.words,
        crab.kind.teeth.value,
        tips(crab)
    )
}

fn tips(crab: &Crab) -> String {
    match (crab.kind.tips.value, crab.tip_colour()) {
        (_, Some(colour)) => format!("the claw tips are {}, else as the rest of the claw", colour.words),
        (Tips::White, None) => "the claw tips are white".to_owned(),
        (Tips::Black, None) => "the claw tips are black".to_owned(),
        (Tips::AsTheClaw, None) => "the claw tips are as the rest of the claw".to_owned(),
    }
}

fn belly(crab: &Crab) -> String {
    let flap = match (crab.sex, crab.maturity, crab.kind.flap.value) {
        (Sex::Male, _, Flap::RoundedTip) => "narrow, its tip rounded",
        (Sex::Male, _, Flap::PointedTip) => "narrow, its tip pointed",
        (Sex::Male, _, Flap::Tee) => "like a narrow T standing on its head",
        (Sex::Female, Maturity::Immature, _) => "a triangle",
        (Sex::Female, Maturity::Mature, _) => "broad and round, fringed, over most of the breast",
    };
    let eggs = match crab.eggs {
        Eggs::Light => " A spongy orange mass stands out round it.",
        Eggs::Dark => " A spongy dark brown mass stands out round it.",
        Eggs::None | Eggs::Removed => " Nothing stands out round it.",
    };
    format!("Turned over, front up. The flap is {flap}.{eggs}")
}

fn pressed(crab: &Crab, look: Look, place: &str) -> String {
    let seen =
        if gives_way(crab, look) { "the shell dents and springs back" } else { "the shell does not move" };
    format!("{place}: under the thumb {seen}.")
}

fn gauged(crab: &Crab, gap_mm: f64, at: Dimension) -> String {
    let place = match at {
        Dimension::Notch => "in the notches in front of the last teeth",
        Dimension::Tips => "at the tips of the last teeth",
        Dimension::Widest => "at the widest part of the shell",
    };
    let seen = if passes(crab, gap_mm, at) {
        "it goes over the shell"
    } else {
        "both arms come to rest on the shell"
    };
    format!("The gauge, set to {gap_mm:.1} mm and held {place}: {seen}.")
}
