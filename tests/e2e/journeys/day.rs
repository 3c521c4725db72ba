//! A whole day on deck: people, pots, sixty crabs, mistakes, dead browsers, and the double-check of the record.
//!
//! The rule is the built-in one (Washington, Puget Sound): five Dungeness a day for each person, each to be written on
//! the catch record card; its sources stand in `www/rules/us-wa.json`.

use std::cell::Cell;
use std::fs;

use anyhow::ensure;
use fantoccini::key::Key;
use serde_json::json;

use super::kept::on_disk;
use crate::e2e::person::at_noon_in_summer;
use crate::e2e::visit::Visit;

/// What the person does, with the taps counted.
struct Deck<'a, 'b> {
    visit: &'a Visit<'b>,
    taps: Cell<u32>,
}

impl Deck<'_, '_> {
    async fn tap(&self, selector: &str) -> anyhow::Result<()> {
        self.taps.set(self.taps.get() + 1);
        self.visit.click(selector).await
    }

    /// Sorts one crab at a glance; gives the taps it took.
    async fn let_go(&self, plain: &str) -> anyhow::Result<u32> {
        let before = self.taps.get();
        self.tap(&format!("#sort-{plain}")).await?;
        self.visit.find("#verdict[data-call=release]").await?;
        self.tap("#next-crab").await?;
        self.visit.find("#screen-day").await?;
        Ok(self.taps.get() - before)
    }

    /// A keeper by the gauge, kept by the person of this button.
    async fn keep(&self, button: &str) -> anyhow::Result<u32> {
        let before = self.taps.get();
        self.tap("#sort-keeper").await?;
        self.visit.find("#verdict[data-call=keep]").await?;
        self.tap(button).await?;
        self.visit.find("#kept-undo").await?;
        self.tap("#next-crab").await?;
        self.visit.find("#screen-day").await?;
        Ok(self.taps.get() - before)
    }
}

async fn counts(visit: &Visit<'_>) -> anyhow::Result<String> {
    visit.ask_text("return document.getElementById('kept-today')?.innerText ?? ''").await
}

/// The day's rows are read after the page has started: no count shows before.
async fn is_read(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.find("#kept-today").await.map(|_| ())
}

/// Collects every count that a page shows from its start on, and whether it said that the day is being read.
const COLLECT_COUNTS: &str = "globalThis.shownCounts = []; globalThis.wasReading = false;
    new MutationObserver(() => {
        wasReading ||= !!document.getElementById('reading-day');
        for (const one of document.querySelectorAll('#kept-today, .way-count')) shownCounts.push(one.innerText);
    }).observe(document, { subtree: true, childList: true, characterData: true });";

/// No other count was shown since the page was loaded than ten of ten.
async fn only_the_full_count_was_shown(visit: &Visit<'_>) -> anyhow::Result<()> {
    let shown = visit.ask("return wasReading ? shownCounts : ['the day was not said to be read']").await?;
    let shown: Vec<String> = serde_json::from_value(shown)?;
    let is_true = |text: &String| text == "10 kept" || text.matches("5 of 5: full").count() == 2;
    ensure!(!shown.is_empty() && shown.iter().all(is_true), "shown after a reload: {shown:?}");
    Ok(())
}

/// Dungeness come up, and the water was looked up as open.
pub async fn begin(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.open().await?;
    visit.click("#start-checks").await?;
    visit.click("#answer-dungeness").await?;
    visit.click("#answer-season-open").await?;
    visit.find("#asks-sex").await?;
    visit.click("#next-crab").await?;
    visit.find("#sort-keeper").await.map(|_| ())
}

/// Everything of the day as the page would save it.
async fn copy_of(visit: &Visit<'_>) -> anyhow::Result<String> {
    visit.click("#go-day").await?;
    visit.click("#go-crabs").await?;
    visit
        .ask(
            "globalThis.saved = []; const real = URL.createObjectURL;
             URL.createObjectURL = (blob) => { blob.text().then((text) => saved.push(text)); return real.call(URL, blob); };
             return true",
        )
        .await?;
    visit.click("#save-copy").await?;
    visit.wait_until("the copy", "return saved.length > 0").await?;
    visit.ask_text("return saved.at(-1)").await
}

