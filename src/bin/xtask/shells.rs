//! `cargo xtask shells`: what the finder of shells sees on photos of known truth, with the card's true pose; one JSON a line,
//! for fitting the chance of a proposal and for judging.

use std::path::PathBuf;

use anyhow::Context;
use serde_json::{Value, json};
use shellspan::shell::{ShellQuery, likeliest, tip_odds};
use shellspan::terms::Dimension;
use shellspan::units::PhotoPoint;

use super::shell_photos::{Sample, load};

/// Which photos.
#[derive(clap::Args)]
pub struct Options {
    /// Folders with photos and their truth.
    #[arg(required = true)]
    folders: Vec<PathBuf>,
    /// Take the ends of the shell across its axis for the points, whatever the truth's own dimension.
    #[arg(long)]
    widest: bool,
}

/// Runs the verb.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let mut files = Vec::new();
    for folder in &options.folders {
        let entries = std::fs::read_dir(folder).with_context(|| format!("open {}", folder.display()))?;
        files.extend(entries.filter_map(|entry| entry.ok().map(|entry| entry.path())));
    }
    files.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
    files.sort();
    for file in files {
        let truth: Value = serde_json::from_slice(&std::fs::read(&file)?)?;
        let mut sample = load(&file);
        if options.widest {
            measure_widest(&mut sample, &truth);
        }
        println!("{}", judged(&sample, truth["scene"]["upside_down"].as_bool().unwrap_or(false)));
        println!("{}", elsewhere(&sample));
    }
    Ok(())
}

/// A look for a shell on the other side of the card, where there is none.
fn elsewhere(sample: &Sample) -> Value {
    let middle = (sample.on_shell(sample.truth[0]) + sample.on_shell(sample.truth[1])) / 2.0;
    let away = sample.intrinsics.project(&sample.pose.transform(&(-middle)));
    let mut row = json!({ "photo": sample.name, "elsewhere": true });
    if let Some(away) = away.filter(|at| sample.photo.size().contains(*at))
        && let Ok(candidate) = likeliest(&sample.query(Some(away)))
    {
        row["worst_mm"] = json!(sample.worst_mm(candidate.points.map(|marked| marked.point)));
        row["chance"] = json!(candidate.evidence.chance());
        row["features"] = json!(candidate.evidence.features());
    }
    row
}

/// What is seen of one photo, with the card's true pose.
#[expect(clippy::disallowed_methods, reason = "it times, natively only")]
fn judged(sample: &Sample, is_upside_down: bool) -> Value {
    let started = std::time::Instant::now();
    let found = likeliest(&sample.query(None));
    let elapsed_ms = started.elapsed().as_secs_f64() * 1000.0;
    let mut row =
        json!({ "photo": sample.name, "species": sample.species, "below": is_upside_down, "ms": elapsed_ms });
    match found {
        Err(why) => row["none"] = json!(why),
        Ok(candidate) => {
            let points = candidate.points.map(|marked| marked.point);
            row["worst_mm"] = json!(sample.worst_mm(points));
            row["width_mm"] = json!((sample.on_shell(points[0]) - sample.on_shell(points[1])).norm());
            row["outward_mm"] = json!(outward_mm(sample, points));
            row["width_error_mm"] = json!(width_error_mm(sample, points));
            row["chance"] = json!(candidate.evidence.chance());
            row["features"] = json!(candidate.evidence.features());
            row["true_width_mm"] =
                json!((sample.on_shell(sample.truth[0]) - sample.on_shell(sample.truth[1])).norm());
            row["evidence"] = json!(format!("{:?}", candidate.evidence));
            row["below_seen"] = json!(candidate.evidence.below);
        }
    }
    let odds = |points| tip_odds(&sample.photo, &sample.intrinsics, &sample.pose, sample.placement, points);
    row["odds_tips"] = json!(odds(&sample.tips));
    row["odds_notches"] = json!(odds(&sample.notches));
    let query = ShellQuery { dimension: Dimension::Notch, ..sample.query(None) };
    let other = likeliest(&query).ok().map(|c| sample.worst_of(c.points.map(|m| m.point), sample.notches));
    row["worst_notch_mm"] = json!(other);
    row
}

/// How far each point lies outside its true one along the crab's width, mm.
fn outward_mm(sample: &Sample, points: [PhotoPoint; 2]) -> [f64; 2] {
    let [left, right] = sample.truth.map(|at| sample.on_shell(at));
    let mut at = points.map(|point| sample.on_shell(point));
    if (at[0] - left).norm() > (at[1] - left).norm() {
        at.swap(0, 1);
    }
    let across = (right - left).normalize();
    [-(at[0] - left).dot(&across), (at[1] - right).dot(&across)]
}

/// Width between the points less the true one, both at the height of the true ones, mm.
fn width_error_mm(sample: &Sample, points: [PhotoPoint; 2]) -> f64 {
    let width = |[a, b]: [PhotoPoint; 2]| (sample.on_shell(a) - sample.on_shell(b)).norm();
    width(points) - width(sample.truth)
}

/// Makes the ends of the outline across its axis the truth.
fn measure_widest(sample: &mut Sample, truth: &Value) {
    let point = |at: &Value| Some(PhotoPoint::new(at[0].as_f64()?, at[1].as_f64()?));
    let outline: Vec<PhotoPoint> =
        truth["shell"]["outline_px"].as_array().into_iter().flatten().filter_map(point).collect();
    let across = sample.on_shell(sample.notches[1]) - sample.on_shell(sample.notches[0]);
    let along = |at: &&PhotoPoint| sample.on_shell(**at).dot(&across);
    let ends = (
        outline.iter().min_by(|a, b| along(a).total_cmp(&along(b))),
        outline.iter().max_by(|a, b| along(a).total_cmp(&along(b))),
    );
    if let (Some(&left), Some(&right)) = ends {
        sample.truth = [left, right];
        sample.dimension = Dimension::Widest;
    }
}
