//! The card named by the person: which of two, by a tap, by its four corners.

use anyhow::{Context, ensure};

use crate::e2e::person::{
    aim, make_photo, message, place_both, sample, shown_width, take_sample, tap_photo, wait_for_answer,
};
use crate::e2e::visit::Visit;

/// Upright photo pixels.
type Place = (f64, f64);

/// The middle of the card and its corners, as the truth beside the photo has them.
fn card_of(number: usize) -> anyhow::Result<(Place, Vec<Place>)> {
    let sample = sample(number)?;
    let corners = sample.truth["card"]["corners_px"].as_array().context("corners of the card")?;
    let corners: Vec<Place> =
        corners.iter().filter_map(|at| Some((at[0].as_f64()?, at[1].as_f64()?))).collect();
    ensure!(corners.len() == 4, "four corners");
    let mean = |pick: fn(&Place) -> f64| corners.iter().map(pick).sum::<f64>() / 4.0;
    Ok(((mean(|at| at.0), mean(|at| at.1)), corners))
}

/// The first corner of the outline that is drawn.
async fn drawn_corners(visit: &Visit<'_>) -> anyhow::Result<Vec<Place>> {
    visit.find("#card-outline").await?;
    let read = visit
        .ask(
            "return [...document.querySelectorAll('#card-outline .card-edge')]
               .map((edge) => [Number(edge.getAttribute('x1')), Number(edge.getAttribute('y1'))])",
        )
        .await?;
    let read = read.as_array().context("corners")?.clone();
    read.iter().map(|at| Ok((at[0].as_f64().context("x")?, at[1].as_f64().context("y")?))).collect()
}

/// Every drawn corner lies within `most_px` of a corner expected.
async fn outline_is_at(visit: &Visit<'_>, expected: &[Place], most_px: f64) -> anyhow::Result<()> {
    let drawn = drawn_corners(visit).await?;
    ensure!(drawn.len() == 4, "{} edges drawn", drawn.len());
    for at in &drawn {
        let off = expected.iter().map(|to| (at.0 - to.0).hypot(at.1 - to.1)).fold(f64::MAX, f64::min);
        ensure!(off <= most_px, "a corner is {off:.1} px off: {drawn:?} instead of {expected:?}");
    }
    Ok(())
}

/// Where the card of `crab-05.jpg` would lie 80 mm farther along its short side: by the homography of its
/// corners (OpenCV 5.0, getPerspectiveTransform), rounded to a pixel.
const MOVED: [Place; 4] = [(2375.0, 735.0), (3083.0, 1118.0), (2824.0, 1541.0), (2185.0, 1159.0)];

/// A copy of the card, laid down again on the deck: the page asks which, and takes the one that is tapped.
pub async fn one_of_two(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let (_, corners) = card_of(5)?;
    // Card millimetres to pixels by three corners; the card's own rounding comes from ISO/IEC 7810.
    let draw = format!(
        "const plane = ([a, b, c]) => {{
           const along = [0, 1].map((i) => (b[i] - a[i]) / 85.6), up = [0, 1].map((i) => (b[i] - c[i]) / 53.98);
           return new DOMMatrix([...along, ...up, ...[0, 1].map((i) => a[i] + 42.8 * along[i] - 26.99 * up[i])]);
         }};
         const from = plane({}), to = plane({});
         context.imageSmoothingQuality = 'high';
         context.save(); context.setTransform(to);
         context.beginPath(); context.roundRect(-42.8, -26.99, 85.6, 53.98, 3.18); context.clip();
         context.setTransform(to.multiply(from.inverse())); context.drawImage(photo, 0, 0); context.restore();",
        points(&corners),
        points(&MOVED)
    );
    make_photo(visit, 5, (4032, 3024), &draw).await?;
    wait_for_answer(visit).await?;
    let (code, ..) = message(visit).await?;
    ensure!(code == "two-cards", "{code}");
    let candidates = visit.ask("return document.querySelectorAll('.card-candidate').length").await?;
    ensure!(candidates == 2, "{candidates} cards are drawn");

    let middle = |pick: fn(&Place) -> f64| MOVED.iter().map(pick).sum::<f64>() / 4.0;
    tap_photo(visit, middle(|at| at.0), middle(|at| at.1)).await?;
    // Three corners of the copy are where they should be, the fourth as near as an affine map brings it.
    outline_is_at(visit, &MOVED, 20.0).await
}

fn points(corners: &[Place]) -> String {
    let list: Vec<String> = corners.iter().map(|at| format!("[{}, {}]", at.0, at.1)).collect();
    format!("[{}]", list.join(", "))
}

pub async fn tapped(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    take_sample(visit, &sample(6)?).await?;
    let (middle, corners) = card_of(6)?;
    visit.click("#point-card").await?;
    tap_photo(visit, middle.0, middle.1).await?;
    outline_is_at(visit, &corners, 3.0).await
}

/// Each corner is placed some pixels off, as a thumb does: the edges are found from there.
pub async fn corners_by_hand(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let crab = sample(4)?;
    take_sample(visit, &crab).await?;
    let (_, corners) = card_of(4)?;
    visit.click("#place-corners").await?;
    for (at, off) in corners.iter().zip([(9.0, -6.0), (-8.0, -7.0), (6.0, 9.0), (-9.0, 5.0)]) {
        let (x, y) = (at.0 + off.0, at.1 + off.1);
        tap_photo(visit, x, y).await?;
        aim(visit, x, y).await?;
    }
    wait_for_answer(visit).await?;
    outline_is_at(visit, &corners, 3.0).await?;
    place_both(visit, &crab).await?;
    let shown = shown_width(visit).await?;
    ensure!((shown.width_mm - crab.width_mm()?).abs() < 4.0 * shown.u_mm, "{shown:?}");
    Ok(())
}
