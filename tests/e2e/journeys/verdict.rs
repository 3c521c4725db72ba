//! Through the checks to each of the three verdicts.
//!
//! The rule is the built-in one (Washington, Puget Sound): Dungeness at least 6 1/4 in between the notches,
//! males, hard shell; its sources stand in `www/rules/us-wa.json`.

use anyhow::ensure;

use crate::e2e::person::{GOOD, in_sight_on_a_phone, measure_by_hand, set_date, walk};
use crate::e2e::visit::Visit;

/// A day in summer, so that no clock of the machine decides.
const DAY: &str = "2026-07-15";

/// `crab-09.jpg`: 179.6 mm between the notches, 21 mm over the limit.
pub async fn keep(visit: &Visit<'_>) -> anyhow::Result<()> {
    start(visit).await?;
    photo_to_checks(visit, 9).await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "keep", "{call}: {}", reasons(visit).await?);
    in_sight_on_a_phone(visit, "#reason-0").await?;
    // Kind and placement can both be wrong, and both decide.
    let judged = visit.text_of("#for-kind").await?;
    ensure!(judged.contains("Dungeness crab; card "), "{judged}");
    let truth = visit.ask_text("return document.querySelector('#truth').textContent").await?;
    ensure!(truth.starts_with("The true width is 179.6 mm: you measured "), "{truth}");
    acts_and_source(visit).await
}

/// The verdict of a release needs no photo: a female goes back, and nothing more is asked.
pub async fn release(visit: &Visit<'_>) -> anyhow::Result<()> {
    start(visit).await?;
    visit.click("#start-checks").await?;
    let call = walk(visit, &[GOOD[0], GOOD[1], ("sex", "#answer-female")]).await?;
    ensure!(call == "release", "{call}: {}", reasons(visit).await?);
    in_sight_on_a_phone(visit, "#next-acts").await?;
    in_sight_on_a_phone(visit, "#next-crab").await?;
    acts_and_source(visit).await
}

/// `crab-03.jpg` is 115 mm wide between the tips, 12 mm under what a red rock crab needs here.
pub async fn release_by_size(visit: &Visit<'_>) -> anyhow::Result<()> {
    start(visit).await?;
    photo_to_checks(visit, 3).await?;
    let mut answers = GOOD;
    answers[0] = ("kind", "#answer-red-rock");
    let call = walk(visit, &answers).await?;
    ensure!(call == "release", "{call}: {}", reasons(visit).await?);
    acts_and_source(visit).await
}

/// `crab-01.jpg`: 159.0 mm, a quarter of a millimetre over the limit: no photo can tell.
pub async fn gauge(visit: &Visit<'_>) -> anyhow::Result<()> {
    start(visit).await?;
    photo_to_checks(visit, 1).await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "gauge", "{call}: {}", reasons(visit).await?);
    acts_and_source(visit).await
}

/// Two crabs kept this day, as an earlier build of the page left them: told on every screen, against the limit of five.
/// Source of the limit: `www/rules/us-wa.json`.
pub async fn running_count(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    let none = visit.ask("return document.querySelectorAll('.way-count').length").await?;
    ensure!(none == 0, "a count before the first crab is kept");
    visit
        .ask(
            "const now = new Date(), two = (n) => String(n).padStart(2, '0');
             const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
             localStorage.setItem('shellspan.kept-today', JSON.stringify({ day, kinds: ['dungeness', 'dungeness'] }));
             return true",
        )
        .await?;
    visit.open().await?;
    for way in ["#go-day", "#go-photo", "#go-checks", "#go-verdict"] {
        visit.click(way).await?;
        let told = visit.ask_text("return document.querySelector('#go-day .way-count').textContent").await?;
        ensure!(told == "2/5 kept", "{way}: {told}");
        in_sight_on_a_phone(visit, "#go-day .way-count").await?;
    }
    Ok(())
}

/// An unsure answer: whatever else is right, it is no keeper.
pub async fn unsure_is_no_keeper(visit: &Visit<'_>) -> anyhow::Result<()> {
    start(visit).await?;
    photo_to_checks(visit, 9).await?;
    let mut answers = GOOD;
    answers[4] = ("shell", "#answer-not-sure");
    let call = walk(visit, &answers).await?;
    ensure!(call != "keep", "kept with a shell nobody is sure of");
    // The person's own doubt decides: no rule, and no source.
    acts(visit).await
}

/// All of it once more with the server stopped.
pub async fn keep_offline(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    visit.site.borrow_mut().stop()?;
    visit.reload().await?;
    set_date(visit, DAY).await?;
    photo_to_checks(visit, 9).await?;
    let call = walk(visit, &GOOD).await?;
    ensure!(call == "keep", "{call}: {}", reasons(visit).await?);
    acts_and_source(visit).await
}

async fn start(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    set_date(visit, DAY).await
}

async fn photo_to_checks(visit: &Visit<'_>, number: usize) -> anyhow::Result<()> {
    measure_by_hand(visit, number).await?;
    visit.click("#confirm-points").await
}

async fn reasons(visit: &Visit<'_>) -> anyhow::Result<String> {
    visit.ask_text("return document.querySelector('.reasons')?.innerText ?? 'no reasons'").await
}

/// Every verdict on a rule says besides where that stands.
async fn acts_and_source(visit: &Visit<'_>) -> anyhow::Result<()> {
    acts(visit).await?;
    let source =
        visit.ask_text("return document.querySelector('#all-reasons > .source').textContent").await?;
    ensure!(source.contains("20"), "the source of the deciding rule: {source}");
    Ok(())
}

/// Every verdict says why, what next, that it is no legal advice, and for which water.
async fn acts(visit: &Visit<'_>) -> anyhow::Result<()> {
    let reasons = reasons(visit).await?;
    ensure!(reasons.len() > 20, "reasons: {reasons}");
    let acts = visit.ask_text("return document.getElementById('next-acts').innerText").await?;
    ensure!(acts.len() > 10, "next acts: {acts}");
    ensure!(visit.text_of("#not-legal-advice").await?.len() > 10, "no word on legal advice");
    let rule = visit.text_of("#rule-in-force").await?;
    ensure!(rule.contains("Puget Sound"), "the rule in force: {rule}");
    Ok(())
}
