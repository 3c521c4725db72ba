//! From a rule, a day and answers to a verdict: the built-in pack's crabs one by one, and properties that
//! hold for every crab.

use jiff::civil::Date;
use proptest::prelude::*;
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Check, Conformity, Eggs, Finding, GaugeReading, MeasuredWidth,
    NextAct, Notice, Outcome, Parts, PointsHint, Risk, checks, decide, next_check,
};
use shellspan::rules::pack::ANY_CRAB;
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::rules::{self, Confirmation, Mark, Pack, RuleInForce, Topic};
use shellspan::shell::Dimension;

fn day(year: i16, month: i8, day: i8) -> Date {
    Date::new(year, month, day).expect("a date")
}

/// A crab on the deck: what was answered and measured of it.
struct Crab {
    answers: Answers,
    measured: Option<MeasuredWidth>,
    gauge: Option<GaugeReading>,
    catch: CatchSoFar,
    confirmations: Vec<Confirmation>,
    date: Date,
}

impl Crab {
    fn of(kind: &str) -> Self {
        Self {
            answers: Answers { kind: Answer::Given(kind.to_owned()), ..Answers::default() },
            measured: None,
            gauge: None,
            catch: CatchSoFar::default(),
            confirmations: Vec::new(),
            date: day(2026, 7, 4),
        }
    }

    /// A whole male with a hard shell.
    fn keeper(kind: &str) -> Self {
        let mut crab = Self::of(kind);
        crab.answers.sex = Answer::Given(Sex::Male);
        crab.answers.shell = Answer::Given(Stage::Hard);
        crab.answers.parts = Answer::Given(Parts::Whole);
        crab
    }

    fn wide(mut self, mean_mm: f64, u_mm: f64) -> Self {
        self.measured = Some(MeasuredWidth::normal(mean_mm, u_mm, Dimension::Notch));
        self
    }

    fn decide_in(&self, pack: &Pack, area: &str) -> Outcome {
        let species = self.answers.kind.given().map_or(ANY_CRAB, String::as_str);
        let rule = RuleInForce::find(pack, area, species).expect("the area");
        decide(&self.case(&rule))
    }

    fn case<'a>(&'a self, rule: &'a RuleInForce) -> Case<'a> {
        Case {
            rule,
            date: self.date,
            clock: None,
            answers: &self.answers,
            measured: self.measured.as_ref(),
            gauge: self.gauge.as_ref(),
            catch: &self.catch,
            confirmations: &self.confirmations,
            risk: Risk::default(),
        }
    }

    fn decide(&self) -> Outcome {
        self.decide_in(&rules::built_in_pack(), "puget-sound")
    }

    #[track_caller]
    fn call(&self) -> Call {
        let outcome = self.decide();
        outcome.verdict().unwrap_or_else(|| panic!("still open: {outcome:?}")).call()
    }

    #[track_caller]
    fn next(&self) -> Check {
        match self.decide() {
            Outcome::Open { next, .. } => next,
            Outcome::Settled(verdict) => panic!("settled: {verdict:?}"),
        }
    }

    #[track_caller]
    fn deciding(&self) -> Finding {
        let outcome = self.decide();
        outcome.verdict().expect("settled").reasons()[0].finding.clone()
    }
}

#[test]
fn the_walk_goes_in_the_order_of_a_practised_hand() {
    let mut crab = Crab::of("dungeness");
    crab.answers.kind = Answer::Unanswered;
    assert_eq!(crab.next(), Check::Kind);
    crab.answers.kind = Answer::Given("dungeness".to_owned());
    assert_eq!(crab.next(), Check::Sex);
    crab.answers.sex = Answer::Given(Sex::Male);
    assert_eq!(crab.next(), Check::Shell, "a male has no eggs");
    crab.answers.shell = Answer::Given(Stage::Hard);
    assert_eq!(crab.next(), Check::Claws);
    crab.answers.parts = Answer::Given(Parts::Whole);
    assert_eq!(crab.next(), Check::Size);
    assert_eq!(crab.wide(166.0, 1.5).call(), Call::Keep);
}

/// Source: WDFW rule reminder of 2019-07-31: males only, 6 1/4 in, hard shell.
#[test]
fn a_female_dungeness_ends_the_walk_without_a_size() {
    let mut crab = Crab::of("dungeness");
    crab.answers.sex = Answer::Given(Sex::Female);
    let outcome = crab.decide();
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Release);
    let reason = &verdict.reasons()[0];
    assert_eq!(reason.finding, Finding::WrongSex { found: "a female".to_owned() });
    assert_eq!(reason.sentence(), "It is a female; the rule here: males only.");
    let rule = reason.rule.as_ref().expect("a rule");
    assert!(rule.citation().contains("2019-07-31"), "{}", rule.citation());
    assert!(verdict.acts().contains(&NextAct::ReleaseGently));
}

