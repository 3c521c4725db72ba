//! `cargo xtask accuracy FOLDER`: the measuring core against photos of known truth.
//!
//! Each photo has a JSON of the same name beside it: upright corners of the card, the two measuring
//! points, the true width, where the card lies. A photo without one is taken to show no card: any find
//! there is a false card.

mod keeps;
mod report;
mod row;
mod together;
mod truth;

use std::path::PathBuf;

use anyhow::{Context, Result};
use rayon::prelude::*;

use report::report;
use row::Row;

/// Prints and writes how exact the core is on photos of known truth.
#[derive(clap::Args)]
pub struct Options {
    /// Folders with photos and their truth.
    #[arg(required = true)]
    folders: Vec<PathBuf>,
    /// Where the report goes.
    #[arg(long, default_value = "target/accuracy.md")]
    out: PathBuf,
}

/// Runs the verb.
pub fn run(options: &Options) -> Result<()> {
    let mut photos = Vec::new();
    for folder in &options.folders {
        let entries = std::fs::read_dir(folder).with_context(|| format!("open {}", folder.display()))?;
        photos.extend(entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).filter(|path| {
            path.extension().is_some_and(|ext| ext == "jpg" || ext == "png" || ext == "webp")
        }));
    }
    photos.sort();
    let rows: Vec<Row> = photos.par_iter().map(|path| Row::of(path)).collect::<Result<_>>()?;
    let report = report(&rows) + &keeps::keeps(&rows) + &together::together(&rows);
    print!("{report}");
    if let Some(folder) = options.out.parent() {
        std::fs::create_dir_all(folder)?;
    }
    std::fs::write(&options.out, report).with_context(|| format!("write {}", options.out.display()))
}
