//! Cuts the page's program in two: what the first screen needs, and the rest, which comes after it.
//!
//! `page::later` marks the cut. The linker keeps its relocations for it; what is reached from the mark alone goes into the
//! second program, which shares memory and table of the first.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow, ensure};
use walrus::{Module, ModuleConfig};
use wasm_split_cli_support::{Options, transform};

/// What the linker must be told, so that the program can be cut.
pub const LINK_ARGUMENTS: [&str; 2] = ["-C", "link-arg=--emit-relocs"];
/// The script that fetches the second program: the first one imports it.
const LOADER: &str = "./later.js";
/// The name of the cut in `page::later`, as the tool names its file.
const SECOND: &str = "split_later.wasm";

/// Cuts `wasm`, writes the second program and its loader into `generated`, and gives where the first one lies, which
/// still needs its own JavaScript, `page.js`.
pub fn split(wasm: &Path, generated: &Path, keeps_names: bool) -> anyhow::Result<PathBuf> {
    let whole = fs::read(wasm).with_context(|| wasm.display().to_string())?;
    let first = wasm.with_file_name("page-first.wasm");
    let mut options = Options::new(&whole);
    options.output_dir = generated;
    options.main_out_path = &first;
    options.main_module = "./page.js";
    options.link_name = LOADER;
    let cut =
        transform(options).map_err(|error| anyhow!("{error:?}")).context("the page could not be cut")?;
    let second = generated.join(SECOND);
    ensure!(cut.split_modules == [second.clone()], "not one second program, but {:?}", cut.split_modules);
    compact(&second, keeps_names)?;
    Ok(first)
}

/// The linker leaves room for each number that it may still change, which makes a third of the file.
fn compact(wasm: &Path, keeps_names: bool) -> anyhow::Result<()> {
    let mut config = ModuleConfig::new();
    config.generate_name_section(keeps_names).generate_producers_section(false).generate_dwarf(false);
    let mut module: Module = config.parse_file(wasm).with_context(|| wasm.display().to_string())?;
    module.customs.remove_raw("target_features");
    fs::write(wasm, module.emit_wasm())?;
    Ok(())
}
