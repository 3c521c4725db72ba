//! Waters with rules of other kinds: sizes that change on a day, claws, lengths, slots, invasive crabs. The packs
//! are made for these tests; their figures are those of the sources named at each test.

use serde_json::{Value, json};
use shellspan::decide::{
    Answer, Call, Check, Finding, GaugeReading, NextAct, Notice, Outcome, Parts, SizeAlone, photo_dimension,
    size_alone,
};
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::rules::{self, MeasuredDimension, RuleInForce};
use shellspan::terms::Dimension;

use super::water::{at_least, day, male, seen, water};

/// Source: B. D. Smith, UBC thesis 1988: 165 mm between the tips is 154 mm between the notches. The same
/// crab is of size under 165 mm between the tips, and short under 165 mm between the notches.
#[test]
fn two_limits_of_165_mm_mean_two_crabs() {
    let tips = water("dungeness", json!({ "sizes": [at_least("165 mm", "tips", Value::Null)] }));
    let notch = water("dungeness", json!({ "sizes": [at_least("165 mm", "notch", Value::Null)] }));
    assert_eq!(male("dungeness", 167.0, Dimension::Tips).call(&tips), Call::Keep);
    assert_eq!(male("dungeness", 167.0 * 0.933, Dimension::Notch).call(&notch), Call::Release);
    // What was measured between the tips is not taken for a notch width.
    let outcome = male("dungeness", 167.0, Dimension::Tips).decide(&notch);
    assert!(matches!(outcome, Outcome::Open { next: Check::Size, .. }), "{outcome:?}");
}

/// Source: Maryland, hard crabs of the Bay: 5 in from 1 April to 14 July, 5 1/4 in from 15 July (figures
/// from memory, as the pack's facts say); soft crabs 3 1/2 in.
#[test]
fn a_size_that_changes_on_15_july() {
    let hard = |from: &str, to: &str| json!({ "stage": ["hard"], "days": { "from": from, "to": to } });
    let bay = water(
        "blue",
        json!({ "sizes": [
            at_least("5 in", "tips", hard("04-01", "07-14")),
            at_least("21/4 in", "tips", hard("07-15", "12-15")),
            at_least("7/2 in", "tips", json!({ "stage": ["soft"] }))
        ] }),
    );
    let mut crab = male("blue", 130.0, Dimension::Tips);
    crab.date = day(7, 14);
    assert_eq!(crab.call(&bay), Call::Keep);
    crab.date = day(7, 15);
    assert_eq!(crab.call(&bay), Call::Release);
    crab.answers.shell = Answer::Given(Stage::Soft);
    assert_eq!(crab.call(&bay), Call::Keep, "soft crabs have a size of their own");
    crab.answers.shell = Answer::Given(Stage::Peeler);
    assert_eq!(crab.call(&bay), Call::Gauge, "of peelers this pack knows nothing");
    crab.answers.shell = Answer::Unanswered;
    assert!(matches!(crab.decide(&bay), Outcome::Open { next: Check::Shell, .. }));
}

/// Source: Chesapeake Bay: hard males and soft crabs have sizes of their own. What the shell has settled asks
/// nothing more.
#[test]
fn a_condition_that_surely_fails_asks_nothing_more() {
    let bay = water(
        "blue",
        json!({
            "sex": [seen(json!("either"))], "eggs": [seen(json!("release"))],
            "sizes": [
                at_least("5 in", "tips", json!({ "sex": "male", "stage": ["hard"] })),
                at_least("7/2 in", "tips", json!({ "stage": ["soft"] }))
            ]
        }),
    );
    let mut crab = male("blue", 100.0, Dimension::Tips);
    crab.answers.sex = Answer::Unanswered;
    crab.answers.eggs = Answer::Given(shellspan::decide::Eggs::None);
    assert!(matches!(crab.decide(&bay), Outcome::Open { next: Check::Sex, .. }), "hard: the sex decides");
    crab.answers.shell = Answer::Given(Stage::Soft);
    assert_eq!(crab.call(&bay), Call::Keep);
}

/// Source: South West England's licence condition: brown crab 160 mm male, 150 mm female.
#[test]
fn a_size_that_differs_by_sex() {
    let sea = water(
        "brown",
        json!({
            "sex": [seen(json!("either"))],
            "sizes": [
                at_least("160 mm", "widest", json!({ "sex": "male" })),
                at_least("150 mm", "widest", json!({ "sex": "female" }))
            ]
        }),
    );
    let mut crab = male("brown", 155.0, Dimension::Widest);
    assert_eq!(crab.call(&sea), Call::Release);
    crab.answers.eggs = Answer::Given(shellspan::decide::Eggs::None);
    crab.answers.sex = Answer::Given(Sex::Female);
    assert_eq!(crab.call(&sea), Call::Keep);
    crab.answers.sex = Answer::Unanswered;
    assert!(matches!(crab.decide(&sea), Outcome::Open { next: Check::Sex, .. }), "its size depends on it");
}

