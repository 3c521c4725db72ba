//! Every mistake of a pack in one go, each with its field and line.

use std::collections::BTreeSet;
use std::fmt;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::LARGEST_FILE;
use super::damaged::{Damaged, readable_part};
use super::lines::{Lines, child};
use super::schema::{departures, pack_schema};
use super::{holds, kinds};
use crate::rules::pack::{ANY_CRAB, Pack};
use crate::rules::{Length, built_in_species};

/// One mistake in a file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Mistake {
    /// Line, from 1.
    pub line: usize,
    /// Path of the field, such as `areas[0].rules[1].species`; empty: the file as a whole.
    pub field: String,
    /// What was found, what was expected, what to do.
    pub words: String,
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.field.as_str() {
            "" => write!(f, "line {}: {}", self.line, self.words),
            field => write!(f, "line {}, {field}: {}", self.line, self.words),
        }
    }
}

/// A file that is too large to be a pack.
pub(super) fn too_large(bytes: usize) -> Mistake {
    let words = format!("the file has {bytes} bytes or more; a pack has at most {LARGEST_FILE}");
    Mistake { line: 1, field: String::new(), words }
}

/// More would be read by nobody; the count of the rest is told.
const MOST_MISTAKES: usize = 1000;

/// Reads a pack; on failure every mistake in the order of the lines.
pub(super) fn check_pack(text: &str, today: Option<Date>) -> Result<Pack, Vec<Mistake>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let text = &super::with_line_feeds(text);
    if text.len() > LARGEST_FILE {
        return Err(vec![too_large(text.len())]);
    }
    let mut mistakes = match serde_json::from_str(text) {
        Ok(value) => {
            let lines = Lines::of(text);
            let mut mistakes = mistakes_of(&value, &lines, None);
            mistakes
                .extend(today.into_iter().flat_map(|today| holds::from_the_future(&value, today, &lines)));
            mistakes
        }
        Err(error) => mistakes_of_damaged(text, &error),
    };
    unread_letters(text, &mut mistakes);
    mistakes.sort();
    mistakes.dedup();
    if let Some(more) = mistakes.len().checked_sub(MOST_MISTAKES).filter(|&more| more > 0) {
        mistakes.truncate(MOST_MISTAKES);
        let line = mistakes.last().map_or(1, |last| last.line);
        mistakes.push(Mistake { line, field: String::new(), words: format!("and {more} more mistakes") });
    }
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let pack: Pack = serde_json::from_str(text).map_err(|error| {
        vec![Mistake { line: error.line().max(1), field: String::new(), words: error.to_string() }]
    })?;
    let never = holds::never_open(&pack);
    if never.is_empty() {
        return Ok(pack);
    }
    let lines = Lines::of(text);
    Err(never.into_iter().map(|(field, words)| Mistake { line: lines.line(&field), field, words }).collect())
}

/// The mistakes of a value; those that only the part behind the damage can clear up are left out.
fn mistakes_of(value: &Value, lines: &Lines, damaged: Option<&Damaged>) -> Vec<Mistake> {
    let mut found: Found = match pack_schema() {
        Ok(schema) => departures(value, &schema),
        // Nothing that cannot be checked is taken.
        Err(error) => vec![(String::new(), format!("this program's own schema is damaged: {error}"))],
    };
    Sense::of(value, damaged.is_none_or(|damaged| damaged.open.is_empty())).check(value, &mut found);
    let may_follow = |path: &str| {
        damaged.is_some_and(|damaged| {
            let is_open = |path: &str| damaged.open.iter().any(|open| open == path);
            is_open(path)
                || (!lines.has(path) && path.rfind(['.', '[']).map_or(is_open(""), |at| is_open(&path[..at])))
        })
    };
    let doubled = lines.doubled.iter().map(|(field, line)| Mistake {
        line: *line,
        field: field.clone(),
        words: "this field stands twice: keep one".to_owned(),
    });
    found
        .into_iter()
        .filter(|(field, _)| !may_follow(field))
        .map(|(field, words)| Mistake { line: lines.line(&field), field, words })
        .chain(doubled)
        .collect()
}

