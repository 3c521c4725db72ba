//! The width's distribution: a mixture of normal components, one for each credible solution.

use serde::{Deserialize, Serialize};

/// Two-sided 95 % of the normal distribution. Source: JCGM 100 (GUM), table G.2, infinite degrees.
const NORMAL_95: f64 = 1.959_964;

/// One normal component of the width's distribution.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Hump {
    /// Share, 0 to 1; all shares add up to 1.
    pub weight: f64,
    /// Mean in mm.
    pub mean_mm: f64,
    /// Standard deviation in mm.
    pub u_mm: f64,
}

/// Mean and standard deviation of a mixture.
pub fn moments(humps: &[Hump]) -> (f64, f64) {
    let mean: f64 = humps.iter().map(|hump| hump.weight * hump.mean_mm).sum();
    let variance: f64 =
        humps.iter().map(|hump| hump.weight * (hump.u_mm.powi(2) + (hump.mean_mm - mean).powi(2))).sum();
    (mean, variance.sqrt())
}

/// 95 % interval that holds both humps while the flip is open.
pub fn interval(humps: &[Hump]) -> [f64; 2] {
    let low = humps.iter().map(|hump| hump.mean_mm - NORMAL_95 * hump.u_mm).fold(f64::MAX, f64::min);
    let high = humps.iter().map(|hump| hump.mean_mm + NORMAL_95 * hump.u_mm).fold(f64::MIN, f64::max);
    [low, high]
}
