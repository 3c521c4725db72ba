//! Pictures of the screens at a phone's and a desktop's size, in both themes.

use std::path::Path;

use super::Workshop;
use super::browser::Driver;
use super::visit::Visit;

/// Sizes in CSS pixels: a small phone, a small laptop.
const SIZES: [(u32, u32); 2] = [(360, 740), (1280, 800)];
const THEMES: [&str; 2] = ["light", "dark"];

/// Writes `SCREEN-WIDTH-THEME.png` for every screen into `out`.
pub async fn take(workshop: &Workshop, out: &Path) -> anyhow::Result<()> {
    let driver = Driver::start(&workshop.driver, &workshop.folder.join("driver.log"))?;
    let folder = workshop.folder.join("shots");
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    let visit = Visit::begin(workshop, &driver, &folder, "").await?;
    visit.open().await?;
    take_one(&visit, out, "start").await?;
    visit.end().await?;
    Ok(())
}

/// The screen as it is now, at every size, in both themes.
async fn take_one(visit: &Visit<'_>, out: &Path, screen: &str) -> anyhow::Result<()> {
    for (width, height) in SIZES {
        visit.resize(width, height).await?;
        for theme in THEMES {
            visit.use_theme(theme).await?;
            let file = out.join(format!("{screen}-{width}-{theme}.png"));
            visit.picture(&file).await?;
            println!("{}", file.display());
        }
    }
    Ok(())
}
