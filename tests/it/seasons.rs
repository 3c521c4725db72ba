//! Whether a water is open: how times combine, what nobody knows, and the person's word for the day.

use jiff::civil::Date;
use serde_json::{Value, json};
use shellspan::decide::{Answer, Call, Check, Finding, NextAct, Notice, Outcome, SeasonState, season_state};
use shellspan::rules::pack::OwnNote;
use shellspan::rules::{self, OwnRule, OwnSeason, Pack, RuleInForce};
use shellspan::terms::Dimension;

use super::water::{Crab, at_least, day, male, seen, water};

/// A water with the times of `season`, and a crab of size in it of which nothing was looked up.
pub(super) fn with(season: Value) -> Pack {
    water("blue", json!({ "sizes": [at_least("5 in", "tips", Value::Null)], "season": season }))
}

pub(super) fn crab(date: Date) -> Crab {
    let mut crab = male("blue", 150.0, Dimension::Tips);
    crab.answers.open = Answer::Unanswered;
    crab.date = date;
    crab
}

/// Keep, release, or `None` where the season is asked for.
#[track_caller]
fn call(pack: &Pack, date: Date) -> Option<Call> {
    match crab(date).decide(pack) {
        Outcome::Open { next, .. } => {
            assert_eq!(next, Check::Season);
            None
        }
        Outcome::Settled(verdict) => Some(verdict.call()),
    }
}

fn days(effect: &str, from: &str, to: &str) -> Value {
    seen(json!({ "effect": effect, "days": { "from": from, "to": to }, "words": format!("{from} to {to}.") }))
}

fn weekdays(effect: &str, names: &[&str]) -> Value {
    seen(json!({ "effect": effect, "weekdays": names, "words": names.join(" ") }))
}

/// 4 July 2026 is a Saturday (GNU date).
#[test]
fn two_entries_of_weekdays_open_two_days_and_no_other() {
    let pack = with(json!([weekdays("open", &["saturday"]), weekdays("open", &["sunday"])]));
    let open = [false, false, false, false, true, true, false];
    // From Tuesday 30 June on.
    for (on, open) in (30..=36).zip(open) {
        let date = if on > 30 { day(7, on - 30) } else { day(6, on) };
        assert_eq!(call(&pack, date), Some(if open { Call::Keep } else { Call::Release }), "{date}");
    }
}

#[test]
fn two_spans_are_both_open_and_weekdays_narrow_them() {
    let two = with(json!([days("open", "05-01", "05-31"), days("open", "07-01", "07-31")]));
    for (date, wanted) in [(day(5, 31), Call::Keep), (day(6, 15), Call::Release), (day(7, 1), Call::Keep)] {
        assert_eq!(call(&two, date), Some(wanted), "{date}");
    }
    let narrowed = with(json!([days("open", "07-01", "07-31"), weekdays("open", &["saturday"])]));
    for (date, wanted) in [(day(7, 4), Call::Keep), (day(7, 3), Call::Release), (day(8, 1), Call::Release)] {
        assert_eq!(call(&narrowed, date), Some(wanted), "{date}");
    }
    // Weekdays of one span say nothing of the other.
    let saturdays = seen(json!({
        "effect": "open", "days": { "from": "10-01", "to": "10-31" }, "weekdays": ["saturday"], "words": "x"
    }));
    let apart = with(json!([days("open", "07-01", "07-31"), saturdays]));
    for (date, wanted) in [(day(7, 3), Call::Keep), (day(10, 3), Call::Keep), (day(10, 4), Call::Release)] {
        assert_eq!(call(&apart, date), Some(wanted), "{date}");
    }
}

/// An order that shortens a season: what the form is for.
#[test]
fn an_own_shorter_season_closes_the_rest() {
    let pack = with(json!([days("open", "06-01", "08-31")]));
    let note = OwnNote { who: "Ann".to_owned(), when: day(6, 1), why: "order".to_owned() };
    let order = |from: &str, to: &str| OwnRule {
        species: "blue".to_owned(),
        seasons: vec![OwnSeason { is_closed: false, from: from.to_owned(), to: to.to_owned() }],
        source_title: "Order 26-1".to_owned(),
        is_read: true,
        ..OwnRule::default()
    };
    let own = rules::with_own_rule(&pack, "here", &order("2026-07-01", "2026-07-15"), &note).expect("a pack");
    for (date, wanted) in [
        (day(6, 15), Call::Release),
        (day(7, 1), Call::Keep),
        (day(7, 15), Call::Keep),
        (day(7, 16), Call::Release),
        (day(9, 1), Call::Release),
    ] {
        assert_eq!(call(&own, date), Some(wanted), "{date}");
    }
    // It opens nothing that the pack closes.
    let longer =
        rules::with_own_rule(&pack, "here", &order("2026-07-01", "2026-10-31"), &note).expect("a pack");
    assert_eq!(call(&longer, day(10, 1)), Some(Call::Release));
    // And what leaves no open day is told at once.
    let never = rules::with_own_rule(&pack, "here", &order("2026-10-01", "2026-10-31"), &note);
    let mistakes = never.expect_err("no day is left");
    assert!(mistakes.iter().any(|mistake| mistake.words.contains("no day")), "{mistakes:?}");
}

