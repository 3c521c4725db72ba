//! `shellspan measure`: photos to widths.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;
use std::sync::mpsc;

use rayon::prelude::*;
use serde::Serialize;
use shellspan::decide::{Conformity, MeasuredWidth, Notice, Risk, Size, conformity};
use shellspan::doubts::Warning;
use shellspan::measure::{Measurement, Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::report::{ElapsedReport, Report, Status, WarningReport};
use shellspan::terms::Dimension;
use shellspan::terms::PointsHint;
use shellspan::units::{Millimetres, PhotoPoint};

use crate::arguments::MeasureArgs;
use crate::file;
use crate::picture;
use crate::points::GivenPoints;
use crate::ruling::Ruling;
use crate::together::measure_together;
use crate::{USAGE, written};

/// Measures every photo, prints an answer for each, and gives the exit code.
pub fn measure_all(args: &MeasureArgs) -> ExitCode {
    if let Err(mistake) = args.check() {
        eprintln!("error: {mistake}");
        return ExitCode::from(USAGE);
    }
    let ruling = match ruling_of(args) {
        Ok(ruling) => ruling,
        Err(mistakes) => {
            eprint!("{mistakes}");
            return ExitCode::from(1);
        }
    };
    let points = match args.points.as_deref().map(GivenPoints::read).transpose() {
        Ok(points) => points.unwrap_or_default(),
        Err(mistake) => {
            eprint!("{mistake}");
            return ExitCode::from(1);
        }
    };
    let mut worst = Worst::default();
    if args.same_crab {
        let (answer, lines) = measure_together(args, ruling.as_ref(), &points);
        for photo in &answer.photos {
            worst.add(photo.status);
        }
        worst.refused |= answer.report.reason.is_some();
        let done = if args.json { print_json(&answer) } else { print_words(&answer.report, &lines) };
        return written(done, worst.code());
    }
    let done = answers_in_order(args, ruling.as_ref(), &points, |answer| {
        worst.add(answer.0.status);
        print(answer, args.json)
    });
    written(done, worst.code())
}

/// An answer, with lines for a person on what the rule says.
type Answer = (Report, Vec<String>);

/// Measures on all cores, and hands each answer on as soon as those before it are there. Ends early when one
/// cannot be handed on.
fn answers_in_order(
    args: &MeasureArgs,
    ruling: Option<&Ruling>,
    points: &GivenPoints,
    mut hand_on: impl FnMut(&Answer) -> io::Result<()>,
) -> io::Result<()> {
    let (sender, receiver) = mpsc::channel();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            let photos = args.photos.iter().enumerate().par_bridge();
            // An error means that nobody reads on.
            let _ = photos.try_for_each_with(sender, |sender, (index, path)| {
                sender.send((index, measure_one(path, args, ruling, points))).map_err(drop)
            });
        });
        let (mut early, mut next) = (BTreeMap::new(), 0);
        for (index, answer) in receiver {
            early.insert(index, answer);
            while let Some(answer) = early.remove(&next) {
                hand_on(&answer)?;
                next += 1;
            }
        }
        Ok(())
    })
}

/// The worst that became of a photo decides the exit code.
#[derive(Default)]
struct Worst {
    unusable: bool,
    refused: bool,
}

impl Worst {
    fn add(&mut self, status: Status) {
        self.unusable |= status == Status::Unusable;
        self.refused |= status == Status::Refused;
    }

    fn code(&self) -> ExitCode {
        ExitCode::from(match (self.unusable, self.refused) {
            (true, _) => 1,
            (_, true) => 2,
            _ => 0,
        })
    }
}

fn print((report, lines): &Answer, as_json: bool) -> io::Result<()> {
    if as_json { print_json(report) } else { print_words(report, lines) }
}

fn print_json(answer: &impl Serialize) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "{}", serde_json::to_string(answer)?)?;
    out.flush()
}

fn print_words(report: &Report, lines: &[String]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "{}", in_words(report))?;
    for line in lines {
        writeln!(out, "  {line}")?;
    }
    out.flush()
}

fn ruling_of(args: &MeasureArgs) -> Result<Option<Ruling>, String> {
    match (&args.rules, &args.area, &args.species, args.date) {
        (Some(file), Some(area), Some(species), Some(date)) => {
            Ruling::load(file, area, species, date).map(Some)
        }
        _ => Ok(None),
    }
}

