//! Photos of measured crabs: kept with the crab as pixels alone, in the copy, and said where there is no room for them.

use std::fs;

use anyhow::{Context, ensure};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::json;
use shellspan::day::copies::backup::read_copy;

use super::day::begin;
use super::kept::on_disk;
use crate::e2e::person::{GOOD, at_noon_in_summer, measure_file_by_hand, sample, walk};
use crate::e2e::visit::Visit;

/// What JPEG files of cameras carry beside the pixels: Exif and XMP name themselves so.
const BESIDE_PIXELS: [&[u8]; 2] = [b"Exif\0", b"http://ns.adobe.com/"];

/// The page's next file comes to the test instead of the person's folder, as base64.
const CATCH_FILE: &str = "globalThis.caught = null; const real = URL.createObjectURL;
     URL.createObjectURL = (blob) => {
         const reader = new FileReader(); reader.onload = () => { caught = reader.result.split(',')[1]; };
         reader.readAsDataURL(blob); URL.createObjectURL = real; return real.call(URL, blob); };
     return true";

async fn caught(visit: &Visit<'_>, button: &str) -> anyhow::Result<Vec<u8>> {
    visit.ask(CATCH_FILE).await?;
    visit.click(button).await?;
    visit.wait_until("the file", "return typeof caught === 'string'").await?;
    Ok(STANDARD.decode(visit.ask_text("return caught").await?)?)
}

/// A device with a share sheet for files: what it is given comes to the test.
const SHARE_SHEET: &str = "globalThis.shared = null;
     navigator.canShare = (data) => data.files?.length === 1;
     navigator.share = async ({ files: [file] }) => {
         shared = [file.name, file.type, await file.text()].join(' '); };";

async fn shared(visit: &Visit<'_>, button: &str) -> anyhow::Result<String> {
    visit.ask("shared = null; return true").await?;
    visit.click(button).await?;
    visit.wait_until("the share sheet", "return shared !== null").await?;
    visit.ask_text("return shared.slice(0, 200)").await
}

/// A crab measured on sample 6 (179.6 mm; a file with Exif, stored upside down), kept.
async fn keep_measured(visit: &Visit<'_>) -> anyhow::Result<()> {
    measure_file_by_hand(visit, 6).await?;
    visit.click("#confirm-points").await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "keep", "{call}");
    visit.click("#kept-it").await?;
    visit.find("#kept-undo").await?;
    visit.click("#next-crab").await?;
    visit.find("#screen-day").await.map(|_| ())
}

fn holds(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|window| window == words)
}