pub async fn whole_day(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    begin(visit).await?;
    let deck = Deck { visit, taps: Cell::new(0) };

    visit.click("#go-aboard").await?;
    visit.write("#person-new", "Bo").await?;
    visit.click("#person-add").await?;
    visit.find("#person-aboard-1").await?;
    for (at, (label, depth)) in [("A", "8"), ("B", "14"), ("C", "22"), ("D", "31")].into_iter().enumerate() {
        visit.write("#pot-label", label).await?;
        visit.write("#pot-depth", depth).await?;
        visit.click("#pot-add").await?;
        visit.click(&format!("#pot-set-{at}")).await?;
        visit.find(&format!("#pot-pull-{at}")).await?;
    }

    let mut kept = 0;
    for pot in 0..4 {
        visit.click("#go-day").await?;
        visit.click("#go-aboard").await?;
        visit.click(&format!("#pot-pull-{pot}")).await?;
        visit.find("#pull-in-hand").await?;
        for plain in [
            "female",
            "short",
            "soft",
            "eggs",
            "other-kind",
            "one-claw",
            "not-needed",
            "female",
            "short",
            "short",
            "soft",
        ] {
            let taps = deck.let_go(plain).await?;
            ensure!(taps == 2, "a plain release took {taps} taps");
        }
        for _ in 0..3 {
            // The first person is full after five, and no longer asked: the first button is then the other's.
            if kept < 10 {
                let taps = deck.keep("#kept-it").await?;
                ensure!(taps == 3, "a keeper by the gauge took {taps} taps");
                kept += 1;
            }
        }
        visit.click("#pull-sorted").await?;
        on_disk(visit).await?;
    }
    let told = counts(visit).await?;
    ensure!(told.contains("You: 5 of 5: full") && told.contains("Bo: 5 of 5: full"), "{told}");
    // Nobody may keep one more.
    deck.tap("#sort-keeper").await?;
    visit.find("#verdict[data-call=release]").await?;
    ensure!(!visit.find_now("#kept-it").await?, "an eleventh crab is offered for keeping");
    visit.click("#next-crab").await?;

    // A mistake: the last two are taken back, and one is kept again.
    for _ in 0..3 {
        // The eleventh, the pull's end, and a crab kept.
        visit.click("#undo-step").await?;
    }
    let told = counts(visit).await?;
    ensure!(told.contains("Bo: 4 of 5: one left"), "{told}");
    deck.keep("#kept-it").await?;
    on_disk(visit).await?;
    visit.ahead_of_pages(COLLECT_COUNTS).await?;
    visit.reload().await?;
    is_read(visit).await?;
    let told = counts(visit).await?;
    ensure!(told.contains("Bo: 5 of 5: full"), "after a reload: {told}");
    only_the_full_count_was_shown(visit).await?;

    // The double-check: ten crabs for the card, by two persons; ticked, it stays so.
    visit.find("#to-write").await?;
    visit.click("#go-record").await?;
    let text = visit.text_of("#screen-record").await?;
    ensure!(text.contains("5 Dungeness crab, all male"), "{text}");
    // The printed sheet has every crab, unfolded.
    visit.ask("globalThis.print = () => { sheet = document.getElementById('day-sheet').innerText; }; return true").await?;
    visit.click("#print-day").await?;
    let sheet = visit.ask_text("return sheet").await?;
    let lines = |words: &str| sheet.lines().filter(|line| line.contains(words)).count();
    ensure!((lines("kept by"), lines("let go")) == (10, 44), "{sheet}");
    for person in 0..2 {
        visit.click(&format!("#write-{person}")).await?;
        visit.find(&format!("#written-{person}")).await?;
    }
    on_disk(visit).await?;
    visit.reload().await?;
    visit.find("#screen-day").await?;
    is_read(visit).await?;
    ensure!(!visit.find_now("#to-write").await?, "still to be written");

    // A copy, read in a fresh browser, is the same to the last digit; read twice, it is not doubled.
    let copy = copy_of(visit).await?;
    let file = visit.folder().join("copy.jsonl");
    fs::write(&file, &copy)?;
    let fresh = visit.beside("fresh").await?;
    at_noon_in_summer(&fresh).await?;
    fresh.open().await?;
    fresh.click("#go-crabs").await?;
    for time in 0..2 {
        fresh.choose_file("#restore-copy", &file).await?;
        if time == 0 {
            // Once it was said whose the crabs are, they tell it themselves.
            fresh.click("#copy-mine").await?;
        }
        fresh.find("#copies-said").await?;
        on_disk(&fresh).await?;
    }
    fresh.reload().await?;
    is_read(&fresh).await?;
    let again = copy_of(&fresh).await?;
    ensure!(again == copy, "the copy changed: {} and {} letters", copy.len(), again.len());
    // A damaged one is refused whole.
    let damaged = fresh.folder().join("damaged.jsonl");
    fs::write(&damaged, copy.replacen("dungeness", "red-rock", 1))?;
    fresh.choose_file("#restore-copy", &damaged).await?;
    fresh
        .wait_until(
            "the refusal",
            "return document.getElementById('copies-said').innerText.includes('damaged')",
        )
        .await?;
    ensure!(copy_of(&fresh).await? == copy, "a damaged copy was taken");
    fresh.end().await?;
    Ok(())
}