fn measure_one(path: &Path, args: &MeasureArgs, ruling: Option<&Ruling>, points: &GivenPoints) -> Answer {
    let name = path.to_string_lossy().into_owned();
    let mut clock = stopwatch();
    let photo = match decoded(path, &name) {
        Ok(photo) => photo,
        Err(report) => return (*report, Vec::new()),
    };
    let decode = clock();
    let (given, given_u_px) = points.of(path);
    let request = Request { points_u_px: given_u_px, ..request_of(args, ruling, given) };
    let (outcome, elapsed) = measure(&photo, &request, &mut clock);
    let elapsed = ElapsedReport::of(decode, elapsed);
    match outcome {
        Ok(measurement) => {
            let mut report =
                Report::measured(&name, &measurement, request.placement, request.dimension, elapsed);
            let measured =
                MeasuredWidth::new(&measurement.width, request.dimension).with_hint(measurement.points_hint);
            let lines = judge(&mut report, &measured, args, ruling);
            doubt_the_points(&mut report, &[&measurement], request.dimension);
            let mut lines = lines;
            if let Some(file) = &args.picture
                && let Err(error) = picture::save(&photo, &measurement, file)
            {
                lines.push(format!("The picture was not written: {error}"));
            }
            (report, lines)
        }
        Err(refused) => {
            let mut report = Report::refused(&name, &refused, photo.size(), request.placement, elapsed);
            // Without a width the rule still says what holds, and a closed season settles it.
            let lines = ruling.map(|ruling| ruling.of(None).put_on(&mut report)).unwrap_or_default();
            (report, lines)
        }
    }
}

/// The photo of a file, or the answer for one that gives none.
pub fn decoded(path: &Path, name: &str) -> Result<Photo, Box<Report>> {
    let bytes = file::read(path).map_err(|unread| Box::new(unread.report(name.to_owned())))?;
    Photo::decode(&bytes, &Limits::default()).map_err(|error| Box::new(Report::unusable(name, &error)))
}

/// What rule or limit say of a width; gives the lines for a person.
pub fn judge(
    report: &mut Report,
    measured: &MeasuredWidth,
    args: &MeasureArgs,
    ruling: Option<&Ruling>,
) -> Vec<String> {
    if let Some(limit) = args.limit {
        let size = Size { min: Some(Millimetres(limit)), max: None };
        if let Some((probability, found)) = conformity(measured, size, Risk::default()) {
            report.conformity = Some(probability);
            report.verdict = Some(by_size_alone(found).to_owned());
        }
    }
    ruling.map(|ruling| ruling.of(Some(measured)).put_on(report)).unwrap_or_default()
}

/// Points or a card that are not where they should be decide no keeper.
pub fn doubt_the_points(report: &mut Report, photos: &[&Measurement], dimension: Dimension) {
    let near_tips = |photo: &&Measurement| photo.points_hint == Some(PointsHint::NearTips);
    let on_tips = dimension == Dimension::Notch && photos.iter().any(near_tips);
    if on_tips {
        let sentence = Notice::PointsLookLikeTips.sentence();
        report.warnings.push(WarningReport { code: "points-near-tips", sentence });
    }
    let misplaced = |warning: &Warning| {
        matches!(
            warning,
            Warning::UnlikelyWidth | Warning::PointsOutside | Warning::CardOnShell | Warning::CardBesideShell
        )
    };
    let keeps = report.verdict.as_deref() == Some("keep");
    if keeps && (on_tips || photos.iter().flat_map(|photo| &photo.warnings).any(misplaced)) {
        report.verdict = Some("gauge".to_owned());
    }
}

fn by_size_alone(found: Conformity) -> &'static str {
    match found {
        Conformity::Conforms => "keep",
        Conformity::Fails => "release",
        Conformity::GaugeByHand => "gauge",
    }
}

/// What is asked of a photo.
pub fn request_of(args: &MeasureArgs, ruling: Option<&Ruling>, points: Option<[PhotoPoint; 2]>) -> Request {
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
        points: args.left.zip(args.right).map(|(left, right)| [left, right]).or(points),
        height_share: height.map(|prior| (prior.k, prior.u)),
        ..Request::default()
    }
}

fn in_words(report: &Report) -> String {
    // A line break or a control code in a file's name stays one line.
    let name: String = report.photo.chars().map(|c| if c.is_control() { '?' } else { c }).collect();
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
            format!("{name}: {width:.1} mm, u {u:.1} mm, 95 % from {low:.1} to {high:.1} mm{verdict}")
        }
        _ => format!(
            "{name}: {}: {}",
            report.reason.unwrap_or("unknown"),
            report.next_step.as_deref().unwrap_or_default()
        ),
    }
}

/// Milliseconds from now on.
#[expect(clippy::disallowed_methods, reason = "the native command is where the clock comes from")]
pub fn stopwatch() -> impl FnMut() -> f64 {
    let started = std::time::Instant::now();
    move || started.elapsed().as_secs_f64() * 1e3
}
