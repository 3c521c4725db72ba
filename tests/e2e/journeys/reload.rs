//! A reload, a killed browser, a second tab: what was confirmed is there again, or it is said that it will not be.

use std::time::Duration;

use anyhow::{Context, ensure};
use serde_json::json;

use super::measure::agree;
use crate::e2e::native;
use crate::e2e::person::{
    Shown, measure_by_hand, measure_file_by_hand, sample, shown_width, take_sample, to_photos,
    wait_for_answer,
};
use crate::e2e::visit::Visit;

/// Waits until all of the crab in hand is on the disk.
async fn wait_until_kept(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.wait_until("the crab to be kept", "return document.body.dataset.kept === 'yes'").await
}

/// Waits until the database has so many photos.
async fn wait_until_photos(visit: &Visit<'_>, count: usize) -> anyhow::Result<()> {
    let script = format!(
        "const done = arguments[arguments.length - 1], opening = indexedDB.open('shellspan');
         opening.onerror = () => done(false);
         opening.onupgradeneeded = () => opening.transaction.abort();
         opening.onsuccess = () => {{
           const database = opening.result, reading = database.transaction('photos');
           const photos = reading.objectStore('photos').count();
           reading.oncomplete = () => {{ database.close(); done(photos.result === {count}); }};
         }};"
    );
    visit.wait_until(&format!("{count} kept photos"), &script).await?;
    wait_until_kept(visit).await
}

/// The check that is asked.
async fn asked(visit: &Visit<'_>) -> anyhow::Result<String> {
    visit.find("#screen-checks article.check").await?;
    visit.ask_text("return document.querySelector('#screen-checks article.check').id").await
}

/// The photo itself is drawn, not only the marks on it.
async fn photo_is_drawn(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit
        .wait_until(
            "the photo to be drawn",
            "const done = arguments[arguments.length - 1];
             const photo = document.querySelector('#photo image, #photo img'), image = new Image();
             image.onload = () => done(image.naturalWidth > 0);
             image.onerror = () => done(false);
             if (photo) image.src = photo.href?.baseVal ?? photo.src; else done(false);",
        )
        .await
}

/// Both points are magnified from the photo: an empty canvas has pixels that are all alike.
async fn pieces_are_drawn(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit
        .wait_until(
            "both magnified points to be drawn",
            "const pieces = [...document.querySelectorAll('.piece-button canvas')];
             return pieces.length === 2 && pieces.every((canvas) => {
               const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
               return new Set(new Uint32Array(data.buffer)).size > 1;
             });",
        )
        .await
}

pub async fn same_step(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let before = measure_file_by_hand(visit, 2).await?;
    wait_until_kept(visit).await?;
    // Not confirmed yet: the same points, the same step taken back.
    visit.reload().await?;
    visit.find("#screen-measure").await?;
    ensure!(shown_width(visit).await? == before, "{before:?} before, {:?} after", shown_width(visit).await?);
    photo_is_drawn(visit).await?;
    pieces_are_drawn(visit).await?;
    visit.find("#undo:enabled").await?;

    visit.click("#confirm-points").await?;
    for answer in ["#answer-dungeness", "#answer-season-open", "#answer-male"] {
        visit.click(answer).await?;
    }
    visit.wait_until("the next question", "return !document.getElementById('asks-sex')").await?;
    let question = asked(visit).await?;
    wait_until_kept(visit).await?;
    visit.reload().await?;
    ensure!(asked(visit).await? == question, "{question} before, {} after", asked(visit).await?);
    // The kind that was answered has a height of its own, so the width may be another by now.
    visit.click("#go-photo").await?;
    let told = shown_width(visit).await?;
    wait_until_kept(visit).await?;
    visit.reload().await?;
    ensure!(shown_width(visit).await? == told, "{told:?} before, {:?} after", shown_width(visit).await?);
    ensure!(told.marks == before.marks, "the points moved");
    visit.find("#to-checks, #see-verdict").await?;
    Ok(())
}

