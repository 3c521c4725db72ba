//! Mistakes come back, the score counts, and what is kept is read again.

use jiff::ToSpan;
use shellspan::decide::Call;
use shellspan::practice::course::{Act, Course, ROUND};
use shellspan::practice::desk::{Desk, Question, WaterText};
use shellspan::practice::draw::Look;
use shellspan::practice::judge::Why;
use shellspan::practice::view::{self, Block, blocks};
use shellspan::practice::water::Grounds;
use shellspan::rules::write_pack;
use shellspan::terms::Dimension;

use super::{PUGET_SOUND, TODAY, WATERS, grounds, water};

const PLACE: &str = "us-wa/puget-sound";

fn begun(grounds: &Grounds) -> Course {
    let mut course = Course::new(3, PLACE);
    course.act(&Act::Open(0), grounds, TODAY);
    course
}

/// Answers the crab in hand, rightly or by keeping or letting go what should not be.
fn answer(course: &mut Course, grounds: &Grounds, rightly: bool) -> u32 {
    let (crab, truth) = course.crab(grounds).expect("a crab in hand");
    let right = (truth.call != Call::Keep).then(|| truth.fails[0]);
    let why = if rightly {
        right
    } else if right.is_some() {
        None
    } else {
        Some(Why::Shell)
    };
    course.act(&Act::Kind(crab.kind.id.into()), grounds, TODAY);
    course.act(&Act::Say(why), grounds, TODAY);
    let number = crab.number;
    course.act(&Act::Next, grounds, TODAY);
    number
}

#[test]
fn mistakes_come_again_after_the_round_until_they_are_right() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    let wrong = [answer(&mut course, &grounds, false), answer(&mut course, &grounds, false)];
    for _ in 2..ROUND {
        assert!(!course.now.as_ref().is_some_and(|now| now.again), "fresh ones to the end of the round");
        answer(&mut course, &grounds, true);
    }
    let mut again = Vec::new();
    for rightly in [false, true, true] {
        assert!(course.now.as_ref().is_some_and(|now| now.again));
        again.push(answer(&mut course, &grounds, rightly));
    }
    let mut expected = wrong.to_vec();
    expected.sort_unstable();
    assert_eq!(again[1..], if again[0] == again[1] { expected.clone() } else { again[1..].to_vec() });
    assert!(again.iter().all(|number| wrong.contains(number)));
    assert!(!course.now.as_ref().is_some_and(|now| now.again), "the next round is fresh");
    assert_eq!((course.tally.crabs, course.tally.repeated, course.tally.repeated_right), (ROUND, 3, 2));
    // SM-2: the next day, and not before.
    let (later, tomorrow) = (course.items.clone(), TODAY + 1.day());
    assert!(later.iter().all(|(_, item)| !item.is_due(TODAY) && item.is_due(tomorrow)));
    course.act(&Act::Next, &grounds, tomorrow);
    assert!(course.now.as_ref().is_some_and(|now| now.again), "on the next day they come first");
}

#[test]
fn no_fresh_crab_comes_twice() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    let mut seen = Vec::new();
    for turn in 0..60 {
        let is_fresh = course.now.as_ref().is_some_and(|now| !now.again);
        let number = answer(&mut course, &grounds, turn % 7 != 3);
        if is_fresh {
            assert!(!seen.contains(&number), "{number} twice");
            seen.push(number);
        }
    }
    assert!(seen.len() > 40);
}

#[test]
fn costly_errors_are_counted_by_what_forbade_the_crab() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    let mut expected = [0_u32; 5];
    for _ in 0..30 {
        let (_, truth) = course.crab(&grounds).expect("a crab in hand");
        let is_fresh = course.now.as_ref().is_some_and(|now| !now.again);
        if is_fresh && truth.call == Call::Release {
            for why in &truth.fails {
                expected[Why::ALL.iter().position(|known| known == why).expect("one of them")] += 1;
            }
        }
        // All are kept: what is let go wrongly is not.
        let rightly = truth.call == Call::Keep;
        answer(&mut course, &grounds, rightly);
    }
    assert_eq!(course.tally.kept, expected);
    let costly = course.tally.costly();
    assert_eq!(costly.first().map(|(why, _)| *why), Some(Why::Size), "a short one first: {costly:?}");
    assert_eq!(course.level(), 1);
    course.act(&Act::Sheet, &grounds, TODAY);
    let shown = blocks(&course, &grounds, &water(PUGET_SOUND));
    let first_table = shown.iter().find_map(|block| match block {
        Block::Table { rows, .. } => Some(rows.clone()),
        _ => None,
    });
    let first = first_table.and_then(|rows| rows.first().cloned()).expect("a row");
    assert_eq!(first, ["Kept one that is not of size".to_owned(), expected[4].to_string()]);
}

