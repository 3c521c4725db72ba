//! What weight keeps a pot where it was set: the current's pull on line and buoy against what holds the pot. A rough sum.
//!
//! Drag across a flow is `F = 1/2 rho Cd A v^2`. `Cd` is 1.2 for a long smooth cylinder at the Reynolds numbers of a pot's
//! line (some thousands) and 0.8 for a short one as a buoy (Hoerner, Fluid-Dynamic Drag, 1965, chapter 3; from memory).
//! Of a line that leans only its upright reach, the depth, stands across the flow: a line that leans has less drag than
//! is summed here. The current is taken as strong from top to bottom; near the bottom it is mostly weaker. The buoy is
//! taken as under water, and pulls up as steeply as a straight line would, at most with its whole buoyancy: that much
//! less of the pot stands on the bottom. What is left holds by friction. The pot's own drag is not in the sum.

use super::line::LineSum;
use crate::rules::Length;
use crate::units::{Kilograms, MetresPerSecond, Millimetres};

/// Sea water, kg/m3.
const DENSITY: f64 = 1025.0;
/// Standard gravity, m/s2 (exact by convention).
const GRAVITY: f64 = 9.80665;
/// A long cylinder across the flow.
const DRAG_OF_LINE: f64 = 1.2;
/// A short upright cylinder.
const DRAG_OF_BUOY: f64 = 0.8;
/// What a pot holds of its weight on the bottom: assumed, for sand; mud may hold more, rock less.
pub const FRICTION: f64 = 0.4;
/// No tide runs faster where a pot is set: the fastest tidal streams run at about 8 to 16 kn (from memory).
const MOST_KNOTS: f64 = 10.0;
/// What waves ask besides: common practice, half again.
pub const WITH_WAVES: f64 = 1.5;

/// What pulls at a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// The current.
    pub current: MetresPerSecond,
    /// The line from side to side.
    pub line_across: Millimetres,
    /// The buoy from side to side.
    pub buoy_across: Millimetres,
    /// The buoy from end to end.
    pub buoy_high: Millimetres,
}

/// The weight that a pot must have under water to stay, for a line as summed. `None` where a figure is not finite, below
/// 0, or the line no longer than nothing.
pub fn weight_needed(line: &LineSum, pull: &Pull) -> Option<Kilograms> {
    let v_m_s = pull.current.0;
    let [line_m, across_m, high_m] =
        [pull.line_across, pull.buoy_across, pull.buoy_high].map(|length| length.0 / 1000.0);
    let (deep_m, long_m) = (line.deepest.0, line.line.0);
    let all = [v_m_s, line_m, across_m, high_m, deep_m, long_m];
    if !all.iter().all(|value| value.is_finite() && *value >= 0.0) || long_m <= 0.0 {
        return None;
    }
    let pressure_pa = 0.5 * DENSITY * v_m_s * v_m_s;
    let drag_n = pressure_pa * (DRAG_OF_LINE * line_m * deep_m + DRAG_OF_BUOY * across_m * high_m);
    let buoyancy_n = DENSITY * GRAVITY * core::f64::consts::FRAC_PI_4 * across_m * across_m * high_m;
    let aside_m = (long_m * long_m - deep_m * deep_m).max(0.0).sqrt();
    // A line without any to spare stands upright, and only the buoy's buoyancy bounds its pull.
    let steep_n = if aside_m > 0.0 { drag_n * deep_m / aside_m } else { f64::INFINITY };
    let up_n = if drag_n > 0.0 { steep_n.min(buoyancy_n) } else { 0.0 };
    Some(Kilograms((drag_n / FRICTION + up_n) / GRAVITY))
}

/// A current as typed: `1.5`, `1.5 kn` or `0.8 m/s`; a bare number is in knots.
pub fn current_of(words: &str) -> Option<MetresPerSecond> {
    let words = words.trim().to_lowercase().replace(',', ".");
    const KNOTS: f64 = MetresPerSecond::PER_KNOT;
    let units =
        [("m/s", 1.0), ("knots", KNOTS), ("knot", KNOTS), ("kts", KNOTS), ("kn", KNOTS), ("kt", KNOTS)];
    let told = units.into_iter().find_map(|(unit, m_s)| Some((words.strip_suffix(unit)?, m_s)));
    let (number, m_s) = told.unwrap_or((&words, KNOTS));
    let value: f64 = number.trim().parse().ok()?;
    (0.0..=MOST_KNOTS * KNOTS / m_s).contains(&value).then_some(MetresPerSecond(value * m_s))
}

