//! A close look at one end of a shell's axis: tip, notch, and where the shell ends.

use nalgebra::Vector2;

use super::body::peaks;
use super::sight::{Eyes, Sight, corner, see};
use super::window::{HeightPlane, Window};
use crate::photo::Photo;
use crate::portable::Portable;
use crate::terms::Dimension;

/// Half the side of the square over which a point's place is averaged, px: as in training.
const HALF_SQUARE: usize = 4;
/// Farther from the middle of the window than this, in px, a point is too near its border to be placed.
const MOST_OFF_PX: f64 = 26.0;
/// How far inside the true point the network places it, along the outward direction, mm: fitted on held-out
/// renderings (tips, notches).
const SHORT_MM: (f64, f64) = (0.06, 0.15);

/// A point of the margin.
#[derive(Debug, Clone, Copy)]
pub struct Corner {
    /// Where, in the plane.
    pub at_mm: Vector2<f64>,
    /// Height of its peak, 0 to 1.
    pub chance: f64,
    /// Belief in the next best place within reach over that in this one.
    pub rival: f64,
}

/// How far from a place a corner is looked for.
#[derive(Debug, Clone, Copy)]
pub struct Reach {
    /// Not farther than this.
    pub far_mm: f64,
    /// Standard deviation of the place looked from.
    pub spread_mm: f64,
}

/// One end of the axis, seen near by.
#[derive(Debug, Clone)]
pub struct Near {
    sight: Sight,
    outward: Vector2<f64>,
}

impl Near {
    /// Looks at `at_mm`; `outward` points along the axis away from the shell, `front` across it.
    pub fn look(
        eyes: &Eyes,
        photo: &Photo,
        plane: &HeightPlane,
        at_mm: Vector2<f64>,
        outward: Vector2<f64>,
        front: Vector2<f64>,
    ) -> Option<Self> {
        // The window's rows run to the back.
        let mirrored = Vector2::new(outward.y, -outward.x).dot(&front) > 0.0;
        let straight = Window::straight(at_mm, corner::MM_PER_PX, corner::SIDE);
        let window = Window { axis: outward, mirrored, ..straight };
        Some(Self { sight: see(&eyes.corner, photo, plane, window, None)?, outward })
    }

    /// The point of a dimension within reach of `from_mm`.
    pub fn find(&self, dimension: Dimension, from_mm: Vector2<f64>, reach: Reach) -> Option<Corner> {
        let (plane, short_mm) = match dimension {
            Dimension::Notch => (corner::NOTCH, SHORT_MM.1),
            Dimension::Tips => (corner::TIP, SHORT_MM.0),
            Dimension::Widest => return self.end(from_mm, reach),
        };
        let heat = self.sight.chances(plane);
        let middle = Vector2::repeat((corner::SIDE as f64 - 1.0) / 2.0);
        let mut best: Option<(f64, Corner)> = None;
        let mut second = 0.0f64;
        for peak in peaks(&heat, corner::SIDE, 0.005, 16) {
            if (peak.at_px - middle).amax() > MOST_OFF_PX {
                continue;
            }
            let at_mm = self.sight.window.plane_of(self.refined(plane, peak.at_px));
            let away = (at_mm - from_mm).norm();
            // Of two corners alike the nearer one was meant.
            let belief = peak.height * (-0.5 * (away / reach.spread_mm).powi(2)).portable_exp();
            if away > reach.far_mm {
                continue;
            }
            let found = Corner { at_mm, chance: peak.height, rival: 0.0 };
            match best {
                Some((held, _)) if held >= belief => second = second.max(belief),
                _ => {
                    second = second.max(best.map_or(0.0, |(held, _)| held));
                    best = Some((belief, found));
                }
            }
        }
        let (belief, found) = best?;
        let at_mm = found.at_mm + self.outward * short_mm;
        Some(Corner { at_mm, rival: second / belief.max(1e-12), ..found })
    }

    /// How much speaks for a point of `dimension` at `at_mm` itself.
    pub fn belief_at(&self, dimension: Dimension, at_mm: Vector2<f64>) -> f64 {
        let reach = Reach { far_mm: 6.0, spread_mm: 1.5 };
        self.find(dimension, at_mm, reach).map_or(0.0, |found| {
            let away = (found.at_mm - at_mm).norm() / reach.spread_mm;
            found.chance * (-0.5 * away * away).portable_exp()
        })
    }

    /// The mean place of the network's exponentials round a peak.
    fn refined(&self, plane: usize, peak: Vector2<f64>) -> Vector2<f64> {
        let last = corner::SIDE - 1 - HALF_SQUARE;
        let clamp = |value: f64| (value.round().max(0.0) as usize).clamp(HALF_SQUARE, last);
        let (x, y) = (clamp(peak.x), clamp(peak.y));
        let around = move |at: usize| at - HALF_SQUARE..=at + HALF_SQUARE;
        let highest = around(y)
            .flat_map(|row| around(x).map(move |column| (column, row)))
            .map(|(column, row)| self.sight.value(plane, column, row))
            .fold(f32::MIN, f32::max);
        let (mut sum, mut total) = (Vector2::zeros(), 0.0);
        for row in around(y) {
            for column in around(x) {
                let weight = f64::from(self.sight.value(plane, column, row) - highest).portable_exp();
                sum += Vector2::new(column as f64, row as f64) * weight;
                total += weight;
            }
        }
        sum / total
    }

    /// The outermost place of the shell within reach.
    fn end(&self, from_mm: Vector2<f64>, reach: Reach) -> Option<Corner> {
        let shell = self.sight.chances(corner::SHELL);
        let side = corner::SIDE;
        let mut best: Option<(f64, Vector2<f64>, f32)> = None;
        for row in 0..side {
            let line = &shell[row * side..(row + 1) * side];
            let Some(x) = (0..side - 1).rev().find(|&x| line[x] >= 0.5 && line[x + 1] < 0.5) else {
                continue;
            };
            let share = (line[x] - 0.5) / (line[x] - line[x + 1]);
            let at_px = Vector2::new(x as f64 + f64::from(share), row as f64);
            let at_mm = self.sight.window.plane_of(at_px);
            // How plainly the shell ends here: from inside to outside over 2 mm.
            let step = line[x.saturating_sub(1)] - line[(x + 3).min(side - 1)];
            if (at_mm - from_mm).norm() <= reach.far_mm && best.is_none_or(|held| at_px.x > held.0) {
                best = Some((at_px.x, at_mm, step));
            }
        }
        best.map(|(_, at_mm, step)| Corner { at_mm, chance: f64::from(step.max(0.0)), rival: 0.0 })
    }
}
