//! Conformity of an uncertain width to a size limit, by a stated decision rule.
//!
//! Source: JCGM 106:2012 clause 7 (probability of conformity) and 8 (guard bands); ISO 14253-1 for the
//! undecided zone between. The width may have several normal humps: probabilities add up by their weights.

use std::f64::consts::FRAC_1_SQRT_2;

use serde::{Deserialize, Serialize};

use super::measured::MeasuredWidth;
use crate::units::Millimetres;
use crate::width::Hump;

/// The risks that are accepted for one crab.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Risk {
    /// Of keeping a crab that is not of size.
    pub wrong_keep: f64,
    /// Of releasing one that is.
    pub wrong_release: f64,
}

impl Default for Risk {
    /// 1 % and 10 %: a short crab kept is worse than a keeper let go.
    fn default() -> Self {
        Self { wrong_keep: 0.01, wrong_release: 0.10 }
    }
}

impl Risk {
    /// Both risks within what a decision rule can mean: above nothing, at most one half.
    fn sane(self) -> Self {
        let sane = |risk: f64, default: f64| if risk.is_finite() { risk.clamp(1e-6, 0.5) } else { default };
        Self { wrong_keep: sane(self.wrong_keep, 0.01), wrong_release: sane(self.wrong_release, 0.10) }
    }
}

/// A size limit: from `min` to `max`, both sizes included.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Size {
    /// Smallest, where there is one.
    pub min: Option<Millimetres>,
    /// Largest, where there is one.
    pub max: Option<Millimetres>,
}

/// What a decision rule says of a width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Conformity {
    /// Of size, at the accepted risk.
    Conforms,
    /// Not of size, at the accepted risk.
    Fails,
    /// Only a gauge can tell.
    GaugeByHand,
}

/// The zone round a limit where only a gauge can decide, for the best estimate of the width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct GreyZone {
    /// Limit.
    pub limit_mm: f64,
    /// Lower end.
    pub from_mm: f64,
    /// Upper end.
    pub to_mm: f64,
}

/// The decision rule: the probability that the width is of size, and what follows from it.
///
/// `None` when the measurement is not a distribution (no hump, or numbers that are not finite).
pub fn conformity(measured: &MeasuredWidth, size: Size, risk: Risk) -> Option<(f64, Conformity)> {
    let probability = probability_of_size(&normalised(&measured.humps)?, size, 0.0);
    let risk = risk.sane();
    let found = if probability >= 1.0 - risk.wrong_keep {
        Conformity::Conforms
    } else if probability < risk.wrong_release {
        Conformity::Fails
    } else {
        Conformity::GaugeByHand
    };
    Some((probability, found))
}

/// The grey zone of each limit of `size`: where the best estimate, with the spread of this measurement,
/// would leave the decision to a gauge.
pub fn grey_zones(measured: &MeasuredWidth, size: Size, risk: Risk) -> Vec<GreyZone> {
    let Some(humps) = normalised(&measured.humps) else { return Vec::new() };
    let risk = risk.sane();
    let centre: f64 = humps.iter().map(|hump| hump.weight * hump.mean_mm).sum();
    let zone = |limit_mm: f64, size: Size| {
        let at = |wanted| centre + shift_to(&humps, size, limit_mm - centre, wanted);
        let (keep, release) = (at(1.0 - risk.wrong_keep), at(risk.wrong_release));
        GreyZone { limit_mm, from_mm: keep.min(release), to_mm: keep.max(release) }
    };
    let min = size.min.map(|min| zone(min.0, Size { min: size.min, max: None }));
    let max = size.max.map(|max| zone(max.0, Size { min: None, max: size.max }));
    min.into_iter().chain(max).collect()
}

/// Phi: the normal distribution function.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Humps with weights that add up to 1.
pub(super) fn normalised(humps: &[Hump]) -> Option<Vec<Hump>> {
    let is_sane = |hump: &Hump| {
        hump.mean_mm.is_finite()
            && hump.mean_mm.abs() < 1e6
            && hump.u_mm.is_finite()
            && (0.0..1e6).contains(&hump.u_mm)
            && hump.weight.is_finite()
            && (0.0..1e6).contains(&hump.weight)
    };
    let total: f64 = humps.iter().map(|hump| hump.weight).sum();
    let all_sane = !humps.is_empty() && humps.iter().all(is_sane) && total > 0.0;
    all_sane.then(|| humps.iter().map(|hump| Hump { weight: hump.weight / total, ..*hump }).collect())
}

