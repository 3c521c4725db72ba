//! Every number of a lesson is that of the place which holds it.

use super::*;

/// Every number that a lesson says, as it is written.
fn numbers(text: &str) -> Vec<String> {
    let plain = text.replace(['\u{a0}', ',', ';', ':', '?', '(', ')'], " ");
    let tokens = plain.split_whitespace().map(|token| token.trim_end_matches('.'));
    tokens.filter(|token| token.contains(|c: char| c.is_ascii_digit())).map(str::to_owned).collect()
}

fn min_mm(pack: &str, area: &str, kind: &str) -> f64 {
    let pack = rules::read_pack(&text(&format!("www/rules/{pack}.json"))).expect("a pack");
    let rule = RuleInForce::find(&pack, area, kind).expect("a rule");
    let bound = rule.facts.sizes.iter().find_map(|size| size.min.as_ref()?.known().cloned());
    match bound {
        Some(Bound::At(length)) => length.exact.millimetres().0,
        other => panic!("no smallest size: {other:?}"),
    }
}

/// Numbers of the lessons that the house holds itself: name, as written, and what the house says.
fn held() -> Vec<(&'static str, &'static str, f64)> {
    let puget = min_mm("us-wa", "puget-sound", "dungeness");
    let bc = min_mm("ca-bc", "tidal", "dungeness");
    let alaska = min_mm("us-ak", "statewide", "dungeness");
    let ratio = rules::species("dungeness").and_then(|info| info.notch_of_tips).expect("a ratio").value.ratio;
    let flat = Stand { camera_mm: 500.0, tilt_deg: 0.0, edge_mm: 32.0 }.reading().expect("a reading").flat_mm;
    let chance = 100.0 * normal_cdf((160.0 - puget) / 2.0);
    let keep = 100.0 * (1.0 - Risk::default().wrong_keep);
    vec![
        ("where-to-measure", "165", bc),
        ("where-to-measure", "154", (bc * ratio).round()),
        ("where-to-measure", "11", bc - (bc * ratio).round()),
        ("sex-and-eggs", "158.75", puget),
        ("claws", "6", (puget / 25.4).floor()),
        ("claws", "1/4", (puget / 25.4).fract()),
        ("gauge", "6", (puget / 25.4).floor()),
        ("gauge", "1/4", (puget / 25.4).fract()),
        ("gauge", "1/2", (alaska / 25.4).fract()),
        ("card-photo", "85.60", ID1_MM[0]),
        ("card-photo", "53.98", ID1_MM[1]),
        ("card-photo", "158.75", puget),
        ("card-photo", "99", keep),
        ("card-photo", "73", chance.round()),
        ("height", "0.21", HeightPrior::of(Placement::Deck, None).share),
        ("height", "11", flat.round()),
        ("height", "10.9", (10.0 * flat).round() / 10.0),
    ]
}

/// Numbers written again from what the lesson cites, or chosen for a task.
const WRITTEN: [(&str, &[&str]); 8] = [
    // Parts of the drawing.
    ("shell-parts", &["1", "2", "3", "4", "5"]),
    // oregondungeness.org: up to 2.5 million. Research pots, Data/*.csv of the commit: 1279 females, 21.7 % of 158.75 mm or more.
    ("sex-and-eggs", &["2.5", "1279", "22"]),
    // Yochum and others, abstract: 0.092 and 0.012.
    ("hard-or-soft", &["9.2", "1.2"]),
    // Declawing of crabs: 47 % with both claws removed, 28 % of single-claw amputees.
    ("claws", &["28", "47"]),
    // README, How sure it is: 10 to 20 degrees from 50 to 80 cm. The task's own 160 and 2.
    ("card-photo", &["50", "80", "10", "20", "160", "2"]),
    // README: some 3 cm. The sliders' own 50 cm, 32 mm, 1 m. A range of 1.96 standard uncertainties holds 95 in 100.
    ("height", &["3", "50", "32", "1", "95", "100"]),
    // Yochum and others, abstract: 0.080, 0.092, 0.012, 0.009.
    ("letting-go", &["8.0", "9.2", "1.2", "0.9"]),
    // CDPH SN21-009: within 30 minutes to 24 hours.
    ("cautions", &["30", "24"]),
];

#[test]
fn every_number_is_the_one_of_its_place() {
    let held = held();
    let mut open: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (name, lesson) in lessons() {
        let said =
            facts(&lesson).into_iter().map(|fact| fact.says.clone()).chain([lesson.try_it.task.clone()]);
        open.entry(name).or_default().extend(said.flat_map(|says| numbers(&says)));
    }
    for (name, written, value) in held {
        let as_number = match written.split_once('/') {
            Some((over, under)) => {
                over.parse::<f64>().expect("a number") / under.parse::<f64>().expect("a number")
            }
            None => written.parse::<f64>().expect("a number"),
        };
        assert!((as_number - value).abs() < 1e-6, "{name} says {written}, the house {value}");
        assert!(open.get_mut(name).is_some_and(|said| said.remove(written)), "{name} does not say {written}");
    }
    for (name, written) in WRITTEN {
        for number in written {
            assert!(
                open.get_mut(name).is_some_and(|said| said.remove(*number)),
                "{name} does not say {number}"
            );
        }
    }
    open.retain(|_, said| !said.is_empty());
    assert_eq!(open, BTreeMap::new(), "numbers that nothing holds");
    // What the README says of itself is said so in the lessons.
    let readme = text("README.md");
    for words in [
        "some 3 cm above it",
        "by about 11 mm from half a metre",
        "10 to 20 degrees from 50 to 80 cm",
        "0.21 ± 0.035",
    ] {
        assert!(readme.contains(words), "the README no longer says {words:?}");
    }
}

/// Numbers in words: teeth, by the species table; and which rules measure how, by the packs.
#[test]
fn teeth_and_points_are_those_of_the_packs() {
    let teeth = |kind: &str| rules::species(kind).and_then(|info| info.teeth).map(|teeth| teeth.value);
    let said = |name: &str, phrase: &str| {
        let lesson = lesson(name);
        assert!(facts(&lesson).iter().any(|fact| fact.says.contains(phrase)), "{name}: {phrase}");
    };
    assert_eq!((teeth("dungeness"), teeth("green")), (Some(10), Some(5)));
    said("shell-parts", "ten teeth on each side");
    said("kinds", "widest at the tenth, the last");
    said("kinds", "Five teeth on each side");
    for (pack, area, kind, dimension, phrase) in [
        (
            "us-ca",
            "ocean",
            "dungeness",
            rules::MeasuredDimension::Notch,
            "California measures Dungeness crabs so",
        ),
        ("ca-bc", "tidal", "dungeness", rules::MeasuredDimension::Tips, "British Columbia measures so"),
        ("au-nsw", "nsw", "blue-swimmer", rules::MeasuredDimension::Length, "New South Wales measures so"),
    ] {
        let text = text(&format!("www/rules/{pack}.json"));
        let pack = rules::read_pack(&text).expect("a pack");
        let rule = RuleInForce::find(&pack, area, kind).unwrap_or_else(|| panic!("{area}"));
        let found = rule.facts.sizes.iter().find_map(|size| size.dimension.known());
        assert_eq!(found, Some(&dimension), "{area}");
        said("where-to-measure", phrase);
    }
}
