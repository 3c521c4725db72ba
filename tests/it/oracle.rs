//! A second reading of the packs: straight from their JSON, by other code than the program's, whether a crab may be
//! kept. `decide` must keep the same crabs, whatever the pack, the day and the answers.
//!
//! What it reads by: README.md, `rules::choose::combine` (how rules combine) and the rule that nothing keeps on a
//! figure that was not seen in its source, nor on a day of which nobody knows whether the water is open.

mod json;
mod reading;
mod times;

use std::collections::BTreeSet;

use jiff::civil::Date;
use proptest::prelude::*;
use serde_json::Value;
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Eggs, GaugeReading, LicenceWord, MeasuredWidth, Parts, Risk,
    decide,
};
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::rules::{self, RuleInForce};
use shellspan::terms::Dimension;

use reading::Reading;

/// Packs of `www/rules`, and one with what these have not: spans and weekdays of several entries, an inner area, an
/// order that shortens, slots, parts of a limit.
fn packs() -> &'static [(Value, rules::Pack)] {
    static PACKS: std::sync::OnceLock<Vec<(Value, rules::Pack)>> = std::sync::OnceLock::new();
    PACKS.get_or_init(|| {
        let made = include_str!("oracle.json").to_owned();
        let texts = super::rules::packs().into_iter().map(|(_, text)| text).chain([made]);
        texts
            .map(|text| {
                let pack = rules::read_pack(&text).unwrap_or_else(|mistakes| panic!("{mistakes:?}"));
                (serde_json::from_str(&text).expect("JSON"), pack)
            })
            .collect()
    })
}

fn mostly<T: Clone + std::fmt::Debug + 'static>(good: T, others: Vec<T>) -> impl Strategy<Value = Answer<T>> {
    prop_oneof![
        8 => Just(Answer::Given(good)),
        2 => proptest::sample::select(others).prop_map(Answer::Given),
        1 => Just(Answer::Unanswered),
        1 => Just(Answer::NotSure),
    ]
}

prop_compose! {
    fn answers()(
        open in mostly(true, vec![false]),
        sex in mostly(Sex::Male, vec![Sex::Female]),
        maturity in mostly(Maturity::Mature, vec![Maturity::Immature]),
        eggs in mostly(Eggs::None, vec![Eggs::Light, Eggs::Dark, Eggs::Removed]),
        shell in mostly(Stage::Hard, vec![Stage::Soft, Stage::Peeler]),
        parts in mostly(Parts::Whole, vec![Parts::RightClaw, Parts::LeftClaw]),
    ) -> Answers {
        Answers { kind: Answer::Unanswered, open, sex, maturity, eggs, shell, parts }
    }
}

fn gauge() -> impl Strategy<Value = Option<GaugeReading>> {
    prop_oneof![
        3 => Just(None),
        1 => Just(Some(GaugeReading::OfSize)),
        1 => Just(Some(GaugeReading::NotOfSize)),
        1 => (100_u32..190).prop_map(|mm| Some(GaugeReading::Reads(format!("{mm} mm").parse().expect("a length")))),
    ]
}

/// What is kept, and what is said of the licences of the person and of all aboard.
#[derive(Debug, Clone, Default)]
struct Caught {
    kept: u32,
    licence: LicenceWord,
    aboard: Vec<LicenceWord>,
}

impl Caught {
    fn so_many(kept: u32) -> Self {
        Self { kept, ..Self::default() }
    }
}

prop_compose! {
    fn caught()(
        // Maryland has limits of 12, 24, 48, 72 and 144, New Hampshire of 12 and 50.
        kept in prop_oneof![3 => Just(0_u32), 2 => 1_u32..7, 3 => 10_u32..160],
        licence in word(),
        others in proptest::collection::vec(word(), 0..3),
        is_known in proptest::bool::ANY,
    ) -> Caught {
        let aboard = if is_known { std::iter::once(licence).chain(others).collect() } else { Vec::new() };
        Caught { kept, licence, aboard }
    }
}

fn word() -> impl Strategy<Value = LicenceWord> {
    proptest::sample::select(vec![
        LicenceWord::NotSaid,
        LicenceWord::Held,
        LicenceWord::Held,
        LicenceWord::NotHeld,
        LicenceWord::NeedsNone,
    ])
}

