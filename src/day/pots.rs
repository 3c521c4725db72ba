//! What is typed of a pot, read: a number that is none is said, not dropped, and no two pots have one mark.

use super::book::Book;
use super::rows::{Id, Pot};
use crate::rules::pack::Place;
use crate::units::{MM_PER_INCH, Metres};

/// Deeper no trap is set by hand, m: common practice.
const MOST_DEPTH_M: f64 = 1000.0;
/// Nobody leaves a pot so long, h: two months.
const MOST_SOAK_H: f64 = 1500.0;
/// A fathom is six feet.
const FEET_PER_FATHOM: f64 = 6.0;

/// A pot as it is typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PotDraft {
    /// Mark on its buoy.
    pub label: String,
    /// Depth: `12`, `12.5 m`, `40 ft`, `7 fm`; empty: not said.
    pub depth: String,
    /// The bottom.
    pub bottom: String,
    /// Bait.
    pub bait: String,
    /// To be pulled after so many hours; empty: not said.
    pub due: String,
}

/// Why a pot is not taken as it was typed, with the next step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PotMistake {
    /// No mark.
    #[error("Write the mark that stands on its buoy.")]
    NoMark,
    /// Another pot has it.
    #[error("Another pot has this mark. Give each pot a mark of its own, as A2.")]
    MarkTaken,
    /// The depth is no depth.
    #[error("The depth is no number: write 12 (metres), 40 ft or 7 fm, or leave it empty.")]
    Depth,
    /// The time is none.
    #[error("The time until it is pulled is no number: write hours, as 6 or 1.5, or leave it empty.")]
    Due,
}

impl PotDraft {
    /// The pot as it would be typed.
    pub fn of(pot: &Pot) -> Self {
        // To the centimetre and the hundredth of an hour: no foot is a round number of metres.
        let number = |value: Option<f64>| {
            value.map(|value| format!("{}", (value * 100.0).round() / 100.0)).unwrap_or_default()
        };
        Self {
            label: pot.label.clone(),
            depth: number(pot.depth_m),
            bottom: pot.bottom.clone(),
            bait: pot.bait.clone(),
            due: number(pot.due_after_h),
        }
    }
}

impl Book {
    /// The pot that was typed: a new one, or `changed` with these words; where it is stays.
    pub fn typed_pot(&self, draft: &PotDraft, changed: Option<&Id>) -> Result<Pot, PotMistake> {
        let label = draft.label.trim();
        if label.is_empty() {
            return Err(PotMistake::NoMark);
        }
        let is_same = |pot: &Pot| pot.label.trim().to_lowercase() == label.to_lowercase();
        if self.pots().into_iter().any(|(id, pot)| Some(id) != changed && is_same(pot)) {
            return Err(PotMistake::MarkTaken);
        }
        let before = self.pots().into_iter().find(|(id, _)| Some(*id) == changed);
        Ok(Pot {
            label: label.to_owned(),
            depth_m: depth_m(&draft.depth)?,
            bottom: draft.bottom.trim().to_owned(),
            bait: draft.bait.trim().to_owned(),
            set: before.and_then(|(_, pot)| pot.set),
            place: before.and_then(|(_, pot)| pot.place),
            due_after_h: hours(&draft.due)?,
        })
    }
}

/// A place in degrees and minutes, as the instruments of a boat show it (common practice): `49° 09.954′ N`. A thousandth
/// of a minute is 2 m, less than any phone knows.
pub fn place_words(place: Place) -> String {
    let angle = |degrees: f64, ahead: char, behind: char| {
        // Whole thousandths first: 59.9999 minutes are a degree.
        let thousandths = (degrees.abs() * 60_000.0).round() as u64;
        let (whole, minutes) = (thousandths / 60_000, (thousandths % 60_000) as f64 / 1000.0);
        format!("{whole}° {minutes:06.3}′ {}", if degrees < 0.0 { behind } else { ahead })
    };
    format!("{}, {}", angle(place.latitude_deg, 'N', 'S'), angle(place.longitude_deg, 'E', 'W'))
}

fn depth_m(text: &str) -> Result<Option<f64>, PotMistake> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let is_depth = |depth_m: &f64| (0.0..=MOST_DEPTH_M).contains(depth_m) && *depth_m > 0.0;
    metres_of(text).filter(is_depth).map(Some).ok_or(PotMistake::Depth)
}

/// A depth or a rise as it is typed, in metres: `12`, `40 ft`, `7 fm`. None for what is no number with such a unit.
pub fn metres_of(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    let foot_m = 12.0 * MM_PER_INCH / 1000.0;
    let units = [
        ("fathoms", FEET_PER_FATHOM * foot_m),
        ("fathom", FEET_PER_FATHOM * foot_m),
        ("fm", FEET_PER_FATHOM * foot_m),
        ("feet", foot_m),
        ("ft", foot_m),
        ("metres", 1.0),
        ("meters", 1.0),
        ("m", 1.0),
    ];
    // The longer words come first: "fm" ends in "m".
    let unit = units.into_iter().find_map(|(word, unit)| Some((text.strip_suffix(word)?, unit)));
    let (digits, unit) = unit.unwrap_or((&text, 1.0));
    Some(number(digits)? * unit)
}

