//! What is sorted at a glance: let go in two taps, kept by the gauge in three, of whichever sex, and never with a check
//! open.

use std::rc::Rc;

use super::tests::{call, sorting};
use crate::day::{End, Id, Why};
use crate::decide::{Call, Check, Eggs, NextAct};
use crate::rules::facts::{Holder, SexRule};
use crate::rules::when::Sex;
use crate::rules::{Choice, OwnRule, read_pack};
use crate::session::tests::{after, start};
use crate::session::{Action, Crab, DayAct, Plain, Reply, Screen, Session};

/// A kind is sorted at a water of a pack that was looked up as open.
fn at(pack: &str, area: &str, kind: &str) -> Session {
    let pack = read_pack(pack).expect("a pack");
    let choice = Choice::of(pack.id.clone(), area);
    let acts = [
        Action::PacksLoaded(Rc::new(vec![pack])),
        Action::ChooseRule(choice),
        Action::Reply(Reply::Kind(kind.into())),
        Action::Reply(Reply::Season(true)),
        Action::NextCrab,
    ];
    after(start(), acts)
}

fn washington(kind: &str) -> Session {
    at(include_str!("../../../www/rules/us-wa.json"), "puget-sound", kind)
}

fn geographe_bay() -> Session {
    at(include_str!("../../../www/rules/au-wa.json"), "geographe-bay", "blue-swimmer")
}

fn offered(session: &Session) -> Vec<Plain> {
    session.gauge_keepers().into_iter().map(|keeper| keeper.plain).collect()
}

fn sort(session: &Session, plain: Plain) -> Session {
    session.apply(Action::Day(DayAct::Sort(plain)))
}

/// The two taps behind the one that sorts.
fn kept(sorted: Session) -> Session {
    after(sorted, [Action::Day(DayAct::Keep(Id::first_person())), Action::NextCrab])
}

/// Puget Sound: female Dungeness go back; of red rock crab either sex may be kept (us-wa, WDFW, seen).
#[test]
fn one_button_where_the_sex_changes_nothing_and_none_for_a_protected_female() {
    assert_eq!(offered(&washington("dungeness")), [Plain::Keeper]);
    let red_rock = washington("red-rock");
    assert_eq!(offered(&red_rock), [Plain::EitherKeeper]);
    let sorted = sort(&red_rock, Plain::EitherKeeper);
    assert_eq!((sorted.screen, call(&sorted)), (Screen::Verdict, Some(Call::Keep)));
    assert_eq!(sorted.crab.answers.sex.given(), None, "nobody looked");
    let done = kept(sorted.clone());
    assert_eq!((done.screen, done.all_kept()), (Screen::Day, 1));
    // Eggs are what the button says; who saw some after all is told to let it go, and who takes the word back is asked.
    assert_eq!(call(&sorted.apply(Action::Reply(Reply::Eggs(Eggs::Light)))), Some(Call::Release));
    let taken_back = sorted.apply(Action::Reply(Reply::Unanswer(Check::Eggs)));
    assert_eq!((taken_back.screen, call(&taken_back)), (Screen::Checks, None));
    assert_eq!(taken_back.shown_check(), Some(Check::Eggs));
}

