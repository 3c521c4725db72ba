//! The shell's outline from above, in mm: the points between which a rule measures are known exactly.
//!
//! The crab's frame: x to the crab's right, y to its front, the origin in the middle between the last teeth's arc ends.
//! The front edge between the eye and the widest tooth is a quarter of an ellipse that bears the teeth; behind the widest
//! tooth a curve runs to the back edge. Both sides are alike.

use std::f64::consts::FRAC_PI_2;

use super::kinds::{Shape, Tooth};
use crate::portable::Portable;
use crate::terms::Dimension;

/// A place on the crab from above, in mm.
pub type Place = [f64; 2];

/// The outline of one shell.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The right half, from the middle of the front to the middle of the back.
    pub half: Vec<Place>,
    /// The bottom of the notch just in front of the widest tooth, on the right.
    pub notch: Place,
    /// The tip of the widest tooth, on the right.
    pub tip: Place,
}

impl Outline {
    /// A shell of `shape` whose distance `dimension` is `width_mm`.
    pub fn new(shape: &Shape, dimension: Dimension, width_mm: f64) -> Self {
        let raw = raw(shape);
        let scale = width_mm / raw.width_mm(dimension);
        let scaled = |place: Place| place.map(|value| value * scale);
        Self {
            half: raw.half.into_iter().map(scaled).collect(),
            notch: scaled(raw.notch),
            tip: scaled(raw.tip),
        }
    }

    /// The place on the right that `dimension` is measured to; on the left it is the mirrored one.
    pub fn place(&self, dimension: Dimension) -> Place {
        match dimension {
            Dimension::Notch => self.notch,
            Dimension::Tips => self.tip,
            Dimension::Widest => self
                .half
                .iter()
                .copied()
                .fold(self.tip, |widest, place| if place[0] > widest[0] { place } else { widest }),
        }
    }

    /// The distance in mm.
    pub fn width_mm(&self, dimension: Dimension) -> f64 {
        2.0 * self.place(dimension)[0]
    }

    /// The whole outline: down the right side, up the left.
    pub fn whole(&self) -> Vec<Place> {
        let left = self.half.iter().rev().map(|[x, y]| [-x, *y]);
        let mut all: Vec<Place> = self.half.iter().copied().chain(left).collect();
        all.dedup();
        all
    }

    /// The y of the front edge at `x` beside the middle; the widest tip's where the shell does not reach so far.
    pub fn edge_at(&self, x: f64) -> f64 {
        let reaches = |[from, to]: &[Place; 2]| from[0] <= x && x <= to[0] && from[0] < to[0];
        let on = |[from, to]: [Place; 2]| from[1] + (to[1] - from[1]) * (x - from[0]) / (to[0] - from[0]);
        let pieces = self.half.windows(2).map(|piece| [piece[0], piece[1]]);
        pieces.filter(reaches).map(on).next().unwrap_or(self.tip[1])
    }

    /// The foremost and the rearmost y.
    pub fn front_and_back(&self) -> [f64; 2] {
        let ys = || self.half.iter().map(|place| place[1]);
        [ys().fold(f64::MIN, f64::max), ys().fold(f64::MAX, f64::min)]
    }
}

/// The outline where the arc of the teeth ends 1 beside the middle.
fn raw(shape: &Shape) -> Outline {
    let eye = [shape.eye_at, shape.eye_forward];
    let mut half = front(shape, eye);
    let arc = |share: f64| -> Place {
        let (sin, cos) = (share * FRAC_PI_2).portable_sin_cos();
        [eye[0] + (1.0 - eye[0]) * sin, eye[1] * cos]
    };
    let teeth = usize::from(shape.teeth.max(1));
    let at = |tooth: usize| arc(tooth as f64 / teeth as f64);
    let notch = at(teeth - 1);
    let tip = [notch[0] / shape.notch_of_tips, shape.tip_forward];
    half.push(at(0));
    for tooth in 0..teeth - 1 {
        half.extend(one_tooth(shape, at(tooth), at(tooth + 1)));
    }
    half.push(tip);
    half.extend(back(shape, tip));
    half.dedup();
    Outline { half, notch, tip }
}

