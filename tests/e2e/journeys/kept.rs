//! All the way: from the photo through "I kept it" to the day's count.
//!
//! The rule is the built-in one (Washington, Puget Sound): five Dungeness a day, each to be written on the catch
//! record card at once; its sources stand in `www/rules/us-wa.json`.

use anyhow::ensure;
use serde_json::json;

use crate::e2e::person::{
    GOOD, at_noon_in_summer, in_sight_on_a_phone, measure_file_by_hand, sample, wait_for_answer, walk,
};
use crate::e2e::visit::Visit;

/// One keeper, one that only the gauge can tell, one that is short; then the last one is taken off again.
pub async fn grows_with_each_keeper(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.resize(360, 740).await?;
    visit.open().await?;
    ensure!(counted(visit).await?.is_empty(), "a count before the first crab");

    // 179.6 mm, 21 mm over the limit.
    photo_to_checks(visit, 9).await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "keep", "{call}");
    ensure!(counted(visit).await?.is_empty(), "counted before the person said that it was kept");
    in_sight_on_a_phone(visit, "#kept-it").await?;
    keep(visit, "1/5 kept").await?;
    let acts = visit.text_of("#next-acts").await?;
    ensure!(acts.contains("catch record card at once"), "no word of the official record: {acts}");
    visit.reload().await?;
    counts(visit, "1/5 kept").await?;
    let day = visit.text_of("#kept-today").await?;
    ensure!(day.contains("1 of 5 Dungeness crab"), "{day}");
    ensure!(!visit.find_now("#kept-it").await?, "the same crab can be counted again after a reload");
    visit.click("#next-crab").await?;

    // 159.0 mm: a quarter of a millimetre over the limit.
    photo_to_checks(visit, 1).await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "gauge", "{call}");
    ensure!(!visit.find_now("#kept-it").await?, "a crab that only the gauge can tell is offered for keeping");
    visit.click("#screen-verdict #answer-gauge-of-size").await?;
    visit.find("#verdict[data-call=keep]").await?;
    keep(visit, "2/5 kept").await?;
    visit.click("#next-crab").await?;

    // 115 mm, 12 mm under what a red rock crab needs.
    photo_to_checks(visit, 3).await?;
    let call =
        walk(visit, &[("kind", "#answer-red-rock"), GOOD[1], GOOD[2], GOOD[3], GOOD[4], GOOD[5]]).await?;
    ensure!(call == "release", "{call}");
    ensure!(!visit.find_now("#kept-it").await?, "a short crab is offered for keeping");
    in_sight_on_a_phone(visit, "#next-crab").await?;
    visit.click("#next-crab").await?;
    ensure!(counted(visit).await? == "2/5 kept", "after a release: {}", counted(visit).await?);

    // The release, and what came before it.
    for undone in ["let go", "kept by You"] {
        let words = visit.text_of("#undo-step").await?;
        ensure!(words.contains(undone), "{words}");
        visit.click("#undo-step").await?;
    }
    on_disk(visit).await?;
    visit.reload().await?;
    counts(visit, "1/5 kept").await
}

async fn photo_to_checks(visit: &Visit<'_>, number: usize) -> anyhow::Result<()> {
    measure_file_by_hand(visit, number).await?;
    visit.click("#confirm-points").await
}

async fn keep(visit: &Visit<'_>, expected: &str) -> anyhow::Result<()> {
    visit.click("#kept-it").await?;
    let told = json!(expected);
    let script = format!("return document.querySelector('#go-day .way-count')?.textContent === {told}");
    visit.wait_until(&format!("the count to say {expected}"), &script).await?;
    on_disk(visit).await?;
    ensure!(!visit.find_now("#kept-it").await?, "the same crab can be counted twice");
    in_sight_on_a_phone(visit, "#next-crab").await?;
    Ok(())
}

/// Waits until everything of the day and of the crab in hand is on the disk.
pub async fn on_disk(visit: &Visit<'_>) -> anyhow::Result<()> {
    let script =
        "const { kept, dayKept } = document.body.dataset; return kept === 'yes' && dayKept === 'yes'";
    visit.wait_until("all to be on the disk", script).await
}

