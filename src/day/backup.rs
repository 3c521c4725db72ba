//! A copy of the whole book as one file, and its way back.
//!
//! The first line says how many rows follow and their CRC-32 (ISO/IEC 3309, as PNG has it); each further line is a
//! row as JSON. A file that is cut short or changed is refused whole.

use serde::{Deserialize, Serialize};

use super::book::Book;
use super::rows::{FORMAT, Row, What, read_row, write_row};

/// The first line.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    #[serde(rename = "shellspan-day-book")]
    format: u32,
    rows: usize,
    crc32: String,
}

/// Why a copy is not taken. Nothing of it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BackupError {
    /// Another file.
    #[error("This is no copy of a day book. Choose the file that this page saved.")]
    NotOne,
    /// Written by a newer build.
    #[error("A newer version of this page saved this copy. Take the update, then choose the file again.")]
    Newer,
    /// Cut short or changed.
    #[error(
        "This copy is damaged: nothing of it was taken. Copy the file anew from where it was saved, then choose it again."
    )]
    Damaged,
}

impl Book {
    /// The book as one file. Steps stay behind: what was taken back on one device is no step of another.
    pub fn as_copy(&self) -> Result<String, serde_json::Error> {
        let rows: Vec<String> = self
            .all_rows()
            .filter(|row| !matches!(row.what, What::Step(_)))
            .map(|row| write_row(row))
            .collect::<Result<_, _>>()?;
        let body: String = rows.iter().map(|row| format!("{row}\n")).collect();
        let head = Head { format: FORMAT, rows: rows.len(), crc32: crc32(&body) };
        Ok(format!("{}\n{body}", serde_json::to_string(&head)?))
    }
}

/// The rows of a copy, all of them or none.
pub fn rows_of_copy(text: &str) -> Result<Vec<Row>, BackupError> {
    let (first, body) = text.split_once('\n').ok_or(BackupError::NotOne)?;
    let head: Head = serde_json::from_str(first).map_err(|_| BackupError::NotOne)?;
    if head.format > FORMAT {
        return Err(BackupError::Newer);
    }
    if crc32(body) != head.crc32 {
        return Err(BackupError::Damaged);
    }
    let rows: Vec<Row> = body.lines().map(read_row).collect::<Option<_>>().ok_or(BackupError::Damaged)?;
    if rows.len() != head.rows || rows.iter().any(|row| matches!(row.what, What::Step(_))) {
        return Err(BackupError::Damaged);
    }
    Ok(rows)
}

fn crc32(text: &str) -> String {
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::book::Names;
    use crate::day::rows::{Id, Licence, Person, StepName};

    fn book() -> Book {
        let (mut book, mut names) = (Book::default(), Names { seed: 3, given: 0 });
        for name in ["Ada", "Bo"] {
            let person = Person { name: name.into(), is_aboard: true, licence: Licence::NotSaid };
            let id = names.draw();
            book.step(
                &mut names,
                StepName::Person,
                jiff::civil::date(2026, 7, 15),
                vec![(id, What::Person(person))],
            );
        }
        book
    }

    #[test]
    fn a_copy_comes_back_whole_and_only_once() {
        let copy = book().as_copy().expect("a copy");
        let mut fresh = Book::default();
        assert_eq!(fresh.merge_unsaved(rows_of_copy(&copy).expect("the rows")), 2);
        assert_eq!(fresh.merge_unsaved(rows_of_copy(&copy).expect("the rows")), 0);
        assert_eq!(fresh.people().len(), 3);
        assert_eq!(fresh.as_copy().expect("a copy"), copy);
    }

    #[test]
    fn a_damaged_copy_is_refused_whole() {
        let copy = book().as_copy().expect("a copy");
        assert_eq!(rows_of_copy(&copy.replace("Ada", "Eva")), Err(BackupError::Damaged));
        let cut = &copy[..copy.trim_end().rfind('\n').expect("lines")];
        assert_eq!(rows_of_copy(cut), Err(BackupError::Damaged));
        assert_eq!(rows_of_copy(""), Err(BackupError::NotOne));
        assert_eq!(rows_of_copy("{\"rows\":[]}\n"), Err(BackupError::NotOne));
        let newer = copy.replacen("\"shellspan-day-book\":1", "\"shellspan-day-book\":2", 1);
        assert_eq!(rows_of_copy(&newer), Err(BackupError::Newer));
    }

    #[test]
    fn names_stay_apart() {
        assert_ne!(Names { seed: 3, given: 1 }.draw(), Names { seed: 4, given: 1 }.draw());
        assert_eq!(Id::first_person(), Id("you".into()));
    }
}
