//! Several photos of one scene judged together: what the joint width is off by, and what is noticed.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use nalgebra::Vector3;
use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::matching::{Patch, find_again};
use shellspan::photo::{Limits, Photo};
use shellspan::terms::MarkedPoint;
use shellspan::units::{Millimetres, PhotoPoint};
use shellspan::width::{Apart, Joined, View, join};

use super::row::{Row, Seen};

/// Views that differ by this much or more, in degrees.
const WIDE_DEG: f64 = 30.0;
/// How far off points are placed in the trial of careless points: 2 px of a full-size photo (6 px a mm).
const CARELESS_MM: f64 = 0.33;
/// How far the crab moves in the trial of moved crabs, across the line of its width, in mm.
const MOVED_MM: f64 = 4.0;
/// Limits are set within this of the true width, either way, in mm.
const NEAR_LIMIT_MM: f64 = 3.0;
/// Photos whose names begin so are those that networks are trained on, but for one scene of so many.
const TRAINED_ON: &str = "train";
const HELD_OUT_EVERY: u32 = 3;

/// Which photos.
#[derive(Clone, Copy, PartialEq)]
enum Choice {
    /// Two photos from sides 30 degrees or more apart.
    WidePair,
    /// Two photos less far apart.
    NarrowPair,
    /// Three of one scene.
    Three,
}

/// Which points.
#[derive(Clone, Copy, PartialEq)]
enum Points {
    True,
    /// With noise of the size that is told of points placed by hand: what the coverage is judged by.
    AsTold,
    Careless,
    /// Placed in the first photo, found again in the others.
    Matched,
    Proposed,
    /// Proposed in the first photo, found again in the others.
    ProposedMatched,
    Moved,
}

/// One trial.
struct Trial {
    held_out: bool,
    choice: Choice,
    points: Points,
    joined: Joined,
    true_mm: f64,
    call: Option<bool>,
    plain: bool,
}

/// All groups of `rows`, as Markdown; empty where no scene has two photos.
pub fn together(rows: &[Row]) -> String {
    let mut scenes: BTreeMap<String, Vec<(&str, &Seen)>> = BTreeMap::new();
    for row in rows {
        if let Some(seen) = &row.seen
            && !seen.truth.scene.upside_down.unwrap_or(false)
        {
            let scene = row.name.trim_end_matches(|letter: char| letter.is_ascii_lowercase());
            scenes.entry(scene.to_owned()).or_default().push((&row.name, seen));
        }
    }
    let mut trials = Vec::new();
    for (name, photos) in &scenes {
        let held_out = is_held_out(name);
        for (i, a) in photos.iter().enumerate() {
            for (k, b) in photos.iter().enumerate().skip(i + 1) {
                let parallax = parallax_deg(a.1, b.1);
                let choice = if parallax >= WIDE_DEG { Choice::WidePair } else { Choice::NarrowPair };
                try_all(&mut trials, held_out, choice, &[*a, *b]);
                for c in photos.iter().skip(k + 1) {
                    try_all(&mut trials, held_out, Choice::Three, &[*a, *b, *c]);
                }
            }
        }
    }
    if trials.is_empty() { String::new() } else { table(&trials) }
}

/// True for scenes that took no part in any training, by the photo's or the scene's name.
pub fn is_held_out(name: &str) -> bool {
    !name.starts_with(TRAINED_ON)
        || scene_number(name.trim_end_matches(|letter: char| letter.is_ascii_lowercase()))
            .is_multiple_of(HELD_OUT_EVERY)
}

fn scene_number(name: &str) -> u32 {
    name.rsplit('-').next().and_then(|digits| digits.parse().ok()).unwrap_or(0)
}

fn shell_mm(seen: &Seen) -> [Vector3<f64>; 2] {
    [Vector3::from(seen.truth.shell.left_card_mm), Vector3::from(seen.truth.shell.right_card_mm)]
}

