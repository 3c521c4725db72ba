//! Are these the rounded corners of a card's face? A small network looks square-on at each corner of a hypothesis,
//! five times as closely as at the whole face, and says where in its window the face lies and whether the corner is
//! one of a card, here.
//!
//! A print, a deck or a block may imitate an edge. Four corners of one radius, each just where the other three
//! put it, are the card's own. `tests/reference/card/` holds the script that trained it.

use std::sync::OnceLock;

use nalgebra::Vector2;

use super::window::{CELL_PX, Window};
use crate::camera::homography::{apply, homography_of_four};
use crate::camera::ippe::card_corners_mm;
use crate::card::ID1_MM;
use crate::net::{Net, probability};
use crate::photo::Photo;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Side of the window in px.
const SIDE_PX: usize = 64;
/// Breadth of one px in mm of the hypothesis.
const MM_PER_PX: f64 = 20.0 / 64.0;
/// How far the window reaches beyond the corner, in mm along each of its sides.
const BEYOND_MM: f64 = 8.0;
/// Columns and rows of the answer.
const CELLS: usize = SIDE_PX / CELL_PX;
/// Breadth of one cell in mm.
const MM_PER_CELL: f64 = MM_PER_PX * CELL_PX as f64;
/// Cells at the rim that the verdict leaves out.
const RIM: usize = 4;
/// Least share of a window within the photo.
const LEAST_SEEN: f64 = 0.5;
/// Radius of an ID-1 card's corner in mm. Source: ISO/IEC 7810 (2.88 to 3.48).
const RADIUS_MM: f64 = 3.18;

/// The network built into the program. `None` only when its file is damaged.
fn network() -> Option<&'static Net> {
    static NETWORK: OnceLock<Option<Net>> = OnceLock::new();
    NETWORK.get_or_init(|| Net::read(include_bytes!("corners.net"))).as_ref()
}

/// Reads the network ahead of the first photo, as [`super::face::prepare`] does.
pub fn prepare() {
    network();
}

/// How well the network sees a corner, in mm.
const SEEN_U_MM: f64 = 0.25;
/// A corner that is farther off than this many uncertainties is another one: how far does not count.
const MOST_OFF_U: f64 = 3.0;

/// Where the corners of a card's face are seen, those that are.
#[derive(Debug, Clone, Copy)]
pub struct SeenCorners {
    pub(super) corners: [Option<PhotoPoint>; 4],
    pub(super) u_px: f64,
}

impl SeenCorners {
    /// These corners, and `others` where none is seen.
    pub fn or(&self, others: &[PhotoPoint; 4]) -> [PhotoPoint; 4] {
        std::array::from_fn(|i| self.corners[i].unwrap_or(others[i]))
    }

    /// Where side `i` of a card is seen from one of its ends to the other, with the ends' uncertainty in px.
    pub fn side(&self, i: usize) -> Option<([PhotoPoint; 2], f64)> {
        Some(([self.corners[i]?, self.corners[(i + 1) % 4]?], self.u_px))
    }

    /// How badly a card with these corners agrees, in chi-square: 0 where none is seen.
    pub fn misfit(&self, corners: &[PhotoPoint; 4]) -> f64 {
        let off = |seen: &PhotoPoint| {
            let nearest = corners.iter().map(|corner| corner.distance_px(*seen)).fold(f64::MAX, f64::min);
            (nearest / self.u_px).min(MOST_OFF_U).powi(2)
        };
        self.corners.iter().flatten().map(off).sum()
    }
}

/// What the corners of one hypothesis show.
#[derive(Debug, Clone)]
pub struct CornerViews {
    /// Logarithm of the odds that a corner is a card's, just here; `None` outside the photo.
    pub odds: [Option<f64>; 4],
    /// How far along the side that leaves it and the one that comes to it the face's corner lies, in mm; `None`
    /// where no corner of a face is seen.
    shifts_mm: [Option<Vector2<f64>>; 4],
    hypothesis: [PhotoPoint; 4],
}

