//! Where along each side of a hypothesis is the edge of the card's face? A small network looks along the side, three
//! millimetres to either hand, and says for each place along it how likely the edge lies in each row.
//!
//! The side wall, a contact shadow, a print's frame and the rim of a block are steps too, a millimetre or two off. Which
//! of them is the face's edge is told by what lies between and all along. `tests/reference/card/` holds the script
//! that trained it.

use std::sync::OnceLock;

use nalgebra::Vector2;

use super::corners::SeenCorners;
use super::window::{CELL_PX, Window};
use crate::camera::homography::{apply, homography_of_four};
use crate::camera::ippe::card_corners_mm;
use crate::card::ID1_MM;
use crate::card::edges::curve::{Curve, OnCurve, weighted_line};
use crate::net::{Maps, Net};
use crate::photo::Photo;
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Side of the window in px.
const SIDE_PX: usize = 64;
/// How far the window reaches to either hand of the side, in mm.
const REACH_MM: f64 = 3.2;
/// Columns (along the side) and rows (from outside to inside) of the answer.
const CELLS: usize = SIDE_PX / CELL_PX;
/// Height of a row in mm.
const MM_PER_ROW: f64 = 2.0 * REACH_MM / CELLS as f64;
/// Least share of a window within the photo.
const LEAST_SEEN: f64 = 0.7;
/// Most rows by which the edge may leave the side from one end to the other.
const MOST_TURN: usize = 12;
/// Share of an answer that lies near the edge, on the mean of all columns, from which the side is told.
const LEAST_NEAR: f64 = 0.55;
/// What is near the edge: breadth of the bell in rows.
const NEAR_ROWS: f64 = 1.5;
/// How well a corner is seen where two sides that are told meet, in mm, and least in px.
const SEEN_U_MM: f64 = 0.12;
const LEAST_U_PX: f64 = 0.4;

/// The network built into the program. `None` only when its file is damaged.
fn network() -> Option<&'static Net> {
    static NETWORK: OnceLock<Option<Net>> = OnceLock::new();
    NETWORK.get_or_init(|| Net::read(include_bytes!("sides.net"))).as_ref()
}

/// Reads the network ahead of the first photo, as [`super::face::prepare`] does.
pub fn prepare() {
    network();
}

/// The corners at which the edges of the face meet that are seen along the sides of a hypothesis (clockwise, the first
/// side a long one). `None` for corners that are no quadrangle.
pub fn corners_of_sides(photo: &Photo, hypothesis: &[PhotoPoint; 4]) -> Option<SeenCorners> {
    let homography = homography_of_four(&card_corners_mm(ID1_MM), hypothesis)?;
    let edges: [_; 4] = std::array::from_fn(|i| seen_edge(photo, hypothesis, i));
    let mut corners = [None; 4];
    for (i, corner) in corners.iter_mut().enumerate() {
        let (Some(before), Some(after)) = (edges[(i + 3) % 4], edges[i]) else { continue };
        let at = crossing(before, after)?;
        *corner = Some(apply(&homography, at.x, at.y)?);
    }
    let px_per_mm = hypothesis[0].distance_px(hypothesis[1]) / ID1_MM[0];
    Some(SeenCorners { corners, u_px: (SEEN_U_MM * px_per_mm).max(LEAST_U_PX) })
}

/// A side's start, the way to its end and the way to the inside, in mm of the card's frame, and its length.
fn frame(side: usize) -> (Vector2<f64>, Vector2<f64>, Vector2<f64>, f64) {
    let corners = card_corners_mm(ID1_MM);
    let (start, along) = (corners[side], corners[(side + 1) % 4] - corners[side]);
    let length = along.norm();
    let along = along / length;
    // The corners go round clockwise, y up: the inside lies to the right.
    (start, along, Vector2::new(along.y, -along.x), length)
}