/// The times of an inner area and of the one around it: open where both are.
#[test]
fn the_narrower_of_two_areas_closes() {
    let mut pack = with(json!([days("open", "06-01", "08-31")]));
    let mut inner = pack.areas[0].clone();
    inner.id = "inner".to_owned();
    inner.within = Some("here".to_owned());
    let wide = with(json!([days("open", "05-01", "07-15")]));
    inner.rules = wide.areas[0].rules.clone();
    pack.areas.push(inner);
    let rule = RuleInForce::find(&pack, "inner", "blue").expect("a rule");
    let state = |date| {
        crab(date).look(&pack, |case| season_state(&shellspan::decide::Case { rule: &rule, ..*case })).0
    };
    assert_eq!(state(day(5, 15)), SeasonState::Closed);
    assert_eq!(state(day(7, 1)), SeasonState::Open);
    assert_eq!(state(day(8, 1)), SeasonState::Closed);
}

/// What nobody knows is not open: the person looks it up, once a day.
#[test]
fn a_season_that_nobody_knows_is_asked_for() {
    let by_order = seen(json!({ "effect": "by-order", "words": "Set each year." }));
    let pots = json!({
        "effect": "open", "condition": "pots", "days": { "from": "12-01", "to": "09-15" }, "words": "Pots."
    });
    let other_year = json!({
        "effect": "open", "dates": { "from": "2024-07-01", "to": "2024-08-31" }, "words": "Summer of 2024."
    });
    let history = seen(json!({ "effect": "words", "words": "Closed in summer 2024." }));
    let mut from_memory = days("open", "06-01", "08-31");
    from_memory["mark"] = json!("memory");
    let mut closed_from_memory = days("closed", "06-01", "08-31");
    closed_from_memory["mark"] = json!("memory");
    let all_year = seen(json!({ "effect": "open", "words": "All year." }));
    for (season, date) in [
        (json!([]), day(7, 4)),
        (json!([by_order.clone()]), day(7, 4)),
        (json!([all_year.clone(), by_order]), day(7, 4)),
        (json!([{ "mark": "unknown" }, all_year.clone()]), day(7, 4)),
        (json!([seen(pots.clone()), all_year.clone()]), day(10, 1)),
        (json!([seen(other_year)]), day(7, 4)),
        (json!([history]), day(7, 4)),
        (json!([from_memory.clone()]), day(7, 4)),
        (json!([from_memory]), day(9, 4)),
        (json!([closed_from_memory, all_year.clone()]), day(7, 4)),
    ] {
        let pack = with(season.clone());
        assert_eq!(call(&pack, date), None, "{season}");
        for (said, wanted) in [
            (Answer::Given(true), Call::Keep),
            (Answer::Given(false), Call::Release),
            (Answer::NotSure, Call::Release),
        ] {
            let mut crab = crab(date);
            crab.answers.open = said;
            assert_eq!(crab.call(&pack), wanted, "{season} {said:?}");
        }
    }
    assert_eq!(
        call(&with(json!([seen(pots), all_year.clone()])), day(7, 4)),
        Some(Call::Keep),
        "for pots too"
    );
    assert_eq!(call(&with(json!([all_year.clone()])), day(7, 4)), Some(Call::Keep));
    let years_later = Date::new(2029, 7, 4).expect("a date");
    assert_eq!(
        call(&with(json!([all_year])), years_later),
        None,
        "a pack of three years ago knows no season"
    );
    // The person's word opens nothing that is known to be closed.
    let mut crab = crab(day(9, 4));
    crab.answers.open = Answer::Given(true);
    assert_eq!(crab.call(&with(json!([days("open", "06-01", "08-31")]))), Call::Release);
}

/// History, and times for some only, reach the person.
#[test]
fn words_beside_the_times_reach_the_verdict() {
    let history = seen(json!({ "effect": "words", "words": "Closed in summer 2024." }));
    let wednesdays = seen(json!({
        "effect": "closed", "condition": "pots", "weekdays": ["wednesday"], "words": "Not on Wednesdays."
    }));
    let pack = with(json!([history, wednesdays, seen(json!({ "effect": "open", "words": "All year." }))]));
    let told = |date| {
        let outcome = crab(date).decide(&pack);
        match outcome {
            Outcome::Open { notices, .. } => notices,
            Outcome::Settled(verdict) => verdict.notices().to_vec(),
        }
    };
    let history = Notice::SeasonWords { words: "Closed in summer 2024.".to_owned() };
    // 8 July 2026 is a Wednesday (GNU date).
    let wednesday = told(day(7, 8));
    assert!(wednesday.contains(&history));
    assert!(wednesday.contains(&Notice::SeasonInDoubt { words: "pots: Not on Wednesdays.".to_owned() }));
    assert_eq!(call(&pack, day(7, 8)), None, "closed for some on this day");
    assert!(told(day(7, 4)).contains(&history));
    assert_eq!(call(&pack, day(7, 4)), Some(Call::Keep));
}

