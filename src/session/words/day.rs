//! Words of the day: who may keep what, what can be taken back, which pots are out.

use jiff::civil::Date;

use crate::day::record::{Card, Duty, Flag, RecordLine};
use crate::day::rows::{CrabEntry, Moment, Pot, Pull};
use crate::day::{Book, End, StepName, What, Why};
use crate::decide::Call;
use crate::rules::when::Sex;
use crate::session::{Keeper, PartLine, Plain, PotCount};

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
        Plain::FemaleKeeper => "Hard female, no eggs, of size by the gauge",
        Plain::MatureKeeper => "Hard mature female, no eggs, of size by the gauge",
        Plain::ImmatureKeeper => "Hard immature female, no eggs, of size by the gauge",
        Plain::EitherKeeper => "Hard, no eggs, of size by the gauge",
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
pub fn choice_words(why: Why) -> String {
    match why {
        Why::OneClaw => "A crab with one claw can grow the other again.".to_owned(),
        Why::NotNeeded => "You do not need it.".to_owned(),
        why => format!("You let it go: {}.", why_words(why)),
    }
}

/// What a person may still keep: `3 of 5; 2 left`, `5 of 5: full`.
pub fn left_words(kept: u32, limit: u32) -> String {
    match limit.saturating_sub(kept) {
        0 if kept > limit => format!("{kept} of {limit}: {} over the limit", kept - limit),
        0 => format!("{kept} of {limit}: full"),
        1 => format!("{kept} of {limit}: one left"),
        left => format!("{kept} of {limit}: {left} left"),
    }
}

/// What stands against a limit on a part of a kind: `7 of 5: 2 over the limit (blue swimmer; female)`.
pub fn part_words(line: &PartLine, kind: &str) -> String {
    let whose = if line.is_of_boat { "The whole boat: " } else { "" };
    format!("{whose}{} ({kind}; {})", left_words(line.kept, line.limit), line.of)
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
            let against = if crab.verdict.is_some() { "against the verdict" } else { "unchecked" };
            format!("kept by {} {against}: {reason}", book.name_of(by))
        }
        End::Released(why) => format!("let go: {}", why_words(*why)),
    }
}

/// A crab's sex, as far as it was said.
pub fn sex_words(crab: &CrabEntry) -> &'static str {
    match crab.traits.sex {
        Some(Sex::Male) => "male",
        Some(Sex::Female) => "female",
        None => "sex not said",
    }
}

/// Where a crab came from: `Hood Canal, pot A`; none: neither water nor pot is known.
pub fn from_words(book: &Book, crab: &CrabEntry) -> Option<String> {
    let water = Some(crab.water.name.clone()).filter(|name| !name.is_empty());
    let pot = crab.pull.as_ref().and_then(|id| match &book.row(id)?.what {
        What::Pull(pull) => Some(format!("pot {}", pull.as_pulled.label)),
        _ => None,
    });
    let known: Vec<String> = water.into_iter().chain(pot).collect();
    (!known.is_empty()).then(|| known.join(", "))
}

/// The verdict in a word or two.
pub fn call_words(call: Call) -> &'static str {
    match call {
        Call::Keep => "keep",
        Call::Release => "release",
        Call::Gauge => "gauge it by hand",
    }
}

/// Where crabs of one line of a person's record go.
pub fn duty_words(line: &RecordLine) -> String {
    match (line.duty, &line.card) {
        (Duty::NotRequired, _) => "The source says that no record is needed.".to_owned(),
        (Duty::NotKnown, Card::Unnamed) => "The rule shown says nothing of a record: look it up.".to_owned(),
        (_, Card::Unnamed) => "Goes on the official record.".to_owned(),
        (_, Card::Named(card)) => format!("Goes on the official record: {card}."),
        (_, Card::NoneOnDay) => {
            "Goes on the official record. No card is known for this day: look it up.".to_owned()
        }
    }
}

/// What is to be settled before a day is written down.
pub fn flag_words(flag: &Flag) -> String {
    match flag {
        Flag::Despite { call, reason } => {
            let said = call.map_or("nothing yet", call_words);
            format!("Kept though the page said {said}. Your reason: {reason}")
        }
        Flag::SexNotSaid(count) => format!("The sex of {count} was not said."),
        Flag::OverLimit { kept, limit, kind } => format!("{kept} {kind}, and the limit is {limit}."),
        Flag::OverPart { kept, limit, kind, of } => {
            format!("{kept} {kind} count, and the limit is {limit} for: {of}.")
        }
        Flag::WrittenGone(count) => format!(
            "{count} that you wrote on the record no longer count here: mend the record, or keep them again."
        ),
        Flag::KeptSince(count) => format!("{count} kept since you wrote on the record."),
    }
}

