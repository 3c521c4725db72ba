//! A thumb on the shell, seen from the side: does it give way?

use super::svg::{LINE, Svg, paint};
use crate::practice::crab::Crab;
use crate::practice::outline::Place;

/// The shell under the thumb, cut through.
pub fn press(crab: &Crab, gives_way: bool, title: &str) -> String {
    let mut svg = Svg::new(title, [-60.0, 58.0, 120.0, 80.0]);
    let dent = if gives_way { 9.0 } else { 0.0 };
    let line = |deep: f64, below: f64| -> Vec<Place> {
        (-12..=12)
            .map(|step| {
                let x = f64::from(step) * 5.0;
                let arch = 6.0 * (1.0 - (x / 60.0).powi(2));
                let at = (x / 16.0).powi(2);
                [x, arch - deep / (1.0 + at * at) - below]
            })
            .collect()
    };
    let (outer, inner) = (line(dent, 0.0), line(dent, 5.0));
    let cut: Vec<Place> = outer.iter().copied().chain(inner.into_iter().rev()).collect();
    svg.shape(&cut, &paint(crab.colour, 1.1), 2.2);
    if gives_way {
        svg.dashed(&line(0.0, 0.0), LINE, 1.6);
        for side in [1.0, -1.0] {
            svg.stroke(&[[side * 22.0, 12.0], [side * 16.0, 5.0]], LINE, 1.8);
            svg.stroke(&[[side * 21.0, 5.5], [side * 16.0, 5.0], [side * 17.0, 10.0]], LINE, 1.8);
        }
    }
    let bottom = 6.0 - dent;
    let flat = if gives_way { 5.0 } else { 9.0 };
    let thumb = [
        [-12.0, 52.0],
        [-12.0, bottom + 13.0],
        [-10.5, bottom + 5.0],
        [-flat, bottom + 0.8],
        [0.0, bottom],
        [flat, bottom + 0.8],
        [10.5, bottom + 5.0],
        [12.0, bottom + 13.0],
        [12.0, 52.0],
    ];
    svg.shape(&thumb, "#e9bf98", 2.2);
    let nail = [
        [-7.0, bottom + 16.0],
        [-7.5, bottom + 8.0],
        [0.0, bottom + 5.0],
        [7.5, bottom + 8.0],
        [7.0, bottom + 16.0],
    ];
    svg.shape(&nail, "#f6dccb", 1.4);
    svg.end()
}