/// A practice photo, reloaded while it is looked at: it is looked at again, and measures as ever.
pub async fn while_busy(visit: &Visit<'_>) -> anyhow::Result<()> {
    // A phone is slower than this machine: what the worker says comes two seconds later.
    let slow = "const Real = Worker;
                globalThis.Worker = class extends Real {
                  addEventListener(type, hear, ...rest) {
                    const late = (event) => setTimeout(() => hear.call(this, event), 2000);
                    super.addEventListener(type, type == 'message' ? late : hear, ...rest);
                  } };";
    visit.ahead_of_pages(slow).await?;
    visit.open().await?;
    let sample = sample(3)?;
    to_photos(visit).await?;
    visit.click(&format!("#sample-{}", sample.index)).await?;
    visit.find("#cancel").await?;
    wait_until_photos(visit, 1).await?;
    visit.reload().await?;
    // Asked again: an answer that came before the reload would stand there at once.
    visit.find("#cancel").await?;
    wait_for_answer(visit).await?;
    let native = native::measure(visit.workshop, &sample.photo, &[])?;
    agree(&shown_width(visit).await?, &native)
}

pub async fn done_with(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    measure_by_hand(visit, 2).await?;
    wait_until_photos(visit, 1).await?;
    visit.click("#other-photo").await?;
    wait_until_photos(visit, 0).await?;
    visit.reload().await?;
    visit.find("#screen-day").await?;
    ensure!(!visit.find_now("#not-kept").await?, "something is said of a crab that nobody has");
    Ok(())
}

/// The browser dies half a second after the points were confirmed, and is started again.
pub async fn killed_browser(visit: &Visit<'_>) -> anyhow::Result<()> {
    // This browser lives on: its log of connections is whole.
    visit.open().await?;
    let victim = visit.beside("killed").await?;
    victim.open().await?;
    let before = measure_file_by_hand(&victim, 2).await?;
    victim.click("#confirm-points").await?;
    victim.find("#screen-checks").await?;
    wait_until_kept(&victim).await?;
    victim.kill().await;

    let again = visit.beside("killed").await?;
    again.open().await?;
    again.find("#screen-checks").await?;
    again.click("#go-photo").await?;
    let after = shown_width(&again).await?;
    photo_is_drawn(&again).await?;
    again.end().await?;
    ensure!(after == before, "{before:?} before, {after:?} after");
    Ok(())
}

pub async fn blocked(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit
        .ahead_of_pages(
            "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };",
        )
        .await?;
    visit.open().await?;
    let said = visit.text_of("#not-kept[data-code=blocked]").await?;
    ensure!(said.contains("SecurityError") && said.contains("loses the day and the crab"), "{said}");
    visit.click("#not-kept-seen").await?;
    measure_by_hand(visit, 2).await?;
    visit.click("#confirm-points").await?;
    visit.find("#screen-checks").await?;
    ensure!(!visit.find_now("#not-kept").await?, "said twice");
    // Nothing to bring back, and no waiting for it.
    visit.reload().await?;
    visit.find("#screen-day").await.map(|_| ())
}

pub async fn full(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    // The service worker has what it needs before the room is gone.
    visit.wait_until_offline_ready().await?;
    let address = visit.site.borrow().address().to_owned();
    let origin = address.trim_end_matches('/').to_owned();
    visit.devtools("Storage.overrideQuotaForOrigin", json!({ "origin": origin, "quotaSize": 1000 })).await?;
    // Chromium 148 asks for the room that is left once in half a minute, and the page has just written.
    tokio::time::sleep(Duration::from_secs(32)).await;
    let before = measure_file_by_hand(visit, 2).await?;
    let said = visit.text_of("#not-kept").await?;
    ensure!(said.contains("QuotaExceededError") && said.contains("full"), "{said}");
    visit.devtools("Storage.overrideQuotaForOrigin", json!({ "origin": origin })).await?;
    visit.click("#confirm-points").await?;
    visit.find("#screen-checks").await?;
    wait_until_kept(visit).await?;
    visit.wait_until("the word to go", "return !document.getElementById('not-kept')").await?;
    visit.reload().await?;
    // The crab is there again at its step: what is pressed before it comes would be overtaken.
    visit.find("#screen-checks").await?;
    visit.click("#go-photo").await?;
    ensure!(shown_width(visit).await? == before, "not the same after the reload");
    Ok(())
}

