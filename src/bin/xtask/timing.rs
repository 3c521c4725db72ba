//! `cargo xtask timing`: the worker's time and memory in a real browser, or how long a first visit waits.

use std::path::PathBuf;

use anyhow::Context;

use crate::{e2e, repo, test};

/// What `timing` can be told.
#[derive(clap::Args)]
pub struct Options {
    /// Photos to measure; the samples without any.
    photos: Vec<PathBuf>,
    /// Time a first visit on a slow line instead, until the first screen can be used.
    #[arg(long, conflicts_with = "photos")]
    start: bool,
}

/// Measures and prints.
pub fn run(options: &Options) -> anyhow::Result<()> {
    if options.start {
        let workshop = test::workshop(false)?;
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        return runtime.block_on(e2e::starting::take(&workshop));
    }
    let photos = if options.photos.is_empty() { samples()? } else { options.photos.clone() };
    let workshop = test::workshop(false)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(e2e::timing::take(&workshop, &photos))
}

fn samples() -> anyhow::Result<Vec<PathBuf>> {
    let folder = repo::root().join("samples");
    let entries = std::fs::read_dir(&folder).with_context(|| folder.display().to_string())?;
    let mut photos: Vec<PathBuf> = entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    photos.retain(|path| path.extension().is_some_and(|ending| ending == "jpg"));
    photos.sort();
    Ok(photos)
}
