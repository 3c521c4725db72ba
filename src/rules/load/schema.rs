//! The JSON Schema of packs, generated from the types, and every place where a value departs from it.

use jiff::civil::{Date, Time};
use serde_json::{Map, Value};

use super::lines::child;
use crate::rules::Length;
#[cfg(not(target_arch = "wasm32"))]
use crate::rules::pack::Pack;
use crate::rules::when::DayOfYear;

/// The schema of packs as it is published (JSON Schema, draft 2020-12): what makes it weighs more in the page than the
/// file. A test holds that it is that of the types.
const PUBLISHED: &str = include_str!("../../../www/rules/schema.json");

/// The published schema; an error where the file is damaged.
pub fn pack_schema() -> Result<Value, serde_json::Error> {
    serde_json::from_str(PUBLISHED)
}

/// The schema of the types, as the file that is published beside the packs.
#[cfg(not(target_arch = "wasm32"))]
pub fn pack_schema_text() -> String {
    let schema = schemars::schema_for!(Pack).to_value();
    serde_json::to_string_pretty(&schema).map_or_else(|_| String::new(), |text| text + "\n")
}

/// Where a value departs from the schema: path and words.
pub type Departure = (String, String);

/// Every place where `value` departs from `schema`. Knows the keywords that our own schema uses.
pub fn departures(value: &Value, schema: &Value) -> Vec<Departure> {
    let mut found = Vec::new();
    Walk { root: schema }.check(value, schema, "", &mut found);
    found
}

struct Walk<'a> {
    root: &'a Value,
}

impl Walk<'_> {
    fn check(&self, value: &Value, schema: &Value, path: &str, found: &mut Vec<Departure>) {
        let schema = self.resolve(schema);
        let Value::Object(rules) = schema else { return };
        if let Some(Value::Array(branches)) = rules.get("oneOf").or_else(|| rules.get("anyOf")) {
            self.check_branches(value, branches, path, found);
            return;
        }
        if let Some(wanted) = rules.get("const") {
            if value != wanted {
                found.push(not(path, value, &wanted.to_string()));
            }
            return;
        }
        if let Some(Value::Array(wanted)) = rules.get("enum") {
            if !wanted.contains(value) {
                found.push(not(path, value, &one_of(wanted.iter())));
            }
            return;
        }
        if !has_type(value, rules.get("type")) {
            found.push(not(path, value, &type_words(rules.get("type"))));
            return;
        }
        match value {
            Value::Object(object) => self.check_object(object, rules, path, found),
            Value::Array(elements) => {
                if let Some(items) = rules.get("items") {
                    for (index, element) in elements.iter().enumerate() {
                        self.check(element, items, &format!("{path}[{index}]"), found);
                    }
                }
            }
            Value::String(text) => check_format(text, rules, path, found),
            Value::Number(number) => {
                let number = number.as_f64().unwrap_or(f64::NAN);
                let [least, most] = held_by(rules.get("format").and_then(Value::as_str));
                let least =
                    rules.get("minimum").and_then(Value::as_f64).map_or(least, |bound| bound.max(least));
                let most = rules.get("maximum").and_then(Value::as_f64).map_or(most, |bound| bound.min(most));
                if !(least <= number && number <= most) {
                    found.push(not(path, value, &range_words(least, most)));
                }
            }
            _ => {}
        }
    }

    fn check_object(
        &self,
        object: &Map<String, Value>,
        rules: &Map<String, Value>,
        path: &str,
        found: &mut Vec<Departure>,
    ) {
        let empty = Map::new();
        let known = rules.get("properties").and_then(Value::as_object).unwrap_or(&empty);
        for name in rules.get("required").and_then(Value::as_array).into_iter().flatten() {
            if let Some(name) = name.as_str().filter(|name| !object.contains_key(*name)) {
                found.push((child(path, name), format!("`{name}` is missing: add it")));
            }
        }
        let others = rules.get("additionalProperties");
        for (name, value) in object {
            let inner = child(path, name);
            match (known.get(name), others) {
                (Some(schema), _) => self.check(value, schema, &inner, found),
                (None, Some(Value::Bool(false))) => {
                    let names: Vec<&str> = known.keys().map(String::as_str).collect();
                    let words =
                        format!("unknown field `{}`: known here are {}", short(name), names.join(", "));
                    found.push((inner, words));
                }
                (None, Some(schema)) => self.check(value, schema, &inner, found),
                (None, None) => {}
            }
        }
    }

    fn check_branches(&self, value: &Value, branches: &[Value], path: &str, found: &mut Vec<Departure>) {
        let tried: Vec<Vec<Departure>> = branches
            .iter()
            .map(|branch| {
                let mut departures = Vec::new();
                self.check(value, branch, path, &mut departures);
                departures
            })
            .collect();
        if tried.iter().any(Vec::is_empty) {
            return;
        }
        let fits = |branch: &Value| self.might_be_meant(value, branch);
        let meant: Vec<_> = branches.iter().zip(tried).filter(|(branch, _)| fits(branch)).collect();
        match <[_; 1]>::try_from(meant) {
            Ok([(_, departures)]) => found.extend(departures),
            Err(_) => {
                let wanted: Vec<String> =
                    branches.iter().flat_map(|branch| self.branch_words(branch)).collect();
                found.push(not(path, value, &format!("one of {}", wanted.join(", "))));
            }
        }
    }

    /// True when `value` was probably meant for `branch`: an object with its key, or of its only type.
    fn might_be_meant(&self, value: &Value, branch: &Value) -> bool {
        let branch = self.resolve(branch);
        let is_choice = ["const", "enum", "oneOf", "anyOf"].iter().any(|key| branch.get(key).is_some());
        if is_choice {
            // A nested choice words its own mistake; a single word is listed with its siblings.
            return branch.get("const").is_none() && !value.is_null();
        }
        if !has_type(value, branch.get("type")) {
            return false;
        }
        let required = branch.get("required").and_then(Value::as_array);
        match (value, required) {
            (Value::Object(object), Some(names)) => {
                names.iter().filter_map(Value::as_str).any(|name| object.contains_key(name))
            }
            _ => true,
        }
    }

    fn branch_words(&self, branch: &Value) -> Vec<String> {
        let branch = self.resolve(branch);
        if let Some(wanted) = branch.get("const") {
            return vec![wanted.to_string()];
        }
        if let Some(Value::Array(wanted)) = branch.get("enum") {
            return wanted.iter().map(Value::to_string).collect();
        }
        if let Some(Value::Array(inner)) = branch.get("oneOf").or_else(|| branch.get("anyOf")) {
            return inner.iter().flat_map(|inner| self.branch_words(inner)).collect();
        }
        match branch.get("required").and_then(|names| names.get(0)).and_then(Value::as_str) {
            Some(name) => vec![format!("an object with `{name}`")],
            None if branch.get("type") == Some(&Value::from("null")) => Vec::new(),
            None => vec![type_words(branch.get("type"))],
        }
    }

    /// Follows `$ref`; the bound keeps a schema that refers to itself from looping.
    fn resolve<'s>(&'s self, schema: &'s Value) -> &'s Value {
        let mut schema = schema;
        for _ in 0..8 {
            let Some(target) = schema.get("$ref").and_then(Value::as_str) else { break };
            let pointer = target.trim_start_matches('#');
            match self.root.pointer(pointer) {
                Some(next) => schema = next,
                None => break,
            }
        }
        schema
    }
}

