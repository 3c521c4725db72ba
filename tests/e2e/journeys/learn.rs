//! Learn: lessons without a network, back to the check with nothing lost, the diagram by keyboard, the guide.

use anyhow::{Context, ensure};
use fantoccini::key::Key;

use crate::e2e::person::{at_noon_in_summer, in_sight_on_a_phone};
use crate::e2e::visit::Visit;

pub async fn learns_offline(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    let early = visit
        .ask_text("return performance.getEntriesByType('resource').map(e => e.name).filter(n => n.includes('/lessons/')).join(' ')")
        .await?;
    ensure!(early.is_empty(), "the first screen fetches lessons: {early}");
    visit.site.borrow_mut().stop()?;
    in_sight_on_a_phone(visit, "#go-learn").await?;

    // From a check, without a network, and back to it.
    visit.click("#go-checks").await?;
    visit.find("#asks-kind").await?;
    few_words(visit, 110).await.context("kind")?;
    visit.click("#answer-dungeness").await?;
    visit.find("#asks-season").await?;
    few_words(visit, 125).await.context("season")?;
    visit.click("#all-checks > summary").await?;
    visit.click("#check-shell").await?;
    visit.find("#asks-shell").await?;
    visit.click("#why > summary").await?;
    visit.click("#learn-this").await?;
    visit.find("#screen-lesson .lesson-says").await.context("the lesson is not there offline")?;
    visit.click("#lesson-next").await?;
    visit.click("#lesson-next").await?;
    visit.find("#screen-lesson .lesson-drawing svg").await.context("its drawing is not there offline")?;
    let focus = visit.ask_text("return document.activeElement.className").await?;
    ensure!(focus == "question", "the new screen's heading has no focus: {focus}");
    visit.click("#lesson-leave").await?;
    visit.find("#asks-shell").await.context("not back at the check")?;
    visit.click("#all-checks > summary").await?;
    let kind = visit.text_of("#check-kind").await?;
    ensure!(!kind.contains("open"), "the answer is lost: {kind}");

    // A lesson to its end, by keyboard, is remembered.
    visit.click("#go-day").await?;
    visit.click("#go-learn").await?;
    visit.press_on("#lesson-height", &[Key::Enter]).await?;
    visit.find("#lesson-next").await?;
    for _ in 0..2 {
        visit.press_on("#lesson-next", &[Key::Enter]).await?;
    }
    let told = || visit.text_of("#stand-flat");
    let before = told().await?;
    ensure!(
        before.starts_with("10.8") || before.starts_with("10.9"),
        "158.75 * 32 / (500 - 32) is 10.85: {before}"
    );
    visit.press_on("#stand-camera", &[Key::Left, Key::Left]).await?;
    let after = told().await?;
    // 158.75 * 32 / (480 - 32).
    ensure!(after.starts_with("11.3"), "two steps lower: {after}");
    while visit.text_of("#lesson-next").await? != "Done" {
        visit.press_on("#lesson-next", &[Key::Enter]).await?;
    }
    visit.press_on("#lesson-next", &[Key::Enter]).await?;
    let state = visit.text_of("#lesson-height .lesson-state").await?;
    ensure!(state.contains("read"), "{state}");

    // On paper a lesson is whole: a screen that is not shown, and an answer that is folded away.
    visit.click("#lesson-height").await?;
    visit.find("#lesson-next").await?;
    visit.devtools("Emulation.setEmulatedMedia", serde_json::json!({ "media": "print" })).await?;
    let printed = visit.text().await?;
    visit.devtools("Emulation.setEmulatedMedia", serde_json::json!({ "media": "" })).await?;
    for words in ["The trap", "never nothing", "Shellspan, README.md"] {
        ensure!(printed.contains(words), "{words:?} is not printed: {printed}");
    }
    visit.click("#lesson-leave").await?;

    // The guide follows the rule in force; on paper there is the sheet alone.
    visit.click("#go-guide").await?;
    let mut asked = Vec::new();
    loop {
        asked.push(visit.text_of("#screen-guide .question").await?);
        let is_last = visit.ask("return document.querySelector('#guide-next').disabled").await?;
        if is_last == true {
            break;
        }
        visit.click("#guide-next").await?;
    }
    ensure!(asked.len() == 8 && asked[0].contains("kind"), "{asked:?}");
    visit.devtools("Emulation.setEmulatedMedia", serde_json::json!({ "media": "print" })).await?;
    let printed = visit.text().await?;
    visit.devtools("Emulation.setEmulatedMedia", serde_json::json!({ "media": "" })).await?;
    for words in ["6 1/4", "Not legal advice", "Rules last checked", "Puget Sound"] {
        ensure!(printed.contains(words), "{words:?} is not on the sheet: {printed}");
    }
    ensure!(
        !printed.contains("All lessons") && !printed.contains("Vibrate"),
        "the page is on the sheet too: {printed}"
    );
    Ok(())
}

/// A question is read at a glance: no more words in sight than these, the head and the foot among them.
async fn few_words(visit: &Visit<'_>, most: u64) -> anyhow::Result<()> {
    let count = "return document.body.innerText.split(/\\s+/).filter(Boolean).length";
    let words = visit.ask(count).await?.as_u64().context("a number")?;
    ensure!(words <= most, "{words} words in sight");
    Ok(())
}
