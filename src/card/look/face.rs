//! Is it the printed face of a card, whatever is printed on it? A small network looks square-on at one
//! hypothesis, and says which part of what it sees is the face and whether the hypothesis is one.
//!
//! Edges alone tell a card among stripes, planks, notes and blocks only so far. The network does not place
//! an edge: that is done at full size, in linear light. `tests/reference/card/` holds the script that trained
//! it on drawn scenes.

use std::sync::OnceLock;

use nalgebra::Vector2;

use super::window::{CELL_PX, Window};
use crate::camera::homography::{apply, homography_of_four};
use crate::card::ID1_MM;
use crate::net::{Net, probability};
use crate::photo::Photo;
use crate::units::PhotoPoint;

/// Side of the window in px.
const SIDE_PX: usize = 128;
/// Breadth of one px in mm of the hypothesis.
const MM_PER_PX: f64 = 1.0;
/// Least share of the window within the photo.
const LEAST_SEEN: f64 = 0.1;
/// Columns and rows of the answer.
const CELLS: usize = SIDE_PX / CELL_PX;
/// Cells at the rim that the verdict leaves out.
const RIM: usize = 10;

/// The network built into the program. `None` only when its file is damaged.
fn network() -> Option<&'static Net> {
    static NETWORK: OnceLock<Option<Net>> = OnceLock::new();
    NETWORK.get_or_init(|| Net::read(include_bytes!("face.net"))).as_ref()
}

/// Reads the network ahead of the first photo. Its memory then lies before the photo's, and the room of one photo
/// fits the next.
pub fn prepare() {
    network();
}

/// What the network saw of one hypothesis.
#[derive(Debug, Clone)]
pub struct FaceView {
    /// Probability that the hypothesis is the face of an ID-1 card, all round: not a note, a block, a print's
    /// frame or a plank.
    pub is_face: f64,
    /// Probability that a cell shows the face, row by row, in the hypothesis' own plane: the hypothesis lies
    /// in the middle, its first side above.
    face: Vec<f32>,
    hypothesis: [PhotoPoint; 4],
}

impl FaceView {
    /// Looks square-on at the hypothesis with these corners, clockwise, the first side a long one. `None` for
    /// corners that are no quadrangle or lie mostly outside the photo.
    pub fn of(photo: &Photo, hypothesis: &[PhotoPoint; 4]) -> Option<Self> {
        let middle = (SIDE_PX as f64 - 1.0) / 2.0;
        let place = |x: f64, y: f64| Vector2::new(x - middle, middle - y) * MM_PER_PX;
        let window = Window::of(photo, hypothesis, SIDE_PX, [MM_PER_PX; 2], place)?;
        let answer = network()?.run(&window.normalised(LEAST_SEEN)?)?;
        let cell = |plane: usize, i: usize| answer.at(plane, i % CELLS, i / CELLS);
        let face = (0..CELLS * CELLS).map(|i| probability(cell(0, i))).collect();
        let inner =
            |i: usize| (RIM..CELLS - RIM).contains(&(i % CELLS)) && (RIM..CELLS - RIM).contains(&(i / CELLS));
        let (sum, count) = (0..CELLS * CELLS)
            .filter(|&i| inner(i))
            .fold((0.0f32, 0.0f32), |(sum, count), i| (sum + cell(1, i), count + 1.0));
        Some(Self { is_face: f64::from(probability(sum / count)), face, hypothesis: *hypothesis })
    }

    /// The corners of the face that is seen, in the photo, to a millimetre or two; `None` when none is seen.
    pub fn corners(&self) -> Option<[PhotoPoint; 4]> {
        let start = hypothesis_in_cells();
        let homography = homography_of_four(&start, &self.hypothesis)?;
        let fitted = fitted_quad(&self.face, start)?;
        let mut corners = self.hypothesis;
        for (corner, cell) in corners.iter_mut().zip(fitted) {
            *corner = apply(&homography, cell.x, cell.y)?;
        }
        Some(corners)
    }
}

