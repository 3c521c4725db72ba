//! Who and which day a crab counts for: kept against the verdict, on another phone, after midnight.

use std::fs;

use anyhow::ensure;
use jiff::civil::date;
use shellspan::day::book::Names;
use shellspan::day::{Book, CrabEntry, Id, Moment, StepName, What};

use super::day::begin;
use crate::e2e::visit::Visit;

/// A crab kept against the verdict asks for a reason, counts, and stays flagged.
pub async fn kept_against_the_verdict(visit: &Visit<'_>) -> anyhow::Result<()> {
    begin(visit).await?;
    visit.click("#sort-female").await?;
    visit.find("#verdict[data-call=release]").await?;
    visit.click("#all-reasons > summary").await?;
    ensure!(
        visit.ask("return document.getElementById('despite-0').disabled").await? == true,
        "kept without a reason"
    );
    visit.write("#despite-reason", "tagged for the survey").await?;
    visit.click("#despite-0").await?;
    visit.find("#kept-undo").await?;
    visit.click("#next-crab").await?;
    visit.click("#go-record").await?;
    let flags = visit.text_of("#flags-0").await?;
    ensure!(flags.contains("release") && flags.contains("tagged for the survey"), "{flags}");
    another_phone(visit).await?;
    another_day(visit).await
}

/// The day of [`begin`].
const TODAY: jiff::civil::Date = date(2026, 7, 15);

/// A copy whose user kept two crabs on another phone: whose they are is asked before anything is taken.
async fn another_phone(visit: &Visit<'_>) -> anyhow::Result<()> {
    let (mut book, mut names) = (Book::default(), Names { seed: 4711, given: 0 });
    for _ in 0..2 {
        let at = Moment { day: TODAY, clock: None };
        let crab = CrabEntry::kept(Some("dungeness"), Id::first_person(), at);
        let id = names.draw();
        book.step(&mut names, StepName::Kept, TODAY, vec![(id, What::Crab(Box::new(crab)))]);
    }
    let file = visit.folder().join("other-phone.jsonl");
    fs::write(&file, book.as_copy()?)?;
    visit.click("#go-crabs").await?;
    visit.choose_file("#restore-copy", &file).await?;
    let asked = visit.text_of("#whose-copy").await?;
    ensure!(asked.contains("2 crabs"), "{asked}");
    let before = visit.text_of("#crabs-count").await?;
    ensure!(before.contains("1 crab"), "taken before it was said whose it is: {before}");
    visit.write("#copy-name", "Bo").await?;
    visit.click("#copy-other").await?;
    visit.wait_until("the answer to be taken", "return !document.getElementById('whose-copy')").await?;
    visit.click("#go-day").await?;
    let counted = visit.text_of("#kept-today").await?;
    ensure!(counted.contains("Bo: 2 of 5") && counted.contains("You: 1 of 5"), "{counted}");
    Ok(())
}

/// The clock comes to the next day while the page stands open, and no event tells it: the tap on the screen of the day
/// before is not taken, which is said, and the next crab is of the new day.
async fn another_day(visit: &Visit<'_>) -> anyhow::Result<()> {
    let later = "const Before = Date;
        globalThis.Date = class extends Before {
            constructor(...given) { given.length ? super(...given) : super(Before.now() + 86400e3); }
            static now() { return Before.now() + 86400e3; }
        };
        return true";
    visit.ask(later).await?;
    visit.click("#sort-female").await?;
    let told = visit.text_of("[data-code='new-day']").await?;
    ensure!(told.contains("was not taken"), "{told}");
    ensure!(!visit.find_now("#next-crab").await?, "the tap was taken");
    visit.click("#sort-female").await?;
    visit.click("#next-crab").await?;
    let is_new = "return document.getElementById('kept-today').innerText.startsWith('0 of 5')";
    visit.wait_until("a day of its own", is_new).await
}
