//! Lessons and practice weigh nothing on the page's start: what they are made of is fetched or runs in the worker.
//!
//! The page's own program is what a first visit waits for. It shows blocks and written lessons; whatever draws a crab,
//! judges an answer or reads a lesson is none of its parts.

use super::*;

/// Every Rust file below `folder`, by its path from the root, with its text.
fn sources(folder: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut open = vec![root().join(folder)];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).expect("a folder of the source") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let name = path.strip_prefix(root()).expect("below the root").to_string_lossy().into_owned();
                found.push((name, fs::read_to_string(&path).expect("a text")));
            }
        }
    }
    assert!(found.len() > 20, "{folder}");
    found
}

/// The names that `text` takes from `room`: of `use crate::practice::desk::{Made, Told};` `desk::Made`, `desk::Told`.
fn taken(text: &str, room: &str) -> Vec<String> {
    let start = format!("crate::{room}::");
    let after = text.split(start.as_str()).skip(1);
    after
        .flat_map(|rest| {
            let path: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || "_:".contains(*c)).collect();
            let list = rest[path.len()..].strip_prefix('{').and_then(|rest| rest.split('}').next());
            match list {
                Some(list) => list.split(',').map(|name| format!("{path}{}", name.trim())).collect(),
                None => vec![path],
            }
        })
        .filter(|name| !name.ends_with("::"))
        .collect()
}

#[test]
fn the_page_takes_of_practice_what_is_shown_and_asked_only() {
    let allowed = [
        "view::Block",
        "view::Choice",
        "course::OPEN",
        "course::PHOTO",
        "desk::Made",
        "desk::Question",
        "desk::Told",
        "desk::WaterText",
    ];
    let mut seen = 0;
    for (name, text) in sources("src/page").into_iter().chain(sources("src/session")) {
        for taken in taken(&text, "practice") {
            assert!(allowed.contains(&taken.as_str()), "{name} takes practice::{taken}: the worker has it");
            seen += 1;
        }
    }
    assert!(seen >= allowed.len(), "{seen}");
}

#[test]
fn the_page_reads_no_lesson_and_carries_none() {
    let mut seen = 0;
    for (name, text) in sources("src/page").into_iter().chain(sources("src/session")) {
        for taken in taken(&text, "lessons") {
            let reads = ["frame", "check", "Lesson", "Listed", "Screenful", "mistakes"];
            let is_reader = reads.iter().any(|part| taken.split("::").any(|word| word == *part));
            assert!(
                !is_reader,
                "{name} takes lessons::{taken}: the build writes lessons, the page fetches them"
            );
            seen += 1;
        }
    }
    assert!(seen > 8, "{seen}");
    for (name, text) in sources("src") {
        assert!(
            !text.contains("www/lessons/")
                || name.starts_with("src/bin/xtask")
                || !text.contains("include_str!"),
            "{name}"
        );
    }
}

#[test]
fn names_are_read_from_every_form_of_use() {
    let text = "use crate::practice::desk::{Made, Told};\nuse crate::practice::view::Block;\nlet a = crate::practice::crab::Crab::of();";
    assert_eq!(taken(text, "practice"), ["desk::Made", "desk::Told", "view::Block", "crab::Crab::of"]);
}