/// Geographe Bay: at most 5 of a person's 10 may be female (au-wa, seen); whether one may be kept the pack does not say,
/// so the first waits for who reads the rule.
#[test]
fn a_female_takes_three_taps_and_counts_towards_the_limit_on_females() {
    let bay = geographe_bay();
    assert_eq!(offered(&bay), [Plain::Keeper, Plain::FemaleKeeper]);
    let first = sort(&bay, Plain::FemaleKeeper);
    assert_eq!(call(&first), Some(Call::Gauge));
    let outcome = first.outcome();
    let acts = outcome.as_ref().and_then(|outcome| outcome.verdict()).map(|verdict| verdict.acts().to_vec());
    let facts = acts.into_iter().flatten().find_map(|act| match act {
        NextAct::ConfirmRule { facts } => Some(facts),
        _ => None,
    });
    let facts = facts.expect("what is to be read");
    let mut day = kept(first.apply(Action::ConfirmFacts { facts, who: "Ann".into() }));
    for before in 1..5 {
        let sorted = sort(&day, Plain::FemaleKeeper);
        assert_eq!((sorted.screen, call(&sorted)), (Screen::Verdict, Some(Call::Keep)), "after {before}");
        day = kept(sorted);
    }
    assert_eq!((day.screen, day.all_kept()), (Screen::Day, 5));
    assert_eq!(call(&sort(&day, Plain::FemaleKeeper)), Some(Call::Release), "five females");
    assert_eq!(call(&sort(&day, Plain::Keeper)), Some(Call::Keep), "no male yet");
    assert_eq!(offered(&day), [Plain::Keeper, Plain::FemaleKeeper], "the buttons stay where they were");
}

/// England, spider crab: 130 mm for a male, 120 mm for a female (uk-eng).
#[test]
fn each_button_names_its_own_limit_and_the_gauge_s_word_ends_with_it() {
    let spider = at(include_str!("../../../www/rules/uk-eng.json"), "england", "spider");
    let limits: Vec<String> = spider.gauge_keepers().into_iter().filter_map(|keeper| keeper.limits).collect();
    assert_eq!(limits.len(), 2);
    assert!(
        limits[0].starts_with("at least 130 mm") && limits[1].starts_with("at least 120 mm"),
        "{limits:?}"
    );
    let female = sort(&spider, Plain::FemaleKeeper);
    assert!(female.crab.gauge.is_some());
    let male = female.apply(Action::Reply(Reply::Sex(Sex::Male)));
    assert_eq!(male.crab.gauge, None, "it was held against 120 mm");
    // Where both sexes have one limit, the word stays.
    let bay = sort(&geographe_bay(), Plain::FemaleKeeper);
    assert!(bay.apply(Action::Reply(Reply::Sex(Sex::Male))).crab.gauge.is_some());
}

/// North Carolina, blue crab: immature females go back (us-nc).
#[test]
fn where_the_maturity_counts_a_button_says_it() {
    let blue = at(include_str!("../../../www/rules/us-nc.json"), "coastal", "blue");
    assert_eq!(offered(&blue), [Plain::Keeper, Plain::MatureKeeper]);
    let sorted = sort(&blue, Plain::MatureKeeper);
    assert_eq!(sorted.screen, Screen::Verdict, "no check is left");
    let texas = at(include_str!("../../../www/rules/us-md.json"), "chesapeake-bay", "blue");
    assert!(!offered(&texas).is_empty());
}

/// Whoever lets a crab go is asked nothing more, also where it might have been kept.
#[test]
fn a_crab_that_might_be_kept_is_let_go_with_two_taps_too() {
    for (plain, why) in [(Plain::Female, Why::Female), (Plain::Soft, Why::Soft), (Plain::Short, Why::Short)] {
        let sorted = sort(&geographe_bay(), plain);
        assert_eq!(sorted.screen, Screen::Verdict, "{plain:?}");
        let done = sorted.apply(Action::Day(DayAct::LetGo(Why::Verdict)));
        assert_eq!(done.screen, Screen::Day, "{plain:?}");
        assert_eq!(done.book.crabs()[0].1.end, End::Released(why));
    }
    // What the rule sends back is told with the rule.
    assert_eq!(sort(&washington("dungeness"), Plain::Female).let_go_by_choice(), None);
    assert_eq!(sort(&geographe_bay(), Plain::Female).let_go_by_choice(), Some(Why::Female));
}

/// Oregon: a green crab is not put back (us-or), so nobody is told to let it go.
#[test]
fn what_must_not_be_put_back_is_not_let_go_by_choice() {
    let green = at(include_str!("../../../www/rules/us-or.json"), "statewide", "green");
    let sorted = sort(&green, Plain::NotNeeded);
    assert_eq!(sorted.crab.let_go, Some(Why::NotNeeded));
    assert_eq!(sorted.let_go_by_choice(), None);
}

