//! From a photo to a width.

use anyhow::{Context, ensure};
use fantoccini::key::Key;

use crate::e2e::native;
use crate::e2e::person::{
    Shown, measure_by_hand, other_photo, place_both, sample, shown_width, take_sample, to_photos,
    wait_for_answer,
};
use crate::e2e::visit::Visit;

pub async fn sample_gives_width(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    measure_by_hand(visit, 2).await?;
    let inches = visit.text_of("#width-inches").await?;
    ensure!(inches.contains("in"), "inches: {inches}");
    Ok(())
}

pub async fn arrow_keys_correct_a_point(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let before = measure_by_hand(visit, 2).await?;
    visit.press_on("#mark-0", &[Key::Right, Key::Right, Key::Down]).await?;
    let after = shown_width(visit).await?;
    let (dx, dy) = (after.marks[0].0 - before.marks[0].0, after.marks[0].1 - before.marks[0].1);
    ensure!((dx - 2.0).abs() < 0.02 && (dy - 1.0).abs() < 0.02, "moved by {dx}, {dy} px instead of 2, 1");
    ensure!(after.marks[1] == before.marks[1], "the other point moved");
    ensure!(after.width_mm != before.width_mm, "the width stayed");
    visit.click("#undo").await?;
    let undone = |shown: &Shown| (shown.marks[0].1 - before.marks[0].1).abs() < 0.02;
    ensure!(undone(&shown_width(visit).await?), "undo left the point below");
    Ok(())
}

/// The page and the native command must agree to this.
const AGREEMENT_MM: f64 = 0.01;

pub async fn same_as_native_with_points(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    // One plain, one turned by EXIF orientation 6, one by 3 with the card level with the points.
    for number in [2, 5, 6] {
        let shown = measure_by_hand(visit, number).await?;
        let point = |i: usize| format!("{},{}", shown.marks[i].0, shown.marks[i].1);
        let sample = sample(number)?;
        let native = native::measure(
            visit.workshop,
            &sample.photo,
            &["--left", &point(0), "--right", &point(1), "--card-placement", sample.placement()?],
        )?;
        agree(&shown, &native).with_context(|| sample.photo.display().to_string())?;
        other_photo(visit).await?;
    }
    Ok(())
}

pub async fn same_as_native_as_proposed(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let mut differ = Vec::new();
    for number in 0..=9 {
        let sample = sample(number)?;
        take_sample(visit, &sample).await?;
        let native = native::measure(visit.workshop, &sample.photo, &[])?;
        if native["status"] == "measured" {
            if let Err(error) = agree(&shown_width(visit).await?, &native) {
                differ.push(format!("{number}: {error}"));
            }
        } else {
            let reason = native["reason"].as_str().unwrap_or_default();
            let shown =
                visit.ask_text("return document.querySelector('.message')?.dataset.code ?? ''").await?;
            if shown != reason {
                differ.push(format!("{number}: the page says \"{shown}\", the native command \"{reason}\""));
            }
        }
        other_photo(visit).await?;
    }
    ensure!(differ.is_empty(), "{}", differ.join("\n        "));
    Ok(())
}

pub(super) fn agree(shown: &Shown, native: &serde_json::Value) -> anyhow::Result<()> {
    let width = native["width_mm"].as_f64().with_context(|| format!("no width in {native}"))?;
    ensure!(
        (shown.width_mm - width).abs() <= AGREEMENT_MM,
        "{shown:?} in the page; by the native command {width} mm, u {}, points {}",
        native["u_mm"],
        native["points"]
    );
    Ok(())
}

pub async fn offline_again(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let online = measure_by_hand(visit, 2).await?;
    visit.wait_until_offline_ready().await?;
    visit.site.borrow_mut().stop()?;
    visit.reload().await?;
    // The photo is still there; the same is measured once more.
    other_photo(visit).await?;
    let offline = measure_by_hand(visit, 2).await?;
    ensure!(
        (online.width_mm - offline.width_mm).abs() <= AGREEMENT_MM,
        "{} mm online, {} mm offline",
        online.width_mm,
        offline.width_mm
    );
    // The host comes back: nothing stands in the way of the next load.
    visit.site.borrow_mut().restart()?;
    visit.reload().await
}

pub async fn file_gives_width(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let sample = sample(6)?;
    to_photos(visit).await?;
    visit.choose_file("#pick-photo", &sample.photo).await?;
    wait_for_answer(visit).await?;
    place_both(visit, &sample).await?;
    shown_width(visit).await.map(|_| ())
}
