//! The build tool: `cargo xtask <verb>`. A verb is one variant here and one module beside this file, or in [`site`].

mod accuracy;
mod candidates;
mod command;
mod corner_truth;
mod missing;
mod repo;
mod shells;
mod shots;
mod site;
mod test;
mod timing;

#[path = "../../../tests/e2e/mod.rs"]
mod e2e;
#[path = "../../../tests/it/shell_photos.rs"]
mod shell_photos;

use clap::{Parser, Subcommand};
use site::{build, serve};

/// Builds, serves and tests Shellspan.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Build the page into a folder that any static host can serve.
    Build(build::Options),
    /// Build the page and serve it on this computer.
    Serve(serve::Options),
    /// Run every test: native, then the page in a real browser.
    Test(test::Options),
    /// Measure photos of known truth and report how exact the core is.
    Accuracy(accuracy::Options),
    /// Print what the card finder takes for a card, for training its eye.
    Candidates(candidates::Options),
    /// Print what the finder of shells sees, for fitting and judging.
    Shells(shells::Options),
    /// Save pictures of the page's screens, small and large, light and dark.
    Shots(shots::Options),
    /// Time the worker in a real browser, and tell its memory.
    Timing(timing::Options),
}

fn main() -> anyhow::Result<()> {
    repo::tool()?;
    match Arguments::parse().verb {
        Verb::Build(options) => build::run(&options).map(|_| ()),
        Verb::Serve(options) => serve::run(&options),
        Verb::Test(options) => test::run(&options),
        Verb::Accuracy(options) => accuracy::run(&options),
        Verb::Candidates(options) => candidates::run(&options),
        Verb::Shells(options) => shells::run(&options),
        Verb::Shots(options) => shots::run(&options),
        Verb::Timing(options) => timing::run(&options),
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_verbs_and_their_options_do_not_clash() {
        super::Arguments::command().debug_assert();
    }
}
