//! The day as the session has it: limits for each person, steps back, the crab in hand counted once.

use jiff::civil::date;

use crate::day::rows::{Licence, Row};
use crate::day::{Id, Person, What, Why};
use crate::decide::{Call, GaugeReading, Verdict};
use crate::rules::when::{Sex, Stage};
use crate::session::photo::practice::TrueWidths;
use crate::session::tests::{after, keeper, start, take_photo};
use crate::session::{Action, DayAct, Plain, Reply, Screen, Session};

pub(super) fn call(session: &Session) -> Option<Call> {
    session.outcome().and_then(|outcome| outcome.verdict().map(Verdict::call))
}

fn keep() -> Action {
    Action::Day(DayAct::Keep(Id::first_person()))
}

fn undo() -> Action {
    Action::Day(DayAct::Undo)
}

fn person(name: &str) -> Action {
    let person = Person { name: name.into(), is_aboard: true, licence: Licence::Has, licence_for: None };
    Action::Day(DayAct::Person(None, person))
}

/// Dungeness are sorted, and the water was looked up as open.
pub(super) fn sorting() -> Session {
    let kind = Action::Reply(Reply::Kind("dungeness".into()));
    after(start(), [kind, Action::Reply(Reply::Season(true)), Action::NextCrab])
}

/// The rows as the disk has them.
fn rows(session: &Session) -> Vec<Row> {
    session.book.all_rows().map(|row| Row::clone(row)).collect()
}

/// The built-in pack: 5 Dungeness a day in Puget Sound (WDFW, fishing rule change of 28 September 2023).
#[test]
fn the_sixth_crab_of_the_day_goes_back() {
    let mut session = start();
    for kept in 0..5 {
        session = keeper(session);
        assert_eq!(call(&session), Some(Call::Keep), "after {kept}");
        session = session.apply(keep());
        assert_eq!(call(&session), Some(Call::Keep), "a crab does not stand against itself");
        assert_eq!(session.apply(keep()).book, session.book, "counted once");
        session = session.apply(Action::NextCrab);
    }
    let sixth = keeper(session);
    assert_eq!(call(&sixth), Some(Call::Release));
    assert_eq!((sixth.kept_lines()[0].kept, sixth.kept_lines()[0].limit), (5, Some(5)));
    assert_eq!(sixth.apply(keep()).book, sixth.book, "what goes back is not counted");
    assert_eq!(call(&sixth.apply(undo())), Some(Call::Keep), "one taken off the count");
}

/// The limit is each person's: what one has full another may still keep.
#[test]
fn each_person_has_a_limit_of_their_own() {
    let mut session = start().apply(person("Bo"));
    let bo = session.book.people()[1].0.clone();
    for _ in 0..5 {
        session = after(keeper(session), [keep(), Action::NextCrab]);
    }
    let sixth = keeper(session);
    assert_eq!(call(&sixth), Some(Call::Keep));
    let may: Vec<bool> = sixth.keepers().iter().map(|keeper| keeper.may).collect();
    assert_eq!(may, [false, true]);
    // Who is full may have kept one all the same: that is told with a reason, whoever else has room.
    let with_reason = crate::session::keepers_with_a_reason(&sixth.keepers());
    assert_eq!(with_reason.iter().map(|keeper| &keeper.person).collect::<Vec<_>>(), [&Id::first_person()]);
    let despite = sixth.apply(Action::Day(DayAct::KeepDespite(Id::first_person(), "miscounted".into())));
    assert_eq!(despite.daily_count(&Id::first_person(), "dungeness"), Some((6, 5)));
    // With a check still open it counts too.
    let unchecked = after(start(), [Action::Reply(Reply::Kind("dungeness".into()))]);
    assert!(
        unchecked.outcome().is_some_and(|outcome| outcome.verdict().is_none()) && unchecked.may_be_recorded()
    );
    let kept = unchecked.apply(Action::Day(DayAct::KeepDespite(Id::first_person(), "in the bucket".into())));
    assert_eq!(kept.daily_count(&Id::first_person(), "dungeness"), Some((1, 5)));
    assert_eq!(sixth.apply(keep()).book, sixth.book, "the first is full");
    let kept = sixth.apply(Action::Day(DayAct::Keep(bo.clone())));
    assert_eq!(kept.kept_by(), Some(bo.clone()));
    assert_eq!(kept.daily_count(&bo, "dungeness"), Some((1, 5)));
    // Bo goes ashore: nobody is left who may keep one.
    let ashore = Person { name: "Bo".into(), is_aboard: false, licence: Licence::Has, licence_for: None };
    let next = after(kept, [Action::NextCrab, Action::Day(DayAct::Person(Some(bo), ashore))]);
    assert_eq!(call(&keeper(next)), Some(Call::Release));
}

