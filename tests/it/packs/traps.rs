//! What is easily confused between the packs, each as a case that would go wrong.

use jiff::civil::Date;
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Eggs, Finding, KeptCount, MeasuredWidth, NextAct, Outcome,
    Parts, Risk, Traits, decide,
};
use shellspan::rules::facts::{Amount, Bound, Duty, Holder, MeasuredDimension};
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::rules::words::InWords;
use shellspan::rules::{Mark, RuleInForce};
use shellspan::terms::Dimension;

use super::saying::{load, rule};
use super::{all, says};

/// A hard-shelled, whole crab without eggs on the deck.
struct Crab {
    answers: Answers,
    measured: Option<MeasuredWidth>,
    catch: CatchSoFar,
    date: Date,
}

impl Crab {
    fn of(kind: &str, sex: Sex) -> Self {
        let answers = Answers {
            kind: Answer::Given(kind.to_owned()),
            open: Answer::Given(true),
            sex: Answer::Given(sex),
            maturity: Answer::Given(Maturity::Mature),
            eggs: Answer::Given(Eggs::None),
            shell: Answer::Given(Stage::Hard),
            parts: Answer::Given(Parts::Whole),
        };
        let date = Date::new(2026, 7, 4).expect("a date");
        Self { answers, measured: None, catch: CatchSoFar::default(), date }
    }

    fn wide(mut self, mm: f64, dimension: Dimension) -> Self {
        self.measured = Some(MeasuredWidth::normal(mm, 0.3, dimension));
        self
    }

    fn on(mut self, month: i8, day: i8) -> Self {
        self.date = Date::new(2026, month, day).expect("a date");
        self
    }

    fn decide(&self, rule: &RuleInForce) -> Outcome {
        decide(&Case {
            rule,
            date: self.date,
            clock: None,
            answers: &self.answers,
            measured: self.measured.as_ref(),
            gauge: None,
            catch: &self.catch,
            confirmations: &[],
            risk: Risk::default(),
        })
    }

    fn call(&self, pack: &str, area: &str) -> Option<Call> {
        let kind = self.answers.kind.given().expect("a kind");
        self.decide(&rule(pack, area, kind)).verdict().map(|verdict| verdict.call())
    }
}

/// Millimetres and dimension of the first size.
fn first_size(pack: &str, area: &str, species: &str) -> (f64, MeasuredDimension) {
    let rule = rule(pack, area, species);
    let size = &rule.facts.sizes[0];
    let Some(Bound::At(length)) = size.min.as_ref().and_then(|min| min.known()) else { panic!("no figure") };
    (length.exact.millimetres().0, *size.dimension.known().expect("a dimension"))
}

/// British Columbia: 165 mm, points included. Alaska: 6 1/2 in = 165.1 mm, printed 165 mm, points left out.
#[test]
fn the_two_165_mm_are_two_distances() {
    assert_eq!(first_size("ca-bc", "tidal", "dungeness"), (165.0, MeasuredDimension::Tips));
    assert_eq!(first_size("us-ak", "statewide", "dungeness"), (165.1, MeasuredDimension::Notch));
    let between_tips = Crab::of("dungeness", Sex::Male).wide(170.0, Dimension::Tips);
    let between_notches = Crab::of("dungeness", Sex::Male).wide(170.0, Dimension::Notch);
    assert_eq!(between_tips.call("ca-bc", "tidal"), Some(Call::Keep));
    assert_eq!(between_notches.call("ca-bc", "tidal"), None, "asks for the other distance");
    assert_eq!(between_tips.call("us-ak", "statewide"), None, "asks for the other distance");
    assert_eq!(between_notches.call("us-ak", "statewide"), Some(Call::Gauge), "the landmark is from memory");
}

