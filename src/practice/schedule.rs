//! When a mistake comes back: the SM-2 schedule.
//!
//! Source: P. A. Wozniak, *Optimization of learning*, master's thesis, Poznan 1990, chapter 3.2: "Application of a computer
//! to improve the results obtained in working with the SuperMemo method" (algorithm SM-2, its seven steps).

use jiff::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Where the E-factor starts, and below which it does not go.
const FIRST_FACTOR: f64 = 2.5;
const LEAST_FACTOR: f64 = 1.3;
/// The first and the second interval, in days.
const FIRST_DAYS: i64 = 1;
const SECOND_DAYS: i64 = 6;
/// An answer below this starts anew, and one below the next comes again the same day.
const PASSED: u8 = 3;
const GOOD: u8 = 4;
/// No interval grows beyond ten years.
const MOST_DAYS: i64 = 3650;

/// How well an item was known: the grades of SM-2.
pub type Grade = u8;

/// One item to be repeated.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Item {
    /// The E-factor: how easily it is remembered.
    pub factor: f64,
    /// Repetitions passed in a row.
    pub repetitions: u32,
    /// The interval in force, in days.
    pub days: i64,
    /// Comes again the same day, until the grade is 4 at least.
    pub again_today: bool,
    /// The day it is due.
    pub due: Date,
}

impl Item {
    /// An item that was met for the first time on `today`.
    pub fn new(today: Date) -> Self {
        Self { factor: FIRST_FACTOR, repetitions: 0, days: 0, again_today: true, due: today }
    }

    /// The item after it was answered with `grade` (0 to 5) on `today`.
    #[must_use]
    pub fn answered(self, grade: Grade, today: Date) -> Self {
        let again_today = grade < GOOD;
        if self.again_today && self.days > 0 {
            // Step 7 repeats an item until it is known; the interval was set by the first answer of the day.
            return Self { again_today, ..self };
        }
        let (repetitions, factor) = if grade < PASSED {
            // Step 6: from the beginning, the E-factor unchanged.
            (1, self.factor)
        } else {
            (self.repetitions + 1, factor_after(self.factor, grade))
        };
        let days = match repetitions {
            1 => FIRST_DAYS,
            2 => SECOND_DAYS,
            // Step 2: fractions are rounded up.
            _ => (self.days as f64 * factor).ceil() as i64,
        }
        .min(MOST_DAYS);
        Self { factor, repetitions, days, again_today, due: today.saturating_add(Span::new().days(days)) }
    }

    /// True when it is to be asked on `today`.
    pub fn is_due(&self, today: Date) -> bool {
        self.again_today || self.due <= today
    }
}

/// Step 5: EF' = EF + (0.1 - (5 - q) (0.08 + (5 - q) 0.02)), at least 1.3.
fn factor_after(factor: f64, grade: Grade) -> f64 {
    let missing = 5.0 - f64::from(grade.min(5));
    (factor + 0.1 - missing * (0.08 + missing * 0.02)).max(LEAST_FACTOR)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const DAY: Date = date(2026, 7, 1);

    /// Source: as in the head: I(1) = 1, I(2) = 6, I(n) = I(n-1) EF, rounded up. By hand with q = 4, which leaves the
    /// factor at 2.5: 1, 6, 15, 38, 95 days.
    #[test]
    fn the_intervals_are_the_published_ones() {
        let (mut item, mut today) = (Item::new(DAY), DAY);
        let mut days = Vec::new();
        for _ in 0..5 {
            item = item.answered(4, today);
            days.push(item.days);
            assert!(!item.is_due(item.due.yesterday().expect("a day before")));
            assert!(item.is_due(item.due));
            today = item.due;
        }
        assert_eq!(days, [1, 6, 15, 38, 95]);
    }

    /// Source: as in the head; the changes of the factor by grade are +0.10, 0.00, -0.14, and -0.32, -0.54, -0.80 for the
    /// grades at which step 6 leaves it unchanged.
    #[test]
    fn the_factor_moves_as_published() {
        for (grade, change) in [(5, 0.1), (4, 0.0), (3, -0.14), (2, -0.32), (1, -0.54), (0, -0.8)] {
            assert!((factor_after(2.5, grade) - (2.5 + change)).abs() < 1e-12, "{grade}");
            let item = Item { again_today: false, days: 6, repetitions: 2, ..Item::new(DAY) };
            let expected = if grade < 3 { 2.5 } else { 2.5 + change };
            assert!((item.answered(grade, DAY).factor - expected).abs() < 1e-12, "{grade}");
        }
        assert_eq!(factor_after(1.35, 3), 1.3);
    }

    #[test]
    fn what_was_not_known_comes_again_the_same_day_and_starts_anew() {
        let known = Item { again_today: false, days: 38, repetitions: 4, ..Item::new(DAY) };
        let failed = known.answered(2, DAY);
        assert_eq!((failed.days, failed.repetitions, failed.again_today), (1, 1, true));
        assert!(failed.is_due(DAY));
        let still = failed.answered(3, DAY);
        assert!(still.is_due(DAY), "3 is passed but still comes again");
        let known = still.answered(5, DAY);
        assert!(!known.is_due(DAY));
        assert_eq!(known.days, 1, "the interval was set by the first answer");
        assert!(known.is_due(DAY.tomorrow().expect("a day after")));
    }
}
