//! Card, deck, and the shadow that the crab throws on it.

use nalgebra::Vector3;

use super::view::{CARD_THICK_MM, View};
use crate::card::ID1_MM;
use crate::portable::Portable;
use crate::practice::crab::Crab;
use crate::practice::random::Random;

/// Corner radius of an ID-1 card in mm (ISO/IEC 7810: 2.88 to 3.48).
const RADIUS_MM: f64 = 3.18;
/// The shadow is known for squares of so many mm.
const CELL_MM: f64 = 2.0;
/// Cells along each side, round the middle of the crab.
const CELLS: usize = 240;
/// What a shadow takes away, at most.
const DARK: f64 = 0.55;

/// All that lies flat.
#[derive(Debug, Clone)]
pub struct Ground {
    shadow: Vec<f32>,
    corner: [f64; 2],
    grain: u64,
    card: [f64; 3],
}

impl Ground {
    /// The ground under a crab.
    pub fn under(crab: &Crab, view: &View) -> Self {
        let corner = view.crab_at.map(|at| at - CELL_MM * CELLS as f64 / 2.0);
        let outline: Vec<Vector3<f64>> =
            crab.outline.whole().iter().map(|place| view.in_card(*place, view.edge_mm)).collect();
        let mut shadow = vec![0.0_f32; CELLS * CELLS];
        // A light that is not a point: the shadow's rim is soft.
        let lights = [(0.0, 0.0), (0.12, 0.0), (-0.12, 0.0), (0.0, 0.12), (0.0, -0.12)];
        for (dx, dy) in lights {
            let light = view.light + Vector3::new(dx, dy, 0.0);
            let fall = light / light.z;
            let cast: Vec<[f64; 2]> = outline
                .iter()
                .map(|place| {
                    let height = place.z + CARD_THICK_MM;
                    [place.x - fall.x * height, place.y - fall.y * height]
                })
                .collect();
            for (at, cell) in shadow.iter_mut().enumerate() {
                let x = corner[0] + CELL_MM * ((at % CELLS) as f64 + 0.5);
                let y = corner[1] + CELL_MM * ((at / CELLS) as f64 + 0.5);
                if contains(&cast, [x, y]) {
                    *cell += 1.0 / lights.len() as f32;
                }
            }
        }
        let mut random = Random::new(view.grain);
        let tint = random.between(-8.0, 8.0);
        Self { shadow, corner, grain: view.grain, card: [222.0 + tint, 224.0, 226.0 - tint] }
    }

    /// True where the card's face may be seen before this place of the deck.
    pub fn is_near_card(x: f64, y: f64) -> bool {
        x.portable_hypot(y) < ID1_MM[0].portable_hypot(ID1_MM[1]) / 2.0 + 4.0
    }

    /// The card's face at (`x`, `y`) mm; none beside it.
    pub fn card(&self, x: f64, y: f64) -> Option<[f64; 3]> {
        let [half_x, half_y] = ID1_MM.map(|side| side / 2.0);
        let (dx, dy) = (x.abs() - (half_x - RADIUS_MM), y.abs() - (half_y - RADIUS_MM));
        let is_on = dx <= RADIUS_MM
            && dy <= RADIUS_MM
            && (dx <= 0.0 || dy <= 0.0 || dx * dx + dy * dy <= RADIUS_MM * RADIUS_MM);
        if !is_on {
            return None;
        }
        // A print of our own: a band, a square of metal, lines of text.
        let within = |from: [f64; 2], to: [f64; 2]| from[0] <= x && x <= to[0] && from[1] <= y && y <= to[1];
        if within([-half_x, 12.0], [half_x, 19.0]) {
            return Some([40.0, 74.0, 118.0]);
        }
        if within([-34.0, -4.0], [-22.0, 5.0]) {
            return Some([196.0, 168.0, 96.0]);
        }
        let letter = ((x + 100.0) / 2.1).floor() as i64;
        let is_text = letter % 7 != 0 && (letter * 37 % 11) > 2;
        if is_text && (within([-34.0, -13.0], [22.0, -10.0]) || within([-34.0, -20.0], [4.0, -17.5])) {
            return Some([52.0, 54.0, 60.0]);
        }
        Some(self.card)
    }

    /// The deck at (`x`, `y`) mm: grey planks with a grain, darker in the shadow.
    pub fn deck(&self, x: f64, y: f64) -> [f64; 3] {
        let grain = 14.0 * (self.noise(x / 3.0, y / 22.0) - 0.5) + 8.0 * (self.noise(x / 1.3, y / 1.3) - 0.5);
        let broad = 16.0 * (self.noise(x / 60.0, y / 80.0) - 0.5);
        let lit = 1.0 - DARK * self.shade(x, y);
        [84.0, 88.0, 86.0].map(|value: f64| (value + grain + broad) * lit)
    }

    fn shade(&self, x: f64, y: f64) -> f64 {
        let (u, v) = ((x - self.corner[0]) / CELL_MM - 0.5, (y - self.corner[1]) / CELL_MM - 0.5);
        let most = CELLS as f64 - 1.001;
        if u < 0.0 || v < 0.0 || u > most || v > most {
            return 0.0;
        }
        let (i, j) = (u as usize, v as usize);
        let (a, b) = (u - i as f64, v - j as f64);
        let at = |i: usize, j: usize| f64::from(self.shadow[j * CELLS + i]);
        (at(i, j) * (1.0 - a) + at(i + 1, j) * a) * (1.0 - b)
            + (at(i, j + 1) * (1.0 - a) + at(i + 1, j + 1) * a) * b
    }

    /// Smooth noise, 0 to 1.
    fn noise(&self, x: f64, y: f64) -> f64 {
        let (i, j) = (x.floor(), y.floor());
        let ease = |t: f64| t * t * (3.0 - 2.0 * t);
        let (a, b) = (ease(x - i), ease(y - j));
        let at = |di: i64, dj: i64| {
            let (i, j) = ((i as i64 + di) as u64, (j as i64 + dj) as u64);
            hash(self.grain ^ i.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ j.wrapping_mul(0xc2b2_ae3d_27d4_eb4f))
        };
        (at(0, 0) * (1.0 - a) + at(1, 0) * a) * (1.0 - b) + (at(0, 1) * (1.0 - a) + at(1, 1) * a) * b
    }
}

/// A number from 0 to 1 out of bits.
pub fn hash(bits: u64) -> f64 {
    let bits = (bits ^ (bits >> 31)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    (((bits ^ (bits >> 29)) >> 11) & 0xf_ffff) as f64 / f64::from(0x000f_ffff_u32)
}

/// True where a point lies in a closed line (the crossings of a ray are odd).
fn contains(line: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut is_in = false;
    for (at, from) in line.iter().enumerate() {
        let to = line[(at + 1) % line.len()];
        if (from[1] > y) != (to[1] > y) && x < from[0] + (y - from[1]) / (to[1] - from[1]) * (to[0] - from[0])
        {
            is_in = !is_in;
        }
    }
    is_in
}
