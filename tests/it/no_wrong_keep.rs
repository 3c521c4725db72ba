//! Ways in which a crab was kept that no rule lets be kept, each got from a pack's JSON as a person would get it.

use jiff::civil::Date;
use serde_json::{Value, json};
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Check, Eggs, Finding, GaugeReading, KeptCount, MeasuredWidth,
    Notice, Outcome, Risk, SizeAlone, Traits, decide, fitting_limits, size_alone,
};
use shellspan::rules::facts::Holder;
use shellspan::rules::pack::ANY_CRAB;
use shellspan::rules::when::{Maturity, Sex};
use shellspan::rules::{self, Confirmation, Pack, RuleInForce, Topic};
use shellspan::terms::Dimension;

use super::water::{Crab, at_least, day, male, seen, water};

fn memory(value: Value) -> Value {
    json!({ "value": value, "mark": "memory", "source": "s" })
}

/// A crab of size of 5 in between the tips, in a water with `facts` beside the size.
fn bay(mut facts: Value) -> Pack {
    if facts.get("sizes").is_none() {
        facts["sizes"] = json!([at_least("5 in", "tips", Value::Null)]);
    }
    water("blue", facts)
}

fn wide() -> Crab {
    male("blue", 150.0, Dimension::Tips)
}

fn female() -> Crab {
    let mut crab = wide();
    crab.answers.sex = Answer::Given(Sex::Female);
    crab.answers.maturity = Answer::Given(Maturity::Mature);
    crab.answers.eggs = Answer::Given(Eggs::None);
    crab
}

/// Decides `crab` in the first area of `pack` with what was confirmed.
fn confirmed(crab: &Crab, pack: &Pack, confirmations: &[Confirmation]) -> Option<Call> {
    let kind = crab.answers.kind.given().expect("a kind");
    let rule = RuleInForce::find(pack, "here", kind).expect("the area");
    let outcome = decide(&Case {
        rule: &rule,
        date: crab.date,
        clock: None,
        answers: &crab.answers,
        measured: crab.measured.as_ref(),
        gauge: crab.gauge.as_ref(),
        catch: &crab.catch,
        confirmations,
        risk: Risk::default(),
    });
    outcome.verdict().map(|verdict| verdict.call())
}

/// All that can be confirmed in `pack`, on 4 July 2026.
fn word_on(pack: &Pack, kind: &str) -> Confirmation {
    let rule = RuleInForce::find(pack, "here", kind).expect("the area");
    let facts = rule.confirmable(day(7, 4), &[]);
    assert!(!facts.is_empty());
    let until = rule.confirmed_until(day(7, 4), day(7, 4));
    Confirmation { facts, who: "Ann".to_owned(), when: day(7, 4), until }
}

/// A gauge was held between points that nobody knows to be those of the rule.
#[test]
fn a_gauge_keeps_only_between_points_that_the_rule_is_known_to_name() {
    let with = |dimension: Value| {
        let mut size = at_least("5 in", "tips", Value::Null);
        size["dimension"] = dimension;
        bay(json!({ "sizes": [size] }))
    };
    let readings = ["6 in", "127 mm"].map(|text| GaugeReading::Reads(text.parse().expect("a length")));
    for reading in readings.into_iter().chain([GaugeReading::OfSize]) {
        let mut crab = wide();
        crab.gauge = Some(reading);
        assert_eq!(crab.call(&with(seen(json!("tips")))), Call::Keep);
        for dimension in [
            seen(json!("not-stated")),
            memory(json!("not-stated")),
            memory(json!("tips")),
            memory(json!("length")),
            json!({ "mark": "unknown" }),
        ] {
            assert_eq!(crab.call(&with(dimension.clone())), Call::Gauge, "{reading:?} {dimension}");
        }
        let pack = with(memory(json!("tips")));
        assert_eq!(confirmed(&crab, &pack, &[word_on(&pack, "blue")]), Some(Call::Keep));
    }
    for reading in [GaugeReading::NotOfSize, GaugeReading::Reads("126.9 mm".parse().expect("a length"))] {
        let mut crab = wide();
        crab.gauge = Some(reading);
        assert_eq!(
            crab.call(&with(seen(json!("not-stated")))),
            Call::Release,
            "too small between any points"
        );
    }
}