/// The place where a text stops being JSON, and the mistakes in front of it.
fn mistakes_of_damaged(text: &str, error: &serde_json::Error) -> Vec<Mistake> {
    let line = error.line().max(1);
    let start = text.split_inclusive('\n').take(line - 1).map(str::len).sum::<usize>();
    let end = if error.is_eof() { text.len() } else { start + error.column().saturating_sub(1) };
    let damaged = readable_part(text, end);
    let mut mistakes = match serde_json::from_str(&damaged.text) {
        Ok(value) => mistakes_of(&value, &Lines::of(&damaged.text), Some(&damaged)),
        // Nothing whole stands in front of the damage.
        Err(_) => Vec::new(),
    };
    let words = format!("not JSON here: {error}; nothing behind it was read");
    mistakes.push(Mistake { line, field: damaged.path, words });
    mistakes
}

const UNREAD: &str = "letters that cannot be read: save the file as UTF-8";

/// Lines with letters that were lost because the file is not UTF-8, where no field was told for them yet.
fn unread_letters(text: &str, mistakes: &mut Vec<Mistake>) {
    for (at, _) in text.lines().enumerate().filter(|(_, line)| line.contains(char::REPLACEMENT_CHARACTER)) {
        let line = at + 1;
        if !mistakes.iter().any(|known| known.line == line && known.words == UNREAD) {
            mistakes.push(Mistake { line, field: String::new(), words: UNREAD.to_owned() });
        }
    }
}

/// What a schema cannot say: references, sizes, order. Works on the raw value, so that it also finds
/// mistakes in a file that has others.
struct Sense {
    /// False for the part of a damaged file: what is referred to may stand behind the damage.
    is_whole: bool,
    sources: BTreeSet<String>,
    species: BTreeSet<String>,
    areas: BTreeSet<String>,
}

pub(super) type Found = Vec<(String, String)>;

impl Sense {
    fn of(pack: &Value, is_whole: bool) -> Self {
        let ids = |list: Option<&Value>| -> Vec<String> {
            let list = list.and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
            list.iter().filter_map(|item| text(item, "id").map(str::to_owned)).collect()
        };
        let mut species: BTreeSet<String> =
            built_in_species().into_iter().map(|species| species.id).collect();
        species.insert(ANY_CRAB.to_owned());
        species.extend(ids(pack.get("species")));
        Self {
            is_whole,
            sources: pack
                .get("sources")
                .and_then(Value::as_object)
                .map(|sources| sources.keys().cloned().collect())
                .unwrap_or_default(),
            species,
            areas: ids(pack.get("areas")).into_iter().collect(),
        }
    }

    fn check(&self, pack: &Value, found: &mut Found) {
        check_id(pack, "id", found);
        if self.is_whole && pack.get("areas").and_then(Value::as_array).is_some_and(Vec::is_empty) {
            found.push(("areas".to_owned(), "a pack has at least one area: add it".to_owned()));
        }
        let mut seen = BTreeSet::new();
        for (index, area) in list(pack, "areas").iter().enumerate() {
            let path = format!("areas[{index}]");
            check_id(area, &child(&path, "id"), found);
            if let Some(id) = text(area, "id")
                && !seen.insert(id)
            {
                found.push((child(&path, "id"), format!("two areas are called `{}`: rename one", cut(id))));
            }
            if let Some(within) = text(area, "within")
                && self.is_whole
                && (!self.areas.contains(within) || text(area, "id") == Some(within))
            {
                let words = format!("no other area is called `{}`", cut(within));
                found.push((child(&path, "within"), words));
            }
            self.check_rules(area, &path, found);
        }
        if self.is_whole {
            holds::circles(list(pack, "areas"), found);
        }
        kinds::check_species(pack, found);
        self.walk(pack, "", found);
    }

