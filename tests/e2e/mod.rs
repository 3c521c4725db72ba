//! Journeys through the built page in a real browser, as a person makes them.
//!
//! Part of the build tool (`cargo xtask test`), so that `cargo test` alone needs no browser. Each journey
//! gets a fresh browser and a server of its own; after each, whatever it did, the browser's own log must
//! show no other host asked and the console no violated policy and no uncaught error.

mod browser;
mod journeys;
mod native;
mod netlog;
pub mod person;
pub mod shots;
mod site;
pub mod starting;
pub mod timing;
pub mod visit;

use std::cell::{Cell, RefCell};
use std::fs;
use std::future::Future;
use std::path::PathBuf;
use std::pin::Pin;
use std::time::Duration;

use anyhow::Context;
use fantoccini::error::CmdError;
use tokio::time::Instant;

use browser::Driver;
use visit::Visit;

/// What the journeys are made with.
pub struct Workshop {
    /// The browser's program.
    pub chromium: PathBuf,
    /// Its WebDriver server.
    pub driver: PathBuf,
    /// Built wasm programs, to lay out as sites.
    pub generated: PathBuf,
    /// The native command.
    pub shellspan: PathBuf,
    /// Folder for profiles, sites, logs and pictures.
    pub folder: PathBuf,
}

/// A journey under way.
pub type Going<'a> = Pin<Box<dyn Future<Output = anyhow::Result<()>> + 'a>>;

/// One journey: what it shows, and how it goes.
pub struct Journey {
    /// What holds when it passes, as a sentence without capitals.
    pub name: &'static str,
    /// Path under which the site is served.
    pub public_url: &'static str,
    /// The journey itself.
    pub go: for<'a> fn(&'a Visit<'a>) -> Going<'a>,
}

/// How many journeys passed and failed.
#[derive(Debug, Default, Clone, Copy)]
pub struct Tally {
    /// Passed.
    pub passed: usize,
    /// Failed.
    pub failed: usize,
}

/// Longest time one journey may take. The slowest measures several 12-megapixel photos; a machine under
/// load needs a multiple of what it takes alone.
const LIMIT: Duration = Duration::from_secs(240);

/// What was waited for did not come in time.
#[derive(Debug, thiserror::Error)]
#[error("waited {} s for {what}", .limit.as_secs())]
pub struct Waited {
    /// How long was waited.
    pub limit: Duration,
    /// For what.
    pub what: String,
}

/// True for a wait that was too short on a machine under load, and for an element that the page had replaced between
/// its finding and its use. Whatever shows a wrong page fails at once.
fn shows_no_wrong_page(error: &anyhow::Error) -> bool {
    let is_stale = |cause: &CmdError| cause.is_stale_element_reference();
    error.chain().any(|cause| cause.is::<Waited>() || cause.downcast_ref().is_some_and(is_stale))
}

/// Goes all journeys whose name contains `filter`, two at a time: a browser waits more than it works.
///
/// A journey that failed without showing a wrong page goes once more when the others are done.
pub async fn run(workshop: &Workshop, filter: &str) -> anyhow::Result<Tally> {
    let driver = Driver::start(&workshop.driver, &workshop.folder.join("driver.log"))?;
    let tally = Cell::new(Tally::default());
    let waiting = RefCell::new(journeys::ALL.iter().filter(|journey| journey.name.contains(filter)));
    let once_more = RefCell::new(Vec::new());
    let lane = || async {
        loop {
            let Some(journey) = waiting.borrow_mut().next() else { return };
            let started = Instant::now();
            let went = run_one(workshop, &driver, journey).await;
            let mut so_far = tally.get();
            match went {
                Ok(()) => {
                    so_far.passed += 1;
                    println!("ok {:>4.0} s  {}", started.elapsed().as_secs_f64(), journey.name);
                }
                Err(error) if shows_no_wrong_page(&error) => {
                    println!("once more  {}\n        {error:#}", journey.name);
                    once_more.borrow_mut().push(journey);
                }
                Err(error) => {
                    so_far.failed += 1;
                    println!("FAILED     {}\n        {error:#}", journey.name);
                }
            }
            tally.set(so_far);
        }
    };
    tokio::join!(lane(), lane());
    let mut tally = tally.get();
    for journey in once_more.into_inner() {
        match run_one(workshop, &driver, journey).await {
            Ok(()) => {
                tally.passed += 1;
                println!("ok, alone  {}", journey.name);
            }
            Err(error) => {
                tally.failed += 1;
                println!("FAILED     {}\n        {error:#}", journey.name);
            }
        }
    }
    Ok(tally)
}

async fn run_one(workshop: &Workshop, driver: &Driver, journey: &Journey) -> anyhow::Result<()> {
    let short: String = journey
        .name
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' })
        .collect();
    let folder = workshop.folder.join(short);
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&folder)?;
    let visit = Visit::begin(workshop, driver, &folder, journey.public_url).await?;
    let went = match tokio::time::timeout(LIMIT, (journey.go)(&visit)).await {
        Ok(went) => went,
        Err(_) => Err(Waited { limit: LIMIT, what: "the journey's end".to_owned() }.into()),
    };
    let went = match went {
        Ok(()) => visit.check_console().await,
        Err(error) => {
            let seen = visit.describe().await;
            Err(error.context(format!("{seen}\n        pictures and logs: {}", folder.display())))
        }
    };
    let ended = visit.end().await;
    went?;
    let net_log = ended?;
    netlog::check_only_localhost(&net_log).with_context(|| net_log.display().to_string())
}
