//! What a gauge's word is of: one crab, one limit, one distance.

use jiff::civil::date;

use super::tests::{call, sorting};
use crate::decide::{Call, GaugeReading};
use crate::rules::when::Sex;
use crate::session::tests::{after, start};
use crate::session::{Action, DayAct, Plain, Reply, Session};

/// "Of size by the gauge" was said of one limit.
#[test]
fn a_gauge_s_word_is_not_carried_to_another_limit() {
    let sorted = sorting().apply(Action::Day(DayAct::Sort(Plain::Keeper)));
    assert_eq!(call(&sorted), Some(Call::Keep));
    let other_kind = sorted.apply(Action::Reply(Reply::Kind("red-rock".into())));
    assert_eq!(other_kind.crab.gauge, None);
    let coast = crate::rules::Choice::of("us-wa", "coast");
    let other_water = sorted.apply(Action::ChooseRule(coast));
    assert_eq!(other_water.crab.gauge, None);
    assert_ne!(call(&other_water), Some(Call::Keep));
    // A reading is of the crab, whatever the limit.
    let reading = GaugeReading::Reads("160 mm".parse().expect("a length"));
    let read =
        after(sorted, [Action::Reply(Reply::Gauge(reading)), Action::Reply(Reply::Kind("red-rock".into()))]);
    assert_eq!(read.crab.gauge, Some(reading));
}

/// 170 mm from tip to tip is 158 mm between the notches (the ratio of sample 8): a reading is of its own points.
#[test]
fn a_reading_is_not_carried_to_other_points() {
    let tips = include_str!("../../../www/rules/ca-bc.json");
    let there = crate::rules::Choice::of("ca-bc", "tidal");
    let reading = GaugeReading::Reads("170 mm".parse().expect("a length"));
    let read = after(
        sorting(),
        [Action::ImportPack(tips.into()), Action::ChooseRule(there), Action::Reply(Reply::Gauge(reading))],
    );
    assert_eq!(read.crab.gauge, Some(reading));
    let back = crate::rules::Choice::of("us-wa", "puget-sound");
    let notches = read.apply(Action::ChooseRule(back));
    assert_eq!(notches.crab.gauge, None);
}

/// Another tab changes the water while a crab lies saved: its gauge was held against the limit before (Washington: 6 in
/// on the coast, 6 1/4 in Puget Sound).
#[test]
fn a_saved_gauge_s_word_is_of_the_limit_it_was_said_of() {
    let at = |area: &str| Action::ChooseRule(crate::rules::Choice::of("us-wa", area));
    let sorted = after(sorting(), [at("coast"), Action::Day(DayAct::Sort(Plain::Keeper))]);
    assert_eq!(sorted.crab.gauge, Some(GaugeReading::OfSize));
    let saved = || Action::RestoreCrab(Box::new(sorted.saved().expect("a crab")));
    assert_eq!(start().apply(saved()).crab.gauge, None);
    assert_eq!(start().apply(at("coast")).apply(saved()).crab.gauge, Some(GaugeReading::OfSize));
    // Rules that are read after the crab.
    let mut unread = Session::new(date(2026, 11, 25));
    unread.rules.choice = Some(crate::rules::Choice::of("not-read-yet", "any"));
    let waiting = unread.apply(saved());
    assert_eq!(waiting.crab.gauge, Some(GaugeReading::OfSize));
    assert_eq!(waiting.apply(at("puget-sound")).crab.gauge, None);
}

/// The next crab goes before the camera without "next crab": what was said of the last one is not said of it.
#[test]
fn a_photo_after_a_sorted_crab_shows_the_next_one() {
    let photo = || Action::TakePhoto { serial: 7, name: "crab.jpg".into(), practice: None, same_crab: false };
    for plain in [Plain::Keeper, Plain::Short, Plain::Female] {
        let next = sorting().apply(Action::Day(DayAct::Sort(plain))).apply(photo());
        assert!(next.crab.is_fresh(), "{plain:?}: {:?}", next.crab);
        assert_eq!(next.crab.answers.kind.given().map(String::as_str), Some("dungeness"));
    }
    // Checks that were answered without a gauge are of the crab that is photographed now.
    let answered = sorting().apply(Action::Reply(Reply::Sex(Sex::Male))).apply(photo());
    assert_eq!(answered.crab.answers.sex.given(), Some(&Sex::Male));
}
