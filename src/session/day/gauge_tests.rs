//! What a gauge's word is of: one crab, one limit, one distance.

use jiff::civil::date;

use super::tests::{call, sorting};
use crate::day::{Id, Why};
use crate::decide::{Call, Check, GaugeReading};
use crate::rules::when::{Sex, Stage};
use crate::session::tests::{after, start};
use crate::session::{Action, DayAct, Plain, Reply, Screen, Session};

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

/// Maryland, Chesapeake Bay: soft blue crabs from 3 1/2 in, hard males 5 in until 14 July and 5 1/4 in from 15 July on
/// (us-md, COMAR 08.02.03): "of size" was said of one of them.
#[test]
fn a_gauge_s_word_is_not_carried_to_another_shell_or_another_day() {
    let pack = include_str!("../../../www/rules/us-md.json");
    let there = |day| {
        let acts = [
            Action::ImportPack(pack.into()),
            Action::ChooseRule(crate::rules::Choice::of("us-md", "chesapeake-bay")),
            Action::SetToday(day),
            Action::Reply(Reply::Kind("blue".into())),
            Action::Reply(Reply::Season(true)),
            Action::Reply(Reply::Sex(Sex::Male)),
        ];
        after(start(), acts)
    };
    let of_size = || Action::Reply(Reply::Gauge(GaugeReading::OfSize));
    let shell = |stage| Action::Reply(Reply::Shell(stage));
    let soft = after(there(date(2026, 8, 15)), [shell(Stage::Soft), of_size()]);
    assert_eq!(soft.crab.gauge, Some(GaugeReading::OfSize));
    let hard = soft.apply(shell(Stage::Hard));
    assert_eq!(hard.crab.gauge, None);
    assert_ne!(call(&hard), Some(Call::Keep));
    let eve = after(there(date(2026, 7, 14)), [shell(Stage::Hard), of_size()]);
    assert_eq!(eve.crab.gauge, Some(GaugeReading::OfSize));
    assert_eq!(eve.apply(Action::SetDate(Some(date(2026, 7, 13)))).crab.gauge, Some(GaugeReading::OfSize));
    assert_eq!(eve.apply(Action::SetToday(date(2026, 7, 15))).crab.gauge, None);
    // A reading is of the crab, whatever its shell.
    let reading = GaugeReading::Reads("130 mm".parse().expect("a length"));
    let read = after(soft, [Action::Reply(Reply::Gauge(reading)), shell(Stage::Hard)]);
    assert_eq!(read.crab.gauge, Some(reading));
}

/// What was typed is no length: the size before it is not meant any more, nor the count that rested on it.
#[test]
fn a_mistyped_reading_leaves_no_size_behind() {
    let kept = after(
        sorting(),
        [Action::Day(DayAct::Sort(Plain::Keeper)), Action::Day(DayAct::Keep(Id::first_person()))],
    );
    assert!(kept.is_ended() && !kept.is_uncounted());
    let mistyped = kept.apply(Action::Reply(Reply::NoReading));
    assert_eq!((mistyped.crab.gauge, call(&mistyped)), (None, None));
    assert_eq!(mistyped.shown_check(), Some(Check::Size));
    assert!(mistyped.is_uncounted(), "it says that the crab is no longer counted");
    // Where no size was said nothing changes.
    assert_eq!(sorting().apply(Action::Reply(Reply::NoReading)), sorting());
}

/// A crab that was counted is told of until it is kept or let go anew; one that was never counted is not.
#[test]
fn a_kept_crab_whose_answer_changes_is_said_to_be_uncounted() {
    let sorted = sorting().apply(Action::Day(DayAct::Sort(Plain::Keeper)));
    assert!(!sorted.is_uncounted());
    let kept = sorted.apply(Action::Day(DayAct::Keep(Id::first_person())));
    let female = kept.apply(Action::Reply(Reply::Sex(Sex::Female)));
    assert!(female.is_uncounted());
    let again =
        after(female, [Action::Reply(Reply::Sex(Sex::Male)), Action::Day(DayAct::Keep(Id::first_person()))]);
    assert!(again.is_ended() && !again.is_uncounted());
    let let_go = kept.apply(Action::Reply(Reply::Sex(Sex::Female))).apply(Action::NextCrab);
    assert!(!let_go.is_uncounted(), "the next crab");
    let released = sorted.apply(Action::Day(DayAct::LetGo(Why::Verdict)));
    assert!(!released.is_uncounted());
}

/// The new day is told until the person goes on, not at the start of the page.
#[test]
fn a_day_that_begins_is_told_until_the_person_goes_on() {
    let sorted = sorting().apply(Action::Day(DayAct::Sort(Plain::Keeper)));
    assert_eq!(sorted.apply(Action::SetToday(sorted.today)).new_day, None);
    let tomorrow = sorted.today.tomorrow().expect("a day");
    let turned = sorted.apply(Action::SetToday(tomorrow));
    assert_eq!(turned.new_day, Some(tomorrow));
    assert_eq!(turned.apply(Action::Show(Screen::Record)).new_day, Some(tomorrow));
    for act in
        [Action::Reply(Reply::Season(true)), Action::Day(DayAct::Sort(Plain::Female)), Action::NextCrab]
    {
        assert_eq!(turned.apply(act).new_day, None);
    }
}

/// Who looks the kind up again on the way through the checks, and means the same, is asked the next thing.
#[test]
fn the_same_kind_again_leads_on() {
    let kind = |kind: &str| Action::Reply(Reply::Kind(kind.into()));
    let again = after(sorting(), [Action::LookAt(Check::Kind), kind("dungeness")]);
    assert_eq!((again.screen, again.shown_check()), (Screen::Checks, Some(Check::Sex)));
}
