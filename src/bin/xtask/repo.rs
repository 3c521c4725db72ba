//! Where things lie in the repository.

use std::env;
use std::path::PathBuf;

/// The folder of `Cargo.toml`.
pub fn root() -> PathBuf {
    env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from)
}

/// Cargo's folder for what it builds.
pub fn target() -> PathBuf {
    env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from)
}

/// The cargo that runs this tool.
pub fn cargo() -> String {
    env::var("CARGO").unwrap_or_else(|_| "cargo".into())
}
