//! Reading packs: the built-in one and files from outside.

use super::check::Mistake;
use super::pack::Pack;

/// The pack that is part of the program: Puget Sound.
pub const BUILT_IN: &str = include_str!("../../www/rules/us-wa.json");

/// Largest file that is read, in bytes: the largest pack of all jurisdictions together is far smaller.
pub const LARGEST_FILE: usize = 4 * 1024 * 1024;

/// The built-in pack.
pub fn built_in_pack() -> Pack {
    serde_json::from_str(BUILT_IN).expect("the pack is part of the program and checked in its tests")
}

/// Reads and checks the text of a pack. On failure every mistake, each with its field and line.
pub fn read_pack(text: &str) -> Result<Pack, Vec<Mistake>> {
    super::check::check_pack(text)
}

/// The text of a pack, to be saved as a file.
pub fn write_pack(pack: &Pack) -> String {
    serde_json::to_string_pretty(pack).map_or_else(|_| String::new(), |text| text + "\n")
}
