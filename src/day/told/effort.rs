//! What fished best: crabs for each pot and hour of soak, with how sure that is.
//!
//! Crabs are taken as a Poisson count over the hours that pots soaked. The 95 % interval is the exact one (Garwood,
//! F., Fiducial limits for the Poisson distribution, Biometrika 28, 1936, 437-442): few crabs say little.

use crate::day::book::Book;
use crate::day::rows::{End, Pot, Pull};
use crate::portable::Portable;

/// By what pots are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// The pot itself.
    Pot,
    /// Depth, in steps of 5 m.
    Depth,
    /// The bottom.
    Bottom,
    /// Bait.
    Bait,
}

/// Pulls that are alike in one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct EffortLine {
    /// In what: `A`, `10 to 15 m`, `sand`; empty: not said.
    pub what: String,
    /// Pulls with a known soak.
    pub pulls: u32,
    /// Hours that they soaked, all together.
    pub soak_h: f64,
    /// Crabs in them.
    pub crabs: u32,
    /// Of these kept.
    pub kept: u32,
    /// Crabs caught in an hour of one pot.
    pub caught: Rate,
    /// Crabs kept in an hour of one pot.
    pub kept_of_it: Rate,
}

/// Crabs in an hour of one pot.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rate {
    /// The rate.
    pub per_h: f64,
    /// The ends of its 95 % interval.
    pub interval_per_h: (f64, f64),
}

impl Rate {
    /// The rate of a count over hours above 0.
    fn of(count: u32, soak_h: f64) -> Self {
        let (low, high) = garwood(count);
        Self { per_h: f64::from(count) / soak_h, interval_per_h: (low / soak_h, high / soak_h) }
    }
}

impl Book {
    /// The sorted pulls compared, the best first. Pulls without a known soak are left out.
    pub fn effort(&self, by: By) -> Vec<EffortLine> {
        let mut lines: Vec<EffortLine> = Vec::new();
        for (id, pull) in self.pulls() {
            let Some(soak_h) = pull.soak_h().filter(|hours| *hours > 0.0) else { continue };
            let what = what_of(pull, by);
            let at = lines.iter().position(|line| line.what == what).unwrap_or_else(|| {
                lines.push(EffortLine {
                    what,
                    pulls: 0,
                    soak_h: 0.0,
                    crabs: 0,
                    kept: 0,
                    caught: Rate::default(),
                    kept_of_it: Rate::default(),
                });
                lines.len() - 1
            });
            let line = &mut lines[at];
            line.pulls += 1;
            line.soak_h += soak_h;
            for (_, crab) in self.crabs_of_pull(id) {
                line.crabs += 1;
                line.kept += u32::from(matches!(crab.end, End::Kept { .. }));
            }
        }
        for line in &mut lines {
            line.caught = Rate::of(line.crabs, line.soak_h);
            line.kept_of_it = Rate::of(line.kept, line.soak_h);
        }
        lines.sort_by(|a, b| b.kept_of_it.per_h.total_cmp(&a.kept_of_it.per_h));
        lines
    }
}

fn what_of(pull: &Pull, by: By) -> String {
    let Pot { label, depth_m, bottom, bait, .. } = &pull.as_pulled;
    match by {
        By::Pot => label.clone(),
        By::Bottom => bottom.clone(),
        By::Bait => bait.clone(),
        By::Depth => depth_m.map_or_else(String::new, |depth| {
            let from = (depth / 5.0).floor() * 5.0;
            format!("{from} to {} m", from + 5.0)
        }),
    }
}

/// The 95 % interval of a Poisson mean where `count` was seen.
pub fn garwood(count: u32) -> (f64, f64) {
    const TAIL: f64 = 0.025;
    // The mean at which `count` or more, or `count` or fewer, come in 2.5 of 100.
    let low = if count == 0 { 0.0 } else { solve(|mean| 1.0 - at_most(count - 1, mean) - TAIL, count) };
    let high = solve(|mean| TAIL - at_most(count, mean), count);
    (low, high)
}

/// The chance of `count` or fewer.
fn at_most(count: u32, mean: f64) -> f64 {
    // In logarithms: the terms of a large mean are too small for a float on their own.
    let mut log_term = -mean;
    let mut sum = log_term.portable_exp();
    for k in 1..=count {
        log_term += (mean / f64::from(k)).portable_ln();
        sum += log_term.portable_exp();
    }
    sum
}

/// Where a function that rises with the mean crosses zero.
fn solve(rising: impl Fn(f64) -> f64, count: u32) -> f64 {
    let k = f64::from(count);
    // Far above the upper end for every count.
    let (mut low, mut high) = (0.0, k + 6.0 * (k + 1.0).sqrt() + 6.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::{Rate, garwood};

    /// `scipy.stats.chi2.ppf(0.025, 2 * k) / 2` and `chi2.ppf(0.975, 2 * k + 2) / 2`, SciPy 1.
    #[test]
    fn the_interval_is_that_of_the_chi_square_quantiles() {
        let scipy = [
            (0, 0.0, 3.688879454),
            (1, 0.025317808, 5.571643391),
            (5, 1.623486390, 11.668332080),
            (12, 6.200575, 20.961585),
            (400, 361.756297, 441.186648),
        ];
        for (count, low, high) in scipy {
            let got = garwood(count);
            assert!((got.0 - low).abs() < 1e-3 && (got.1 - high).abs() < 1e-3, "{count}: {got:?}");
        }
    }

    /// 30 crabs in 24 hours: `chi2.ppf(0.025, 60) / 48` and `chi2.ppf(0.975, 62) / 48`, SciPy 1.17.
    #[test]
    fn a_rate_is_told_with_the_interval_of_its_count() {
        let Rate { per_h, interval_per_h: (low, high) } = Rate::of(30, 24.0);
        assert!((per_h - 1.25).abs() < 1e-12);
        assert!((low - 0.843369751).abs() < 1e-4 && (high - 1.784452725).abs() < 1e-4, "{low} {high}");
    }
}
