//! Every pack of `www/rules` against the published figures, each written here anew from its source.

mod america_east;
mod america_west;
mod australia;
mod europe;
mod gear;
mod saying;
mod search;
mod traps;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use saying::{load, says};
use serde_json::Value;
use shellspan::rules::{self, Mark, Pack};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("www/rules")
}

/// Names of the packs that stand in the folder, whatever the list says.
fn names() -> BTreeSet<String> {
    std::fs::read_dir(folder())
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".json"))
        .filter(|name| !["schema.json", "species.json", "index.json"].contains(&name.as_str()))
        .map(|name| name.trim_end_matches(".json").to_owned())
        .collect()
}

pub fn all() -> Vec<Pack> {
    names().iter().map(|name| load(name)).collect()
}

/// A row: pack, area, species, what it says. Every line must be said; sizes and limits no more than these.
type Row = (&'static str, &'static str, &'static str, &'static [&'static str]);

#[track_caller]
fn check(rows: &[Row]) {
    let mut wrong = Vec::new();
    for (pack, area, species, expected) in rows {
        let found = says(pack, area, species);
        for line in *expected {
            if !found.iter().any(|said| said == line) {
                wrong.push(format!("{pack} {area} {species}: `{line}` is not among {found:#?}"));
            }
        }
        for kind in ["size", "limit"] {
            let count = |lines: &[String]| lines.iter().filter(|line| line.starts_with(kind)).count();
            let wanted: Vec<String> = expected.iter().map(|line| (*line).to_owned()).collect();
            if count(&wanted) > 0 && count(&found) != count(&wanted) {
                wrong.push(format!("{pack} {area} {species}: another number of {kind} lines in {found:#?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_pack_validates_and_round_trips() {
    let names = names();
    assert!(names.len() >= 30, "{names:?}");
    for name in names {
        let pack = load(&name);
        assert_eq!(pack.id, name);
        assert_eq!(pack.jurisdiction.to_lowercase(), name);
        let again = rules::read_pack(&rules::write_pack(&pack)).expect("what is written can be read");
        assert_eq!(pack, again, "{name}");
    }
}

#[test]
fn the_list_of_packs_names_every_pack() {
    let text = std::fs::read_to_string(folder().join("index.json")).expect("the list");
    let list: Vec<String> = serde_json::from_str(&text).expect("a list of files");
    let listed: BTreeSet<String> =
        list.iter().map(|file| file.trim_end_matches(".json").to_owned()).collect();
    assert_eq!(listed, names());
    assert_eq!(list.len(), listed.len());
}

/// Calls `visit` for every object with a mark in the areas of a pack.
fn cited(value: &Value, visit: &mut dyn FnMut(&serde_json::Map<String, Value>)) {
    match value {
        Value::Object(object) => {
            if object.contains_key("mark") {
                visit(object);
            }
            object.values().for_each(|value| cited(value, visit));
        }
        Value::Array(list) => list.iter().for_each(|value| cited(value, visit)),
        _ => {}
    }
}

/// A fact that was seen names a text that can be opened, with its date ("page undated" where it has none).
#[test]
fn every_seen_fact_has_a_title_an_address_and_a_date() {
    for pack in all() {
        let value = serde_json::to_value(&pack.areas).expect("a value");
        cited(&value, &mut |fact| {
            if fact["mark"] != "seen" {
                return;
            }
            let key = fact["source"].as_str().expect("a source");
            let source = &pack.sources[key];
            assert!(
                !source.title.is_empty() && !source.date.is_empty() && source.address.starts_with("http"),
                "{} {key}",
                pack.id
            );
        });
    }
}

#[test]
fn every_source_is_used_and_no_source_stands_twice() {
    for pack in all() {
        let mut used = BTreeSet::new();
        let value = serde_json::to_value(&pack.areas).expect("a value");
        cited(&value, &mut |fact| {
            used.extend(fact.get("source").and_then(Value::as_str).map(str::to_owned));
        });
        let known: BTreeSet<String> = pack.sources.keys().cloned().collect();
        assert_eq!(used, known, "{}", pack.id);
        let texts: BTreeSet<_> =
            pack.sources.values().map(|s| (&s.title, &s.section, &s.date, &s.address)).collect();
        assert_eq!(texts.len(), pack.sources.len(), "{}", pack.id);
    }
}

/// Where the dimension is not known or not stated, nothing is measured by photo.
#[test]
fn a_size_without_landmarks_is_never_measured_by_photo() {
    let mut not_stated = 0;
    for pack in all() {
        for rule in pack.areas.iter().flat_map(|area| &area.rules) {
            for size in &rule.facts.sizes {
                let by_photo = size.dimension.known().and_then(|known| known.by_photo());
                if size.landmarks.is_none() {
                    not_stated += 1;
                    let has_figure = size.min.as_ref().is_some_and(|min| {
                        matches!(min.known(), Some(shellspan::rules::facts::Bound::At(_)))
                    });
                    // A dimension without landmarks in words is at most from memory.
                    let is_sure = by_photo.is_some() && size.dimension.mark == Mark::Seen;
                    assert!(!(has_figure && is_sure), "{} {}", pack.id, rule.species);
                }
            }
        }
    }
    assert!(not_stated > 5);
}
