//! The three networks, and what one of them sees through a window.

use std::sync::OnceLock;

use nalgebra::Vector2;

use super::window::{HeightPlane, Seen, Window, look};
use crate::net::{Maps, Net, probability};
use crate::photo::Photo;

/// The networks; `tests/reference/shell/train.py` says what each is trained on.
#[derive(Debug, Clone)]
pub struct Eyes {
    /// Sees where shells are, however they are turned.
    pub whole: Net,
    /// Sees one shell whose long axis lies along the window.
    pub aligned: Net,
    /// Sees one end of the long axis near by, outward to the right, the front up.
    pub corner: Net,
}

/// Planes of the answer of [`Eyes::whole`].
pub mod whole {
    /// The shell, seen from above.
    pub const ABOVE: usize = 0;
    /// The shell of a crab on its back.
    pub const BELOW: usize = 1;
    /// Cosine and sine of twice the angle of the long axis.
    pub const AXIS: [usize; 2] = [2, 3];
    /// Side of the window.
    pub const SIDE: usize = 128;
}

/// Planes of the answer of [`Eyes::aligned`].
pub mod aligned {
    /// The shell, seen from above.
    pub const ABOVE: usize = 0;
    /// The shell of a crab on its back.
    pub const BELOW: usize = 1;
    /// Tips of the last teeth.
    pub const TIPS: usize = 2;
    /// Notches before the last teeth.
    pub const NOTCHES: usize = 3;
    /// The front half of the shell.
    pub const FRONT: usize = 4;
    /// Side of the window.
    pub const SIDE: usize = 64;
}

/// Planes of the answer of [`Eyes::corner`].
pub mod corner {
    /// Tip of the last tooth.
    pub const TIP: usize = 0;
    /// Notch before the last tooth.
    pub const NOTCH: usize = 1;
    /// The shell.
    pub const SHELL: usize = 2;
    /// Side of the window.
    pub const SIDE: usize = 64;
    /// Scale of the window.
    pub const MM_PER_PX: f64 = 0.5;
}

impl Eyes {
    /// The networks built into the program. `None` only when their files are damaged.
    pub fn built_in() -> Option<&'static Self> {
        static EYES: OnceLock<Option<Eyes>> = OnceLock::new();
        EYES.get_or_init(|| {
            Some(Eyes {
                whole: Net::read(include_bytes!("whole.net"))?,
                aligned: Net::read(include_bytes!("aligned.net"))?,
                corner: Net::read(include_bytes!("corner.net"))?,
            })
        })
        .as_ref()
    }
}

/// What a network saw in a window.
#[derive(Debug, Clone)]
pub struct Sight {
    /// The window.
    pub window: Window,
    maps: Maps,
}

impl Sight {
    /// A plane of the answer as probabilities, row by row.
    pub fn chances(&self, plane: usize) -> Vec<f32> {
        let side = self.window.side;
        (0..side * side).map(|i| probability(self.maps.at(plane, i % side, i / side))).collect()
    }

    /// One value of the answer, before it is made a probability.
    pub fn value(&self, plane: usize, x: usize, y: usize) -> f32 {
        self.maps.at(plane, x, y)
    }

    /// A direction of the window in the plane.
    pub fn direction_mm(&self, direction: Vector2<f64>) -> Vector2<f64> {
        self.window.plane_of(direction) - self.window.plane_of(Vector2::zeros())
    }
}

/// Looks with `net` through `window`; `card_mm` is the card's outline, never part of the shell. `None` where the
/// photo shows too little of the window.
pub fn see(
    net: &Net,
    photo: &Photo,
    plane: &HeightPlane,
    window: Window,
    card_mm: Option<&[Vector2<f64>; 4]>,
) -> Option<Sight> {
    let seen = look(photo, plane, &window, card_mm);
    let maps = net.run(&normalised(&seen, window.side)?)?;
    Some(Sight { window, maps })
}

/// R, G, B less their means, over their common spread, and the validity: what the networks were trained on.
fn normalised(seen: &Seen, side: usize) -> Option<Maps> {
    let visible = || seen.rgb.iter().zip(&seen.valid).filter(|(_, valid)| **valid > 0.5).map(|(rgb, _)| rgb);
    let count = visible().count();
    if count * 20 < side * side {
        return None;
    }
    let mut means = [0.0f64; 3];
    for rgb in visible() {
        for (mean, &value) in means.iter_mut().zip(rgb) {
            *mean += f64::from(value) / count as f64;
        }
    }
    let square: f64 =
        visible().map(|rgb| (0..3).map(|i| (f64::from(rgb[i]) - means[i]).powi(2)).sum::<f64>()).sum();
    let spread = (square / (3 * count) as f64).sqrt() + 3.0 / 255.0;
    let mut maps = Maps::zeros(side, 4);
    for (i, (rgb, &valid)) in seen.rgb.iter().zip(&seen.valid).enumerate() {
        let (x, y) = (i % side, i / side);
        if valid > 0.5 {
            for channel in 0..3 {
                maps.set(channel, x, y, ((f64::from(rgb[channel]) - means[channel]) / spread) as f32);
            }
            maps.set(3, x, y, 1.0);
        }
    }
    Some(maps)
}