/// A thickness as typed, with its unit: `8 mm`, `5/16 in` or `13 cm`. A bare 13 of a buoy would be read as mm by one
/// person and as cm by another.
pub fn across_of(words: &str) -> Option<Millimetres> {
    let words = words.trim().replace(',', ".");
    words.parse::<Length>().ok().map(Length::millimetres).filter(|across| across.0 > 0.0)
}

/// Upwards to a figure that is no surer than the sum: whole below 100, tens from there.
pub fn rounded_up(value: f64) -> f64 {
    if value < 100.0 { value.ceil() } else { (value / 10.0).ceil() * 10.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::line::line_needed;
    use crate::units::Metres;

    fn pull(knots: f64) -> Pull {
        Pull {
            current: MetresPerSecond(knots * MetresPerSecond::PER_KNOT),
            line_across: Millimetres(8.0),
            buoy_across: Millimetres(130.0),
            buoy_high: Millimetres(280.0),
        }
    }

    fn line(scope: f64) -> LineSum {
        line_needed(Metres(20.0), Metres(4.0), scope).expect("a sum")
    }

    /// By hand, 24 m deep with 30 m of line in 1 kn (0.5144 m/s): 135.63 Pa; line 1.2 x 0.008 x 24 and buoy 0.8 x 0.13 x 0.28
    /// m2 give 31.25 + 3.95 = 35.20 N. The line leans 18 m: 46.9 N up, more than the buoy's 37.36 N. 35.20 / 0.4 + 37.36 =
    /// 125.36 N, which is 12.78 kg.
    #[test]
    fn a_pot_in_one_knot_by_hand() {
        let weight = weight_needed(&line(1.25), &pull(1.0)).expect("a sum");
        assert!((weight.0 - 12.783).abs() < 0.002, "{weight:?}");
        // In 0.5 kn the pull is a quarter: 8.80 N, 11.73 N up: 22.00 + 11.73 N, which is 3.44 kg.
        let weight = weight_needed(&line(1.25), &pull(0.5)).expect("a sum");
        assert!((weight.0 - 3.440).abs() < 0.002, "{weight:?}");
        // Upright, the buoy's whole buoyancy lifts.
        let weight = weight_needed(&line(1.0), &pull(0.5)).expect("a sum");
        assert!((weight.0 - (22.0 + 37.358) / 9.80665).abs() < 0.002, "{weight:?}");
        assert_eq!(weight_needed(&line(1.25), &pull(0.0)), Some(Kilograms(0.0)));
    }

    #[test]
    fn more_of_what_pulls_never_needs_less() {
        let mut before = -1.0;
        for step in 0..200 {
            let more = f64::from(step) * 0.025;
            let Kilograms(needed) = weight_needed(&line(1.25), &pull(more)).expect("a sum");
            assert!(needed >= before, "{more} kn: {needed} after {before}");
            before = needed;
            let thick = Pull { line_across: Millimetres(12.0), ..pull(more) };
            let large = Pull { buoy_across: Millimetres(200.0), ..pull(more) };
            for other in [thick, large] {
                assert!(weight_needed(&line(1.25), &other).expect("a sum").0 >= needed);
            }
            // More line lies flatter, and lifts less.
            assert!(weight_needed(&line(1.5), &pull(more)).expect("a sum").0 <= needed);
        }
    }

    #[test]
    fn what_is_no_figure_gives_no_sum() {
        for current in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(weight_needed(&line(1.25), &pull(current)), None);
        }
        for words in ["", "fast", "2 furlongs", "-1", "inf", "1 s", "10.1", "5.2 m/s", "1 mph"] {
            assert_eq!(current_of(words), None, "{words}");
        }
        for words in ["", "thick", "-8 mm", "0 cm", "8 fathoms", "13"] {
            assert_eq!(across_of(words), None, "{words}");
        }
    }

    /// 1 knot is 1852 m in 3600 s, 1 in is 25.4 mm, 1 lb is 0.45359237 kg, all exact (NIST SP 811, appendix B).
    #[test]
    fn figures_are_read_in_either_system() {
        for words in ["1", "1 kn", "1 KT", "1 knot", "1,0 knots", "0.514444 m/s"] {
            let current = current_of(words).expect("a current");
            assert!((current.0 - 0.514444).abs() < 1e-6, "{words}: {current:?}");
        }
        assert_eq!(across_of("5/16 in"), Some(Millimetres(7.9375)));
        assert_eq!([across_of("8 mm"), across_of("0,8 cm")], [Some(Millimetres(8.0)); 2]);
        assert!((Kilograms(10.0).pounds() - 22.046_226).abs() < 1e-6);
        assert_eq!([rounded_up(12.1), rounded_up(99.5), rounded_up(101.0)], [13.0, 100.0, 110.0]);
    }
}
