//! Cuts the page's program in two: what the first screen needs, and the rest, which comes after it.
//!
//! `src/bin/page.rs` marks the cut. The linker keeps its relocations for it; what is reached from the mark alone goes into the
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
/// What the tool writes into it, and what stands there instead. Streaming fails where a host does not know the file's type,
/// as the first program's own script knows; and what was damaged on its way must not come from the browser's cache again.
const AMENDED: [(&str, &str); 2] = [
    (
        "WebAssembly.instantiateStreaming(src, imports)",
        "WebAssembly.instantiate(await (await src).arrayBuffer(), imports)",
    ),
    (
        "fetch(new URL(\"./split_later.wasm\", import.meta.url));",
        "fetch(new URL(\"./split_later.wasm\", import.meta.url), { cache: caching });\n    caching = \"reload\";",
    ),
];
/// The name of the cut in `src/bin/page.rs`, as the tool names its file.
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
    let loader = generated.join(LOADER);
    fs::write(&loader, amended(&fs::read_to_string(&loader)?)?)?;
    Ok(first)
}

fn amended(loader: &str) -> anyhow::Result<String> {
    let mut amended = format!("let caching = \"default\";\n{loader}");
    for (written, instead) in AMENDED {
        ensure!(amended.matches(written).count() == 1, "the loader has not one {written}: {loader}");
        amended = amended.replace(written, instead);
    }
    Ok(amended)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// `(func (result i32) i32.const 7)`, the number in five bytes as a linker leaves it, and a section of names (binary
    /// format of the WebAssembly core specification 2.0).
    const ROOMY: &[u8] = &[
        0, b'a', b's', b'm', 1, 0, 0, 0, // the head
        1, 5, 1, 0x60, 0, 1, 0x7f, // types
        3, 2, 1, 0, // functions
        7, 5, 1, 1, b'f', 0, 0, // exports
        10, 10, 1, 8, 0, 0x41, 0x87, 0x80, 0x80, 0x80, 0, 11, // code
        0, 14, 4, b'n', b'a', b'm', b'e', 1, 7, 1, 0, 4, b'l', b'o', b'n', b'g', // names
    ];

    #[test]
    fn the_room_that_the_linker_left_is_taken_out() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let wasm = folder.path().join("roomy.wasm");
        let compacted = |keeps_names| {
            fs::write(&wasm, ROOMY).expect("writable");
            compact(&wasm, keeps_names).expect("a module");
            fs::read(&wasm).expect("written")
        };
        let has = |bytes: &[u8], part: &[u8]| bytes.windows(part.len()).any(|window| window == part);
        let small = compacted(false);
        assert!(has(&small, &[0x41, 7, 11]), "{small:?}");
        assert!(!has(&small, b"long"), "{small:?}");
        assert!(has(&compacted(true), b"long"), "a quick build keeps names");
    }

    #[test]
    fn a_loader_of_another_form_is_an_error() {
        let known = AMENDED.map(|(written, _)| written).concat();
        assert!(
            amended(&known).is_ok_and(|loader| AMENDED.iter().all(|(_, instead)| loader.contains(instead)))
        );
        assert!(amended("import { initSync } from './page.js';").is_err());
        assert!(amended(&known.repeat(2)).is_err(), "which of two is meant");
    }

    #[test]
    fn a_program_without_the_mark_is_not_cut() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let wasm = folder.path().join("page.wasm");
        fs::write(&wasm, ROOMY).expect("writable");
        assert!(split(&wasm, folder.path(), false).is_err());
    }
}
