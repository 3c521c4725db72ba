//! A person's own rules: made, adjusted, sent as a file, and marked on every verdict.

use jiff::civil::Date;
use shellspan::rules::facts::{Holder, MeasuredDimension, SexRule, SizeRule};
use shellspan::rules::pack::OwnNote;
use shellspan::rules::words::InWords;
use shellspan::rules::{self, Mark, OwnRule, OwnSeason, OwnSize, RuleInForce};

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
        seasons: vec![OwnSeason {
            is_closed: true,
            from: "tomorrow".to_owned(),
            to: "2026-08-31".to_owned(),
        }],
        ..OwnRule::default()
    };
    let nobody = OwnNote { who: " ".to_owned(), ..note() };
    let mistakes = rules::with_own_rule(&rules::built_in_pack(), "no such place", &form, &nobody);
    let mut fields: Vec<String> =
        mistakes.expect_err("mistakes").into_iter().map(|mistake| mistake.field).collect();
    fields.sort();
    assert_eq!(fields, ["area", "max", "min", "seasons[0].from", "source_title", "species", "who"]);
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
        seasons: vec![OwnSeason {
            is_closed: true,
            from: "2026-08-03".to_owned(),
            to: "2026-08-31".to_owned(),
        }],
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

/// The pack `name` of `www/rules`.
fn pack(name: &str) -> rules::Pack {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("www/rules/{name}.json"));
    rules::read_pack(&std::fs::read_to_string(path).expect("a text")).expect("a pack")
}

fn sizes_of(pack: &rules::Pack, area: &str, species: &str) -> Vec<SizeRule> {
    RuleInForce::find(pack, area, species).expect("a rule").facts.sizes
}

#[track_caller]
fn fields(made: Result<rules::Pack, Vec<rules::FormMistake>>) -> Vec<String> {
    made.expect_err("mistakes").into_iter().map(|mistake| mistake.field).collect()
}

/// Chesapeake Bay: hard males from 1 April and from 15 July, soft crabs, peelers twice: five sizes.
#[test]
fn a_size_that_differs_by_stage_and_day_is_not_flattened() {
    let bay = pack("us-md");
    let before = sizes_of(&bay, "chesapeake-bay", "blue");
    assert_eq!(before.len(), 5);
    let blue = OwnRule { species: "blue".to_owned(), min: None, ..order() };
    let make = |form: &OwnRule| rules::with_own_rule(&bay, "chesapeake-bay", form, &note());
    // One figure for all is taken only where the person says that it is one for all.
    assert_eq!(fields(make(&OwnRule { min: Some("5 in".to_owned()), ..blue.clone() })), ["min"]);
    // A change to one of them leaves the others, and says nothing of all.
    let soft = before.iter().find(|size| size.words().starts_with("soft")).expect("soft crabs").words();
    let one = OwnSize { of: soft.clone(), min: Some("4 in".to_owned()), max: None };
    let after = sizes_of(
        &make(&OwnRule { sizes: vec![one.clone()], ..blue.clone() }).expect("a pack"),
        "chesapeake-bay",
        "blue",
    );
    assert_eq!(after.len(), 5);
    for (old, new) in before.iter().zip(&after) {
        if old.words() == soft {
            assert_eq!(new.min_words().as_deref(), Some("at least 4 in (soft)"));
            assert_eq!((&new.when, &new.dimension, &new.max), (&old.when, &old.dimension, &old.max));
        } else {
            assert_eq!(old, new);
        }
    }
    // A size that is not there (any more) is not hit.
    let gone = OwnSize { of: "soft: at least 9 in".to_owned(), ..one.clone() };
    assert_eq!(fields(make(&OwnRule { sizes: vec![gone], ..blue.clone() })), ["sizes[0]"]);
    let wrong = OwnSize { min: Some("4 hands".to_owned()), ..one };
    assert_eq!(fields(make(&OwnRule { sizes: vec![wrong], ..blue.clone() })), ["sizes[0].min"]);
    // For all, once it is said; the bound that is left out is the same for all here.
    let all = OwnRule { min: Some("6 in".to_owned()), for_all: true, ..blue.clone() };
    let after = sizes_of(&make(&all).expect("a pack"), "chesapeake-bay", "blue");
    assert_eq!(after.len(), 1);
    assert_eq!((after[0].when.as_ref(), after[0].min_words().as_deref()), (None, Some("at least 6 in")));
    // Left out where the old ones differ, it would loosen some of them.
    let loose = OwnRule { max: Some("8 in".to_owned()), for_all: true, ..blue.clone() };
    assert_eq!(fields(make(&loose)), ["min"]);
    // The sexes differ by stage here.
    let sexes = OwnRule { sex: Some(SexRule::Either), ..blue };
    assert_eq!(fields(make(&sexes)), ["sex"]);
}

