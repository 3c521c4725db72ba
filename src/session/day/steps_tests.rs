//! Steps made again, pots that change, what photos leave with a crab, and a clock that was set back.

use jiff::civil::{date, time};

use crate::day::rows::CrabEntry;
use crate::day::{End, Id, Pot, StepName, What};
use crate::decide::LocalClock;
use crate::rules::when::Sex;
use crate::session::photo::practice::TrueWidths;
use crate::session::tests::{after, confirmed, hard_male_dungeness, keeper, start, with_points, with_scene};
use crate::session::words::{
    clock_words, from_words, is_overdue, kept_in_short, overdue_words, redo_words, sex_words, undo_words,
};
use crate::session::{Action, DayAct, Reply, Screen, Session};

pub(super) fn day(act: DayAct) -> Action {
    Action::Day(act)
}

pub(super) fn keep() -> Action {
    day(DayAct::Keep(Id::first_person()))
}

fn at(session: &Session, hour: i8, minute: i8) -> Session {
    let clock = LocalClock { time: time(hour, minute, 0, 0), utc_offset_minutes: -480 };
    session.apply(Action::SetClock(clock))
}

/// A hard male Dungeness, large enough by its photo.
fn measured_keeper() -> Session {
    after(confirmed(&with_points(with_scene(), 950.0)), hard_male_dungeness())
}

#[test]
fn a_step_taken_back_by_mistake_is_made_again() {
    let kept = after(keeper(start()), [keep(), Action::NextCrab]);
    let back = kept.apply(day(DayAct::Undo));
    assert_eq!(back.all_kept(), 0);
    assert!(redo_words(&back.book, back.today).is_some_and(|words| words.contains("kept by You")));
    let again = back.apply(day(DayAct::Redo));
    assert_eq!((again.all_kept(), redo_words(&again.book, again.today)), (1, None));
    assert_eq!(again.apply(day(DayAct::Undo)).all_kept(), 0);
    // Another step, another day, a crab in hand: nothing is made again over it.
    let pot = Pot { label: "A".into(), ..Pot::default() };
    let other = after(back.clone(), [day(DayAct::Pot(None, pot)), day(DayAct::Redo)]);
    assert_eq!(other.all_kept(), 0);
    let tomorrow = after(back.clone(), [Action::SetToday(date(2026, 11, 26)), day(DayAct::Redo)]);
    assert!(tomorrow.book.crabs().is_empty());
    let in_hand = after(back, [Action::Reply(Reply::Sex(Sex::Female)), day(DayAct::Redo)]);
    assert!(in_hand.book.crabs().is_empty());
}

#[test]
fn a_step_of_another_tab_is_named_as_such() {
    let (here, there) = (start(), after(keeper(start()), [keep()]));
    let rows = there.book.all_rows().map(|row| crate::day::Row::clone(row)).collect();
    let heard = here.apply(day(DayAct::Heard(rows, Vec::new())));
    let told = undo_words(&heard.book, heard.today).expect("a step");
    assert!(told.contains("another tab") && told.contains("kept by You"), "{told}");
    let own = undo_words(&there.book, there.today).expect("a step");
    assert!(!own.contains("another tab"), "{own}");
}