pub async fn two_tabs(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let before = measure_file_by_hand(visit, 2).await?;
    wait_until_kept(visit).await?;
    let first = visit.browser.window().await?;

    let second = visit.browser.new_window(true).await?.handle;
    visit.browser.switch_to_window(second).await?;
    visit.open().await?;
    // The first tab's crab is in the first tab.
    visit.find("#screen-day").await?;
    ensure!(!visit.find_now("#not-kept").await?, "nothing is in hand here");
    take_sample(visit, &sample(5)?).await?;
    let said = visit.text_of("#not-kept[data-code=other-tab]").await?;
    ensure!(said.contains("Another tab"), "{said}");
    // The second is closed, the first loaded again.
    visit.browser.close_window().await?;
    visit.browser.switch_to_window(first).await?;
    same_as(visit, &before).await?;

    // The other way round: the first is closed, and the second one's crab does not take its place.
    let third = visit.browser.new_window(true).await?.handle;
    visit.browser.switch_to_window(third.clone()).await?;
    visit.open().await?;
    take_sample(visit, &sample(5)?).await?;
    visit.find("#not-kept[data-code=other-tab]").await?;
    visit
        .browser
        .switch_to_window(
            visit.browser.windows().await?.into_iter().find(|tab| *tab != third).context("the first tab")?,
        )
        .await?;
    visit.browser.close_window().await?;
    visit.browser.switch_to_window(third).await?;
    visit.click("#placement-level").await?;
    same_as(visit, &before).await
}

async fn same_as(visit: &Visit<'_>, before: &Shown) -> anyhow::Result<()> {
    visit.reload().await?;
    visit.find("#screen-measure").await?;
    let after = shown_width(visit).await?;
    ensure!(after == *before, "{before:?} before, {after:?} after");
    Ok(())
}

/// An older build that is opened on the data of a newer one does not destroy them.
pub async fn other_version(visit: &Visit<'_>) -> anyhow::Result<()> {
    // That of this build is 2.
    const THIS_VERSION: u8 = 2;
    const OTHER_VERSION: u8 = 1;
    visit.open().await?;
    let before = measure_file_by_hand(visit, 2).await?;
    wait_until_kept(visit).await?;
    let rewritten = |key: &str, to: u8| {
        format!(
            "const done = arguments[arguments.length - 1], opening = indexedDB.open('shellspan');
             opening.onsuccess = () => {{
               const database = opening.result, change = database.transaction('states', 'readwrite');
               const states = change.objectStore('states'), get = states.get('{key}');
               // The version comes first.
               get.onsuccess = () => states.put(get.result.with(0, {to}), '{key}');
               change.oncomplete = () => {{ database.close(); done('rewritten'); }};
               change.onabort = () => done(String(change.error));
             }};"
        )
    };
    let rewrite = |script: String| async move {
        let done = visit.ask_text(&script).await?;
        ensure!(done == "rewritten", "{done}");
        anyhow::Ok(())
    };
    rewrite(rewritten("crab", OTHER_VERSION)).await?;
    visit.reload().await?;
    visit.find("#not-kept[data-code=unread]").await?;
    visit.find("#screen-day").await?;
    // A crab of this build comes and goes.
    take_sample(visit, &sample(5)?).await?;
    wait_until_photos(visit, 2).await?;
    visit.click("#other-photo").await?;
    wait_until_photos(visit, 1).await?;
    // The build that can read it comes back.
    rewrite(rewritten("crab-unread", THIS_VERSION)).await?;
    same_as(visit, &before).await
}
