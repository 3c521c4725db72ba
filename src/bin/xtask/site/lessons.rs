//! Lessons as the page shows them, from their files in `www/lessons`, and the list of them.

use std::path::Path;

use anyhow::{Context, ensure};
use shellspan::lessons::{Lesson, Listed, html, mistakes};

use super::dist::{Files, read_folder};

const FOLDER: &str = "lessons/";

/// Puts `NAME.html` in place of `NAME.json` and of the drawings that are set into it.
pub fn write(own: &mut Files, repo: &Path) -> anyhow::Result<()> {
    let paths: Vec<String> = own.keys().filter(|path| path.starts_with(FOLDER)).cloned().collect();
    let taken: Files = paths.iter().filter_map(|path| own.remove_entry(path)).collect();
    let of_page = read_folder(&repo.join("src/page/drawings"))?;
    let drawing = |name: &str| {
        let ending = format!("/{name}.svg");
        // Beside the lesson, in the page's program, or among the files of the page.
        let mut all = taken.iter().chain(&of_page).chain(own.iter());
        all.find(|(path, _)| path.ends_with(&ending))
            .map(|(_, svg)| String::from_utf8_lossy(svg).into_owned())
    };
    let mut written = Files::new();
    for (path, bytes) in &taken {
        const OTHERS: [&str; 2] = ["lessons/schema", "lessons/index"];
        let Some(name) = path.strip_suffix(".json").filter(|name| !OTHERS.contains(name)) else { continue };
        let lesson: Lesson = serde_json::from_slice(bytes).with_context(|| format!("www/{path}"))?;
        let wrong = mistakes(&lesson);
        ensure!(wrong.is_empty(), "www/{path}: {wrong:?}");
        let text = html::written(&lesson, drawing).with_context(|| format!("www/{path}"))?;
        written.insert(format!("{name}.html"), text.into_bytes());
    }
    // A build without lessons is a build all the same.
    if let Some(list) = taken.get("lessons/index.json") {
        let list: Vec<Listed> = serde_json::from_slice(list).context("www/lessons/index.json")?;
        let lines: String = list.iter().map(|listed| format!("{} {}\n", listed.name, listed.title)).collect();
        written.insert("lessons/index.txt".into(), lines.into_bytes());
    }
    own.extend(written);
    Ok(())
}