/// Two tabs change the same person in the same moment: both writes are done, and the disk has the one that came second.
/// Whichever that is, tabs and disk end with the same row.
#[test]
fn what_two_tabs_wrote_at_once_ends_alike_on_the_disk() {
    use crate::day::{Person, Row, StepName};
    use std::rc::Rc;
    let person = |name: &str| {
        let mut tab = start();
        let what = What::Person(Person {
            name: name.into(),
            is_aboard: true,
            licence: crate::day::rows::Licence::NotSaid,
            licence_for: None,
        });
        Rc::make_mut(&mut tab.book).step(
            &mut tab.names,
            StepName::Person,
            tab.today,
            vec![(Id::first_person(), what)],
        );
        let rows: Vec<Row> = tab.book.unsaved().map(|row| Row::clone(row)).collect();
        let written: Vec<_> = rows.iter().map(|row| (row.id.clone(), row.revision)).collect();
        Rc::make_mut(&mut tab.book).saved(&written, &[]);
        assert!(!tab.book.has_unsaved());
        let own = rows.into_iter().find(|row| row.id == Id::first_person()).expect("the person");
        (tab, own)
    };
    for is_first in [true, false] {
        let (ada, bo) = (person("Ada"), person("Bo"));
        assert_eq!(ada.1.revision, bo.1.revision);
        let mut disk = if is_first { ada.1 } else { bo.1 };
        // Each tab hears that the other wrote, and reads what the disk has.
        let mut tabs = [ada.0, bo.0].map(|tab| tab.apply(day(DayAct::Heard(vec![disk.clone()], Vec::new()))));
        let writes: Vec<Row> =
            tabs.iter().flat_map(|tab| tab.book.unsaved().map(|row| Row::clone(row))).collect();
        assert!(writes.len() <= 1, "{writes:?}");
        if let Some(row) = writes.into_iter().next() {
            disk = row;
        }
        tabs = tabs.map(|tab| tab.apply(day(DayAct::Heard(vec![disk.clone()], Vec::new()))));
        for tab in &tabs {
            assert_eq!(tab.book.row(&disk.id), Some(&disk), "on the disk");
        }
    }
}

#[test]
fn a_pot_that_is_removed_leaves_its_crabs_and_comes_back() {
    let session = start().apply(day(DayAct::Pot(None, Pot { label: "A".into(), ..Pot::default() })));
    let id = session.book.pots()[0].0.clone();
    let pulled = after(session, [day(DayAct::SetPot(id.clone())), day(DayAct::PullPot(id.clone()))]);
    let kept = after(keeper(pulled), [keep(), Action::NextCrab, day(DayAct::RemovePot(id))]);
    assert!(kept.book.pots().is_empty());
    let pull = kept.book.crabs()[0].1.pull.clone().expect("a pull");
    let What::Pull(pull) = &kept.book.row(&pull).expect("its row").what else { panic!("a pull") };
    assert_eq!(pull.as_pulled.label, "A");
    let told = undo_words(&kept.book, kept.today).expect("a step");
    assert!(told.contains("pot A removed"), "{told}");
    assert_eq!(kept.apply(day(DayAct::Undo)).book.pots().len(), 1);
}

#[test]
fn a_pot_is_overdue_once_its_time_is_over() {
    let pot = Pot { label: "A".into(), due_after_h: Some(2.0), ..Pot::default() };
    let session = at(&start(), 8, 0).apply(day(DayAct::Pot(None, pot)));
    let id = session.book.pots()[0].0.clone();
    let set = session.apply(day(DayAct::SetPot(id)));
    let overdue = |session: &Session| is_overdue(session.book.pots()[0].1, &session.now());
    assert!(!overdue(&at(&set, 10, 0)), "it has until then");
    let late = at(&set, 10, 1);
    assert!(overdue(&late));
    assert_eq!(overdue_words(&late.book, &late.now()).as_deref(), Some("Overdue: pot A."));
}

#[test]
fn a_measured_crab_keeps_what_was_measured_in_its_photo() {
    let kept = measured_keeper().apply(keep());
    let (id, crab) = kept.book.crabs()[0];
    let [picture] = crab.pictures.as_slice() else { panic!("one photo: {crab:?}") };
    assert_eq!(crab.width.map(|width| width.photos), Some(1));
    assert_eq!((picture.number, picture.size.width), (1, 4000));
    assert!(picture.name(id).starts_with(&*id.0) && picture.u_px.iter().all(|u_px| *u_px > 0.0));
    let points = kept.photo.marks.both().expect("both points");
    assert_eq!(picture.points, points.map(|marked| marked.point));
    // A crab by the gauge alone has none.
    let plain = keeper(start()).apply(keep());
    assert!(plain.book.crabs()[0].1.pictures.is_empty());
}

/// A photo whose points nobody confirmed measured nothing.
#[test]
fn a_photo_that_was_not_confirmed_is_not_kept() {
    let confirmed = measured_keeper();
    let open = confirmed.apply(Action::ReopenPoints);
    let let_go = open.apply(day(DayAct::LetGo(crate::day::Why::NotNeeded)));
    let crab = let_go.book.crabs()[0].1;
    assert!(crab.width.is_none() && crab.pictures.is_empty(), "{crab:?}");
}

