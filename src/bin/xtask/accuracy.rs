//! `cargo xtask accuracy FOLDER`: the measuring core against photos of known truth.
//!
//! Each photo has a JSON of the same name beside it: upright corners of the card, the two measuring
//! points, the true width, where the card lies. A photo without one is taken to show no card: any find
//! there is a false card.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use rayon::prelude::*;
use serde::Deserialize;
use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::measure::{PointsFrom, Refusal, Request, Scene, find_scene, propose};
use shellspan::photo::{Limits, Photo};
use shellspan::shell::{Dimension, MarkedPoint, Placement};
use shellspan::units::{Millimetres, PhotoPoint};
use shellspan::width::{HeightPrior, Width, measure_width, on_height_plane};

/// Prints and writes how exact the core is on photos of known truth.
#[derive(clap::Args)]
pub struct Options {
    /// Folders with photos and their truth.
    #[arg(required = true)]
    folders: Vec<PathBuf>,
    /// Where the report goes.
    #[arg(long, default_value = "target/accuracy.md")]
    out: PathBuf,
}

/// Runs the verb.
pub fn run(options: &Options) -> Result<()> {
    let mut photos = Vec::new();
    for folder in &options.folders {
        let entries = std::fs::read_dir(folder).with_context(|| format!("open {}", folder.display()))?;
        photos.extend(entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).filter(|path| {
            path.extension().is_some_and(|ext| ext == "jpg" || ext == "png" || ext == "webp")
        }));
    }
    photos.sort();
    let rows: Vec<Row> = photos.par_iter().map(|path| Row::of(path)).collect::<Result<_>>()?;
    let report = report(&rows);
    print!("{report}");
    if let Some(folder) = options.out.parent() {
        std::fs::create_dir_all(folder)?;
    }
    std::fs::write(&options.out, report).with_context(|| format!("write {}", options.out.display()))
}

#[derive(Deserialize)]
struct Truth {
    card: TrueCard,
    shell: TrueShell,
    #[serde(default)]
    scene: TrueScene,
}

#[derive(Deserialize)]
struct TrueCard {
    corners_px: [[f64; 2]; 4],
    placement: Placement,
}

#[derive(Deserialize)]
struct TrueShell {
    species: String,
    dimension: Dimension,
    left_px: [f64; 2],
    right_px: [f64; 2],
    width_mm: f64,
    mean_height_above_card_mm: f64,
    left_card_mm: [f64; 3],
    right_card_mm: [f64; 3],
}

#[derive(Deserialize, Default)]
struct TrueScene {
    #[serde(default)]
    motion_blur_px: f64,
}

/// Within this of the truth at every corner, the right card was found.
const SAME_CARD_PX: f64 = 20.0;

#[derive(Default)]
struct Row {
    name: String,
    has_card: bool,
    found: Find,
    sharp: bool,
    corner_px: Vec<f64>,
    placement: Option<Placement>,
    true_width_mm: f64,
    with_true_points: Option<Judged>,
    proposed: Option<Proposed>,
}

#[derive(Default, PartialEq, Clone, Copy)]
enum Find {
    Right,
    Wrong,
    #[default]
    Nothing,
    Refused(Refusal),
}

struct Judged {
    width: Width,
    /// Error of the width with each point at its true height: what the geometry alone leaves.
    geometry_error_mm: Option<f64>,
    call: Call,
}

#[derive(PartialEq, Clone, Copy)]
enum Call {
    Right,
    KeptShort,
    ReleasedLegal,
    Gauge,
}

struct Proposed {
    error_px: [f64; 2],
    error_mm: [f64; 2],
    width: Option<Judged>,
}