/// Probability that the width, with every hump moved by `shift_mm`, is within `size`.
fn probability_of_size(humps: &[Hump], size: Size, shift_mm: f64) -> f64 {
    let below = |limit_mm: f64, hump: &Hump| {
        let gap = limit_mm - hump.mean_mm - shift_mm;
        // Without any uncertainty a width at the limit is of size: both limits are included.
        if hump.u_mm > 0.0 { normal_cdf(gap / hump.u_mm) } else { f64::from(gap >= 0.0) }
    };
    let above = |limit_mm: f64, hump: &Hump| {
        let gap = hump.mean_mm + shift_mm - limit_mm;
        if hump.u_mm > 0.0 { normal_cdf(gap / hump.u_mm) } else { f64::from(gap >= 0.0) }
    };
    let within = |hump: &Hump| match (size.min, size.max) {
        (None, None) => 1.0,
        (Some(min), None) => above(min.0, hump),
        (None, Some(max)) => below(max.0, hump),
        (Some(min), Some(max)) => (above(min.0, hump) + below(max.0, hump) - 1.0).max(0.0),
    };
    humps.iter().map(|hump| hump.weight * within(hump)).sum::<f64>().clamp(0.0, 1.0)
}

/// The shift at which a one-sided probability reaches `wanted`, by bisection: it is monotone.
fn shift_to(humps: &[Hump], size: Size, near_mm: f64, wanted: f64) -> f64 {
    // Six standard deviations beyond the farthest hump hold any probability that a risk can name.
    let spread: f64 =
        humps.iter().map(|hump| 6.0 * hump.u_mm + hump.mean_mm.abs()).fold(1.0, f64::max) + near_mm.abs();
    let rises = size.min.is_some();
    let (mut low, mut high) = (near_mm - spread, near_mm + spread);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if (probability_of_size(humps, size, middle) < wanted) == rises {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::Dimension;

    const PUGET_SOUND: Size = Size { min: Some(Millimetres(158.75)), max: None };

    fn normal(mean_mm: f64, u_mm: f64) -> MeasuredWidth {
        MeasuredWidth::normal(mean_mm, u_mm, Dimension::Notch)
    }

    fn probability(mean: f64, u: f64, size: Size) -> f64 {
        conformity(&normal(mean, u), size, Risk::default()).expect("a distribution").0
    }

    fn at_least(limit: f64) -> Size {
        Size { min: Some(Millimetres(limit)), max: None }
    }

    #[track_caller]
    fn close(got: f64, wanted: f64, tolerance: f64) {
        assert!((got - wanted).abs() <= tolerance, "{got} is not {wanted}");
    }

    /// Source: tables of the normal distribution (one-sided z of 90, 95, 97.5, 99, 99.9 %).
    #[test]
    fn normal_distribution_matches_the_tables() {
        for (p, z) in [(0.90, 1.28155), (0.95, 1.64485), (0.975, 1.95996), (0.99, 2.32635), (0.999, 3.09023)]
        {
            close(normal_cdf(z), p, 1e-6);
            close(normal_cdf(-z), 1.0 - p, 1e-6);
        }
    }

    /// Source: computed with SciPy's normal distribution for L = 158.75 mm, u = 1 mm.
    #[test]
    fn probabilities_at_the_puget_sound_limit() {
        for (w, p) in
            [(158.75, 0.5), (157.4, 0.08851), (160.395, 0.95002), (161.1, 0.99061), (162.0, 0.999423)]
        {
            close(probability(w, 1.0, PUGET_SOUND), p, 1e-5);
        }
    }

    /// Source: JCGM 106:2012, 7.4 (Zener diode, limit -5.40 V from above; container, 490 kPa from below)
    /// and 7.5 (motor oil, 12.5 to 16.3 mm2/s); inputs from memory, results recomputed.
    #[test]
    fn probabilities_of_jcgm_106() {
        let zener = Size { min: None, max: Some(Millimetres(-5.40)) };
        close(probability(-5.47, 0.05, zener), 0.919, 0.0005);
        close(probability(509.7, 8.6, at_least(490.0)), 0.989, 0.0005);
        let oil = Size { min: Some(Millimetres(12.5)), max: Some(Millimetres(16.3)) };
        close(probability(13.6, 1.8, oil), 0.6626, 0.0001);
    }

    /// Source: JCGM 106:2012, 8.3.3 (speed limit 100 km/h, u 2 % of the speed, 99.9 %): ticket from 107 km/h;
    /// inputs from memory. Here u is that of the speed at the limit of acceptance.
    #[test]
    fn guard_band_of_the_speed_limit() {
        let speed = 100.0 / (1.0 - 3.09023 * 0.02);
        close(speed, 106.6, 0.05);
        let risk = Risk { wrong_keep: 0.001, ..Risk::default() };
        let zones = grey_zones(&normal(speed, 0.02 * speed), at_least(100.0), risk);
        close(zones[0].to_mm, speed, 1e-3);
    }

    /// Source: one-sided factors of ILAC-G8:09/2019 (w = U = 2 u: under 2.5 %, 2.28 % one-sided; 1.5 U: 0.135 %)
    /// and ISO 14253-1:2017 (g = 1.65 u: under 5 %), as applied in laboratories' decision rules; 1 % and
    /// 0.1 % by JCGM 106 clause 8: L + 2.326 u, L + 3.090 u.
    #[test]
    fn guard_bands_of_the_standards() {
        for (factor, risk) in
            [(2.0, 0.02275), (3.0, 0.00135), (1.64485, 0.05), (2.32635, 0.01), (3.09023, 0.001)]
        {
            let risk = Risk { wrong_keep: risk, ..Risk::default() };
            for u in [0.6, 1.0, 1.9] {
                let zones = grey_zones(&normal(158.0, u), PUGET_SOUND, risk);
                close(zones[0].to_mm, 158.75 + factor * u, 2e-3 * u);
            }
        }
    }

    /// Source: the zone of 1 % and 10 % is 2.32635 + 1.28155 = 3.608 u wide (normal quantiles).
    #[test]
    fn grey_zone_is_3_608_u_wide() {
        let zone = grey_zones(&normal(150.0, 1.9), PUGET_SOUND, Risk::default())[0];
        close(zone.from_mm, 158.75 - 1.28155 * 1.9, 1e-4);
        close(zone.to_mm - zone.from_mm, 3.608 * 1.9, 2e-3);
    }

    #[test]
    fn a_maximum_turns_the_rule_round() {
        let at_most = Size { min: None, max: Some(Millimetres(171.45)) };
        let call = |w| conformity(&normal(w, 1.0), at_most, Risk::default()).map(|(_, call)| call);
        assert_eq!(call(168.0), Some(Conformity::Conforms));
        assert_eq!(call(171.0), Some(Conformity::GaugeByHand));
        assert_eq!(call(173.0), Some(Conformity::Fails));
    }

    #[test]
    fn two_humps_leave_it_to_the_gauge_when_one_is_short() {
        let hump = |mean_mm| Hump { weight: 0.5, mean_mm, u_mm: 0.5 };
        let twin = MeasuredWidth { humps: vec![hump(157.0), hump(161.0)], ..normal(159.0, 0.5) };
        let (p, call) = conformity(&twin, PUGET_SOUND, Risk::default()).expect("a distribution");
        close(p, 0.5, 1e-3);
        assert_eq!(call, Conformity::GaugeByHand);
    }

    #[test]
    fn what_is_no_distribution_gives_nothing() {
        for (mean, u) in [(f64::NAN, 1.0), (158.0, f64::INFINITY), (158.0, -1.0)] {
            assert_eq!(conformity(&normal(mean, u), PUGET_SOUND, Risk::default()), None);
            assert!(grey_zones(&normal(mean, u), PUGET_SOUND, Risk::default()).is_empty());
        }
        let empty = MeasuredWidth { humps: Vec::new(), ..normal(1.0, 1.0) };
        assert_eq!(conformity(&empty, PUGET_SOUND, Risk::default()), None);
    }
}
