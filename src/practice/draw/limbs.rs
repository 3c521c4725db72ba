//! Legs and claws, as shapes in shares of half the shell's width.

use std::f64::consts::PI;

use super::svg::{Svg, paint};
use crate::portable::Portable;
use crate::practice::crab::{Claws, Crab};
use crate::practice::kinds::{Colour, Tips};
use crate::practice::outline::Place;

/// The claws' white, and their black.
const WHITE: &str = "#fbf7ec";
const BLACK: &str = "#17110f";

/// From this size of the claw on a hand is heavy: a blue swimmer's is long but slender (common practice).
const HEAVY: f64 = 1.3;

/// A hand of the claw: along it, across it; the fixed finger is on the outer side.
const PALM: [Place; 8] = [
    [0.0, -0.09],
    [0.1, -0.16],
    [0.33, -0.2],
    [0.58, -0.16],
    [0.6, 0.11],
    [0.36, 0.18],
    [0.12, 0.15],
    [0.0, 0.08],
];
const FIXED: [Place; 7] =
    [[0.52, -0.17], [0.68, -0.16], [0.85, -0.11], [1.0, -0.02], [0.85, -0.03], [0.72, -0.03], [0.55, -0.02]];
const MOVING: [Place; 7] =
    [[0.52, 0.14], [0.68, 0.15], [0.85, 0.12], [1.0, 0.0], [0.85, 0.03], [0.72, 0.02], [0.55, 0.0]];
/// The ends of the fingers, where the colour of the tips is.
const FIXED_TIP: [Place; 5] = [[0.74, -0.15], [0.85, -0.11], [1.0, -0.02], [0.85, -0.03], [0.76, -0.03]];
const MOVING_TIP: [Place; 5] = [[0.74, 0.145], [0.85, 0.12], [1.0, 0.0], [0.85, 0.03], [0.76, 0.022]];

/// Draws all legs. `side` is 1 where the crab's right is on the right, -1 where it is seen from below.
pub fn legs(svg: &mut Svg, crab: &Crab, colour: Colour, side: f64) {
    let half = crab.outline.tip[0];
    for place in 0..8_u8 {
        let (leg, right) = (place % 4, place < 4);
        let x = if right { side } else { -side };
        if crab.lost_leg == Some(place) {
            let stump = leg_line(leg)[0];
            svg.disc([x * stump[0] * half, stump[1] * half], 0.035 * half, "#f1dfc4", 1.2);
            continue;
        }
        let line: Vec<Place> = leg_line(leg).iter().map(|[along, y]| [x * along * half, y * half]).collect();
        let widths = [0.12, 0.11, 0.085, 0.075, 0.06, 0.01].map(|width| width * half);
        let [hip, knee, ankle, tip] = [line[0], line[1], line[2], line[3]];
        if leg == 3 && crab.kind.paddles.value {
            svg.shape(&limb(&[hip, knee], &[widths[0], widths[1]]), &paint(colour, 0.95), 1.2);
            svg.shape(&limb(&[knee, ankle], &[widths[1], widths[1]]), &paint(colour, 1.05), 1.2);
            svg.shape(&paddle(ankle, tip, 0.11 * half), &paint(colour, 1.15), 1.4);
            continue;
        }
        svg.shape(&limb(&[ankle, tip], &[widths[4], widths[5]]), &paint(colour, 0.75), 1.2);
        svg.shape(&limb(&[knee, ankle], &[widths[2], widths[3]]), &paint(colour, 1.05), 1.2);
        svg.shape(&limb(&[hip, knee], &[widths[0], widths[1]]), &paint(colour, 0.95), 1.2);
    }
}

/// Hip, knee, ankle and tip of a leg on the right, in shares of half the shell's width.
fn leg_line(leg: u8) -> [Place; 4] {
    let place = f64::from(leg);
    let hip = [0.76 - 0.09 * place, 0.1 - 0.17 * place];
    let reach = [0.56, 0.62, 0.58, 0.48][usize::from(leg.min(3))];
    let heading = (24.0 - 29.0 * place) * PI / 180.0;
    let step = |from: Place, length: f64, turn: f64| {
        let (sin, cos) = (heading - turn * PI / 180.0).portable_sin_cos();
        [from[0] + length * cos, from[1] + length * sin]
    };
    let knee = step(hip, reach, 0.0);
    let ankle = step(knee, 0.62 * reach, 24.0);
    [hip, knee, ankle, step(ankle, 0.55 * reach, 46.0)]
}

