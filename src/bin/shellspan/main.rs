//! The native command: the same core as the page.

mod measure;
mod ruling;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use shellspan::rules::check_report;

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
    /// not be used.
    Measure(Box<measure::MeasureArgs>),
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

fn main() -> ExitCode {
    match Command::parse().verb {
        Verb::Measure(args) => measure::measure_all(&args),
        Verb::Rules(Rules::Check { files }) => check(&files),
    }
}

fn check(files: &[PathBuf]) -> ExitCode {
    let mut all_sound = true;
    for file in files {
        let name = file.display().to_string();
        match std::fs::read_to_string(file) {
            Ok(text) => {
                let report = check_report(&text);
                if report.is_sound() {
                    print!("{}", report.to_text(&name));
                } else {
                    all_sound = false;
                    eprint!("{}", report.to_text(&name));
                }
            }
            Err(error) => {
                all_sound = false;
                eprintln!("{name}: cannot be read as text ({error}). Check the path.");
            }
        }
    }
    if all_sound { ExitCode::SUCCESS } else { ExitCode::from(1) }
}
