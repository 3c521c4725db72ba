//! The crab turned over, its front up: the flap, and the eggs under it.

use std::f64::consts::PI;

use super::limbs::{claws, legs};
use super::svg::{LINE, Svg};
use crate::decide::Eggs;
use crate::portable::Portable;
use crate::practice::crab::Crab;
use crate::practice::kinds::{Colour, Flap};
use crate::practice::outline::Place;
use crate::practice::random::Random;
use crate::rules::when::{Maturity, Sex};

const UNDERSIDE: Colour = Colour { rgb: [226, 206, 172], words: "cream" };
const PLATE: &str = "#efe0c2";
const FLAP: &str = "#f8eed8";

/// The underside.
pub fn belly(crab: &Crab, title: &str) -> String {
    let half = crab.outline.tip[0];
    let mut svg = Svg::new(title, [-1.75 * half, 1.5 * half, 3.5 * half, 2.75 * half]);
    svg.turned(-crab.turn_deg);
    // Seen from below the crab's right is on the left.
    legs(&mut svg, crab, UNDERSIDE, -1.0);
    claws(&mut svg, crab, UNDERSIDE, -1.0);
    svg.shape(&crab.outline.whole(), "#e2ceac", 2.2);
    plates(&mut svg, crab);
    if crab.eggs != Eggs::None {
        eggs(&mut svg, crab);
    }
    flap(&mut svg, crab);
    svg.turned_back();
    svg.end()
}

/// Puts shares of half the width across, and of the length from the back along, into the drawing.
fn put(crab: &Crab) -> impl Fn(f64, f64) -> Place {
    let half = crab.outline.tip[0];
    let [front, back] = crab.outline.front_and_back();
    move |x: f64, y: f64| [x * half, back + (front - back) * y]
}

/// The breast plate, the hips of the legs, the mouth.
fn plates(svg: &mut Svg, crab: &Crab) {
    let put = put(crab);
    let breast = [(0.16, 0.1), (0.42, 0.2), (0.52, 0.42), (0.46, 0.62), (0.2, 0.7)];
    let right = breast.iter().map(|&(x, y)| put(x, y));
    let left = breast.iter().rev().map(|&(x, y)| put(-x, y));
    svg.shape(&right.chain(left).collect::<Vec<_>>(), PLATE, 1.4);
    for side in [1.0, -1.0] {
        for step in 0..4 {
            let y = 0.22 + 0.11 * f64::from(step);
            svg.stroke(&[put(side * 0.3, y), put(side * 0.66, y + 0.06)], LINE, 1.3);
        }
        let jaw =
            [put(side * 0.02, 0.72), put(side * 0.2, 0.72), put(side * 0.18, 0.9), put(side * 0.03, 0.9)];
        svg.shape(&jaw, PLATE, 1.3);
    }
}

/// Half the width of the flap at a height, both in shares: from the back to its tip.
fn flap_half(crab: &Crab) -> &'static [(f64, f64)] {
    match (crab.sex, crab.maturity, crab.kind.flap.value) {
        (Sex::Male, _, Flap::Tee) => {
            &[(0.34, 0.03), (0.34, 0.09), (0.2, 0.15), (0.075, 0.2), (0.06, 0.4), (0.045, 0.58), (0.0, 0.64)]
        }
        (Sex::Male, _, Flap::RoundedTip) => &[
            (0.2, 0.03),
            (0.19, 0.14),
            (0.15, 0.28),
            (0.105, 0.42),
            (0.08, 0.54),
            (0.075, 0.6),
            (0.05, 0.635),
            (0.0, 0.65),
        ],
        (Sex::Male, _, Flap::PointedTip) => {
            &[(0.2, 0.03), (0.19, 0.14), (0.15, 0.28), (0.1, 0.42), (0.065, 0.54), (0.0, 0.66)]
        }
        (Sex::Female, Maturity::Immature, _) => {
            &[(0.34, 0.03), (0.32, 0.12), (0.2, 0.32), (0.09, 0.52), (0.0, 0.64)]
        }
        (Sex::Female, Maturity::Mature, _) => &[
            (0.26, 0.02),
            (0.4, 0.12),
            (0.45, 0.26),
            (0.43, 0.4),
            (0.34, 0.53),
            (0.2, 0.62),
            (0.08, 0.67),
            (0.0, 0.68),
        ],
    }
}

fn flap(svg: &mut Svg, crab: &Crab) {
    let put = put(crab);
    let edge = flap_half(crab);
    let right = edge.iter().map(|&(x, y)| put(x, y));
    let left = edge.iter().rev().map(|&(x, y)| put(-x, y));
    svg.shape(&right.chain(left).collect::<Vec<_>>(), FLAP, 2.6);
    // The seams between its segments.
    for &(x, y) in &edge[1..edge.len() - 1] {
        svg.stroke(&[put(-0.92 * x, y), put(0.92 * x, y)], LINE, 1.0);
    }
    let is_broad = crab.sex == Sex::Female && crab.maturity == Maturity::Mature;
    if is_broad {
        // The fringe of hair is long in the female (California Department of Fish and Wildlife).
        for &(x, y) in &edge[1..edge.len() - 2] {
            for side in [1.0, -1.0] {
                for step in 0..3 {
                    let y = y + 0.03 * f64::from(step);
                    svg.stroke(&[put(side * x, y), put(side * (x + 0.045), y + 0.02)], LINE, 0.8);
                }
            }
        }
    }
}

/// The mass of eggs: it lifts the flap and stands out round it.
fn eggs(svg: &mut Svg, crab: &Crab) {
    let (put, half) = (put(crab), crab.outline.tip[0]);
    let (fill, dot) = if crab.eggs == Eggs::Dark { ("#4b3527", "#2b1d15") } else { ("#e58b2a", "#b9661a") };
    let blob: Vec<Place> = (0..28)
        .map(|step| {
            let (sin, cos) = (f64::from(step) * PI / 14.0).portable_sin_cos();
            let wave = 1.0 + 0.05 * (f64::from(step) * 2.4).portable_sin();
            put(0.6 * wave * cos, 0.36 + 0.41 * wave * sin)
        })
        .collect();
    svg.shape(&blob, fill, 2.0);
    let mut random = Random::new(crab.marks ^ 5);
    for _ in 0..110 {
        let (turn, reach) = (random.between(0.0, 2.0 * PI), random.between(0.7, 0.98));
        let (sin, cos) = turn.portable_sin_cos();
        svg.spot(put(0.58 * reach * cos, 0.36 + 0.4 * reach * sin), 0.017 * half, dot);
    }
}
