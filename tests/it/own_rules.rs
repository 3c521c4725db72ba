//! A person's own rules: made, adjusted, sent as a file, and marked on every verdict.

use jiff::civil::Date;
use shellspan::rules::facts::{MeasuredDimension, SexRule};
use shellspan::rules::pack::OwnNote;
use shellspan::rules::{self, Mark, OwnRule, OwnSeason, RuleInForce};

fn note() -> OwnNote {
    OwnNote {
        who: "the skipper".to_owned(),
        when: Date::new(2026, 8, 3).expect("a date"),
        why: "emergency order".to_owned(),
    }
}

fn order() -> OwnRule {
    OwnRule {
        species: "dungeness".to_owned(),
        min: Some("6 1/2 in".to_owned()),
        source_title: "Emergency order".to_owned(),
        source_date: "3 August 2026".to_owned(),
        is_read: true,
        ..OwnRule::default()
    }
}

#[test]
fn an_adjusted_rule_changes_what_was_written_and_nothing_else() {
    let pack = rules::built_in_pack();
    let own = rules::with_own_rule(&pack, "puget-sound", &order(), &note()).expect("a pack");
    let rule = |pack| RuleInForce::find(pack, "puget-sound", "dungeness").expect("a rule");
    let (before, after) = (rule(&pack), rule(&own));
    assert_eq!(after.facts.sizes[0].min_words().as_deref(), Some("at least 6 1/2 in"));
    assert_eq!(after.facts.sizes[0].dimension, before.facts.sizes[0].dimension);
    assert_eq!(after.facts.sex, before.facts.sex);
    assert_eq!(after.own, Some(note()));
    let min = after.facts.sizes[0].min.clone().expect("a minimum");
    assert_eq!(after.source_of(&min).and_then(|source| source.year), Some(2026));
    let other = |pack| RuleInForce::find(pack, "puget-sound", "red-rock").expect("a rule");
    assert_eq!(other(&pack).facts, other(&own).facts);
    assert_eq!(other(&own).own, None, "only the adjusted rule is the person's own");
}

#[test]
fn hearsay_is_kept_as_memory() {
    let heard = OwnRule { is_read: false, ..order() };
    let own = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &heard, &note()).expect("a pack");
    let rule = RuleInForce::find(&own, "puget-sound", "dungeness").expect("a rule");
    assert_eq!(rule.facts.sizes[0].min.as_ref().map(|min| min.mark), Some(Mark::Memory));
}

#[test]
fn a_form_tells_all_its_mistakes_at_once() {
    let form = OwnRule {
        min: Some("6 hands".to_owned()),
        max: Some("wide".to_owned()),
        season: Some(OwnSeason { is_closed: true, from: "tomorrow".to_owned(), to: "2026-08-31".to_owned() }),
        ..OwnRule::default()
    };
    let nobody = OwnNote { who: " ".to_owned(), ..note() };
    let mistakes = rules::with_own_rule(&rules::built_in_pack(), "no such place", &form, &nobody);
    let mut fields: Vec<String> =
        mistakes.expect_err("mistakes").into_iter().map(|mistake| mistake.field).collect();
    fields.sort();
    assert_eq!(fields, ["area", "max", "min", "season.from", "source_title", "species", "who"]);
}

#[test]
fn an_own_pack_travels_as_a_file() {
    let pack = rules::own_pack("our-bay", "Our bay", "The bay", &note());
    let form = OwnRule {
        dimension: Some(MeasuredDimension::Tips),
        sex: Some(SexRule::MalesOnly),
        species: "blue".to_owned(),
        min: Some("127 mm".to_owned()),
        ..order()
    };
    let pack = rules::with_own_rule(&pack, "here", &form, &note()).expect("a pack");
    let other = OwnNote { who: "a file".to_owned(), ..note() };
    let read = rules::read_imported(&rules::write_pack(&pack), &other).expect("a pack");
    assert_eq!(read, pack, "it says already whose it is");
    let packs = rules::with_pack(&[rules::built_in_pack()], read);
    assert_eq!(packs.len(), 2);
    assert_eq!(rules::with_pack(&packs, pack), packs, "the same pack takes its own place");
    assert!(rules::read_imported("{}", &other).is_err());
    let nameless = rules::write_pack(&rules::built_in_pack());
    assert_eq!(rules::read_imported(&nameless, &other).expect("a pack").own, Some(other));
    let rule = RuleInForce::find(&packs[1], "here", "blue").expect("a rule");
    assert_eq!(rule.own, Some(note()));
}

/// A closure by emergency order, in the middle of a season.
#[test]
fn an_own_closure_closes_the_water() {
    use shellspan::decide::{Answer, Answers, Call, Case, CatchSoFar, Notice, Risk, decide};
    let form = OwnRule {
        min: None,
        season: Some(OwnSeason {
            is_closed: true,
            from: "2026-08-03".to_owned(),
            to: "2026-08-31".to_owned(),
        }),
        ..order()
    };
    let pack = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &form, &note()).expect("a pack");
    let rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
    let answers = Answers { kind: Answer::Given("dungeness".to_owned()), ..Answers::default() };
    let on = |day| {
        decide(&Case {
            rule: &rule,
            date: Date::new(2026, 8, day).expect("a date"),
            clock: None,
            answers: &answers,
            measured: None,
            gauge: None,
            catch: &CatchSoFar::default(),
            confirmations: &[],
            risk: Risk::default(),
        })
    };
    assert!(on(2).verdict().is_none(), "still to be looked at");
    let outcome = on(3);
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Release);
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::OwnRule { .. })));
}

/// The size stands in the surrounding area, the person's limit in the inner one: how it is measured stays.
#[test]
fn an_own_size_keeps_the_dimension_of_the_surrounding_area() {
    let mut pack = rules::built_in_pack();
    let mut inner = pack.areas[0].clone();
    inner.id = "inner-bay".to_owned();
    inner.within = Some("puget-sound".to_owned());
    inner.rules.clear();
    pack.areas.push(inner);
    let own = rules::with_own_rule(&pack, "inner-bay", &order(), &note()).expect("a pack");
    let rule = RuleInForce::find(&own, "inner-bay", "dungeness").expect("a rule");
    assert_eq!(rule.facts.sizes[0].dimension.known(), Some(&MeasuredDimension::Notch));
    assert_eq!(rule.facts.sizes[0].min_words().as_deref(), Some("at least 6 1/2 in"));
}
