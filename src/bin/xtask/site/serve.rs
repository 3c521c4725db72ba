//! `cargo xtask serve`: the page on this computer.

use std::path::PathBuf;

use super::{build, server};
use crate::repo;

/// What `serve` can be told.
#[derive(clap::Args)]
pub struct Options {
    /// Port to try first.
    #[arg(long, default_value_t = 8080)]
    port: u16,
    /// Serve what is in the folder already.
    #[arg(long)]
    no_build: bool,
    #[command(flatten)]
    build: build::Options,
}

/// Builds, then serves until interrupted.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let folder: PathBuf =
        if options.no_build { repo::root().join(&options.build.out) } else { build::run(&options.build)? };
    anyhow::ensure!(
        folder.join("index.html").is_file(),
        "{} holds no page: run without --no-build first",
        folder.display()
    );
    let prefix = if options.build.public_url.is_empty() { "/" } else { &options.build.public_url };
    let (server, port) = server::open(options.port)?;
    if port != options.port {
        eprintln!("Port {} is taken.", options.port);
    }
    println!("Serving on http://localhost:{port}{prefix}");
    server::answer(server, &folder, prefix)
}