/// What a step did: with the crab it sorted, the person, the pot.
fn step_words(book: &Book, name: StepName, what: Option<&What>, is_gone: bool) -> String {
    match (name, what) {
        (_, Some(What::Crab(crab))) if name != StepName::Reopened => {
            format!("{}{}", end_words(book, crab), time_words(&crab.at))
        }
        (StepName::Kept | StepName::Released, _) => "a crab".into(),
        (StepName::Reopened, _) => "the change to the last crab".into(),
        (StepName::Pot, Some(What::Pot(pot))) if is_gone => format!("pot {} removed", pot.label),
        (StepName::Pot, Some(What::Pot(pot))) if pot.set.is_some() => {
            format!("pot {} set or changed", pot.label)
        }
        (StepName::Pot, Some(What::Pot(pot))) => format!("pot {} named or changed", pot.label),
        (StepName::Pot, _) => "pot changed".into(),
        (StepName::Person, Some(What::Person(person))) => format!("{} named or changed", person.name),
        (StepName::Person, _) => "person changed".into(),
        (StepName::Pull, _) => "pot pulled".into(),
        (StepName::PullSorted, Some(What::Pull(pull))) => format!("pot {} sorted", pull.as_pulled.label),
        (StepName::PullSorted, _) => "pull sorted".into(),
        (StepName::Earlier, _) => "crabs of earlier days".into(),
        (StepName::Written, _) => "record ticked".into(),
    }
}

/// The local time of day: `, 10:42`; empty without a clock.
fn time_words(at: &Moment) -> String {
    at.clock.map(|clock| format!(", {:02}:{:02}", clock.time.hour(), clock.time.minute())).unwrap_or_default()
}

/// The step that can be taken back, and whether another tab made it.
pub fn undo_words(book: &Book, today: Date) -> Option<String> {
    let step = book.last_step().filter(|step| step.day == today)?;
    let whose = if book.is_last_step_of_another() { " (in another tab)" } else { "" };
    Some(format!(
        "Take back{whose}: {}",
        step_words(book, step.name, book.last_changed(), book.is_last_taken_away())
    ))
}

/// The step that was taken back, and can be made again.
pub fn redo_words(book: &Book, today: Date) -> Option<String> {
    let undone = book.undone().filter(|undone| undone.day == today)?;
    Some(format!("Do it again: {}", step_words(book, undone.name, undone.first(), undone.takes_away())))
}

/// What is said where the device's clock stands before the last thing that was written down.
pub fn clock_words(book: &Book, now: &Moment) -> Option<String> {
    /// Two devices, or a clock that is set right by the network, differ by a few minutes.
    const NEAR_MIN: i64 = 5;
    let latest = book.latest()?;
    let is_behind = match (latest.utc_minutes(), now.utc_minutes()) {
        (Some(latest), Some(now)) => latest > now + NEAR_MIN,
        _ => latest.day > now.day,
    };
    is_behind.then(|| {
        format!(
            "The clock of this device stands before your last entry ({}{}): set it right. Nothing is lost, but days \
             and soak times count by it.",
            latest.day,
            time_words(&latest)
        )
    })
}

/// How many pots are out, of how many the rule allows here.
pub fn pots_words(PotCount { out, most, persons }: PotCount) -> String {
    let aboard = if persons == 1 { "1 person".to_owned() } else { format!("{persons} persons") };
    match most.checked_sub(out) {
        Some(0) => format!("Pots: {out} of {most} for {aboard} are in the water: not one more."),
        Some(left) => {
            format!("Pots: {out} of {most} for {aboard} are in the water: {left} more may go over.")
        }
        None => format!("Pots: {out} are in the water, {most} are allowed for {aboard}: too many."),
    }
}

/// How often a pot was pulled: `pulled once`.
pub fn pulls_words(pulls: u32) -> String {
    match pulls {
        1 => "pulled once".into(),
        pulls => format!("pulled {pulls} times"),
    }
}

/// The button that ticks a day: what was written on the record, and what it is not known of whether it goes there.
pub fn written_words(unwritten: usize, not_known: usize) -> String {
    match unwritten.saturating_sub(not_known) {
        0 => format!("I looked up {not_known}, and wrote what goes on the record"),
        all if not_known == 0 => format!("I wrote {all} on the official record"),
        some => format!("I wrote {some} on the official record, and looked up {not_known} more"),
    }
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
    fn the_tick_tells_apart_what_goes_on_the_record_and_what_is_to_be_looked_up() {
        assert_eq!(written_words(3, 0), "I wrote 3 on the official record");
        assert_eq!(written_words(3, 1), "I wrote 2 on the official record, and looked up 1 more");
        assert_eq!(written_words(2, 2), "I looked up 2, and wrote what goes on the record");
    }

    #[test]
    fn a_pot_is_pulled_once_or_so_many_times() {
        assert_eq!([1, 2].map(pulls_words), ["pulled once", "pulled 2 times"]);
    }

    #[test]
    fn one_left_and_full_are_said() {
        assert_eq!(left_words(3, 5), "3 of 5: 2 left");
        assert_eq!(left_words(4, 5), "4 of 5: one left");
        assert_eq!(left_words(5, 5), "5 of 5: full");
        assert_eq!(left_words(6, 5), "6 of 5: 1 over the limit");
    }

    #[test]
    fn a_time_of_soak_is_told_in_hours_and_minutes() {
        assert_eq!(hours_words(0.5), "30 min");
        assert_eq!(hours_words(2.0 + 5.0 / 60.0), "2 h 05 min");
    }
}