/// 165 mm between the tips is about 154 mm between the notches (B. D. Smith, UBC thesis 1988): another
/// distance never takes the old figure over.
#[test]
fn another_distance_asks_for_another_figure() {
    let sound = rules::built_in_pack();
    let tips = OwnRule { min: None, dimension: Some(MeasuredDimension::Tips), ..order() };
    let make = |form: &OwnRule| rules::with_own_rule(&sound, "puget-sound", form, &note());
    assert_eq!(fields(make(&tips)), ["dimension"]);
    let both = OwnRule { min: Some("165 mm".to_owned()), ..tips.clone() };
    let after = sizes_of(&make(&both).expect("a pack"), "puget-sound", "dungeness");
    assert_eq!(after[0].words(), "all crabs: at least 165 mm, between the tips of the outermost points");
    // The same distance, read again, takes nothing away.
    let notch = OwnRule { dimension: Some(MeasuredDimension::Notch), ..tips };
    let after = sizes_of(&make(&notch).expect("a pack"), "puget-sound", "dungeness");
    assert_eq!(after[0].min_words().as_deref(), Some("at least 6 1/4 in"));
}

/// A form that asks for the daily limit drops no other: of the boat, in possession, for some only.
#[test]
fn an_own_daily_limit_leaves_the_others() {
    let limits = |pack: &rules::Pack, area: &str, species: &str| -> Vec<String> {
        let facts = RuleInForce::find(pack, area, species).expect("a rule").facts;
        facts.limits.iter().map(InWords::in_words).collect()
    };
    let sound = pack("us-ak");
    let before = limits(&sound, "southeast-personal", "tanner");
    assert!(before.iter().any(|words| words.contains("30 crabs") && words.contains("in possession")));
    let form = OwnRule {
        species: "tanner".to_owned(),
        min: None,
        daily_limit: Some(10),
        holder: Some(Holder::Person),
        ..order()
    };
    let made = rules::with_own_rule(&sound, "southeast-personal", &form, &note()).expect("a pack");
    let after = limits(&made, "southeast-personal", "tanner");
    assert!(before.iter().all(|words| after.contains(words) || words.ends_with("per person a day")));
    assert!(after.contains(&"10 crabs per person a day".to_owned()), "{after:?}");
    // Puget Sound: 5 a day give way to 3 a day, and 5 are gone.
    let form = OwnRule { daily_limit: Some(3), min: None, ..order() };
    let made = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &form, &note()).expect("a pack");
    assert_eq!(limits(&made, "puget-sound", "dungeness"), ["3 crabs per person a day"]);
}

