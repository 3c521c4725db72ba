//! The body in a mask: which patch of it is the shell, its size, its axis, its outline.

use crate::portable::Portable;
use nalgebra::{Matrix2, Vector2};

/// A connected patch of a mask of probabilities.
#[derive(Debug, Clone)]
pub struct Body {
    /// Middle, window pixels.
    pub centre_px: Vector2<f64>,
    /// Sum of probability, pixels squared.
    pub area_px2: f64,
    /// Unit vector along the longer axis of its second moments.
    pub long_axis: Vector2<f64>,
    /// Short over long axis of its second moments.
    pub aspect: f64,
    /// Mean probability within.
    pub certainty: f64,
    members: Vec<bool>,
    side: usize,
}

/// Area of a shell's outline over its width squared: 0.49 (blue crab without its spines) to 0.58; an ellipse
/// of aspect 0.66 has 0.52.
pub const AREA_OVER_WIDTH_SQUARED: f64 = 0.52;

impl Body {
    /// Width of a shell of this area.
    pub fn expected_width_px(&self) -> f64 {
        (self.area_px2 / AREA_OVER_WIDTH_SQUARED).sqrt()
    }

    /// Its pixels, column and row.
    pub fn places(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        let side = self.side;
        let members = self.members.iter().enumerate().filter(|(_, member)| **member);
        members.map(move |(at, _)| (at % side, at / side))
    }

    /// True when the window pixel nearest to `at` belongs to the body.
    pub fn contains(&self, at: Vector2<f64>) -> bool {
        let (x, y) = (at.x.round(), at.y.round());
        let last = self.side as f64 - 1.0;
        (0.0..=last).contains(&x)
            && (0.0..=last).contains(&y)
            && self.members[y as usize * self.side + x as usize]
    }
}

/// All patches of `mask` above `floor`, the heaviest first, at most `most`.
pub fn bodies(mask: &[f32], side: usize, floor: f32, most: usize) -> Vec<Body> {
    let mut label = vec![0usize; side * side];
    let mut found: Vec<Vec<usize>> = Vec::new();
    let mut stack = Vec::new();
    for start in 0..side * side {
        if label[start] != 0 || mask[start] <= floor {
            continue;
        }
        let mut members = Vec::new();
        stack.push(start);
        label[start] = found.len() + 1;
        while let Some(at) = stack.pop() {
            members.push(at);
            let (x, y) = (at % side, at / side);
            let beside = [
                (x > 0).then(|| at - 1),
                (x + 1 < side).then_some(at + 1),
                (y > 0).then(|| at - side),
                (y + 1 < side).then_some(at + side),
            ];
            for next in beside.into_iter().flatten() {
                if label[next] == 0 && mask[next] > floor {
                    label[next] = found.len() + 1;
                    stack.push(next);
                }
            }
        }
        members.sort_unstable();
        found.push(members);
    }
    let mut bodies: Vec<Body> = found
        .iter()
        .filter(|members| members.len() >= 8)
        .map(|members| describe(members, mask, side))
        .collect();
    bodies.sort_by(|a, b| b.area_px2.total_cmp(&a.area_px2));
    bodies.truncate(most);
    bodies
}

fn describe(members: &[usize], mask: &[f32], side: usize) -> Body {
    let place = |at: usize| Vector2::new((at % side) as f64, (at / side) as f64);
    let weight = |at: usize| f64::from(mask[at]);
    let area: f64 = members.iter().map(|&at| weight(at)).sum();
    let centre = members.iter().map(|&at| place(at) * weight(at)).sum::<Vector2<f64>>() / area;
    let moments = members
        .iter()
        .map(|&at| {
            let d = place(at) - centre;
            d * d.transpose() * weight(at)
        })
        .sum::<Matrix2<f64>>()
        / area;
    // The closed form for 2 x 2: an iterative solver could end in another last digit elsewhere.
    let (a, b, d) = (moments.m11, moments.m12, moments.m22);
    let (half_sum, root) = ((a + d) / 2.0, ((a - d) / 2.0).portable_hypot(b));
    let angle = 0.5 * (2.0 * b).portable_atan2(a - d);
    let long_axis = Vector2::new(angle.portable_cos(), angle.portable_sin());
    let mut flags = vec![false; side * side];
    for &at in members {
        flags[at] = true;
    }
    Body {
        centre_px: centre,
        area_px2: area,
        long_axis,
        aspect: ((half_sum - root).max(0.0) / (half_sum + root).max(1e-9)).sqrt(),
        certainty: area / members.len() as f64,
        members: flags,
        side,
    }
}

/// Points round the outline: from the middle outwards, the last place where the mask falls through one half.
/// Shells are star-shaped seen from their middle.
pub fn outline(body: &Body, mask: &[f32], points: usize) -> Vec<Vector2<f64>> {
    let side = body.side;
    let value = |at: Vector2<f64>| -> f64 {
        let limit = side as f64 - 1.001;
        if at.x < 0.0 || at.y < 0.0 || at.x > limit || at.y > limit {
            return 0.0;
        }
        let (x, y) = (at.x as usize, at.y as usize);
        let (fx, fy) = (at.x - x as f64, at.y - y as f64);
        let m = |x: usize, y: usize| f64::from(mask[y * side + x]);
        (m(x, y) * (1.0 - fx) + m(x + 1, y) * fx) * (1.0 - fy)
            + (m(x, y + 1) * (1.0 - fx) + m(x + 1, y + 1) * fx) * fy
    };
    let step = 0.25;
    (0..points)
        .filter_map(|i| {
            let angle = std::f64::consts::TAU * i as f64 / points as f64;
            let ray = Vector2::new(angle.portable_cos(), angle.portable_sin());
            let mut crossing = None;
            let mut inside = value(body.centre_px);
            for k in 1..(side * 4) {
                let at = body.centre_px + ray * (step * f64::from(k as u32));
                let next = value(at);
                if inside >= 0.5 && next < 0.5 && body.contains(at - ray * (6.0 * step)) {
                    let share = (inside - 0.5) / (inside - next).max(1e-9);
                    crossing = Some(at - ray * (step * (1.0 - share)));
                }
                inside = next;
            }
            crossing
        })
        .collect()
}

