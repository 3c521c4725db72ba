//! The native command: the same core as the page.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use rayon::prelude::*;
use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::measure::{Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::report::{ElapsedReport, Report, Status};
use shellspan::shell::{Dimension, Placement};
use shellspan::units::{Millimetres, PhotoPoint};

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
    Measure(MeasureArgs),
}

#[derive(Args)]
struct MeasureArgs {
    /// Photos (JPEG, PNG or WebP).
    #[arg(required = true)]
    photos: Vec<PathBuf>,
    /// Where the card lies: deck, level (with the measuring points) or back (of the crab).
    #[arg(long, default_value = "deck", value_parser = placement)]
    card_placement: Placement,
    /// One measuring point, upright pixels: X,Y.
    #[arg(long, value_parser = point, requires = "right", allow_hyphen_values = true)]
    left: Option<PhotoPoint>,
    /// The other measuring point.
    #[arg(long, value_parser = point, requires = "left", allow_hyphen_values = true)]
    right: Option<PhotoPoint>,
    /// Which distance the rule names: notch, tips or widest.
    #[arg(long, value_parser = dimension)]
    dimension: Option<Dimension>,
    /// Kind of crab: dungeness, red-rock, blue, brown, green, or one of the rule pack.
    #[arg(long)]
    species: Option<String>,
    /// Least legal width in mm; the answer then has conformity and verdict, by size alone.
    #[arg(long, value_parser = positive)]
    limit: Option<f64>,
    /// A point on the card, where it is not found by itself: X,Y.
    #[arg(long, value_parser = point, allow_hyphen_values = true)]
    card_near: Option<PhotoPoint>,
    /// A point on the middle of the shell: X,Y.
    #[arg(long, value_parser = point, allow_hyphen_values = true)]
    shell_near: Option<PhotoPoint>,
    /// One JSON object a line.
    #[arg(long)]
    json: bool,
}

fn main() -> ExitCode {
    match Command::parse().verb {
        Verb::Measure(args) => measure_all(&args),
    }
}

fn measure_all(args: &MeasureArgs) -> ExitCode {
    let reports: Vec<Report> = args.photos.par_iter().map(|path| measure_one(path, args)).collect();
    for report in &reports {
        if args.json {
            match serde_json::to_string(report) {
                Ok(line) => println!("{line}"),
                Err(error) => eprintln!("{}: {error}", report.photo),
            }
        } else {
            println!("{}", in_words(report));
        }
    }
    let worst = |status| reports.iter().any(|report| report.status == status);
    if worst(Status::Unusable) {
        ExitCode::from(1)
    } else if worst(Status::Refused) {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    }
}

fn measure_one(path: &PathBuf, args: &MeasureArgs) -> Report {
    let name = path.to_string_lossy().into_owned();
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            return Report {
                photo: name,
                reason: Some("cannot-open"),
                next_step: Some(format!("The file cannot be opened ({error}). Check the path.")),
                ..Report::default()
            };
        }
    };
    let mut clock = stopwatch();
    let photo = match Photo::decode(&bytes, &Limits::default()) {
        Ok(photo) => photo,
        Err(error) => return Report::unusable(&name, &error),
    };
    let decode = clock();
    drop(bytes);
    let request = request_of(args);
    let (outcome, elapsed) = measure(&photo, &request, &mut clock);
    let elapsed = ElapsedReport::of(decode, elapsed);
    match outcome {
        Ok(measurement) => {
            let mut report =
                Report::measured(&name, &measurement, request.placement, request.dimension, elapsed);
            if let Some(limit) = args.limit {
                let measured = MeasuredWidth::new(&measurement.width, request.dimension);
                let size = Size { min: Some(Millimetres(limit)), max: None };
                if let Some((probability, found)) = conformity(&measured, size, Risk::default()) {
                    report.conformity = Some(probability);
                    report.verdict = Some(by_size_alone(found).to_owned());
                }
            }
            report
        }
        Err(refused) => Report::refused(&name, &refused, request.placement, elapsed),
    }
}

fn by_size_alone(found: Conformity) -> &'static str {
    match found {
        Conformity::Conforms => "keep",
        Conformity::Fails => "release",
        Conformity::GaugeByHand => "gauge",
    }
}

fn request_of(args: &MeasureArgs) -> Request {
    let info = args.species.as_deref().and_then(shellspan::rules::species);
    let by_kind = match args.species.as_deref() {
        Some("dungeness") | None => Dimension::Notch,
        Some(_) => Dimension::Tips,
    };
    Request {
        placement: args.card_placement,
        dimension: args.dimension.unwrap_or(by_kind),
        species: args.species.clone(),
        card_near: args.card_near,
        shell_near: args.shell_near,
        points: args.left.zip(args.right).map(|(left, right)| [left, right]),
        height_share: info.map(|info| (info.height_prior().k, info.height_prior().u)),
        ..Request::default()
    }
}

fn in_words(report: &Report) -> String {
    match (report.width_mm, report.u_mm, report.interval_mm) {
        (Some(width), Some(u), Some([low, high])) => {
            let verdict = report
                .verdict
                .as_ref()
                .zip(report.conformity)
                .map(|(verdict, p)| {
                    format!("; by size alone: {verdict} (chance of being wide enough {:.1} %)", p * 100.0)
                })
                .unwrap_or_default();
            format!(
                "{}: {width:.1} mm, u {u:.1} mm, 95 % from {low:.1} to {high:.1} mm{verdict}",
                report.photo
            )
        }
        _ => format!(
            "{}: {}: {}",
            report.photo,
            report.reason.unwrap_or("unknown"),
            report.next_step.as_deref().unwrap_or_default()
        ),
    }
}

#[expect(clippy::disallowed_methods, reason = "the native command is where the clock comes from")]
fn stopwatch() -> impl FnMut() -> f64 {
    let started = std::time::Instant::now();
    move || started.elapsed().as_secs_f64() * 1e3
}

fn point(text: &str) -> Result<PhotoPoint, String> {
    let (x, y) = text.split_once(',').ok_or("two numbers with a comma, like 812.5,1044")?;
    let number = |text: &str| match text.trim().parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(format!("{text:?} is no number of pixels")),
    };
    Ok(PhotoPoint::new(number(x)?, number(y)?))
}

fn positive(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value > 0.0 => Ok(value),
        _ => Err("a length in mm above 0".into()),
    }
}

fn placement(text: &str) -> Result<Placement, String> {
    match text {
        "deck" => Ok(Placement::Deck),
        "level" => Ok(Placement::Level),
        "back" => Ok(Placement::Back),
        _ => Err("deck, level or back".into()),
    }
}

fn dimension(text: &str) -> Result<Dimension, String> {
    match text {
        "notch" => Ok(Dimension::Notch),
        "tips" => Ok(Dimension::Tips),
        "widest" => Ok(Dimension::Widest),
        _ => Err("notch, tips or widest".into()),
    }
}
