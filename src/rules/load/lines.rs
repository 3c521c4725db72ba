//! On which line of a JSON text each field stands.

use std::collections::BTreeMap;

use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};

/// Line of every field by its path (`areas[0].rules[2].species`), and keys that stand twice.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lines {
    by_path: BTreeMap<String, usize>,
    /// Paths whose key stands twice in its object, with the line of the second.
    pub doubled: Vec<(String, usize)>,
}

impl Lines {
    /// Reads the lines of `text`, which serde_json must have accepted before: that bounds its depth.
    pub fn of(text: &str) -> Self {
        let starts: Vec<usize> = text.match_indices('\n').map(|(at, _)| at + 1).collect();
        let mut lines = Self::default();
        let parsed = parse_to_ast(text, &CollectOptions::default(), &ParseOptions::default());
        if let Ok(Some(value)) = parsed.map(|result| result.value) {
            lines.walk(&value, String::new(), &starts);
        }
        lines
    }

    /// True when the text has the field `path`.
    pub fn has(&self, path: &str) -> bool {
        self.by_path.contains_key(path)
    }

    /// Line of `path`, or of the nearest field around it; 1 at the top.
    pub fn line(&self, path: &str) -> usize {
        let mut path = path;
        loop {
            if let Some(&line) = self.by_path.get(path) {
                return line;
            }
            match path.rfind(['.', '[']) {
                Some(at) => path = &path[..at],
                None => return 1,
            }
        }
    }

    fn walk(&mut self, value: &Value<'_>, path: String, starts: &[usize]) {
        let line_of = |at: usize| starts.partition_point(|&start| start <= at) + 1;
        self.by_path.entry(path.clone()).or_insert_with(|| line_of(value.start()));
        match value {
            Value::Object(object) => {
                for property in &object.properties {
                    let inner = child(&path, property.name.as_str());
                    let line = line_of(property.start());
                    if self.by_path.insert(inner.clone(), line).is_some() {
                        self.doubled.push((inner.clone(), line));
                    }
                    self.walk(&property.value, inner, starts);
                }
            }
            Value::Array(array) => {
                for (index, element) in array.elements.iter().enumerate() {
                    self.walk(element, format!("{path}[{index}]"), starts);
                }
            }
            _ => {}
        }
    }
}

/// Path of `key` inside `path`.
pub fn child(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_found_on_their_lines() {
        let lines = Lines::of("{\n  \"a\": [\n    1,\n    {\"b\": 2}\n  ],\n  \"a\": 3\n}");
        assert_eq!(lines.line("a[1].b"), 4);
        assert_eq!(lines.line("a[1].missing"), 4);
        assert_eq!(lines.line("nowhere"), 1);
        assert_eq!(lines.doubled, [("a".to_owned(), 6)]);
    }
}