fn parallax_deg(a: &Seen, b: &Seen) -> f64 {
    let [left, right] = shell_mm(a);
    let middle = (left + right) / 2.0;
    let sight = |seen: &Seen| (seen.truth.camera_in_card_mm() - middle).normalize();
    sight(a).dot(&sight(b)).clamp(-1.0, 1.0).acos().to_degrees()
}

fn try_all(trials: &mut Vec<Trial>, held_out: bool, choice: Choice, photos: &[(&str, &Seen)]) {
    for points in [
        Points::True,
        Points::AsTold,
        Points::Careless,
        Points::Matched,
        Points::Proposed,
        Points::ProposedMatched,
        Points::Moved,
    ] {
        let views: Option<Vec<View<'_>>> = photos
            .iter()
            .enumerate()
            .map(|(i, (name, seen))| {
                Some(View { scene: &seen.scene, points: points_of(points, i, photos[0].1, name, seen)? })
            })
            .collect();
        let first = photos[0].1;
        let Some(joined) = views.and_then(|views| join(&views, &first.height)) else { continue };
        let true_mm = first.truth.shell.width_mm;
        let mut draw = Draw::of(photos[0].0);
        let limit = true_mm + NEAR_LIMIT_MM * (2.0 * draw.uniform() - 1.0);
        let measured = MeasuredWidth::new(&joined.width, first.truth.shell.dimension);
        let size = Size { min: Some(Millimetres(limit)), max: None };
        let found = conformity(&measured, size, Risk::default()).map(|found| found.1);
        let call = match found {
            Some(Conformity::Conforms) => Some(true_mm >= limit),
            Some(Conformity::Fails) => Some(true_mm < limit),
            _ => None,
        };
        let plain = found == Some(Conformity::Conforms);
        trials.push(Trial { held_out, choice, points, joined, true_mm, call, plain });
    }
}

fn points_of(
    points: Points,
    photo: usize,
    first: &Seen,
    name: &str,
    seen: &Seen,
) -> Option<[MarkedPoint; 2]> {
    let truth = &seen.truth;
    let true_px = [truth.shell.left_px, truth.shell.right_px].map(PhotoPoint::from);
    let by_hand = |points: [PhotoPoint; 2]| points.map(|point| seen.scene.hand_placed(point));
    match points {
        Points::True => Some(by_hand(true_px)),
        Points::AsTold => {
            // Which spot is meant is the same in all photos of a scene, how it is placed is not.
            let scene = name.trim_end_matches(|letter: char| letter.is_ascii_lowercase());
            let (mut spots, mut draw) = (Draw::of(scene), Draw::of(name));
            let sure = by_hand(true_px);
            Some([0, 1].map(|k| {
                let off = Vector3::from_fn(|_, _| spots.normal()) * sure[k].spot_u_mm;
                let at = truth.to_photo(shell_mm(seen)[k] + off);
                let u_px = sure[k].covariance_px2[(0, 0)].sqrt();
                let point = PhotoPoint::new(at.x + u_px * draw.normal(), at.y + u_px * draw.normal());
                MarkedPoint { point, ..sure[k] }
            }))
        }
        Points::Careless => {
            let mut draw = Draw::of(name);
            let off_px = CARELESS_MM * seen.scene.px_per_cm() / 10.0;
            Some(by_hand(true_px.map(|point| {
                let turn = std::f64::consts::TAU * draw.uniform();
                PhotoPoint::new(point.x + off_px * turn.cos(), point.y + off_px * turn.sin())
            })))
        }
        Points::Matched if photo == 0 => Some(by_hand(true_px)),
        Points::Matched => found_again(&first.true_patches, first, seen).map(by_hand),
        Points::Proposed => seen.proposed,
        Points::ProposedMatched if photo == 0 => seen.proposed,
        Points::ProposedMatched => {
            let found = found_again(&first.proposed_patches, first, seen)?;
            let [left, right] = seen.proposed.or(first.proposed)?;
            Some([MarkedPoint { point: found[0], ..left }, MarkedPoint { point: found[1], ..right }])
        }
        Points::Moved => {
            let [left, right] = shell_mm(seen);
            let line = left - right;
            let across = Vector3::new(-line.y, line.x, 0.0).normalize();
            let by = if photo == 0 { 0.0 } else { MOVED_MM };
            Some(by_hand([left, right].map(|place| truth.to_photo(place + across * by))))
        }
    }
}

