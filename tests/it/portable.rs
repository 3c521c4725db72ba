//! The measuring core takes no function from the platform that another platform rounds differently.

use std::fs;
use std::path::{Path, PathBuf};

/// Functions of the standard library that are not fixed to the last bit (its documentation says so under
/// "Unspecified precision").
const UNSPECIFIED: [&str; 14] = [
    ".sin(",
    ".cos(",
    ".tan(",
    ".sin_cos(",
    ".asin(",
    ".acos(",
    ".atan(",
    ".atan2(",
    ".exp(",
    ".ln(",
    ".powf(",
    ".cbrt(",
    ".hypot(",
    ".mul_add(",
];

const ROOMS: [&str; 7] = ["photo", "camera", "card", "shell", "width", "measure", "units.rs"];

#[test]
fn the_core_rounds_alike_everywhere() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut open: Vec<PathBuf> = ROOMS.iter().map(|room| src.join(room)).collect();
    let (mut seen, mut found) = (0, Vec::new());
    while let Some(path) = open.pop() {
        if path.is_dir() {
            let entries = fs::read_dir(&path).expect("a folder of the source");
            open.extend(entries.map(|entry| entry.expect("an entry of it").path()));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            seen += 1;
            let text = fs::read_to_string(&path).expect("a file of the source");
            let code = text.split("#[cfg(test)]").next().unwrap_or_default();
            let lines = code.lines().enumerate();
            found.extend(
                lines
                    .filter(|(_, line)| UNSPECIFIED.iter().any(|name| line.contains(name)))
                    .map(|(i, line)| format!("{}:{}: {}", path.display(), i + 1, line.trim())),
            );
        }
    }
    assert!(seen > 20, "only {seen} files found");
    assert!(found.is_empty(), "use the functions of shellspan::portable here:\n{}", found.join("\n"));
}
