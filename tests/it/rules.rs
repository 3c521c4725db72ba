//! Packs: the built-in one, the schema beside it, and files with mistakes.

use std::path::Path;

use shellspan::rules::{self, RuleInForce};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A small pack that is right: what tests make wrong.
pub const PLAIN: &str = r#"{
  "format": 1, "id": "our-bay", "country": "Test", "jurisdiction": "TEST", "name": "Our bay",
  "checked": "2026-06-01", "sources": { "s": { "title": "A source" } },
  "areas": [{
    "id": "bay", "name": "The bay",
    "place": { "latitude_deg": 48.1, "longitude_deg": -122.8 },
    "rules": [{ "species": "blue", "facts": {
      "sizes": [{ "dimension": { "value": "tips", "mark": "seen", "source": "s" },
        "min": { "value": { "at": { "exact": "165 mm", "published": "165 mm" } }, "mark": "seen", "source": "s" }
      }],
      "limits": [{
        "amount": { "value": { "crabs": 5 }, "mark": "seen", "source": "s" },
        "holder": { "value": "person", "mark": "seen", "source": "s" }, "per": "day"
      }]
    } }]
  }]
}
"#;

/// Every pack in `www/rules`.
pub fn packs() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(root().join("www/rules")).expect("the folder") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        if name.ends_with(".json") && !["schema.json", "species.json", "index.json"].contains(&name.as_str())
        {
            found.push((name, std::fs::read_to_string(&path).expect("a text")));
        }
    }
    found.sort();
    assert!(!found.is_empty());
    found
}

#[test]
fn every_pack_loads_and_round_trips() {
    for (name, text) in packs() {
        let pack = rules::read_pack(&text).unwrap_or_else(|mistakes| {
            let lines: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
            panic!("{name}:\n{}", lines.join("\n"))
        });
        assert_eq!(name, format!("{}.json", pack.id));
        let again = rules::read_pack(&rules::write_pack(&pack)).expect("what is written can be read");
        assert_eq!(pack, again, "{name}");
    }
}

#[test]
fn every_area_of_every_pack_has_rules_in_force() {
    for (name, text) in packs() {
        let pack = rules::read_pack(&text).expect("a pack");
        for entry in rules::search(std::slice::from_ref(&pack), "") {
            assert!(!entry.species.is_empty(), "{name} {}", entry.choice.area);
            for species in &entry.species {
                let rule = RuleInForce::find(&pack, &entry.choice.area, species).expect("a rule");
                assert!(rule.is_named, "{name} {species}");
                assert!(rule.species_info.is_some(), "{name} {species}");
            }
        }
    }
}

/// Run with `SHELLSPAN_WRITE=1` to write the file anew.
#[test]
fn the_published_schema_is_current() {
    let path = root().join("www/rules/schema.json");
    let now = rules::schema::pack_schema_text();
    if std::env::var_os("SHELLSPAN_WRITE").is_some() {
        std::fs::write(&path, &now).expect("written");
    }
    let stored = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(stored == now, "www/rules/schema.json is old: run this test with SHELLSPAN_WRITE=1");
}

#[test]
fn the_built_in_species_are_whole() {
    let species = rules::built_in_species();
    for id in ["dungeness", "red-rock", "blue", "brown", "green"] {
        assert!(species.iter().any(|info| info.id == id), "{id}");
    }
    for info in &species {
        assert!(!info.names.is_empty() && !info.tell_tales.is_empty(), "{}", info.id);
        for other in &info.look_alikes {
            assert!(species.iter().any(|info| info.id == *other) || other == "velvet", "{other}");
        }
    }
}

/// Every mistake of every file in `tests/bad/rules`, as a person reads it. Run with `SHELLSPAN_WRITE=1` to
/// write the table anew, and read what changed.
#[test]
fn bad_files_tell_every_mistake_with_field_and_line() {
    let folder = root().join("tests/bad/rules");
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .collect();
    names.sort();
    assert!(names.len() >= 9);
    let mut table = String::new();
    for path in names {
        let text = std::fs::read_to_string(&path).expect("a text");
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let report = rules::check_report(&text);
        assert!(!report.is_sound(), "{name}");
        table += &report.to_text(&name);
    }
    let stored = folder.join("messages.txt");
    if std::env::var_os("SHELLSPAN_WRITE").is_some() {
        std::fs::write(&stored, &table).expect("written");
    }
    let expected = std::fs::read_to_string(&stored).unwrap_or_default();
    assert!(table == expected, "messages changed:\n{table}");
}

/// Each pack cut at many lengths is refused, never a panic.
#[test]
fn a_pack_cut_anywhere_is_refused() {
    let text = rules::load::BUILT_IN.trim_end();
    for cut in (0..text.len()).step_by(97) {
        if let Some(part) = text.get(..cut) {
            assert!(rules::read_pack(part).is_err(), "cut at {cut}");
        }
    }
}

#[test]
fn the_report_lists_each_figure_with_mark_and_source() {
    let report = rules::check_report(rules::load::BUILT_IN).to_text("us-wa.json");
    for line in [
        "min size    seen     at least 6 1/4 in  [WDFW rule reminder",
        "limit       seen     5 crabs per person a day",
        "holder      memory   person",
        "possession  unknown  not known: Possession limit",
    ] {
        assert!(report.contains(line), "{line}\n{report}");
    }
}
