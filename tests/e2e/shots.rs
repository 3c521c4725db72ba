//! Pictures of the screens at a phone's and a desktop's size, in both themes.

use std::fs;
use std::path::Path;

use super::Workshop;
use super::browser::Driver;
use super::person::{measure_by_hand, set_date, walk};
use super::visit::Visit;

/// Sizes in CSS pixels: a small phone, a small laptop.
const SIZES: [(u32, u32); 2] = [(360, 740), (1280, 800)];
/// The page's own switches.
const THEMES: [&str; 2] = ["sun", "night"];

/// Writes `SCREEN-WIDTH-THEME.png` for every screen into `out`.
pub async fn take(workshop: &Workshop, out: &Path) -> anyhow::Result<()> {
    let driver = Driver::start(&workshop.driver, &workshop.folder.join("driver.log"))?;
    let folder = workshop.folder.join("shots");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&folder)?;
    let visit = Visit::begin(workshop, &driver, &folder, "").await?;
    let taken = screens(&visit, out).await;
    visit.end().await?;
    taken
}

async fn screens(visit: &Visit<'_>, out: &Path) -> anyhow::Result<()> {
    visit.open().await?;
    visit.find("#sample-0").await?;
    take_one(visit, out, "1-start").await?;
    visit.click("#go-rules").await?;
    visit.find("#screen-rules").await?;
    take_one(visit, out, "2-rules").await?;
    set_date(visit, "2026-07-15").await?;
    measure_by_hand(visit, 9).await?;
    take_one(visit, out, "3-measure").await?;
    visit.press_on("#mark-0", &[fantoccini::key::Key::Enter]).await?;
    visit.find("#aim").await?;
    take_one(visit, out, "4-aim").await?;
    visit.click("#aim-close").await?;
    visit.click("#confirm-points").await?;
    visit.click("#to-checks").await?;
    for (check, answer) in super::person::GOOD {
        let shown = visit.find_now(&format!("#asks-{check}")).await?;
        if shown {
            take_one(visit, out, &format!("5-check-{check}")).await?;
            visit.click(answer).await?;
        }
    }
    visit.find("#verdict").await?;
    take_one(visit, out, "6-keep").await?;
    visit.click("#next-crab").await?;
    visit.click("#go-checks").await?;
    walk(visit, &[("kind", "#answer-dungeness"), ("sex", "#answer-female")]).await?;
    take_one(visit, out, "7-release").await
}

/// The screen as it is now, whole, at every size and in both themes.
async fn take_one(visit: &Visit<'_>, out: &Path, screen: &str) -> anyhow::Result<()> {
    for (width, height) in SIZES {
        visit.resize(width, height).await?;
        for theme in THEMES {
            visit.ask(&format!("document.getElementById('theme-{theme}').click(); return true")).await?;
            visit
                .wait_until(
                    "the theme",
                    &format!("return document.documentElement.dataset.theme === '{theme}'"),
                )
                .await?;
            let file = out.join(format!("{screen}-{width}-{theme}.png"));
            visit.whole_picture(&file).await?;
            println!("{}", file.display());
        }
    }
    Ok(())
}
