//! What the double-check of a day says before the record.

use super::steps_tests::{day, keep};
use crate::day::Id;
use crate::day::record::{Duty, Flag};
use crate::decide::Check;
use crate::session::tests::{after, keeper, start};
use crate::session::{Action, DayAct, Plain, Reply};

/// Five kept of five are no more than the limit; each whose sex was not said is told.
#[test]
fn a_full_day_is_not_over_the_limit() {
    let mut session = start();
    for _ in 0..5 {
        session = after(keeper(session), [keep(), Action::NextCrab]);
    }
    assert_eq!(session.double_check()[0].flags, []);
    let despite = DayAct::KeepDespite(Id::first_person(), "for the survey".into());
    let kind = Action::Reply(Reply::Kind("dungeness".into()));
    let sixth = after(session, [kind, Action::Reply(Reply::NotSure(Check::Sex)), day(despite)]);
    let flags = &sixth.double_check()[0].flags;
    let over = |flag: &Flag| matches!(flag, Flag::OverLimit { kept: 6, limit: 5, .. });
    assert!(flags.iter().any(over) && flags.contains(&Flag::SexNotSaid(1)), "{flags:?}");
    assert_eq!(sixth.double_check()[0].lines[0].males, 5);
}

/// Puget Sound: either sex of red rock crab may be kept, and only Dungeness are known to go on the catch record card
/// (us-wa, WDFW): nobody has to have looked.
#[test]
fn the_sex_of_a_crab_that_goes_on_no_record_is_not_asked_for() {
    let kind = Action::Reply(Reply::Kind("red-rock".into()));
    let looked_up = after(start(), [kind, Action::Reply(Reply::Season(true)), Action::NextCrab]);
    let kept = after(looked_up, [day(DayAct::Sort(Plain::EitherKeeper)), keep(), Action::NextCrab]);
    let checked = &kept.double_check()[0];
    assert_eq!((checked.lines[0].count, checked.lines[0].males, &checked.flags[..]), (1, 0, &[][..]));
}

/// Where the rule shown says nothing of a record, the crab is told as one to look up, not passed over.
#[test]
fn a_crab_of_a_water_without_words_on_records_is_to_be_looked_up() {
    let kept = keeper(start()).apply(keep());
    let days = kept.book.double_check(kept.date(), &|_| None, &|_, _| None);
    assert_eq!((days[0].to_write.len(), days[0].lines[0].duty), (1, Duty::NotKnown));
}
