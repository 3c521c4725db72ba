//! The drawings of the page are well-formed, named, free of styles and scripts, and small.
//!
//! The rules come from the Content-Security-Policy (no inline style, no script), from WAI-ARIA
//! (`role="img"` with a name) and from use in sunlight (no thin lines).

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The page shows a dozen drawings at once; above this they would outweigh its own code.
const MOST_BYTES: usize = 12_000;
/// In units of a 240 wide drawing: 1.7 px at the smallest size shown, 160 px.
const THINNEST_STROKE: f64 = 2.5;

/// Where they lie: the verdicts' marks in the program, the others beside it.
fn folders() -> [PathBuf; 2] {
    ["src/page/drawings", "www/drawings"].map(|folder| Path::new(env!("CARGO_MANIFEST_DIR")).join(folder))
}

fn list(folder: PathBuf) -> impl Iterator<Item = PathBuf> {
    let entries = fs::read_dir(folder).expect("the folders of drawings are part of the source");
    entries.map(|entry| entry.expect("readable entry").path())
}

/// Name without ending, and text, of every drawing: the page's own, and those that come with lessons.
fn drawings() -> Vec<(String, String)> {
    let mut found = texts(list(Path::new(env!("CARGO_MANIFEST_DIR")).join("www/lessons")));
    assert!(!found.is_empty(), "no drawing comes with a lesson");
    found.extend(own_drawings());
    found.sort();
    found
}

/// Those that the page shows outside lessons.
fn own_drawings() -> Vec<(String, String)> {
    texts(folders().into_iter().flat_map(list).filter(|path| path.is_dir()).flat_map(list))
}

fn texts(files: impl Iterator<Item = PathBuf>) -> Vec<(String, String)> {
    let mut found: Vec<_> = files
        .filter(|path| path.extension().is_some_and(|ending| ending == "svg"))
        .map(|path| {
            let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
            (name, fs::read_to_string(&path).expect("UTF-8 text"))
        })
        .collect();
    found.sort();
    assert!(!found.is_empty(), "no drawing in {:?}", folders());
    found
}

/// One element's start or end tag, with its attributes.
#[derive(Debug)]
struct Tag {
    name: String,
    is_end: bool,
    is_empty: bool,
    attributes: Vec<(String, String)>,
}

/// Reads the tags of the little XML our drawings use; says what is wrong otherwise.
fn tags(svg: &str) -> Result<Vec<Tag>, String> {
    let mut rest = svg;
    let mut found = Vec::new();
    while let Some(open) = rest.find('<') {
        let (text, after) = rest.split_at(open);
        if text.contains(['>', '&']) {
            return Err(format!("stray > or & in {text:?}"));
        }
        let close = after.find('>').ok_or("a tag without end")?;
        let inside = &after[1..close];
        rest = &after[close + 1..];
        let is_end = inside.starts_with('/');
        let is_empty = inside.ends_with('/');
        let inside = inside.trim_matches('/');
        let (name, mut attributes_text) = inside.split_once(' ').unwrap_or((inside, ""));
        let mut attributes = Vec::new();
        while !attributes_text.trim().is_empty() {
            let (key, after_key) = attributes_text
                .trim_start()
                .split_once("=\"")
                .ok_or(format!("no value in {attributes_text:?}"))?;
            let (value, after_value) = after_key.split_once('"').ok_or("an open quote")?;
            if value.contains(['<', '&']) || attributes.iter().any(|(k, _)| k == key) {
                return Err(format!("bad or double attribute {key}={value:?}"));
            }
            attributes.push((key.to_owned(), value.to_owned()));
            attributes_text = after_value;
        }
        found.push(Tag { name: name.to_owned(), is_end, is_empty, attributes });
    }
    if rest.trim().is_empty() { Ok(found) } else { Err(format!("text after the end: {rest:?}")) }
}

/// What is wrong with the form of an SVG text, if anything is.
pub fn fault_of_form(svg: &str) -> Option<String> {
    match tags(svg) {
        Ok(tags) => nesting_fault(&tags),
        Err(fault) => Some(fault),
    }
}

/// Every start has its end, in order, under one root.
fn nesting_fault(tags: &[Tag]) -> Option<String> {
    let mut open: Vec<&str> = Vec::new();
    for (index, tag) in tags.iter().enumerate() {
        if index > 0 && open.is_empty() {
            return Some(format!("{} after the root's end", tag.name));
        }
        if tag.is_end {
            if open.pop() != Some(tag.name.as_str()) {
                return Some(format!("</{}> closes something else", tag.name));
            }
        } else if !tag.is_empty {
            open.push(&tag.name);
        }
    }
    open.last().map(|name| format!("<{name}> is never closed"))
}

/// `none`, the line colour, or a custom property whose fallback is one of these.
fn is_themed_colour(value: &str) -> bool {
    match value.strip_prefix("var(--drawing-").and_then(|v| v.strip_suffix(')')) {
        Some(inside) => {
            inside.split_once(", ").is_some_and(|(_, fallback)| ["none", "currentColor"].contains(&fallback))
        }
        None => ["none", "currentColor"].contains(&value),
    }
}