/// A gauge passes or stops at one edge: that it stopped says nothing of a largest size. Mature female blue crabs of North
/// Carolina have both (NCDMF, rules of the pack), the figures here are a scenario.
#[test]
fn a_gauge_s_word_settles_no_largest_size() {
    let mut size = at_least("5 in", "tips", Value::Null);
    size["max"] = seen(json!({ "at": { "exact": "6 3/4 in", "published": "6 3/4 in" } }));
    let pack = bay(json!({ "sizes": [size] }));
    let call = |reading| Crab { gauge: Some(reading), measured: None, ..wide() }.call(&pack);
    let reads = |text: &str| GaugeReading::Reads(text.parse().expect("a length"));
    assert_eq!(call(GaugeReading::OfSize), Call::Gauge);
    assert_eq!(call(GaugeReading::NotOfSize), Call::Release);
    assert_eq!([call(reads("5 in")), call(reads("6 3/4 in"))], [Call::Keep; 2]);
    assert_eq!([call(reads("4 9/10 in")), call(reads("8 in"))], [Call::Release; 2]);
    // The figure that it breaks is named.
    for (text, topic) in [("8 in", Topic::MaxSize), ("4 9/10 in", Topic::MinSize)] {
        let crab = Crab { gauge: Some(reads(text)), measured: None, ..wide() };
        let outcome = crab.decide(&pack);
        let reasons = outcome.verdict().expect("settled").reasons();
        let cited: Vec<Topic> =
            reasons.iter().filter_map(|reason| Some(reason.rule.as_ref()?.topic)).collect();
        assert_eq!(cited, [topic], "{text}");
    }
}

/// A photo that shows a short crab and a gauge that says of size: of two crabs, or one of them wrong.
#[test]
fn a_gauge_keeps_nothing_against_a_photo() {
    let pack = bay(json!({ "sizes": [at_least("5 in", "tips", Value::Null)] }));
    for reading in [GaugeReading::OfSize, GaugeReading::Reads("5 1/4 in".parse().expect("a length"))] {
        for (mm, wanted) in [(118.0, Call::Gauge), (126.8, Call::Keep), (150.0, Call::Keep)] {
            let crab = Crab { gauge: Some(reading), ..male("blue", mm, Dimension::Tips) };
            assert_eq!(crab.call(&pack), wanted, "{reading:?} {mm}");
        }
        let crab = Crab { gauge: Some(reading), ..male("blue", 118.0, Dimension::Notch) };
        assert_eq!(crab.call(&pack), Call::Keep, "of another distance it says nothing");
    }
}

/// The widest crab of the picture's kinds is below 300 mm (`CREDIBLE_WIDTHS_MM`): who types 158 in meant mm.
#[test]
fn a_reading_that_no_crab_has_keeps_nothing() {
    let pack = bay(json!({ "sizes": [at_least("5 in", "tips", Value::Null)] }));
    for text in ["158 in", "625 in", "1600 mm", "301 mm"] {
        let reading = GaugeReading::Reads(text.parse().expect("a length"));
        assert_eq!(
            Crab { gauge: Some(reading), measured: None, ..wide() }.call(&pack),
            Call::Gauge,
            "{text}"
        );
    }
}