/// One species, four ways: 127 mm tips, 115 mm notches, 110 mm spine bases, 65 mm length.
#[test]
fn four_blue_swimmers() {
    use MeasuredDimension::{Length, Notch, Tips};
    assert_eq!(first_size("au-wa", "western-australia", "blue-swimmer"), (127.0, Tips));
    assert_eq!(first_size("au-qld", "tidal", "blue-swimmer"), (115.0, Notch));
    assert_eq!(first_size("au-sa", "south-australia", "blue-swimmer"), (110.0, Notch));
    assert_eq!(first_size("au-nsw", "nsw", "blue-swimmer"), (65.0, Length));
}

/// New South Wales measures the length of the shell: no photo of the width says anything.
#[test]
fn no_verdict_by_photo_on_a_length() {
    for species in ["blue-swimmer", "mud"] {
        let rule = rule("au-nsw", "nsw", species);
        for (mm, dimension) in
            [(30.0, Dimension::Notch), (200.0, Dimension::Tips), (200.0, Dimension::Widest)]
        {
            let outcome = Crab::of(species, Sex::Male).wide(mm, dimension).decide(&rule);
            let verdict = outcome.verdict().expect("settled");
            assert_eq!(verdict.call(), Call::Gauge);
            let finding = Finding::NotByPhoto { dimension: MeasuredDimension::Length };
            assert!(verdict.reasons().iter().any(|reason| reason.finding == finding));
        }
    }
}

/// Red rock: either sex in Washington (reminder of 2019-07-31), males only in British Columbia.
#[test]
fn a_female_red_rock_across_the_line() {
    let in_washington = Crab::of("red-rock", Sex::Female).wide(135.0, Dimension::Notch);
    assert_eq!(in_washington.call("us-wa", "puget-sound"), Some(Call::Keep));
    let in_canada = Crab::of("red-rock", Sex::Female).wide(135.0, Dimension::Tips);
    assert_eq!(in_canada.call("ca-bc", "tidal"), Some(Call::Release));
    assert!(says("us-ca", "ocean", "dungeness").contains(&"sex either/seen".to_owned()));
}

/// 6 1/4 in in Puget Sound, 6 in at Grays Harbor, 5 3/4 in in the Columbia River (memory).
#[test]
fn the_washington_lines() {
    let crab = Crab::of("dungeness", Sex::Male).wide(155.0, Dimension::Notch);
    assert_eq!(crab.call("us-wa", "puget-sound"), Some(Call::Release));
    assert_eq!(crab.call("us-wa", "grays-harbor"), Some(Call::Keep));
    assert_eq!(crab.call("us-wa", "coast"), Some(Call::Gauge), "from memory");
    assert_eq!(crab.call("us-wa", "columbia-river"), Some(Call::Gauge), "from memory");
    let smaller = Crab::of("dungeness", Sex::Male).wide(149.0, Dimension::Notch);
    assert_eq!(smaller.call("us-wa", "grays-harbor"), Some(Call::Release));
    assert_eq!(smaller.call("us-wa", "columbia-river"), Some(Call::Gauge), "from memory");
}

/// Cal. Code Regs. tit. 14 s 29.85: (b)(5) in front of the points, (c)(3) at the widest part.
#[test]
fn one_section_of_california_has_two_landmarks() {
    let source = |species: &str| {
        let rule = rule("us-ca", "ocean", species);
        rule.source_of(rule.facts.sizes[0].min.as_ref().expect("a minimum")).expect("a source").clone()
    };
    let (dungeness, rock) = (source("dungeness"), source("rock"));
    assert_eq!((dungeness.section.as_str(), rock.section.as_str()), ("29.85(b)(5)", "29.85(c)(3)"));
    assert_eq!(dungeness.address, rock.address);
    assert_eq!(first_size("us-ca", "ocean", "dungeness").1, MeasuredDimension::Notch);
    assert_eq!(first_size("us-ca", "ocean", "rock").1, MeasuredDimension::Widest);
}

