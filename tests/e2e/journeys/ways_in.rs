//! Other ways for a photo to come in: pasted, dropped, very large, in a format only some browsers read.

use anyhow::{Context, ensure};
use serde_json::json;

use crate::e2e::browser::ChromiumCommand;
use crate::e2e::person::{
    Sample, make_photo, measure_file_by_hand, place_both, sample, shown_width, wait_for_answer,
};
use crate::e2e::visit::Visit;

pub async fn pasted(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit
        .ask(
            "const done = arguments[arguments.length - 1];
             const folder = new URL(document.querySelector('meta[name=shellspan-samples]').content, location.href);
             fetch(new URL('crab-06.jpg', folder)).then((answer) => answer.blob()).then((blob) => {
               const clipboardData = new DataTransfer();
               clipboardData.items.add(new File([blob], 'image.jpg', { type: 'image/jpeg' }));
               document.body.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true }));
               done(true);
             });",
        )
        .await?;
    gives_width(visit, &sample(6)?).await
}

/// A real drag of a file, as the browser gets it from the desktop; dropped beside the marked place, on a
/// screen where nothing asks for a photo.
pub async fn dropped(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.click("#start-checks").await?;
    visit.click("#answer-red-rock").await?;
    let sample = sample(6)?;
    for kind in ["dragEnter", "dragOver", "drop"] {
        let parameters = json!({ "type": kind, "x": 200, "y": 300,
            "data": { "items": [], "files": [sample.photo], "dragOperationsMask": 1 } });
        visit.browser.issue_cmd(ChromiumCommand::devtools("Input.dispatchDragEvent", parameters)).await?;
    }
    gives_width(visit, &sample).await?;
    visit.click("#go-checks").await?;
    let kind = visit.text_of("#check-kind").await?;
    ensure!(!kind.contains("open"), "the drop took the answers away: {kind}");
    Ok(())
}

/// 50 megapixels: the search can be stopped, nothing moves where the person wants no motion, and it measures.
pub async fn very_large(visit: &Visit<'_>) -> anyhow::Result<()> {
    // A phone is slower than this machine: what the worker says is held back until the journey lets it through.
    let slow = "globalThis.held = true; const Real = Worker;
                globalThis.Worker = class extends Real {
                  addEventListener(type, hear, ...rest) {
                    const late = event => this.ended || (held ? setTimeout(() => late(event), 50) : hear.call(this, event));
                    super.addEventListener(type, type == 'message' ? late : hear, ...rest);
                  }
                  terminate() { this.ended = true; super.terminate(); } };";
    visit.ahead_of_pages(slow).await?;
    visit.open().await?;
    let (width, height) = (8160.0, 6120.0);
    let mut large = sample(4)?;
    let grown = width / 3264.0;
    for side in ["left_px", "right_px"] {
        let (x, y) = large.point(side.trim_end_matches("_px"))?;
        // The centre of the first pixel is (0, 0): half a pixel before its left edge.
        let grow = |value: f64| (value + 0.5) * grown - 0.5;
        large.truth["shell"][side] = json!([grow(x), grow(y)]);
    }
    make_photo(visit, 4, (width as u32, height as u32), "").await?;

    visit.find("#cancel").await?;
    for (wish, expected) in [("no-preference", 1), ("reduce", 0)] {
        let features = json!([{ "name": "prefers-reduced-motion", "value": wish }]);
        let command =
            ChromiumCommand::devtools("Emulation.setEmulatedMedia", json!({ "features": features }));
        visit.browser.issue_cmd(command).await?;
        let moving = visit
            .ask("return document.querySelector('.progress-bar') ? document.getAnimations().length : 'done already'")
            .await?;
        ensure!(moving == expected, "motion wanted: {wish}; {moving} things move");
    }
    visit.click("#cancel").await?;
    let code = visit.ask_text("return document.querySelector('.message').dataset.code").await?;
    ensure!(code == "stopped", "after the stop: {code}");
    visit.ask("globalThis.held = false; return true").await?;
    visit.click("#look-again").await?;
    gives_width(visit, &large).await
}

async fn gives_width(visit: &Visit<'_>, sample: &Sample) -> anyhow::Result<()> {
    wait_for_answer(visit).await?;
    place_both(visit, sample).await?;
    let shown = shown_width(visit).await?;
    let truth = sample.width_mm()?;
    ensure!((shown.width_mm - truth).abs() < 4.0 * shown.u_mm, "{shown:?}, in truth {truth} mm");
    Ok(())
}

/// The worker breaks while a crab is half answered: the page says so, keeps the answers, and measures again.
pub async fn broken_worker(visit: &Visit<'_>) -> anyhow::Result<()> {
    let spy = "globalThis.workers = []; const Real = Worker;
               globalThis.Worker = class extends Real {
                 constructor(...given) { super(...given); workers.push(this); } };";
    visit.ahead_of_pages(spy).await?;
    visit.open().await?;
    visit.click("#start-checks").await?;
    visit.click("#answer-dungeness").await?;
    visit.click("#answer-season-open").await?;
    visit.click("#answer-male").await?;
    measure_file_by_hand(visit, 6).await?;

    // No message of the page looks like this: reading it throws inside the worker.
    visit.ask("workers.at(-1).postMessage(null); return true").await?;
    visit.find("#message").await.context("the page does not say that its worker broke")?;
    let code = visit.ask_text("return document.querySelector('.message').dataset.code").await?;
    ensure!(code == "worker-stopped", "{code}");

    visit.click("#look-again").await?;
    gives_width(visit, &sample(6)?).await?;
    let started = visit.ask("return workers.length").await?;
    ensure!(started == 2, "{started} workers were started");
    visit.click("#go-checks").await?;
    for check in ["kind", "sex"] {
        let state = visit.text_of(&format!("#check-{check}")).await?;
        ensure!(!state.contains("open"), "the answer to {check} is lost: {state}");
    }
    Ok(())
}
