//! The worker's wasm entry point.
fn main() {}