/// Source: New York and Rhode Island forbid females whose eggs were removed; elsewhere that taking the eggs off does
/// not make a crab that may be kept is common practice.
#[test]
fn removed_eggs_are_forbidden_where_eggs_are() {
    for (rule, removed) in [
        ("release", Call::Release),
        ("release-also-when-removed", Call::Release),
        ("release-when-dark", Call::Release),
        ("may-be-kept", Call::Keep),
    ] {
        let facts = json!({ "sex": [seen(json!("either"))], "eggs": [seen(json!(rule))] });
        let mut crab = female();
        assert_eq!(crab.call(&bay(facts.clone())), Call::Keep);
        crab.answers.eggs = Answer::Given(Eggs::Removed);
        assert_eq!(crab.call(&bay(facts)), removed, "{rule}");
    }
}

#[test]
fn a_male_with_eggs_is_asked_about() {
    let facts = json!({ "sex": [seen(json!("males-only"))], "eggs": [seen(json!("may-be-kept"))] });
    let mut crab = wide();
    for eggs in [Eggs::Light, Eggs::Dark, Eggs::Removed] {
        crab.answers.eggs = Answer::Given(eggs);
        let Outcome::Open { next, notices } = crab.decide(&bay(facts.clone())) else { panic!("{eggs:?}") };
        assert_eq!(next, Check::Sex);
        assert!(notices.contains(&Notice::MaleWithEggs));
    }
    crab.answers.eggs = Answer::Given(Eggs::None);
    assert_eq!(crab.call(&bay(facts)), Call::Keep);
}

/// What is known from memory only decides neither keep nor release alone; once it is confirmed it does.
#[test]
fn take_from_memory_decides_nothing_alone() {
    for (take, call) in [("forbidden", Call::Release), ("allowed", Call::Keep)] {
        let pack = bay(json!({ "take": [memory(json!(take))] }));
        assert_eq!(wide().call(&pack), Call::Gauge, "{take}");
        assert_eq!(confirmed(&wide(), &pack, &[word_on(&pack, "blue")]), Some(call), "{take}");
        assert_eq!(wide().call(&bay(json!({ "take": [seen(json!(take))] }))), call, "{take}");
    }
    let duties = json!({
        "keep": "must-not", "keep_alive": "must-not", "kill": "not-stated", "put_back": "not-stated",
        "report": "must", "words": "Report it."
    });
    assert_eq!(wide().call(&bay(json!({ "invasive": [memory(duties)] }))), Call::Gauge);
}

#[test]
fn a_limit_from_memory_decides_nothing_alone() {
    let limit = |mark: fn(Value) -> Value, crabs: u32| {
        let amount = mark(json!({ "crabs": crabs }));
        bay(json!({ "limits": [{ "amount": amount, "holder": seen(json!("person")), "per": "day" }] }))
    };
    for (kept, known, from_memory) in
        [(0, Call::Keep, Call::Keep), (2, Call::Keep, Call::Gauge), (5, Call::Release, Call::Gauge)]
    {
        let mut crab = wide();
        crab.catch = CatchSoFar::of_person("blue", kept);
        assert_eq!(crab.call(&limit(seen, 5)), known, "{kept}");
        assert_eq!(crab.call(&limit(memory, 5)), from_memory, "{kept}");
    }
    assert_eq!(wide().call(&limit(seen, 0)), Call::Release);
    assert_eq!(wide().call(&limit(memory, 0)), Call::Gauge);
}

