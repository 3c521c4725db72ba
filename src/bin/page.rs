//! The page's wasm entry point.

fn main() {
    shellspan::page::run();
}