/// Source: Delaware: no minimum for mature females (rounded apron), 5 in for the other hard crabs.
#[test]
fn a_mature_female_without_a_minimum() {
    let shore = water(
        "blue",
        json!({
            "sex": [seen(json!("either"))],
            "eggs": [seen(json!("release"))],
            "sizes": [
                at_least("5 in", "tips", json!({ "sex": "male" })),
                at_least("5 in", "tips", json!({ "sex": "female", "maturity": "immature" })),
                {
                    "when": { "sex": "female", "maturity": "mature" },
                    "dimension": seen(json!("tips")), "min": seen(json!("none"))
                }
            ]
        }),
    );
    let mut crab = male("blue", 110.0, Dimension::Tips);
    assert_eq!(crab.call(&shore), Call::Release);
    crab.answers.sex = Answer::Given(Sex::Female);
    crab.answers.eggs = Answer::Given(shellspan::decide::Eggs::None);
    assert!(matches!(crab.decide(&shore), Outcome::Open { next: Check::Maturity, .. }));
    crab.answers.maturity = Answer::Given(Maturity::Mature);
    crab.measured = None;
    assert_eq!(crab.call(&shore), Call::Keep, "no size is asked");
    crab.answers.maturity = Answer::NotSure;
    assert_eq!(crab.call(&shore), Call::Release);
}

/// Source: New South Wales: blue swimmer 6.5 cm along the shell: a photo of its width says nothing.
#[test]
fn a_shell_length_is_left_to_the_gauge() {
    let coast = water("blue", json!({ "sizes": [at_least("6.5 cm", "length", Value::Null)] }));
    let mut crab = male("blue", 170.0, Dimension::Tips);
    assert_eq!(crab.deciding(&coast), Finding::NotByPhoto { dimension: MeasuredDimension::Length });
    let outcome = crab.decide(&coast);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Gauge);
    assert!(matches!(&verdict.acts()[0], NextAct::UseGauge { words, .. }
        if words == "at least 6.5 cm, along the midline of the shell"));
    assert!(verdict.notices().contains(&Notice::WrongDimensionMeasured));
    crab.gauge = Some(GaugeReading::Reads("66 mm".parse().expect("a length")));
    assert_eq!(crab.call(&coast), Call::Keep);
}

/// Source: Texas, stone crab: the right claw only, 2 1/2 in; the body goes back.
#[test]
fn only_the_right_claw() {
    let gulf = water(
        "tanner",
        json!({ "parts": [seen(json!("right-claw-only"))], "sizes": [at_least("5/2 in", "claw", Value::Null)] }),
    );
    let mut crab = male("tanner", 100.0, Dimension::Tips);
    crab.gauge = Some(GaugeReading::OfSize);
    for (parts, call) in
        [(Parts::RightClaw, Call::Keep), (Parts::LeftClaw, Call::Release), (Parts::Whole, Call::Release)]
    {
        crab.answers.parts = Answer::Given(parts);
        assert_eq!(crab.call(&gulf), call, "{parts:?}");
    }
    crab.answers.parts = Answer::Given(Parts::RightClaw);
    let outcome = crab.decide(&gulf);
    assert!(outcome.verdict().expect("settled").acts().contains(&NextAct::ClawThenRelease));
}

/// A maximum besides a minimum, as a slot: both ends count.
#[test]
fn a_slot_has_two_ends() {
    let mut slot = at_least("5 in", "tips", Value::Null);
    slot["max"] = seen(json!({ "at": { "exact": "27/4 in", "published": "6 3/4 in" } }));
    let shore = water("blue", json!({ "sizes": [slot] }));
    for (mm, call) in [
        (120.0, Call::Release),
        (127.5, Call::Gauge),
        (140.0, Call::Keep),
        (171.0, Call::Gauge),
        (175.0, Call::Release),
    ] {
        assert_eq!(male("blue", mm, Dimension::Tips).call(&shore), call, "{mm} mm");
    }
}