/// The photo is there after a reload, without what the camera wrote beside it; the measurement is drawn in on request.
pub async fn kept_with_the_crab(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    begin(visit).await?;
    keep_measured(visit).await?;
    on_disk(visit).await?;
    visit.ahead_of_pages(SHARE_SHEET).await?;
    visit.reload().await?;
    visit.click("#go-crabs").await?;
    let table = shared(visit, "#share-csv").await?;
    ensure!(table.starts_with("crabs.csv text/csv id,day,local_time"), "{table}");
    visit.find("#crabs img.thumb").await?;
    visit.click("#crabs .crab").await?;
    visit.find(".crab-photo img").await?;
    visit
        .wait_until("the photo", "return document.querySelector('.crab-photo img').naturalWidth === 2048")
        .await?;
    let camera = fs::read(sample(6)?.photo)?;
    ensure!(holds(&camera, BESIDE_PIXELS[0]), "the sample has no Exif: nothing is shown by this journey");
    let plain = caught(visit, ".save-photo").await?;
    let drawn = caught(visit, ".save-drawn").await?;
    for (what, file) in [("plain", &plain), ("drawn", &drawn)] {
        ensure!(file.starts_with(&[0xff, 0xd8]), "{what} is no JPEG");
        for words in BESIDE_PIXELS {
            ensure!(!holds(file, words), "{what} carries {}", String::from_utf8_lossy(words));
        }
    }
    let photo = shared(visit, ".share-drawn").await?;
    ensure!(photo.starts_with("crab-2026-07-15.jpg image/jpeg "), "{photo:.40}");
    // Half way between the points of the sample the line is white; the crab's back is not.
    let (left, right) = (sample(6)?.point("left")?, sample(6)?.point("right")?);
    let wide = f64::from(image_width(&camera).context("the width of the sample")?);
    let middle = [(left.0 + right.0) / 2.0 / wide, (left.1 + right.1) / 2.0 / wide];
    let brightness = async |file: &[u8]| -> anyhow::Result<f64> {
        let script = format!(
            "const bytes = Uint8Array.from(atob('{}'), (c) => c.charCodeAt(0));
             const bitmap = await createImageBitmap(new Blob([bytes]));
             const canvas = new OffscreenCanvas(bitmap.width, bitmap.height), context = canvas.getContext('2d');
             context.drawImage(bitmap, 0, 0);
             const [x, y] = {}.map((share) => Math.round(share * bitmap.width));
             const {{ data }} = context.getImageData(x - 4, y - 4, 9, 9);
             return Math.max(...Array.from({{ length: 81 }}, (_, at) => data[4 * at + 1]))",
            STANDARD.encode(file),
            json!(middle)
        );
        visit.ask(&format!("return (async () => {{ {script} }})()")).await?.as_f64().context("a brightness")
    };
    let (before, after) = (brightness(&plain).await?, brightness(&drawn).await?);
    ensure!(before < 170.0 && after > 220.0, "no line is drawn: {before} and {after}");

    // In a fresh browser the copy brings the same photos, twice read no more of them; a damaged one brings nothing.
    let copy = caught(visit, "#save-with-photos").await?;
    let (rows, photos) = read_copy(&copy).map_err(|error| anyhow::anyhow!("{error}"))?;
    ensure!(photos.len() == 2 && !rows.is_empty(), "{} photos", photos.len());
    ensure!(photos.iter().any(|(_, bytes)| *bytes == plain), "the copy has another photo");
    let less = caught(visit, "#save-copy").await?;
    ensure!(less.len() * 20 < copy.len(), "the copy without photos has {} bytes", less.len());
    let fresh = visit.beside("fresh").await?;
    at_noon_in_summer(&fresh).await?;
    fresh.open().await?;
    fresh.click("#go-crabs").await?;
    let mut damaged = copy.clone();
    let last = damaged.len() - 100;
    damaged[last] ^= 0x10;
    // The words of each reading differ from those of the one before: they are waited for.
    let (bad, good) = ((&damaged, "damaged"), (&copy, "2 pictures"));
    for (time, (bytes, said)) in [bad, good, bad, good].into_iter().enumerate() {
        let file = fresh.folder().join(format!("copy-{time}.bin"));
        fs::write(&file, bytes)?;
        fresh.choose_file("#restore-copy", &file).await?;
        let words = format!("return document.getElementById('copies-said')?.innerText.includes('{said}')");
        fresh.wait_until(said, &words).await?;
        if time == 1 {
            fresh.click("#copy-mine").await?;
            fresh.find("#crabs").await?;
        }
        ensure!(
            fresh.find_now("#crabs").await? == (time > 0),
            "a damaged copy was taken, or a whole one not"
        );
    }
    on_disk(&fresh).await?;
    fresh.reload().await?;
    fresh.click("#go-crabs").await?;
    fresh.find("#crabs img.thumb").await?;
    let again = caught(&fresh, "#save-with-photos").await?;
    ensure!(again == copy, "the copy changed: {} and {} bytes", again.len(), copy.len());
    fresh.end().await?;

    // No room for a photo: the crab is kept, the photo is named as not kept, and comes once there is room.
    visit
        .ask(
            "globalThis.put = IDBObjectStore.prototype.put;
             IDBObjectStore.prototype.put = function (...all) {
                 if (this.name === 'pictures') throw new DOMException('full', 'QuotaExceededError');
                 return put.apply(this, all); };
             return true",
        )
        .await?;
    visit.click("#go-day").await?;
    keep_measured(visit).await?;
    let said = visit.text_of("#not-kept[data-code=crab-photo]").await?;
    ensure!(said.contains("full") && said.contains("the crab is kept"), "{said}");
    on_disk(visit).await?;
    visit.ask("IDBObjectStore.prototype.put = put; return true").await?;
    visit.click("#sort-female").await?;
    visit.click("#next-crab").await?;
    visit.wait_until("the word to go", "return !document.getElementById('not-kept')").await?;
    on_disk(visit).await?;
    visit.reload().await?;
    visit.click("#go-crabs").await?;
    visit.wait_until("both photos", "return document.querySelectorAll('#crabs img.thumb').length === 2").await
}

