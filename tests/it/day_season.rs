//! A book of 10,000 crabs: what the page asks for at every drawing looks at one day alone, or at kept crabs only, and
//! lists find what is asked.
//!
//! What is expected is counted from the rows themselves, by code of the test's own that knows no index.

#![expect(clippy::disallowed_methods, reason = "a bound on time")]

use std::time::{Duration, Instant};

use jiff::civil::date;
use proptest::prelude::*;
use shellspan::day::book::Names;
use shellspan::day::copies::backup::read_copy;
use shellspan::day::rows::CrabEntry;
use shellspan::day::told::list::{Ended, Order, Wanted, crab_in};
use shellspan::day::{Book, End, Id, Row, StepName, What};
use shellspan::session::{Action, DayAct, Session};

use crate::many_crabs::{LAST, rows};

const MANY: usize = 10_000;

fn book(count: usize) -> Book {
    let mut book = Book::default();
    book.merge(rows(count));
    book
}

fn crabs(rows: &[Row]) -> Vec<(&Row, &CrabEntry)> {
    rows.iter().filter_map(|row| Some((row, crab_in(row)?))).collect()
}

fn ids(found: &[std::rc::Rc<Row>]) -> Vec<&Id> {
    found.iter().map(|row| &row.id).collect()
}

#[test]
fn each_choice_finds_what_going_through_all_rows_finds() {
    let (rows, book) = (rows(1000), book(1000));
    let all = crabs(&rows);
    let day = LAST.yesterday().expect("a day");
    let ada = Id("p-1".into());
    let by = |crab: &CrabEntry| match &crab.end {
        End::Kept { by, .. } => Some(by.clone()),
        End::Released(_) => None,
    };
    let label = |crab: &CrabEntry| {
        let pull = rows.iter().find(|row| Some(&row.id) == crab.pull.as_ref()).expect("a pull");
        let What::Pull(pull) = &pull.what else { panic!("a pull") };
        pull.as_pulled.label.clone()
    };
    type Is<'a> = Box<dyn Fn(&CrabEntry) -> bool + 'a>;
    let cases: [(Wanted, Is<'_>); 8] = [
        (Wanted::default(), Box::new(|_| true)),
        (
            Wanted { kind: Some("tanner".into()), ..Wanted::default() },
            Box::new(|crab| crab.kind.as_deref() == Some("tanner")),
        ),
        (Wanted { ended: Ended::Kept, ..Wanted::default() }, Box::new(|crab| by(crab).is_some())),
        (Wanted { ended: Ended::Released, ..Wanted::default() }, Box::new(|crab| by(crab).is_none())),
        (
            Wanted { person: Some(ada.clone()), ..Wanted::default() },
            Box::new(|crab| by(crab).as_ref() == Some(&ada)),
        ),
        (Wanted { pot: Some("C".into()), ..Wanted::default() }, Box::new(|crab| label(crab) == "C")),
        (Wanted { day: Some(day), ..Wanted::default() }, Box::new(|crab| crab.at.day == day)),
        (Wanted { is_measured: true, ..Wanted::default() }, Box::new(|crab| crab.width.is_some())),
    ];
    for (wanted, is) in cases {
        let expected: Vec<&Id> =
            all.iter().rev().filter(|(_, crab)| is(crab)).map(|(row, _)| &row.id).collect();
        assert!(!expected.is_empty(), "{wanted:?}");
        assert_eq!(ids(&book.list(&wanted)), expected, "{wanted:?}");
    }
}

#[test]
fn the_list_is_in_the_order_that_is_asked_for() {
    let book = book(1000);
    let order = |order: Order| book.list(&Wanted { order, ..Wanted::default() });
    let mut newest = order(Order::Newest);
    newest.reverse();
    assert_eq!(ids(&newest), ids(&order(Order::Oldest)));
    let widths: Vec<f64> = order(Order::Widest)
        .iter()
        .filter_map(|row| Some(crab_in(row)?.width.map_or(0.0, |width| width.width.0)))
        .collect();
    assert!(widths.is_sorted_by(|a, b| a >= b) && widths[0] > 180.0 && widths[999] == 0.0);
    let kinds: Vec<_> = order(Order::Kind).iter().filter_map(|row| crab_in(row)?.kind.clone()).collect();
    assert!(kinds.is_sorted() && kinds.len() == 1000);
    let choices = book.choices();
    assert_eq!(choices.kinds, ["dungeness", "red-rock", "tanner"]);
    assert_eq!(choices.pots, ["A", "B", "C", "D"]);
    assert_eq!((choices.days.len(), choices.days[0]), (10, LAST));
    // By name: Ada, Bo, You.
    assert_eq!(choices.persons, ["p-1", "p-2", "you"].map(|id| Id(id.into())));
}

#[test]
fn totals_are_the_sums_of_the_rows() {
    let (rows, book) = (rows(MANY), book(MANY));
    let totals = book.totals();
    // 100 days back from 15 July 2026: all in one year, three kinds.
    assert_eq!(totals.len(), 3);
    for total in &totals {
        let of: Vec<_> = crabs(&rows)
            .into_iter()
            .filter(|(_, crab)| crab.kind == total.kind)
            .map(|(_, crab)| crab)
            .collect();
        let kept = of.iter().filter(|crab| matches!(crab.end, End::Kept { .. })).count();
        assert_eq!((total.kept as usize, total.released as usize), (kept, of.len() - kept));
        assert_eq!((total.year, total.days), (2026, 100));
        assert_eq!(total.by_person.iter().map(|(_, count)| count).sum::<u32>(), total.kept);
    }
    let earlier = date(2025, 12, 31);
    let mut two_years = Book::default();
    two_years.merge(rows.into_iter().map(|mut row| {
        if let What::Crab(crab) = &mut row.what
            && crab.at.day != LAST
        {
            crab.at.day = earlier;
        }
        row
    }));
    let years: Vec<i16> = two_years.totals().iter().map(|total| total.year).collect();
    assert_eq!(years, [2026, 2026, 2026, 2025, 2025, 2025]);
}

#[test]
fn sizes_count_every_measured_crab_in_its_step() {
    let (rows, book) = (rows(1000), book(1000));
    let sizes = book.sizes();
    let measured = crabs(&rows).into_iter().filter(|(_, crab)| crab.width.is_some()).count();
    let counted: u32 =
        sizes.iter().flat_map(|sizes| &sizes.steps).map(|step| step.kept + step.released).sum();
    assert_eq!(counted as usize, measured);
    for sizes in &sizes {
        assert!(sizes.steps.windows(2).all(|pair| pair[0].to_mm() == pair[1].from_mm), "no step is left out");
        for step in &sizes.steps {
            let is_in = |crab: &CrabEntry| {
                crab.kind.as_deref() == Some(&sizes.kind)
                    && crab
                        .width
                        .is_some_and(|width| step.from_mm <= width.width.0 && width.width.0 < step.to_mm())
            };
            let of: Vec<_> = crabs(&rows).into_iter().filter(|(_, crab)| is_in(crab)).collect();
            let kept = of.iter().filter(|(_, crab)| matches!(crab.end, End::Kept { .. })).count();
            assert_eq!((step.kept as usize, step.released as usize), (kept, of.len() - kept), "{step:?}");
        }
    }
}

/// The shelves follow every way a row changes: written, changed, moved to another day, taken away, merged.
#[test]
fn a_row_that_moves_is_found_where_it_is() {
    let mut book = book(300);
    let mut names = Names { seed: 1, given: 0 };
    let (id, crab) = book.crabs_on(LAST).next().map(|(id, crab)| (id.clone(), crab.clone())).expect("a crab");
    let before = LAST.yesterday().expect("a day");
    let moved = CrabEntry { at: crate::many_crabs::moment(before, 0), pull: None, ..crab.clone() };
    book.step(&mut names, StepName::Kept, LAST, vec![(id.clone(), What::Crab(Box::new(moved)))]);
    assert_eq!((book.crabs_on(LAST).count(), book.crabs_on(before).count()), (99, 101));
    let pull = crab.pull.as_ref().expect("a pull");
    assert_eq!(book.crabs_of_pull(pull).count(), 24);
    book.undo();
    assert_eq!((book.crabs_on(LAST).count(), book.crabs_of_pull(pull).count()), (100, 25));
    book.take_away(&mut names, StepName::Reopened, LAST, &id);
    assert_eq!((book.crabs_on(LAST).count(), book.crabs().len()), (99, 299));
}

proptest! {
    /// Whatever is taken back and made again, the book is the one that the steps left.
    #[test]
    fn what_was_taken_back_can_be_made_again(back in 1_usize..6, made in 1_usize..6) {
        let mut book = book(20);
        let mut names = Names { seed: 2, given: 0 };
        for _ in 0..made {
            let (id, _) = book.crabs_on(LAST).next().map(|(id, crab)| (id.clone(), crab.clone())).expect("a crab");
            book.take_away(&mut names, StepName::Reopened, LAST, &id);
        }
        let said = |book: &Book| {
            book.rows().filter(|row| !matches!(row.what, What::Step(_))).map(|row| (row.id.clone(), row.what.clone())).collect::<Vec<_>>()
        };
        let after = said(&book);
        let back = back.min(made);
        for _ in 0..back {
            book.undo();
        }
        prop_assert_eq!(book.crabs().len(), 20 - made + back);
        for _ in 0..back {
            book.redo(&mut names);
        }
        prop_assert_eq!(said(&book), after);
        prop_assert!(book.undone().is_none());
        // And taken back once more.
        for _ in 0..made {
            book.undo();
        }
        prop_assert_eq!(book.crabs().len(), 20);
        let id = names.draw();
        let person = What::Person(shellspan::day::Person { name: "Cy".into(), is_aboard: true, licence: shellspan::day::rows::Licence::Has, licence_for: None });
        book.step(&mut names, StepName::Person, LAST, vec![(id, person)]);
        prop_assert!(book.undone().is_none(), "nothing is made again over another step");
    }
}

/// A copy of a season comes back to the last digit.
#[test]
fn a_season_comes_back_from_its_copy() {
    let book = book(MANY);
    let copy = book.as_copy().expect("a copy");
    let mut fresh = Book::default();
    let (rows, _) = read_copy(copy.as_bytes()).expect("the rows");
    fresh.merge_unsaved(rows);
    assert_eq!(fresh.as_copy().expect("a copy"), copy);
    let written: Vec<_> = fresh.unsaved().map(|row| (row.id.clone(), row.revision)).collect();
    fresh.saved(&written, &[]);
    assert!(!fresh.has_unsaved());
}

/// With the index by day a drawing does not grow with the season. Bounds are far above what was measured (`cargo bench
/// --bench day`), and far below what going through all rows took, to hold on a busy machine.
#[test]
fn a_season_of_crabs_slows_no_drawing() {
    let mut book = book(MANY);
    let mut names = Names { seed: 1, given: 0 };
    let quickest = |work: &mut dyn FnMut()| {
        let time = |work: &mut dyn FnMut()| {
            let start = Instant::now();
            work();
            start.elapsed()
        };
        (0..5).map(|_| time(work)).min().expect("runs")
    };
    let drawing = quickest(&mut || {
        for back in 0..15 {
            let day = LAST.checked_sub(jiff::Span::new().days(back)).expect("a day");
            let _ = book.double_check(day, &|_| None, &|_, _| None);
        }
        let _ = (book.people(), book.pull_in_hand(), book.last_step(), book.latest());
    });
    // The reminder of the record goes through all kept crabs: none ticked, and all.
    let choice = shellspan::rules::Choice::of("us-wa", "puget-sound");
    let open = [
        Action::Day(DayAct::Loaded(rows(MANY))),
        Action::ChooseRule(choice),
        Action::SetToday(LAST.tomorrow().expect("a day")),
    ]
    .into_iter()
    .fold(Session::new(LAST), |session, act| session.apply(act));
    let days = open.double_check();
    let ticked = days.iter().fold(open.clone(), |session, day| {
        session.apply(Action::Day(DayAct::Written(day.person.clone(), day.day, day.to_write.clone())))
    });
    let unwritten = |session: &Session| session.counts().map(|counts| counts.unwritten);
    let to_write: usize = days.iter().map(|day| day.to_write.len()).sum();
    assert!(to_write >= MANY / 4, "{to_write}");
    assert_eq!((unwritten(&open), unwritten(&ticked)), (Some(to_write), Some(0)));
    let of_open = quickest(&mut || drop(open.counts()));
    let of_ticked = quickest(&mut || drop(ticked.counts()));
    let record = quickest(&mut || drop(open.double_check()));
    let list = quickest(&mut || drop(book.list(&Wanted { order: Order::Widest, ..Wanted::default() })));
    let same = book.clone();
    let compared = quickest(&mut || assert!(book == same));
    let step = quickest(&mut || {
        let (id, crab) =
            book.crabs_on(LAST).next().map(|(id, crab)| (id.clone(), crab.clone())).expect("a crab");
        book.step(&mut names, StepName::Kept, LAST, vec![(id, What::Crab(Box::new(crab)))]);
    });
    for (what, took, most_ms) in [
        ("drawing", drawing, 40),
        ("none ticked", of_open, 20),
        ("all ticked", of_ticked, 20),
        ("record", record, 40),
        ("list", list, 150),
        ("compared", compared, 20),
        ("step", step, 20),
    ] {
        assert!(took < Duration::from_millis(most_ms), "{what}: {took:?}");
    }
}
