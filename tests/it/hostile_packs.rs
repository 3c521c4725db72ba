//! Packs as they come from outside: damaged, absurd, made to hurt. Never a panic; every mistake with its line.

use proptest::prelude::*;
use serde_json::{Value, json};
use shellspan::rules::{self, Mistake, RuleInForce};

fn sound() -> Value {
    serde_json::from_str(super::rules::PLAIN).expect("JSON")
}

fn mistakes(bytes: &[u8]) -> Vec<Mistake> {
    match rules::read_pack_bytes(bytes) {
        Ok(_) => Vec::new(),
        Err(mistakes) => mistakes,
    }
}

/// Fields and lines of the mistakes in `text`.
fn places(text: &str) -> Vec<(String, usize)> {
    mistakes(text.as_bytes()).into_iter().map(|mistake| (mistake.field, mistake.line)).collect()
}

#[track_caller]
fn only(text: &str, field: &str, line: usize) {
    assert_eq!(places(text), [(field.to_owned(), line)], "{:?}", mistakes(text.as_bytes()));
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_read() {
    let text = super::rules::PLAIN;
    assert_eq!(places(&format!("\u{feff}{text}")), []);
    let windows = text.replace('\n', "\r\n");
    assert_eq!(places(&windows), []);
    only(&windows.replace("2026-06-01", "2026-02-31"), "checked", 3);
}

#[test]
fn what_is_not_utf_8_is_told_by_its_lines_with_the_rest() {
    let text = super::rules::PLAIN.replace("2026-06-01", "2026-02-31");
    // A letter of ISO 8859-1 in the name of the area.
    let bytes: Vec<u8> = text
        .replace("The bay", "The b\u{1}y")
        .bytes()
        .map(|byte| if byte == 1 { 0xe4 } else { byte })
        .collect();
    let found: Vec<(String, usize)> =
        mistakes(&bytes).into_iter().map(|mistake| (mistake.field, mistake.line)).collect();
    assert_eq!(found, [("checked".to_owned(), 3), ("areas[0].name".to_owned(), 5)]);
    let utf_16: Vec<u8> = [0xff, 0xfe].into_iter().chain(text.bytes().flat_map(|byte| [byte, 0])).collect();
    let found = mistakes(&utf_16);
    assert!(found.len() == 1 && found[0].words.contains("UTF-16"), "{found:?}");
}

#[test]
fn a_file_of_10_mb_is_refused_by_its_size() {
    let large = super::rules::PLAIN.replace("The bay", &"b".repeat(10 << 20));
    let found = mistakes(large.as_bytes());
    assert!(found.len() == 1 && found[0].words.contains(&large.len().to_string()), "{found:?}");
}

#[test]
fn deep_nesting_is_refused() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let deep = format!("{}1{}", open.repeat(100_000), close.repeat(100_000));
        let found = mistakes(deep.as_bytes());
        assert!(found.iter().any(|mistake| mistake.words.contains("recursion")), "{found:?}");
        let inside = super::rules::PLAIN.replace("\"The bay\"", &deep);
        assert!(mistakes(inside.as_bytes()).iter().any(|mistake| mistake.field.starts_with("areas[0].name")));
    }
}

/// Every mistake that stands before the damage is told with it, and what only the rest could clear up is not.
#[test]
fn a_damaged_file_tells_its_other_mistakes_too() {
    let text = super::rules::PLAIN.replace("2026-06-01", "2026-02-31").replace("\"marks\"", "\"mark\"");
    let at = text.find("\"165 mm\"").expect("the size");
    let found = places(&text[..at]);
    let size = "areas[0].rules[0].facts.sizes[0].min.value.at.exact";
    assert_eq!(found, [("checked".to_owned(), 3), (size.to_owned(), 9)]);
    let comma = text.replace("\"id\": \"bay\",", "\"id\": \"The Bay\"");
    assert_eq!(
        places(&comma),
        [("checked".to_owned(), 3), ("areas[0].id".to_owned(), 5), ("areas[0].id".to_owned(), 5)]
    );
}

