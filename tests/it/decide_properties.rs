//! Properties of the decision that hold for every crab, under every rule of every pack.

use proptest::prelude::*;
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Check, Eggs, Finding, GaugeReading, MeasuredWidth, Outcome,
    Parts, Risk, checks, decide, next_check,
};
use shellspan::rules::pack::ANY_CRAB;
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::rules::{self, Confirmation, RuleInForce};
use shellspan::terms::Dimension;

use super::crab::{Crab, day};

fn answer<T: Clone + std::fmt::Debug + 'static>(values: Vec<T>) -> impl Strategy<Value = Answer<T>> {
    prop_oneof![
        Just(Answer::Unanswered),
        Just(Answer::NotSure),
        proptest::sample::select(values).prop_map(Answer::Given),
    ]
}

prop_compose! {
    fn any_answers()(
        open in answer(vec![true, false]),
        kind in answer(["dungeness", "red-rock", "green", "blue", "any-crab", ""].map(str::to_owned).to_vec()),
        sex in answer(vec![Sex::Male, Sex::Female]),
        maturity in answer(vec![Maturity::Mature, Maturity::Immature]),
        eggs in answer(vec![Eggs::None, Eggs::Light, Eggs::Dark, Eggs::Removed]),
        shell in answer(vec![Stage::Hard, Stage::Soft, Stage::Peeler]),
        parts in answer(vec![Parts::Whole, Parts::RightClaw, Parts::LeftClaw]),
    ) -> Answers {
        Answers { kind, open, sex, maturity, eggs, shell, parts }
    }
}

fn any_measured() -> impl Strategy<Value = Option<MeasuredWidth>> {
    let number = prop_oneof![5 => 0.0..300.0_f64, 1 => any::<f64>()];
    let spread = prop_oneof![5 => 0.1..5.0_f64, 1 => any::<f64>()];
    let dimension =
        prop_oneof![3 => Just(Dimension::Notch), 1 => Just(Dimension::Tips), 1 => Just(Dimension::Widest)];
    proptest::option::of((number, spread, dimension).prop_map(|(w, u, d)| MeasuredWidth::normal(w, u, d)))
}

/// Every area of every pack in `www/rules`, with every kind it knows and two it does not.
fn all_rules() -> Vec<RuleInForce> {
    let mut found = Vec::new();
    for (_, text) in super::rules::packs() {
        let pack = rules::read_pack(&text).expect("a pack");
        for entry in rules::search(std::slice::from_ref(&pack), "") {
            let kinds = entry.species.iter().map(String::as_str).chain([ANY_CRAB, "unheard-of"]);
            found.extend(kinds.filter_map(|kind| RuleInForce::find(&pack, &entry.choice.area, kind)));
        }
    }
    found
}