/// Source: WDFW rule reminder of 2019-07-31: 6 1/4 in is 158.75 mm exactly; 1 % and 10 % by JCGM 106
/// clause 8: keep from 158.75 + 2.3263 u, release below 158.75 - 1.2816 u.
#[test]
fn dungeness_by_size() {
    for (width, call) in [
        (150.0, Call::Release),
        (157.46, Call::Release),
        (157.48, Call::Gauge),
        (158.75, Call::Gauge),
        (161.07, Call::Gauge),
        (161.08, Call::Keep),
        (170.0, Call::Keep),
    ] {
        assert_eq!(Crab::keeper("dungeness").wide(width, 1.0).call(), call, "{width} mm");
    }
}

#[test]
fn a_gauge_in_the_hand_settles_the_size() {
    for (reading, call) in [
        (GaugeReading::Passes, Call::Keep),
        (GaugeReading::Fails, Call::Release),
        (GaugeReading::Reads("25/4 in".parse().expect("a length")), Call::Keep),
        (GaugeReading::Reads("158 mm".parse().expect("a length")), Call::Release),
        (GaugeReading::Reads("158.75 mm".parse().expect("a length")), Call::Keep),
    ] {
        // The photo alone leaves it open; the gauge has the last word, with a photo and without.
        let mut crab = Crab::keeper("dungeness").wide(158.75, 1.0);
        crab.gauge = Some(reading);
        assert_eq!(crab.call(), call, "{reading:?}");
        crab.measured = None;
        assert_eq!(crab.call(), call, "{reading:?}");
    }
}

/// Source: WDFW rule reminder of 2019-07-31: a crab of size that is soft goes back.
#[test]
fn a_soft_crab_of_size_goes_back() {
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    crab.answers.shell = Answer::Given(Stage::Soft);
    assert_eq!(crab.deciding(), Finding::SoftShell { words: "soft".to_owned() });
}

/// Source: WDFW rule reminder of 2019-07-31: red rock crab of either sex from 5 in (127 mm).
#[test]
fn red_rock_of_either_sex() {
    let mut crab = Crab::keeper("red-rock").wide(135.0, 1.5);
    assert_eq!(crab.call(), Call::Keep);
    crab.answers.sex = Answer::Given(Sex::Female);
    assert_eq!(crab.next(), Check::Eggs);
    crab.answers.eggs = Answer::Given(Eggs::None);
    assert_eq!(crab.call(), Call::Keep);
    crab.answers.sex = Answer::Unanswered;
    assert_eq!(crab.call(), Call::Keep, "its sex does not matter here");
    crab.answers.eggs = Answer::Given(Eggs::Light);
    assert_eq!(crab.deciding(), Finding::CarriesEggs);
}

/// Source: WDFW, Sport Fishing Guidelines (2010): claws alone may not be kept.
#[test]
fn loose_claws_may_not_be_kept() {
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    crab.answers.parts = Answer::Given(Parts::RightClaw);
    assert_eq!(crab.deciding(), Finding::PartNotAllowed);
}

/// Source: WDFW rule change of 2023-09-28: 5 Dungeness, 6 red rock a day.
#[test]
fn the_daily_limit_is_kept() {
    for (kept, call) in [(0, Call::Keep), (4, Call::Keep), (5, Call::Release), (9, Call::Release)] {
        let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
        crab.catch = CatchSoFar::of_person("dungeness", kept);
        assert_eq!(crab.call(), call, "{kept} kept");
    }
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    crab.catch = CatchSoFar::of_person("red-rock", 6);
    assert_eq!(crab.call(), Call::Keep, "another kind has its own limit");
}

/// Source: WDFW Reel Life, June 2025: prohibited species, photograph, note the place, report.
#[test]
fn a_green_crab_is_reported_not_killed() {
    let outcome = Crab::of("green").decide();
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Release);
    assert!(verdict.acts().iter().any(|act| matches!(act, NextAct::Report { .. })));
    assert!(verdict.acts().contains(&NextAct::DoNotKill));
    assert!(verdict.acts().contains(&NextAct::DoNotKeepAlive));
}

#[test]
fn a_kind_without_a_rule_is_let_go() {
    assert!(matches!(Crab::of("blue").deciding(), Finding::NoRuleForThisKind { .. }));
    assert!(matches!(Crab::of("no such kind").deciding(), Finding::NoRuleForThisKind { .. }));
}

#[test]
fn an_unsure_answer_lets_it_go() {
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    crab.answers.sex = Answer::NotSure;
    assert_eq!(crab.deciding(), Finding::NotSure { check: Check::Sex });
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    crab.answers.kind = Answer::NotSure;
    assert_eq!(crab.deciding(), Finding::NotSure { check: Check::Kind });
}