/// What stands in one field, and the field that is told (with the line of it).
#[test]
fn absurd_values_are_told_by_their_fields() {
    let size = "areas[0].rules[0].facts.sizes[0].min.value.at";
    let rows: [(&str, &str, &str, usize); 13] = [
        ("\"format\": 1", "\"format\": 4294967297", "format", 2),
        ("\"format\": 1", "\"format\": 1e308", "format", 2),
        ("2026-06-01", "2026-02-31", "checked", 3),
        ("2026-06-01", "-002026-06-01", "checked", 3),
        ("\"exact\": \"165 mm\"", "\"exact\": \"-165 mm\"", &format!("{size}.exact"), 9),
        ("\"exact\": \"165 mm\"", "\"exact\": \"1/0 in\"", &format!("{size}.exact"), 9),
        ("\"exact\": \"165 mm\"", "\"exact\": \"99999999999999999999 mm\"", &format!("{size}.exact"), 9),
        ("\"exact\": \"165 mm\"", "\"exact\": 165", &format!("{size}.exact"), 9),
        ("\"crabs\": 5", "\"crabs\": -5", "areas[0].rules[0].facts.limits[0].amount.value.crabs", 12),
        ("\"crabs\": 5", "\"crabs\": 4294967296", "areas[0].rules[0].facts.limits[0].amount.value.crabs", 12),
        ("\"crabs\": 5", "\"crabs\": 2.5", "areas[0].rules[0].facts.limits[0].amount.value.crabs", 12),
        ("48.1", "90.1", "areas[0].place.latitude_deg", 6),
        ("\"The bay\"", "[\"The bay\"]", "areas[0].name", 5),
    ]
    .map(|(from, to, field, line)| (from, to, field.to_owned().leak() as &str, line));
    for (from, to, field, line) in rows {
        let text = super::rules::PLAIN.replace(from, to);
        assert_ne!(text, super::rules::PLAIN, "{from}");
        only(&text, field, line);
    }
    // Both the figure and its print, so that they agree: no crab is so small or so large.
    for absurd in ["0 mm", "1.65 mm", "1650 mm", "1000000 in"] {
        only(&super::rules::PLAIN.replace("165 mm", absurd), &format!("{size}.exact"), 9);
    }
    only(&super::rules::PLAIN.replace("\"areas\": [", "\"areas\": [], \"areas\": ["), "areas", 4);
    let empty = json!({ "format": 1, "id": "x", "country": "x", "jurisdiction": "x", "name": "x",
        "checked": "2026-06-01", "sources": {}, "areas": [] });
    only(&empty.to_string(), "areas", 1);
}

/// A season that runs over New Year is said by days of the year; by dates it must not end before it begins.
#[test]
fn open_days_over_new_year_and_dates_that_run_backwards() {
    let with = |season: Value| {
        let mut pack = sound();
        pack["areas"][0]["rules"][0]["facts"]["season"] =
            json!([{ "value": season, "mark": "seen", "source": "s" }]);
        places(&pack.to_string())
    };
    let days = json!({ "effect": "open", "days": { "from": "11-01", "to": "03-31" }, "words": "Winter." });
    assert_eq!(with(days), []);
    let dates = json!({ "effect": "open", "dates": { "from": "2026-11-01", "to": "2026-03-31" }, "words": "Winter." });
    assert_eq!(with(dates)[0].0, "areas[0].rules[0].facts.season[0].value.dates.to");
    let weekdays = json!({ "effect": "closed", "weekdays": ["Wednesday", "wednesday"], "words": "x" });
    assert_eq!(with(weekdays)[0].0, "areas[0].rules[0].facts.season[0].value.weekdays[0]");
    let hours = json!({ "effect": "open", "hours": { "from": "24:30", "to": "07:00" }, "words": "x" });
    assert_eq!(with(hours)[0].0, "areas[0].rules[0].facts.season[0].value.hours.from");
}

/// A condition that nothing applies would make a figure for some crabs hold for all.
#[test]
fn a_when_that_is_never_applied_is_told() {
    let facts = "/areas/0/rules/0/facts";
    let season = json!([{ "value": { "effect": "open", "words": "x" }, "mark": "seen", "source": "s" }]);
    for place in ["sizes/0/min", "sizes/0/dimension", "limits/0/holder", "season/0"] {
        let mut pack = sound();
        pack.pointer_mut(facts).expect("facts")["season"] = season.clone();
        assert_eq!(places(&pack.to_string()), [], "{place}");
        pack.pointer_mut(&format!("{facts}/{place}")).expect(place)["when"] = json!({ "sex": "female" });
        let found = places(&pack.to_string());
        assert!(found.len() == 1 && found[0].0.ends_with(".when"), "{place}: {found:?}");
    }
    let mut pack = sound();
    for place in ["sizes/0", "limits/0/amount"] {
        pack.pointer_mut(&format!("{facts}/{place}")).expect(place)["when"] = json!({ "sex": "female" });
    }
    assert_eq!(places(&pack.to_string()), []);
}

/// Only closed times have nights: an open one would leave the day open.
#[test]
fn an_open_night_is_told() {
    let with = |effect: &str| {
        let mut pack = sound();
        let season = json!({ "effect": effect, "night": {}, "words": "x" });
        pack["areas"][0]["rules"][0]["facts"]["season"] =
            json!([{ "value": season, "mark": "seen", "source": "s" }]);
        places(&pack.to_string())
    };
    assert_eq!(with("closed"), []);
    assert_eq!(with("open")[0].0, "areas[0].rules[0].facts.season[0].value.night");
}

