//! The worker's wasm entry point.

fn main() {
    shellspan::worker::service::run();
}