/// Six are kept: five count towards the limit, one is a female that it does not count.
#[test]
fn a_crab_that_no_limit_counts_is_told_all_the_same() {
    let mut session = after(keeper(start()), [keep(), Action::NextCrab]);
    let mut other = CrabEntry::kept(None, Id::first_person(), session.moment());
    other.end = End::Kept { by: Id::first_person(), despite: Some("asked for".into()) };
    let id = session.names.draw();
    let today = session.today;
    let rows = vec![(id, What::Crab(Box::new(other)))];
    std::rc::Rc::make_mut(&mut session.book).step(&mut session.names, StepName::Kept, today, rows);
    let lines = session.kept_lines();
    assert_eq!((lines[0].kept, lines[0].all, session.kept_beside(&lines)), (1, 1, 1));
    assert_eq!(kept_in_short(&lines, session.all_kept()).as_deref(), Some("2 kept"));
}

#[test]
fn a_clock_that_was_set_back_is_told() {
    let kept = after(keeper(at(&start(), 12, 0)), [keep()]);
    let told = |session: &Session| clock_words(&session.book, &session.now()).is_some();
    assert!(!told(&kept) && !told(&at(&kept, 11, 57)), "two devices differ by minutes");
    assert!(told(&at(&kept, 11, 50)));
    assert!(told(&kept.apply(Action::SetToday(date(2026, 11, 24)))));
    assert!(!told(&kept.apply(Action::SetToday(date(2026, 11, 26)))));
    // The same moment by a clock of another zone is no step back.
    let zone = LocalClock { time: time(11, 0, 0, 0), utc_offset_minutes: -540 };
    assert!(!told(&kept.apply(Action::SetClock(zone))));
}

/// The disk lost what it had: everything is to be written again.
#[test]
fn a_lost_disk_gets_every_row_again() {
    let kept = keeper(start()).apply(keep());
    let saved: Vec<_> = kept.book.unsaved().map(|row| (row.id.clone(), row.revision)).collect();
    let saved = kept.apply(day(DayAct::Saved(saved, Vec::new())));
    assert!(!saved.book.has_unsaved());
    let lost = saved.apply(day(DayAct::DiskLost));
    assert_eq!(lost.book.unsaved().count(), lost.book.all_rows().count());
}

/// The built-in pack: at least 6 1/4 in for Dungeness (WDFW; the pack's own source).
#[test]
fn sizes_stand_beside_the_limit_of_the_water() {
    let kept = measured_keeper().apply(keep());
    let shown = kept.sizes_shown();
    assert_eq!(shown.len(), 1);
    assert_eq!(shown[0].limits, [("at least 6 1/4 in".to_owned(), 158.75)]);
    let ends = shown[0].sizes.steps.first().zip(shown[0].sizes.steps.last()).expect("a step");
    let width_mm = kept.book.crabs()[0].1.width.expect("a width").width.0;
    assert!(ends.0.from_mm <= width_mm && width_mm < ends.1.to_mm());
    assert_ne!(kept.screen, Screen::Crabs);
}

/// A day that is only looked at, ahead or back, takes no crab.
#[test]
fn nothing_is_written_on_a_day_that_is_only_looked_at() {
    let looked = keeper(start()).apply(Action::SetDate(Some(date(2026, 11, 24))));
    assert!(!looked.may_be_recorded());
    let let_go = looked.apply(day(DayAct::LetGo(crate::day::Why::Short)));
    assert!(let_go.book.crabs().is_empty());
}

/// What a limit counts and what stands in a line are two things: only the second is subtracted.
#[test]
fn crabs_beside_the_lines_are_those_of_no_line() {
    let kept = after(keeper(start()), [keep(), Action::NextCrab]);
    let mut lines = kept.kept_lines();
    lines[0].kept = 4;
    assert_eq!(kept.kept_beside(&lines), 0);
    lines[0].all = 0;
    assert_eq!(kept.kept_beside(&lines), 1);
}