/// A local maximum of a heat map.
#[derive(Debug, Clone, Copy)]
pub struct Peak {
    /// Where, to a fraction of a pixel.
    pub at_px: Vector2<f64>,
    /// Height, 0..1.
    pub height: f64,
}

/// Local maxima of `heat` above `floor` (5 x 5 neighbourhood), the highest first, at most `most`.
pub fn peaks(heat: &[f32], side: usize, floor: f32, most: usize) -> Vec<Peak> {
    let mut found = Vec::new();
    let at = |x: i64, y: i64| -> f32 {
        let range = 0..side as i64;
        if range.contains(&x) && range.contains(&y) { heat[y as usize * side + x as usize] } else { 0.0 }
    };
    for y in 0..side as i64 {
        for x in 0..side as i64 {
            let height = at(x, y);
            if height < floor {
                continue;
            }
            // Of equal neighbours the first in reading order is the maximum.
            let highest = (-2..=2).all(|j| {
                (-2..=2).all(|i| {
                    let beside = at(x + i, y + j);
                    beside < height || (beside == height && (j, i) >= (0, 0))
                })
            });
            if !highest {
                continue;
            }
            let mut sum = 0.0;
            let mut mean = Vector2::zeros();
            for j in -2i64..=2 {
                for i in -2i64..=2 {
                    let weight = f64::from(at(x + i, y + j)).powi(2);
                    let offset = Vector2::new(i as f64, j as f64);
                    sum += weight;
                    mean += offset * weight;
                }
            }
            mean /= sum;
            let at_px = Vector2::new(x as f64, y as f64) + mean;
            found.push(Peak { at_px, height: f64::from(height) });
        }
    }
    found.sort_by(|a, b| b.height.total_cmp(&a.height));
    found.truncate(most);
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 96;

    fn soft_ellipse(centre: Vector2<f64>, half: Vector2<f64>, angle: f64) -> Vec<f32> {
        let (s, c) = angle.sin_cos();
        (0..SIDE * SIDE)
            .map(|i| {
                let d = Vector2::new((i % SIDE) as f64, (i / SIDE) as f64) - centre;
                let (u, v) = (d.x * c + d.y * s, -d.x * s + d.y * c);
                let r = ((u / half.x).powi(2) + (v / half.y).powi(2)).sqrt();
                (1.0 / (1.0 + ((r - 1.0) * half.y * 2.0).exp())) as f32
            })
            .collect()
    }

    /// An ellipse's moments: axis, aspect and area (pi a b) are known in closed form.
    #[test]
    fn an_ellipse_has_its_own_middle_axis_aspect_and_area() {
        let (centre, half, angle) = (Vector2::new(50.2, 44.7), Vector2::new(30.0, 20.0), 0.4f64);
        let mask = soft_ellipse(centre, half, angle);
        let body = &bodies(&mask, SIDE, 0.5, 2)[0];
        assert!((body.centre_px - centre).norm() < 0.1);
        assert!((body.long_axis.dot(&Vector2::new(angle.cos(), angle.sin()))).abs() > 0.9999);
        assert!((body.aspect - 2.0 / 3.0).abs() < 0.01, "{}", body.aspect);
        // The soft rim outside one half is left out.
        assert!((body.area_px2 / (std::f64::consts::PI * 600.0) - 1.0).abs() < 0.05, "{}", body.area_px2);
        let rim = outline(body, &mask, 90);
        assert_eq!(rim.len(), 90);
        let (s, c) = angle.sin_cos();
        for point in rim {
            let d = point - centre;
            let r = ((d.x * c + d.y * s) / half.x).hypot((-d.x * s + d.y * c) / half.y);
            assert!((r - 1.0).abs() < 0.02, "{r}");
        }
    }

    #[test]
    fn a_peak_is_found_to_a_tenth_of_a_pixel() {
        let centre = Vector2::new(31.3, 60.6);
        let heat: Vec<f32> = (0..SIDE * SIDE)
            .map(|i| {
                let d = Vector2::new((i % SIDE) as f64, (i / SIDE) as f64) - centre;
                (0.8 * (-d.norm_squared() / (2.0 * 1.5f64.powi(2))).exp()) as f32
            })
            .collect();
        let found = peaks(&heat, SIDE, 0.1, 5);
        assert_eq!(found.len(), 1);
        assert!((found[0].at_px - centre).norm() < 0.1, "{:?}", found[0]);
    }

    #[test]
    fn nothing_gives_no_body_and_no_peak() {
        let nothing = vec![0.0; SIDE * SIDE];
        assert!(bodies(&nothing, SIDE, 0.5, 2).is_empty());
        assert!(peaks(&nothing, SIDE, 0.1, 5).is_empty());
    }
}
