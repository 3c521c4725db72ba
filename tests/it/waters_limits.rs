//! Limits: held by the boat, for kinds together, on what is in possession, for some only.

use serde_json::{Value, json};
use shellspan::decide::{
    Answer, Call, CatchSoFar, Check, Eggs, Finding, KeptCount, LicenceWord, Notice, Outcome, Traits,
};
use shellspan::rules::Topic;
use shellspan::rules::facts::Holder;
use shellspan::rules::when::Sex;
use shellspan::terms::Dimension;

use super::water::{at_least, male, seen, water};

/// Source: Scotland: 5 of edible, green, spider and velvet crab together, per unlicensed boat and day.
#[test]
fn a_limit_that_the_boat_holds_for_kinds_together() {
    let firth = water(
        "brown",
        json!({
            "sizes": [at_least("150 mm", "widest", Value::Null)],
            "limits": [{
                "amount": seen(json!({ "crabs": 5 })), "holder": seen(json!("boat")), "per": "day",
                "together_with": ["green"]
            }]
        }),
    );
    let on = |holder, species: &str, today| KeptCount {
        holder,
        species: species.to_owned(),
        traits: Traits::default(),
        today,
        earlier: None,
    };
    let mut crab = male("brown", 170.0, Dimension::Widest);
    crab.catch.kept = vec![on(Holder::Boat, "brown", 2), on(Holder::Boat, "green", 3)];
    assert_eq!(crab.deciding(&firth), Finding::LimitReached { kept: 5, limit: 5, holder: Holder::Boat });
    crab.catch.kept = vec![on(Holder::Boat, "brown", 2), on(Holder::Boat, "green", 2)];
    let outcome = crab.decide(&firth);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Keep);
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::LimitLast { .. })));
    // What a person has kept is not the boat's, where both are counted.
    crab.catch = CatchSoFar {
        kept: vec![on(Holder::Person, "brown", 5)],
        counted: vec![Holder::Boat],
        ..CatchSoFar::default()
    };
    assert_eq!(crab.call(&firth), Call::Keep);
    crab.catch = CatchSoFar::default();
    // A person's own count does not speak for the boat.
    crab.catch.kept = vec![on(Holder::Person, "brown", 5)];
    let outcome = crab.decide(&firth);
    let verdict = outcome.verdict().expect("settled");
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::LimitNotCounted { .. })));
}

/// Source: Alaska, Southeast personal use: 30 male Tanner crab in possession (us-ak, seen). What lies in a
/// freezer counts, and is never taken for nothing.
#[test]
fn a_possession_limit_counts_earlier_days_and_says_when_it_cannot() {
    let limit = json!([{
        "amount": seen(json!({ "crabs": 30 })), "holder": seen(json!("person")), "per": "possession"
    }]);
    let sizes = json!([at_least("5 in", "widest", Value::Null)]);
    let strait = water("tanner", json!({ "sizes": sizes, "limits": limit }));
    let mut crab = male("tanner", 150.0, Dimension::Widest);
    let not_counted = |notice: &Notice| matches!(notice, Notice::EarlierDaysNotCounted { words } if words.contains("30 crabs"));
    for (today, earlier, call, is_told, is_last) in [
        (0, None, Call::Keep, true, false),
        (29, None, Call::Keep, true, false),
        (30, None, Call::Release, false, false),
        (0, Some(28), Call::Keep, false, false),
        (1, Some(28), Call::Keep, false, true),
        (2, Some(28), Call::Release, false, false),
        (0, Some(30), Call::Release, false, false),
        (u32::MAX, Some(u32::MAX), Call::Release, false, false),
    ] {
        let kept = KeptCount {
            holder: Holder::Person,
            species: "tanner".to_owned(),
            traits: Traits::default(),
            today,
            earlier,
        };
        crab.catch = CatchSoFar { kept: vec![kept], counted: vec![Holder::Person], ..CatchSoFar::default() };
        let outcome = crab.decide(&strait);
        let verdict = outcome.verdict().expect("settled");
        assert_eq!(verdict.call(), call, "{today} and {earlier:?}");
        assert_eq!(verdict.notices().iter().any(not_counted), is_told, "{today} and {earlier:?}");
        let last = verdict.notices().iter().any(|notice| matches!(notice, Notice::LimitLast { .. }));
        assert_eq!(last, is_last, "{today} and {earlier:?}");
    }
    // Nothing was counted of this kind: earlier days are not known either.
    crab.catch = CatchSoFar { kept: Vec::new(), counted: vec![Holder::Person], ..CatchSoFar::default() };
    assert!(crab.decide(&strait).verdict().expect("settled").notices().iter().any(not_counted));
}

