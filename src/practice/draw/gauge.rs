//! A gauge laid on the crab, true to size.

use super::svg::{LINE, Svg};
use super::{passes, top};
use crate::practice::crab::Crab;
use crate::terms::Dimension;

/// The crab from above with the gauge.
pub fn gauge(crab: &Crab, gap_mm: f64, at: Dimension, title: &str) -> String {
    const ARM_MM: f64 = 9.0;
    let half = crab.outline.tip[0].max(gap_mm / 2.0);
    let mut svg = Svg::new(title, [-1.3 * half, 1.35 * half, 2.6 * half, 2.15 * half]);
    top::body(&mut svg, crab);
    let y = crab.outline.place(at)[1];
    let beam = crab.outline.front_and_back()[0] + 0.2 * half;
    // It goes over the shell, or its arms come to rest on it.
    let over = passes(crab, gap_mm, Dimension::Tips);
    let end = y - half
        * if over {
            0.3
        } else if passes(crab, gap_mm, at) {
            0.04
        } else {
            0.0
        };
    let (inner, outer) = (gap_mm / 2.0, gap_mm / 2.0 + ARM_MM);
    let gauge = [
        [-outer, beam + ARM_MM],
        [outer, beam + ARM_MM],
        [outer, end],
        [inner, end],
        [inner, beam],
        [-inner, beam],
        [-inner, end],
        [-outer, end],
    ];
    svg.shape(&gauge, "#d8dde2", 2.4);
    if passes(crab, gap_mm, at) {
        // The room between arm and shell: beside a long spine the arm seems to rest where it does not.
        let beside = crab.outline.place(at)[0];
        for side in [1.0, -1.0] {
            svg.dashed(&[[side * beside, y], [side * inner, y]], "#a3241d", 2.0);
        }
    } else {
        for side in [1.0, -1.0] {
            let x = side * (inner + ARM_MM / 2.0);
            svg.stroke(&[[x - 7.0, end - 3.0], [x + 7.0, end - 3.0]], LINE, 3.5);
        }
    }
    svg.end()
}
