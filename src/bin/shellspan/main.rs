//! The native command: the same core as the page.

mod arguments;
mod file;
mod measure;
mod picture;
mod points;
mod ruling;
mod together;

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use jiff::civil::Date;
use shellspan::rules::check_report_bytes;

/// Measures crabs beside a bank-card-sized card, from photos.
#[derive(Parser)]
#[command(name = "shellspan", version, about)]
struct Command {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Measures the shell in each photo. Exit code 0: all measured; 2: a photo was refused; 1: a file could
    /// not be used; 64: the command was not understood; 74: the answer could not be written.
    Measure(Box<arguments::MeasureArgs>),
    /// Works on rule packs.
    #[command(subcommand)]
    Rules(Rules),
}

#[derive(Subcommand)]
enum Rules {
    /// Prints each figure of a pack with its mark and source. Exit code 1, with every mistake by field and
    /// line, where a file is no pack.
    Check {
        /// Rule packs (JSON).
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
}

/// The command was not understood: `EX_USAGE` of BSD's `sysexits.h`, apart from the 2 of a refused photo.
const USAGE: u8 = 64;
/// The answer could not be written: `EX_IOERR` of `sysexits.h`.
const NOT_WRITTEN: u8 = 74;

/// The exit code when the answer went out, as far as anybody wanted to read it.
fn written(done: io::Result<()>, code: ExitCode) -> ExitCode {
    match done {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            eprintln!("The answer cannot be written ({error}).");
            ExitCode::from(NOT_WRITTEN)
        }
        _ => code,
    }
}

fn main() -> ExitCode {
    let command = match Command::try_parse() {
        Ok(command) => command,
        Err(help_or_mistake) => {
            // Where nothing can be printed, the exit code still tells.
            let _ = help_or_mistake.print();
            return if help_or_mistake.use_stderr() { ExitCode::from(USAGE) } else { ExitCode::SUCCESS };
        }
    };
    match command.verb {
        Verb::Measure(args) => measure::measure_all(&args),
        Verb::Rules(Rules::Check { files }) => check(&files),
    }
}

/// The day in UTC.
#[expect(clippy::disallowed_methods, reason = "the native command is where the clock comes from")]
fn today() -> Date {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
    let seconds = i64::try_from(since.as_secs()).unwrap_or(0);
    let now = jiff::Timestamp::from_second(seconds).unwrap_or_default();
    jiff::tz::Offset::UTC.to_datetime(now).date()
}

fn check(files: &[PathBuf]) -> ExitCode {
    let mut all_sound = true;
    let mut sound = String::new();
    let today = today();
    for path in files {
        let name = path.display().to_string();
        match file::read_pack(path) {
            Ok(bytes) => {
                let report = check_report_bytes(&bytes, today);
                if report.is_sound() {
                    sound.push_str(&report.to_text(&name));
                } else {
                    all_sound = false;
                    eprint!("{}", report.to_text(&name));
                }
            }
            Err(unread) => {
                all_sound = false;
                eprint!("{unread}");
            }
        }
    }
    let code = if all_sound { ExitCode::SUCCESS } else { ExitCode::from(1) };
    written(io::stdout().write_all(sound.as_bytes()), code)
}