    fn check_rules(&self, area: &Value, path: &str, found: &mut Found) {
        let mut seen = BTreeSet::new();
        for (index, rule) in list(area, "rules").iter().enumerate() {
            let path = format!("{path}.rules[{index}].species");
            let Some(species) = text(rule, "species") else { continue };
            if self.is_whole && !self.species.contains(species) {
                let words = format!("no species is called `{}`: add it to `species`", cut(species));
                found.push((path.clone(), words));
            }
            if !seen.insert(species) {
                found.push((path, format!("two rules for `{}` in one area: join them", cut(species))));
            }
        }
    }

    fn walk(&self, value: &Value, path: &str, found: &mut Found) {
        match value {
            Value::Object(object) => {
                self.check_cited(object, path, found);
                check_published(object, path, found);
                check_order(object, path, found);
                self.check_together(object, path, found);
                holds::crossing_ends(object, path, found);
                holds::never_met(object, path, found);
                holds::licences(object, path, found);
                check_open_night(object, path, found);
                for (name, value) in object {
                    self.walk(value, &child(path, name), found);
                }
            }
            Value::Array(elements) => {
                for (index, element) in elements.iter().enumerate() {
                    self.walk(element, &format!("{path}[{index}]"), found);
                }
            }
            Value::String(text) if text.contains(char::REPLACEMENT_CHARACTER) => {
                found.push((path.to_owned(), UNREAD.to_owned()));
            }
            _ => {}
        }
    }

    /// Kinds that count towards the same limit are kinds.
    fn check_together(&self, object: &Map<String, Value>, path: &str, found: &mut Found) {
        let together = object.get("together_with").and_then(Value::as_array).filter(|_| self.is_whole);
        for (index, kind) in together.into_iter().flatten().enumerate() {
            if let Some(kind) = kind.as_str().filter(|kind| !self.species.contains(*kind)) {
                let words = format!("no species is called `{}`: add it to `species`", cut(kind));
                found.push((format!("{path}.together_with[{index}]"), words));
            }
        }
    }

    /// A cited fact has a source that exists, and a value exactly when it is known.
    fn check_cited(&self, object: &Map<String, Value>, path: &str, found: &mut Found) {
        // The species table grounds its facts in words, not by the key of a source.
        let is_cited = path.starts_with("areas") && object.contains_key("mark");
        let Some(mark) = object.get("mark").and_then(Value::as_str).filter(|_| is_cited) else { return };
        let has_value = object.get("value").is_some_and(|value| !value.is_null());
        match (mark, has_value) {
            ("unknown", true) => found.push((
                child(path, "value"),
                "the mark says unknown: leave the value out, or say how it is known".to_owned(),
            )),
            ("seen" | "memory", false) => found.push((
                child(path, "value"),
                format!("the mark says {mark}, but there is no value: add it, or mark it unknown"),
            )),
            _ => {}
        }
        check_when(object, path, found);
        match object.get("source").and_then(Value::as_str) {
            Some(key) if self.is_whole && !self.sources.contains(key) => {
                found.push((child(path, "source"), format!("`sources` has no `{}`: add it there", cut(key))))
            }
            None if mark != "unknown" => {
                found.push((child(path, "source"), "a fact needs a source: name one".to_owned()));
            }
            _ => {}
        }
    }
}

/// Facts that hold for every crab and day: only what they belong to, or their own words, can narrow them.
const WITHOUT_WHEN: [(&str, &str); 8] = [
    ("min", "write it beside `min`, for the size as a whole"),
    ("max", "write it beside `max`, for the size as a whole"),
    ("dimension", "write it beside `dimension`, for the size as a whole"),
    ("landmarks", "write it beside `landmarks`, for the size as a whole"),
    ("holder", "write it in `amount`"),
    ("season", "write days as `days`, and for whom as `condition`"),
    ("record", "say it in `words`"),
    ("invasive", "say it in `words`"),
];

