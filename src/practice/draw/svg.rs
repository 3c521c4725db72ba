//! SVG text, piece by piece. The drawing's y points down, the crab's to its front: it is turned here.

use std::fmt::Write;

use crate::practice::kinds::Colour;
use crate::practice::outline::Place;

/// The colour of all lines.
pub const LINE: &str = "#1b1512";

/// A drawing that grows.
pub struct Svg {
    text: String,
    /// The width of a line of 1, in units of the drawing.
    pub line: f64,
}

impl Svg {
    /// A drawing of the part of the plane from `left` and `top` (the crab's y) on, `width` by `height`.
    pub fn new(title: &str, [left, top, width, height]: [f64; 4]) -> Self {
        let mut text = String::new();
        let _ = write!(
            text,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\" role=\"img\" fill=\"none\" stroke-linecap=\"round\" stroke-linejoin=\"round\"><title>{}</title>",
            short(left),
            short(-top),
            short(width),
            short(height),
            escaped(title)
        );
        // Lines of 1.1 px where the drawing is shown 340 px wide.
        Self { text, line: width / 300.0 }
    }

    /// Turns what follows, anticlockwise, until [`Self::turned_back`].
    pub fn turned(&mut self, degrees: f64) {
        let _ = write!(self.text, "<g transform=\"rotate({})\">", short(-degrees));
    }

    /// Ends what was turned.
    pub fn turned_back(&mut self) {
        self.text.push_str("</g>");
    }

    /// A closed shape.
    pub fn shape(&mut self, places: &[Place], fill: &str, line: f64) {
        let data = path(places) + "Z";
        let _ = write!(
            self.text,
            "<path d=\"{data}\" fill=\"{fill}\" stroke=\"{LINE}\" stroke-width=\"{}\"/>",
            short(line * self.line)
        );
    }

    /// A line.
    pub fn stroke(&mut self, places: &[Place], colour: &str, line: f64) {
        let data = path(places);
        let _ = write!(
            self.text,
            "<path d=\"{data}\" stroke=\"{colour}\" stroke-width=\"{}\"/>",
            short(line * self.line)
        );
    }

    /// A dashed line.
    pub fn dashed(&mut self, places: &[Place], colour: &str, line: f64) {
        let data = path(places);
        let dash = short(3.0 * line * self.line);
        let _ = write!(
            self.text,
            "<path d=\"{data}\" stroke=\"{colour}\" stroke-width=\"{}\" stroke-dasharray=\"{dash} {dash}\"/>",
            short(line * self.line)
        );
    }

    /// A disc.
    pub fn disc(&mut self, [x, y]: Place, radius: f64, fill: &str, line: f64) {
        let _ = write!(
            self.text,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\" stroke=\"{LINE}\" stroke-width=\"{}\"/>",
            short(x),
            short(-y),
            short(radius),
            short(line * self.line)
        );
    }

    /// A spot without a line.
    pub fn spot(&mut self, [x, y]: Place, radius: f64, fill: &str) {
        let _ = write!(
            self.text,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\"/>",
            short(x),
            short(-y),
            short(radius)
        );
    }

    /// The whole text.
    pub fn end(mut self) -> String {
        self.text.push_str("</svg>");
        self.text
    }
}

/// A colour as SVG has it, `light` of it: 1 leaves it, less darkens it, more lightens it towards white.
pub fn paint(colour: Colour, light: f64) -> String {
    let [r, g, b] = colour.rgb.map(|value| {
        let value = f64::from(value);
        let lit = if light <= 1.0 { value * light } else { value + (255.0 - value) * (light - 1.0) };
        lit.round().clamp(0.0, 255.0) as u8
    });
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn path(places: &[Place]) -> String {
    let mut data = String::new();
    for (at, [x, y]) in places.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if at == 0 { "M" } else { "L" }, fine(*x), fine(-y));
    }
    data
}

/// Hundredths of a millimetre: the points of the drawing are those of the model to 0.005 mm.
fn fine(value: f64) -> String {
    trimmed(format!("{value:.2}"))
}

fn short(value: f64) -> String {
    trimmed(format!("{value:.2}"))
}

fn trimmed(text: String) -> String {
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