fn hours(text: &str) -> Result<Option<f64>, PotMistake> {
    let text = text.trim().to_lowercase();
    if text.is_empty() {
        return Ok(None);
    }
    let digits = text.strip_suffix('h').unwrap_or(&text);
    let hours = number(digits).filter(|hours| *hours > 0.0 && *hours <= MOST_SOAK_H);
    hours.map(Some).ok_or(PotMistake::Due)
}

/// A decimal number with a point or a comma.
fn number(text: &str) -> Option<f64> {
    text.trim().replace(',', ".").parse().ok().filter(|value: &f64| value.is_finite())
}

/// A depth in both units: `12 m (39 ft)`.
pub fn depth_words(depth_m: f64) -> String {
    let tenth = (depth_m * 10.0).round() / 10.0;
    format!("{tenth} m ({:.0} ft)", Metres(depth_m).feet())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::book::Names;
    use crate::day::{StepName, What};

    fn draft(label: &str, depth: &str, due: &str) -> PotDraft {
        let words = |text: &str| text.to_owned();
        PotDraft { label: words(label), depth: words(depth), due: words(due), ..PotDraft::default() }
    }

    /// One foot is 0.3048 m, a fathom six feet (international yard and pound agreement, 1959; from memory, certain).
    #[test]
    fn a_depth_is_read_in_metres_feet_and_fathoms() {
        let depth =
            |text: &str| Book::default().typed_pot(&draft("A", text, ""), None).map(|pot| pot.depth_m);
        for (text, metres) in
            [("12", 12.0), ("12,5 m", 12.5), ("40 ft", 12.192), ("7fm", 12.8016), ("1 Fathom", 1.8288)]
        {
            let read = depth(text).expect(text).expect(text);
            assert!((read - metres).abs() < 1e-9, "{text}: {read}");
        }
        assert_eq!(depth(" "), Ok(None));
        // The line's sum reads the same, and a tide may rise by nothing.
        assert_eq!(metres_of("40 ft").map(|metres| (metres * 1e6).round()), Some(12_192_000.0));
        assert_eq!([metres_of("0"), metres_of(""), metres_of("ft")], [Some(0.0), None, None]);
        for text in ["deep", "12 yards", "-3", "0", "1e9", "NaN", "inf", "m", "1 2"] {
            assert_eq!(depth(text), Err(PotMistake::Depth), "{text}");
        }
    }

    /// Worked by hand: 0.1659 degrees are 9.954 minutes, 0.9401 are 56.406.
    #[test]
    fn a_place_is_told_in_degrees_and_minutes() {
        let words =
            |latitude_deg: f64, longitude_deg: f64| place_words(Place { latitude_deg, longitude_deg });
        assert_eq!(words(49.1659, -123.9401), "49° 09.954′ N, 123° 56.406′ W");
        assert_eq!(words(-33.999_999_9, 18.5), "34° 00.000′ S, 18° 30.000′ E");
    }

    #[test]
    fn a_time_that_is_none_is_said() {
        let due =
            |text: &str| Book::default().typed_pot(&draft("A", "", text), None).map(|pot| pot.due_after_h);
        assert_eq!((due("6"), due("1,5 h"), due("")), (Ok(Some(6.0)), Ok(Some(1.5)), Ok(None)));
        for text in ["soon", "0", "-1", "2000"] {
            assert_eq!(due(text), Err(PotMistake::Due), "{text}");
        }
    }

    #[test]
    fn no_two_pots_have_one_mark() {
        let (mut book, mut names) = (Book::default(), Names { seed: 1, given: 0 });
        let pot = book.typed_pot(&draft(" A1 ", "", ""), None).expect("a pot");
        let id = names.draw();
        let day = jiff::civil::date(2026, 7, 15);
        book.step(&mut names, StepName::Pot, day, vec![(id.clone(), What::Pot(pot))]);
        assert_eq!(book.typed_pot(&draft("a1", "", ""), None), Err(PotMistake::MarkTaken));
        assert!(book.typed_pot(&draft("A1", "9", ""), Some(&id)).is_ok(), "its own mark");
        assert_eq!(book.typed_pot(&draft("  ", "", ""), None), Err(PotMistake::NoMark));
        book.take_away(&mut names, StepName::Pot, day, &id);
        assert!(book.typed_pot(&draft("A1", "", ""), None).is_ok(), "a pot that is gone keeps no mark");
    }

    #[test]
    fn a_pot_that_is_changed_stays_where_it_is() {
        let (mut book, mut names) = (Book::default(), Names { seed: 1, given: 0 });
        let day = jiff::civil::date(2026, 7, 15);
        let set = Some(crate::day::Moment { day, clock: None });
        let (id, pot) = (names.draw(), Pot { label: "A".into(), set, depth_m: Some(3.5), ..Pot::default() });
        book.step(&mut names, StepName::Pot, day, vec![(id.clone(), What::Pot(pot.clone()))]);
        assert_eq!(PotDraft::of(&pot).depth, "3.5");
        let changed = book.typed_pot(&PotDraft { bait: " clam ".into(), ..PotDraft::of(&pot) }, Some(&id));
        assert_eq!(changed, Ok(Pot { bait: "clam".into(), ..pot }));
    }

    #[test]
    fn a_depth_is_told_in_both_units() {
        assert_eq!(depth_words(12.192), "12.2 m (40 ft)");
    }
}