impl Row {
    fn of(path: &Path) -> Result<Self> {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let bytes = std::fs::read(path)?;
        let photo = Photo::decode(&bytes, &Limits::default())?;
        drop(bytes);
        let beside = path.with_extension("json");
        if !beside.exists() {
            let found = match find_scene(&photo, &Request::default()) {
                Ok(_) => Find::Wrong,
                Err(refused) if refused.scene.is_some() => Find::Wrong,
                Err(refused) => Find::Refused(refused.refusal),
            };
            return Ok(Self { name, found, ..Self::default() });
        }
        let truth: Truth = serde_json::from_slice(&std::fs::read(&beside)?)
            .with_context(|| format!("read {}", beside.display()))?;
        let species = truth.shell.species.replace('_', "-");
        let prior = shellspan::rules::species(&species).map(|info| info.height_prior());
        let points = [truth.shell.left_px, truth.shell.right_px].map(PhotoPoint::from);
        let request = Request {
            placement: truth.card.placement,
            dimension: truth.shell.dimension,
            species: Some(species.clone()),
            height_share: prior.map(|prior| (prior.k, prior.u)),
            ..Request::default()
        };
        let mut row = Self {
            name,
            has_card: true,
            sharp: truth.scene.motion_blur_px == 0.0,
            placement: Some(truth.card.placement),
            true_width_mm: truth.shell.width_mm,
            ..Self::default()
        };
        let scene = match find_scene(&photo, &request) {
            Ok((scene, _)) => scene,
            Err(refused) => {
                row.found =
                    if refused.scene.is_some() { Find::Wrong } else { Find::Refused(refused.refusal) };
                return Ok(row);
            }
        };
        let errors = corner_errors(&scene.card.corners, &truth.card.corners_px.map(PhotoPoint::from));
        row.found = if errors.iter().all(|&error| error < SAME_CARD_PX) { Find::Right } else { Find::Wrong };
        if row.found == Find::Wrong {
            return Ok(row);
        }
        row.corner_px = errors;
        let limit = limit_mm(&species);
        let judge = |points: &[MarkedPoint; 2]| judged(&scene, points, &request, &truth.shell, limit);
        row.with_true_points = judge(&points.map(|point| scene.hand_placed(point)));
        row.proposed = propose(&photo, &scene, &request).map(|proposal| {
            let places = proposal.points.map(|marked| marked.point);
            let (error_px, error_mm) =
                point_errors(&scene, places, points, truth.shell.mean_height_above_card_mm);
            Proposed { error_px, error_mm, width: judge(&proposal.points) }
        });
        Ok(row)
    }
}

/// Limits to decide by in this report, by kind; a scenario, no rule.
fn limit_mm(species: &str) -> f64 {
    match species {
        "dungeness" => 158.75,
        "red-rock" | "blue" => 127.0,
        "brown" => 140.0,
        _ => 55.0,
    }
}

fn judged(
    scene: &Scene,
    points: &[MarkedPoint; 2],
    request: &Request,
    truth: &TrueShell,
    limit: f64,
) -> Option<Judged> {
    let height = HeightPrior::of(request.placement, request.height_share);
    let width = measure_width(scene, points, request.placement, &height)?;
    let pose = scene.poses.first()?;
    // Each point at its own height: a crab that stands askew has two.
    let at_true_height = |marked: &MarkedPoint| {
        let from = |place: [f64; 2]| marked.point.distance_px(PhotoPoint::from(place));
        let left_is_nearer = from(truth.left_px) < from(truth.right_px);
        let height_mm = if left_is_nearer { truth.left_card_mm[2] } else { truth.right_card_mm[2] };
        on_height_plane(&pose.intrinsics, &pose.pose, marked.point, height_mm)
    };
    let geometry_error_mm = at_true_height(&points[0])
        .zip(at_true_height(&points[1]))
        .map(|(left, right)| (left - right).norm() - truth.width_mm);
    let measured = MeasuredWidth::new(&width, request.dimension);
    let size = Size { min: Some(Millimetres(limit)), max: None };
    let legal = truth.width_mm >= limit;
    let call = match conformity(&measured, size, Risk::default())?.1 {
        Conformity::GaugeByHand => Call::Gauge,
        Conformity::Conforms if legal => Call::Right,
        Conformity::Fails if !legal => Call::Right,
        Conformity::Conforms => Call::KeptShort,
        Conformity::Fails => Call::ReleasedLegal,
    };
    Some(Judged { width, geometry_error_mm, call })
}

