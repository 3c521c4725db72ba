//! From a rule, a day and answers to a verdict: the built-in pack's crabs one by one.

use shellspan::decide::{
    Answer, Answers, Call, CatchSoFar, Check, Conformity, Eggs, Finding, GaugeReading, NextAct, Notice,
    Parts, PointsHint, checks, next_check,
};
use shellspan::rules::when::{Sex, Stage};
use shellspan::rules::{self, Confirmation, Mark, Pack, RuleInForce, Topic};
use shellspan::terms::Dimension;

use super::crab::{Crab, day};

#[test]
fn the_walk_goes_in_the_order_of_a_practised_hand() {
    let mut crab = Crab::of("dungeness");
    crab.answers.kind = Answer::Unanswered;
    assert_eq!(crab.next(), Check::Kind);
    crab.answers.kind = Answer::Given("dungeness".to_owned());
    assert_eq!(crab.next(), Check::Season, "set by order in this water");
    crab.answers.open = Answer::Given(true);
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
        (GaugeReading::OfSize, Call::Keep),
        (GaugeReading::NotOfSize, Call::Release),
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
    assert!(verdict.notices().iter().any(|notice| matches!(notice, Notice::SeasonWords { .. })));
    assert!(verdict.notices().contains(&Notice::SaidOpen));
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
fn a_width_no_such_crab_has_makes_no_keeper() {
    let mut crab = Crab::keeper("dungeness").wide(526.0, 3.0);
    assert_eq!(crab.deciding(), Finding::UnlikelyWidth { width_mm: 526.0 });
    let outcome = crab.decide();
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Gauge);
    assert!(verdict.notices().contains(&Notice::UnlikelyWidth { width_mm: 526.0 }));
    crab = crab.wide(30.0, 1.0);
    assert_eq!(crab.call(), Call::Release, "short all the same");
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
    crab.confirmations = vec![Confirmation {
        facts,
        who: "the skipper".to_owned(),
        when: day(2026, 7, 4),
        until: day(2027, 7, 4),
    }];
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
    let facts = rule.confirmable(crab.date, &[]);
    assert!(facts.iter().any(|fact| fact.topic == Topic::MinSize));
    let (when, until) = (day(2026, 7, 4), day(2027, 7, 4));
    crab.confirmations = vec![Confirmation { facts, who: "x".to_owned(), when, until }];
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
            text.extend(reason.detail().map(|detail| format!("         {detail}\n")));
            if let Some(rule) = &reason.rule {
                text += &format!("         ({})\n", rule.citation());
            }
        }
        for act in verdict.acts() {
            text += &format!("next     {}\n", act.sentence());
            text.extend(act.detail().map(|detail| format!("         {detail}\n")));
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