/// The count that stands on every screen; empty where there is none.
async fn counted(visit: &Visit<'_>) -> anyhow::Result<String> {
    visit.ask_text("return document.querySelector('#go-day .way-count')?.textContent ?? ''").await
}

/// The day's rows are read after the page has started.
async fn counts(visit: &Visit<'_>, expected: &str) -> anyhow::Result<()> {
    let is_said =
        format!("return document.querySelector('#go-day .way-count')?.textContent === '{expected}'");
    visit.wait_until(&format!("the day's count to be {expected}"), &is_said).await
}

/// What the next tap of a practised hand is: the way on, or the answer to what is asked; `kept` at the end.
const NEXT_TAP: &str = "const seen = (selector) => document.querySelector(selector)?.checkVisibility();
    if (seen('#cancel')) return null;
    if (seen('#kept-undo')) return '#next-crab';
    const way = ['#kept-it', '#see-verdict', '#confirm-points', '#to-checks'].find(seen);
    if (way) return way;
    const asked = document.querySelector('#screen-checks article.check')?.id;
    return { 'asks-sex': '#answer-male', 'asks-eggs': '#answer-eggs-none', 'asks-shell': '#answer-hard',
             'asks-claws': '#answer-whole' }[asked] ?? null";

/// What a measured photo tells, in the order in which it stands on the screen.
const RESULT_ORDER: &str =
    "const told = ['figures', 'ruler-figure', 'both-points', 'act-bar', 'width-details', 'placement'];
    return [...document.querySelector('.measure-result').children].map((part) => part.classList[0])
        .filter((name) => told.includes(name)).join()";

/// The browser never gets done with a photo for the list; what is written and asked for is told in its order.
const STUCK: &str = "globalThis.order = [];
    globalThis.createImageBitmap = () => { order.push('photo'); return new Promise(() => {}); };
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (...all) { order.push(this.name); return put.apply(this, all); };
    return true";

/// From the day's screen and back to it with the crab on the count, points as they are proposed. Its photo gets stuck
/// in the browser: the crab is on the disk before, and what is missing is said.
pub async fn by_photo_in_eight_taps(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.resize(360, 740).await?;
    visit.open().await?;
    // The kind stays from crab to crab, and the water was looked up once that day.
    for said in ["#start-checks", "#answer-dungeness", "#answer-season-open"] {
        visit.click(said).await?;
    }
    visit.find("#asks-sex").await?;
    visit.click("#next-crab").await?;

    visit.ask(STUCK).await?;
    // 179.6 mm, 21 mm over the limit.
    let crab = sample(9)?;
    visit.choose_file("#day-photo", &crab.photo).await?;
    wait_for_answer(visit).await?;
    // The first photo of a page: the width stands before all that is told about it.
    let order = visit.ask_text(RESULT_ORDER).await?;
    ensure!(order == "figures,ruler-figure,both-points,act-bar,width-details,placement", "{order}");
    let mut taps = vec!["#day-photo".to_owned()];
    if crab.placement()? != "deck" {
        taps.push(format!("#placement-{}", crab.placement()?));
        visit.click(&taps[1]).await?;
    }
    while !visit.find_now("#screen-day").await? {
        visit.wait_until("the next step", NEXT_TAP).await?;
        let tap = visit.ask_text(NEXT_TAP).await?;
        visit.click(&tap).await?;
        // The click returns before the page has followed it.
        let is_followed = format!("return (() => {{ {NEXT_TAP} }})() !== '{tap}'");
        visit.wait_until("the page to follow the tap", &is_followed).await?;
        taps.push(tap);
        ensure!(taps.len() <= 8, "the ninth tap after {taps:?}");
    }
    ensure!(counted(visit).await? == "1/5 kept", "after {taps:?}: {}", counted(visit).await?);
    let said = visit.text_of("#not-kept[data-code=crab-photo]").await?;
    ensure!(said.contains("crab is kept, 1 of its photos not"), "{said}");
    let order =
        visit.ask_text("return order.filter((what) => what === 'rows' || what === 'photo').join()").await?;
    let (rows, photo) = (order.find("rows"), order.find("photo"));
    ensure!(rows.is_some() && photo.is_some() && rows < photo, "the crab waited for its photo: {order}");
    on_disk(visit).await
}