#[test]
fn a_plain_release_takes_two_taps_and_says_why() {
    for (plain, why) in [
        (Plain::Female, Why::Female),
        (Plain::Soft, Why::Soft),
        (Plain::Short, Why::Short),
        (Plain::Eggs, Why::Eggs),
        (Plain::OtherKind, Why::OtherKind),
        (Plain::OneClaw, Why::OneClaw),
        (Plain::NotNeeded, Why::NotNeeded),
    ] {
        let sorted = sorting().apply(Action::Day(DayAct::Sort(plain)));
        assert_eq!(sorted.screen, Screen::Verdict, "{plain:?}");
        assert_ne!(call(&sorted), Some(Call::Keep), "{plain:?}");
        let done = sorted.apply(Action::Day(DayAct::LetGo(Why::Verdict)));
        assert_eq!(done.screen, Screen::Day);
        let crabs = done.book.crabs();
        assert_eq!(crabs[0].1.end, End::Released(why), "{plain:?}");
        assert_eq!(done.crab.answers.kind.given().map(String::as_str), Some("dungeness"), "the kind stays");
        assert!(done.apply(Action::Day(DayAct::Undo)).book.crabs().is_empty());
    }
}

#[test]
fn a_keeper_by_the_gauge_takes_three_taps() {
    let sorted = sorting().apply(Action::Day(DayAct::Sort(Plain::Keeper)));
    assert_eq!((sorted.screen, call(&sorted)), (Screen::Verdict, Some(Call::Keep)));
    let kept = after(sorted, [Action::Day(DayAct::Keep(Id::first_person())), Action::NextCrab]);
    assert_eq!((kept.screen, kept.all_kept()), (Screen::Day, 1));
}

/// What a glance says of one crab says nothing of the next.
#[test]
fn only_the_kind_stays_for_the_next_crab() {
    let kept = after(
        sorting().apply(Action::Day(DayAct::Sort(Plain::Keeper))),
        [Action::Day(DayAct::Keep(Id::first_person())), Action::NextCrab],
    );
    assert_eq!(kept.crab, Crab::of(Some("dungeness".into())));
    assert!(!kept.is_in_hand());
    let other = after(kept, [Action::Day(DayAct::Sort(Plain::OtherKind)), Action::NextCrab]);
    assert_eq!(other.crab, Crab::of(Some("dungeness".into())), "another kind is the exception");
}

/// A person's own rule says that either sex may be kept: the limit on females stays, so the sex is still to be seen.
#[test]
fn a_limit_on_females_keeps_its_own_button_under_an_own_rule() {
    let own = OwnRule {
        species: "blue-swimmer".into(),
        sex: Some(SexRule::Either),
        daily_limit: Some(30),
        holder: Some(Holder::Person),
        source_title: "leaflet".into(),
        is_read: true,
        ..OwnRule::default()
    };
    let made = geographe_bay().apply(Action::MakeOwnRule {
        rule: Box::new(own),
        who: "Ann".into(),
        new_water: None,
    });
    assert_eq!(made.rules.form_mistakes, []);
    let there = after(made, [Action::Reply(Reply::Kind("blue-swimmer".into())), Action::NextCrab]);
    assert!(there.rules.in_force.as_ref().is_some_and(|rule| rule.own.is_some()));
    assert_eq!(offered(&there), [Plain::Keeper, Plain::FemaleKeeper]);
    // The boat's 20 are kept: whatever comes goes back, and the buttons say what they said before.
    let mut full = there;
    for _ in 0..20 {
        full = kept(sort(&full, Plain::Keeper));
    }
    assert_eq!((full.all_kept(), call(&sort(&full, Plain::Keeper))), (20, Some(Call::Release)));
    assert_eq!(offered(&full), [Plain::Keeper, Plain::FemaleKeeper]);
}
