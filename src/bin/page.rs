//! The page's wasm entry point, and the mark where the build tool cuts its program in two.

use shellspan::page::later::{Fetch, Program};
use wasm_split_helpers::{SplitLoaderError, wasm_split};

#[wasm_split(later, fallible)]
fn later() -> Result<Program, SplitLoaderError> {
    Ok(Program::whole())
}

fn main() {
    shellspan::page::run(Fetch(|| Box::pin(async { later().await.ok() })));
}