/// The browser dies right after the page says that a crab was kept, twice.
pub async fn killed_after_keeping(visit: &Visit<'_>) -> anyhow::Result<()> {
    // This browser lives on: its log of connections is whole.
    visit.open().await?;
    for times in 1..=2 {
        let victim = visit.beside("killed").await?;
        if times == 1 {
            begin(&victim).await?;
        } else {
            at_noon_in_summer(&victim).await?;
            victim.open().await?;
        }
        victim.find("#sort-keeper").await?;
        Deck { visit: &victim, taps: Cell::new(0) }.keep("#kept-it").await?;
        on_disk(&victim).await?;
        victim.kill().await;
    }
    let again = visit.beside("killed").await?;
    at_noon_in_summer(&again).await?;
    again.open().await?;
    again.find("#sort-keeper").await?;
    let told = counts(&again).await?;
    again.end().await?;
    ensure!(told.contains("2 of 5"), "two were kept: {told}");
    Ok(())
}

/// Two tabs keep crabs at once: all are counted, in both.
pub async fn two_tabs(visit: &Visit<'_>) -> anyhow::Result<()> {
    begin(visit).await?;
    let first = visit.browser.window().await?;
    let second = visit.browser.new_window(true).await?.handle;
    visit.browser.switch_to_window(second.clone()).await?;
    at_noon_in_summer(visit).await?;
    visit.open().await?;
    for kept in 1..=4_u32 {
        let tab = if kept % 2 == 0 { &first } else { &second };
        visit.browser.switch_to_window(tab.clone()).await?;
        visit
            .wait_until(
                "the other tab's crab",
                &format!("return {kept} === 1 || document.getElementById('kept-today').innerText.includes('{} of 5')", kept - 1),
            )
            .await?;
        Deck { visit, taps: Cell::new(0) }.keep("#kept-it").await?;
        // The crab in hand is the other tab's to keep.
        visit
            .wait_until("the day to be on the disk", "return document.body.dataset.dayKept === 'yes'")
            .await?;
    }
    visit.browser.switch_to_window(second).await?;
    visit.reload().await?;
    visit.find("#sort-keeper").await?;
    is_read(visit).await?;
    let told = counts(visit).await?;
    ensure!(told.contains("4 of 5"), "{told}");
    // Looked up anew in one tab: closed in the other too, and not written over by what that one is told.
    visit.click("#start-checks").await?;
    visit.click("#check-season").await?;
    visit.click("#asks-season #answer-season-closed").await?;
    visit.browser.switch_to_window(first).await?;
    visit
        .wait_until(
            "the other tab's word on the season",
            "return document.getElementById('rule-season')?.innerText.includes('closed')",
        )
        .await?;
    visit.click("#go-day").await?;
    visit.click("#sort-kind").await?;
    visit.click("#answer-red-rock").await?;
    visit.click("#answer-season-open").await?;
    // Red rock crabs are kept of either sex here.
    visit.find("#asks-eggs").await?;
    visit.reload().await?;
    visit.click("#go-checks").await?;
    visit.click("#check-kind").await?;
    visit.click("#answer-dungeness").await?;
    visit.find("#screen-verdict").await?;
    let verdict = visit.text().await?;
    ensure!(verdict.contains("Release") && !verdict.contains("I kept it"), "{verdict}");
    Ok(())
}