/// A time for some only (pots, say) is shown, and whether it closes this catch is the person's to say; a limit whose holder is not
/// known is told, and left to the official rule once one person alone has kept as many.
#[test]
fn facts_for_some_only_are_shown() {
    let pots = json!({
        "effect": "closed", "condition": "pots", "days": { "from": "07-01", "to": "07-31" },
        "words": "No pots in July."
    });
    let bay = water(
        "blue",
        json!({
            "sizes": [at_least("5 in", "tips", Value::Null)],
            "season": [seen(pots)],
            "limits": [{
                "amount": seen(json!({ "crabs": 1 })), "holder": { "mark": "unknown" }, "per": "day"
            }]
        }),
    );
    let mut crab = male("blue", 140.0, Dimension::Tips);
    crab.catch = CatchSoFar::of_person("blue", 1);
    assert_eq!(crab.deciding(&bay), Finding::NotKnown { topic: Topic::Holder });
    assert_eq!(crab.call(&bay), Call::Gauge);
    crab.catch = CatchSoFar::of_person("blue", 0);
    let outcome = crab.decide(&bay);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Keep);
    let words = "pots: No pots in July.".to_owned();
    assert!(verdict.notices().contains(&Notice::SeasonWords { words }));
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::LimitNotCounted { .. })));
}

/// A limit of none is reached before anything is counted; one for females waits for the sex.
#[test]
fn a_limit_of_none_keeps_none() {
    let sizes = json!([at_least("5 in", "notch", Value::Null)]);
    let none = |when: Value| {
        let mut amount = seen(json!({ "crabs": 0 }));
        if !when.is_null() {
            amount["when"] = when;
        }
        json!([{ "amount": amount, "holder": seen(json!("person")), "per": "day" }])
    };
    let mut crab = male("dungeness", 175.0, Dimension::Notch);
    crab.catch = CatchSoFar::default();
    let closed = water("dungeness", json!({ "sizes": sizes, "limits": none(Value::Null) }));
    assert_eq!(crab.deciding(&closed), Finding::LimitReached { kept: 0, limit: 0, holder: Holder::Person });
    let females = water("dungeness", json!({ "sizes": sizes, "limits": none(json!({ "sex": "female" })) }));
    assert_eq!(crab.call(&females), Call::Keep);
    crab.answers.sex = Answer::Unanswered;
    assert_eq!(crab.decide(&females).verdict(), None);
}

fn kept(holder: Holder, species: &str, sex: Option<Sex>, today: u32) -> KeptCount {
    let traits = Traits { sex, ..Traits::default() };
    KeptCount { holder, species: species.to_owned(), traits, today, earlier: None }
}

