//! The three networks and what they see: a mask of the shell, the tips and the notches of the last teeth.

use std::sync::OnceLock;

use nalgebra::Vector2;

use super::window::{HeightPlane, Seen, Window, look};
use crate::net::{Maps, Net, probability};
use crate::photo::Photo;
use crate::terms::Dimension;

/// Side of the window in which a shell is looked for, in px; trained with shells 31 to 51 px wide.
pub const BODY_SIDE: usize = 64;
/// Side of the window in which one corner of the margin is looked for, in px.
pub const CORNER_SIDE: usize = 64;
/// Scale of that window.
pub const CORNER_MM_PER_PX: f64 = 0.6;

/// The networks.
#[derive(Debug, Clone)]
pub struct Finder {
    /// Sees whole shells, however they are turned.
    pub body: Net,
    /// Sees whole shells whose long axis lies along the window: surer of the front and the points.
    pub aligned: Net,
    /// Sees one corner of the margin near by.
    pub corner: Net,
}

impl Finder {
    /// The networks built into the program. `None` only when their files are damaged.
    pub fn built_in() -> Option<&'static Self> {
        static FINDER: OnceLock<Option<Finder>> = OnceLock::new();
        FINDER
            .get_or_init(|| {
                let body = Net::read(include_bytes!("body.net"))?;
                let corner = Net::read(include_bytes!("corner.net"))?;
                let aligned = Net::read(include_bytes!("aligned.net"))?;
                Some(Finder { body, aligned, corner })
            })
            .as_ref()
    }
}

/// The plane of the front half in the networks' answers.
const FRONT: usize = 3;

/// What a network saw in a window, as probabilities.
#[derive(Debug, Clone)]
pub struct Sight {
    /// The window.
    pub window: Window,
    /// The shell.
    pub mask: Vec<f32>,
    /// The points of the dimension asked for.
    pub heat: Vec<f32>,
    /// The front half of the shell; empty where the network does not tell.
    pub front: Vec<f32>,
}

/// Looks with `net` through `window`. `None` where the photo shows too little of it.
pub fn see(
    net: &Net,
    photo: &Photo,
    plane: &HeightPlane,
    window: Window,
    card_mm: Option<&[Vector2<f64>; 4]>,
    dimension: Dimension,
) -> Option<Sight> {
    let seen = look(photo, plane, &window, card_mm);
    let maps = net.run(&normalised(&seen, window.side)?)?;
    let channel = match dimension {
        Dimension::Notch => 2,
        Dimension::Tips | Dimension::Widest => 1,
    };
    let side = window.side;
    let plane_of = |channel| -> Vec<f32> {
        (0..side * side).map(|i| probability(maps.at(channel, i % side, i / side))).collect()
    };
    let front = if maps.channels > FRONT { plane_of(FRONT) } else { Vec::new() };
    Some(Sight { window, mask: plane_of(0), heat: plane_of(channel), front })
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