/// The edge along one side of the hypothesis: its two ends in the card's frame, in mm; `None` where none is told.
fn seen_edge(photo: &Photo, hypothesis: &[PhotoPoint; 4], side: usize) -> Option<[Vector2<f64>; 2]> {
    let (start, along, inward, length) = frame(side);
    let mm_per_px = [length / SIDE_PX as f64, 2.0 * REACH_MM / SIDE_PX as f64];
    let place = |x: f64, y: f64| {
        start + along * ((x + 0.5) * mm_per_px[0]) + inward * ((y + 0.5) * mm_per_px[1] - REACH_MM)
    };
    let window = Window::of(photo, hypothesis, SIDE_PX, mm_per_px, place)?;
    let answer = network()?.run(&window.normalised(LEAST_SEEN)?)?;
    let edge = edge_in(&likely_rows(&answer))?;
    Some([start + inward * edge.start, start + along * length + inward * edge.end])
}

/// For each column how likely the edge crosses it in each row.
fn likely_rows(answer: &Maps) -> Vec<[f64; CELLS]> {
    let column = |x: usize| {
        let rows: [f32; CELLS] = std::array::from_fn(|y| answer.at(0, x, y));
        let most = rows.iter().copied().fold(f32::MIN, f32::max);
        let likely = rows.map(|row| f64::from((row - most).max(-30.0).portable_exp()));
        let sum: f64 = likely.iter().sum();
        likely.map(|value| value / sum)
    };
    (0..CELLS).map(column).collect()
}

/// The line that the columns agree on, in mm inside the side at its ends; `None` where they do not.
fn edge_in(columns: &[[f64; CELLS]]) -> Option<Curve> {
    let logs: Vec<[f64; CELLS]> =
        columns.iter().map(|rows| rows.map(|likely| (likely + 1e-3).portable_ln())).collect();
    let last = (CELLS - 1) as f64;
    let mut best = (f64::MIN, 0.0, 0.0);
    for begin in 0..CELLS {
        for end in begin.saturating_sub(MOST_TURN)..(begin + MOST_TURN + 1).min(CELLS) {
            let (from, to) = (begin as f64, end as f64);
            let row = |x: usize| (from + (to - from) * x as f64 / last).round() as usize;
            let value: f64 = logs.iter().enumerate().map(|(x, rows)| rows[row(x).min(CELLS - 1)]).sum();
            if value > best.0 {
                best = (value, from, to);
            }
        }
    }
    // In rows, from the middle of the first column to that of the last.
    let share = |x: usize| x as f64 / last;
    let mut curve = Curve { start: best.1, end: best.2, sag: 0.0 };
    let mut near: Vec<OnCurve> = Vec::new();
    for _ in 0..6 {
        near.clear();
        for (x, rows) in columns.iter().enumerate() {
            let at = curve.at(share(x));
            let bell = |y: usize| (-0.5 * ((y as f64 - at) / NEAR_ROWS).powi(2)).portable_exp();
            let (mut mass, mut sum) = (0.0, 0.0);
            for (y, likely) in rows.iter().enumerate() {
                let value = likely * bell(y);
                mass += value;
                sum += value * y as f64;
            }
            if mass > 1e-6 {
                near.push((share(x), sum / mass, mass));
            }
        }
        curve = weighted_line(&near)?;
    }
    let told = near.iter().map(|(.., mass)| mass).sum::<f64>() / CELLS as f64;
    if told < LEAST_NEAR {
        return None;
    }
    // To mm, and to the side's ends, half a column farther.
    let mm = |row: f64| (row + 0.5) * MM_PER_ROW - REACH_MM;
    let half = 0.5 * (curve.end - curve.start) / last;
    Some(Curve { start: mm(curve.start - half), end: mm(curve.end + half), sag: 0.0 })
}

