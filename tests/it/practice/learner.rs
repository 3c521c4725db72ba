//! Scripted learners: one who answers at random, and one who goes by the checks.

use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Eggs, GaugeReading, Outcome, Parts, Risk, decide,
};
use shellspan::practice::course::{Act, Course};
use shellspan::practice::crab::Crab;
use shellspan::practice::draw::{Look, draw};
use shellspan::practice::judge::{Said, Why, mark};
use shellspan::practice::kinds::{Kind, Tips};
use shellspan::practice::random::Random;
use shellspan::practice::water::{Ground, Grounds};
use shellspan::rules::Cited;
use shellspan::rules::facts::Bound;
use shellspan::rules::when::{Maturity, Sex, Stage};

use super::{PUGET_SOUND, TODAY, WATERS, crabs, grounds};

/// What chance gives: the kind one of so many, keep or release even, and of the five reasons one that is true.
#[test]
fn who_answers_at_random_scores_about_chance() {
    let grounds = grounds(PUGET_SOUND);
    let kinds: Vec<&str> = grounds.all().map(|ground| ground.kind.id).collect();
    let mut random = Random::new(11);
    let (mut right, mut expected, mut variance) = (0.0, 0.0, 0.0);
    let all = crabs(5, 1500, &grounds);
    for (crab, truth) in &all {
        let why = random.is(0.5).then(|| Why::ALL[random.below(5)]);
        let said = Said { kind: kinds[random.below(kinds.len())].to_owned(), why };
        right += f64::from(u8::from(mark(crab, truth, &said).is_right()));
        let call = if truth.call == Call::Keep { 1.0 } else { truth.fails.len() as f64 / 5.0 };
        let chance = 0.5 * call / kinds.len() as f64;
        expected += chance;
        variance += chance * (1.0 - chance);
    }
    // Four standard deviations of a sum of independent draws.
    assert!((right - expected).abs() < 4.0 * variance.sqrt(), "{right} right, {expected:.1} by chance");
    assert!(right < 0.12 * all.len() as f64);
}

/// What a learner sees: only the words of the drawings, which screen readers read.
fn seen(crab: &Crab, look: Look) -> String {
    draw(crab, look).words
}

/// The kind by its tips, its teeth and the front between its eyes: never by colour.
fn kind_of(crab: &Crab, grounds: &Grounds) -> &'static Kind {
    let (top, edge) = (seen(crab, Look::Top), seen(crab, Look::Edge));
    let claw = seen(crab, Look::Claw);
    let fits = |kind: &&'static Kind| {
        let tips = match kind.tips.value {
            Tips::White => "white",
            Tips::Black => "black",
            Tips::AsTheClaw => "as the rest",
        };
        claw.contains(tips)
            && top.contains(kind.teeth.value)
            && edge.contains(kind.front.value)
            && top.contains("paddles") == kind.paddles.value
    };
    let mut found = grounds.all().map(|ground| ground.kind).filter(fits);
    let kind = found.next().expect("a kind fits");
    assert!(found.next().is_none(), "one kind only: {top}");
    kind
}

/// The checks in their order, then the core's own rule on what was found.
fn by_the_checks(crab: &Crab, grounds: &Grounds) -> Said {
    let kind = kind_of(crab, grounds);
    let ground = grounds.of(kind.id).expect("a ground");
    let belly = seen(crab, Look::Belly);
    let is_female = belly.contains("broad") || belly.contains("a triangle");
    let eggs = match (belly.contains("orange mass"), belly.contains("dark brown mass")) {
        (true, _) => Eggs::Light,
        (_, true) => Eggs::Dark,
        _ => Eggs::None,
    };
    let sex = if is_female { Sex::Female } else { Sex::Male };
    let maturity = if belly.contains("a triangle") { Maturity::Immature } else { Maturity::Mature };
    let stage = if seen(crab, Look::PressJoint).contains("dents") { Stage::Soft } else { Stage::Hard };
    let answers = Answers {
        kind: Answer::Given(kind.id.to_owned()),
        open: Answer::Given(true),
        sex: Answer::Given(sex),
        maturity: if is_female { Answer::Given(maturity) } else { Answer::Unanswered },
        eggs: if is_female { Answer::Given(eggs) } else { Answer::Unanswered },
        shell: Answer::Given(stage),
        parts: Answer::Given(Parts::Whole),
    };
    let gauge = gauged(crab, ground, (sex, maturity, stage));
    let catch = CatchSoFar::default();
    let outcome = decide(&Case {
        rule: &ground.rule,
        date: ground.date,
        clock: None,
        answers: &answers,
        measured: None,
        gauge: Some(&gauge),
        catch: &catch,
        confirmations: &ground.confirmations,
        risk: Risk::default(),
    });
    let Outcome::Settled(verdict) = outcome else { panic!("all checks were made: {outcome:?}") };
    let why = verdict.reasons().iter().find_map(|reason| Why::of(&reason.finding));
    Said { kind: kind.id.to_owned(), why: why.filter(|_| verdict.call() != Call::Keep) }
}

