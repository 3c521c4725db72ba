//! What the page's first program does alone is what the whole reducer does.

use super::*;
use crate::decide::LocalClock;
use crate::rules::built_in_pack;

/// Every action of the first screen, one after the other.
fn early() -> Vec<Action> {
    let restored = Action::RestoreRules {
        choice: Some(crate::rules::Choice::of("us-wa", "puget-sound")),
        confirmations: Vec::new(),
        season_words: Vec::new(),
        own: Vec::new(),
    };
    let day = Action::Day;
    vec![
        Action::Restore(Settings::default()),
        restored,
        day(DayAct::Begin { seed: 7, kind: Some("dungeness".into()) }),
        day(DayAct::Loaded(Vec::new())),
        Action::PacksLoaded(Rc::new(vec![built_in_pack()])),
        Action::SetClock(LocalClock { time: jiff::civil::time(10, 0, 0, 0), utc_offset_minutes: -480 }),
        Action::SetTheme(Theme::Night),
        Action::SetVibration(false),
        day(DayAct::LastKind(Some("dungeness".into()))),
        Action::SetDate(Some(date(2026, 11, 24))),
        Action::SetDate(None),
        day(DayAct::Sort(Plain::Short)),
        Action::Show(Screen::Day),
        day(DayAct::Undo),
        day(DayAct::Redo),
        day(DayAct::Sort(Plain::Keeper)),
        Action::NextCrab,
        Action::LookAt(crate::decide::Check::Kind),
        day(DayAct::Heard(Vec::new(), Vec::new())),
        day(DayAct::Saved(Vec::new(), Vec::new())),
        day(DayAct::DiskLost),
        day(DayAct::PullSorted),
        Action::SetToday(date(2026, 11, 26)),
    ]
}

#[test]
fn the_first_screen_needs_nothing_of_the_second_program() {
    let mut session = Session::new(date(2026, 11, 25));
    for action in early() {
        let whole = session.apply(action.clone());
        let alone = session.apply_early(action.clone());
        assert_eq!(alone, Ok(whole.clone()), "{action:?}");
        session = whole;
    }
    assert!(session.rules.in_force.is_some());
}

/// Nothing is lost and nothing is done by half: the same action comes back.
#[test]
fn what_needs_the_second_program_comes_back() {
    let own = crate::rules::write_pack(&built_in_pack());
    let restored = Action::RestoreRules {
        choice: None,
        confirmations: Vec::new(),
        season_words: Vec::new(),
        own: vec![own],
    };
    let late = [
        take_photo(),
        restored,
        Action::Day(DayAct::Restore(Vec::new())),
        Action::Reply(Reply::Kind("dungeness".into())),
        Action::ImportPack(String::new()),
        Action::Learn(LearnAct::Open("height".into())),
    ];
    for action in late {
        assert_eq!(start().apply_early(action.clone()), Err(Box::new(action)));
    }
    // With a photo in hand every action may touch the width.
    let measuring = start().apply(take_photo());
    for action in early() {
        assert_eq!(measuring.apply_early(action.clone()), Err(Box::new(action)));
    }
}

/// Another tab took its own pack away: it is gone here too.
#[test]
fn who_has_no_own_pack_any_more_is_left_with_none() {
    let own = start().apply(Action::ImportPack(crate::rules::write_pack(&built_in_pack())));
    assert_eq!(own.rules.own.len(), 1);
    let restored = Action::RestoreRules {
        choice: None,
        confirmations: Vec::new(),
        season_words: Vec::new(),
        own: Vec::new(),
    };
    let without = own.apply_early(restored).expect("nothing to read");
    assert!(without.rules.own.is_empty());
    assert_eq!(without.rules.choice, own.rules.choice);
}