/// Cal. Code Regs. tit. 14 s 29.85(a) (us-ca, seen): Dungeness closed in every county on 15 August; rock crab open
/// all year. The ocean as a whole hides no closure of its parts.
#[test]
fn an_area_hides_no_closure_of_its_parts() {
    let text = std::fs::read_to_string(super::command::path("www/rules/us-ca.json")).expect("a text");
    let pack = rules::read_pack(&text).expect("a pack");
    let state = |area: &str, kind: &str, date: Date| {
        let rule = RuleInForce::find(&pack, area, kind).expect("a rule");
        crab(date).look(&with(json!([])), |case| {
            let answers =
                &shellspan::decide::Answers { kind: Answer::Given(kind.to_owned()), ..Default::default() };
            season_state(&shellspan::decide::Case { rule: &rule, answers, ..*case }).0
        })
    };
    assert_eq!(state("ocean", "dungeness", day(8, 15)), SeasonState::Closed);
    assert_eq!(state("other-counties", "dungeness", day(8, 15)), SeasonState::Closed);
    assert_eq!(state("ocean", "dungeness", day(7, 15)), SeasonState::NotKnown, "closed in some counties");
    assert_eq!(state("north-counties", "dungeness", day(7, 15)), SeasonState::Open);
    assert_eq!(state("ocean", "rock", day(8, 15)), SeasonState::Open);
    // One closed part beside the rest of the water: which it is must be said.
    let mut pack = with(json!([seen(json!({ "effect": "open", "words": "All year." }))]));
    let mut part = pack.areas[0].clone();
    part.id = "cove".to_owned();
    part.name = "The cove".to_owned();
    part.within = Some("here".to_owned());
    part.rules = with(json!([days("closed", "06-01", "08-31")])).areas[0].rules.clone();
    pack.areas.push(part);
    for said in [Answer::Unanswered, Answer::NotSure, Answer::Given(true)] {
        let mut crab = crab(day(7, 4));
        crab.answers.open = said;
        let outcome = crab.decide(&pack);
        let Outcome::Settled(verdict) = &outcome else { panic!("{said:?}: {outcome:?}") };
        assert_eq!(verdict.call(), Call::Gauge, "{said:?}");
        assert!(verdict.reasons()[0].sentence().contains("The cove"), "{verdict:?}");
        assert!(verdict.acts().contains(&NextAct::ChoosePart), "{verdict:?}");
    }
    assert_eq!(call(&pack, day(9, 4)), Some(Call::Keep));
    pack.areas[0].id = "whole".to_owned();
    pack.areas[1].within = Some("whole".to_owned());
    pack.areas[1].id = "here".to_owned();
    assert_eq!(call(&pack, day(7, 4)), Some(Call::Release), "the part itself is closed");
}

/// Where parts of a water are closed and others are not, one that is not closed can be chosen: in every pack, on days
/// of two years.
#[test]
fn where_parts_differ_there_is_a_part_to_choose() {
    let told = "Parts of this water are closed";
    let mut seen = 0;
    for (name, text) in super::rules::packs() {
        let Ok(pack) = rules::read_pack(&text) else { continue };
        let state = |area: &str, kind: &str, date: Date| {
            let rule = RuleInForce::find(&pack, area, kind).expect("a rule");
            crab(date).look(&with(json!([])), |case| {
                let answers = &shellspan::decide::Answers {
                    kind: Answer::Given(kind.to_owned()),
                    ..Default::default()
                };
                season_state(&shellspan::decide::Case { rule: &rule, answers, ..*case })
            })
        };
        let kinds: std::collections::BTreeSet<&str> =
            pack.areas.iter().flat_map(|area| &area.rules).map(|rule| rule.species.as_str()).collect();
        for area in &pack.areas {
            let within: Vec<&str> = pack
                .areas
                .iter()
                .filter(|part| pack.chain(part).iter().skip(1).any(|ring| ring.id == area.id))
                .map(|part| part.id.as_str())
                .collect();
            let dates =
                (0..730).step_by(13).map(|days| day(1, 1).saturating_add(jiff::Span::new().days(days)));
            for (date, kind) in dates.flat_map(|date| kinds.iter().map(move |kind| (date, *kind))) {
                let differ = |area: &str| {
                    let (state, words) = state(area, kind, date);
                    (state, words.iter().any(|words| words.starts_with(told)))
                };
                if within.is_empty() || !differ(&area.id).1 {
                    continue;
                }
                seen += 1;
                let is_left = |part: &&str| !matches!(differ(part), (SeasonState::Closed, _) | (_, true));
                assert!(within.iter().any(is_left), "{name} {} {kind} {date}", area.id);
            }
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn what_was_looked_up_as_closed_is_the_deciding_reason() {
    let mut crab = crab(day(7, 4));
    crab.answers.open = Answer::Given(false);
    assert_eq!(crab.deciding(&with(json!([]))), Finding::SaidClosed);
}