/// The front edge from the middle to the eye: lobes, the middle one halved where their number is odd.
fn front(shape: &Shape, eye: Place) -> Vec<Place> {
    let lobes = f64::from(shape.front_lobes.max(1));
    let socket = [eye[0] * 0.72, eye[1] * 0.86];
    // In front of the eyes' sockets the lobes share the width between them.
    let width = 2.0 * socket[0] / lobes;
    let line = |x: f64| eye[1] + shape.front_forward * (1.0 - (x / socket[0]).powi(2) * 0.5);
    let mut places = Vec::new();
    let tops = (0..shape.front_lobes).map(|lobe| (f64::from(lobe) + 0.5) * width - socket[0]);
    for top in tops.filter(|top| *top > -1e-9) {
        let deep = shape.front_depth;
        if top > 1e-9 {
            places.push([top - width / 2.0, line(top - width / 2.0) - deep]);
        }
        let near = if shape.front_pointed { 0.12 } else { 0.32 };
        if top > 1e-9 {
            places.push([top - width * near, line(top) - deep * 0.15]);
        }
        places.push([top, line(top)]);
        places.push([top + width * near, line(top) - deep * 0.15]);
    }
    places.push([socket[0], line(socket[0]) - shape.front_depth]);
    // The socket of the eye.
    places.push([socket[0] + (eye[0] - socket[0]) * 0.3, socket[1]]);
    places.push([socket[0] + (eye[0] - socket[0]) * 0.75, socket[1] + 0.01]);
    places
}

/// One tooth between two places of the arc, without its first place.
fn one_tooth(shape: &Shape, from: Place, to: Place) -> Vec<Place> {
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].portable_hypot(along[1]);
    // Outward is to the left of the way back along the right side.
    let out = [-along[1] / length, along[0] / length];
    let place = |share: f64, depth: f64| {
        [from[0] + along[0] * share + out[0] * depth, from[1] + along[1] * share + out[1] * depth]
    };
    let depth = shape.tooth_depth * length;
    let mut places = match shape.tooth {
        // The tip leans to the front.
        Tooth::Pointed => vec![place(0.3, depth)],
        Tooth::Rough => {
            vec![
                place(0.12, depth * 0.6),
                place(0.22, depth * 0.5),
                place(0.4, depth),
                place(0.5, depth * 0.7),
                place(0.68, depth * 0.85),
                place(0.78, depth * 0.4),
            ]
        }
        Tooth::Smooth => vec![place(0.12, depth * 0.75), place(0.45, depth), place(0.75, depth * 0.8)],
        Tooth::Lobe => {
            vec![place(0.08, depth * 0.7), place(0.3, depth), place(0.7, depth), place(0.92, depth * 0.7)]
        }
    };
    places.push(to);
    places
}

