//! What is drawn through the steps of one side: a line, or a parabola where the side is bowed.

use nalgebra::{Matrix3, Vector3};

/// A step on the curve: share of the side (0 to 1), offset to the inside in px, weight.
pub(in crate::card) type OnCurve = (f64, f64, f64);

/// Offsets to the inside at a side's ends in px, and how far its middle lies inside of the straight line.
#[derive(Debug, Clone, Copy)]
pub(in crate::card) struct Curve {
    pub start: f64,
    pub end: f64,
    pub sag: f64,
}

impl Curve {
    pub fn at(&self, share: f64) -> f64 {
        self.start + (self.end - self.start) * share + self.sag * 4.0 * share * (1.0 - share)
    }
}

pub(in crate::card) fn weighted_line(near: &[OnCurve]) -> Option<Curve> {
    let weight: f64 = near.iter().map(|n| n.2).sum();
    if near.len() < 6 || weight < 1e-6 {
        return None;
    }
    let (mean, spread) = moments(near);
    let level = near.iter().map(|n| n.1 * n.2).sum::<f64>() / weight;
    let tilt = near.iter().map(|n| (n.0 - mean) * (n.1 - level) * n.2).sum::<f64>() / weight;
    let slope = if spread > 1e-5 { tilt / spread } else { 0.0 };
    Some(Curve { start: level - slope * mean, end: level + slope * (1.0 - mean), sag: 0.0 })
}

/// The parabola through the steps; `None` where they do not tell one.
pub(in crate::card) fn weighted_curve(near: &[OnCurve]) -> Option<Curve> {
    if near.len() < 12 {
        return None;
    }
    let (mut normal, mut right) = (Matrix3::zeros(), Vector3::zeros());
    for &(share, offset, weight) in near {
        let row = Vector3::new(1.0 - share, share, 4.0 * share * (1.0 - share));
        normal += row * row.transpose() * weight;
        right += row * (offset * weight);
    }
    let solved = normal.try_inverse()? * right;
    solved.iter().all(|value| value.is_finite()).then_some(Curve {
        start: solved.x,
        end: solved.y,
        sag: solved.z,
    })
}

pub(in crate::card) fn moments(near: &[OnCurve]) -> (f64, f64) {
    let weight: f64 = near.iter().map(|n| n.2).sum::<f64>().max(1e-9);
    let mean = near.iter().map(|n| n.0 * n.2).sum::<f64>() / weight;
    let spread = near.iter().map(|n| (n.0 - mean).powi(2) * n.2).sum::<f64>() / weight;
    (mean, spread)
}

/// Sag of the parabola through the residuals, at the middle against the ends.
pub(in crate::card) fn bow(near: &[OnCurve], line: &Curve) -> f64 {
    // Project the residuals on 1 - 12 (t - 1/2)^2, which is orthogonal to a line over the whole side.
    let (mut top, mut bottom) = (0.0, 0.0);
    for &(share, offset, weight) in near {
        let basis = 1.0 - 12.0 * (share - 0.5).powi(2);
        top += weight * basis * (offset - line.at(share));
        bottom += weight * basis * basis;
    }
    // The basis runs from 1 in the middle to -2 at the ends.
    3.0 * top / f64::max(bottom, 1e-9)
}