/// Where two lines cross.
fn crossing([p, q]: [Vector2<f64>; 2], [r, s]: [Vector2<f64>; 2]) -> Option<Vector2<f64>> {
    let (d, e) = (q - p, s - r);
    let sine = d.perp(&e);
    if sine.abs() < 1e-3 * d.norm() * e.norm() {
        return None;
    }
    Some(p + d * ((r - p).perp(&e) / sine))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::PhotoSize;

    /// A ridge of the columns' answers from row `from` to row `to`, worth `share` of each column.
    fn ridge(columns: &mut [[f64; CELLS]], from: f64, to: f64, share: f64) {
        for (x, rows) in columns.iter_mut().enumerate() {
            let at = from + (to - from) * x as f64 / (CELLS - 1) as f64;
            let bell: Vec<f64> =
                (0..CELLS).map(|y| (-0.5 * ((y as f64 - at) / 0.9).powi(2)).portable_exp()).collect();
            let sum: f64 = bell.iter().sum();
            rows.iter_mut().zip(bell).for_each(|(row, value)| *row += share * value / sum);
        }
    }

    #[test]
    fn the_line_follows_the_likelier_ridge_to_a_part_of_a_row() {
        let mut columns = vec![[0.0; CELLS]; CELLS];
        ridge(&mut columns, 10.3, 13.6, 0.7);
        ridge(&mut columns, 20.0, 21.0, 0.3);
        let edge = edge_in(&columns).expect("a line");
        // Half a column beyond the first and the last.
        let half = 0.5 * 3.3 / (CELLS - 1) as f64;
        let mm = |row: f64| (row + 0.5) * MM_PER_ROW - REACH_MM;
        assert!((edge.start - mm(10.3 - half)).abs() < 0.02, "{edge:?}");
        assert!((edge.end - mm(13.6 + half)).abs() < 0.02, "{edge:?}");
    }

    #[test]
    fn columns_that_say_nothing_have_no_line() {
        assert!(edge_in(&vec![[1.0 / CELLS as f64; CELLS]; CELLS]).is_none());
    }

    /// A pale card on a dark ground that is looked for up to a millimetre off.
    #[test]
    fn the_sides_of_a_plain_card_meet_at_its_corners() {
        let size = PhotoSize { width: 1200, height: 800 };
        let card = [(160.0, 120.0), (1016.0, 120.0), (1016.0, 659.8), (160.0, 659.8)];
        let card = card.map(|(x, y)| PhotoPoint::new(x, y));
        let covers = |x: f64, y: f64| {
            let (dx, dy) = ((x - 160.0).min(1016.0 - x), (y - 120.0).min(659.8 - y));
            let depth = if dx < 31.8 && dy < 31.8 { 31.8 - (31.8 - dx).hypot(31.8 - dy) } else { dx.min(dy) };
            (depth / 2.0 + 0.5).clamp(0.0, 1.0)
        };
        let mut pixels = Vec::new();
        for y in 0..size.height {
            for x in 0..size.width {
                let grain = f64::from((x * 7 + y * 13) % 9);
                let luma = 60.0 + grain + 120.0 * covers(f64::from(x), f64::from(y));
                pixels.extend([luma as u8, 128, 128]);
            }
        }
        let photo = Photo::from_ycbcr(pixels, size, Default::default()).expect("sizes agree");
        let shifts = [(4.0, -7.0), (-8.0, 3.0), (6.0, 6.0), (-3.0, 9.0)];
        let hypothesis =
            std::array::from_fn(|i| PhotoPoint::new(card[i].x + shifts[i].0, card[i].y + shifts[i].1));
        let seen = corners_of_sides(&photo, &hypothesis).expect("a quadrangle");
        for (i, corner) in card.iter().enumerate() {
            let found = seen.corners[i].expect("both sides are told");
            assert!(found.distance_px(*corner) < 2.5, "corner {i}: {found:?}, at 10 px a millimetre");
        }
        assert!(seen.misfit(&card) < seen.misfit(&hypothesis));
    }
}