/// A height of 0 would give the width read off the deck: too wide by a centimetre.
#[test]
fn species_that_stand_twice_or_reach_too_high_are_told() {
    let with = |species: Value| {
        let mut pack = sound();
        pack["species"] = species;
        let fields: Vec<String> = places(&pack.to_string()).into_iter().map(|(field, _)| field).collect();
        fields
    };
    let tall = |k: f64, u: f64| {
        let height = json!({ "value": { "k": k, "u": u }, "source": "x", "mark": "seen" });
        with(json!([{ "id": "bay-crab", "names": ["x"], "height": height }]))
    };
    assert_eq!(tall(0.21, 0.035), [""; 0]);
    assert_eq!(tall(0.0, 0.035), ["species[0].height.value.k"]);
    assert_eq!(tall(1.0, 0.035), ["species[0].height.value.k"]);
    assert_eq!(tall(0.21, 0.0), ["species[0].height.value.u"]);
    let named = |id: &str| json!({ "id": id, "names": ["x"] });
    assert_eq!(with(json!([named("a"), named("a")])), ["species[1].id"]);
    assert_eq!(with(json!([named("any-crab")])), ["species[0].id"]);
    assert_eq!(with(json!([named("A B")])), ["species[0].id"]);
    assert_eq!(with(json!([named("dungeness")])), ["species[0].id"], "the program knows it by itself");
}

/// What is well formed and can never hold, or holds in some years only.
#[test]
fn what_can_never_hold_is_told() {
    let season = "areas[0].rules[0].facts.season";
    let with = |values: Value| {
        let mut pack = sound();
        let facts: Vec<Value> = values
            .as_array()
            .expect("a list")
            .iter()
            .map(|value| json!({ "value": value, "mark": "seen", "source": "s" }))
            .collect();
        pack["areas"][0]["rules"][0]["facts"]["season"] = json!(facts);
        places(&pack.to_string()).into_iter().map(|(field, _)| field).collect::<Vec<String>>()
    };
    let open =
        |from: &str, to: &str| json!({ "effect": "open", "days": { "from": from, "to": to }, "words": "x" });
    // The first Saturday of November is the 1st to the 7th.
    assert_eq!(with(json!([open("11-sat1", "06-30")])), [""; 0]);
    assert_eq!(with(json!([open("11-sat1", "11-08")])), [""; 0]);
    assert_eq!(with(json!([open("11-sat1", "11-05")])), [format!("{season}[0].value.days.to")]);
    assert_eq!(with(json!([open("11-05", "11-sat1")])), [format!("{season}[0].value.days.to")]);
    // 6 July 2026 is a Monday (GNU date).
    let monday = |weekday: &str| {
        json!({
            "effect": "closed", "dates": { "from": "2026-07-06", "to": "2026-07-06" }, "weekdays": [weekday],
            "words": "x"
        })
    };
    assert_eq!(with(json!([monday("monday")])), [""; 0]);
    assert_eq!(with(json!([monday("tuesday")])), [format!("{season}[0].value")]);
    let mut only = open("07-01", "07-31");
    only["effect"] = json!("open-only");
    assert_eq!(with(json!([open("06-01", "08-31"), only.clone()])), [""; 0]);
    assert_eq!(with(json!([open("09-01", "10-31"), only])), [season]);
    let mut pack = sound();
    pack["areas"][0]["rules"][0]["facts"]["sizes"][0]["when"] =
        json!({ "sex": "male", "maturity": "mature" });
    assert_eq!(places(&pack.to_string())[0].0, "areas[0].rules[0].facts.sizes[0].when.maturity");
    let mut pack = sound();
    pack["areas"][0]["rules"][0]["facts"]["limits"][0]["together_with"] = json!(["green", "unheard-of"]);
    let found = places(&pack.to_string());
    assert_eq!(found[0].0, "areas[0].rules[0].facts.limits[0].together_with[1]");
}

#[test]
fn areas_in_a_circle_are_told() {
    let mut pack = sound();
    let area = pack["areas"][0].clone();
    let with = |id: &str, within: &str| {
        let mut area = area.clone();
        (area["id"], area["within"]) = (json!(id), json!(within));
        area
    };
    pack["areas"] = json!([with("a", "b"), with("b", "c"), with("c", "a"), with("d", "a")]);
    let fields: Vec<String> = places(&pack.to_string()).into_iter().map(|(field, _)| field).collect();
    assert_eq!(fields, ["areas[0].within", "areas[1].within", "areas[2].within"]);
}