/// What is unknown says unknown, and is looked up; a figure is never invented.
#[test]
fn an_unknown_size_is_looked_up() {
    let unknown = json!({ "mark": "unknown", "source": "s" });
    let bay = water("blue", json!({ "sizes": [{ "dimension": seen(json!("tips")), "min": unknown }] }));
    let outcome = male("blue", 160.0, Dimension::Tips).decide(&bay);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Gauge);
    assert_eq!(verdict.acts(), [NextAct::LookUp { topic: rules::Topic::MinSize }]);
    let nothing = water("blue", json!({}));
    assert_eq!(male("blue", 160.0, Dimension::Tips).call(&nothing), Call::Gauge);
}

/// Source: Oregon lets people keep European green crabs, 35 a day, any size or sex (memory).
#[test]
fn duties_about_an_invasive_crab_differ() {
    let duty = |keep: &str, put_back: &str| {
        json!({
            "keep": keep, "keep_alive": "not-stated", "kill": "may", "put_back": put_back, "report": "not-stated",
            "words": "As the source says."
        })
    };
    let facts = |keep, put_back| {
        json!({
            "invasive": [seen(duty(keep, put_back))], "sex": [seen(json!("either"))],
            "shell": [seen(json!("any"))],
            "sizes": [{ "dimension": seen(json!("not-stated")), "min": seen(json!("none")) }]
        })
    };
    let crab = male("green", 60.0, Dimension::Tips);
    let kept = crab.decide(&water("green", facts("may", "must-not")));
    let verdict = kept.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Keep);
    assert!(verdict.acts().contains(&NextAct::DoNotPutBack));
    let not_kept = crab.decide(&water("green", facts("must-not", "must-not")));
    let verdict = not_kept.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Release);
    assert!(!verdict.acts().contains(&NextAct::ReleaseGently), "it must not go back");
    assert_eq!(verdict.word(), "Do not keep it");
    assert_eq!(crab.call(&water("green", facts("not-stated", "not-stated"))), Call::Gauge);
}

#[test]
fn areas_are_found_by_any_of_their_words() {
    let packs = [rules::built_in_pack(), water("blue", json!({}))];
    let found = |query: &str| -> Vec<String> {
        rules::search(&packs, query).into_iter().map(|entry| entry.choice.area).collect()
    };
    assert_eq!(found("hood canal"), ["hood-canal-south-and-13", "puget-sound"], "an entry of its own first");
    assert_eq!(found("WASHINGTON westport"), ["coast", "grays-harbor"]);
    assert_eq!(found("blue"), ["here"]);
    assert_eq!(found("nowhere at all"), Vec::<String>::new());
    assert_eq!(found("").len(), packs.iter().map(|pack| pack.areas.len()).sum::<usize>());
}

/// A fact seen for one area is not widened: Puget Sound's sizes say nothing of the state's other waters.
#[test]
fn a_fact_stays_in_its_area() {
    let pack = rules::built_in_pack();
    let state = RuleInForce::find(&pack, "statewide", "dungeness").expect("the area");
    assert!(!state.is_named && state.facts.sizes.is_empty() && state.facts.limits.is_empty());
    let sound = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("the area");
    assert!(sound.is_named && sound.facts.sizes.len() == 1);
    assert_eq!(sound.facts.parts.len(), 1, "what holds in the whole state holds here");
    assert!(sound.lines().iter().all(|line| !line.words.is_empty()));
    assert_eq!(RuleInForce::find(&pack, "no such water", "dungeness"), None);
}

/// Size by itself, before sex and shell are looked at: figures of South West England and of New South Wales
/// as above.
#[test]
fn the_size_alone() {
    let sea = water(
        "brown",
        json!({ "sizes": [
            at_least("160 mm", "widest", json!({ "sex": "male" })),
            at_least("150 mm", "widest", json!({ "sex": "female" }))
        ] }),
    );
    let mut crab = male("brown", 155.0, Dimension::Widest);
    assert!(matches!(crab.look(&sea, size_alone).0, SizeAlone::NotOfSize(_)));
    crab.answers.sex = Answer::Given(Sex::Female);
    assert!(matches!(crab.look(&sea, size_alone).0, SizeAlone::OfSize(_)));
    crab.answers.sex = Answer::Unanswered;
    assert_eq!(crab.look(&sea, size_alone).0, SizeAlone::Needs(Check::Sex));
    assert_eq!(crab.look(&sea, photo_dimension), Some(Dimension::Widest));
    let coast = water("brown", json!({ "sizes": [at_least("6.5 cm", "length", Value::Null)] }));
    assert!(matches!(crab.look(&coast, size_alone).0, SizeAlone::Undecided(_)));
    assert_eq!(crab.look(&coast, photo_dimension), None);
}
