//! The crab from above.

use super::limbs::{claws, hand, legs};
use super::svg::{LINE, Svg, paint};
use crate::portable::Portable;
use crate::practice::crab::{Claws, Coat, Crab};
use crate::practice::outline::Place;
use crate::practice::random::Random;

/// The whole crab.
pub fn whole(crab: &Crab, title: &str) -> String {
    let half = crab.outline.tip[0];
    let mut svg = Svg::new(title, [-2.05 * half, 2.05 * half, 4.1 * half, 3.55 * half]);
    svg.turned(crab.turn_deg);
    body(&mut svg, crab);
    svg.turned_back();
    svg.end()
}

/// The right front edge, from the eye to behind the widest tooth.
pub fn edge(crab: &Crab, title: &str) -> String {
    let half = crab.outline.tip[0];
    let [front, _] = crab.outline.front_and_back();
    let mut svg = Svg::new(title, [-0.12 * half, front + 0.1 * half, 1.25 * half, front + 0.35 * half]);
    body(&mut svg, crab);
    svg.end()
}

/// A claw that is there and full grown.
pub fn claw(crab: &Crab, title: &str) -> String {
    let half = crab.outline.tip[0];
    let [wrist, end] = hand(crab, 1.0);
    let is_left = matches!(crab.claws, Claws::OneGone(true) | Claws::OneSmall(true));
    let middle = [(wrist[0] + end[0]) / 2.0, (wrist[1] + end[1]) / 2.0];
    let x = if is_left { -middle[0] } else { middle[0] };
    // As much as the longest hand of this kind needs, so that the tips are not cut off.
    let reach = 0.5 * crab.kind.claw_size.max(1.0).portable_powf(0.8);
    let frame =
        [(x - reach) * half, (middle[1] + 0.8 * reach) * half, 2.0 * reach * half, 1.6 * reach * half];
    let mut svg = Svg::new(title, frame);
    body(&mut svg, crab);
    svg.end()
}

/// Legs, claws and shell, the front up.
pub fn body(svg: &mut Svg, crab: &Crab) {
    legs(svg, crab, crab.colour, 1.0);
    claws(svg, crab, crab.colour, 1.0);
    eyes(svg, crab);
    let light = match crab.coat {
        Coat::Bright => 1.12,
        Coat::Plain => 1.0,
        Coat::Worn => 0.9,
    };
    svg.shape(&crab.outline.whole(), &paint(crab.colour, light), 2.2);
    marks(svg, crab);
}

fn eyes(svg: &mut Svg, crab: &Crab) {
    let half = crab.outline.tip[0];
    let scale = crab.outline.notch[0] / half;
    let (x, y) = (crab.kind.shape.eye_at * 0.86 * scale * half, crab.kind.shape.eye_forward * scale * half);
    let fill = crab.kind.eyes.map_or_else(|| "#0d0a09".to_owned(), |eyes| paint(eyes.value, 1.0));
    for x in [x, -x] {
        svg.disc([x, y + 0.01 * half], 0.035 * half, &fill, 1.0);
    }
}

/// Grooves, spots, scratches, barnacles: what age leaves on a shell.
fn marks(svg: &mut Svg, crab: &Crab) {
    let half = crab.outline.tip[0];
    let [front, back] = crab.outline.front_and_back();
    let put = |x: f64, y: f64| -> Place { [x * half, back + (front - back) * y] };
    let groove = paint(crab.colour, 0.72);
    for side in [1.0, -1.0] {
        svg.stroke(
            &[put(side * 0.1, 0.72), put(side * 0.16, 0.56), put(side * 0.1, 0.4), put(side * 0.17, 0.22)],
            &groove,
            1.6,
        );
        svg.stroke(&[put(side * 0.16, 0.56), put(side * 0.42, 0.62), put(side * 0.58, 0.55)], &groove, 1.2);
    }
    if crab.kind.id == "sand" {
        for side in [1.0, -1.0] {
            svg.disc(put(side * 0.3, 0.24), 0.085 * half, "#7d2320", 1.2);
        }
    }
    let mut random = Random::new(crab.marks);
    let (speck, count) = match crab.kind.id {
        "atlantic-rock" => ("#4d2436".to_owned(), 110),
        "jonah" => ("#e3bd63".to_owned(), 40),
        _ => (paint(crab.colour, 0.82), 16),
    };
    let somewhere = |random: &mut Random| put(random.between(-0.62, 0.62), random.between(0.2, 0.78));
    for _ in 0..count {
        let at = somewhere(&mut random);
        svg.spot(at, random.between(0.008, 0.018) * half, &speck);
    }
    match crab.coat {
        Coat::Bright => {
            // A wet gloss: two light curves.
            let gloss = paint(crab.colour, 1.6);
            svg.stroke(&[put(-0.55, 0.62), put(-0.4, 0.74), put(-0.2, 0.8)], &gloss, 3.0);
            svg.stroke(&[put(0.3, 0.74), put(0.45, 0.68)], &gloss, 2.4);
        }
        Coat::Plain => scratches(svg, &mut random, &somewhere, half, 4),
        Coat::Worn => {
            scratches(svg, &mut random, &somewhere, half, 12);
            for _ in 0..7 {
                let at = somewhere(&mut random);
                let radius = random.between(0.022, 0.04) * half;
                svg.disc(at, radius, "#e8e2d4", 1.2);
                svg.spot(at, radius * 0.35, LINE);
            }
        }
    }
}

fn scratches(
    svg: &mut Svg,
    random: &mut Random,
    somewhere: &dyn Fn(&mut Random) -> Place,
    half: f64,
    count: usize,
) {
    for _ in 0..count {
        let [x, y] = somewhere(random);
        let (dx, dy) = (random.between(-0.1, 0.1) * half, random.between(-0.05, 0.05) * half);
        svg.stroke(&[[x, y], [x + dx, y + dy]], "#2d221d", 1.0);
    }
}
