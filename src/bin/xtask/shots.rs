//! `cargo xtask shots`: pictures of the screens, to be looked at.

use std::fs;
use std::path::PathBuf;

use crate::{e2e, repo, test};

/// What `shots` can be told.
#[derive(clap::Args)]
pub struct Options {
    /// Build the page unoptimised.
    #[arg(long)]
    dev: bool,
    /// Folder for the pictures.
    #[arg(long, default_value = "target/shots")]
    out: PathBuf,
}

/// Takes the pictures.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let workshop = test::workshop(options.dev)?;
    let out = repo::root().join(&options.out);
    fs::create_dir_all(&out)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(e2e::shots::take(&workshop, &out))
}