/// Line ends of old editors; encodings that are not UTF-8, with their byte order marks and without (RFC 4627,
/// section 3).
#[test]
fn lone_carriage_returns_end_lines_and_wide_encodings_are_told() {
    let old = super::rules::PLAIN.replace('\n', "\r");
    assert_eq!(places(&old), []);
    only(&old.replace("2026-06-01", "2026-02-31"), "checked", 3);
    let text = super::rules::PLAIN;
    let wide = |width: usize, is_little: bool, mark: &[u8]| -> Vec<u8> {
        let letter = |byte: u8| {
            let mut bytes = vec![0; width];
            bytes[if is_little { 0 } else { width - 1 }] = byte;
            bytes
        };
        mark.iter().copied().chain(text.bytes().flat_map(letter)).collect()
    };
    for (bytes, name) in [
        (wide(4, true, &[0xff, 0xfe, 0, 0]), "UTF-32"),
        (wide(4, false, &[0, 0, 0xfe, 0xff]), "UTF-32"),
        (wide(4, true, &[]), "UTF-32"),
        (wide(4, false, &[]), "UTF-32"),
        (wide(2, true, &[0xff, 0xfe]), "UTF-16"),
        (wide(2, false, &[]), "UTF-16"),
        (wide(2, true, &[]), "UTF-16"),
    ] {
        let found = mistakes(&bytes);
        assert!(found.len() == 1 && found[0].words.contains(name), "{name}: {found:?}");
    }
}

#[test]
fn a_file_of_mistakes_stays_readable() {
    let wrong: serde_json::Map<String, Value> =
        (0..20_000).map(|at| (format!("colour-{at}"), json!(at))).collect();
    let mut pack = sound();
    pack.as_object_mut().expect("an object").extend(wrong);
    let found = mistakes(pack.to_string().as_bytes());
    assert_eq!(found.len(), 1001);
    assert!(found.iter().any(|mistake| mistake.words == "and 19000 more mistakes"));
}

fn hostile() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(json!(true)),
        Just(json!(-1)),
        Just(json!(1e308)),
        Just(json!(u64::MAX)),
        Just(json!("")),
        Just(json!("2026-02-31")),
        Just(json!("none")),
        Just(json!("999999/1 in")),
        Just(json!([])),
        Just(json!({})),
        Just(json!([[[]]])),
        Just(json!({ "mark": "seen" })),
        ".{0,40}".prop_map(Value::from),
    ]
}

/// Pointers to all values in `value`.
fn pointers(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(object) => {
            for (key, inner) in object {
                let key = key.replace('~', "~0").replace('/', "~1");
                pointers(inner, &format!("{at}/{key}"), found);
            }
        }
        Value::Array(list) => {
            list.iter()
                .enumerate()
                .for_each(|(index, inner)| pointers(inner, &format!("{at}/{index}"), found));
        }
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// One or two hostile values anywhere in any pack: read or refused, and what is read can be decided by.
    #[test]
    fn hostile_values_anywhere_never_panic(
        pack in 0usize..64, places in proptest::collection::vec((any::<prop::sample::Index>(), hostile()), 1..3),
    ) {
        let packs = super::rules::packs();
        let (_, text) = &packs[pack % packs.len()];
        let mut value: Value = serde_json::from_str(text).expect("JSON");
        for (place, hostile) in places {
            let mut all = Vec::new();
            pointers(&value, "", &mut all);
            if let Some(slot) = value.pointer_mut(&all[place.index(all.len())]) {
                *slot = hostile;
            }
        }
        let text = serde_json::to_string_pretty(&value).expect("text");
        let count = text.lines().count();
        match rules::read_pack_bytes(text.as_bytes()) {
            Ok(pack) => {
                for entry in rules::search(std::slice::from_ref(&pack), "") {
                    for kind in &entry.species {
                        let rule = RuleInForce::find(&pack, &entry.choice.area, kind).expect("a rule");
                        super::decide_properties::decided_at_least_once(&rule);
                    }
                }
            }
            Err(mistakes) => {
                prop_assert!(!mistakes.is_empty());
                for mistake in mistakes {
                    prop_assert!((1..=count).contains(&mistake.line), "{mistake}");
                    prop_assert!(!mistake.words.is_empty());
                }
            }
        }
    }

    /// Bytes put in, taken out, or turned anywhere: the same.
    #[test]
    fn damaged_bytes_never_panic(
        at in any::<prop::sample::Index>(), bytes in proptest::collection::vec(any::<u8>(), 0..6), cut in 0usize..40,
    ) {
        let mut text = super::rules::PLAIN.as_bytes().to_vec();
        let from = at.index(text.len());
        let to = (from + cut).min(text.len());
        text.splice(from..to, bytes);
        // A lone carriage return ends a line too.
        let lines = String::from_utf8_lossy(&text).replace("\r\n", "\n").split(['\n', '\r']).count();
        for mistake in mistakes(&text) {
            prop_assert!((1..=lines).contains(&mistake.line), "{mistake}");
        }
    }
}
