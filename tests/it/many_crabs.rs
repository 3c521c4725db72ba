//! A book of many crabs: a hundred a day, by three persons, from four pots, a third of them measured by photo.

use jiff::civil::{Date, date, time};
use shellspan::day::book::Names;
use shellspan::day::rows::{Checks, CrabEntry, EntryWidth, FORMAT, Licence, Told, Water};
use shellspan::day::{End, Id, Moment, Person, Picture, Pot, Pull, Row, What, Why};
use shellspan::decide::{Call, Eggs, LocalClock, Parts, Traits};
use shellspan::rules::when::Sex;
use shellspan::terms::{Dimension, Placement};
use shellspan::units::{Millimetres, PhotoPoint, PhotoSize};

const A_DAY: usize = 100;
const KINDS: [&str; 3] = ["dungeness", "red-rock", "tanner"];
const POTS: [&str; 4] = ["A", "B", "C", "D"];
/// The last day.
pub const LAST: Date = date(2026, 7, 15);

pub fn moment(day: Date, at: usize) -> Moment {
    let minutes = 360 + 6 * (at % A_DAY);
    let clock =
        LocalClock { time: time((minutes / 60) as i8, (minutes % 60) as i8, 0, 0), utc_offset_minutes: -420 };
    Moment { day, clock: Some(clock) }
}

/// The crab of a place in the book.
fn crab(day: Date, at: usize, pull: &Id) -> CrabEntry {
    let is_kept = at.is_multiple_of(4);
    let by = Id(["you", "p-1", "p-2"][at / 4 % 3].into());
    let width = at.is_multiple_of(3).then(|| EntryWidth {
        dimension: Dimension::Notch,
        width: Millimetres(120.0 + (at * 7 % 700) as f64 / 10.0),
        u: Millimetres(1.5),
        photos: 1,
    });
    let at_px = PhotoPoint::new;
    let picture = Picture {
        number: at as u64,
        size: PhotoSize { width: 4000, height: 3000 },
        card: [at_px(1.5, 2.5), at_px(901.25, 3.5), at_px(900.5, 603.75), at_px(0.5, 600.0)],
        points: [at_px(1200.5, 1500.25), at_px(2800.75, 1499.5)],
        u_px: [1.5, 1.25],
    };
    CrabEntry {
        at: moment(day, at),
        water: Water { pack: "us-wa".into(), area: "puget-sound".into(), name: "Puget Sound".into() },
        kind: Some(KINDS[at % 3].into()),
        traits: Traits {
            sex: Some(if at.is_multiple_of(5) { Sex::Female } else { Sex::Male }),
            ..Traits::default()
        },
        checks: Checks {
            eggs: Some(Eggs::None),
            parts: Some(Parts::Whole),
            said_open: at.is_multiple_of(4).then_some(true),
            placement: width.is_some().then_some(Placement::Level),
        },
        end: if is_kept { End::Kept { by, despite: None } } else { End::Released(Why::Short) },
        verdict: Some(Told { call: Call::Release, reason: "It is under the smallest size.".into() }),
        pictures: width.is_some().then_some(picture).into_iter().collect(),
        width,
        gauge: None,
        pull: Some(pull.clone()),
    }
}

/// The rows of so many crabs, the last of them on [`LAST`].
pub fn rows(count: usize) -> Vec<Row> {
    let mut names = Names { seed: 11, given: 0 };
    let mut made = 0;
    let mut rows = Vec::new();
    let mut put = |id: Id, what: What| {
        made += 1;
        rows.push(Row { format: FORMAT, id, revision: made, made, is_gone: false, what });
    };
    for (id, name) in [("p-1", "Ada"), ("p-2", "Bo")] {
        put(
            Id(id.into()),
            What::Person(Person {
                name: name.into(),
                is_aboard: true,
                licence: Licence::Has,
                licence_for: None,
            }),
        );
    }
    let pots =
        POTS.map(|label| (Id(format!("pot-{label}").into()), Pot { label: label.into(), ..Pot::default() }));
    for (id, pot) in &pots {
        put(id.clone(), What::Pot(pot.clone()));
    }
    let days = count.div_ceil(A_DAY);
    let mut pull = names.draw();
    for at in 0..count {
        let back = i64::try_from(days - 1 - at / A_DAY).expect("few days");
        let day = LAST.checked_sub(jiff::Span::new().days(back)).expect("a day");
        if at.is_multiple_of(A_DAY / 4) {
            let (pot, mut as_pulled) = pots[at / (A_DAY / 4) % 4].clone();
            as_pulled.set = Some(moment(day, 0));
            pull = names.draw();
            let pulled = Pull { pot, as_pulled, at: moment(day, at), is_sorted: at + A_DAY / 4 < count };
            put(pull.clone(), What::Pull(pulled));
        }
        let id = names.draw();
        put(id, What::Crab(Box::new(crab(day, at, &pull))));
    }
    rows
}