/// The first photo's points found again.
fn found_again(patches: &[Option<Patch>; 2], first: &Seen, seen: &Seen) -> Option<[PhotoPoint; 2]> {
    let photo = Photo::decode(&std::fs::read(&seen.path).ok()?, &Limits::default()).ok()?;
    let pose = seen.scene.poses.first()?;
    let width_mm = first.truth.shell.width_mm;
    let find = |patch: &Option<Patch>| {
        let found =
            find_again(&photo, &pose.intrinsics, &pose.pose, patch.as_ref()?, &first.height, width_mm)?;
        Some(found.point)
    };
    Some([find(&patches[0])?, find(&patches[1])?])
}

/// Numbers that depend on a photo's name alone. SplitMix64 (Steele, Lea and Flood 2014).
struct Draw(u64);

impl Draw {
    fn of(name: &str) -> Self {
        Self(
            name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
                (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3)
            }),
        )
    }

    fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

fn table(trials: &[Trial]) -> String {
    let mut out = String::from(
        "\n| photos together | scenes | points | sets | stood apart | bias mm | RMS error mm | of u | in 95 % | within 3 mm of a limit: right, gauge, wrong keep, wrong release |\n|---|---|---|---|---|---|---|---|---|---|\n",
    );
    for (held_out, scenes) in [(true, "held out"), (false, "trained")] {
        for (choice, photos) in [
            (Choice::WidePair, "two, 30 degrees or more"),
            (Choice::NarrowPair, "two, less"),
            (Choice::Three, "three"),
        ] {
            for (points, words) in [
                (Points::True, "true"),
                (Points::AsTold, "as sure as told"),
                (Points::Careless, "0.33 mm off"),
                (Points::Matched, "true in the first, found again"),
                (Points::Proposed, "proposed"),
                (Points::ProposedMatched, "proposed in the first, found again"),
                (Points::Moved, "moved by 4 mm"),
            ] {
                let all: Vec<&Trial> = trials
                    .iter()
                    .filter(|trial| {
                        trial.held_out == held_out && trial.choice == choice && trial.points == points
                    })
                    .collect();
                if !all.is_empty() {
                    let _ = writeln!(out, "| {photos} | {scenes} | {words} | {} |", figures(&all));
                }
            }
        }
    }
    out
}

fn figures(trials: &[&Trial]) -> String {
    let moved = trials.iter().filter(|trial| trial.joined.apart == Some(Apart::Moved)).count();
    let alike = trials.iter().filter(|trial| trial.joined.apart == Some(Apart::TooAlike)).count();
    let joined: Vec<&&Trial> = trials.iter().filter(|trial| trial.joined.apart.is_none()).collect();
    let mean = |values: &dyn Fn(&Trial) -> f64| {
        joined.iter().map(|trial| values(trial)).sum::<f64>() / joined.len().max(1) as f64
    };
    let error = |trial: &Trial| trial.joined.width.width_mm - trial.true_mm;
    let covered = joined.iter().filter(|trial| {
        let [low, high] = trial.joined.width.interval_mm;
        (low..=high).contains(&trial.true_mm)
    });
    let calls = |wanted: Option<bool>, plain: Option<bool>| {
        joined
            .iter()
            .filter(|trial| trial.call == wanted && plain.is_none_or(|plain| trial.plain == plain))
            .count()
    };
    format!(
        "{} | {moved} moved, {alike} alike | {:+.2} | {:.2} | {:.2} | {} of {} | {}, {}, {}, {}",
        trials.len(),
        mean(&error),
        mean(&|trial| error(trial).powi(2)).sqrt(),
        mean(&|trial| (error(trial) / trial.joined.width.u_mm).powi(2)).sqrt(),
        covered.count(),
        joined.len(),
        calls(Some(true), None),
        calls(None, None),
        calls(Some(false), Some(true)),
        calls(Some(false), Some(false)),
    )
}
