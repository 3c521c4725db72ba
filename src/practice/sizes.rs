//! How wide the crabs of practice are: as they were caught.
//!
//! Source: research pots off Newport, Oregon, 2010 to 2020 and at the mouth of the Columbia, *Metacarcinus magister*:
//! 1676 males and 1279 females, carapace width in whole mm (data of McLeodMJ/DungenessCrabMortality, 881be63). Where the
//! width is taken the source does not say; it is taken for the width in front of the last spines, since its own code
//! counts 160 mm and more as legal, which fits the 6 1/4 in of Oregon.

use crate::rules::when::Sex;

/// Males and females of the data: so many of each come up in practice.
pub const CAUGHT: [f64; 2] = [1676.0, 1279.0];

/// The limit that the males of the data stood before: 6 1/4 in.
pub const LIMIT_MM: f64 = 158.75;

/// Shares of the catch below a width, and the width in mm, as computed from the data: quartiles, 5th and 95th
/// percentiles, and for males the shares below the limits of 5 3/4, 6 1/4 and 6 1/2 in. The ends are the bounds of its
/// rows, 60 mm, and of what is likely above the last percentile (fitted on the standard deviation, 26.0 and 21.2 mm).
const MALES: &[(f64, f64)] = &[
    (0.0, 60.0),
    (0.05, 100.0),
    (0.131, 146.05),
    (0.249, 158.75),
    (0.392, 165.1),
    (0.5, 171.0),
    (0.75, 182.0),
    (0.95, 192.0),
    (1.0, 210.0),
];
const FEMALES: &[(f64, f64)] =
    &[(0.0, 60.0), (0.05, 99.0), (0.25, 134.0), (0.5, 148.0), (0.75, 157.0), (0.95, 168.0), (1.0, 185.0)];

/// The width in mm below which the share `share` of the catch lies; straight between the published percentiles.
pub fn width_mm(sex: Sex, share: f64) -> f64 {
    let table = if sex == Sex::Male { MALES } else { FEMALES };
    let share = share.clamp(0.0, 1.0);
    let pair = table.windows(2).find(|pair| share <= pair[1].0);
    let Some(&[(from, low), (to, high)]) = pair else {
        return table.last().map_or(LIMIT_MM, |last| last.1);
    };
    low + (high - low) * (share - from) / (to - from)
}

/// The share of males in the data.
pub fn share_of_males() -> f64 {
    CAUGHT[0] / (CAUGHT[0] + CAUGHT[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    const MANY: usize = 20_000;

    fn widths(sex: Sex) -> Vec<f64> {
        (0..MANY).map(|at| width_mm(sex, (at as f64 + 0.5) / MANY as f64)).collect()
    }

    fn share(widths: &[f64], holds: impl Fn(f64) -> bool) -> f64 {
        widths.iter().filter(|&&width| holds(width)).count() as f64 / widths.len() as f64
    }

    #[track_caller]
    fn check(got: f64, published: f64, within: f64) {
        assert!((got - published).abs() < within, "{got} against {published}");
    }

    /// Source: figures computed from the data named in the head: 75.1 % of the males at or above the limit; and, which the
    /// table does not hold, 8.9 % within 3 mm and 15.6 % within 5 mm of it, 21.7 % of the females above it, mean and
    /// standard deviation. Straight lines between percentiles leave the mean off by up to 2.5 mm, a share by up to 1 %.
    #[test]
    fn the_shares_at_the_limit_are_those_of_the_data() {
        let males = widths(Sex::Male);
        check(share(&males, |width| width >= LIMIT_MM), 0.751, 0.005);
        check(share(&males, |width| (width - LIMIT_MM).abs() <= 3.0), 0.089, 0.01);
        check(share(&males, |width| (width - LIMIT_MM).abs() <= 5.0), 0.156, 0.01);
        let females = widths(Sex::Female);
        check(share(&females, |width| width >= LIMIT_MM), 0.217, 0.005);
        for (widths, mean, sd) in [(&males, 165.5, 26.0), (&females, 142.9, 21.2)] {
            let got = widths.iter().sum::<f64>() / MANY as f64;
            let spread = widths.iter().map(|width| (width - got).powi(2)).sum::<f64>() / MANY as f64;
            check(got, mean, 2.5);
            check(spread.sqrt(), sd, 3.0);
        }
    }

    #[test]
    fn what_lies_outside_is_held_at_the_ends() {
        assert_eq!(width_mm(Sex::Male, -1.0), 60.0);
        assert_eq!(width_mm(Sex::Male, 2.0), 210.0);
        assert_eq!(width_mm(Sex::Female, 0.5), 148.0);
    }
}
