//! `shellspan measure`: photos to widths.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use jiff::civil::Date;
use rayon::prelude::*;
use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::measure::{Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::report::{ElapsedReport, Report, Status};
use shellspan::shell::{Dimension, Placement};
use shellspan::units::{Millimetres, PhotoPoint};

use crate::ruling::Ruling;

/// What to measure, and how.
#[derive(Args)]
pub struct MeasureArgs {
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
    /// Rule pack (JSON): the answer then has what its rule says, of the size alone where other checks are open.
    #[arg(long, value_name = "FILE", requires_all = ["area", "date", "species"], conflicts_with = "limit")]
    rules: Option<PathBuf>,
    /// Area of the rule pack.
    #[arg(long, value_name = "ID", requires = "rules")]
    area: Option<String>,
    /// Day of the catch.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date, requires = "rules")]
    date: Option<Date>,
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

/// Measures every photo, prints an answer for each, and gives the exit code.
pub fn measure_all(args: &MeasureArgs) -> ExitCode {
    let ruling = match ruling_of(args) {
        Ok(ruling) => ruling,
        Err(mistakes) => {
            eprint!("{mistakes}");
            return ExitCode::from(1);
        }
    };
    let answers: Vec<(Report, Vec<String>)> =
        args.photos.par_iter().map(|path| measure_one(path, args, ruling.as_ref())).collect();
    for (report, lines) in &answers {
        if args.json {
            match serde_json::to_string(report) {
                Ok(line) => println!("{line}"),
                Err(error) => eprintln!("{}: {error}", report.photo),
            }
        } else {
            println!("{}", in_words(report));
            for line in lines {
                println!("  {line}");
            }
        }
    }
    let worst = |status| answers.iter().any(|(report, _)| report.status == status);
    if worst(Status::Unusable) {
        ExitCode::from(1)
    } else if worst(Status::Refused) {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    }
}

fn ruling_of(args: &MeasureArgs) -> Result<Option<Ruling>, String> {
    match (&args.rules, &args.area, &args.species, args.date) {
        (Some(file), Some(area), Some(species), Some(date)) => {
            Ruling::load(file, area, species, date).map(Some)
        }
        _ => Ok(None),
    }
}

/// The answer, with lines for a person on what the rule says.
fn measure_one(path: &PathBuf, args: &MeasureArgs, ruling: Option<&Ruling>) -> (Report, Vec<String>) {
    let name = path.to_string_lossy().into_owned();
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let report = Report {
                photo: name,
                reason: Some("cannot-open"),
                next_step: Some(format!("The file cannot be opened ({error}). Check the path.")),
                ..Report::default()
            };
            return (report, Vec::new());
        }
    };
    let mut clock = stopwatch();
    let photo = match Photo::decode(&bytes, &Limits::default()) {
        Ok(photo) => photo,
        Err(error) => return (Report::unusable(&name, &error), Vec::new()),
    };
    let decode = clock();
    drop(bytes);
    let request = request_of(args, ruling);
    let (outcome, elapsed) = measure(&photo, &request, &mut clock);
    let elapsed = ElapsedReport::of(decode, elapsed);
    match outcome {
        Ok(measurement) => {
            let mut report =
                Report::measured(&name, &measurement, request.placement, request.dimension, elapsed);
            let measured =
                MeasuredWidth::new(&measurement.width, request.dimension).with_hint(measurement.points_hint);
            let mut lines = Vec::new();
            if let Some(ruling) = ruling {
                lines = ruling.of(Some(&measured)).put_on(&mut report);
            }
            if let Some(limit) = args.limit {
                let size = Size { min: Some(Millimetres(limit)), max: None };
                if let Some((probability, found)) = conformity(&measured, size, Risk::default()) {
                    report.conformity = Some(probability);
                    report.verdict = Some(by_size_alone(found).to_owned());
                }
            }
            (report, lines)
        }
        Err(refused) => {
            let mut report = Report::refused(&name, &refused, request.placement, elapsed);
            // Without a width the rule still says what holds, and a closed season settles it.
            let lines = ruling.map(|ruling| ruling.of(None).put_on(&mut report)).unwrap_or_default();
            (report, lines)
        }
    }
}

fn by_size_alone(found: Conformity) -> &'static str {
    match found {
        Conformity::Conforms => "keep",
        Conformity::Fails => "release",
        Conformity::GaugeByHand => "gauge",
    }
}

fn request_of(args: &MeasureArgs, ruling: Option<&Ruling>) -> Request {
    let by_table =
        || args.species.as_deref().and_then(shellspan::rules::species).map(|info| info.height_prior());
    let height = ruling.and_then(Ruling::height_prior).or_else(by_table);
    let by_kind = match args.species.as_deref() {
        Some("dungeness") | None => Dimension::Notch,
        Some(_) => Dimension::Tips,
    };
    Request {
        placement: args.card_placement,
        dimension: args.dimension.or_else(|| ruling.and_then(Ruling::dimension)).unwrap_or(by_kind),
        species: args.species.clone(),
        card_near: args.card_near,
        shell_near: args.shell_near,
        points: args.left.zip(args.right).map(|(left, right)| [left, right]),
        height_share: height.map(|prior| (prior.k, prior.u)),
        ..Request::default()
    }
}

fn in_words(report: &Report) -> String {
    match (report.width_mm, report.u_mm, report.interval_mm) {
        (Some(width), Some(u), Some([low, high])) => {
            let chance = report
                .conformity
                .map(|p| format!(" (chance of being of size {:.1} %)", p * 100.0))
                .unwrap_or_default();
            let by_rule = report.rule.as_ref().is_some_and(|rule| rule["decided_by"] == "rule");
            let by = if by_rule { "by the rule" } else { "by size alone" };
            let verdict = report
                .verdict
                .as_ref()
                .map(|verdict| format!("; {by}: {verdict}{chance}"))
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

fn date(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| "a day like 2026-11-25".to_owned())
}