/// Distances of the corners, matched by the turn that fits best: which corner is the print's first cannot
/// be told from the outline.
fn corner_errors(found: &[PhotoPoint; 4], truth: &[PhotoPoint; 4]) -> Vec<f64> {
    (0..4)
        .map(|turn| (0..4).map(|i| found[(i + turn) % 4].distance_px(truth[i])).collect::<Vec<f64>>())
        .min_by(|a, b| a.iter().sum::<f64>().total_cmp(&b.iter().sum()))
        .unwrap_or_default()
}

fn point_errors(
    scene: &Scene,
    found: [PhotoPoint; 2],
    truth: [PhotoPoint; 2],
    height_mm: f64,
) -> ([f64; 2], [f64; 2]) {
    let swapped = found[0].distance_px(truth[0]) + found[1].distance_px(truth[1])
        > found[0].distance_px(truth[1]) + found[1].distance_px(truth[0]);
    let truth = if swapped { [truth[1], truth[0]] } else { truth };
    let px = [found[0].distance_px(truth[0]), found[1].distance_px(truth[1])];
    let mm = std::array::from_fn(|i| {
        let on_shell = |point| {
            let pose = scene.poses.first()?;
            on_height_plane(&pose.intrinsics, &pose.pose, point, height_mm)
        };
        on_shell(found[i]).zip(on_shell(truth[i])).map_or(f64::NAN, |(p, q)| (p - q).norm())
    });
    (px, mm)
}

fn report(rows: &[Row]) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "| photo | card | corners px | placement | true mm | width mm | error | u | error at true height | in 95 % | by size | points px | points mm | proposed error mm | by size |"
    );
    let _ = writeln!(out, "|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|");
    for row in rows {
        let _ = writeln!(out, "{}", line(row));
    }
    out.push('\n');
    out.push_str(&summary(rows));
    out
}

fn line(row: &Row) -> String {
    let card = match row.found {
        Find::Right => "right".to_owned(),
        Find::Wrong => "WRONG".to_owned(),
        Find::Nothing => "none".to_owned(),
        Find::Refused(refusal) => format!("refused: {}", shellspan::text::measure::refusal(refusal).code),
    };
    let placement = match row.placement {
        Some(Placement::Deck) => "deck",
        Some(Placement::Level) => "level",
        Some(Placement::Back) => "back",
        None => "",
    };
    let given = row.with_true_points.as_ref().map_or("| | | | | |".to_owned(), |judged| {
        let width = &judged.width;
        format!(
            "{:.1} | {:+.2} | {:.2} | {} | {} | {}",
            width.width_mm,
            width.width_mm - row.true_width_mm,
            width.u_mm,
            judged.geometry_error_mm.map_or(String::new(), |error| format!("{error:+.2}")),
            if covers(width, row.true_width_mm) { "yes" } else { "no" },
            judged.call.word(),
        )
    });
    let proposed = row.proposed.as_ref().map_or("none | | |".to_owned(), |proposed| {
        let (error, call) = proposed
            .width
            .as_ref()
            .map_or((f64::NAN, ""), |judged| (judged.width.width_mm - row.true_width_mm, judged.call.word()));
        format!(
            "{:.0} {:.0} | {:.1} {:.1} | {error:+.1} | {call}",
            proposed.error_px[0], proposed.error_px[1], proposed.error_mm[0], proposed.error_mm[1],
        )
    });
    let corners = row.corner_px.iter().map(|error| format!("{error:.2}")).collect::<Vec<_>>().join(" ");
    format!(
        "| {} | {card} | {corners} | {placement} | {:.1} | {given} | {proposed} |",
        row.name, row.true_width_mm
    )
}

impl Call {
    fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::KeptShort => "SHORT KEPT",
            Self::ReleasedLegal => "legal released",
            Self::Gauge => "gauge",
        }
    }
}

fn covers(width: &Width, truth: f64) -> bool {
    (width.interval_mm[0]..=width.interval_mm[1]).contains(&truth)
}