/// Maryland, Chesapeake Bay: 5 in to 14 July, 5 1/4 in (133.35 mm) from 15 July.
#[test]
fn maryland_changes_its_size_on_15_july() {
    let crab = || Crab::of("blue", Sex::Male).wide(130.0, Dimension::Tips);
    assert_eq!(crab().on(7, 14).call("us-md", "chesapeake-bay"), Some(Call::Gauge), "of size, from memory");
    assert_eq!(crab().on(7, 15).call("us-md", "chesapeake-bay"), Some(Call::Release));
    assert_eq!(crab().on(7, 15).call("us-md", "coastal-bays"), Some(Call::Gauge), "no step there");
}

/// S.S.I. 2017/57: five of any of the four kinds together, for each unlicensed boat.
#[test]
fn the_boat_holds_the_limit_in_scotland() {
    let kept = |holder, species: &str| CatchSoFar {
        kept: vec![KeptCount {
            holder,
            species: species.to_owned(),
            traits: Traits::default(),
            today: 5,
            earlier: None,
        }],
        counted: vec![holder],
        ..CatchSoFar::default()
    };
    let rule = rule("uk-sct", "orkney", "brown");
    let reached = |catch| {
        let mut crab = Crab::of("brown", Sex::Male).wide(170.0, Dimension::Widest);
        crab.catch = catch;
        let outcome = crab.decide(&rule);
        let reasons = outcome.verdict().expect("settled").reasons().to_vec();
        reasons.iter().any(|reason| {
            matches!(reason.finding, Finding::LimitReached { limit: 5, holder: Holder::Boat, .. })
        })
    };
    assert!(reached(kept(Holder::Boat, "brown")));
    assert!(reached(kept(Holder::Boat, "velvet")), "the four kinds count together");
    assert!(!reached(kept(Holder::Person, "brown")));
}

/// A person, a boat, a container, a household, a unit of gear, a volume.
#[test]
fn who_holds_the_limit() {
    let holders = |pack: &str, area: &str, species: &str| -> Vec<Holder> {
        let limits = rule(pack, area, species).facts.limits;
        limits.iter().filter_map(|limit| limit.holder.known().copied()).collect()
    };
    // Maryland, COMAR 08.02.03.10 A: the container decides the unit, and the boat has its own limit.
    let maryland = holders("us-md", "chesapeake-bay", "blue");
    for holder in [Holder::Person, Holder::Boat, Holder::Container] {
        assert!(maryland.contains(&holder), "{holder:?}");
    }
    // Western Australia: bag and boat limit together.
    let swan = holders("au-wa", "swan-canning-cockburn", "blue-swimmer");
    assert_eq!(swan, [Holder::Person, Holder::Boat]);
    // Alaska, NR 2506 of 2017-12-01: gear decides who may keep.
    assert_eq!(holders("us-ak", "southeast-11-a", "king"), [Holder::Gear]);
    assert_eq!(holders("us-ak", "pws-subsistence", "golden-king"), [Holder::Household]);
    // Florida: gallons of claws, not a count.
    let limits = rule("us-fl", "state-federal", "stone").facts.limits;
    assert_eq!(limits.len(), 2);
    assert!(limits.iter().all(|limit| matches!(limit.amount.known(), Some(Amount::Volume(_)))));
}

/// 31 Texas Admin. Code 57 (a)(3)(C), (D): the right claw only. No photo measures a claw.
#[test]
fn texas_lets_the_right_claw_only_be_kept() {
    let with = |parts| {
        let mut crab = Crab::of("stone", Sex::Male).wide(100.0, Dimension::Widest);
        crab.answers.parts = Answer::Given(parts);
        crab
    };
    assert_eq!(with(Parts::Whole).call("us-tx", "coastal"), Some(Call::Release));
    assert_eq!(with(Parts::LeftClaw).call("us-tx", "coastal"), Some(Call::Release));
    assert_eq!(with(Parts::RightClaw).call("us-tx", "coastal"), Some(Call::Gauge));
    // Florida, 68B-13.007 (memory): either claw.
    assert_eq!(with(Parts::LeftClaw).on(11, 1).call("us-fl", "state-federal"), Some(Call::Gauge));
    assert_eq!(with(Parts::Whole).on(11, 1).call("us-fl", "state-federal"), Some(Call::Release));
}