fn agrees(
    answers: &Answers,
    day: i64,
    width: (f64, f64),
    gauge: Option<GaugeReading>,
    caught: &Caught,
) -> (usize, BTreeSet<String>) {
    let date = Date::new(2026, 1, 1).expect("a date").saturating_add(jiff::Span::new().days(day));
    let (mut keeps, mut differ) = (0, BTreeSet::new());
    for (json, pack) in packs() {
        for entry in rules::search(std::slice::from_ref(pack), "") {
            for kind in entry.species.iter().map(String::as_str).chain(["unheard-of"]) {
                let area = entry.choice.area.as_str();
                let rule = RuleInForce::find(pack, area, kind).expect("the area");
                let answers = Answers { kind: Answer::Given(kind.to_owned()), ..answers.clone() };
                let named = rule.facts.sizes.iter().find_map(|size| size.dimension.known()?.by_photo());
                let dimension = named.unwrap_or(Dimension::Tips);
                let measured = MeasuredWidth::normal(width.0, width.1, dimension);
                let mut catch = CatchSoFar::of_person(kind, caught.kept);
                (catch.licence, catch.aboard) = (caught.licence, caught.aboard.clone());
                let outcome = decide(&Case {
                    rule: &rule,
                    date,
                    clock: None,
                    answers: &answers,
                    measured: Some(&measured),
                    gauge: gauge.as_ref(),
                    catch: &catch,
                    confirmations: &[],
                    risk: Risk::default(),
                });
                let is_kept = outcome.verdict().is_some_and(|verdict| verdict.call() == Call::Keep);
                let reading = Reading {
                    pack: json,
                    area,
                    kind,
                    date,
                    answers: &answers,
                    width: Some((width.0, width.1, dimension)),
                    gauge,
                    kept: caught.kept,
                    licence: caught.licence,
                    aboard: &caught.aboard,
                };
                keeps += usize::from(is_kept);
                if is_kept != reading.may_be_kept() {
                    differ.insert(format!("{} {area} {kind} {date}: kept {is_kept}; {outcome:?}", pack.id));
                }
            }
        }
    }
    (keeps, differ)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_same_crabs_are_kept_as_by_the_second_reading(
        answers in answers(), day in -200_i64..900, width in 60.0..260.0_f64, u in 0.3..3.0_f64, gauge in gauge(),
        caught in caught(),
    ) {
        let (_, differ) = agrees(&answers, day, (width, u), gauge, &caught);
        prop_assert!(differ.is_empty(), "{answers:?} {gauge:?} {width} {u} {caught:?}: {differ:#?}");
    }
}

/// One answer after the other that is not the best, for males and females, in three seasons.
#[test]
fn the_readings_agree_on_each_single_answer() {
    let best = |sex| Answers {
        kind: Answer::Unanswered,
        open: Answer::Given(true),
        sex: Answer::Given(sex),
        maturity: Answer::Given(Maturity::Mature),
        eggs: Answer::Given(Eggs::None),
        shell: Answer::Given(Stage::Hard),
        parts: Answer::Given(Parts::Whole),
    };
    let mut tries: Vec<(Answers, Option<GaugeReading>, u32)> = Vec::new();
    for best in [Sex::Male, Sex::Female].map(best) {
        let one = |change: &dyn Fn(&mut Answers)| {
            let mut answers = best.clone();
            change(&mut answers);
            (answers, None, 0)
        };
        tries.extend(
            [Eggs::Light, Eggs::Dark, Eggs::Removed].map(|eggs| one(&|a| a.eggs = Answer::Given(eggs))),
        );
        tries.extend([Stage::Soft, Stage::Peeler].map(|stage| one(&|a| a.shell = Answer::Given(stage))));
        tries.extend(
            [Parts::RightClaw, Parts::LeftClaw].map(|parts| one(&|a| a.parts = Answer::Given(parts))),
        );
        tries.push(one(&|a| a.maturity = Answer::Given(Maturity::Immature)));
        tries.extend([Answer::Given(false), Answer::NotSure].map(|open| one(&|a| a.open = open)));
        tries.extend([1, 2, 6].map(|kept| (best.clone(), None, kept)));
        let readings = [GaugeReading::OfSize, GaugeReading::Reads("150 mm".parse().expect("a length"))];
        tries.extend(readings.map(|reading| (best.clone(), Some(reading), 0)));
    }
    let mut kept = 0;
    for day in [20, 160, 330] {
        for (answers, gauge, catch) in &tries {
            let (keeps, differ) = agrees(answers, day, (180.0, 0.5), *gauge, &Caught::so_many(*catch));
            assert!(differ.is_empty(), "{answers:?} {gauge:?} {catch}: {differ:#?}");
            kept += keeps;
        }
    }
    assert!(kept > 100, "{kept} kept");
}

