//! The house: which room may know which, and that the core knows no browser, clock or file.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The crate's source files, with their place below `src`.
fn sources() -> Vec<(PathBuf, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut open = vec![src.clone()];
    let mut found = Vec::new();
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).expect("a folder of src").map(|entry| entry.expect("an entry")) {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let text = fs::read_to_string(&path).expect("a source file");
                found.push((path.strip_prefix(&src).expect("below src").to_owned(), text));
            }
        }
    }
    found.sort();
    found
}

/// What is compiled into the program: no comments, nothing from the first test module on.
fn code(text: &str) -> String {
    let lines = text.lines().take_while(|line| line.trim() != "#[cfg(test)]");
    lines.filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// The room a file belongs to: the first folder, or the file's own name.
fn room(path: &Path) -> String {
    let first = path.components().next().expect("a name").as_os_str().to_string_lossy();
    first.trim_end_matches(".rs").to_owned()
}

/// The rooms in the reading order that `lib.rs` promises, the lowest first.
fn reading_order() -> BTreeMap<String, usize> {
    let lib = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).expect("lib.rs");
    let listed = lib
        .lines()
        .filter_map(|line| line.strip_prefix("//! - "))
        .take_while(|line| line.contains("`: ") || line.contains("`]: "));
    listed
        .filter_map(|line| {
            line.trim_start_matches('[').strip_prefix('`')?.split('`').next().map(str::to_owned)
        })
        .enumerate()
        .map(|(floor, name)| (name, floor))
        .collect()
}

/// Names that follow `crate::`, each alone or in braces.
fn rooms_named(code: &str) -> Vec<String> {
    let mut named = Vec::new();
    for rest in code.split("crate::").skip(1) {
        let first =
            |text: &str| text.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect::<String>();
        match rest.strip_prefix('{') {
            Some(group) => {
                let group = group.split("};").next().unwrap_or_default();
                named.extend(group.split(',').map(|part| first(part.trim_start())));
            }
            None => named.push(first(rest)),
        }
    }
    named
}

#[test]
fn no_room_imports_one_that_is_read_later() {
    let floors = reading_order();
    assert!(floors.len() >= 20, "the list in lib.rs was read: {floors:?}");
    let mut upward = Vec::new();
    for (path, text) in sources() {
        let own = room(&path);
        if own == "bin" || own == "lib" {
            continue;
        }
        let floor = *floors.get(&own).unwrap_or_else(|| panic!("lib.rs lists every room: {own}"));
        for named in rooms_named(&code(&text)) {
            if floors.get(&named).is_some_and(|&other| other > floor) {
                upward.push(format!("{} imports {named}", path.display()));
            }
        }
    }
    assert_eq!(upward, Vec::<String>::new());
}

#[test]
fn the_core_knows_no_browser_clock_or_file() {
    const BROWSER: [&str; 6] = ["web_sys", "js_sys", "wasm_bindgen", "gloo", "idb::", "yew"];
    const MACHINE: [&str; 8] = [
        "std::fs",
        "std::net",
        "std::env",
        "std::process",
        "Instant",
        "SystemTime",
        "Zoned::now",
        "Timestamp::now",
    ];
    let mut found = Vec::new();
    for (path, text) in sources() {
        let (room, code) = (room(&path), code(&text));
        if room == "bin" {
            continue;
        }
        let may_know_browser =
            ["page", "store"].contains(&room.as_str()) || path == Path::new("worker/service.rs");
        let forbidden = MACHINE.iter().chain(BROWSER.iter().filter(|_| !may_know_browser));
        for name in forbidden.filter(|name| code.contains(**name)) {
            found.push(format!("{} knows {name}", path.display()));
        }
    }
    assert_eq!(found, Vec::<String>::new());
}
