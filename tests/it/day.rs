//! The book of the day: rows from several devices merge to one book, copies come back whole, the CSV is RFC 4180.

use jiff::civil::{date, time};
use proptest::prelude::*;
use shellspan::day::book::Names;
use shellspan::day::copies::backup::read_copy;
use shellspan::day::rows::{CrabEntry, FORMAT, Licence, Water, read_row, write_row};
use shellspan::day::{Book, End, Id, Moment, Person, Pot, Row, StepName, What, Why};
use shellspan::decide::LocalClock;
use shellspan::rules::facts::Holder;

fn moment(minutes: i64) -> Moment {
    let clock = LocalClock {
        time: time((minutes / 60 % 24) as i8, (minutes % 60) as i8, 0, 0),
        utc_offset_minutes: -420,
    };
    Moment { day: date(2026, 7, 15), clock: Some(clock) }
}

fn crab(end: End, at: i64) -> What {
    let water = Water { pack: "us-wa".into(), area: "puget-sound".into(), name: "Puget Sound".into() };
    let kept = CrabEntry::kept(Some("dungeness"), Id::first_person(), moment(at));
    What::Crab(Box::new(CrabEntry { water, end, ..kept }))
}

fn any_row() -> impl Strategy<Value = Row> {
    let what = prop_oneof![
        "[a-z]{1,6}".prop_map(|name| What::Person(Person {
            name,
            is_aboard: true,
            licence: Licence::Has,
            licence_for: None
        })),
        (0_i64..1440).prop_map(|at| crab(End::Released(Why::Short), at)),
        (0_i64..1440).prop_map(|at| crab(End::Kept { by: Id::first_person(), despite: None }, at)),
        "[A-D]".prop_map(|label| What::Pot(Pot { label, ..Pot::default() })),
    ];
    ("[a-f]", 1_u64..6, any::<bool>(), what).prop_map(|(id, revision, is_gone, what)| Row {
        format: FORMAT,
        id: Id(id.into()),
        revision,
        made: 1,
        is_gone,
        what,
    })
}

fn merged(parts: &[&[Row]]) -> Vec<Row> {
    let mut book = Book::default();
    for part in parts {
        book.merge(part.to_vec());
    }
    book.all_rows().map(|row| Row::clone(row)).collect()
}

proptest! {
    /// Two tabs, a copy, another device: whatever comes first, all end with the same book.
    #[test]
    fn rows_merge_alike_in_any_order(a in prop::collection::vec(any_row(), 0..12),
                                     b in prop::collection::vec(any_row(), 0..12),
                                     c in prop::collection::vec(any_row(), 0..12)) {
        let all = merged(&[&a, &b, &c]);
        prop_assert_eq!(&merged(&[&c, &a, &b]), &all);
        prop_assert_eq!(&merged(&[&b, &c, &a, &b, &a]), &all);
    }

    #[test]
    fn a_row_is_read_as_it_was_written(row in any_row()) {
        prop_assert_eq!(read_row(&write_row(&row).expect("JSON")), Some(row));
    }

    /// One changed byte anywhere: all of the copy is refused, or it is the same copy.
    #[test]
    fn a_copy_with_one_changed_byte_is_refused(rows in prop::collection::vec(any_row(), 1..6),
                                               at in any::<prop::sample::Index>(), byte in 32_u8..127) {
        let mut book = Book::default();
        book.merge(rows);
        let copy = book.as_copy().expect("a copy");
        let mut bytes = copy.clone().into_bytes();
        let at = at.index(bytes.len());
        prop_assume!(bytes[at] != byte);
        bytes[at] = byte;
        if let Ok(read) = read_copy(&bytes) {
            prop_assert_eq!(&read, &read_copy(copy.as_bytes()).expect("the copy"));
        }
    }

    /// The steps of a day taken back one by one leave the book as it was.
    #[test]
    fn every_step_can_be_taken_back(ends in prop::collection::vec(any::<bool>(), 0..20)) {
        let (mut book, mut names) = (Book::default(), Names { seed: 5, given: 0 });
        for kept in &ends {
            let id = names.draw();
            let end = if *kept { End::Kept { by: Id::first_person(), despite: None } } else { End::Released(Why::Soft) };
            book.step(&mut names, StepName::Kept, date(2026, 7, 15), vec![(id, crab(end, 60))]);
        }
        for done in (0..ends.len()).rev() {
            book.undo();
            prop_assert_eq!(book.crabs().len(), done);
        }
        prop_assert!(book.last_step().is_none());
    }
}