impl CornerViews {
    /// Looks at the corners of a hypothesis, clockwise, the first side a long one. `None` for corners that are no
    /// quadrangle.
    pub fn of(photo: &Photo, hypothesis: &[PhotoPoint; 4]) -> Option<Self> {
        let mut views = Self { odds: [None; 4], shifts_mm: [None; 4], hypothesis: *hypothesis };
        for i in 0..4 {
            let (corner, [leaving, coming]) = frame(i);
            let mm = |px: f64| (px + 0.5) * MM_PER_PX - BEYOND_MM;
            let place = |x: f64, y: f64| corner + leaving * mm(x) + coming * mm(y);
            let window = Window::of(photo, hypothesis, SIDE_PX, [MM_PER_PX; 2], place)?;
            let Some(answer) = window.normalised(LEAST_SEEN).and_then(|maps| network()?.run(&maps)) else {
                continue;
            };
            let inner = RIM..CELLS - RIM;
            let cells = inner.clone().flat_map(|y| inner.clone().map(move |x| (x, y)));
            let sum: f32 = cells.map(|(x, y)| answer.at(1, x, y)).sum();
            views.odds[i] = Some(f64::from(sum / (inner.len() * inner.len()) as f32));
            let face: Vec<f32> =
                (0..CELLS * CELLS).map(|k| probability(answer.at(0, k % CELLS, k / CELLS))).collect();
            views.shifts_mm[i] = shift_mm(&face);
        }
        Some(views)
    }

    /// The corners of the face that are seen, in the photo.
    pub fn seen(&self) -> Option<SeenCorners> {
        let homography = homography_of_four(&card_corners_mm(ID1_MM), &self.hypothesis)?;
        let mut corners = [None; 4];
        for (i, (seen, shift)) in corners.iter_mut().zip(self.shifts_mm).enumerate() {
            let Some(shift) = shift else { continue };
            let (corner, [leaving, coming]) = frame(i);
            let at = corner + leaving * shift.x + coming * shift.y;
            *seen = Some(apply(&homography, at.x, at.y)?);
        }
        let px_per_mm = self.hypothesis[0].distance_px(self.hypothesis[1]) / ID1_MM[0];
        Some(SeenCorners { corners, u_px: SEEN_U_MM * px_per_mm })
    }

    /// How far the farthest corner that is seen lies from where it was looked for, in mm.
    pub fn off_mm(&self) -> f64 {
        self.shifts_mm.iter().flatten().map(|shift| shift.norm()).fold(0.0, f64::max)
    }
}

/// A corner of the card in mm, with the directions to the next corner and to the one before.
fn frame(i: usize) -> (Vector2<f64>, [Vector2<f64>; 2]) {
    let corners = card_corners_mm(ID1_MM);
    let to = |j: usize| (corners[j % 4] - corners[i]).normalize();
    (corners[i], [to(i + 1), to(i + 3)])
}

/// What the likely cells within a corner and the unlikely ones outside must each be worth; a corner that is plain to
/// see is worth some 180 and 330.
const LEAST_PARTED: f64 = 40.0;
/// Farthest shift that is looked for in mm.
const MOST_SHIFT_MM: f64 = 7.0;

/// The place of the rounded corner that best parts likely from unlikely cells, in mm from where it was looked for.
fn shift_mm(face: &[f32]) -> Option<Vector2<f64>> {
    let near = |shift: Vector2<f64>| shift.amax() < MOST_SHIFT_MM;
    let worth = |shift| if near(shift) { parted(face, shift).iter().sum() } else { f64::MIN };
    let shift = climbed(Vector2::zeros(), 2.0, 0.05, worth);
    parted(face, shift).iter().all(|&part| part > LEAST_PARTED).then(|| between_cells(face, shift))
}

/// The place to a part of a cell: what a cell is likely to be stands for the share of it that is covered. On the
/// corners of 18 renderings that took no part in the training, it is right to 0.14 mm each way (two thirds of them)
/// and to 0.24 mm (nine tenths).
fn between_cells(face: &[f32], shift: Vector2<f64>) -> Vector2<f64> {
    climbed(shift, 0.4, 0.02, |shift| {
        let cells = face.iter().enumerate();
        -cells.map(|(k, &likely)| (cover(k, shift) - f64::from(likely)).powi(2)).sum::<f64>()
    })
}