#[test]
fn a_new_water_gets_a_name_of_its_own() {
    let packs = [rules::own_pack("own-the-bay", "The bay", "The bay", &note())];
    for (water, id) in [("The Bay!", "own-the-bay-2"), ("Åland 3", "own-land-3"), ("湾", "own")] {
        let free = rules::free_pack_id(&packs, water);
        assert_eq!(free, id);
        let pack = rules::own_pack(&free, water, water, &note());
        let blue = OwnRule { species: "blue".to_owned(), ..order() };
        rules::with_own_rule(&pack, "here", &blue, &note()).expect("a pack that can be read");
    }
    let long = rules::free_pack_id(&packs, &"long ".repeat(40));
    assert!(long.len() <= 60 && !long.ends_with('-'), "{long}");
}

/// Taking a rule twice mends the same limit: Geographe Bay has 10 a person and 20 a boat, 5 and 10 of them females (au-wa,
/// DPIRD bag and boat limits). Nor is a number taken that is far from the one that holds.
#[test]
fn an_own_daily_limit_taken_twice_changes_the_same_one() {
    let bay = pack("au-wa");
    let plain = |count, holder| OwnRule {
        species: "blue-swimmer".to_owned(),
        min: None,
        sex: Some(SexRule::Either),
        daily_limit: Some(count),
        holder,
        ..order()
    };
    let limits = |pack: &rules::Pack| -> Vec<String> {
        let facts = RuleInForce::find(pack, "geographe-bay", "blue-swimmer").expect("a rule").facts;
        let mut words: Vec<String> = facts.limits.iter().map(InWords::in_words).collect();
        words.sort();
        words
    };
    let before = limits(&bay);
    let take = |pack: &rules::Pack, count, holder| {
        rules::with_own_rule(pack, "geographe-bay", &plain(count, holder), &note())
    };
    let mut taken = bay.clone();
    for count in [7, 12, 9] {
        taken = take(&taken, count, None).expect("a pack");
        let others = before.iter().filter(|words| *words != "10 crabs per person a day");
        let mut wanted: Vec<String> =
            others.cloned().chain([format!("{count} crabs per person a day")]).collect();
        wanted.sort();
        assert_eq!(limits(&taken), wanted);
    }
    for (count, holder) in [(31, None), (500, Some(Holder::Person)), (61, Some(Holder::Boat))] {
        assert_eq!(fields(take(&bay, count, holder)), ["daily_limit"], "{count}");
    }
    assert!(take(&bay, 60, Some(Holder::Boat)).is_ok());
}

/// A size in another unit than it was read in would let every crab be kept. The built-in pack has 6 1/4 in, which is
/// 158.75 mm (WDFW).
#[test]
fn a_size_in_the_wrong_unit_is_not_taken() {
    let mistakes_of = |min: &str| -> Vec<String> {
        let form = OwnRule { min: Some(min.to_owned()), ..order() };
        let made = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &form, &note());
        made.err()
            .into_iter()
            .flatten()
            .map(|mistake| format!("{}: {}", mistake.field, mistake.words))
            .collect()
    };
    for wrong in ["16 mm", "6 1/4 mm", "160 cm", "160 in"] {
        let told = mistakes_of(wrong);
        assert!(matches!(&told[..], [one] if one.starts_with("min: no crab has")), "{wrong}: {told:?}");
    }
    for far in ["6 1/4 cm", "100 mm", "240 mm"] {
        let told = mistakes_of(far);
        assert!(matches!(&told[..], [one] if one.starts_with("min: this is far")), "{far}: {told:?}");
    }
    for right in ["16 cm", "6 1/2 in", "150 mm", "none"] {
        assert_eq!(mistakes_of(right), Vec::<String>::new(), "{right}");
    }
    // A kind that has no size here yet: nothing but the unit can be told.
    let form = OwnRule { species: "brown".to_owned(), min: Some("100 mm".to_owned()), ..order() };
    let made = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &form, &note());
    assert!(made.is_ok(), "{made:?}");
    let form = OwnRule { min: None, daily_limit: Some(9_999), ..order() };
    let told = rules::with_own_rule(&rules::built_in_pack(), "puget-sound", &form, &note());
    assert_eq!(told.expect_err("a mistake")[0].field, "daily_limit");
}
