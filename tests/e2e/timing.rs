//! How long the worker takes in a real browser, and how much memory it asks for. A measurement, not a test.

use std::fs;
use std::path::PathBuf;

use anyhow::{Context, ensure};
use serde_json::{Value, json};
use shellspan::worker::protocol::{Ask, Question, encode};

use super::Workshop;
use super::browser::Driver;
use super::visit::Visit;
use crate::site::dist::Files;

/// Questions to each worker; the first pays for the browser's compiler.
const RUNS: usize = 5;

/// The worker as it ships, but it tells when it has started and how large its memory has grown. The memory
/// of a wasm program never shrinks, so its size at the end is its peak.
const TIMED_WORKER: &str = r#"import init from "./worker.js";
const wasm = await init({ module_or_path: new URL("worker_bg.wasm", import.meta.url) });
self.addEventListener("message", ({ data }) => {
  if (data === "memory") self.postMessage(wasm.memory.buffer.byteLength);
});
self.postMessage("ready");
"#;

/// Asks `RUNS` times about one photo. An answer's second byte is its kind, 0 for a mere step: see
/// `worker::protocol::Answer`, whose number 1 takes one byte.
const ASK: &str = r#"const done = arguments[arguments.length - 1];
(async () => {
  const base = new URL(document.querySelector("meta[name=shellspan-base]").content, location.href);
  const photo = await (await fetch(new URL(PHOTO, base))).blob();
  const begun = performance.now();
  const worker = new Worker(new URL("timed-worker.js", base), { type: "module" });
  const hear = (wanted) => new Promise((resolve, reject) => {
    worker.onerror = (event) => reject(new Error(event.message));
    worker.onmessage = ({ data }) => { const got = wanted(data); if (got !== undefined) resolve(got); };
  });
  await hear((data) => data === "ready" ? true : undefined);
  const start = performance.now() - begun;
  const runs = [];
  let kind = 0;
  for (let run = 0; run < RUNS; run++) {
    const asked = performance.now();
    let steps = 0, read = asked;
    worker.postMessage([new Uint8Array(QUESTION), photo]);
    kind = await hear((data) => {
      if (data[1] !== 0) return data[1];
      if (++steps === 2) read = performance.now();
    });
    runs.push([performance.now() - asked, read - asked]);
  }
  worker.postMessage("memory");
  const memory = await hear((data) => typeof data === "number" ? data : undefined);
  worker.terminate();
  return { start, runs, kind, memory, file: photo.size };
})().then(done, (error) => done({ error: String(error) }));"#;

/// Prints a line for each photo.
pub async fn take(workshop: &Workshop, photos: &[PathBuf]) -> anyhow::Result<()> {
    let driver = Driver::start(&workshop.driver, &workshop.folder.join("driver.log"))?;
    let folder = workshop.folder.join("timing");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&folder)?;
    let visit = Visit::begin(workshop, &driver, &folder, "").await?;
    let measured = measure(&visit, photos).await;
    visit.end().await?;
    measured
}

async fn measure(visit: &Visit<'_>, photos: &[PathBuf]) -> anyhow::Result<()> {
    let mut more = Files::from([("timed-worker.js".to_owned(), TIMED_WORKER.into())]);
    for (i, photo) in photos.iter().enumerate() {
        more.insert(format!("timed/{i}"), fs::read(photo).with_context(|| photo.display().to_string())?);
    }
    visit.site.borrow().publish(more)?;
    visit.open().await?;
    let question = encode(&Ask { number: 1, question: Question::Measure(Box::default()) });
    println!(
        "{:<16}{:>8}{:>10}{:>20}{:>15}{:>11}",
        "photo", "file MB", "start ms", "answer ms (first)", "of it reading", "memory MB"
    );
    for (i, photo) in photos.iter().enumerate() {
        let script = ASK
            .replace("PHOTO", &json!(format!("timed/{i}")).to_string())
            .replace("QUESTION", &json!(question).to_string())
            .replace("RUNS", &RUNS.to_string());
        let told = visit.ask(&script).await?;
        ensure!(told["error"].is_null(), "{}: {}", photo.display(), told["error"]);
        print_line(&photo.file_name().unwrap_or_default().to_string_lossy(), &told)?;
    }
    Ok(())
}

fn print_line(name: &str, told: &Value) -> anyhow::Result<()> {
    let number = |value: &Value| value.as_f64().with_context(|| format!("no number in {told}"));
    let runs = told["runs"].as_array().context("a list of runs")?;
    let column = |i: usize| -> anyhow::Result<Vec<f64>> { runs.iter().map(|run| number(&run[i])).collect() };
    let (answers, reading) = (column(0)?, column(1)?);
    let outcome = match told["kind"].as_u64() {
        Some(1) => "",
        Some(2) => "  refused",
        Some(3) => "  unusable",
        _ => "  broken",
    };
    println!(
        "{name:<16}{:>8.1}{:>10.0}{:>20}{:>15.0}{:>11.0}{outcome}",
        number(&told["file"])? / 1e6,
        number(&told["start"])?,
        format!("{:.0} ({:.0})", median(answers.clone()), answers.first().copied().unwrap_or_default()),
        median(reading),
        number(&told["memory"])? / 1e6,
    );
    Ok(())
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}
