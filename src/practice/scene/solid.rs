//! The crab as triangles in the card's frame.

use nalgebra::Vector3;

use super::view::{CARD_THICK_MM, View};
use crate::portable::Portable;
use crate::practice::crab::{Claws, Crab};
use crate::practice::kinds::Tips;
use crate::practice::outline::Place;
use crate::practice::random::Random;

/// A flat piece with its colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Corners in mm of the card's frame.
    pub corners: [Vector3<f64>; 3],
    /// Red, green, blue, before light falls on it.
    pub rgb: [f64; 3],
}

/// Rings of the back, from the edge inward: share of the outline, and height above the edge as a share of the dome.
const BACK: [(f64, f64); 8] = [
    (1.0, 0.0),
    (0.95, 0.2),
    (0.86, 0.42),
    (0.73, 0.63),
    (0.56, 0.81),
    (0.38, 0.92),
    (0.2, 0.98),
    (0.02, 1.0),
];
/// The dome above the edge, as a share of the width between the tips (common practice: a body a third as deep as wide,
/// its edge a little above the middle).
const DOME: f64 = 0.11;

/// The whole crab.
pub fn mesh(crab: &Crab, view: &View) -> Vec<Piece> {
    let mut pieces = Vec::new();
    limbs(crab, view, &mut pieces);
    shell(crab, view, &mut pieces);
    pieces
}

fn shell(crab: &Crab, view: &View, pieces: &mut Vec<Piece>) {
    let outline = crab.outline.whole();
    let [front, back] = crab.outline.front_and_back();
    let middle = (front + back) / 2.0;
    let dome = DOME * 2.0 * crab.outline.tip[0];
    let floor = -CARD_THICK_MM;
    let smooth = smoothed(&outline);
    let ring = |share: f64, height: f64| -> Vec<Vector3<f64>> {
        // The teeth are the edge's own: further in the back is smooth.
        let inner = ((1.0 - share) * 5.0).clamp(0.0, 1.0);
        let mixed = outline.iter().zip(&smooth).map(|(edge, smooth)| {
            let place = [0, 1].map(|axis| edge[axis] + (smooth[axis] - edge[axis]) * inner);
            view.in_card([place[0] * share, middle + (place[1] - middle) * share], height)
        });
        mixed.collect()
    };
    let mut random = Random::new(crab.marks);
    let rgb = crab.colour.rgb.map(f64::from);
    // Below the edge the body draws in towards the deck, in its own shade.
    let below = [(1.0, view.edge_mm), (0.86, view.edge_mm * 0.6 + floor * 0.4), (0.7, floor + 4.0)];
    for pair in below.windows(2) {
        band(&ring(pair[1].0, pair[1].1), &ring(pair[0].0, pair[0].1), pieces, |_| {
            rgb.map(|value| value * 0.55)
        });
    }
    for pair in BACK.windows(2) {
        let (outer, inner) = (
            ring(pair[0].0, view.edge_mm + dome * pair[0].1),
            ring(pair[1].0, view.edge_mm + dome * pair[1].1),
        );
        band(&outer, &inner, pieces, |_| {
            let speck = random.between(0.94, 1.05);
            rgb.map(|value| value * speck)
        });
    }
}

/// The outline without its teeth: each place is the mean of those near it.
fn smoothed(outline: &[Place]) -> Vec<Place> {
    const NEAR: usize = 4;
    let count = outline.len();
    let mean = |at: usize, axis: usize| {
        let near = (0..=2 * NEAR).map(|step| outline[(at + count + step - NEAR) % count][axis]);
        near.sum::<f64>() / (2 * NEAR + 1) as f64
    };
    (0..count).map(|at| [mean(at, 0), mean(at, 1)]).collect()
}

/// The strip between two rings of equally many places; the normals point up and out for rings that run clockwise.
fn band(
    outer: &[Vector3<f64>],
    inner: &[Vector3<f64>],
    pieces: &mut Vec<Piece>,
    mut rgb: impl FnMut(usize) -> [f64; 3],
) {
    for at in 0..outer.len() {
        let next = (at + 1) % outer.len();
        let rgb = rgb(at);
        pieces.push(Piece { corners: [outer[at], inner[at], outer[next]], rgb });
        pieces.push(Piece { corners: [inner[at], inner[next], outer[next]], rgb });
    }
}