/// What a newer build wrote is no row of this one: it is left as it is.
#[test]
fn a_row_of_a_newer_format_is_not_read() {
    let row = Row {
        format: FORMAT + 1,
        id: Id("x".into()),
        revision: 1,
        made: 1,
        is_gone: false,
        what: crab(End::Released(Why::Short), 5),
    };
    assert_eq!(read_row(&write_row(&row).expect("JSON")), None);
    let unending = Row { format: FORMAT, revision: u64::MAX, ..row };
    assert_eq!(read_row(&write_row(&unending).expect("JSON")), None, "no change would find room above it");
}

/// A person counts what they kept, the boat what all did.
#[test]
fn the_boat_counts_what_all_aboard_kept() {
    let (mut book, mut names) = (Book::default(), Names { seed: 5, given: 0 });
    let bo = Id("bo".into());
    for (at, by) in [Id::first_person(), bo.clone(), bo.clone()].into_iter().enumerate() {
        let id = names.draw();
        let kept = crab(End::Kept { by, despite: None }, at as i64);
        book.step(&mut names, StepName::Kept, date(2026, 7, 15), vec![(id, kept)]);
    }
    let count = |person: &Id, holder: Holder| {
        let catch = book.catch_of(person, date(2026, 7, 15), None);
        catch.kept.iter().filter(|kept| kept.holder == holder).map(|kept| kept.today).sum::<u32>()
    };
    assert_eq!((count(&bo, Holder::Person), count(&bo, Holder::Boat)), (2, 3));
    assert_eq!((count(&Id::first_person(), Holder::Person), count(&bo, Holder::Licence)), (1, 0));
    assert!(book.catch_of(&bo, date(2026, 7, 16), None).kept.is_empty(), "of another day");
}

/// The soak of a pot goes on over midnight and over a change of the clock's shift; a clock that ran back tells nothing.
#[test]
fn a_soak_is_counted_in_utc() {
    let at = |day: i8, hour: i8, offset: i32| Moment {
        day: date(2026, 11, day),
        clock: Some(LocalClock { time: time(hour, 0, 0, 0), utc_offset_minutes: offset }),
    };
    // Clocks in the Pacific zone went back by an hour on 1 November 2026, 2 a.m. (15 U.S.C. 260a: first Sunday of November).
    assert_eq!(at(1, 6, -480).hours_since(&at(1, 0, -420)), Some(7.0));
    assert_eq!(at(2, 1, -480).hours_since(&at(1, 23, -480)), Some(2.0));
    assert_eq!(at(1, 5, -480).hours_since(&at(1, 6, -480)), None);
}

/// The table has what was looked at of each crab, under its own head.
#[test]
fn the_table_has_the_checks() {
    use shellspan::day::rows::Checks;
    use shellspan::decide::{Eggs, Parts};
    use shellspan::terms::Placement;
    let (mut book, mut names) = (Book::default(), Names { seed: 5, given: 0 });
    let checks = Checks {
        eggs: Some(Eggs::Dark),
        parts: Some(Parts::LeftClaw),
        said_open: Some(false),
        placement: Some(Placement::Back),
    };
    let crab = CrabEntry { checks, ..CrabEntry::kept(Some("dungeness"), Id::first_person(), moment(600)) };
    let row = (names.draw(), What::Crab(Box::new(crab)));
    book.step(&mut names, StepName::Kept, date(2026, 7, 15), vec![row]);
    let text = book.crabs_as_csv().expect("a table");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads = reader.headers().expect("heads").clone();
    let line = reader.records().next().expect("a line").expect("whole");
    for (head, wanted) in [
        ("eggs", "dark"),
        ("claws", "left claw"),
        ("season_said", "closed"),
        ("card_lay", "back"),
        ("end", "kept"),
    ] {
        let at = heads.iter().position(|found| found == head).expect("a column");
        assert_eq!(&line[at], wanted, "{head}");
    }
}

/// Read by the `csv` crate's reader, which follows RFC 4180: as many fields as heads, and what was written.
#[test]
fn the_table_is_read_again_whole() {
    let (mut book, mut names) = (Book::default(), Names { seed: 5, given: 0 });
    for reason in ["=1+1", "said \"keep\", twice", "two\r\nlines"] {
        let id = names.draw();
        let end = End::Kept { by: Id::first_person(), despite: Some(reason.into()) };
        book.step(&mut names, StepName::Kept, date(2026, 7, 15), vec![(id, crab(end, 600))]);
    }
    let text = book.crabs_as_csv().expect("a table");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let at =
        reader.headers().expect("heads").iter().position(|head| head == "kept_despite").expect("a column");
    let read: Vec<String> = reader.records().map(|record| record.expect("a line")[at].to_owned()).collect();
    assert_eq!(read, ["'=1+1", "said \"keep\", twice", "two\r\nlines"]);
}