/// Source: WDFW rule reminder of 2019-07-31: on the card at once, before the trap is set again.
#[test]
fn a_kept_dungeness_is_written_down_at_once() {
    let outcome = Crab::keeper("dungeness").wide(175.0, 1.0).decide();
    let verdict = outcome.verdict().expect("settled");
    let acts = verdict.acts();
    assert!(
        matches!(&acts[0], NextAct::WriteRecord { words } if words.contains("before the trap")),
        "{acts:?}"
    );
    assert!(acts.contains(&NextAct::KeepWhole));
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::SeasonByOrder { .. })));
    assert!(verdict.reasons().iter().all(|reason| reason.rule.is_some()));
}

/// Source: ratio 154/165 of tip and notch width (B. D. Smith, UBC thesis 1988): 165 mm between the tips is
/// about 154 mm between the notches, short of 158.75 mm.
#[test]
fn points_near_the_tips_do_not_make_a_keeper() {
    let mut crab = Crab::keeper("dungeness").wide(165.0, 1.0);
    assert_eq!(crab.call(), Call::Keep);
    if let Some(measured) = &mut crab.measured {
        measured.hint = Some(PointsHint::NearTips);
    }
    assert_eq!(crab.deciding(), Finding::WrongPointsLikely);
    let outcome = crab.decide();
    assert!(outcome.verdict().expect("settled").notices().contains(&Notice::PointsLookLikeTips));
}

#[test]
fn a_width_between_other_points_is_not_taken() {
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    if let Some(measured) = &mut crab.measured {
        measured.dimension = Dimension::Tips;
    }
    assert_eq!(crab.next(), Check::Size);
}

/// The pack with one mark of the dungeness size rule changed to memory.
fn from_memory() -> Pack {
    let mut pack = rules::built_in_pack();
    let area = pack.areas.iter_mut().find(|area| area.id == "puget-sound").expect("the area");
    let rule = area.rules.iter_mut().find(|rule| rule.species == "dungeness").expect("the rule");
    rule.facts.sizes[0].min.as_mut().expect("a minimum").mark = Mark::Memory;
    pack
}

#[test]
fn a_size_from_memory_never_keeps_until_a_person_confirms_it() {
    let pack = from_memory();
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    let outcome = crab.decide_in(&pack, "puget-sound");
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Gauge);
    let sentence = verdict.reasons()[0].sentence();
    assert!(
        sentence.starts_with("Size rule not confirmed: check the official rule, then confirm it here"),
        "{sentence}"
    );
    let facts = verdict.acts().iter().find_map(|act| match act {
        NextAct::ConfirmRule { facts } => Some(facts.clone()),
        _ => None,
    });
    let facts = facts.expect("something to confirm");
    assert_eq!(facts[0].topic, Topic::MinSize);
    crab.confirmations = vec![Confirmation { facts, who: "the skipper".to_owned(), when: day(2026, 7, 4) }];
    let outcome = crab.decide_in(&pack, "puget-sound");
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Keep);
    let shown = Notice::ConfirmedBy { who: "the skipper".to_owned(), when: day(2026, 7, 4) };
    assert!(verdict.notices().contains(&shown));
    // A short crab goes back all the same.
    assert_eq!(
        crab.wide(150.0, 1.0).decide_in(&pack, "puget-sound").verdict().map(|v| v.call()),
        Some(Call::Release)
    );
}

#[test]
fn a_confirmation_ends_when_the_figure_changes() {
    let mut pack = from_memory();
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    let rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
    let facts = vec![rule.fact_ref(Topic::MinSize, "at least 6 1/4 in")];
    crab.confirmations = vec![Confirmation { facts, who: "x".to_owned(), when: day(2026, 7, 4) }];
    assert_eq!(crab.decide_in(&pack, "puget-sound").verdict().map(|v| v.call()), Some(Call::Keep));
    let text = rules::write_pack(&pack)
        .replace("\"exact\": \"25/4 in\"", "\"exact\": \"13/2 in\"")
        .replace("\"published\": \"6 1/4 in\"", "\"published\": \"6 1/2 in\"");
    pack = rules::read_pack(&text).expect("a pack");
    assert_eq!(crab.decide_in(&pack, "puget-sound").verdict().map(|v| v.call()), Some(Call::Gauge));
}

#[test]
fn a_pack_older_than_a_season_says_so_at_the_verdict() {
    let mut crab = Crab::keeper("dungeness").wide(175.0, 1.0);
    let stale = |crab: &Crab| {
        let outcome = crab.decide();
        let notices = outcome.verdict().expect("settled").notices().to_vec();
        notices.iter().any(|notice| matches!(notice, Notice::PackStale(_)))
    };
    crab.date = day(2027, 7, 4);
    assert!(!stale(&crab));
    crab.date = day(2027, 12, 1);
    assert!(stale(&crab));
}