/// From the widest tip to the middle of the back.
fn back(shape: &Shape, tip: Place) -> Vec<Place> {
    let start = [0.965_f64.min(tip[0] - 0.01), tip[1] - 0.075];
    let corner = [shape.back_half, -shape.back_at];
    let middle = [(start[0] + corner[0]) / 2.0, (start[1] + corner[1]) / 2.0];
    let bend = [middle[0] + shape.back_bulge, middle[1] - shape.back_bulge];
    let mut places = Vec::new();
    for step in 0..=10 {
        let t = f64::from(step) / 10.0;
        let mix = |axis: usize| {
            (1.0 - t).powi(2) * start[axis] + 2.0 * t * (1.0 - t) * bend[axis] + t * t * corner[axis]
        };
        places.push([mix(0), mix(1)]);
        if shape.small_tooth_behind && step == 1 {
            places.push([mix(0) + 0.02, mix(1) + 0.005]);
            places.push([mix(0) - 0.01, mix(1) - 0.03]);
        }
    }
    places.push([corner[0] * 0.5, corner[1] - 0.012]);
    places.push([0.0, corner[1]]);
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::kinds::KINDS;

    #[test]
    fn the_asked_distance_is_the_drawn_one() {
        for kind in KINDS {
            for dimension in [Dimension::Notch, Dimension::Tips, Dimension::Widest] {
                let outline = Outline::new(&kind.shape, dimension, 151.5);
                assert!((outline.width_mm(dimension) - 151.5).abs() < 1e-9, "{} {dimension:?}", kind.id);
                let place = outline.place(dimension);
                assert!(outline.half.contains(&place), "{}: the place lies on the drawn line", kind.id);
            }
        }
    }

    /// Source: B. D. Smith, UBC thesis 1988: 165 mm between the tips of a Dungeness crab are 154 mm between its notches.
    #[test]
    fn tips_and_notches_of_a_dungeness_stand_as_published() {
        let kind = KINDS.iter().find(|kind| kind.id == "dungeness").expect("it is in the table");
        let outline = Outline::new(&kind.shape, Dimension::Tips, 165.0);
        assert!((outline.width_mm(Dimension::Notch) - 154.0).abs() < 0.1);
    }

    #[test]
    fn the_notch_is_the_deepest_place_between_its_teeth() {
        for kind in KINDS {
            let outline = Outline::new(&kind.shape, Dimension::Tips, 100.0);
            let at = outline.half.iter().position(|place| *place == outline.notch).expect("on the line");
            assert_eq!(outline.half[at + 1], outline.tip, "{}: the widest tooth comes next", kind.id);
            assert!(outline.notch[0] < outline.tip[0], "{}", kind.id);
            assert!(outline.notch[1] > outline.tip[1], "{}: the notch lies in front of the tip", kind.id);
        }
    }

    /// Source: Museums Victoria, Port Phillip Bay: the sand crab is about as wide as long.
    #[test]
    fn a_sand_crab_is_little_wider_than_long() {
        let share = |id| {
            let kind = KINDS.iter().find(|kind| kind.id == id).expect("it is in the table");
            let outline = Outline::new(&kind.shape, Dimension::Tips, 100.0);
            let [front, back] = outline.front_and_back();
            (front - back) / 100.0
        };
        assert!(share("sand") > 0.78, "{}", share("sand"));
        assert!(share("blue") < 0.6, "{}", share("blue"));
    }

    #[test]
    fn a_place_on_the_edge_lies_on_the_drawn_line() {
        for kind in KINDS {
            let outline = Outline::new(&kind.shape, Dimension::Tips, 100.0);
            let [front, _] = outline.front_and_back();
            let y = outline.edge_at(29.0);
            assert!(y > 0.0 && y < front, "{}: {y}", kind.id);
            // Just behind the edge is shell, just in front of it is none: an odd number of crossings to the right.
            let is_shell = |y: f64| {
                let whole = outline.whole();
                let pairs = whole.iter().zip(whole.iter().cycle().skip(1));
                let crossed = pairs.filter(|([x1, y1], [x2, y2])| {
                    (*y1 > y) != (*y2 > y) && 29.0 < (x2 - x1) * (y - y1) / (y2 - y1) + x1
                });
                crossed.count() % 2 == 1
            };
            assert!(is_shell(y - 0.1) && !is_shell(y + 0.1), "{}: {y}", kind.id);
        }
    }

    /// As many teeth as the field guides count: corners of the outline that stand out between eye and widest tip.
    #[test]
    fn the_teeth_can_be_counted() {
        for kind in KINDS {
            let outline = Outline::new(&kind.shape, Dimension::Tips, 2.0);
            let tip = outline.half.iter().position(|place| *place == outline.tip).expect("on the line");
            let notches = outline.half[..tip].iter().filter(|place| {
                // A notch lies on the arc itself; teeth stand out of it.
                let scale = outline.notch[0] / raw(&kind.shape).notch[0];
                let [x, y] = place.map(|value| value / scale);
                let (dx, dy) =
                    ((x - kind.shape.eye_at) / (1.0 - kind.shape.eye_at), y / kind.shape.eye_forward);
                dx >= -1e-9 && (dx * dx + dy * dy - 1.0).abs() < 1e-9
            });
            assert_eq!(notches.count(), usize::from(kind.shape.teeth), "{}", kind.id);
        }
    }
}
