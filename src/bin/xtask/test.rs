//! `cargo xtask test`: every test there is.

use std::fs;
use std::process::Command;

use anyhow::{Context, bail};

use crate::e2e::{self, Tally, Workshop};
use crate::site::build;
use crate::{command, missing, repo};

/// What `test` can be told.
#[derive(clap::Args)]
pub struct Options {
    /// Only the tests that need no browser.
    #[arg(long, conflicts_with = "browser_only")]
    native_only: bool,
    /// Only the tests in the browser.
    #[arg(long)]
    browser_only: bool,
    /// Build the page unoptimised: quicker to build, slower to run.
    #[arg(long)]
    dev: bool,
    /// Only the browser tests whose name contains these words.
    #[arg(long, default_value = "", hide_default_value = true)]
    only: String,
}

/// Runs the tests; an error when any failed.
pub fn run(options: &Options) -> anyhow::Result<()> {
    if !options.browser_only {
        // With the tool's own feature: the same libraries as this program, and its tests too.
        command::run(Command::new(repo::cargo()).current_dir(repo::root()).args([
            "test",
            "--features",
            "xtask",
        ]))?;
    }
    if options.native_only {
        return Ok(());
    }
    let workshop = workshop(options.dev)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let Tally { passed, failed } = runtime.block_on(e2e::run(&workshop, &options.only))?;
    println!("{passed} passed, {failed} failed");
    if failed > 0 || passed == 0 {
        bail!("the browser tests did not all pass");
    }
    Ok(())
}

/// Builds and installs what the browser tests need.
pub fn workshop(dev: bool) -> anyhow::Result<Workshop> {
    let browser = missing::browser()?;
    missing::wasm_target()?;
    let generated = build::generate(dev)?;
    command::run(Command::new(repo::cargo()).current_dir(repo::root()).args([
        "build",
        "--features",
        "xtask",
        "--bin",
        "shellspan",
    ]))?;
    let folder = repo::target().join("e2e");
    fs::create_dir_all(&folder).with_context(|| folder.display().to_string())?;
    Ok(Workshop {
        chromium: browser.chromium,
        driver: browser.driver,
        generated,
        shellspan: repo::target().join("debug").join("shellspan"),
        folder,
    })
}
