//! Hours of the day at which a water is closed, the night among them.

use jiff::civil::Time;
use serde_json::json;
use shellspan::decide::{Call, Check, LocalClock, Notice, Outcome};

use super::seasons::{crab, with};
use super::water::{day, seen};

fn at(hour: i8, minute: i8, second: i8) -> Option<LocalClock> {
    let time = Time::new(hour, minute, second, 0).expect("a time");
    Some(LocalClock { time, utc_offset_minutes: -420 })
}

/// The hours of a closure and of an opening, both ends included, over midnight too.
#[test]
fn hours_end_where_they_are_said_to() {
    let closed = json!({ "effect": "closed", "hours": { "from": "21:00", "to": "05:00" }, "words": "x" });
    let open = json!({ "effect": "open", "hours": { "from": "05:00", "to": "21:00" }, "words": "x" });
    let all_year = seen(json!({ "effect": "open", "words": "All year." }));
    for (season, rows) in [
        (
            json!([seen(closed), all_year]),
            [
                ((20, 59, 59), Call::Keep),
                ((21, 0, 0), Call::Release),
                ((0, 0, 0), Call::Release),
                ((5, 0, 0), Call::Release),
                ((5, 0, 1), Call::Keep),
            ],
        ),
        (
            json!([seen(open)]),
            [
                ((4, 59, 59), Call::Release),
                ((5, 0, 0), Call::Keep),
                ((12, 0, 0), Call::Keep),
                ((21, 0, 0), Call::Keep),
                ((21, 0, 1), Call::Release),
            ],
        ),
    ] {
        for ((hour, minute, second), wanted) in rows {
            let mut crab = crab(day(7, 4));
            crab.clock = at(hour, minute, second);
            assert_eq!(crab.call(&with(season.clone())), wanted, "{hour}:{minute}:{second}");
        }
    }
}

/// Source of the times: as in `waters_times`: rise 12:15:11 UTC, set 04:14:45 UTC on 1 July 2026, here 05:15:11 and
/// 21:14:45, to a minute; computed times are "about", so two minutes before the set and after the rise the water is
/// closed, and four minutes it is not.
#[test]
fn the_night_has_a_margin_at_both_ends() {
    let night = |after: i32, before: i32| {
        json!([
            seen(json!({
                "effect": "closed", "words": "x",
                "night": { "minutes_after_sunset": after, "minutes_before_sunrise": before }
            })),
            seen(json!({ "effect": "open", "words": "All year." }))
        ])
    };
    for (after, before, rows) in [
        (
            0,
            0,
            [
                ((5, 16), Call::Release),
                ((5, 19), Call::Keep),
                ((21, 11), Call::Keep),
                ((21, 14), Call::Release),
            ],
        ),
        (
            60,
            30,
            [
                ((4, 46), Call::Release),
                ((4, 49), Call::Keep),
                ((22, 11), Call::Keep),
                ((22, 14), Call::Release),
            ],
        ),
        (
            -30,
            -60,
            [
                ((6, 16), Call::Release),
                ((6, 19), Call::Keep),
                ((20, 41), Call::Keep),
                ((20, 44), Call::Release),
            ],
        ),
    ] {
        for ((hour, minute), wanted) in rows {
            let mut crab = crab(day(7, 1));
            crab.clock = at(hour, minute, 0);
            assert_eq!(crab.call(&with(night(after, before))), wanted, "{after} {before} {hour}:{minute}");
        }
    }
    let mut evening = crab(day(7, 1));
    evening.clock = at(20, 30, 0);
    let told = evening.decide(&with(night(0, 0)));
    let notices = told.verdict().expect("settled").notices().to_vec();
    assert!(
        notices.iter().any(|notice| matches!(notice, Notice::NightSoon { minutes: 43..=45, .. })),
        "{notices:?}"
    );
    evening.clock = at(20, 10, 0);
    let told = evening.decide(&with(night(0, 0)));
    assert!(
        !told
            .verdict()
            .expect("settled")
            .notices()
            .iter()
            .any(|notice| matches!(notice, Notice::NightSoon { .. }))
    );
}

/// A night closure for some only, while it is night: the person says whether it is theirs.
#[test]
fn a_night_for_some_only_is_asked_about_at_night() {
    let vessel = seen(json!({ "effect": "closed", "condition": "from a vessel", "night": {}, "words": "x" }));
    let pack = with(json!([vessel, seen(json!({ "effect": "open", "words": "All year." }))]));
    let mut crab = crab(day(7, 1));
    crab.clock = at(23, 0, 0);
    assert!(matches!(crab.decide(&pack), Outcome::Open { next: Check::Season, .. }));
    crab.clock = at(12, 0, 0);
    assert_eq!(crab.call(&pack), Call::Keep);
}