/// Source: Maryland, COMAR 08.02.03 (us-md, seen): 24 male hard crabs for an unlicensed person, 72 for a licensed one.
/// Whether the person has a licence is not known here: from the 25th on nothing is a plain keep.
#[test]
fn a_limit_for_some_only_is_counted_and_never_passed_in_silence() {
    let hard = json!({ "sex": "male", "stage": ["hard"] });
    let with = |holder: Value| {
        let for_some = |most: u32, who: &str| {
            let mut amount = seen(json!({ "crabs": most }));
            amount["when"] = hard.clone();
            json!({ "amount": amount, "holder": holder, "per": "day", "condition": who })
        };
        let limits = json!([for_some(24, "unlicensed person"), for_some(72, "licensed person")]);
        water("blue", json!({ "sizes": [at_least("5 in", "tips", Value::Null)], "limits": limits }))
    };
    let mut crab = male("blue", 150.0, Dimension::Tips);
    // Whoever holds the limit, who alone has kept as many has reached it (New Hampshire does not say).
    for holder in [seen(json!("person")), json!({ "mark": "unknown" }), seen(json!("boat"))] {
        let bay = with(holder.clone());
        for (count, call) in [(0, Call::Keep), (23, Call::Keep), (24, Call::Gauge), (80, Call::Gauge)] {
            crab.catch = CatchSoFar::of_person("blue", count);
            let outcome = crab.decide(&bay);
            let verdict = outcome.verdict().expect("settled");
            assert_eq!(verdict.call(), call, "{holder} {count}");
            let told =
                verdict.notices().iter().filter(|notice| matches!(notice, Notice::LimitWithCondition { .. }));
            assert_eq!(told.count(), 2);
            if call == Call::Gauge {
                assert_eq!(verdict.word(), "Look up the rule");
                let why = verdict.reasons()[0].sentence();
                assert!(why.contains("24 is the limit for: unlicensed person"), "{why}");
            }
        }
    }
    // Females are not of it.
    crab.catch = CatchSoFar {
        kept: vec![kept(Holder::Person, "blue", Some(Sex::Female), 24)],
        counted: vec![Holder::Person],
        ..CatchSoFar::default()
    };
    assert_eq!(crab.call(&with(seen(json!("person")))), Call::Keep);
    // A container or a pot has its own: a person's count says nothing of it.
    crab.catch = CatchSoFar::of_person("blue", 24);
    assert_eq!(crab.call(&with(seen(json!("container")))), Call::Keep);
}

/// Source: as above. What is said of the licence settles it: the limit of those without is passed by the licensed only,
/// theirs by nobody, and one from memory keeps none beyond the first.
#[test]
fn a_word_on_the_licence_settles_whose_a_limit_is() {
    let limit = |most: u32, mark: &str, who: &str, licence: Value| {
        json!({
            "amount": { "value": { "crabs": most }, "mark": mark, "source": "s" },
            "holder": seen(json!("person")), "per": "day", "condition": who, "by_licence": licence
        })
    };
    let with = |mark: &str, and_more: bool| {
        let limits = json!([
            limit(24, "seen", "unlicensed person", json!({ "licence": "not-held" })),
            limit(72, mark, "licensed person", json!({ "licence": "held", "and_more": and_more })),
        ]);
        water("blue", json!({ "sizes": [at_least("5 in", "tips", Value::Null)], "limits": limits }))
    };
    let mut crab = male("blue", 150.0, Dimension::Tips);
    let mut call = |bay: &shellspan::rules::Pack, licence, count| {
        crab.catch = CatchSoFar { licence, ..CatchSoFar::of_person("blue", count) };
        let outcome = crab.decide(bay);
        let verdict = outcome.verdict().expect("settled");
        (verdict.call(), verdict.reasons()[0].sentence(), verdict.notices().to_vec())
    };
    let bay = with("seen", false);
    for (licence, count, wanted) in [
        (LicenceWord::NotSaid, 23, Call::Keep),
        (LicenceWord::NotSaid, 24, Call::Gauge),
        (LicenceWord::NeedsNone, 24, Call::Gauge),
        (LicenceWord::NotHeld, 23, Call::Keep),
        (LicenceWord::NotHeld, 24, Call::Release),
        (LicenceWord::Held, 24, Call::Keep),
        (LicenceWord::Held, 71, Call::Keep),
        (LicenceWord::Held, 72, Call::Release),
    ] {
        let (found, why, notices) = call(&bay, licence, count);
        assert_eq!(found, wanted, "{licence:?} {count}: {why}");
        assert_eq!(notices.contains(&Notice::LicenceNotSaid), licence == LicenceWord::NotSaid);
        let is_told = notices.iter().any(|notice| matches!(notice, Notice::NoLicence { .. }));
        assert_eq!(is_told, licence == LicenceWord::NotHeld && wanted == Call::Keep);
        assert_eq!(why.contains("People and pots"), licence == LicenceWord::NotSaid && count == 24, "{why}");
    }
    // What else the condition asks, nobody here knows: nothing is kept beyond it, and nothing is a plain release.
    assert_eq!(call(&with("seen", true), LicenceWord::Held, 71).0, Call::Keep);
    assert_eq!(call(&with("seen", true), LicenceWord::Held, 72).0, Call::Gauge);
    for and_more in [false, true] {
        assert_eq!(call(&with("memory", and_more), LicenceWord::Held, 0).0, Call::Keep);
        assert_eq!(call(&with("memory", and_more), LicenceWord::Held, 24).0, Call::Gauge);
    }
}