#[test]
fn what_is_kept_is_read_again_to_the_last_word() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    for turn in 0..8 {
        answer(&mut course, &grounds, turn % 3 != 0);
    }
    assert_eq!(Course::read(&course.write(), PLACE), Some(course.clone()));
    // Another water has other crabs; what cannot be read is none.
    assert_eq!(Course::read(&course.write(), "us-or/ocean"), None);
    for rubbish in
        ["", "{}", "[1]", &course.write()[..40], &course.write().replace("\"version\":1", "\"version\":9")]
    {
        assert_eq!(Course::read(rubbish, PLACE), None, "{rubbish}");
    }
}

#[test]
fn a_seed_begins_anew_and_a_class_gets_the_same_crabs() {
    let grounds = grounds(PUGET_SOUND);
    let (mut one, mut other) = (begun(&grounds), Course::new(99, PLACE));
    answer(&mut one, &grounds, true);
    for course in [&mut one, &mut other] {
        course.act(&Act::Seed(" 0815 ".into()), &grounds, TODAY);
    }
    assert_eq!(one, other);
    assert_eq!((one.seed, one.tally.crabs), (815, 0));
    let before = one.clone();
    one.act(&Act::Seed("no number".into()), &grounds, TODAY);
    assert_eq!(one, before, "words are no seed");
}

#[test]
fn nothing_said_twice_counts_twice_and_nothing_counts_before_the_kind_is_said() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    course.act(&Act::Say(None), &grounds, TODAY);
    assert_eq!(course.tally.crabs, 0);
    course.act(&Act::Kind("dungeness".into()), &grounds, TODAY);
    course.act(&Act::Say(None), &grounds, TODAY);
    course.act(&Act::Say(Some(Why::Sex)), &grounds, TODAY);
    course.act(&Act::Kind("graceful".into()), &grounds, TODAY);
    assert_eq!(course.tally.crabs, 1);
    assert_eq!(course.now.and_then(|now| now.kind).as_deref(), Some("dungeness"));
}

/// Where the rule measures at the widest place a gauge can be held there; where it does not, not.
#[test]
fn a_gauge_is_held_where_the_rule_measures() {
    let mut widest = 0;
    for at in WATERS {
        let grounds = grounds(at);
        let mut course = Course::new(3, PLACE);
        course.act(&Act::Open(0), &grounds, TODAY);
        for ground in grounds.all().filter(|ground| !ground.limits.is_empty()) {
            course.act(&Act::Kind(ground.kind.id.into()), &grounds, TODAY);
            let shown = blocks(&course, &grounds, &water(at));
            let buttons = shown.iter().flat_map(|block| match block {
                Block::Choices { buttons, .. } => buttons.clone(),
                _ => Vec::new(),
            });
            let held: Vec<Dimension> = buttons
                .filter_map(|button| match Act::of(&button.act) {
                    Some(Act::Look(Look::Gauge { at, .. })) => Some(at),
                    _ => None,
                })
                .collect();
            for limit in &ground.limits {
                assert!(held.contains(&limit.dimension), "{} at {at:?}: {held:?}", ground.kind.id);
            }
            let names_widest = ground.limits.iter().any(|limit| limit.dimension == Dimension::Widest);
            assert_eq!(held.contains(&Dimension::Widest), names_widest, "{} at {at:?}", ground.kind.id);
            widest += usize::from(names_widest);
        }
    }
    assert!(widest > 1, "brown and mud crabs are measured at the widest place");
}

#[test]
fn the_certificate_says_that_it_is_no_licence() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    answer(&mut course, &grounds, true);
    course.act(&Act::Certificate("  A. Learner ".into()), &grounds, TODAY);
    let lines = blocks(&course, &grounds, &water(PUGET_SOUND))
        .into_iter()
        .find_map(|block| if let Block::Certificate(lines) = block { Some(lines.join(" ")) } else { None })
        .expect("a certificate");
    for words in
        ["A. Learner sorted 1 drawn crabs", "no licence", "official rule", "All right: 1 of 1", "Washington"]
    {
        assert!(lines.contains(words), "{words} in {lines}");
    }
}

