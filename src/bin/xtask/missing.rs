//! Installs what a verb needs and the machine lacks, or says which command to type.

use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::bail;

use crate::command;

const WASM_TARGET: &str = "wasm32-unknown-unknown";

/// Makes sure that Rust can compile for the browser.
pub fn wasm_target() -> anyhow::Result<()> {
    let rustc = env::var("RUSTC").unwrap_or_else(|_| "rustc".into());
    let is_there = || {
        command::output_of(Command::new(&rustc).args(["--print", "target-libdir", "--target", WASM_TARGET]))
            .is_some_and(|folder| Path::new(&folder).is_dir())
    };
    if is_there() {
        return Ok(());
    }
    let tried = command::run(Command::new("rustup").args(["target", "add", WASM_TARGET]));
    if !is_there() {
        let why = tried.err().map_or_else(String::new, |error| format!(" ({error})"));
        bail!(
            "Rust cannot compile for the browser yet{why}. Type: rustup target add {WASM_TARGET}\n\
             With a Rust that did not come from rustup, install your distribution's wasm32 standard library."
        );
    }
    Ok(())
}

/// The two programs that the browser tests drive.
pub struct Browser {
    /// Chromium or a build of it under another name.
    pub chromium: PathBuf,
    /// Its WebDriver server.
    pub driver: PathBuf,
}

/// Finds Chromium and its driver; installs them on Debian where this user may.
///
/// `CHROMIUM` and `CHROMEDRIVER` name other programs than those on the search path.
pub fn browser() -> anyhow::Result<Browser> {
    if let Some(browser) = found_browser() {
        return Ok(browser);
    }
    const PACKAGES: [&str; 2] = ["chromium", "chromium-driver"];
    const BY_HAND: &str = "sudo apt-get update && sudo apt-get install -y chromium chromium-driver";
    let is_root = command::output_of(Command::new("id").arg("-u")).as_deref() == Some("0");
    if !is_root || on_path("apt-get").is_none() {
        bail!(
            "The browser tests need Chromium and chromedriver. On Debian type: {BY_HAND}\n\
             Elsewhere install both and set CHROMIUM and CHROMEDRIVER to the programs.\n\
             `cargo xtask test --native-only` runs the tests that need no browser."
        );
    }
    let apt = |words: &[&str]| {
        command::run(Command::new("apt-get").env("DEBIAN_FRONTEND", "noninteractive").args(words))
    };
    // Fresh machines have no package lists; a failing mirror shows in the installation below.
    let lists = apt(&["update"]);
    let installed = apt(&[&["install", "-y", "--no-install-recommends"][..], &PACKAGES[..]].concat());
    match found_browser() {
        Some(browser) => Ok(browser),
        None => {
            let why = installed.err().or(lists.err()).map_or_else(String::new, |error| format!(": {error}"));
            bail!("Chromium could not be installed{why}. Type: {BY_HAND}")
        }
    }
}

fn found_browser() -> Option<Browser> {
    let chromium = named("CHROMIUM", &["chromium", "chromium-browser", "google-chrome"])?;
    let driver = named("CHROMEDRIVER", &["chromedriver"])?;
    Some(Browser { chromium, driver })
}

fn named(variable: &str, names: &[&str]) -> Option<PathBuf> {
    env::var_os(variable).map(PathBuf::from).or_else(|| names.iter().find_map(|name| on_path(name)))
}

fn on_path(name: &str) -> Option<PathBuf> {
    let folders = env::var_os("PATH")?;
    env::split_paths(&folders).map(|folder| folder.join(name)).find(|file| file.is_file())
}
