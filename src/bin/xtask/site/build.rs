//! `cargo xtask build`: the page, from Rust to a folder of files.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::Context;
use wasm_bindgen_cli_support::Bindgen;

use super::dist::{self, Built, Files};
use super::{packed, split};
use crate::{command, missing, repo};

/// What `build` can be told.
#[derive(clap::Args, Clone)]
#[group(skip)]
pub struct Options {
    /// Path under which the host serves the page, as /some/path/; without it all addresses are relative,
    /// which suits any path.
    #[arg(long, default_value = "", hide_default_value = true, value_parser = public_url)]
    pub public_url: String,
    /// Compile fast, run slowly, keep names in stack traces.
    #[arg(long)]
    pub dev: bool,
    /// Folder to write; replaced as a whole.
    #[arg(long, default_value = "dist")]
    pub out: PathBuf,
}

/// Builds the page; gives the folder written.
pub fn run(options: &Options) -> anyhow::Result<PathBuf> {
    missing::wasm_target()?;
    let generated = generate(options.dev)?;
    let out = repo::root().join(&options.out);
    let mut built = dist::gather(&repo::root(), &generated, &options.public_url, Files::new())?;
    if !options.dev {
        built.files.extend(packed::beside(&built.files)?);
    }
    dist::write(&built, &out)?;
    report(&built, &out);
    Ok(out)
}

/// Compiles both wasm programs and writes their JavaScript beside them; gives that folder.
pub fn generate(dev: bool) -> anyhow::Result<PathBuf> {
    const TARGET: &str = "wasm32-unknown-unknown";
    // The page is to be small, the worker fast.
    const BINARIES: [(&str, &str, u64); 2] =
        [(PAGE, "web-page", MOST_FIRST_BYTES), ("worker", "web", MOST_WORKER_BYTES)];
    const PAGE: &str = "page";
    let generated = repo::target().join("page").join(if dev { "debug" } else { "web" });
    if generated.exists() {
        fs::remove_dir_all(&generated).with_context(|| generated.display().to_string())?;
    }
    for (binary, shipped, most_bytes) in BINARIES {
        let (profile, folder) = if dev { ("dev", "debug") } else { (shipped, shipped) };
        let mut cargo = Command::new(repo::cargo());
        cargo.current_dir(repo::root()).args(["rustc", "--profile", profile, "--target", TARGET]);
        cargo.args(["--features", "page", "--bin", binary]);
        let is_cut = binary == PAGE;
        if is_cut {
            cargo.arg("--").args(split::LINK_ARGUMENTS);
        }
        command::run(&mut cargo)?;
        let whole = repo::target().join(TARGET).join(folder).join(format!("{binary}.wasm"));
        let wasm = if is_cut { split::split(&whole, &generated, dev)? } else { whole };
        Bindgen::new()
            .input_path(&wasm)
            // What the second program takes from the first.
            .keep_lld_exports(is_cut)
            .out_name(binary)
            .web(true)?
            .typescript(false)
            .keep_debug(dev)
            .remove_name_section(!dev)
            .remove_producers_section(true)
            .generate(&generated)
            .with_context(|| format!("wasm-bindgen could not read {}", wasm.display()))?;
        if !dev {
            weigh(&generated.join(format!("{binary}_bg.wasm")), most_bytes)?;
        }
    }
    Ok(generated)
}

/// The first screen may weigh 480 kB in all as brotli, and needs 25 kB beside this program, which packs to 0.29.
const MOST_FIRST_BYTES: u64 = 1_500_000;

/// With what it measures by it has 3.6 MB; with the page's screens drawn in by mistake it had 7.0.
const MOST_WORKER_BYTES: u64 = 4_200_000;

fn weigh(program: &Path, most_bytes: u64) -> anyhow::Result<()> {
    let bytes = fs::metadata(program)?.len();
    anyhow::ensure!(
        bytes <= most_bytes,
        "{} has {bytes} bytes, and may have {most_bytes}: what the day's screen does not need is reached from the mark in \
         src/bin/page.rs alone, and the worker has nothing of the page",
        program.display()
    );
    Ok(())
}

fn report(built: &Built, out: &Path) {
    let size = |path: &str| built.files.get(path).map(Vec::len);
    let mut total = 0;
    for (path, bytes) in
        built.files.iter().filter(|(path, _)| path.ends_with(".wasm") || path.ends_with(".js"))
    {
        let packed = size(&format!("{path}.br")).map(|packed| format!(", {packed} as brotli"));
        eprintln!("{:>9} {path}{}", bytes.len(), packed.unwrap_or_default());
        total += bytes.len();
    }
    eprintln!("{total:>9} bytes of programs; build {} in {}", built.hash, out.display());
}

/// Checks `--public-url` and gives it with a slash at both ends.
fn public_url(given: &str) -> Result<String, String> {
    let inner = given.trim_matches('/');
    if given.is_empty() || given == "./" || given == "." {
        return Ok(String::new());
    }
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.~/".contains(&byte);
    if !given.starts_with('/') || !inner.bytes().all(is_plain) || inner.split('/').any(|part| part == "..") {
        return Err("expected a path such as /some/path/, of letters, digits and - _ . ~".into());
    }
    Ok(if inner.is_empty() { "/".into() } else { format!("/{inner}/") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(given: &str, expected: Option<&str>) {
        assert_eq!(public_url(given).ok().as_deref(), expected, "{given}");
    }

    #[test]
    fn a_public_path_gets_a_slash_at_both_ends() {
        check("", Some(""));
        check("/", Some("/"));
        check("/a", Some("/a/"));
        check("/a/b/", Some("/a/b/"));
    }

    #[test]
    fn another_host_or_markup_is_refused() {
        check("https://example.org/a/", None);
        check("a/b", None);
        check("/a\"><b", None);
        check("/a/../b/", None);
    }

    #[test]
    fn the_tool_and_the_page_use_the_same_wasm_bindgen() {
        let lock = fs::read_to_string(repo::root().join("Cargo.lock")).expect("the lock file is there");
        let version_of = |name: &str| {
            let entry =
                lock.split("[[package]]").find(|entry| entry.contains(&format!("name = \"{name}\"\n")));
            entry.and_then(|entry| entry.split("version = \"").nth(1)?.split('"').next()).map(str::to_owned)
        };
        assert!(version_of("wasm-bindgen").is_some());
        assert_eq!(version_of("wasm-bindgen"), version_of("wasm-bindgen-cli-support"));
    }
}