/// The gauge, held where the rule measures: short where it goes over, too large where it comes to rest at the largest.
fn gauged(crab: &Crab, ground: &Ground, (sex, maturity, stage): (Sex, Maturity, Stage)) -> GaugeReading {
    // Read from the pack's sizes, beside the core's own reading of them.
    let fails = ground.rule.facts.sizes.iter().any(|size| {
        let holds = size.when.as_ref().is_none_or(|when| {
            when.sex.is_none_or(|wanted| wanted == sex)
                && when.maturity.is_none_or(|wanted| sex == Sex::Female && wanted == maturity)
                && (when.stage.is_empty() || when.stage.contains(&stage))
                && when.days.is_none_or(|days| days.contains(ground.date))
        });
        let at = size.dimension.known().and_then(|dimension| dimension.by_photo());
        let goes_over = |bound: &Option<Cited<Bound>>| match bound.as_ref().and_then(Cited::known) {
            Some(Bound::At(length)) => {
                let (gap_mm, at) = (length.exact.millimetres().0, at.expect("drawn"));
                Some(seen(crab, Look::Gauge { gap_mm, at }).contains("goes over"))
            }
            _ => None,
        };
        holds && (goes_over(&size.min) == Some(true) || goes_over(&size.max) == Some(false))
    });
    if fails { GaugeReading::NotOfSize } else { GaugeReading::OfSize }
}

#[test]
fn who_goes_by_the_checks_is_right_every_time() {
    for at in WATERS {
        let grounds = grounds(at);
        for (crab, truth) in crabs(9, 150, &grounds) {
            let said = by_the_checks(&crab, &grounds);
            assert!(mark(&crab, &truth, &said).is_right(), "{at:?} {crab:?} {truth:?} {said:?}");
        }
    }
}

#[test]
fn who_goes_by_the_checks_sorts_twenty_without_an_error_and_rises() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = Course::new(42, "us-wa/puget-sound");
    course.act(&Act::Open(0), &grounds, TODAY);
    for _ in 0..20 {
        let (crab, _) = course.crab(&grounds).expect("a crab in hand");
        let said = by_the_checks(&crab, &grounds);
        course.act(&Act::Kind(said.kind), &grounds, TODAY);
        course.act(&Act::Say(said.why), &grounds, TODAY);
        course.act(&Act::Next, &grounds, TODAY);
    }
    assert_eq!((course.tally.crabs, course.tally.right, course.tally.wrongly_kept()), (20, 20, 0));
    assert!(course.tally.costly().is_empty() && course.items.is_empty());
    assert_eq!(course.level(), 3);
}

/// A learner who holds the gauge at the tips keeps short ones, and one who looks at a clean back only keeps soft ones:
/// the traps are there, and cost.
#[test]
fn the_traps_catch_who_falls_for_them() {
    use shellspan::terms::Dimension;
    let grounds = grounds(PUGET_SOUND);
    let ground = grounds.of("dungeness").expect("a ground");
    let limit = ground.limits[0].mm;
    let of_size = crabs(6, 1500, &grounds);
    let at_tips = of_size.iter().filter(|(crab, truth)| {
        crab.kind.id == "dungeness"
            && truth.fails == [Why::Size]
            && !shellspan::practice::draw::passes(crab, limit, Dimension::Tips)
    });
    // Males of 148 to 159 mm between the notches are 10 in a hundred of the males caught.
    assert!((5..=60).contains(&at_tips.count()));
    let by_the_back = of_size.iter().filter(|(crab, truth)| {
        truth.fails == [Why::Shell] && !seen(crab, Look::PressBack).contains("dents")
    });
    assert!(by_the_back.count() >= 10);
}
