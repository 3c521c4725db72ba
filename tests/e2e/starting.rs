//! How long a first visit waits on a slow line and a slow phone until the first screen can be used, and until every
//! screen is there.

use std::fs;

use anyhow::{Context, ensure};
use serde_json::{Value, json};

use super::Workshop;
use super::browser::Driver;
use super::visit::Visit;

/// Each in a browser with an empty cache.
const RUNS: usize = 3;
/// A slow mobile line and a phone of the middle class: the throttling that web performance tools use by custom.
const BITS_PER_S: f64 = 1.6e6;
const LATENCY_MS: f64 = 150.0;
const TIMES_SLOWER: f64 = 4.0;
/// Twice what is aimed at, since the machine that measures may be busy; more says that something went wrong.
const MOST_MS: f64 = 8000.0;

/// The first screen is to load no more than this.
const MOST_BYTES: f64 = 480e3;

/// Marks the moment in which the first screen stands and its buttons answer: a timer runs after the frame was drawn.
const MARK: &str = "new MutationObserver((_, watch) => {
    if (!document.querySelector('#screen-day button')) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => performance.mark('usable')));
  }).observe(document, { childList: true, subtree: true });";

/// When it could be used, when something was painted first, and what had been sent until then.
const TELL: &str = "const usable = performance.getEntriesByName('usable')[0]?.startTime;
  if (usable === undefined) return null;
  const sent = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
    .filter((one) => one.startTime < usable && (one.responseEnd === 0 || one.responseEnd <= usable));
  const painted = performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0;
  return { usable, painted, requests: sent.length, bytes: sent.reduce((all, one) => all + one.encodedBodySize, 0) };";

/// Prints a line for each run; an error where the page takes far too long.
pub async fn take(workshop: &Workshop) -> anyhow::Result<()> {
    let driver = Driver::start(&workshop.driver, &workshop.folder.join("driver.log"))?;
    let folder = workshop.folder.join("starting");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&folder)?;
    let first = Visit::begin(workshop, &driver, &folder, "").await?;
    first.site.borrow().publish_packed()?;
    println!("a first visit at {:.1} Mbit/s, {LATENCY_MS} ms, {TIMES_SLOWER} times slower", BITS_PER_S / 1e6);
    println!("{:>10}{:>12}{:>10}{:>8}{:>10}", "usable ms", "painted ms", "requests", "kB", "whole ms");
    let mut usable = Vec::new();
    for run in 0..RUNS {
        let visit = first.beside(&format!("run-{run}")).await?;
        let told = measure(&visit).await;
        visit.end().await?;
        let told = told?;
        let number = |name: &str| told[name].as_f64().with_context(|| format!("no {name} in {told}"));
        println!(
            "{:>10.0}{:>12.0}{:>10.0}{:>8.0}{:>10.0}",
            number("usable")?,
            number("painted")?,
            number("requests")?,
            number("bytes")? / 1e3,
            number("whole")?
        );
        usable.push(number("usable")?);
        ensure!(number("bytes")? < MOST_BYTES, "{:.0} bytes until the first screen", number("bytes")?);
    }
    first.end().await?;
    usable.sort_by(f64::total_cmp);
    let median = usable.get(RUNS / 2).copied().unwrap_or(f64::INFINITY);
    ensure!(median < MOST_MS, "usable after {median:.0} ms: more than {MOST_MS:.0}");
    Ok(())
}

async fn measure(visit: &Visit<'_>) -> anyhow::Result<Value> {
    visit.devtools("Network.enable", json!({})).await?;
    let line = BITS_PER_S / 8.0;
    let slow = json!({ "offline": false, "latency": LATENCY_MS, "downloadThroughput": line, "uploadThroughput": line });
    visit.devtools("Network.emulateNetworkConditions", slow).await?;
    visit.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": TIMES_SLOWER })).await?;
    visit.ahead_of_pages(MARK).await?;
    visit.open_first().await?;
    visit.wait_until("the first screen", TELL).await?;
    let mut told = visit.ask(TELL).await?;
    // By looking again and again, so to some 50 ms.
    visit.wait_until("the second program", "return document.body.dataset.late === 'there'").await?;
    told["whole"] = visit.ask("return performance.now()").await?;
    Ok(told)
}