/// One species: forbidden and reported, kept, or protected by a size; and another thing by the same name.
#[test]
fn green_crab_from_place_to_place() {
    let crab = Crab::of("green", Sex::Male).wide(80.0, Dimension::Tips);
    // Washington, Reel Life, June 2025: not kept, not killed by mistake, reported.
    let outcome = crab.decide(&rule("us-wa", "puget-sound", "green"));
    let verdict = outcome.verdict().expect("settled");
    assert_eq!(verdict.call(), Call::Release);
    assert!(verdict.acts().contains(&NextAct::DoNotKill));
    assert!(verdict.acts().iter().any(|act| matches!(act, NextAct::Report { .. })));
    // Oregon, from memory: may be kept, and is not put back; no keep before somebody confirms it.
    let oregon = rule("us-or", "ocean", "green");
    let duty = oregon.facts.invasive[0].known().expect("a duty");
    assert_eq!((duty.keep, duty.put_back), (Duty::May, Duty::MustNot));
    assert_eq!(crab.call("us-or", "ocean"), Some(Call::Gauge));
    // Orkney, S.S.I. 2016/50: 70 mm including the spines.
    assert_eq!(first_size("uk-sct", "orkney", "green"), (70.0, MeasuredDimension::Tips));
    let small = Crab::of("green", Sex::Male).wide(60.0, Dimension::Tips);
    assert_eq!(small.call("uk-sct", "orkney"), Some(Call::Release));
    assert!(rule("uk-sct", "orkney", "green").facts.invasive.is_empty());
    // Maryland's law means a peeler by it.
    assert!(!rule("us-md", "statewide", "green").is_named);
    assert!(load("us-md").notes.iter().any(|note| note.contains("Carcinus maenas")));
}

/// England: 130 mm is the baseline; the byelaw of a district, not read here, may ask more.
#[test]
fn an_english_baseline_is_no_leave_to_keep() {
    let wide = |mm| Crab::of("brown", Sex::Male).wide(mm, Dimension::Widest);
    assert_eq!(wide(125.0).call("uk-eng", "outside-eastern"), Some(Call::Release));
    assert_eq!(wide(170.0).call("uk-eng", "outside-eastern"), Some(Call::Gauge));
    assert_eq!(wide(120.0).call("uk-eng", "eastern"), Some(Call::Keep), "115 mm and byelaws 6 and 7, seen");
    assert_eq!(wide(170.0).call("uk-eng", "other-districts"), Some(Call::Gauge));
}

/// Rhode Island: a statute of 4 1/8 in and a regulation believed to have 5 in; neither is dropped.
#[test]
fn where_sources_disagree_both_stand() {
    let wide = |mm| Crab::of("blue", Sex::Male).wide(mm, Dimension::Tips).call("us-ri", "statewide");
    assert_eq!(wide(100.0), Some(Call::Release));
    assert_eq!(wide(115.0), Some(Call::Release), "below the stricter one");
    assert_eq!(wide(140.0), Some(Call::Gauge), "the stricter one is from memory");
}

/// Commercial figures that stand in the same pages decide nothing.
#[test]
fn commercial_figures_are_no_recreational_rules() {
    // Louisiana: 5 in commercial, no recreational minimum (memory). South West England: 160 and 150 mm by
    // licence condition. New Hampshire and Massachusetts, Jonah crab: 4 3/4 in for licence holders.
    for (pack, area, species) in [
        ("us-la", "statewide", "blue"),
        ("us-la", "statewide", "stone"),
        ("uk-eng", "south-west", "brown"),
        ("us-nh", "state", "jonah"),
        ("us-ma", "coastal", "jonah"),
    ] {
        let sizes = rule(pack, area, species).facts.sizes;
        assert!(!sizes.is_empty(), "{pack}");
        for size in sizes {
            let known = size.min.as_ref().and_then(|min| min.known());
            assert!(!matches!(known, Some(Bound::At(_))), "{pack} {species}: {known:?}");
        }
    }
    // California, Fish and Game Code 8282: 4 1/4 in is the commercial size of rock crab; 4 in holds here.
    assert_eq!(first_size("us-ca", "ocean", "rock").0, 101.6);
}