fn rank(outcome: &Outcome) -> Option<u8> {
    outcome.verdict().map(|verdict| match verdict.call() {
        Call::Release => 0,
        Call::Gauge => 1,
        Call::Keep => 2,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// The engine is total over every rule of every pack, and keep means that nothing was left open.
    #[test]
    fn any_crab_under_any_rule_gets_an_answer(
        answers in any_answers(), measured in any_measured(), year in 1990i16..2060, kept in 0u32..20,
    ) {
        for rule in all_rules_once() {
            let answers = Answers { kind: match &answers.kind {
                Answer::Given(_) => Answer::Given(rule.species.clone()),
                other => other.clone(),
            }, ..answers.clone() };
            let catch = CatchSoFar::of_person(&rule.species, kept);
            let case = Case {
                rule, date: day(year, 7, 15), clock: None, answers: &answers, measured: measured.as_ref(),
                gauge: None, catch: &catch, confirmations: &[], risk: Risk::default(),
            };
            let outcome = decide(&case);
            for (check, state) in checks(&case) {
                let _ = (check.question(), state);
            }
            match &outcome {
                Outcome::Open { next, notices } => {
                    prop_assert_eq!(next_check(&case), Some(*next));
                    for notice in notices { prop_assert!(!notice.sentence().is_empty()); }
                }
                Outcome::Settled(verdict) => {
                    prop_assert!(!verdict.reasons().is_empty() || verdict.call() == Call::Keep);
                    for reason in verdict.reasons() { prop_assert!(!reason.sentence().is_empty()); }
                    for act in verdict.acts() { prop_assert!(!act.sentence().is_empty()); }
                    for notice in verdict.notices() { prop_assert!(!notice.sentence().is_empty()); }
                    if verdict.call() == Call::Keep {
                        use shellspan::decide::CheckState::{NotNeeded, Passed};
                        for (check, state) in checks(&case) {
                            prop_assert!(matches!(state, NotNeeded | Passed), "{check:?} {state:?}");
                            let is_unsure = match check {
                                Check::Kind => answers.kind == Answer::NotSure,
                                Check::Season => answers.open == Answer::NotSure,
                                Check::Sex => answers.sex == Answer::NotSure,
                                Check::Maturity => answers.maturity == Answer::NotSure,
                                Check::Eggs => answers.eggs == Answer::NotSure,
                                Check::Shell => answers.shell == Answer::NotSure,
                                Check::Claws => answers.parts == Answer::NotSure,
                                Check::Size => false,
                            };
                            prop_assert!(!is_unsure || state == NotNeeded, "{check:?} was unsure");
                        }
                    }
                }
            }
        }
    }

    /// More width never turns a keep into a release, or into the gauge, under a minimum.
    #[test]
    fn more_width_never_lowers_the_call(
        width in 100.0..220.0_f64, more in 0.0..60.0_f64, u in 0.1..4.0_f64, kind in 0usize..2,
    ) {
        let kind = ["dungeness", "red-rock"][kind];
        let narrow = Crab::keeper(kind).wide(width, u).decide();
        let wide = Crab::keeper(kind).wide(width + more, u).decide();
        prop_assert!(rank(&narrow) <= rank(&wide), "{narrow:?} {wide:?}");
    }

    /// One unsure answer to a check that the walk asks: never keep.
    #[test]
    fn an_unsure_answer_never_keeps(which in 0usize..4, kind in 0usize..2, female in any::<bool>()) {
        let mut crab = Crab::keeper(["dungeness", "red-rock"][kind]).wide(190.0, 1.0);
        if female {
            crab.answers.sex = Answer::Given(Sex::Female);
            crab.answers.eggs = Answer::Given(Eggs::None);
        }
        match which {
            0 => crab.answers.kind = Answer::NotSure,
            1 if kind == 0 => crab.answers.sex = Answer::NotSure,
            1 => { crab.answers.sex = Answer::Given(Sex::Female); crab.answers.eggs = Answer::NotSure; }
            2 => crab.answers.shell = Answer::NotSure,
            _ => crab.answers.parts = Answer::NotSure,
        }
        let outcome = crab.decide();
        prop_assert!(outcome.verdict().is_some_and(|verdict| verdict.call() != Call::Keep), "{outcome:?}");
    }

    /// Answers given one by one in any order end at the same outcome, and what settled it on the way is
    /// never taken back by a further answer.
    #[test]
    fn the_order_of_answering_does_not_matter(
        answers in any_answers(), order in Just([0usize, 1, 2, 3, 4, 5]).prop_shuffle(), width in 140.0..180.0_f64,
    ) {
        let answers = Answers { kind: Answer::Given("red-rock".to_owned()), ..answers };
        let whole = Crab { answers: answers.clone(), ..Crab::of("red-rock") }.wide(width, 1.0).decide();
        let mut crab = Crab::of("red-rock").wide(width, 1.0);
        let mut settled = false;
        for step in order {
            match step {
                0 => crab.answers.sex = answers.sex,
                1 => crab.answers.maturity = answers.maturity,
                2 => crab.answers.eggs = answers.eggs,
                3 => crab.answers.shell = answers.shell,
                4 => crab.answers.open = answers.open,
                _ => crab.answers.parts = answers.parts,
            }
            let outcome = crab.decide();
            prop_assert!(!settled || rank(&outcome) == Some(0), "{outcome:?}");
            settled |= outcome.verdict().is_some_and(|verdict| {
                verdict.call() == Call::Release
                    && verdict.reasons().iter().any(|reason| !matches!(reason.finding, Finding::NotSure { .. }))
            });
        }
        prop_assert_eq!(crab.decide(), whole);
    }
}

pub fn all_rules_once() -> &'static [RuleInForce] {
    static RULES: std::sync::OnceLock<Vec<RuleInForce>> = std::sync::OnceLock::new();
    RULES.get_or_init(all_rules)
}

/// Decides a plain crab under `rule`, now and at the ends of what a date can be: it must not panic.
pub fn decided_at_least_once(rule: &RuleInForce) {
    let mut crab = Crab::keeper(&rule.species).wide(150.0, 1.0);
    for date in [day(2026, 7, 4), day(-9999, 1, 1), day(9999, 12, 31)] {
        crab.date = date;
        let _ = decide(&crab.case(rule));
        for line in rule.lines() {
            let _ = line.words;
        }
    }
}

/// What a person may confirm is named as the decision asks for it: a figure that was confirmed is never asked
/// for again, and one that was not keeps nothing.
#[test]
fn what_is_confirmed_where_the_rule_is_shown_counts_in_the_decision() {
    let (mut asked, mut settled) = (0, 0);
    for rule in all_rules_once() {
        for sex in [Sex::Male, Sex::Female] {
            let mut crab = Crab::keeper(&rule.species);
            crab.answers.sex = Answer::Given(sex);
            crab.answers.maturity = Answer::Given(Maturity::Mature);
            crab.answers.eggs = Answer::Given(Eggs::None);
            crab.gauge = Some(GaugeReading::OfSize);
            let not_confirmed = |crab: &Crab| {
                decide(&crab.case(rule)).verdict().is_some_and(|verdict| {
                    let is_not = |finding: &Finding| matches!(finding, Finding::NotConfirmed { .. });
                    let found = verdict.reasons().iter().any(|reason| is_not(&reason.finding));
                    assert!(!found || verdict.call() != Call::Keep);
                    found
                })
            };
            asked += usize::from(not_confirmed(&crab));
            let facts = rule.confirmable(day(2026, 7, 4), &[]);
            crab.confirmations = vec![Confirmation {
                facts,
                who: "the skipper".to_owned(),
                when: day(2026, 7, 4),
                until: day(2026, 12, 31),
            }];
            assert!(!not_confirmed(&crab), "{} {} {}", rule.pack, rule.area, rule.species);
            assert!(rule.confirmable(day(2026, 7, 4), &crab.confirmations).is_empty());
            settled += 1;
        }
    }
    assert!(asked > 20 && settled > 200, "{asked} of {settled}");
}

/// A crab that passes what can be passed under `rule`, everything from memory confirmed.
fn best_under(rule: &RuleInForce, sex: Sex, parts: Parts) -> Crab {
    let mut crab = Crab::keeper(&rule.species);
    crab.answers.sex = Answer::Given(sex);
    crab.answers.maturity = Answer::Given(Maturity::Mature);
    crab.answers.eggs = Answer::Given(Eggs::None);
    crab.answers.parts = Answer::Given(parts);
    let facts = rule.confirmable(day(2026, 7, 4), &[]);
    crab.confirmations = vec![Confirmation {
        facts,
        who: "the skipper".to_owned(),
        when: day(2026, 7, 4),
        until: day(2026, 12, 31),
    }];
    crab
}

/// Under every rule of every pack: where some answer to a check would forbid a crab, being unsure of that check
/// keeps it under no circumstances.
#[test]
fn an_unsure_answer_keeps_under_no_rule() {
    let mut tried = 0;
    for rule in all_rules_once() {
        let unsure = Answers { kind: Answer::Given(rule.species.clone()), ..Answers::default() };
        let ways = [(Sex::Male, Parts::Whole), (Sex::Female, Parts::Whole), (Sex::Male, Parts::RightClaw)];
        for (sex, parts) in ways {
            let mut crab = best_under(rule, sex, parts);
            crab.gauge = Some(GaugeReading::OfSize);
            let sure = crab.answers.clone();
            let mut is_kept = |answers: Answers| {
                crab.answers = answers;
                decide(&crab.case(rule)).verdict().is_some_and(|verdict| verdict.call() == Call::Keep)
            };
            if !is_kept(sure.clone()) {
                continue;
            }
            assert!(!is_kept(Answers { kind: Answer::NotSure, ..unsure.clone() }));
            // Every other true answer, then the unsure one, check by check.
            let sexes =
                [Sex::Male, Sex::Female].map(|sex| Answers { sex: Answer::Given(sex), ..sure.clone() });
            let maturities = [Maturity::Mature, Maturity::Immature]
                .map(|maturity| Answers { maturity: Answer::Given(maturity), ..sure.clone() });
            let eggs = [Eggs::None, Eggs::Light, Eggs::Dark, Eggs::Removed]
                .map(|eggs| Answers { eggs: Answer::Given(eggs), ..sure.clone() });
            let shells = [Stage::Hard, Stage::Soft, Stage::Peeler]
                .map(|shell| Answers { shell: Answer::Given(shell), ..sure.clone() });
            let parts = [Parts::Whole, Parts::RightClaw, Parts::LeftClaw]
                .map(|parts| Answers { parts: Answer::Given(parts), ..sure.clone() });
            let checks = [
                (sexes.to_vec(), Answers { sex: Answer::NotSure, ..sure.clone() }),
                (maturities.to_vec(), Answers { maturity: Answer::NotSure, ..sure.clone() }),
                (eggs.to_vec(), Answers { eggs: Answer::NotSure, ..sure.clone() }),
                (shells.to_vec(), Answers { shell: Answer::NotSure, ..sure.clone() }),
                (parts.to_vec(), Answers { parts: Answer::NotSure, ..sure.clone() }),
            ];
            for (answers, unsure) in checks {
                if answers.into_iter().any(|answers| !is_kept(answers)) {
                    tried += 1;
                    assert!(!is_kept(unsure.clone()), "{} {} {unsure:?}", rule.pack, rule.area);
                }
            }
        }
    }
    assert!(tried > 100, "{tried} answers tried");
}

/// Under every rule of every pack that has no largest size: the wider crab never fares worse.
#[test]
fn more_width_never_lowers_the_call_under_any_minimum() {
    let (mut tried, mut kept) = (0, 0);
    for rule in all_rules_once() {
        let sizes = &rule.facts.sizes;
        let by_photo = sizes.iter().find_map(|size| size.dimension.known()?.by_photo());
        let Some(dimension) = by_photo.filter(|_| sizes.iter().all(|size| size.max.is_none())) else {
            continue;
        };
        for (sex, u_mm) in [(Sex::Male, 0.3), (Sex::Female, 0.3), (Sex::Male, 3.0)] {
            let mut crab = best_under(rule, sex, Parts::Whole);
            let mut before = None;
            for width_mm in (40..260).map(f64::from) {
                crab.measured = Some(MeasuredWidth::normal(width_mm, u_mm, dimension));
                let now = rank(&decide(&crab.case(rule)));
                assert!(before <= now, "{} {} {} {width_mm} mm", rule.pack, rule.area, rule.species);
                before = now;
            }
            tried += 1;
            kept += usize::from(before == Some(2));
        }
    }
    assert!(tried > 100 && kept > 20, "{kept} of {tried} end in keep");
}
