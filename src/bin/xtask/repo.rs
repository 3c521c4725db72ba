//! Where things lie in the repository.

use std::env;
use std::path::PathBuf;
use std::sync::OnceLock;

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

/// This program's own file.
///
/// To be asked once at the start: `cargo test`, called by this program, links the file afresh under the same
/// name, and from then on the system only knows the file that is gone.
pub fn tool() -> anyhow::Result<PathBuf> {
    static TOOL: OnceLock<PathBuf> = OnceLock::new();
    if let Some(tool) = TOOL.get() {
        return Ok(tool.clone());
    }
    let tool = env::current_exe()?;
    Ok(TOOL.get_or_init(|| tool).clone())
}