/// The width of an upright JPEG.
fn image_width(file: &[u8]) -> Option<u32> {
    shellspan::photo::Photo::decode(file, &shellspan::photo::Limits::default())
        .ok()
        .map(|photo| photo.size().width)
}

/// So many rows the disk has, whichever schema.
async fn rows_on_disk(visit: &Visit<'_>) -> anyhow::Result<u64> {
    let count = "const done = arguments[arguments.length - 1], opening = indexedDB.open('shellspan');
         opening.onsuccess = () => {
             const count = opening.result.transaction('rows').objectStore('rows').count();
             count.onsuccess = () => { opening.result.close(); done(count.result); };
         };";
    visit.ask(count).await?.as_u64().context("a count of rows")
}

/// No count of a day that was not read.
async fn no_count_shows(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.find("#reading-day").await?;
    ensure!(!visit.find_now("#kept-today").await? && !visit.find_now("#go-day .way-count").await?);
    Ok(())
}

/// What an earlier build left (schema 2) is there, and can hold photos from now on. A tab with that build may still
/// hold it, and one with a newer build may take it: each is said, and nothing is lost.
pub async fn earlier_schema(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    // The earlier build's database is made before the page opens its own.
    let row = json!({ "format": 1, "id": "old-1", "revision": 4, "made": 4, "is_gone": false, "what": { "crab": {
        "at": { "day": "2026-07-15", "clock": null },
        "water": { "pack": "us-wa", "area": "puget-sound", "name": "Puget Sound" },
        "kind": "dungeness", "end": { "kept": { "by": "you" } } } } });
    visit
        .ahead_of_pages(&format!(
            "const open = IDBFactory.prototype.open;
             const made = new Promise((done) => {{
                 const request = open.call(indexedDB, 'shellspan', 2);
                 request.onupgradeneeded = () => {{
                     for (const name of ['states', 'photos', 'rows']) request.result.createObjectStore(name);
                     request.transaction.objectStore('rows').put({}, 'old-1');
                 }};
                 request.onerror = done;
                 // An old tab that does not let go.
                 request.onsuccess = () => {{ globalThis.oldTab = request.result; done(); }};
             }});
             globalThis.madeOld = made;",
            json!(row.to_string())
        ))
        .await?;
    visit.open().await?;
    let said = visit.text_of("#not-kept[data-code=older-tab]").await?;
    ensure!(said.contains("Close the other tab"), "{said}");
    no_count_shows(visit).await?;
    // Longer than a start waits for a database that does not open at all.
    tokio::time::sleep(std::time::Duration::from_millis(3500)).await;
    ensure!(visit.find_now("#not-kept[data-code=older-tab]").await?, "no word of the older tab any more");
    no_count_shows(visit).await?;
    visit.ask("oldTab.close(); return true").await?;
    visit
        .wait_until(
            "the old crab",
            "return document.getElementById('go-day').innerText.includes('1') && !document.getElementById('not-kept')",
        )
        .await?;
    keep_measured(visit).await?;
    on_disk(visit).await?;
    visit.click("#go-crabs").await?;
    visit.find("#crabs img.thumb").await?;
    visit.wait_until("both crabs", "return document.querySelectorAll('#crabs .crab').length === 2").await?;

    // A newer build takes the database over: this page lets go at once, and says what it does not keep.
    let newer = "const done = arguments[arguments.length - 1], opening = indexedDB.open('shellspan', 4);
         opening.onsuccess = () => { opening.result.close(); done('open'); };
         opening.onerror = () => done(String(opening.error));";
    let opened = visit.ask_text(newer).await?;
    ensure!(opened == "open", "{opened}");
    let said = visit.text_of("#not-kept[data-code=newer]").await?;
    ensure!(said.contains("newer version") && said.contains("Nothing is lost"), "{said}");
    let kept = rows_on_disk(visit).await?;
    visit.click("#not-kept-seen").await?;
    visit.click("#go-day").await?;
    visit.click("#sort-female").await?;
    visit.click("#next-crab").await?;
    let said = visit.text_of("#not-kept[data-code=newer]").await?;
    ensure!(said.contains("not kept"), "{said}");
    visit.reload().await?;
    visit.find("#not-kept[data-code=newer]").await?;
    no_count_shows(visit).await?;
    ensure!(kept >= 2 && rows_on_disk(visit).await? == kept, "{kept} rows before");
    Ok(())
}