/// The hypothesis' corners in cells, clockwise on the screen, the middle of the first cell at (0, 0).
fn hypothesis_in_cells() -> [Vector2<f64>; 4] {
    let middle = (CELLS as f64 - 1.0) / 2.0;
    let cells_per_mm = 1.0 / (MM_PER_PX * CELL_PX as f64);
    let (x, y) = (ID1_MM[0] / 2.0 * cells_per_mm, ID1_MM[1] / 2.0 * cells_per_mm);
    [(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| Vector2::new(middle + x, middle + y))
}

/// The quadrangle near `start` that best parts likely from unlikely cells: corners and whole sides moved by
/// steps of 2 cells down to an eighth. `None` when what is left has no inside.
fn fitted_quad(face: &[f32], start: [Vector2<f64>; 4]) -> Option<[Vector2<f64>; 4]> {
    let mut quad = start;
    let mut best = parted(face, &quad);
    let mut step = 2.0;
    // A quadrangle that turns inside out can gain by ever smaller steps: the rounds are counted, and no corner
    // leaves the neighbourhood of the window.
    let room = -0.25 * CELLS as f64..1.25 * CELLS as f64;
    for _ in 0..MOST_ROUNDS {
        if step < 0.1 {
            break;
        }
        let mut moved = false;
        for i in 0..16 {
            for way in [-step, step] {
                let mut other = quad;
                let (corner, axis) = (i / 2 % 4, i % 2);
                other[corner][axis] += way;
                if i >= 8 {
                    other[(corner + 1) % 4][axis] += way;
                }
                if !other.iter().all(|p| room.contains(&p[axis])) {
                    continue;
                }
                let value = parted(face, &other);
                if value > best + 1e-9 {
                    (best, quad, moved) = (value, other, true);
                }
            }
        }
        if !moved {
            step *= 0.5;
        }
    }
    (best > LEAST_PARTED).then_some(quad)
}

/// Rounds of moving every corner and side: a good fit needs some ten.
const MOST_ROUNDS: usize = 60;
/// What the cells of a face must be worth together; a face that fills the hypothesis is worth up to 560.
const LEAST_PARTED: f64 = 40.0;

/// Sum over the cells within the quadrangle of how much likelier than not each is, cells on the rim in part.
fn parted(face: &[f32], quad: &[Vector2<f64>; 4]) -> f64 {
    let bound = |axis: usize| {
        let low = quad.iter().map(|p| p[axis]).fold(f64::MAX, f64::min).floor().max(0.0);
        let high = quad.iter().map(|p| p[axis]).fold(f64::MIN, f64::max).ceil();
        low as usize..(high.max(0.0) as usize + 1).min(CELLS)
    };
    let lines: [(Vector2<f64>, Vector2<f64>); 4] = std::array::from_fn(|i| {
        let along = quad[(i + 1) % 4] - quad[i];
        (quad[i], Vector2::new(-along.y, along.x) / along.norm().max(1e-9))
    });
    let mut sum = 0.0;
    for y in bound(1) {
        for x in bound(0) {
            let at = Vector2::new(x as f64, y as f64);
            let depth = lines.iter().map(|(p, inward)| (at - p).dot(inward)).fold(f64::MAX, f64::min);
            let cover = (depth + 0.5).clamp(0.0, 1.0);
            sum += cover * (f64::from(face[y * CELLS + x]) - 0.5);
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quadrangle_is_drawn_to_the_likely_cells() {
        let (left, right, top, bottom) = (14.25, 47.0, 20.0, 41.5);
        let share = |low: f64, high: f64, at: f64| (high - at + 0.5).min(at - low + 0.5).clamp(0.0, 1.0);
        let face: Vec<f32> = (0..CELLS * CELLS)
            .map(|i| (share(left, right, (i % CELLS) as f64) * share(top, bottom, (i / CELLS) as f64)) as f32)
            .collect();
        let quad = fitted_quad(&face, hypothesis_in_cells()).expect("a face");
        let expected = [(left, top), (right, top), (right, bottom), (left, bottom)];
        for (found, (x, y)) in quad.iter().zip(expected) {
            assert!((found - Vector2::new(x, y)).norm() < 0.8, "{quad:?}");
        }
        assert!(fitted_quad(&vec![0.0; CELLS * CELLS], hypothesis_in_cells()).is_none());
    }

    /// Half of the window a face: without a bound two corners run off along its edge, for ever closer to it.
    #[test]
    fn the_search_ends_where_the_face_has_no_end() {
        for degrees in [0.0f64, 60.0, 75.0, 90.0] {
            let (sine, cosine) = degrees.to_radians().sin_cos();
            let middle = (CELLS as f64 - 1.0) / 2.0;
            let beyond = |i: usize| {
                ((i % CELLS) as f64 - middle) * cosine + ((i / CELLS) as f64 - middle) * sine > 0.0
            };
            let face: Vec<f32> = (0..CELLS * CELLS).map(|i| f32::from(u8::from(beyond(i)))).collect();
            let quad = fitted_quad(&face, hypothesis_in_cells()).expect("half of it is a face");
            assert!(quad.iter().all(|p| p.amax() < 1.5 * CELLS as f64), "{degrees}: {quad:?}");
        }
    }

    #[test]
    fn a_hypothesis_outside_the_photo_is_not_looked_at() {
        let size = crate::units::PhotoSize { width: 400, height: 300 };
        let photo =
            Photo::from_ycbcr(vec![128; 400 * 300 * 3], size, Default::default()).expect("sizes agree");
        let far = [(900.0, 900.0), (1000.0, 900.0), (1000.0, 963.0), (900.0, 963.0)];
        assert!(FaceView::of(&photo, &far.map(|(x, y)| PhotoPoint::new(x, y))).is_none());
        let flat = [(100.0, 100.0), (200.0, 100.0), (200.0, 163.0), (100.0, 163.0)];
        let view = FaceView::of(&photo, &flat.map(|(x, y)| PhotoPoint::new(x, y))).expect("within the photo");
        assert!(view.is_face < 0.5, "an even grey is no card: {}", view.is_face);
    }
}
