//! Reading packs: the built-in one and files from outside, with every mistake of a file told in one go.
//!
//! [`check`] tells the mistakes. It asks [`schema`] where the file departs from a pack's form, `lines` on
//! which line that stands, and `damaged` what can still be read of a text that breaks off.

pub mod check;
mod damaged;
mod lines;
pub mod schema;

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
    check::check_pack(text)
}

/// Reads and checks the bytes of a file. What is not UTF-8 is told by its lines, and so is all the rest.
pub fn read_pack_bytes(bytes: &[u8]) -> Result<Pack, Vec<Mistake>> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        let words = "the file is UTF-16: save it as UTF-8".to_owned();
        return Err(vec![Mistake { line: 1, field: String::new(), words }]);
    }
    if bytes.len() > LARGEST_FILE {
        return Err(vec![check::too_large(bytes.len())]);
    }
    read_pack(&String::from_utf8_lossy(bytes))
}

/// The text of a pack, to be saved as a file.
pub fn write_pack(pack: &Pack) -> String {
    serde_json::to_string_pretty(pack).map_or_else(|_| String::new(), |text| text + "\n")
}
