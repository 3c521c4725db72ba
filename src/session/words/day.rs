//! Words of the day: who may keep what, what can be taken back, which pots are out.

use jiff::civil::Date;

use crate::day::record::Flag;
use crate::day::rows::{CrabEntry, Moment, Pot, Pull};
use crate::day::{Book, End, StepName, Why};
use crate::decide::Call;
use crate::session::{Keeper, Plain};

/// What a button that sorts at a glance says.
pub fn plain_words(plain: Plain) -> &'static str {
    match plain {
        Plain::Female => "Female",
        Plain::Eggs => "With eggs",
        Plain::Soft => "Soft shell",
        Plain::Short => "Too small by the gauge",
        Plain::OtherKind => "Another kind",
        Plain::OneClaw => "One claw",
        Plain::NotNeeded => "Not needed",
        Plain::Keeper => "Hard male, of size by the gauge",
    }
}

/// Why a crab was let go.
pub fn why_words(why: Why) -> &'static str {
    match why {
        Why::Female => "a female",
        Why::Eggs => "with eggs",
        Why::Soft => "soft shell",
        Why::Short => "too small",
        Why::OtherKind => "another kind",
        Why::OneClaw => "one claw",
        Why::NotNeeded => "not needed",
        Why::Verdict => "by the verdict",
    }
}

/// Why a crab that the person lets go by choice goes back.
pub fn choice_words(why: Why) -> Option<&'static str> {
    match why {
        Why::OneClaw => Some("A crab with one claw can grow the other again."),
        Why::NotNeeded => Some("You do not need it."),
        _ => None,
    }
}

/// What a person may still keep: `3 of 5; 2 left`, `5 of 5: full`.
pub fn left_words(kept: u32, limit: u32) -> String {
    match limit.saturating_sub(kept) {
        0 => format!("{kept} of {limit}: full"),
        1 => format!("{kept} of {limit}: one left"),
        left => format!("{kept} of {limit}: {left} left"),
    }
}

/// The button that keeps the crab in hand for a person.
pub fn keep_words(keeper: &Keeper, is_alone: bool) -> String {
    let count = keeper.count.map(|(kept, limit)| format!(" ({kept} of {limit} so far)")).unwrap_or_default();
    if is_alone { "I kept it: count it".to_owned() } else { format!("Kept: {}{count}", keeper.name) }
}

/// What became of a crab, for the list of the day.
pub fn end_words(book: &Book, crab: &CrabEntry) -> String {
    match &crab.end {
        End::Kept { by, despite: None } => format!("kept by {}", book.name_of(by)),
        End::Kept { by, despite: Some(reason) } => {
            format!("kept by {} against the verdict: {reason}", book.name_of(by))
        }
        End::Released(why) => format!("let go: {}", why_words(*why)),
    }
}

/// What is to be settled before a day is written down.
pub fn flag_words(flag: &Flag) -> String {
    match flag {
        Flag::Despite { call, reason } => {
            let said = match call {
                Some(Call::Keep) => "keep",
                Some(Call::Release) => "release",
                Some(Call::Gauge) => "gauge it by hand",
                None => "nothing yet",
            };
            format!("Kept though the page said {said}. Your reason: {reason}")
        }
        Flag::SexNotSaid(count) => format!("The sex of {count} was not said."),
        Flag::OverLimit { kept, limit, kind } => format!("{kept} {kind}, and the limit is {limit}."),
        Flag::WrittenGone(count) => format!(
            "{count} that you wrote on the record no longer count here: mend the record, or keep them again."
        ),
        Flag::KeptSince(count) => format!("{count} kept since you wrote on the record."),
    }
}

/// The step that can be taken back.
pub fn undo_words(book: &Book, today: Date) -> Option<String> {
    let step = book.last_step().filter(|step| step.day == today)?;
    let of_crab = || book.last_crab().map(|crab| end_words(book, crab));
    let what = match step.name {
        StepName::Kept | StepName::Released => of_crab().unwrap_or_else(|| "a crab".into()),
        StepName::Reopened => "the change to the last crab".into(),
        StepName::Person => "person changed".into(),
        StepName::Pot => "pot changed".into(),
        StepName::Pull => "pot pulled".into(),
        StepName::PullSorted => "pull sorted".into(),
        StepName::Earlier => "crabs of earlier days".into(),
        StepName::Written => "record ticked".into(),
    };
    Some(format!("Take back: {what}"))
}

/// Hours and minutes: `2 h 05 min`.
pub fn hours_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round().max(0.0) as u64;
    if minutes < 60 {
        format!("{minutes} min")
    } else {
        format!("{} h {:02} min", minutes / 60, minutes % 60)
    }
}

/// Where a pot is: `in the water for 2 h 05 min`, `aboard`; overdue is said.
pub fn pot_words(pot: &Pot, now: &Moment) -> String {
    let Some(set) = &pot.set else { return "aboard".into() };
    match now.hours_since(set) {
        Some(soak) if is_overdue(pot, now) => format!("overdue: in the water for {}", hours_words(soak)),
        Some(soak) => format!("in the water for {}", hours_words(soak)),
        None => "in the water".into(),
    }
}

/// True once a pot soaked longer than it was to.
pub fn is_overdue(pot: &Pot, now: &Moment) -> bool {
    let soak = pot.set.as_ref().and_then(|set| now.hours_since(set));
    soak.zip(pot.due_after_h).is_some_and(|(soak, due)| soak > due)
}

/// The pots that are overdue.
pub fn overdue_words(book: &Book, now: &Moment) -> Option<String> {
    let overdue: Vec<&str> = book
        .pots()
        .into_iter()
        .filter(|(_, pot)| is_overdue(pot, now))
        .map(|(_, pot)| pot.label.as_str())
        .collect();
    (!overdue.is_empty()).then(|| format!("Overdue: pot {}.", overdue.join(", ")))
}

/// The pull in hand: `Pot 3: 4 sorted, 1 kept`.
pub fn pull_words(book: &Book) -> Option<String> {
    let (id, pull): (_, &Pull) = book.pull_in_hand()?;
    let kept = book.crabs_of_pull(id).filter(|(_, crab)| matches!(crab.end, End::Kept { .. })).count();
    let sorted = book.crabs_of_pull(id).count();
    Some(format!("Pot {}: {sorted} sorted, {kept} kept", pull.as_pulled.label))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_left_and_full_are_said() {
        assert_eq!(left_words(3, 5), "3 of 5: 2 left");
        assert_eq!(left_words(4, 5), "4 of 5: one left");
        assert_eq!(left_words(5, 5), "5 of 5: full");
        assert_eq!(left_words(6, 5), "6 of 5: full");
    }

    #[test]
    fn a_time_of_soak_is_told_in_hours_and_minutes() {
        assert_eq!(hours_words(0.5), "30 min");
        assert_eq!(hours_words(2.0 + 5.0 / 60.0), "2 h 05 min");
    }
}
