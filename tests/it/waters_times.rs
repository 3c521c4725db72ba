//! Waters that are closed: at night, out of season, on a weekday.

use jiff::civil::Time;
use serde_json::{Value, json};
use shellspan::decide::{Call, Finding, LocalClock, Notice};
use shellspan::terms::Dimension;

use super::water::{at_least, day, male, seen, water};

/// Source of the times: NREL's Solar Position Algorithm (pvlib) for 48.12, -122.76 on 2026-07-01: rise
/// 12:15:11 UTC, set 04:14:45 UTC of the next day; in local summer time (UTC - 7 h) 05:15 and 21:15.
#[test]
fn a_water_closed_at_night() {
    let sound = water(
        "dungeness",
        json!({
            "sizes": [at_least("25/4 in", "notch", Value::Null)],
            "season": [seen(json!({ "effect": "closed", "night": {}, "words": "Closed from sunset to sunrise." }))]
        }),
    );
    let mut crab = male("dungeness", 175.0, Dimension::Notch);
    crab.date = day(7, 1);
    for (hour, minute, call) in [
        (0, 30, Call::Release),
        (5, 12, Call::Release),
        (5, 20, Call::Keep),
        (12, 0, Call::Keep),
        (21, 10, Call::Keep),
        (21, 18, Call::Release),
        (23, 59, Call::Release),
    ] {
        let time = Time::new(hour, minute, 0, 0).expect("a time");
        crab.clock = Some(LocalClock { time, utc_offset_minutes: -420 });
        assert_eq!(crab.call(&sound), call, "{time}");
    }
    let outcome = crab.decide(&sound);
    let sentence = outcome.verdict().expect("settled").reasons()[0].sentence();
    assert!(sentence.contains("Open today from about 05:1") && sentence.contains(" to 21:1"), "{sentence}");
    crab.clock = None;
    let outcome = crab.decide(&sound);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Keep);
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::HourNotKnown { .. })));
}

/// Source: California, Dungeness: first Saturday of November to 30 June; 7 November 2026 is a Saturday.
/// Maryland, blue: no recreational crabbing on Wednesdays.
#[test]
fn seasons_and_weekdays() {
    let open = json!({
        "effect": "open", "days": { "from": "11-sat1", "to": "06-30" },
        "words": "First Saturday of November to 30 June."
    });
    let sizes = json!([at_least("23/4 in", "notch", Value::Null)]);
    let coast = water("dungeness", json!({ "sizes": sizes, "season": [seen(open)] }));
    let mut crab = male("dungeness", 175.0, Dimension::Notch);
    for (date, call) in [
        (day(11, 6), Call::Release),
        (day(11, 7), Call::Keep),
        (day(6, 30), Call::Keep),
        (day(7, 1), Call::Release),
    ] {
        crab.date = date;
        assert_eq!(crab.call(&coast), call, "{date}");
    }
    let wednesdays = json!({ "effect": "closed", "weekdays": ["wednesday"], "words": "Not on Wednesdays." });
    let bay = water("dungeness", json!({ "sizes": sizes, "season": [seen(wednesdays)] }));
    crab.date = day(7, 1);
    assert_eq!(crab.deciding(&bay), Finding::ClosedToday { words: "Not on Wednesdays.".to_owned() });
    crab.date = day(7, 2);
    assert_eq!(crab.call(&bay), Call::Keep);
}

/// A season of dates that runs over New Year is closed before it opens, in the year it opens in; of the years
/// before and after it says nothing.
#[test]
fn a_season_that_is_yet_to_open_is_closed() {
    let open = json!({
        "effect": "open", "dates": { "from": "2026-12-01", "to": "2027-02-28" }, "words": "December to February."
    });
    let sizes = json!([at_least("23/4 in", "notch", Value::Null)]);
    let coast = water("dungeness", json!({ "sizes": sizes, "season": [seen(open)] }));
    let mut crab = male("dungeness", 175.0, Dimension::Notch);
    for ((year, month, on), call) in [
        ((2026, 11, 30), Call::Release),
        ((2026, 12, 1), Call::Keep),
        ((2027, 2, 28), Call::Keep),
        ((2027, 3, 1), Call::Release),
        ((2025, 12, 15), Call::Keep),
    ] {
        crab.date = jiff::civil::Date::new(year, month, on).expect("a date");
        assert_eq!(crab.call(&coast), call, "{}", crab.date);
    }
}