#[test]
fn an_answer_is_explained_by_the_rule_and_its_source() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    {
        for _ in 0..25 {
            let (crab, truth) = course.crab(&grounds).expect("a crab in hand");
            course.act(&Act::Kind(crab.kind.id.into()), &grounds, TODAY);
            course.act(&Act::Say(truth.fails.first().copied()), &grounds, TODAY);
            let shown = blocks(&course, &grounds, &water(PUGET_SOUND));
            assert!(shown.iter().any(|block| matches!(block, Block::Mark { is_right: true, .. })));
            // Whoever hears that it may be kept hears of the season as well, in sight.
            let words = shown.iter().filter_map(|block| match block {
                Block::Words(words) => Some(words.as_str()),
                _ => None,
            });
            let says_season =
                words.clone().any(|words| words.contains("While it is closed every crab goes back"));
            let may_keep = shown
                .iter()
                .any(|block| matches!(block, Block::Mark { words, .. } if words.contains("It may be kept")));
            assert_eq!(says_season, may_keep, "{:?}", words.collect::<Vec<_>>());
            let fold = shown.iter().find_map(|block| match block {
                Block::Fold { summary, words } if summary == "The rule and its source" => {
                    Some(words.join(" "))
                }
                _ => None,
            });
            let fold = fold.expect("the source is one tap away");
            assert!(fold.contains("Not legal advice"), "{fold}");
            let sentence = truth.reasons[0].sentence();
            assert!(shown.contains(&Block::Words(sentence)), "{shown:?}");
            course.act(&Act::Next, &grounds, TODAY);
        }
    }
}

/// A mistake leads to the lesson of what was missed, a right answer to none; every lesson is there.
#[test]
fn a_mistake_leads_to_its_lesson() {
    let grounds = grounds(PUGET_SOUND);
    let mut course = begun(&grounds);
    let mut led = Vec::new();
    for turn in 0..60 {
        let (crab, truth) = course.crab(&grounds).expect("a crab in hand");
        let is_named = turn % 5 != 0;
        let kind = if is_named { crab.kind.id } else { "no such kind" };
        course.act(&Act::Kind(kind.into()), &grounds, TODAY);
        let keeps = turn % 2 == 0;
        course.act(&Act::Say((!keeps).then_some(Why::Eggs)), &grounds, TODAY);
        let shown = blocks(&course, &grounds, &water(PUGET_SOUND));
        let lesson = shown.iter().find_map(|block| match block {
            Block::Lesson(name) => Some(name.clone()),
            _ => None,
        });
        let (_, mark) = course.now.as_ref().and_then(|now| now.judged.clone()).expect("judged");
        assert_eq!(lesson.is_none(), mark.is_right());
        if !is_named {
            assert_eq!(lesson.as_deref(), Some("kinds"));
        } else if let Some(why) = truth.fails.first().filter(|_| lesson.is_some()) {
            assert_eq!(lesson.as_deref(), Some(view::lesson(*why)), "{truth:?}");
        }
        led.extend(lesson);
        course.act(&Act::Next, &grounds, TODAY);
    }
    let listed = include_str!("../../../www/lessons/index.json");
    for why in Why::ALL {
        assert!(listed.contains(&format!("\"name\": \"{}\"", view::lesson(why))), "{why:?}");
    }
    led.sort_unstable();
    led.dedup();
    assert!(led.len() >= 3, "only {led:?} were missed");
}

#[test]
fn the_desk_asks_for_the_water_first_and_then_keeps_what_is_done() {
    let mut desk = Desk::default();
    let mut question = Question { water: None, kept: None, act: "open 12".into(), today: TODAY };
    let told = desk.answer(&question);
    assert!(told.keep.is_none() && told.blocks.contains(&Block::ChooseWater));
    let water = water(PUGET_SOUND);
    question.water = Some(WaterText {
        pack: write_pack(&water.pack),
        area: water.area.clone(),
        confirmations: "[]".into(),
    });
    let told = desk.answer(&question);
    let kept = told.keep.expect("something to keep");
    assert!(
        told.blocks.contains(&Block::Heading("Practice crab 12-".to_owned() + &number(&kept))),
        "{:?}",
        told.blocks[0]
    );
    // Opened again nothing changes, whatever seed is offered.
    let again = desk.answer(&Question { kept: Some(kept.clone()), act: "open 5".into(), ..question.clone() });
    assert_eq!((again.keep, again.blocks), (None, told.blocks));
    let told = desk.answer(&Question { kept: Some(kept), act: "photo".into(), ..question });
    let photo = told.photo.expect("a photo");
    assert_eq!(&photo.png[1..4], b"PNG");
    assert!(photo.points[0][0].distance_px(photo.points[0][1]) > 50.0);
}

fn number(kept: &str) -> String {
    Course::read(kept, PLACE).and_then(|course| course.now).expect("a crab in hand").number.to_string()
}

#[test]
fn an_act_crosses_as_text_and_comes_back() {
    let acts = [
        Act::Photo,
        Act::Next,
        Act::Release,
        Act::Kind("blue".into()),
        Act::Say(Some(Why::Eggs)),
        Act::Say(None),
        Act::Look(Look::Gauge { gap_mm: 158.75, at: Dimension::Notch }),
    ];
    for act in acts {
        assert_eq!(Act::of(&act.text()), Some(act));
    }
    assert_eq!(Act::of("seed 12"), Some(Act::Seed("12".into())));
    assert_eq!(Act::of("name open 1"), Some(Act::Certificate("open 1".into())));
    assert_eq!(Act::of("rubbish"), None);
}
