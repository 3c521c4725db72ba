//! The drawings: true to the model, well-formed, and told in words that do not give the answer away.

use proptest::prelude::*;
use shellspan::practice::crab::{Crab, Firmness};
use shellspan::practice::draw::{Look, draw, passes};
use shellspan::practice::kinds::KINDS;
use shellspan::practice::outline::Outline;
use shellspan::practice::water::Grounds;
use shellspan::rules::when::Sex;
use shellspan::terms::Dimension;

use super::{PUGET_SOUND, WATERS, crabs, grounds};
use crate::drawings::fault_of_form;

const GAUGE: Look = Look::Gauge { gap_mm: 158.75, at: Dimension::Notch };
const LOOKS: [Look; 7] =
    [Look::Top, Look::Belly, Look::Edge, Look::Claw, Look::PressJoint, Look::PressBack, GAUGE];

thread_local! {
    static GROUNDS: Vec<Grounds> = WATERS.iter().map(|at| grounds(*at)).collect();
}

fn any_crab() -> impl Strategy<Value = Crab> {
    (0..10_000_u64, 0..500_u32, 0..WATERS.len()).prop_map(|(seed, number, water)| {
        GROUNDS.with(|all| Crab::of(seed, number, &all[water]).expect("the water has crabs").0)
    })
}

/// A place as the drawing writes it: hundredths of a millimetre, y down.
fn written([x, y]: [f64; 2]) -> String {
    let short = |value: f64| {
        let text = format!("{value:.2}");
        let text = text.trim_end_matches('0').trim_end_matches('.').to_owned();
        if text == "-0" { "0".to_owned() } else { text }
    };
    format!("L{} {}", short(x), short(-y))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_drawn_points_are_those_of_the_model(crab in any_crab()) {
        let svg = draw(&crab, Look::Top).svg;
        for dimension in [Dimension::Notch, Dimension::Tips] {
            let [x, y] = crab.outline.place(dimension);
            prop_assert!(svg.contains(&written([x, y])), "right {dimension:?} in {svg}");
            prop_assert!(svg.contains(&written([-x, y])), "left {dimension:?} in {svg}");
            prop_assert!((2.0 * x - crab.width_mm(dimension)).abs() < 1e-9);
        }
    }

    #[test]
    fn every_drawing_is_sound_and_named(crab in any_crab()) {
        for look in LOOKS {
            let drawn = draw(&crab, look);
            prop_assert_eq!(fault_of_form(&drawn.svg), None);
            prop_assert!(drawn.svg.contains("role=\"img\""));
            let title = format!("<title>{}</title>", drawn.words);
            prop_assert!(drawn.svg.contains(&title), "{}", drawn.svg);
            prop_assert!(!drawn.svg.contains("style") && !drawn.svg.contains("NaN"), "{}", drawn.svg);
            prop_assert!(drawn.svg.len() < 40_000, "{look:?}: {} bytes", drawn.svg.len());
        }
    }

    #[test]
    fn the_words_tell_what_is_seen_and_not_what_follows(crab in any_crab()) {
        for look in LOOKS {
            let words = draw(&crab, look).words.to_lowercase();
            let told = ["keep", "release", "male", "female", "short", "legal", "soft", "hard", "dungeness", "of size", "too"];
            for word in words.split(|letter: char| !letter.is_alphabetic()) {
                prop_assert!(!told.contains(&word), "{word} in {words}");
            }
            prop_assert!(words.len() > 30, "{words}");
        }
    }

    #[test]
    fn the_gauge_is_drawn_as_it_falls(crab in any_crab(), gap_mm in 40.0..220.0_f64) {
        for at in [Dimension::Notch, Dimension::Tips] {
            let words = draw(&crab, Look::Gauge { gap_mm, at }).words;
            prop_assert_eq!(words.contains("goes over"), crab.width_mm(at) < gap_mm);
            prop_assert_eq!(passes(&crab, gap_mm, at), crab.width_mm(at) < gap_mm);
        }
    }
}

#[test]
fn a_shell_gives_way_where_its_stage_says() {
    for (crab, _) in crabs(4, 120, &grounds(PUGET_SOUND)) {
        let dents = |look| draw(&crab, look).words.contains("dents");
        let expected = match crab.firmness {
            Firmness::Hard => (false, false),
            Firmness::Springy => (true, false),
            Firmness::Soft => (true, true),
        };
        assert_eq!((dents(Look::PressJoint), dents(Look::PressBack)), expected);
        // The dent is drawn too, not only told.
        assert_eq!(draw(&crab, Look::PressJoint).svg.contains("stroke-dasharray"), expected.0);
    }
}

/// Source: California Department of Fish and Wildlife, page on the Dungeness crab and its relatives: the flap is much
/// broader in the female. Measured on the drawing: the widest place of the thickest line over the breast.
#[test]
fn the_flap_of_a_female_is_drawn_twice_as_broad() {
    let grounds = grounds(PUGET_SOUND);
    let all = crabs(2, 80, &grounds);
    let share = |sex: Sex| {
        let of_sex: Vec<f64> = all
            .iter()
            .filter(|(crab, _)| crab.sex == sex && crab.kind.id == "dungeness")
            .map(|(crab, _)| flap_half_mm(&draw(crab, Look::Belly).svg) / crab.outline.tip[0])
            .collect();
        assert!(of_sex.len() > 5);
        of_sex.iter().sum::<f64>() / of_sex.len() as f64
    };
    assert!(share(Sex::Female) > 2.0 * share(Sex::Male), "{} {}", share(Sex::Female), share(Sex::Male));
}

/// The largest x of the shape filled in the flap's colour.
fn flap_half_mm(svg: &str) -> f64 {
    let end = svg.find("Z\" fill=\"#f8eed8\"").expect("the flap is drawn");
    let start = svg[..end].rfind("d=\"M").expect("its path") + 4;
    svg[start..end]
        .split('L')
        .filter_map(|place| place.split(' ').next()?.parse::<f64>().ok())
        .fold(0.0, f64::max)
}

/// The kinds of one water differ in what a close look shows.
#[test]
fn kinds_that_meet_in_a_water_can_be_told_apart_by_tips_and_teeth() {
    for at in WATERS {
        let grounds = grounds(at);
        let told: Vec<(&str, String)> = grounds
            .all()
            .map(|ground| {
                let kind = ground.kind;
                (kind.id, format!("{:?} {} {}", kind.tips.value, kind.teeth.value, kind.front.value))
            })
            .collect();
        for (place, (id, words)) in told.iter().enumerate() {
            assert!(told[..place].iter().all(|(_, other)| other != words), "{id} at {at:?}");
        }
    }
}

#[test]
fn every_kind_is_drawn_wider_than_long_and_symmetric() {
    for kind in KINDS {
        let outline = Outline::new(&kind.shape, Dimension::Tips, 100.0);
        let whole = outline.whole();
        for [x, y] in &whole {
            assert!(
                whole
                    .iter()
                    .any(|[other_x, other_y]| (other_x + x).abs() < 1e-9 && (other_y - y).abs() < 1e-9),
                "{}",
                kind.id
            );
        }
        let [front, back] = outline.front_and_back();
        let share = (front - back) / outline.width_mm(Dimension::Tips);
        // Source: MASS `crabs` (Campbell and Mahon 1974) has 0.83 to 0.95 for a shore crab; cancrids are broader, and
        // spines make a blue crab's share least (common practice).
        assert!((0.35..0.9).contains(&share), "{}: {share}", kind.id);
    }
}
