//! The build tool.
fn main() {}