#[test]
fn crabs_of_earlier_days_are_the_persons_word_of_today() {
    let said = |count| {
        let (person, species) = (Id::first_person(), "dungeness".into());
        Action::Day(DayAct::Earlier { person, species, count })
    };
    let session = start().apply(said(Some(3)));
    let earlier = |session: &Session| session.book.earlier_of(&Id::first_person(), session.date()).len();
    assert_eq!(earlier(&session), 1);
    assert_eq!(earlier(&session.apply(said(None))), 0);
    assert_eq!(earlier(&session.apply(undo())), 0);
    assert_eq!(earlier(&session.apply(Action::SetToday(date(2026, 11, 26)))), 0, "asked anew");
}

#[test]
fn another_day_has_its_own_count_and_loses_none() {
    let session = keeper(start()).apply(keep());
    let tomorrow = session.apply(Action::SetToday(date(2026, 11, 26)));
    assert_eq!(tomorrow.all_kept(), 0);
    let back = tomorrow.apply(Action::SetToday(session.today));
    assert_eq!(back.all_kept(), 1, "one look with a wrong day deletes nothing");
    let planned = session.apply(Action::SetDate(Some(date(2027, 1, 5))));
    assert!(planned.kept_lines().iter().all(|line| line.kept == 0) && !planned.may_count());
}

#[test]
fn another_answer_takes_the_crab_off_the_count() {
    let session = keeper(start()).apply(keep());
    let soft = session.apply(Action::Reply(Reply::Shell(Stage::Soft)));
    assert_eq!(soft.all_kept(), 0);
    let back = soft.apply(undo());
    assert_eq!(back.all_kept(), 1, "and that can be taken back");
    assert!(!back.is_in_hand(), "with what was answered since");
    let next = session.apply(take_photo());
    assert_eq!(next.all_kept(), 1);
    assert!(!next.is_ended(), "the photo shows the next");
}

#[test]
fn a_practice_photo_is_never_counted() {
    let truth = TrueWidths { notch_mm: Some(158.0), ..TrueWidths::default() };
    let practice =
        Action::TakePhoto { serial: 1, name: "crab.jpg".into(), practice: Some(truth), same_crab: false };
    let session = keeper(start().apply(practice));
    assert_eq!(call(&session), Some(Call::Keep));
    assert!(!session.may_count());
    for act in [keep(), Action::Day(DayAct::LetGo(Why::Verdict))] {
        assert!(session.apply(act).book.crabs().is_empty());
    }
}

/// The page ends at any moment: rows and crab are saved apart, and the crab is still counted once.
#[test]
fn a_crab_is_counted_once_however_the_page_ends() {
    let before = keeper(start());
    let kept = before.apply(keep());
    let fresh = || {
        let mut fresh = start();
        fresh.names.seed = 99;
        fresh
    };
    for saved in [&before, &kept] {
        let crab = Box::new(saved.saved().expect("a crab in hand"));
        for order in [true, false] {
            let acts = [Action::Day(DayAct::Loaded(rows(&kept))), Action::RestoreCrab(crab.clone())];
            let acts: Vec<Action> = if order { acts.to_vec() } else { acts.into_iter().rev().collect() };
            let back = after(fresh(), acts);
            assert!(back.is_ended() && !back.may_count());
            assert_eq!(back.apply(keep()).all_kept(), 1);
        }
    }
}