/// Over every area and kind of every pack, with whatever is measured: keep rests on seen sizes only.
#[test]
fn no_size_from_memory_keeps_a_crab() {
    let (mut keeps, mut held_back) = (0, 0);
    for pack in all() {
        for entry in shellspan::rules::search(std::slice::from_ref(&pack), "") {
            for species in &entry.species {
                let rule = RuleInForce::find(&pack, &entry.choice.area, species).expect("a rule");
                let has_memory = rule.facts.sizes.iter().any(|size| {
                    let is_memory = |mark| mark != Mark::Seen;
                    size.min.as_ref().is_none_or(|min| is_memory(min.mark))
                        || (is_memory(size.dimension.mark)
                            && !matches!(size.min.as_ref().and_then(|min| min.known()), Some(Bound::None)))
                });
                for sex in [Sex::Male, Sex::Female] {
                    for dimension in [Dimension::Notch, Dimension::Tips, Dimension::Widest] {
                        let crab = Crab::of(species, sex).wide(290.0, dimension);
                        let outcome = crab.decide(&rule);
                        let Some(verdict) = outcome.verdict() else { continue };
                        if verdict.call() != Call::Keep {
                            held_back += usize::from(has_memory);
                            continue;
                        }
                        keeps += 1;
                        let sized = verdict.reasons().iter().filter(|reason| {
                            matches!(reason.finding, Finding::SizeByPhoto { .. } | Finding::NoSizeLimit)
                        });
                        for reason in sized {
                            let mark = reason.rule.as_ref().map(|rule| rule.mark);
                            assert_eq!(mark, Some(Mark::Seen), "{} {species}", pack.id);
                        }
                    }
                }
            }
        }
    }
    assert!(keeps >= 10 && held_back >= 50, "{keeps} kept, {held_back} held back");
}

/// Texts and sections that facts were read in stand beside these facts, and not beside others of the same page.
#[test]
fn sections_of_one_text_are_told_apart() {
    let washington = load("us-wa");
    let section = |key: &str| washington.sources[key].section.as_str();
    let state = rule("us-wa", "statewide", "dungeness").facts;
    let sound = rule("us-wa", "puget-sound", "dungeness").facts;
    let of = |source: &Option<String>| section(source.as_deref().expect("a source")).to_owned();
    assert_eq!(of(&state.parts[0].source), "'Crabs must be sorted' panel");
    assert_eq!(of(&state.shell[0].source), "crab, soft-shell");
    let season = |words: &str| {
        let found = sound
            .season
            .iter()
            .find(|fact| fact.known().is_some_and(|season| season.words.starts_with(words)));
        of(&found.expect("the entry").source)
    };
    assert_eq!(season("Winter reopening of 2023"), "'Action'");
    let late = sound
        .record
        .iter()
        .find(|fact| fact.known().is_some_and(|duty| duty.words.starts_with("Late or no report")));
    assert_eq!(of(&late.expect("the duty").source), "'Reporting catch'");
    // DAERA consultation, overview: 5 crabs and 1 lobster a day; 5 pots.
    let pots = rule("uk-nir", "northern-ireland", "brown").facts.gear;
    let words: Vec<_> = pots.iter().filter_map(|fact| fact.known().map(InWords::in_words)).collect();
    assert_eq!(words, ["at most 5 pots; for whom is not stated"]);
}