/// The numbers that a type of the program can hold.
fn held_by(format: Option<&str>) -> [f64; 2] {
    match format {
        Some("uint8") => [0.0, f64::from(u8::MAX)],
        Some("uint32") => [0.0, f64::from(u32::MAX)],
        Some("int16") => [f64::from(i16::MIN), f64::from(i16::MAX)],
        Some("int32") => [f64::from(i32::MIN), f64::from(i32::MAX)],
        _ => [f64::NEG_INFINITY, f64::INFINITY],
    }
}

fn check_format(text: &str, rules: &Map<String, Value>, path: &str, found: &mut Vec<Departure>) {
    let trouble = match rules.get("format").and_then(Value::as_str) {
        // Longer forms with signs and other eras are dates too, and never meant.
        Some("date") if text.len() != 10 || text.parse::<Date>().is_err() => {
            Some(format!("`{}` is not a date: write `2026-11-25`", short(text)))
        }
        Some("local-time") if text.parse::<Time>().is_err() => {
            Some(format!("`{}` is not a time: write `07:00`", short(text)))
        }
        Some("length") => text.parse::<Length>().err().map(|error| error.to_string()),
        Some("day-of-year") => text.parse::<DayOfYear>().err().map(|error| error.to_string()),
        _ => None,
    };
    found.extend(trouble.map(|words| (path.to_owned(), words)));
}

fn has_type(value: &Value, wanted: Option<&Value>) -> bool {
    let is = |name: &str| match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        _ => true,
    };
    match wanted {
        Some(Value::String(name)) => is(name),
        Some(Value::Array(names)) => names.iter().filter_map(Value::as_str).any(is),
        _ => true,
    }
}

fn type_words(wanted: Option<&Value>) -> String {
    let word = |name: &str| match name {
        "object" => "an object",
        "array" => "a list",
        "string" => "a text in quotes",
        "boolean" => "true or false",
        "integer" => "a whole number",
        "number" => "a number",
        _ => "nothing",
    };
    match wanted {
        Some(Value::String(name)) => word(name).to_owned(),
        Some(Value::Array(names)) => {
            let names: Vec<_> =
                names.iter().filter_map(Value::as_str).filter(|name| *name != "null").map(word).collect();
            names.join(" or ")
        }
        _ => "another value".to_owned(),
    }
}

fn range_words(least: f64, most: f64) -> String {
    if least == most {
        format!("{least}")
    } else if most.is_finite() {
        format!("a number from {least} to {most}")
    } else {
        format!("a number of {least} or more")
    }
}

fn one_of<'v>(wanted: impl Iterator<Item = &'v Value>) -> String {
    let words: Vec<String> = wanted.map(Value::to_string).collect();
    format!("one of {}", words.join(", "))
}

fn not(path: &str, value: &Value, wanted: &str) -> Departure {
    let found = match value {
        Value::Object(_) => "an object".to_owned(),
        Value::Array(_) => "a list".to_owned(),
        other => short(&other.to_string()),
    };
    (path.to_owned(), format!("found {found}, expected {wanted}"))
}

/// At most 40 characters of a text from outside.
fn short(text: &str) -> String {
    let cut: String = text.chars().filter(|c| !c.is_control()).take(40).collect();
    if cut.len() < text.len() { cut + "..." } else { cut }
}