/// What was looked at is kept with the crab: eggs, claws, and what the season was said to be.
#[test]
fn a_crab_keeps_what_was_looked_at() {
    use crate::day::rows::Checks;
    use crate::decide::{Eggs, Parts};
    let looked_at = [Reply::Eggs(Eggs::Light), Reply::Parts(Parts::RightClaw)];
    let eggs = after(sorting(), looked_at.map(Action::Reply));
    let let_go = eggs.apply(Action::Day(DayAct::LetGo(crate::day::Why::Eggs)));
    let wanted = Checks {
        eggs: Some(Eggs::Light),
        parts: Some(Parts::RightClaw),
        said_open: Some(true),
        placement: None,
    };
    assert_eq!(let_go.book.crabs()[0].1.checks, wanted);
    // Of a plain one nobody looked at the rest, and an older row says nothing of it.
    let plain = after(
        start(),
        [Action::Day(DayAct::Sort(Plain::OtherKind)), Action::Day(DayAct::LetGo(crate::day::Why::OtherKind))],
    );
    assert_eq!(plain.book.crabs()[0].1.checks, Checks::default());
    let row = crate::day::rows::write_row(&rows(&let_go)[0]).expect("JSON");
    let mut older: serde_json::Value = serde_json::from_str(&row).expect("JSON");
    let crab = older.pointer_mut("/what/crab").and_then(serde_json::Value::as_object_mut).expect("a crab");
    assert!(crab.remove("checks").is_some());
    let read = crate::day::rows::read_row(&older.to_string()).expect("a row");
    let What::Crab(crab) = read.what else { panic!("a crab") };
    assert_eq!(crab.checks, Checks::default());
}

#[test]
fn a_crab_kept_against_the_verdict_needs_a_reason_and_stays_flagged() {
    let female = start().apply(Action::Reply(Reply::Kind("dungeness".into())));
    let female = female.apply(Action::Reply(Reply::Sex(Sex::Female)));
    let despite = |reason: &str| Action::Day(DayAct::KeepDespite(Id::first_person(), reason.into()));
    assert!(female.apply(despite("  ")).book.crabs().is_empty());
    let kept = female.apply(despite("the officer aboard said so"));
    let day = kept.double_check();
    assert_eq!(day.len(), 1);
    assert_eq!(day[0].flags.len(), 1, "{:?}", day[0].flags);
}

/// Every Dungeness kept goes on the record card (the built-in pack's `record` facts).
#[test]
fn the_record_is_open_until_every_crab_on_it_is_ticked() {
    let kept = keeper(start()).apply(keep());
    assert_eq!(kept.unwritten(), 1);
    let day = kept.double_check();
    let written = Action::Day(DayAct::Written(day[0].person.clone(), day[0].day, day[0].to_write.clone()));
    let ticked = kept.apply(written);
    assert_eq!(ticked.unwritten(), 0);
    let more = after(keeper(ticked.apply(Action::NextCrab)), [keep()]);
    assert_eq!(more.unwritten(), 1);
    assert!(!more.double_check()[0].flags.is_empty(), "kept since it was written");
}

#[test]
fn crabs_belong_to_the_pull_in_hand() {
    let pot = crate::day::Pot { label: "3".into(), depth_m: Some(12.0), ..Default::default() };
    let session = start().apply(Action::Day(DayAct::Pot(None, pot)));
    let id = session.book.pots()[0].0.clone();
    let pulled = after(session, [DayAct::SetPot(id.clone()), DayAct::PullPot(id)].map(Action::Day));
    let pull = pulled.book.pull_in_hand().expect("a pull").0.clone();
    let kept = after(keeper(pulled), [keep(), Action::NextCrab]);
    assert_eq!(kept.book.crabs()[0].1.pull.as_ref(), Some(&pull));
    let sorted = kept.apply(Action::Day(DayAct::PullSorted));
    assert!(sorted.book.pull_in_hand().is_none());
    let later = after(keeper(sorted), [keep()]);
    assert_eq!(later.book.crabs()[1].1.pull, None);
}