fn rms(values: impl Iterator<Item = f64>) -> (f64, usize) {
    let (mut sum, mut count) = (0.0, 0);
    for value in values {
        sum += value * value;
        count += 1;
    }
    (if count == 0 { f64::NAN } else { (sum / count as f64).sqrt() }, count)
}

fn summary(rows: &[Row]) -> String {
    let mut out = String::new();
    let with = rows.iter().filter(|row| row.has_card).count();
    let right = rows.iter().filter(|row| row.found == Find::Right).count();
    let wrong = rows.iter().filter(|row| row.has_card && row.found == Find::Wrong).count();
    let without = rows.len() - with;
    let false_cards = rows.iter().filter(|row| !row.has_card && row.found == Find::Wrong).count();
    let _ = writeln!(out, "- card found: {right} of {with}; something else taken for it: {wrong}");
    if without > 0 {
        let _ = writeln!(out, "- photos without a card: {without}; a card seen there: {false_cards}");
    }
    let mut errors: Vec<f64> =
        rows.iter().filter(|row| row.sharp).flat_map(|row| row.corner_px.iter().copied()).collect();
    errors.sort_by(f64::total_cmp);
    let (corner_rms, corners) = rms(errors.iter().copied());
    let at = |share: f64| errors.get((errors.len() as f64 * share) as usize).copied().unwrap_or(f64::NAN);
    let _ = writeln!(
        out,
        "- corner error where sharp: RMS {corner_rms:.2} px, median {:.2}, 90 % under {:.2} ({corners} corners)",
        at(0.5),
        at(0.9)
    );
    for (name, placement) in
        [("deck", Placement::Deck), ("level", Placement::Level), ("back", Placement::Back)]
    {
        let judged = || {
            rows.iter()
                .filter(move |row| row.placement == Some(placement))
                .filter_map(|row| row.with_true_points.as_ref().map(|judged| (row, judged)))
        };
        let (width, count) = rms(judged().map(|(row, judged)| judged.width.width_mm - row.true_width_mm));
        let (geometry, _) = rms(judged().filter_map(|(_, judged)| judged.geometry_error_mm));
        let _ = writeln!(
            out,
            "- width with true points, card {name}: RMS error {width:.2} mm, {geometry:.2} mm at the true height ({count} photos)"
        );
    }
    let judged: Vec<(&Row, &Judged)> =
        rows.iter().filter_map(|row| row.with_true_points.as_ref().map(|judged| (row, judged))).collect();
    let covered = judged.iter().filter(|(row, judged)| covers(&judged.width, row.true_width_mm)).count();
    let _ = writeln!(out, "- 95 % interval holds the truth: {covered} of {}", judged.len());
    let calls = |list: &[Call]| {
        let count = |call| list.iter().filter(|&&other| other == call).count();
        format!(
            "{} right, {} for the gauge, {} legal released, {} short kept",
            count(Call::Right),
            count(Call::Gauge),
            count(Call::ReleasedLegal),
            count(Call::KeptShort)
        )
    };
    let given: Vec<Call> = judged.iter().map(|(_, judged)| judged.call).collect();
    let _ = writeln!(out, "- verdict by size, true points: {}", calls(&given));
    let proposals: Vec<&Proposed> = rows.iter().filter_map(|row| row.proposed.as_ref()).collect();
    let within = |mm: f64| {
        proposals.iter().filter(|proposed| proposed.error_mm.iter().all(|&error| error <= mm)).count()
    };
    let _ = writeln!(
        out,
        "- {:?} points: {} of {right} photos; both within 3 mm: {}, within 10 mm: {}",
        PointsFrom::Proposed,
        proposals.len(),
        within(3.0),
        within(10.0)
    );
    let by_proposal: Vec<Call> =
        proposals.iter().filter_map(|proposed| proposed.width.as_ref().map(|judged| judged.call)).collect();
    let _ = writeln!(out, "- verdict by size, proposed points: {}", calls(&by_proposal));
    out
}
