//! Reading packs: the built-in one and files from outside, with every mistake of a file told in one go.
//!
//! [`check`] tells the mistakes. It asks [`schema`] where the file departs from a pack's form, `holds` what can
//! never hold, `kinds` about a pack's own kinds, `lines` on which line that stands, and `damaged` what can still be read of a text that breaks off.

pub mod check;
mod damaged;
mod holds;
mod kinds;
mod lines;
pub mod schema;

use std::borrow::Cow;

use jiff::civil::Date;

use self::check::Mistake;
use crate::rules::pack::Pack;

/// The pack that is part of the program: Puget Sound.
pub const BUILT_IN: &str = include_str!("../../../www/rules/us-wa.json");

/// Largest file that is read, in bytes: twenty times the largest of our packs. Checking a file made to hurt
/// takes two hundred times its size in memory, and a phone must stand it.
pub const LARGEST_FILE: usize = 1024 * 1024;

/// The built-in pack.
pub fn built_in_pack() -> Pack {
    serde_json::from_str(BUILT_IN).expect("the pack is part of the program and checked in its tests")
}

/// Reads and checks the text of a pack. On failure every mistake, each with its field and line.
pub fn read_pack(text: &str) -> Result<Pack, Vec<Mistake>> {
    check::check_pack(text, None)
}

/// The same on the day `today`: what was checked after it was not checked.
pub fn read_pack_bytes_on(bytes: &[u8], today: Date) -> Result<Pack, Vec<Mistake>> {
    check::check_pack(&decoded(bytes)?, Some(today))
}

/// Reads and checks the bytes of a file. What is not UTF-8 is told by its lines, and so is all the rest.
pub fn read_pack_bytes(bytes: &[u8]) -> Result<Pack, Vec<Mistake>> {
    read_pack(&decoded(bytes)?)
}

/// The text of a file; what is not UTF-8 in it is lost, and told by its lines later.
fn decoded(bytes: &[u8]) -> Result<Cow<'_, str>, Vec<Mistake>> {
    if bytes.len() > LARGEST_FILE {
        return Err(vec![check::too_large(bytes.len())]);
    }
    if let Some(name) = wide_encoding(bytes) {
        let words = format!("the file is {name}: save it as UTF-8");
        return Err(vec![Mistake { line: 1, field: String::new(), words }]);
    }
    Ok(String::from_utf8_lossy(bytes))
}

/// UTF-32 or UTF-16, by the byte order mark or by the zeros beside the first letters: a pack begins with ASCII
/// (RFC 4627, section 3).
fn wide_encoding(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0xff, 0xfe, 0, 0, ..] | [0, 0, 0xfe, 0xff, ..] | [0, 0, 0, _, ..] | [_, 0, 0, 0, ..] => {
            Some("UTF-32")
        }
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] | [0, _, 0, _, ..] | [_, 0, _, 0, ..] => Some("UTF-16"),
        _ => None,
    }
}

/// The text of a pack, to be saved as a file.
pub fn write_pack(pack: &Pack) -> String {
    serde_json::to_string_pretty(pack).map_or_else(|_| String::new(), |text| text + "\n")
}

/// The text with a line feed for each lone carriage return: some old editors end lines with these, and no text of
/// JSON has one within.
fn with_line_feeds(text: &str) -> Cow<'_, str> {
    if !text.contains('\r') {
        return Cow::Borrowed(text);
    }
    let next = text.chars().skip(1).map(Some).chain([None]);
    let mended = text.chars().zip(next).map(|(this, next)| match (this, next) {
        ('\r', next) if next != Some('\n') => '\n',
        (this, _) => this,
    });
    Cow::Owned(mended.collect())
}
