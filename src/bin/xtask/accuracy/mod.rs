//! `cargo xtask accuracy FOLDER`: the measuring core against photos of known truth.
//!
//! Each photo has a JSON of the same name beside it: upright corners of the card, the two measuring
//! points, the true width, where the card lies. A photo without one is taken to show no card: any find
//! there is a false card.

mod keeps;
mod real;
mod reliability;
mod report;
mod row;
mod together;
mod truth;

use std::path::{Path, PathBuf};

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
    /// Folders with real photographs and their labels: the card's corners, the shell's ends.
    #[arg(long)]
    real: Vec<PathBuf>,
    /// Where the report goes; the reliability plot goes beside it.
    #[arg(long, default_value = "target/accuracy.md")]
    out: PathBuf,
}

/// Runs the verb.
pub fn run(options: &Options) -> Result<()> {
    let photos = photos_in(&options.folders)?;
    let rows: Vec<Row> = photos.par_iter().map(|path| Row::of(path)).collect::<Result<_>>()?;
    let report = report(&rows)
        + &reliability::table(&rows)
        + &keeps::keeps(&rows)
        + &together::together(&rows)
        + &real::report(&options.real)?;
    print!("{report}");
    if let Some(folder) = options.out.parent() {
        std::fs::create_dir_all(folder)?;
    }
    write(&options.out, &report)?;
    write(&options.out.with_file_name("reliability.svg"), &reliability::plot(&rows))
}

fn write(path: &Path, text: &str) -> Result<()> {
    std::fs::write(path, text).with_context(|| format!("write {}", path.display()))
}

/// The photos of some folders, by name.
fn photos_in(folders: &[PathBuf]) -> Result<Vec<PathBuf>> {
    let mut photos = Vec::new();
    for folder in folders {
        let entries = std::fs::read_dir(folder).with_context(|| format!("open {}", folder.display()))?;
        photos.extend(entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).filter(|path| {
            path.extension().is_some_and(|ext| ext == "jpg" || ext == "png" || ext == "webp")
        }));
    }
    photos.sort();
    Ok(photos)
}
