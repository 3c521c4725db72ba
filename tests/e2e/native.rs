//! The native command, for the page to be compared with.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, ensure};
use serde_json::Value;

use super::Workshop;

/// What `shellspan measure --json` says of a photo.
pub fn measure(workshop: &Workshop, photo: &Path, more: &[&str]) -> anyhow::Result<Value> {
    let output = Command::new(&workshop.shellspan)
        .arg("measure")
        .arg(photo)
        .arg("--json")
        .args(more)
        .output()
        .with_context(|| format!("could not start {}", workshop.shellspan.display()))?;
    let text = String::from_utf8_lossy(&output.stdout);
    let line = text.lines().next().with_context(|| {
        format!("the native command printed nothing; errors: {}", String::from_utf8_lossy(&output.stderr))
    })?;
    let answer: Value = serde_json::from_str(line).with_context(|| line.to_owned())?;
    ensure!(answer["status"].is_string(), "no status in {line}");
    Ok(answer)
}