/// Numbers of crabs about the limits of Maryland, New Hampshire and the made lake, with each word on licences: the
/// readings agree.
#[test]
fn the_readings_agree_on_every_word_of_licences() {
    use LicenceWord::{Held, NeedsNone, NotHeld, NotSaid};
    let best = Answers {
        kind: Answer::Unanswered,
        open: Answer::Given(true),
        sex: Answer::Given(Sex::Male),
        maturity: Answer::Unanswered,
        eggs: Answer::Unanswered,
        shell: Answer::Given(Stage::Hard),
        parts: Answer::Given(Parts::Whole),
    };
    let boats = [
        vec![],
        vec![Held],
        vec![NotHeld],
        vec![NotSaid],
        vec![Held, Held],
        vec![NotHeld, NotHeld],
        vec![Held, NotHeld],
    ];
    let mut kept = std::collections::BTreeMap::new();
    for (licence, aboard) in [NotSaid, Held, NotHeld, NeedsNone]
        .into_iter()
        .flat_map(|word| boats.iter().map(move |boat| (word, boat)))
    {
        for count in [11, 12, 23, 24, 47, 48, 49, 50, 71, 72, 143, 144] {
            let caught = Caught { kept: count, licence, aboard: aboard.clone() };
            let (keeps, differ) = agrees(&best, 160, (180.0, 0.5), None, &caught);
            assert!(differ.is_empty(), "{caught:?}: {differ:#?}");
            kept.insert((format!("{licence:?} {aboard:?}"), count), keeps);
        }
    }
    // Of the lake's five kinds some are kept beyond the limit of those without a licence, by who has one alone.
    let keeps = |who: &str, count: u32| kept[&(who.to_owned(), count)];
    let beyond = |who: &str, count: u32| keeps(who, count) - keeps("NotSaid []", 144);
    // Brown, by its own word, of which no holder is known; blue; green by all aboard.
    assert_eq!(beyond("Held [Held]", 48), 3, "{kept:?}");
    assert_eq!(beyond("Held [Held]", 71), 2, "{kept:?}");
    assert_eq!(beyond("Held [Held]", 72), 0, "{kept:?}");
    assert_eq!(beyond("Held [Held, Held]", 143), 1, "{kept:?}");
    for who in ["NotHeld [NotHeld]", "NotSaid [NotSaid]", "NeedsNone []"] {
        assert_eq!(keeps(who, 24), keeps("NotSaid []", 24), "{who}: {kept:?}");
    }
}

/// Every ninth day of two years with a crab that is good by itself: the readings agree, and some are kept.
#[test]
fn the_readings_agree_on_every_day() {
    let best = Answers {
        kind: Answer::Unanswered,
        open: Answer::Unanswered,
        sex: Answer::Given(Sex::Male),
        maturity: Answer::Unanswered,
        eggs: Answer::Unanswered,
        shell: Answer::Given(Stage::Hard),
        parts: Answer::Given(Parts::Whole),
    };
    let (mut known, mut said) = (0, 0);
    for day in (0..730).step_by(9) {
        let (keeps, differ) = agrees(&best, day, (180.0, 0.5), None, &Caught::default());
        assert!(differ.is_empty(), "{differ:#?}");
        known += keeps;
        let looked_up = Answers { open: Answer::Given(true), ..best.clone() };
        let (keeps, differ) = agrees(&looked_up, day, (180.0, 0.5), None, &Caught::default());
        assert!(differ.is_empty(), "{differ:#?}");
        said += keeps;
    }
    assert!(known > 50 && said > 1000, "{known} kept by the packs alone, {said} with the person's word");
}