/// At most 5 females among 10 crabs.
#[test]
fn a_limit_on_a_part_of_the_catch_counts_that_part() {
    let amount = |crabs: u32, when: Value| {
        let mut amount = seen(json!({ "crabs": crabs }));
        if !when.is_null() {
            amount["when"] = when;
        }
        json!({ "amount": amount, "holder": seen(json!("person")), "per": "day" })
    };
    let limits = json!([amount(10, Value::Null), amount(5, json!({ "sex": "female" }))]);
    let pack =
        bay(json!({ "limits": limits, "sex": [seen(json!("either"))], "eggs": [seen(json!("release"))] }));
    let kept = |sex: Option<Sex>, today| KeptCount {
        holder: Holder::Person,
        species: "blue".to_owned(),
        traits: Traits { sex, ..Traits::default() },
        today,
        earlier: None,
    };
    let call = |mut crab: Crab, kept: Vec<KeptCount>| {
        crab.catch = CatchSoFar { kept, counted: vec![Holder::Person], ..CatchSoFar::default() };
        crab.call(&pack)
    };
    let (males, females) = (|count| kept(Some(Sex::Male), count), |count| kept(Some(Sex::Female), count));
    assert_eq!(call(female(), vec![males(5), females(4)]), Call::Keep);
    assert_eq!(call(female(), vec![males(1), females(5)]), Call::Release);
    assert_eq!(call(wide(), vec![males(1), females(5)]), Call::Keep, "a male is not one of the females");
    assert_eq!(call(wide(), vec![males(5), females(5)]), Call::Release, "ten are ten");
    assert_eq!(call(female(), vec![kept(None, 5)]), Call::Release, "crabs of unknown sex may be females");
}

/// The word on a figure ends with the year, the season and the edition it was given for.
#[test]
fn a_confirmation_ages() {
    let size = |mark: &str| {
        let mut size = at_least("5 in", "tips", Value::Null);
        size["min"]["mark"] = json!(mark);
        json!([size])
    };
    let pack = bay(json!({ "sizes": size("memory") }));
    let word = word_on(&pack, "blue");
    let on = |pack: &Pack, word: &Confirmation, date: Date| {
        let mut crab = wide();
        crab.date = date;
        confirmed(&crab, pack, std::slice::from_ref(word))
    };
    let next_year = |month, day| Date::new(2027, month, day).expect("a date");
    assert_eq!(on(&pack, &word, day(12, 31)), Some(Call::Keep));
    assert_eq!(on(&pack, &word, next_year(7, 4)), Some(Call::Keep));
    assert_eq!(on(&pack, &word, next_year(7, 5)), Some(Call::Gauge), "a year at most");
    let forever = Confirmation { until: next_year(12, 31), ..word.clone() };
    assert_eq!(on(&pack, &forever, next_year(7, 5)), Some(Call::Gauge), "whatever was stored");
    let mut anew = pack.clone();
    anew.checked = day(6, 2);
    assert_eq!(on(&anew, &word, day(7, 4)), Some(Call::Gauge), "another edition");
    let season = seen(json!({
        "effect": "open", "days": { "from": "06-01", "to": "08-31" }, "words": "June to August."
    }));
    let summer = bay(json!({ "sizes": size("memory"), "season": [season] }));
    let word = word_on(&summer, "blue");
    assert_eq!(word.until, day(8, 31));
    assert_eq!(on(&summer, &word, day(8, 31)), Some(Call::Keep));
    assert_eq!(on(&summer, &word, next_year(6, 1)), Some(Call::Gauge), "another season");
}

/// A confirmation names the rule and its value: words may change, values may not.
#[test]
fn a_confirmation_is_keyed_by_the_value() {
    let with = |exact: &str, dimension: &str| {
        let mut size = at_least(exact, dimension, Value::Null);
        size["min"]["mark"] = json!("memory");
        bay(json!({ "sizes": [size] }))
    };
    let pack = with("5 in", "tips");
    let mut word = word_on(&pack, "blue");
    for fact in &mut word.facts {
        fact.words = "in other words".to_owned();
    }
    let crab = wide();
    assert_eq!(confirmed(&crab, &pack, std::slice::from_ref(&word)), Some(Call::Keep));
    assert_eq!(confirmed(&crab, &with("126 mm", "tips"), std::slice::from_ref(&word)), Some(Call::Gauge));
    let mut crab = wide();
    crab.measured = Some(MeasuredWidth::normal(150.0, 0.5, Dimension::Notch));
    assert_eq!(confirmed(&crab, &with("5 in", "notch"), &[word]), Some(Call::Gauge), "between other points");
}

