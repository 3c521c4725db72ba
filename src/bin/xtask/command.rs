//! Runs other programs and says which one failed.

use std::process::Command;

use anyhow::{Context, bail};

/// Runs `command` with its output shown; an exit code other than 0 is an error that names the command.
pub fn run(command: &mut Command) -> anyhow::Result<()> {
    eprintln!("$ {}", shown(command));
    let status = command.status().with_context(|| format!("could not start `{}`", shown(command)))?;
    if !status.success() {
        bail!("`{}` failed: {status}", shown(command));
    }
    Ok(())
}

/// Runs `command` and gives what it printed, or `None` when it is missing or failed.
pub fn output_of(command: &mut Command) -> Option<String> {
    let output = command.output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

fn shown(command: &Command) -> String {
    let mut words = vec![command.get_program().to_string_lossy().into_owned()];
    words.extend(command.get_args().map(|word| word.to_string_lossy().into_owned()));
    words.join(" ")
}