/// Legs and claws as ridges: two sloping sides over each stretch.
fn limbs(crab: &Crab, view: &View, pieces: &mut Vec<Piece>) {
    let half = crab.outline.tip[0];
    let rgb = crab.colour.rgb.map(|value| f64::from(value) * 0.95);
    let edge = view.edge_mm;
    for place in 0..8_u8 {
        if crab.lost_leg == Some(place) {
            continue;
        }
        let (leg, side) = (f64::from(place % 4), if place < 4 { 1.0 } else { -1.0 });
        let hip = [side * (0.72 - 0.08 * leg) * half, (0.12 - 0.17 * leg) * half];
        // Drawn in, as those of a crab that is held still.
        let (sin, cos) = ((20.0 - 27.0 * leg).to_radians()).portable_sin_cos();
        let knee = [hip[0] + side * 0.42 * half * cos, hip[1] + 0.42 * half * sin];
        let (sin, cos) = ((-14.0 - 27.0 * leg).to_radians()).portable_sin_cos();
        let foot = [knee[0] + side * 0.36 * half * cos, knee[1] + 0.36 * half * sin];
        ridge(view, [hip, knee], [edge * 0.8, edge * 0.85], [0.1 * half, 0.09 * half], rgb, pieces);
        ridge(view, [knee, foot], [edge * 0.85, 1.0], [0.08 * half, 0.02 * half], rgb, pieces);
    }
    for right in [true, false] {
        let grown = match crab.claws {
            Claws::OneGone(gone) if gone == right => continue,
            Claws::OneSmall(small) if small == right => 0.5,
            _ => 1.0,
        };
        let size = grown * crab.kind.claw_size.portable_powf(0.6) * half;
        let side = if right { 1.0 } else { -1.0 };
        let shoulder = [side * 0.5 * half, 0.36 * half];
        let elbow = [shoulder[0] + side * 0.3 * size, shoulder[1] + 0.24 * size];
        let wrist = [elbow[0] - side * 0.1 * size, elbow[1] + 0.22 * size];
        let palm = [wrist[0] - side * 0.24 * size, wrist[1] + 0.2 * size];
        let tip = [palm[0] - side * 0.26 * size, palm[1] + 0.02 * size];
        ridge(view, [shoulder, elbow], [edge * 0.75, edge * 0.7], [0.15 * size, 0.17 * size], rgb, pieces);
        ridge(view, [elbow, wrist], [edge * 0.7, edge * 0.7], [0.17 * size, 0.17 * size], rgb, pieces);
        ridge(view, [wrist, palm], [edge * 0.75, edge * 0.8], [0.2 * size, 0.26 * size], rgb, pieces);
        let tips = match (crab.kind.tips.value, crab.tip_colour()) {
            (_, Some(colour)) => colour.rgb.map(f64::from),
            (Tips::White, None) => [244.0, 238.0, 222.0],
            (Tips::Black, None) => [26.0, 20.0, 18.0],
            (Tips::AsTheClaw, None) => rgb.map(|value| value * 0.9),
        };
        ridge(view, [palm, tip], [edge * 0.75, edge * 0.6], [0.2 * size, 0.03 * size], tips, pieces);
    }
}

/// A limb from one place to the next with the heights of its back, and its widths.
fn ridge(
    view: &View,
    line: [Place; 2],
    tops: [f64; 2],
    widths: [f64; 2],
    rgb: [f64; 3],
    pieces: &mut Vec<Piece>,
) {
    let [from, to] = line;
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.portable_hypot(dy).max(1e-9);
    let across = [-dy / length, dx / length];
    /// Sides of the half round of a limb.
    const SIDES: usize = 6;
    let round = |at: Place, top: f64, width: f64| -> Vec<Vector3<f64>> {
        (0..=SIDES)
            .map(|step| {
                let (sin, cos) = (step as f64 / SIDES as f64 * std::f64::consts::PI).portable_sin_cos();
                let reach = width / 2.0 * cos;
                let height = (top - width * 0.5 + width * 0.5 * sin).max(0.3 - CARD_THICK_MM);
                view.in_card([at[0] + across[0] * reach, at[1] + across[1] * reach], height)
            })
            .collect()
    };
    let (near, far) = (round(from, tops[0], widths[0]), round(to, tops[1], widths[1]));
    for step in 0..SIDES {
        pieces.push(Piece { corners: [near[step], near[step + 1], far[step]], rgb });
        pieces.push(Piece { corners: [near[step + 1], far[step + 1], far[step]], rgb });
    }
}