/// From `start` to where `worth` is highest near by, by steps of `step` mm halved down to `least`.
fn climbed(
    start: Vector2<f64>,
    mut step: f64,
    least: f64,
    worth: impl Fn(Vector2<f64>) -> f64,
) -> Vector2<f64> {
    let mut best = (worth(start), start);
    while step > least {
        let ways = [(step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)];
        let others = ways.map(|(x, y)| best.1 + Vector2::new(x, y)).map(|other| (worth(other), other));
        match others.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)) {
            Some(other) if other.0 > best.0 + 1e-9 => best = other,
            _ => step *= 0.5,
        }
    }
    best.1
}

/// Share of a cell that a rounded corner covers which lies `shift` mm from the window's.
fn cover(cell: usize, shift: Vector2<f64>) -> f64 {
    let mm = |cell: usize| (cell as f64 + 0.5) * MM_PER_CELL - BEYOND_MM;
    let (x, y) = (mm(cell % CELLS) - shift.x, mm(cell / CELLS) - shift.y);
    let depth = if x < RADIUS_MM && y < RADIUS_MM {
        RADIUS_MM - (RADIUS_MM - x).portable_hypot(RADIUS_MM - y)
    } else {
        x.min(y)
    };
    (depth / MM_PER_CELL + 0.5).clamp(0.0, 1.0)
}

/// Sums of how much likelier than not the cells within a rounded corner are, and how much less likely those outside.
fn parted(face: &[f32], shift: Vector2<f64>) -> [f64; 2] {
    let [mut within, mut outside] = [0.0; 2];
    for (k, &likely) in face.iter().enumerate() {
        let cover = cover(k, shift);
        within += cover * (f64::from(likely) - 0.5);
        outside += (1.0 - cover) * (0.5 - f64::from(likely));
    }
    [within, outside]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_corner_is_seen_where_it_is() {
        for (x, y) in [(0.0, 0.0), (1.7, -0.6), (-3.1, 2.2)] {
            let truth = Vector2::new(x, y);
            // Covered or not at 8 x 8 places of each cell.
            let inside = |x: f64, y: f64| {
                let (x, y) = (x - truth.x, y - truth.y);
                let rounded = x < RADIUS_MM && y < RADIUS_MM;
                let near = (x - RADIUS_MM).powi(2) + (y - RADIUS_MM).powi(2) < RADIUS_MM.powi(2);
                if rounded { near } else { x > 0.0 && y > 0.0 }
            };
            let face: Vec<f32> = (0..CELLS * CELLS)
                .map(|k| {
                    let mm = |cell: usize, i: usize| {
                        (cell as f64 + (i as f64 + 0.5) / 8.0) * MM_PER_CELL - BEYOND_MM
                    };
                    let places = (0..64).filter(|i| inside(mm(k % CELLS, i % 8), mm(k / CELLS, i / 8)));
                    places.count() as f32 / 64.0
                })
                .collect();
            let found = shift_mm(&face).expect("a corner");
            assert!((found - truth).norm() < 0.1, "{found:?} against {truth:?}");
        }
        assert!(shift_mm(&vec![0.0; CELLS * CELLS]).is_none());
        assert!(shift_mm(&vec![1.0; CELLS * CELLS]).is_none());
    }

    #[test]
    fn a_card_agrees_with_the_corners_that_are_seen_whichever_is_the_first() {
        let card = [(0.0, 0.0), (86.0, 0.0), (86.0, 54.0), (0.0, 54.0)].map(|(x, y)| PhotoPoint::new(x, y));
        let seen = SeenCorners { corners: [Some(card[0]), None, Some(card[2]), None], u_px: 0.5 };
        assert_eq!(seen.misfit(&card), 0.0);
        assert_eq!(seen.misfit(&[card[2], card[3], card[0], card[1]]), 0.0);
        let mut off = card;
        off[0].x += 1.0;
        assert!((seen.misfit(&off) - 4.0).abs() < 1e-9, "two uncertainties");
        off[0].x += 100.0;
        assert!((seen.misfit(&off) - MOST_OFF_U.powi(2)).abs() < 1e-9, "how far does not count");
        assert_eq!(seen.or(&off), [card[0], off[1], card[2], off[3]]);
    }
}