/// A limit of those without a licence has one of the licensed beside it: without that a licence would lift every limit.
#[test]
fn a_limit_that_a_licence_takes_away_is_replaced() {
    let pack = include_str!("../../www/rules/us-md.json");
    assert!(shellspan::rules::read_pack(pack).is_ok());
    let mut json: Value = serde_json::from_str(pack).expect("JSON");
    let area =
        json["areas"].as_array().expect("areas").iter().position(|area| area["id"] == "chesapeake-bay");
    let rules = &mut json["areas"][area.expect("the bay")]["rules"];
    let limits = rules
        .as_array_mut()
        .expect("rules")
        .iter_mut()
        .find_map(|rule| rule["facts"]["limits"].as_array_mut());
    let limits = limits.expect("limits");
    let all = limits.len();
    limits.retain(|limit| limit["condition"] != "licensed person");
    assert_eq!(limits.len(), all - 1);
    limits[0].as_object_mut().expect("a limit").remove("condition");
    let mistakes = shellspan::rules::read_pack(&json.to_string()).expect_err("two mistakes");
    let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
    assert!(told.len() == 2, "{told:?}");
    assert!(told.iter().any(|words| words.contains("none of the licensed takes its place")), "{told:?}");
    assert!(told.iter().any(|words| words.contains("write `condition`")), "{told:?}");
}

/// Source: Western Australia, Geographe Bay (au-wa, seen): 10 blue swimmer crabs a person, at most 5 of them female.
/// Where either sex may be kept, only the limit makes the sex matter.
#[test]
fn a_limit_on_females_asks_the_sex_from_the_first_crab_on() {
    let females = || {
        let mut amount = seen(json!({ "crabs": 5 }));
        amount["when"] = json!({ "sex": "female" });
        amount
    };
    let bay = water(
        "blue",
        json!({
            "sizes": [at_least("127 mm", "tips", Value::Null)], "sex": [seen(json!("either"))],
            "limits": [
                { "amount": seen(json!({ "crabs": 10 })), "holder": seen(json!("person")), "per": "day" },
                { "amount": females(), "holder": seen(json!("person")), "per": "day" }
            ]
        }),
    );
    let mut crab = male("blue", 150.0, Dimension::Tips);
    crab.answers.eggs = Answer::Given(Eggs::None);
    crab.answers.sex = Answer::Unanswered;
    crab.catch = CatchSoFar::of_person("blue", 0);
    assert_eq!(next_check(&crab, &bay), Some(Check::Sex));
    let mut call = |sex, of: Option<Sex>, count| {
        crab.answers.sex = Answer::Given(sex);
        let kept = vec![kept(Holder::Person, "blue", of, count)];
        crab.catch = CatchSoFar { kept, counted: vec![Holder::Person], ..CatchSoFar::default() };
        crab.call(&bay)
    };
    assert_eq!(call(Sex::Female, Some(Sex::Female), 4), Call::Keep);
    assert_eq!(call(Sex::Female, Some(Sex::Female), 5), Call::Release);
    assert_eq!(call(Sex::Female, Some(Sex::Male), 5), Call::Keep);
    // Those of which the sex was not said may be females.
    assert_eq!(call(Sex::Female, None, 5), Call::Release);
    assert_eq!(call(Sex::Male, Some(Sex::Female), 5), Call::Keep);
}

fn next_check(crab: &super::water::Crab, pack: &shellspan::rules::Pack) -> Option<Check> {
    match crab.decide(pack) {
        Outcome::Open { next, .. } => Some(next),
        Outcome::Settled(_) => None,
    }
}