#[test]
fn nothing_is_written_before_the_disk_was_read() {
    let mut session = keeper(start());
    session.day_is_loaded = false;
    assert!(!session.may_count());
    assert!(session.apply(keep()).book.crabs().is_empty());
    assert!(session.book.rows().all(|row| !matches!(row.what, What::Crab(_))));
    let gauge = session.apply(Action::Reply(Reply::Gauge(GaugeReading::NotOfSize)));
    assert_eq!(call(&gauge), Some(Call::Release));
}

/// After a reload the rows come a moment later: no number stands for them until then, on no screen.
#[test]
fn no_count_is_told_before_the_rows_are_read() {
    const SCREENS: [(Screen, bool); 13] = [
        (Screen::Day, false),
        (Screen::Start, false),
        (Screen::Measure, false),
        (Screen::Checks, false),
        (Screen::Verdict, true),
        (Screen::Rules, false),
        (Screen::Record, true),
        (Screen::Aboard, true),
        (Screen::Crabs, true),
        (Screen::Practice, false),
        (Screen::Learn, false),
        (Screen::Lesson, false),
        (Screen::Guide, false),
    ];
    let kept = after(keeper(start()), [keep(), Action::NextCrab]);
    let mut reloaded = start();
    reloaded.day_is_loaded = false;
    reloaded = reloaded.apply(Action::Day(DayAct::LastKind(Some("dungeness".into()))));
    assert_eq!(reloaded.counts(), None);
    let read = reloaded.apply(Action::Day(DayAct::Loaded(rows(&kept))));
    let counts = read.counts().expect("read");
    assert_eq!((counts.all, counts.unwritten, counts.beside), (1, 1, 0));
    assert_eq!((counts.lines[0].kept, counts.lines[0].limit), (1, Some(5)));
    for (screen, waits) in SCREENS {
        assert_eq!(Session { screen, ..reloaded.clone() }.waits_for_the_day(), waits, "{screen:?}");
        assert!(!Session { screen, ..read.clone() }.waits_for_the_day(), "{screen:?}");
    }
}

#[test]
fn a_step_of_another_day_is_not_taken_back() {
    let kept = keeper(start()).apply(keep());
    let tomorrow = kept.apply(Action::SetToday(date(2026, 11, 26)));
    assert_eq!(tomorrow.apply(undo()).book, tomorrow.book);
    assert_ne!(kept.apply(undo()).book, kept.book);
}

/// A counted crab whose answer was changed, and the change taken back: the row and what is in hand agree.
#[test]
fn an_undo_leaves_no_verdict_beside_a_count_that_contradicts_it() {
    let kept = keeper(start()).apply(keep());
    for reply in [Reply::Sex(Sex::Female), Reply::Shell(Stage::Soft)] {
        let back = after(kept.clone(), [Action::Reply(reply), undo()]);
        assert_eq!(back.all_kept(), 1);
        assert!(!back.is_in_hand() && back.outcome().is_some_and(|outcome| outcome.verdict().is_none()));
    }
}

/// One has five of five, the other none: the checks go on for the one who may keep.
#[test]
fn checks_go_on_while_somebody_has_room() {
    let mut session = start().apply(person("Bo"));
    for _ in 0..5 {
        session = after(keeper(session), [keep(), Action::NextCrab]);
    }
    let bo = session.book.people()[1].0.clone();
    let next = after(session, [Action::Reply(Reply::Kind("dungeness".into()))]);
    assert_eq!((next.whom(), call(&next)), (bo, None));
}