/// The phone's Back key: a step back in the page, never out of it with a crab in hand.
pub async fn back_key(visit: &Visit<'_>) -> anyhow::Result<()> {
    begin(visit).await?;
    visit.click("#start-checks").await?;
    visit.find("#asks-sex").await?;
    visit.click("#answer-male").await?;
    visit.wait_until("the next question", "return !document.getElementById('asks-sex')").await?;
    visit.browser.back().await?;
    visit.find("#asks-sex").await?;
    visit.ask("globalThis.popped = 0; addEventListener('popstate', () => popped++); return true").await?;
    for pressed in 1..=5 {
        visit.browser.back().await?;
        visit.wait_until("the key to be heard", &format!("return popped >= {pressed}")).await?;
    }
    // Still here, and the crab with it.
    visit.find("#crab-in-hand").await?;
    visit.click("#go-on").await?;
    visit.find("#screen-checks").await?;
    on_disk(visit).await?;
    visit.reload().await?;
    visit.find("#screen-checks").await?;
    // Every other screen: Back leads to where one came from, and a reload to the same screen with the crab in hand.
    for (way, screen) in [
        ("#go-rules", "#screen-rules"),
        ("#go-day", "#screen-day"),
        ("#go-record", "#screen-record"),
        ("#go-crabs", "#screen-crabs"),
        ("#go-day", "#screen-day"),
        ("#go-aboard", "#screen-aboard"),
    ] {
        visit.click(way).await?;
        visit.find(screen).await?;
        visit.browser.back().await?;
        visit
            .wait_until("the screen before", &format!("return !document.querySelector({})", json!(screen)))
            .await?;
        visit.browser.forward().await?;
        visit.find(screen).await?;
        on_disk(visit).await?;
        visit.reload().await?;
        visit.find(screen).await?;
    }
    visit.click("#go-day").await?;
    visit.find("#crab-in-hand").await?;
    visit.press(&[Key::Escape]).await
}

/// Where the browser blocks all site data the page still works, and says that it keeps nothing.
pub async fn site_data_blocked(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit
        .ahead_of_pages(
            "const no = () => { throw new DOMException('no', 'SecurityError'); };
             Object.defineProperty(window, 'localStorage', { get: no });
             IDBFactory.prototype.open = no;",
        )
        .await?;
    visit.open_first().await?;
    visit.find("#not-kept[data-code=blocked]").await?;
    visit.click("#not-kept-seen").await?;
    visit.click("#choose-water").await?;
    visit.click("#area-us-wa-puget-sound").await?;
    visit.click("#go-day").await?;
    visit.click("#start-checks").await?;
    visit.click("#answer-dungeness").await?;
    visit.click("#answer-season-open").await?;
    visit.find("#asks-sex").await?;
    visit.click("#next-crab").await?;
    Deck { visit, taps: Cell::new(0) }.keep("#kept-it").await?;
    let told = counts(visit).await?;
    ensure!(told.contains("1 of 5"), "{told}");
    Ok(())
}
