//! Pictures of the screens at a phone's and a desktop's size, in both themes.

use std::fs;
use std::path::Path;

use super::Workshop;
use super::browser::Driver;
use super::person::{measure_by_hand, set_date, to_photos, walk};
use super::visit::Visit;

/// Sizes in CSS pixels: a small phone, a small laptop.
const SIZES: [(u32, u32); 2] = [(360, 740), (1280, 800)];
/// The same at 200 % zoom: half as many CSS pixels.
const ZOOMED: [(u32, u32); 2] = [(180, 370), (640, 400)];
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
    to_photos(visit).await?;
    visit.find("#sample-0").await?;
    take_one(visit, out, "1-start").await?;
    visit.click("#go-rules").await?;
    visit.find("#screen-rules").await?;
    take_one(visit, out, "2-rules").await?;
    set_date(visit, "2026-07-15").await?;
    measure_by_hand(visit, 9).await?;
    take_one(visit, out, "3-measure").await?;
    visit.click("#confirm-points").await?;
    visit.click("#check-kind").await?;
    visit.click("#answer-dungeness").await?;
    visit.click("#go-photo").await?;
    take_one(visit, out, "3-measure-limit").await?;
    visit.press_on("#mark-0", &[fantoccini::key::Key::Enter]).await?;
    visit.find("#aim").await?;
    take_one(visit, out, "4-aim").await?;
    visit.click("#aim-close").await?;
    visit.click("#to-checks").await?;
    visit.click("#check-kind").await?;
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
    take_one(visit, out, "7-release").await?;
    visit.click("#next-crab").await?;
    measure_by_hand(visit, 2).await?;
    take_one(visit, out, "8-measure-tall").await?;
    visit.click("#other-photo").await?;
    measure_by_hand(visit, 1).await?;
    visit.click("#confirm-points").await?;
    walk(visit, &super::person::GOOD).await?;
    take_one(visit, out, "9-gauge").await?;
    visit.click("#next-crab").await?;
    to_photos(visit).await?;
    visit.choose_file("#pick-photo", &crate::repo::root().join("tests/bad/no-card.jpg")).await?;
    visit.find("#message").await?;
    take_one(visit, out, "10-no-card").await
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
            // What is seen without scrolling is a question of its own; the whole picture stretches the window.
            visit.ask("scrollTo({ top: 0, behavior: 'instant' }); return true").await?;
            visit.picture(&out.join(format!("{screen}-{width}-{theme}-first.png"))).await?;
            let file = out.join(format!("{screen}-{width}-{theme}.png"));
            visit.whole_picture(&file).await?;
            println!("{}", file.display());
        }
    }
    visit.ask("document.getElementById('theme-sun').click(); return true").await?;
    for (width, height) in ZOOMED {
        visit.resize(width, height).await?;
        visit.picture(&out.join(format!("{screen}-{}-zoomed-first.png", 2 * width))).await?;
        visit.whole_picture(&out.join(format!("{screen}-{}-zoomed.png", 2 * width))).await?;
    }
    visit.resize(1280, 800).await
}
