//! Two photos settle what one leaves to the gauge.

use std::fs;

use anyhow::{Context, ensure};
use serde_json::json;

use crate::e2e::native;
use crate::e2e::person::{
    GOOD, Sample, Shown, place_both, set_date, shown_width, to_photos, wait_for_answer, walk,
};
use crate::e2e::visit::Visit;
use crate::repo;

use super::rules::own_least_size;

/// The page and the native command must agree to this.
const AGREEMENT_MM: f64 = 0.01;

/// One photo of the still scene.
fn still(letter: char) -> anyhow::Result<Sample> {
    let folder = repo::root().join("tests/pairs");
    let truth = serde_json::from_slice(&fs::read(folder.join(format!("still-{letter}.json")))?)?;
    Ok(Sample { photo: folder.join(format!("still-{letter}.jpg")), truth, index: 0 })
}

/// One photo, gauge; a second, keep, as the command has it; a third taken out changes nothing.
pub async fn second_photo_settles(visit: &Visit<'_>) -> anyhow::Result<()> {
    begin(visit).await?;
    let alone = shown_width(visit).await?;
    visit.click("#confirm-points").await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "gauge", "one photo: {call}, {alone:?}");
    let gain = visit.text_of("#one-more-gain").await?;
    ensure!(gain.contains('±'), "what a second photo would bring: {gain}");

    let second = add(visit, 'b').await?;
    ensure!(second.u_mm < 0.5 * alone.u_mm, "{second:?} after {alone:?}");
    let points = visit.folder().join("points.json");
    fs::write(&points, points_file(&[('a', &alone), ('b', &second)]))?;
    let [a, b] = [still('a')?.photo, still('b')?.photo];
    let joint = native::measure(
        visit.workshop,
        &a,
        &[
            &b.to_string_lossy(),
            "--same-crab",
            "--species",
            "dungeness",
            "--points",
            &points.to_string_lossy(),
        ],
    )?;
    let by_command = joint["width_mm"].as_f64().with_context(|| format!("no width in {joint}"))?;
    ensure!((second.width_mm - by_command).abs() <= AGREEMENT_MM, "{second:?}; by the command {by_command}");
    visit.click("#confirm-points").await?;
    visit.wait_until("a keep", "return document.querySelector('#verdict')?.dataset.call === 'keep'").await?;
    let fit = visit.text_of("#fit").await?;
    ensure!(fit.contains("2 photos"), "{fit}");

    visit.click("#go-photo").await?;
    let third = add(visit, 'c').await?;
    ensure!(third.width_mm != second.width_mm, "the third photo changed nothing");
    visit.click("#strip-drop-3").await?;
    visit.wait_until("two photos", "return document.querySelectorAll('.strip-photo').length === 2").await?;
    let again = shown_width(visit).await?;
    ensure!(again.width_mm == second.width_mm, "{again:?} instead of {second:?}");
    Ok(())
}

/// Points that lie elsewhere on the deck in the second photo: the crab moved, it is said, and nothing is kept.
pub async fn moved_crab_is_said(visit: &Visit<'_>) -> anyhow::Result<()> {
    begin(visit).await?;
    visit.click("#confirm-points").await?;
    walk(visit, &GOOD).await?;
    let mut sample = still('b')?;
    for side in ["left_px", "right_px"] {
        let place = &mut sample.truth["shell"][side];
        // Some 8 mm along the deck.
        let [x, y] = [place[0].as_f64(), place[1].as_f64()].map(Option::unwrap_or_default);
        *place = json!([x + 14.0, y - 14.0]);
    }
    take_more(visit, &sample).await?;
    place_both(visit, &sample).await?;
    let said = visit.text_of("#apart").await?;
    ensure!(said.contains("moved"), "{said}");
    visit.click("#confirm-points").await?;
    visit.wait_until("a verdict", "return !!document.querySelector('#verdict')").await?;
    let call = visit.ask_text("return document.getElementById('verdict').dataset.call").await?;
    ensure!(call != "keep", "kept by photos that contradict each other");
    Ok(())
}

/// A rule that the crab just meets, and its first photo with both points placed.
async fn begin(visit: &Visit<'_>) -> anyhow::Result<()> {
    own_least_size(visit, "153.5 mm").await?;
    set_date(visit, "2026-07-18").await?;
    let first = still('a')?;
    to_photos(visit).await?;
    visit.choose_file("#pick-photo", &first.photo).await?;
    wait_for_answer(visit).await?;
    place_both(visit, &first).await
}

async fn take_more(visit: &Visit<'_>, sample: &Sample) -> anyhow::Result<()> {
    let before = visit.ask("return document.querySelectorAll('.strip-photo').length").await?;
    visit.choose_file("#more-pick", &sample.photo).await?;
    visit
        .wait_until(
            "one photo more",
            &format!("return document.querySelectorAll('.strip-photo').length > {before}"),
        )
        .await?;
    wait_for_answer(visit).await
}

async fn add(visit: &Visit<'_>, letter: char) -> anyhow::Result<Shown> {
    let sample = still(letter)?;
    take_more(visit, &sample).await?;
    place_both(visit, &sample).await?;
    shown_width(visit).await
}

fn points_file(photos: &[(char, &Shown)]) -> String {
    let all: serde_json::Map<String, serde_json::Value> = photos
        .iter()
        .map(|(letter, shown)| {
            let [left, right] = shown.marks;
            let pair = json!({ "left_px": [left.0, left.1], "right_px": [right.0, right.1], "u_px": shown.marks_u_px });
            (format!("still-{letter}.jpg"), pair)
        })
        .collect();
    serde_json::Value::Object(all).to_string()
}