/// Every list of checks has each check once, and none is open when the crab is settled as a keeper.
#[test]
fn the_list_of_checks_follows_the_walk() {
    use shellspan::decide::CheckState;
    let rule = RuleInForce::find(&rules::built_in_pack(), "puget-sound", "dungeness").expect("a rule");
    let crab = Crab::keeper("dungeness");
    let states = checks(&crab.case(&rule));
    let state = |check| states.iter().find(|(known, _)| *known == check).map(|(_, state)| *state);
    assert_eq!(state(Check::Kind), Some(CheckState::Passed));
    assert_eq!(state(Check::Sex), Some(CheckState::Passed));
    assert_eq!(state(Check::Eggs), Some(CheckState::NotNeeded));
    assert_eq!(state(Check::Size), Some(CheckState::Open));
    assert_eq!(next_check(&crab.case(&rule)), Some(Check::Size));
}

fn answer<T: Clone + std::fmt::Debug + 'static>(values: Vec<T>) -> impl Strategy<Value = Answer<T>> {
    prop_oneof![
        Just(Answer::Unanswered),
        Just(Answer::NotSure),
        proptest::sample::select(values).prop_map(Answer::Given),
    ]
}

prop_compose! {
    fn any_answers()(
        kind in answer(["dungeness", "red-rock", "green", "blue", "any-crab", ""].map(str::to_owned).to_vec()),
        sex in answer(vec![Sex::Male, Sex::Female]),
        maturity in answer(vec![Maturity::Mature, Maturity::Immature]),
        eggs in answer(vec![Eggs::None, Eggs::Light, Eggs::Dark, Eggs::Removed]),
        shell in answer(vec![Stage::Hard, Stage::Soft, Stage::Peeler]),
        parts in answer(vec![Parts::Whole, Parts::RightClaw, Parts::LeftClaw]),
    ) -> Answers {
        Answers { kind, sex, maturity, eggs, shell, parts }
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
        answers in any_answers(), order in Just([0usize, 1, 2, 3, 4]).prop_shuffle(), width in 140.0..180.0_f64,
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

fn all_rules_once() -> &'static [RuleInForce] {
    static RULES: std::sync::OnceLock<Vec<RuleInForce>> = std::sync::OnceLock::new();
    RULES.get_or_init(all_rules)
}

#[test]
fn the_decision_keeps_its_names_in_json() {
    let outcome = Crab::keeper("dungeness").wide(166.0, 1.5).decide();
    let json = serde_json::to_value(&outcome).expect("json");
    assert_eq!(json["settled"]["call"], "keep");
    let back: Answers =
        serde_json::from_value(serde_json::to_value(&Crab::keeper("blue").answers).expect("json"))
            .expect("answers");
    assert_eq!(back, Crab::keeper("blue").answers);
    assert_eq!(serde_json::to_value(Conformity::GaugeByHand).expect("json"), "gauge-by-hand");
}

/// What people read of the commonest verdicts. Run with `SHELLSPAN_WRITE=1` to write it anew, and read it.
#[test]
fn verdicts_read_well() {
    let mut cases = vec![
        ("a keeper", Crab::keeper("dungeness").wide(166.0, 1.5)),
        ("a short one", Crab::keeper("dungeness").wide(152.0, 1.5)),
        ("astride the limit", Crab::keeper("dungeness").wide(159.5, 1.5)),
        ("a green crab", Crab::of("green")),
    ];
    let mut female = Crab::of("dungeness");
    female.answers.sex = Answer::Given(Sex::Female);
    cases.push(("a female", female));
    let mut unsure = Crab::keeper("red-rock");
    unsure.answers.shell = Answer::NotSure;
    cases.push(("an unsure shell", unsure));
    let mut text = String::new();
    for (name, crab) in cases {
        let outcome = crab.decide();
        let verdict = outcome.verdict().expect("settled");
        text += &format!("== {name}: {}\n", verdict.word());
        for reason in verdict.reasons() {
            text += &format!("because  {}\n", reason.sentence());
            if let Some(rule) = &reason.rule {
                text += &format!("         ({})\n", rule.citation());
            }
        }
        for act in verdict.acts() {
            text += &format!("next     {}\n", act.sentence());
        }
        for notice in verdict.notices() {
            text += &format!("note     {}\n", notice.sentence());
        }
    }
    let stored = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/verdicts.txt");
    if std::env::var_os("SHELLSPAN_WRITE").is_some() {
        std::fs::create_dir_all(stored.parent().expect("a folder")).expect("the folder");
        std::fs::write(&stored, &text).expect("written");
    }
    let expected = std::fs::read_to_string(&stored).unwrap_or_default();
    assert!(text == expected, "the sentences changed:\n{text}");
}
