//! What the live diagram says: its readings and its sliders, in few enough words to be read while a thumb moves.

use super::check::words;
use super::stand::{Reading, SHELL_MM, Stand, Told};
use crate::text::quantity::length_both;
use crate::units::Millimetres;

/// Where the sliders start: the stand that is advised, and the height of the figures in the lesson.
pub const START: Stand = Stand { camera_mm: 500.0, tilt_deg: 15.0, edge_mm: 32.0 };
/// Standard uncertainties to either side of a range that holds the truth 95 times in 100 (normal distribution).
pub const COVERAGE: f64 = 1.96;

/// One reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Its place in the page.
    pub id: &'static str,
    /// How the width was read; the letter stands at its bar.
    pub label: &'static str,
    /// What came out.
    pub words: String,
}

/// One slider.
#[derive(Debug, Clone, PartialEq)]
pub struct Slider {
    /// Its place in the page.
    pub id: &'static str,
    /// What it moves.
    pub label: &'static str,
    /// Least, greatest and step.
    pub range: [f64; 3],
    /// Where it is.
    pub value: f64,
    /// The same in words.
    pub words: String,
}

/// The readings: off the deck with its error, from one photo and from two as ranges.
pub fn lines(reading: &Reading) -> [Line; 3] {
    [
        Line { id: "stand-flat", label: "A, off the deck", words: wide(reading.flat_mm) },
        Line { id: "stand-one", label: "B, one photo", words: range(reading.one) },
        Line { id: "stand-two", label: "C, two photos", words: range(reading.two) },
    ]
}

/// The sliders, in the order of the fields of [`Stand`].
pub fn sliders(stand: &Stand) -> [Slider; 3] {
    let inches = |mm: f64| Millimetres(mm).inches();
    let slider = |id, label, range, value, words| Slider { id, label, range, value, words };
    let Stand { camera_mm, tilt_deg, edge_mm } = *stand;
    let camera = format!("{camera_mm:.0}\u{a0}mm ({:.1}\u{a0}in)", inches(camera_mm));
    let edge = format!("{edge_mm:.0}\u{a0}mm ({:.2}\u{a0}in)", inches(edge_mm));
    [
        slider("stand-camera", "Phone", [300.0, 1000.0, 10.0], camera_mm, camera),
        slider("stand-tilt", "Tilt", [0.0, 30.0, 1.0], tilt_deg, format!("{tilt_deg:.0}°")),
        slider("stand-edge", "Shell edge", [15.0, 50.0, 1.0], edge_mm, edge),
    ]
}

/// The true width, as it stands below the bars.
pub fn true_width() -> String {
    format!("{SHELL_MM}\u{a0}mm ({:.2}\u{a0}in), true", Millimetres(SHELL_MM).inches())
}

/// How many words the diagram shows, the letters at its bars included; none where it shows nothing.
pub fn words_shown(stand: &Stand) -> usize {
    let Some(reading) = stand.reading() else { return 0 };
    let lines = lines(&reading).map(|line| format!("{} {}", line.label, line.words));
    let sliders = sliders(stand).map(|slider| format!("{}: {}", slider.label, slider.words));
    let letters = lines.len();
    let texts = lines.iter().chain(&sliders).map(String::as_str);
    texts.map(words).sum::<usize>() + words(&true_width()) + letters
}

/// How far off a width is, in words.
fn wide(off_mm: f64) -> String {
    let size = length_both(Millimetres(off_mm.abs()));
    match off_mm {
        // What rounds to nothing is neither.
        off_mm if off_mm.abs() < 0.05 => "right".to_owned(),
        off_mm if off_mm < 0.0 => format!("{size} too narrow"),
        _ => format!("{size} too wide"),
    }
}

/// Between which widths the truth lies, 95 times in 100.
fn range(told: Told) -> String {
    let [from, to] =
        [-COVERAGE, COVERAGE].map(|times| Millimetres(SHELL_MM + told.off_mm + times * told.u_mm));
    // A joiner on each side of the dash keeps the line from ending there.
    let dash = "\u{2060}–\u{2060}";
    format!("{:.1}{dash}{:.1}\u{a0}mm ({:.2}{dash}{:.2}\u{a0}in)", from.0, to.0, from.inches(), to.inches())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: 158.75 mm is 6.25 in of 25.4 mm; 1.96 standard deviations hold 95 % of a normal distribution.
    #[test]
    fn a_range_holds_the_truth_in_both_units() {
        let plain = |text: String| text.replace('\u{2060}', "").replace('\u{a0}', " ");
        assert_eq!(plain(range(Told { off_mm: 0.25, u_mm: 1.0 })), "157.0–161.0 mm (6.18–6.34 in)");
        assert_eq!(plain(true_width()), "158.75 mm (6.25 in), true");
        assert_eq!(plain(wide(10.85)), "10.8 mm (0.43 in) too wide");
        assert_eq!(plain(wide(-2.0)), "2.0 mm (0.08 in) too narrow");
        assert_eq!(wide(0.01), "right");
    }
}
