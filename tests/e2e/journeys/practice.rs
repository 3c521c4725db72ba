//! Practice in the page: the crabs are those of the native program, an answer is marked and kept, and the photo of a
//! practice crab is measured as any other.

use std::fs;

use anyhow::{Context, ensure};
use jiff::civil::date;
use shellspan::practice::course::{Act, Course};
use shellspan::practice::draw::{Look, draw};
use shellspan::practice::scene::photograph;
use shellspan::practice::water::{Grounds, Water};
use shellspan::rules::read_pack;
use shellspan::terms::Dimension;

use crate::e2e::person::{aim, at_noon_in_summer, tap_photo, wait_for_answer};
use crate::e2e::visit::Visit;
use crate::repo;

const SEED: &str = "815";

pub async fn crab_is_sorted_and_kept(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.open().await?;
    to_practice(visit).await?;
    visit.click("#practice-sheet").await?;
    visit.write("#practice-seed", SEED).await?;
    visit.click("#practice-seed-do").await?;
    visit.find("#practice-drawing").await?;

    // The same seed gives the same crab, to the last digit of its drawing, as in the native program.
    let pack = fs::read_to_string(repo::root().join("www/rules/us-wa.json"))?;
    let pack = read_pack(&pack).map_err(|mistakes| anyhow::anyhow!("{mistakes:?}"))?;
    let today = date(2026, 7, 15);
    let water = Water { pack, area: "puget-sound".into(), date: today, confirmations: Vec::new() };
    let grounds = Grounds::at(&water);
    let mut course = Course::new(SEED.parse()?, "us-wa/puget-sound");
    course.act(&Act::Open(0), &grounds, today);
    let (crab, truth) = course.crab(&grounds).context("a crab in hand")?;
    let drawn = draw(&crab, Look::Top).svg;
    let native: Vec<&str> = drawn.split(" d=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let shown = visit
        .ask_text("return [...document.querySelectorAll('#practice-drawing path')].map((path) => path.getAttribute('d')).join('|')")
        .await?;
    ensure!(shown == native.join("|"), "the page draws another crab than the native program");

    visit.click(&format!("#practice-kind-{}", crab.kind.id)).await?;
    match truth.fails.first() {
        None => visit.click("#practice-keep").await?,
        Some(why) => {
            visit.click("#practice-release").await?;
            visit.click(&format!("#practice-why-{}", format!("{why:?}").to_lowercase())).await?;
        }
    }
    visit.find("#practice-mark[data-right='true']:focus").await.context("the mark has no focus")?;

    visit.reload().await?;
    to_practice(visit).await?;
    visit.find("#practice-mark[data-right='true']").await?;
    let score = visit.text_of("#practice-sheet").await?;
    ensure!(score.contains("1 of 1"), "after a reload: {score}");

    visit.click("#practice-photo").await?;
    wait_for_answer(visit).await?;
    let points = photograph(&crab, course.seed).points(&crab, Dimension::Notch).context("they are seen")?;
    visit.click("#place-points").await?;
    for (which, point) in points.iter().enumerate() {
        tap_photo(visit, point.x, point.y).await?;
        aim(visit, point.x, point.y).await?;
        visit.find(&format!("#mark-{which}")).await?;
    }
    visit.click("#confirm-points").await?;
    visit.find("#right-points circle.right-point").await?;
    let apart = visit.text_of("#points-apart").await?;
    let mm = apart.split(" mm").filter_map(|part| part.rsplit(' ').next()?.parse::<f64>().ok());
    let mm: Vec<f64> = mm.collect();
    ensure!(mm.len() == 2 && mm.iter().all(|mm| *mm < 1.0), "{apart}");
    let truth = visit.text_of("#hint").await?;
    ensure!(truth.contains("The true width is"), "{truth}");
    visit.click("#back-to-practice").await?;
    visit.find("#practice-mark").await?;
    visit.click("#practice-next").await?;
    visit.find("#practice-heading:focus").await.context("the next crab's heading has no focus")?;
    Ok(())
}

async fn to_practice(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.click("#go-photo").await?;
    visit.click("#go-practice").await?;
    visit.find("#screen-practice #practice-heading").await.map(|_| ())
}
