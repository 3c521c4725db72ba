//! What one tap keeps by the gauge, over every pack: the tap stands for every check that matters.

use std::rc::Rc;

use shellspan::decide::{Answer, Call, Check, NextAct, Outcome};
use shellspan::rules::when::Sex;
use shellspan::rules::{Choice, Pack};
use shellspan::session::{Action, DayAct, Plain, Reply, Session};

use super::packs;

/// A kind is sorted at an area that was looked up as open.
fn at(pack: &Rc<Vec<Pack>>, area: &str, kind: &str) -> Session {
    let choice = Choice::of(pack[0].id.clone(), area);
    let acts = [
        Action::Day(DayAct::Begin { seed: 1, kind: None }),
        Action::Day(DayAct::Loaded(Vec::new())),
        Action::PacksLoaded(pack.clone()),
        Action::ChooseRule(choice),
        Action::Reply(Reply::Kind(kind.to_owned())),
        Action::Reply(Reply::Season(true)),
        Action::NextCrab,
    ];
    acts.into_iter().fold(Session::new(jiff::civil::date(2026, 8, 15)), |session, act| session.apply(act))
}

/// The person reads whatever the verdict asks them to read.
fn with_all_read(mut session: Session) -> Session {
    for _ in 0..8 {
        let outcome = session.outcome();
        let verdict = outcome.as_ref().and_then(Outcome::verdict);
        let facts = verdict.and_then(|verdict| {
            verdict.acts().iter().find_map(|act| match act {
                NextAct::ConfirmRule { facts } => Some(facts.clone()),
                _ => None,
            })
        });
        let Some(facts) = facts else { break };
        session = session.apply(Action::ConfirmFacts { facts, who: "Ann".into() });
    }
    session
}

fn call(session: &Session) -> Option<Call> {
    session.outcome().and_then(|outcome| outcome.verdict().map(|verdict| verdict.call()))
}

/// Each button settles sex, maturity, eggs and shell; one that says nothing of the sex keeps only where a male and a female
/// with the same answers are kept too.
#[test]
fn a_tap_that_keeps_stands_for_every_check_that_matters() {
    let (mut buttons, mut either, mut females) = (0, 0, 0);
    for pack in packs::all() {
        let pack = Rc::new(vec![pack]);
        for area in &pack[0].areas {
            let kinds = at(&pack, &area.id, "").rules.kinds();
            for kind in kinds {
                let day = at(&pack, &area.id, &kind);
                for keeper in day.gauge_keepers() {
                    let named = format!("{} {} {kind} {:?}", pack[0].id, area.id, keeper.plain);
                    let sorted = with_all_read(day.apply(Action::Day(DayAct::Sort(keeper.plain))));
                    if let Some(Outcome::Open { next, .. }) = sorted.outcome() {
                        assert!(
                            !matches!(next, Check::Sex | Check::Maturity | Check::Eggs | Check::Shell),
                            "{named}: {next:?}"
                        );
                    }
                    buttons += 1;
                    if call(&sorted) != Some(Call::Keep) {
                        continue;
                    }
                    females += u32::from(sorted.crab.answers.sex == Answer::Given(Sex::Female));
                    if keeper.plain == Plain::EitherKeeper {
                        either += 1;
                        for sex in [Sex::Male, Sex::Female] {
                            let seen = with_all_read(sorted.apply(Action::Reply(Reply::Sex(sex))));
                            assert_eq!(call(&seen), Some(Call::Keep), "{named}: {sex:?}");
                        }
                    }
                }
            }
        }
    }
    assert!(
        buttons > 100 && either > 0 && females > 10,
        "{buttons} buttons, {either} of either sex, {females} females"
    );
}