/// Draws both claws.
pub fn claws(svg: &mut Svg, crab: &Crab, colour: Colour, side: f64) {
    let half = crab.outline.tip[0];
    for right in [true, false] {
        let x = if right { side } else { -side };
        let put = |place: Place| [x * place[0] * half, place[1] * half];
        match crab.claws {
            Claws::OneGone(gone) if gone == right => {
                // The socket stands out half from under the front edge, wherever this kind has its edge.
                let [beside, _] = put([0.58, 0.0]);
                svg.disc([beside, crab.outline.edge_at(beside.abs())], 0.06 * half, "#f1dfc4", 1.4);
            }
            Claws::OneSmall(small) if small == right => claw(svg, crab, colour, &put, 0.5),
            _ => claw(svg, crab, colour, &put, 1.0),
        }
    }
}

/// Where the hand of the right claw begins and ends.
pub fn hand(crab: &Crab, grown: f64) -> [Place; 2] {
    let size = grown * crab.kind.claw_size.portable_powf(0.6);
    let wrist = [0.56 + 0.42 * grown.min(1.0), 0.45 + 0.52 * size];
    let (sin, cos) = (118.0 * PI / 180.0).portable_sin_cos();
    let length = 0.74 * size;
    [wrist, [wrist[0] + length * cos, wrist[1] + length * sin]]
}

fn claw(svg: &mut Svg, crab: &Crab, colour: Colour, put: &dyn Fn(Place) -> Place, grown: f64) {
    let half = crab.outline.tip[0];
    let size = grown * crab.kind.claw_size.portable_powf(0.6);
    let [wrist, end] = hand(crab, grown);
    let elbow = [wrist[0] + 0.16 * size, wrist[1] - 0.26 * size];
    let arm: Vec<Place> = [[0.55, 0.36], elbow, wrist].map(put).to_vec();
    let width = 0.17 * size * half;
    svg.shape(&limb(&arm[..2], &[width * 0.8, width]), &paint(colour, 0.92), 1.4);
    svg.shape(&limb(&arm[1..], &[width, width * 0.95]), &paint(colour, 0.98), 1.4);
    let along = [end[0] - wrist[0], end[1] - wrist[1]];
    // Slender hands are the swimmers'; those of a mud crab are heavy.
    let slender = if crab.kind.paddles.value && crab.kind.claw_size < HEAVY { 0.75 } else { 1.0 };
    let place = |[u, v]: Place| {
        let v = v * slender * 1.25;
        put([wrist[0] + along[0] * u + along[1] * v, wrist[1] + along[1] * u - along[0] * v])
    };
    let fingers = paint(colour, 0.86);
    svg.shape(&FIXED.map(place), &fingers, 1.4);
    svg.shape(&MOVING.map(place), &fingers, 1.4);
    let tips = match (crab.kind.tips.value, crab.tip_colour()) {
        (_, Some(colour)) => Some(paint(colour, 1.0)),
        (Tips::White, None) => Some(WHITE.to_owned()),
        (Tips::Black, None) => Some(BLACK.to_owned()),
        (Tips::AsTheClaw, None) => None,
    };
    if let Some(tips) = tips {
        svg.shape(&FIXED_TIP.map(place), &tips, 1.2);
        svg.shape(&MOVING_TIP.map(place), &tips, 1.2);
    }
    svg.shape(&PALM.map(place), &paint(colour, 1.06), 1.6);
}

/// A limb along `line`, as wide as told at each of its places.
pub fn limb(line: &[Place], widths: &[f64]) -> Vec<Place> {
    let mut there = Vec::new();
    let mut back = Vec::new();
    for (at, ([x, y], width)) in line.iter().zip(widths).enumerate() {
        let (from, to) = (line[at.saturating_sub(1)], line[(at + 1).min(line.len() - 1)]);
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.portable_hypot(dy).max(1e-9);
        let (ox, oy) = (-dy / length * width / 2.0, dx / length * width / 2.0);
        there.push([x + ox, y + oy]);
        back.push([x - ox, y - oy]);
    }
    there.extend(back.into_iter().rev());
    there
}

/// The flat end of a swimming leg.
fn paddle(from: Place, to: Place, half_width: f64) -> Vec<Place> {
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].portable_hypot(along[1]).max(1e-9);
    let across = [-along[1] / length * half_width, along[0] / length * half_width];
    (0..16)
        .map(|step| {
            let (sin, cos) = (f64::from(step) * PI / 8.0).portable_sin_cos();
            let (u, v) = (0.5 - 0.5 * cos, sin);
            [from[0] + along[0] * u + across[0] * v, from[1] + along[1] * u + across[1] * v]
        })
        .collect()
}
