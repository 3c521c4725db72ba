//! Quantities as people read them: millimetres, inches as fractions and as decimals.

use crate::units::{MM_PER_INCH, Millimetres};

/// A length to the nearest sixteenth of an inch, with what the fraction leaves over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sixteenths {
    /// The whole length in sixteenths.
    pub count: i64,
    /// What the true length has beyond `count` sixteenths; negative when it is shorter.
    pub remainder: Millimetres,
}

impl Sixteenths {
    /// The nearest sixteenth. `None` for what is not a finite length of less than a kilometre.
    pub fn of(length: Millimetres) -> Option<Self> {
        let sixteenths = length.inches() * 16.0;
        if sixteenths.is_nan() || sixteenths.abs() > 1e6 {
            return None;
        }
        let count = sixteenths.round();
        let remainder = Millimetres(length.0 - count * MM_PER_INCH / 16.0);
        Some(Self { count: count as i64, remainder })
    }
}

/// Sixteenths in lowest terms: `6 5/16`, `6 1/4`, `6`, `1/2`, `0`.
pub fn fraction(sixteenths: i64) -> String {
    let sign = if sixteenths < 0 { "-" } else { "" };
    let (whole, mut over) = (sixteenths.abs() / 16, sixteenths.abs() % 16);
    let mut under = 16;
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    match (whole, over) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    }
}

/// `6 5/16 in, give or take 1/16`: the uncertainty is rounded up to a sixteenth, never to nothing.
pub fn inches_with_uncertainty(width: Millimetres, u: Millimetres) -> String {
    let give = (u.inches() * 16.0).ceil().clamp(1.0, 1e6) as i64;
    match Sixteenths::of(width) {
        Some(near) => format!("{} in, give or take {}", fraction(near.count), fraction(give)),
        None => "unknown".into(),
    }
}

/// `6.30 in; 0.3 mm short of 6 5/16`: the decimals, and what the fraction leaves over.
pub fn inches_decimal(width: Millimetres) -> String {
    let Some(near) = Sixteenths::of(width) else { return "unknown".into() };
    let over = near.remainder.0;
    let word = if over < 0.0 { "short of" } else { "over" };
    if over.abs() < 0.05 {
        return format!("{:.2} in", width.inches());
    }
    format!("{:.2} in; {:.1} mm {word} {} in", width.inches(), over.abs(), fraction(near.count))
}

/// A distance for the eye: `62 cm`.
pub fn centimetres(distance: Millimetres) -> String {
    if distance.0.is_finite() { format!("{:.0} cm", distance.0 / 10.0) } else { "unknown".into() }
}

/// A length or a difference of lengths in both units: `10.9 mm (0.43 in)`. A line may end before the bracket, never
/// between a figure and its unit.
pub fn length_both(length: Millimetres) -> String {
    format!("{:.1}\u{a0}mm ({:.2}\u{a0}in)", length.0, length.inches())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_in_lowest_terms() {
        let cases = [(0, "0"), (8, "1/2"), (96, "6"), (100, "6 1/4"), (101, "6 5/16"), (-4, "-1/4")];
        for (sixteenths, expected) in cases {
            assert_eq!(fraction(sixteenths), expected);
        }
    }

    /// 25.4 mm to the inch: 6 1/4 in is 158.75 mm, exactly (international inch, 1959).
    #[test]
    fn the_exact_limit_reads_as_itself() {
        assert_eq!(
            inches_with_uncertainty(Millimetres(158.75), Millimetres(1.5)),
            "6 1/4 in, give or take 1/16"
        );
        assert_eq!(inches_decimal(Millimetres(158.75)), "6.25 in");
    }

    #[test]
    fn the_remainder_is_told() {
        assert_eq!(inches_decimal(Millimetres(160.0)), "6.30 in; 0.3 mm short of 6 5/16 in");
        assert_eq!(inches_decimal(Millimetres(159.2)), "6.27 in; 0.4 mm over 6 1/4 in");
    }

    #[test]
    fn uncertainty_never_rounds_away() {
        assert_eq!(
            inches_with_uncertainty(Millimetres(160.0), Millimetres(0.1)),
            "6 5/16 in, give or take 1/16"
        );
        assert_eq!(
            inches_with_uncertainty(Millimetres(160.0), Millimetres(1.7)),
            "6 5/16 in, give or take 1/8"
        );
    }

    #[test]
    fn what_is_no_length_says_so() {
        assert_eq!(inches_decimal(Millimetres(f64::NAN)), "unknown");
        assert_eq!(centimetres(Millimetres(f64::INFINITY)), "unknown");
    }

    /// Source: 1 in = 25.4 mm exactly (agreement of 1959).
    #[test]
    fn a_length_in_both_units_holds_together() {
        assert_eq!(length_both(Millimetres(10.85)), "10.8\u{a0}mm (0.43\u{a0}in)");
        assert_eq!(length_both(Millimetres(25.4)), "25.4\u{a0}mm (1.00\u{a0}in)");
    }
}
