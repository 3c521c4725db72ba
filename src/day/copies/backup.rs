//! A copy of the whole book as one file, and its way back.
//!
//! The first line says how many rows follow and their CRC-32 (ISO/IEC 3309, as PNG has it); each further line is a
//! row as JSON. Where photos come with it, a line for each says its name, length and CRC-32, and their bytes follow one
//! after the other. A file that is cut short or changed is refused whole.

use std::ops::Range;

use crc::{CRC_32_ISO_HDLC, Crc, Table};
use serde::{Deserialize, Serialize};

use crate::day::book::Book;
use crate::day::rows::{FORMAT, Row, What, read_row, write_row};

/// The first line is looked for in so many bytes.
pub const HEAD_BYTES: usize = 1024;

/// The first line.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    #[serde(rename = "shellspan-day-book")]
    format: u32,
    rows: usize,
    crc32: String,
    /// Length of all lines after the first; none: they go on to the end of the file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lines_bytes: Option<u64>,
}

/// A photo in a copy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PictureEntry {
    /// Its name.
    pub picture: String,
    /// Its length.
    pub bytes: u64,
    /// Its CRC-32.
    pub crc32: String,
}

impl PictureEntry {
    /// A photo of this name.
    pub fn of(name: &str, bytes: &[u8]) -> Self {
        Self { picture: name.to_owned(), bytes: bytes.len() as u64, crc32: crc32(bytes) }
    }

    /// True where these are its bytes.
    pub fn is_whole(&self, bytes: &[u8]) -> bool {
        *self == Self::of(&self.picture, bytes)
    }
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
        self.as_copy_with(&[])
    }

    /// The same for a file in which the bytes of these photos follow, in this order.
    pub fn as_copy_with(&self, pictures: &[PictureEntry]) -> Result<String, serde_json::Error> {
        let rows: Vec<String> = self
            .all_rows()
            .filter(|row| !matches!(row.what, What::Step(_)))
            .map(|row| write_row(row))
            .collect::<Result<_, _>>()?;
        let count = rows.len();
        let pictured = pictures.iter().map(serde_json::to_string).collect::<Result<Vec<_>, _>>()?;
        let lines: String = rows.into_iter().chain(pictured).map(|line| line + "\n").collect();
        let lines_bytes = (!pictures.is_empty()).then_some(lines.len() as u64);
        let head = Head { format: FORMAT, rows: count, crc32: crc32(lines.as_bytes()), lines_bytes };
        Ok(format!("{}\n{lines}", serde_json::to_string(&head)?))
    }
}

/// The first line of a copy, read.
#[derive(Debug)]
pub struct Opened {
    head: Head,
    lines_from: u64,
}

/// What a copy holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Contents {
    /// Its rows.
    pub rows: Vec<Row>,
    /// Its photos, and where in the file their bytes are.
    pub pictures: Vec<(PictureEntry, Range<u64>)>,
}

impl Opened {
    /// Reads the first line from the first [`HEAD_BYTES`] bytes of a file.
    pub fn read(first: &[u8]) -> Result<Self, BackupError> {
        let end = first.iter().position(|byte| *byte == b'\n').ok_or(BackupError::NotOne)?;
        let head: Head = serde_json::from_slice(&first[..end]).map_err(|_| BackupError::NotOne)?;
        match head.format {
            0 => Err(BackupError::NotOne),
            1..=FORMAT => Ok(Self { head, lines_from: end as u64 + 1 }),
            _ => Err(BackupError::Newer),
        }
    }

    /// Where the further lines are in a file of this length.
    pub fn lines(&self, file_bytes: u64) -> Result<Range<u64>, BackupError> {
        let end = match self.head.lines_bytes {
            Some(bytes) => self.lines_from.checked_add(bytes).ok_or(BackupError::Damaged)?,
            None => file_bytes,
        };
        if end < self.lines_from || end > file_bytes {
            Err(BackupError::Damaged)
        } else {
            Ok(self.lines_from..end)
        }
    }

    /// Reads the further lines; the photos must fill the rest of the file.
    pub fn contents(&self, lines: &str, file_bytes: u64) -> Result<Contents, BackupError> {
        if crc32(lines.as_bytes()) != self.head.crc32 {
            return Err(BackupError::Damaged);
        }
        let all: Vec<&str> = lines.lines().collect();
        let (rows, pictured) = all.split_at_checked(self.head.rows).ok_or(BackupError::Damaged)?;
        let rows: Vec<Row> =
            rows.iter().map(|line| read_row(line)).collect::<Option<_>>().ok_or(BackupError::Damaged)?;
        if rows.iter().any(|row| matches!(row.what, What::Step(_))) {
            return Err(BackupError::Damaged);
        }
        let mut at = self.lines(file_bytes)?.end;
        let mut pictures = Vec::new();
        for line in pictured {
            let entry: PictureEntry = serde_json::from_str(line).map_err(|_| BackupError::Damaged)?;
            let end = at.checked_add(entry.bytes).ok_or(BackupError::Damaged)?;
            pictures.push((entry, at..end));
            at = end;
        }
        if at == file_bytes { Ok(Contents { rows, pictures }) } else { Err(BackupError::Damaged) }
    }
}

/// A photo's name and its bytes.
pub type NamedPhoto = (String, Vec<u8>);

