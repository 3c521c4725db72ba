//! The count of an earlier build, which kept the day as a list of kinds in the browser's local storage.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::day::rows::{CrabEntry, Earlier, FORMAT, Row, What};
use crate::day::{Id, Moment};
use crate::decide::Traits;

/// The kinds kept on one day by one person, in the order of keeping.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OldCount {
    day: Date,
    #[serde(alias = "kinds")]
    crabs: Vec<OldCrab>,
    #[serde(default)]
    earlier: BTreeMap<String, u32>,
}

/// The kind alone, or with what was answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
enum OldCrab {
    Kind(String),
    Crab { kind: String, traits: Traits },
}

impl OldCount {
    /// The same as rows of the book. Their names follow from the count: read twice, they are still the same rows.
    pub fn rows(&self) -> Vec<Row> {
        let day = self.day;
        let row = |id: String, what: What| Row {
            format: FORMAT,
            id: Id(id.into()),
            revision: 1,
            made: 1,
            is_gone: false,
            what,
        };
        let moment = Moment { day, clock: None };
        let crabs = self.crabs.iter().enumerate().map(|(at, crab)| {
            let (kind, traits) = match crab {
                OldCrab::Kind(kind) => (kind.clone(), Traits::default()),
                OldCrab::Crab { kind, traits } => (kind.clone(), *traits),
            };
            let entry = CrabEntry { traits, ..CrabEntry::kept(Some(&kind), Id::first_person(), moment) };
            row(format!("old-count-{day}-{at:03}"), What::Crab(Box::new(entry)))
        });
        let earlier = self.earlier.iter().map(|(kind, count)| {
            let said = Earlier { day, person: Id::first_person(), kind: kind.clone(), count: Some(*count) };
            row(said.row_name().0.to_string(), What::Earlier(said))
        });
        crabs.chain(earlier).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::Book;

    #[test]
    fn every_earlier_form_of_the_count_becomes_rows_once() {
        let forms = [
            r#"{"day":"2026-11-25","kinds":["blue","blue"]}"#,
            r#"{"day":"2026-11-25","crabs":[{"kind":"blue","traits":{"sex":"male"}},"blue"],"earlier":{"tanner":3}}"#,
        ];
        for form in forms {
            let old: OldCount = serde_json::from_str(form).expect("an earlier form");
            let mut book = Book::default();
            book.merge(old.rows());
            book.merge(old.rows());
            assert_eq!(book.kept_on(old.day).len(), 2, "{form}");
            assert_eq!(book.earlier_of(&Id::first_person(), old.day).len(), old.earlier.len());
        }
    }
}