/// What is wrong with a drawing; empty when nothing is.
fn faults(svg: &str) -> Vec<String> {
    let tags = match tags(svg) {
        Ok(tags) => tags,
        Err(fault) => return vec![fault],
    };
    let mut faults: Vec<String> = nesting_fault(&tags).into_iter().collect();
    let root = |key: &str| {
        let first = tags.first().filter(|tag| tag.name == "svg")?;
        first.attributes.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str())
    };
    if root("role") != Some("img") {
        faults.push("role is not img".into());
    }
    if root("xmlns") != Some("http://www.w3.org/2000/svg") {
        faults.push("no SVG namespace".into());
    }
    if !matches!(root("viewBox"), Some("0 0 240 180" | "0 0 120 120")) {
        faults.push(format!("viewBox {:?}", root("viewBox")));
    }
    let title = svg.split_once("<title>").and_then(|(_, after)| after.split_once("</title>"));
    if title.is_none_or(|(words, _)| words.trim().is_empty()) {
        faults.push("no title".into());
    }
    for tag in &tags {
        if !["svg", "title", "path"].contains(&tag.name.as_str()) {
            faults.push(format!("element {}", tag.name));
        }
        for (key, value) in &tag.attributes {
            let is_fine = match key.as_str() {
                "fill" | "stroke" => is_themed_colour(value),
                "stroke-width" => value.parse::<f64>().is_ok_and(|w| w >= THINNEST_STROKE),
                "xmlns" | "viewBox" | "role" | "stroke-linecap" | "stroke-linejoin" | "stroke-dasharray"
                | "fill-rule" => true,
                "d" => value.starts_with('M'),
                _ => false,
            };
            if !is_fine {
                faults.push(format!("{key}={value:?}"));
            }
        }
    }
    if svg.len() >= MOST_BYTES {
        faults.push(format!("{} bytes", svg.len()));
    }
    faults
}

#[test]
fn every_drawing_is_tidy() {
    for (name, svg) in drawings() {
        assert_eq!(faults(&svg), Vec::<String>::new(), "{name}.svg");
    }
}

#[test]
fn the_check_sees_each_fault() {
    let head = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 180" role="img"><title>A</title>"#;
    assert!(faults(&format!("{head}</svg>")).is_empty());
    for bad in [
        r#"<path style="fill:red" d="M0 0"/></svg>"#,
        r##"<path fill="#123456" d="M0 0"/></svg>"##,
        r#"<path fill="var(--drawing-fill, red)" d="M0 0"/></svg>"#,
        r#"<path stroke="currentColor" stroke-width="1" d="M0 0"/></svg>"#,
        r#"<path onclick="go()" d="M0 0"/></svg>"#,
        r#"<path id="a" d="M0 0"/></svg>"#,
        "<script></script></svg>",
        "<path></svg>",
        "</svg></svg>",
        "",
        "</svg> and more",
    ] {
        assert!(!faults(&format!("{head}{bad}")).is_empty(), "not seen: {bad}");
    }
    for missing in [r#" role="img""#, r#" viewBox="0 0 240 180""#, "<title>A</title>"] {
        let svg = format!("{head}</svg>").replace(missing, "");
        assert!(!faults(&svg).is_empty(), "not seen: without {missing}");
    }
}

#[test]
fn titles_differ() {
    let mut seen = BTreeSet::new();
    for (name, svg) in drawings() {
        let title = svg.split("title>").nth(1).map(str::to_owned);
        assert!(seen.insert(title), "{name}.svg has the title of another");
    }
}

#[test]
fn every_drawing_has_its_constant_and_only_those() {
    let module = fs::read_to_string(folders()[0].join("mod.rs")).expect("the module of drawings");
    let declared: BTreeSet<String> = module
        .split("pub const ")
        .skip(1)
        .filter_map(|after| {
            let (path, _) = after.split_once(".svg\"")?;
            let path = &path[path.rfind('"')? + 1..];
            Some(path.split('/').next_back().unwrap_or(path).to_owned())
        })
        .collect();
    let on_disk: BTreeSet<String> = own_drawings().into_iter().map(|(name, _)| name).collect();
    assert_eq!(declared, on_disk);
    for name in on_disk {
        let constant = format!("pub const {}: &str", name.to_uppercase());
        assert!(module.contains(&constant), "no {constant}");
    }
}

/// A question mark in place of a kind's picture is for "another kind" only.
#[test]
fn every_kind_of_the_packs_has_its_drawing() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR"));
    let card = fs::read_to_string(source.join("src/page/parts/check_card.rs")).expect("the card of a check");
    let packs = fs::read_dir(source.join("www/rules")).expect("the packs are part of the source");
    let mut kinds = BTreeSet::new();
    for pack in packs {
        let text = fs::read_to_string(pack.expect("readable entry").path()).expect("UTF-8 text");
        let pack: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let listed = pack.as_array().or_else(|| pack.get("species").and_then(|species| species.as_array()));
        let ids = listed.into_iter().flatten().filter_map(|kind| kind.get("id")?.as_str());
        kinds.extend(ids.map(str::to_owned));
    }
    assert!(kinds.contains("graceful") && kinds.contains("king"), "kinds are read from the packs: {kinds:?}");
    for kind in kinds {
        let arm = card
            .lines()
            .find(|line| line.contains("=> drawn::KIND_") && line.contains(&format!("\"{kind}\"")));
        assert!(arm.is_some(), "{kind} is shown with a question mark");
    }
}