/// What was answered of a practice photo is said of no crab in hand.
#[test]
fn practice_says_nothing_of_a_real_crab() {
    let photo =
        |serial, practice| Action::TakePhoto { serial, name: "crab.jpg".into(), practice, same_crab: false };
    let truth = TrueWidths { notch_mm: Some(158.0), ..TrueWidths::default() };
    let practised = keeper(start().apply(photo(1, Some(truth))));
    let practised = practised.apply(Action::Reply(Reply::Season(true)));
    assert!(practised.rules.season_words.is_empty(), "looked up for a practice photo");
    assert_eq!(practised.outcome().and_then(|outcome| Some(outcome.verdict()?.call())), Some(Call::Keep));
    let said_open = |session: &Session| {
        session.seasons().iter().any(|(_, state)| *state == crate::decide::SeasonState::SaidOpen)
    };
    assert!(!said_open(&practised), "the line at the top tells of the water, not of the practice");
    let not_sure = practised.apply(Action::Reply(Reply::NotSure(crate::decide::Check::Season)));
    assert_eq!(
        not_sure.outcome().and_then(|outcome| outcome.verdict().map(|v| v.call())),
        Some(Call::Release)
    );
    assert_eq!(practised.last_kind, None, "the kind of a practice photo");
    let beside = Action::TakePhoto { serial: 2, name: "2.jpg".into(), practice: None, same_crab: true };
    let others = [Action::DropPhoto, photo(2, None), beside];
    for next in others.map(|other| practised.apply(other)) {
        assert!(next.crab.is_fresh(), "{:?}", next.crab);
        assert!(!next.may_count());
    }
}

#[test]
fn the_day_is_the_next_crab_s() {
    let kept = keeper(start()).apply(keep());
    let day = kept.apply(Action::Show(Screen::Day));
    assert!(day.crab.is_fresh() && day.all_kept() == 1);
    let checks = after(day, [Action::Show(Screen::Checks), Action::Reply(Reply::Sex(Sex::Female))]);
    assert_eq!(checks.all_kept(), 1, "an answer of the next crab takes nothing off the count");
}

#[test]
fn what_is_said_again_or_of_the_water_takes_no_crab_off_the_count() {
    let kept = keeper(start()).apply(keep());
    let tomorrow = kept.apply(Action::SetToday(date(2026, 11, 26)));
    let columbia = crate::rules::Choice::of("us-wa", "columbia-river");
    for session in [
        kept.apply(Action::Reply(Reply::Sex(Sex::Male))),
        tomorrow.apply(Action::Reply(Reply::Season(true))),
        after(kept.clone(), [Action::ChooseRule(columbia), Action::Reply(Reply::Season(true))]),
    ] {
        assert_eq!(session.book.crabs().len(), 1);
    }
}

#[test]
fn a_crab_taken_off_after_the_record_was_ticked_is_told() {
    let kept = keeper(start()).apply(keep());
    let day = kept.double_check();
    let written = Action::Day(DayAct::Written(day[0].person.clone(), day[0].day, day[0].to_write.clone()));
    let gone = after(kept, [written, Action::Reply(Reply::Shell(Stage::Soft))]);
    assert_eq!(gone.double_check()[0].flags, [crate::day::record::Flag::WrittenGone(1)]);
    // What is not written is still told after midnight, and a year on; of a day before it, nothing.
    let kept = keeper(start()).apply(keep());
    let days = [date(2026, 11, 24), date(2026, 11, 26), date(2026, 12, 10), date(2027, 11, 25)];
    for (day, told) in days.into_iter().zip([0, 1, 1, 1]) {
        let later = kept.apply(Action::SetToday(day));
        assert_eq!((later.unwritten(), later.double_check().len()), (told, told), "{day}");
    }
    // Ticked late, it is done with.
    let later = kept.apply(Action::SetToday(date(2027, 11, 25)));
    let day = later.double_check();
    let tick = DayAct::Written(day[0].person.clone(), day[0].day, day[0].to_write.clone());
    let ticked = later.apply(Action::Day(tick));
    assert_eq!((ticked.unwritten(), ticked.double_check().len()), (0, 0));
    // The tick of another person is none of hers.
    let other = DayAct::Written(Id("other".into()), day[0].day, day[0].to_write.clone());
    assert_eq!(later.apply(Action::Day(other)).unwritten(), 1);
}