/// Source: Delaware: no minimum for mature females, 5 in for the other hard crabs (www/rules/us-de.json).
#[test]
fn the_ruler_draws_the_limits_that_fit_the_case() {
    let text = std::fs::read_to_string(super::command::path("www/rules/us-de.json")).expect("a text");
    let pack = rules::read_pack(&text).expect("a pack");
    let rule = RuleInForce::find(&pack, "statewide", "blue").expect("a rule");
    let measured = MeasuredWidth::normal(120.0, 1.0, Dimension::Tips);
    let drawn = |maturity| {
        let mut crab = female();
        crab.answers.maturity = maturity;
        let case = Case {
            rule: &rule,
            date: crab.date,
            clock: None,
            answers: &crab.answers,
            measured: Some(&measured),
            gauge: None,
            catch: &crab.catch,
            confirmations: &[],
            risk: Risk::default(),
        };
        fitting_limits(&case, &measured).len()
    };
    assert_eq!(drawn(Answer::Given(Maturity::Mature)), 0);
    assert_eq!(drawn(Answer::Given(Maturity::Immature)), 1);
    assert_eq!(drawn(Answer::Unanswered), 1, "it may still hold");
}

/// What the size alone says is no keep where it is not known whether the kind may be taken.
#[test]
fn the_size_alone_keeps_nothing_that_may_not_be_taken() {
    let of = |facts: Value| {
        let mut crab = wide();
        crab.answers = Answers { kind: crab.answers.kind.clone(), ..Answers::default() };
        crab.look(&bay(facts), size_alone)
    };
    assert!(matches!(of(json!({})).0, SizeAlone::OfSize(_)));
    for take in [json!({ "mark": "unknown" }), memory(json!("forbidden")), memory(json!("allowed"))] {
        let (found, _) = of(json!({ "take": [take.clone()] }));
        let SizeAlone::Undecided(reason) = found else { panic!("{take}: {found:?}") };
        let topic = Topic::Take;
        let known = [Finding::NotKnown { topic }, Finding::NotConfirmed { topic }];
        assert!(known.contains(&reason.finding), "{reason:?}");
    }
    let duties = json!({
        "keep": "may", "keep_alive": "not-stated", "kill": "may", "put_back": "must-not", "report": "must",
        "words": "Report it."
    });
    let (found, notices) = of(json!({ "invasive": [seen(duties)] }));
    assert!(matches!(found, SizeAlone::OfSize(_)));
    assert!(notices.contains(&Notice::InvasiveKind { words: "Report it.".to_owned() }));
}

/// Under every rule of every pack: a gauge keeps nothing whose distance was not read in its source.
#[test]
fn no_gauge_keeps_under_a_distance_that_is_not_seen() {
    let mut kept = 0;
    for rule in super::decide_properties::all_rules_once().iter().filter(|rule| rule.species != ANY_CRAB) {
        let is_seen = rule.facts.sizes.iter().any(|size| {
            let is_figure = |bound: &rules::Cited<rules::facts::Bound>| {
                matches!(bound.known(), Some(rules::facts::Bound::At(_)))
            };
            let has_figure = size.min.iter().chain(&size.max).any(is_figure);
            let dimension = size.dimension.known().filter(|_| size.dimension.mark == rules::Mark::Seen);
            !has_figure || dimension.is_some_and(|known| *known != rules::MeasuredDimension::NotStated)
        });
        let mut crab = super::crab::Crab::keeper(&rule.species);
        crab.gauge = Some(GaugeReading::OfSize);
        let is_kept = decide(&crab.case(rule)).verdict().is_some_and(|verdict| verdict.call() == Call::Keep);
        assert!(!is_kept || is_seen, "{} {} {}", rule.pack, rule.area, rule.species);
        kept += usize::from(is_kept);
    }
    assert!(kept > 5, "{kept} kept");
}