/// Another tab keeps a crab after this one did: "Undo" beside this tab's crab takes that one back, and not the other's.
#[test]
fn the_undo_beside_a_crab_takes_that_crab_back() {
    let here = keeper(start()).apply(keep());
    let mine = here.crab.row.clone().expect("a row");
    let mut other = start();
    other.names.seed = 99;
    let heard: Vec<_> = here.book.all_rows().map(|row| crate::day::Row::clone(row)).collect();
    let other = after(other, [day(DayAct::Heard(heard, Vec::new()))]);
    let there = keeper(other).apply(keep());
    let theirs = there.crab.row.clone().expect("a row");
    let rows: Vec<_> = there.book.all_rows().map(|row| crate::day::Row::clone(row)).collect();
    let both = here.apply(day(DayAct::Heard(rows, Vec::new())));
    assert_eq!(both.all_kept(), 2);
    let back = both.apply(day(DayAct::UndoEnd));
    assert!(back.book.row(&mine).is_none() && back.book.row(&theirs).is_some());
    assert!(back.is_uncounted() && !back.is_ended());
    assert_eq!(back.apply(day(DayAct::UndoEnd)).book, back.book, "a second tap takes nothing more");
    // Alone it is the last step that is taken back, and it can be made again.
    let alone = here.apply(day(DayAct::UndoEnd));
    assert_eq!((alone.all_kept(), alone.book.undone().is_some()), (0, true));
    // A practice photo would take the crab's place.
    let practice = Some(TrueWidths { notch_mm: Some(158.0), ..TrueWidths::default() });
    let photo = Action::TakePhoto { serial: 9, name: "practice.jpg".into(), practice, same_crab: false };
    let refused = back.apply(photo);
    assert!(refused.is_uncounted() && refused.crab == back.crab && !refused.is_practice());
    assert_eq!(refused.photo.notice.as_ref().map(|notice| notice.code.as_str()), Some("uncounted-crab"));
}

/// Only a pot in the water lies somewhere, and only there.
#[test]
fn a_pot_s_place_is_noted_while_it_lies_there() {
    let place = crate::rules::pack::Place { latitude_deg: 48.5, longitude_deg: -122.75 };
    let pot = Pot { label: "A".into(), ..Pot::default() };
    let session = start().apply(day(DayAct::Pot(None, pot)));
    let id = session.book.pots()[0].0.clone();
    let noted = |session: &Session| session.book.pots()[0].1.place;
    let at = day(DayAct::PotAt(id.clone(), place));
    assert_eq!(noted(&session.apply(at.clone())), None, "aboard");
    let lies = after(session, [day(DayAct::SetPot(id.clone())), at]);
    assert_eq!(noted(&lies), Some(place));
    let pulled = lies.apply(day(DayAct::PullPot(id.clone())));
    assert_eq!(noted(&pulled), None, "aboard again");
    assert_eq!(noted(&lies.apply(day(DayAct::SetPot(id)))), None, "set anew, perhaps elsewhere");
    // It leaves the page with a copy of all alone: the table has no place.
    let table = lies.book.crabs_as_csv().expect("a table");
    assert!(!table.contains("48.5"), "{table}");
}

/// Two persons of one name would have two limits that nobody can tell apart.
#[test]
fn a_name_is_one_person_s() {
    let named = |name: &str| {
        let licence = crate::day::rows::Licence::NotSaid;
        crate::day::Person { name: name.into(), is_aboard: true, licence, licence_for: None }
    };
    let person = |id: Option<&Id>, name: &str| day(DayAct::Person(id.cloned(), named(name)));
    let two = after(start(), [person(None, "Bo"), person(None, " bo ")]);
    assert_eq!(two.book.people().len(), 2);
    let bo = two.book.people()[1].0.clone();
    assert_eq!(two.apply(person(Some(&bo), "you")).book.name_of(&bo), "Bo", "that is another person's");
    assert_eq!(two.apply(person(Some(&bo), "BO")).book.name_of(&bo), "BO");
    // Named again, somebody ashore is aboard again, with what is known of them.
    let ashore = crate::day::Person { is_aboard: false, ..named("Bo") };
    let back = after(two, [day(DayAct::Person(Some(bo.clone()), ashore)), person(None, "Bo")]);
    assert_eq!(back.book.aboard().len(), 2);
    assert_eq!(back.book.aboard()[1].0, bo);
}