/// A whole copy from its bytes: rows and photos, all of them or none.
pub fn read_copy(file: &[u8]) -> Result<(Vec<Row>, Vec<NamedPhoto>), BackupError> {
    let file_bytes = file.len() as u64;
    let part = |range: Range<u64>| {
        let range = usize::try_from(range.start).ok()?..usize::try_from(range.end).ok()?;
        file.get(range)
    };
    let opened = Opened::read(file)?;
    let lines = part(opened.lines(file_bytes)?).ok_or(BackupError::Damaged)?;
    let lines = std::str::from_utf8(lines).map_err(|_| BackupError::Damaged)?;
    let Contents { rows, pictures } = opened.contents(lines, file_bytes)?;
    let whole = |(entry, range): (PictureEntry, Range<u64>)| {
        let bytes = part(range).filter(|bytes| entry.is_whole(bytes))?;
        Some((entry.picture, bytes.to_vec()))
    };
    let pictures = pictures.into_iter().map(whole).collect::<Option<_>>().ok_or(BackupError::Damaged)?;
    Ok((rows, pictures))
}

/// One table of 1 kB: a faster one weighs 16 kB, which no packing makes smaller.
const CRC_32: Crc<u32, Table<1>> = Crc::<u32, Table<1>>::new(&CRC_32_ISO_HDLC);

fn crc32(bytes: &[u8]) -> String {
    format!("{:08x}", CRC_32.checksum(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::book::Names;
    use crate::day::rows::{Id, Licence, Person, StepName};

    fn book() -> Book {
        let (mut book, mut names) = (Book::default(), Names { seed: 3, given: 0 });
        for name in ["Ada", "Bo"] {
            let person =
                Person { name: name.into(), is_aboard: true, licence: Licence::NotSaid, licence_for: None };
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

    fn rows_of(text: &str) -> Result<Vec<Row>, BackupError> {
        read_copy(text.as_bytes()).map(|(rows, _)| rows)
    }

    /// A copy with two photos, the second of no bytes.
    fn with_photos() -> Vec<u8> {
        let photo = b"\xff\xd8 photo \n\xff\xd9";
        let entries = [PictureEntry::of("a-1/1", photo), PictureEntry::of("a-1/1/small", b"")];
        let mut file = book().as_copy_with(&entries).expect("a copy").into_bytes();
        file.extend(photo);
        file
    }

    /// The check value of CRC-32/ISO-HDLC over "123456789" (ITU-T V.42; from memory, in every table of CRCs).
    #[test]
    fn the_sum_is_the_known_one() {
        assert_eq!(crc32(b"123456789"), "cbf43926");
    }

    #[test]
    fn a_copy_comes_back_whole_and_only_once() {
        let copy = book().as_copy().expect("a copy");
        let mut fresh = Book::default();
        assert_eq!(fresh.merge_unsaved(rows_of(&copy).expect("the rows")), 2);
        assert_eq!(fresh.merge_unsaved(rows_of(&copy).expect("the rows")), 0);
        assert_eq!(fresh.people().len(), 3);
        assert_eq!(fresh.as_copy().expect("a copy"), copy);
        assert_eq!(fresh.unsaved().count(), 2, "to be written, each once");
    }

    #[test]
    fn a_damaged_copy_is_refused_whole() {
        let copy = book().as_copy().expect("a copy");
        assert_eq!(rows_of(&copy.replace("Ada", "Eva")), Err(BackupError::Damaged));
        let cut = &copy[..copy.trim_end().rfind('\n').expect("lines")];
        assert_eq!(rows_of(cut), Err(BackupError::Damaged));
        assert_eq!(rows_of(""), Err(BackupError::NotOne));
        assert_eq!(rows_of("{\"rows\":[]}\n"), Err(BackupError::NotOne));
        let newer = copy.replacen("\"shellspan-day-book\":1", "\"shellspan-day-book\":2", 1);
        assert_eq!(rows_of(&newer), Err(BackupError::Newer));
    }

    #[test]
    fn photos_come_back_with_their_names() {
        let (rows, pictures) = read_copy(&with_photos()).expect("a copy");
        assert_eq!(rows.len(), 2);
        let photo = b"\xff\xd8 photo \n\xff\xd9".to_vec();
        assert_eq!(pictures, [("a-1/1".to_owned(), photo), ("a-1/1/small".to_owned(), Vec::new())]);
    }

    /// Each byte changed, each length cut: all is refused, or what is read is the same.
    #[test]
    fn a_copy_with_photos_that_is_damaged_anywhere_is_refused() {
        let file = with_photos();
        let whole = read_copy(&file).expect("a copy");
        for at in 0..file.len() {
            let mut damaged = file.clone();
            damaged[at] ^= 0x01;
            assert_ne!(read_copy(&damaged).as_ref(), Ok(&whole), "byte {at}");
            assert!(read_copy(&damaged).is_err(), "byte {at}");
            assert!(read_copy(&file[..at]).is_err(), "cut at {at}");
        }
        assert!(read_copy(&[file.as_slice(), b"x"].concat()).is_err(), "something follows");
    }

    /// Steps of another device are no steps of this one: a file with some was not made by this page.
    #[test]
    fn a_copy_with_steps_is_refused() {
        let rows: Vec<String> = book().all_rows().map(|row| write_row(row).expect("JSON") + "\n").collect();
        let lines = rows.concat();
        let (format, crc32) = (FORMAT, crc32(lines.as_bytes()));
        let head = Head { format, rows: rows.len(), crc32, lines_bytes: None };
        let file = format!("{}\n{lines}", serde_json::to_string(&head).expect("JSON"));
        assert_eq!(rows_of(&file), Err(BackupError::Damaged));
    }

    #[test]
    fn names_stay_apart() {
        assert_ne!(Names { seed: 3, given: 1 }.draw(), Names { seed: 4, given: 1 }.draw());
        assert_eq!(Id::first_person(), Id("you".into()));
    }
}