/// A `when` that nothing would apply: read over in silence, a figure for some crabs would hold for all.
fn check_when(object: &Map<String, Value>, path: &str, found: &mut Found) {
    if object.get("when").is_none_or(Value::is_null) {
        return;
    }
    let name = path.rsplit('.').next().and_then(|last| last.split('[').next());
    if let Some((name, instead)) = WITHOUT_WHEN.iter().find(|(known, _)| Some(*known) == name) {
        found.push((child(path, "when"), format!("`{name}` cannot have a `when`: {instead}")));
    }
}

/// Nights close a water. One that opened it would be read over, and the day would count as open.
fn check_open_night(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let has_night = object.get("night").is_some_and(|night| !night.is_null());
    if has_night && object.get("effect").and_then(Value::as_str) == Some("open") {
        let words = "an open time cannot be a night: write the hours in which it is closed".to_owned();
        found.push((child(path, "night"), words));
    }
}

pub(super) fn check_id(value: &Value, path: &str, found: &mut Found) {
    let Some(id) = text(value, "id") else { return };
    let is_plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if id.is_empty() || id.len() > 60 || !id.chars().all(is_plain) {
        let words = format!("`{}` is no short name: use small letters, digits and hyphens", cut(id));
        found.push((path.to_owned(), words));
    }
}

/// Sizes of crabs and of their claws: beyond these, a comma or a unit is wrong (common practice; the packs
/// have 38 to 178 mm).
const SMALLEST_MM: f64 = 10.0;
const LARGEST_MM: f64 = 500.0;

/// A published size and its exact number are the same length.
fn check_published(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let read = |key: &str| object.get(key).and_then(Value::as_str);
    let (Some(exact), Some(published)) = (read("exact"), read("published")) else { return };
    let Ok(exact) = exact.parse::<Length>() else { return };
    let mm = exact.millimetres().0;
    if !(SMALLEST_MM..=LARGEST_MM).contains(&mm) {
        let words = format!("{exact} is no size of a crab: write `none` where no size is prescribed");
        found.push((child(path, "exact"), words));
    }
    match published.parse::<Length>() {
        Ok(published) if published == exact => {}
        Ok(published) => {
            let words = format!("published {published} is not the exact {exact}: correct one");
            found.push((child(path, "published"), words));
        }
        Err(error) => found.push((child(path, "published"), error.to_string())),
    }
}

/// A minimum is not above its maximum; a span of dates does not end before it begins.
fn check_order(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let bound = |key: &str| {
        let exact = object.get(key)?.pointer("/value/at/exact")?.as_str()?;
        exact.parse::<Length>().ok()
    };
    if let (Some(min), Some(max)) = (bound("min"), bound("max"))
        && min > max
    {
        found.push((child(path, "max"), format!("the maximum {max} is below the minimum {min}")));
    }
    let date = |key: &str| object.get(key)?.as_str()?.parse::<Date>().ok();
    if let (Some(from), Some(to)) = (date("from"), date("to"))
        && from > to
    {
        found.push((child(path, "to"), format!("ends on {to}, before it begins on {from}")));
    }
    let number = |key: &str| object.get(key)?.as_f64();
    if let (Some(south), Some(north)) = (number("south_deg"), number("north_deg"))
        && south > north
    {
        found.push((child(path, "north_deg"), format!("{north} is south of the southern edge {south}")));
    }
    if let (Some(from), Some(to)) = (number("from"), number("to"))
        && from > to
    {
        found.push((child(path, "to"), format!("ends at {to}, before it begins at {from}")));
    }
}

pub(super) fn text<'v>(value: &'v Value, key: &str) -> Option<&'v str> {
    value.get(key).and_then(Value::as_str)
}

pub(super) fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value.get(key).and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default()
}

pub(super) fn cut(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}