/// Two pots a person in Puget Sound (the built-in pack, its page on gear).
#[test]
fn one_pot_too_many_is_told_on_the_day() {
    let mut session = start();
    let over = |session: &Session| session.counts().and_then(|counts| counts.pots_over);
    for (label, told) in [("A", false), ("B", false), ("C", true)] {
        session = session.apply(day(DayAct::Pot(None, Pot { label: label.into(), ..Pot::default() })));
        let id = session.book.pots().last().expect("a pot").0.clone();
        session = session.apply(day(DayAct::SetPot(id)));
        assert_eq!(over(&session).is_some(), told, "{label}: {:?}", over(&session));
    }
    let words = over(&session).unwrap_or_default();
    assert_eq!(words, "Pots: 3 are in the water, 2 are allowed for 1 person: too many.");
}

/// Changed on the day: back to the day, unless the season of the new kind is to be asked. Answered at the checks: on.
#[test]
fn a_kind_changed_on_the_day_leads_back_to_the_day() {
    let kind = |kind: &str| Action::Reply(Reply::Kind(kind.into()));
    let change = |session: &Session, to: &str| {
        session.apply(Action::LookAt(crate::decide::Check::Kind)).apply(kind(to))
    };
    let sorting = super::tests::sorting();
    let unasked = change(&sorting, "red-rock");
    assert_eq!(unasked.screen, Screen::Checks);
    let both = after(unasked, [Action::Reply(Reply::Season(true)), Action::NextCrab]);
    assert_eq!(change(&both, "dungeness").screen, Screen::Day);
    assert_eq!(after(start(), [kind("dungeness")]).screen, Screen::Checks, "the first kind of the day");
    let begun = both.apply(Action::Reply(Reply::Sex(crate::rules::when::Sex::Male)));
    assert_eq!(change(&begun, "dungeness").screen, Screen::Checks, "a crab is in hand");
    let closed = after(sorting, [Action::Reply(Reply::Season(false)), Action::NextCrab]);
    let other = after(change(&closed, "red-rock"), [Action::Reply(Reply::Season(true)), Action::NextCrab]);
    assert_eq!(change(&other, "dungeness").screen, Screen::Verdict, "closed: that is said");
}

/// A crab without a kind has no rule, so no duty that is known.
#[test]
fn crabs_whose_duty_is_not_known_are_told_apart_from_those_to_write() {
    let kept = after(keeper(start()), [keep(), Action::NextCrab]);
    let unknown = crate::day::CrabEntry::kept(None, Id::first_person(), kept.moment());
    let mut both = kept;
    let row = (both.names.draw(), What::Crab(Box::new(unknown)));
    let today = both.today;
    std::rc::Rc::make_mut(&mut both.book).step(&mut both.names, StepName::Kept, today, vec![row]);
    let told = both.double_check();
    assert_eq!((told[0].unwritten.len(), told[0].not_known), (2, 1));
    let written = DayAct::Written(told[0].person.clone(), told[0].day, told[0].to_write.clone());
    assert_eq!(both.apply(day(written)).double_check()[0].not_known, 0);
}

/// The sheet of the day is of use on paper only with what the official record asks for: sex, water, pot.
#[test]
fn a_line_of_the_sheet_says_sex_water_and_pot() {
    let pot = Pot { label: "A".into(), ..Pot::default() };
    let session = start().apply(day(DayAct::Pot(None, pot)));
    let id = session.book.pots()[0].0.clone();
    let pulled = after(session, [day(DayAct::SetPot(id.clone())), day(DayAct::PullPot(id))]);
    let kept = keeper(pulled).apply(keep());
    let crab = kept.book.crabs()[0].1;
    let water = kept.rules.water();
    assert!(!water.is_empty());
    assert_eq!(from_words(&kept.book, crab), Some(format!("{water}, pot A")));
    let sexes = [Some(Sex::Male), Some(Sex::Female), None].map(|sex| {
        let traits = crate::decide::Traits { sex, ..crab.traits };
        sex_words(&crate::day::CrabEntry { traits, ..crab.clone() })
    });
    assert_eq!(sexes, ["male", "female", "sex not said"]);
    let by_hand = keeper(start()).apply(keep());
    assert_eq!(from_words(&by_hand.book, by_hand.book.crabs()[0].1), Some(water), "no pot");
}
