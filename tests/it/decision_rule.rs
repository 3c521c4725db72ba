//! The decision rule against the worked examples of JCGM 106:2012, clause 9.5: the risks of the whole
//! production, by integrating over true and measured values with the rule itself in the middle.

use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::terms::Dimension;
use shellspan::units::Millimetres;

/// Shares of all that is made: out of tolerance and accepted (the consumer's risk), within and not accepted
/// (the producer's risk).
struct Risks {
    consumer: f64,
    producer: f64,
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// Midpoint sums over the true value in `from`..`to` and the measured one, 5 u beyond.
fn risks(density: impl Fn(f64) -> f64, [from, to]: [f64; 2], u: f64, size: Size, wrong_keep: f64) -> Risks {
    let risk = Risk { wrong_keep, ..Risk::default() };
    let step = u / 50.0;
    let cells = |from: f64, to: f64| {
        let count = ((to - from) / step).round() as usize;
        (0..count).map(move |at| from + (at as f64 + 0.5) * step)
    };
    let measured: Vec<(f64, bool)> = cells(from - 5.0 * u, to + 5.0 * u)
        .map(|y| {
            let found = conformity(&MeasuredWidth::normal(y, u, Dimension::Notch), size, risk);
            (y, found.expect("a distribution").1 == Conformity::Conforms)
        })
        .collect();
    let mut sums = Risks { consumer: 0.0, producer: 0.0 };
    for x in cells(from, to) {
        let near = measured.iter().filter(|(y, _)| (y - x).abs() <= 5.0 * u);
        let accepted: f64 =
            near.filter(|(_, is_kept)| *is_kept).map(|(y, _)| normal_density((y - x) / u) * step / u).sum();
        let is_within = size.min.is_none_or(|min| min.0 <= x) && size.max.is_none_or(|max| x <= max.0);
        let share = density(x) * step;
        if is_within {
            sums.producer += share * (1.0 - accepted);
        } else {
            sums.consumer += share * accepted;
        }
    }
    sums
}

#[track_caller]
fn close(got: f64, wanted: f64, tolerance: f64) {
    assert!((got - wanted).abs() <= tolerance, "{got} is not {wanted}");
}

/// One-sided risk at a guard band of `z` standard uncertainties.
fn risk_at(z: f64) -> f64 {
    shellspan::decide::size::conformity::normal_cdf(-z)
}

/// Source: JCGM 106:2012, 9.5.4: radial error motion of ball bearings, at most 2 um; production gamma with
/// shape 4 and scale 1/4 um, u 0.25 um. Accepting up to 2 um: consumer's risk 0.802 %; a consumer's risk of
/// 0.1 % needs the acceptance limit 1.672 um (both read in Sandia's suncal, "Risk - Ball Bearing", d44c2cc);
/// the producer's risks 1.74 % and 7.55 % are recomputed.
#[test]
fn ball_bearings_of_9_5_4() {
    let at_most = Size { min: None, max: Some(Millimetres(2.0)) };
    // x^3 e^(-x / s) / (3! s^4) with s = 1/4.
    let gamma = |x: f64| x.powi(3) * (-4.0 * x).exp() * 256.0 / 6.0;
    let bare = risks(gamma, [0.0, 6.0], 0.25, at_most, 0.5);
    close(bare.consumer, 0.00802, 2e-5);
    close(bare.producer, 0.0174, 1e-4);
    let guarded = risks(gamma, [0.0, 6.0], 0.25, at_most, risk_at((2.0 - 1.672) / 0.25));
    close(guarded.consumer, 0.001, 5e-5);
    close(guarded.producer, 0.0755, 1e-3);
}

/// Source: JCGM 106:2012, 9.5.3: resistors of 1500 +- 0.2 ohm, production's sd 0.12 ohm, u 0.04 ohm (inputs
/// from memory, results recomputed with SciPy): accepting at the limits 1.894 % and 3.721 %, with a guard band
/// of u 0.433 % and 11.47 %, of 2 u 0.0469 % and 24.77 %.
#[test]
fn resistors_of_9_5_3() {
    let (u, sd) = (0.04, 0.12);
    let size = Size { min: Some(Millimetres(1499.8)), max: Some(Millimetres(1500.2)) };
    let production = |x: f64| normal_density((x - 1500.0) / sd) / sd;
    for (z, consumer, producer) in [(0.0, 0.01894, 0.03721), (1.0, 0.00433, 0.1147), (2.0, 0.000_469, 0.2477)]
    {
        let found = risks(production, [1499.2, 1500.8], u, size, risk_at(z));
        close(found.consumer, consumer, 0.01 * consumer + 1e-6);
        close(found.producer, producer, 0.01 * producer);
    }
}
