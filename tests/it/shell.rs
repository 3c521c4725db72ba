//! The shell's finder over the sample photos, with the card's true pose: a proposal that is shown lies
//! within 10 mm, a tap near a point snaps to it, and what hides the shell gives no proposal.
//!
//! The networks were trained on these photos among others, so this guards against breaking them and says
//! nothing of photos they have not seen: for those see the figures at `Evidence::confidence`.
//!
//! Source of the truth: the JSON beside each sample, written by the renderer (samples/README.md).

use std::path::{Path, PathBuf};

use nalgebra::{Matrix3, Vector3};
use serde_json::{Value, json};
use shellspan::camera::{Intrinsics, Pose};
use shellspan::photo::{Limits, Photo};
use shellspan::shell::{ShellQuery, likeliest, propose, snap, tip_odds};
use shellspan::terms::{Dimension, Placement};
use shellspan::units::PhotoPoint;

struct Sample {
    name: String,
    photo: Photo,
    intrinsics: Intrinsics,
    pose: Pose,
    card: [PhotoPoint; 4],
    placement: Placement,
    species: String,
    dimension: Dimension,
    truth: [PhotoPoint; 2],
    tips: [PhotoPoint; 2],
    notches: [PhotoPoint; 2],
    upside_down: bool,
    height_mm: f64,
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn point(value: &Value) -> PhotoPoint {
    PhotoPoint::new(number(&value[0]), number(&value[1]))
}

fn load(json: &Path) -> Sample {
    let truth: Value = serde_json::from_slice(&std::fs::read(json).expect("readable")).expect("JSON");
    let bytes = std::fs::read(json.with_extension("jpg")).expect("the photo beside its truth");
    let (camera, card, shell) = (&truth["camera"], &truth["card"], &truth["shell"]);
    let pose = &card["pose_card_to_camera"];
    Sample {
        name: json.file_stem().expect("a name").to_string_lossy().into_owned(),
        photo: Photo::decode(&bytes, &Limits::default()).expect("a photo"),
        intrinsics: Intrinsics {
            focal_px: number(&camera["focal_px"]),
            principal_point: PhotoPoint::new(number(&camera["cx"]), number(&camera["cy"])),
        },
        pose: Pose {
            rotation: Matrix3::from_fn(|row, column| number(&pose["R"][row][column])),
            translation_mm: Vector3::from_fn(|row, _| number(&pose["t_mm"][row])),
        },
        card: std::array::from_fn(|i| point(&card["corners_px"][i])),
        placement: match card["placement"].as_str() {
            Some("level") => Placement::Level,
            Some("back") => Placement::Back,
            _ => Placement::Deck,
        },
        species: shell["species"].as_str().expect("a species").replace('_', "-"),
        dimension: match shell["dimension"].as_str() {
            Some("notch") => Dimension::Notch,
            Some("widest") => Dimension::Widest,
            _ => Dimension::Tips,
        },
        truth: [point(&shell["left_px"]), point(&shell["right_px"])],
        tips: [point(&shell["tips_px"][0]), point(&shell["tips_px"][1])],
        notches: [point(&shell["notchs_px"][0]), point(&shell["notchs_px"][1])],
        upside_down: truth["scene"]["upside_down"].as_bool().unwrap_or(false),
        height_mm: number(&shell["mean_height_above_card_mm"]),
    }
}

fn samples() -> Vec<Sample> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the samples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .collect();
    files.sort();
    files.iter().map(|file| load(file)).collect()
}

impl Sample {
    fn query(&self, shell_near: Option<PhotoPoint>) -> ShellQuery<'_> {
        ShellQuery {
            photo: &self.photo,
            intrinsics: self.intrinsics,
            pose: self.pose,
            card_corners: self.card,
            placement: self.placement,
            dimension: self.dimension,
            species: Some(&self.species),
            shell_near,
        }
    }

    /// Where the ray through `point` meets the height of the measuring points, in mm of the card frame.
    fn on_shell(&self, point: PhotoPoint) -> Vector3<f64> {
        let eye = self.pose.camera_in_card_mm();
        let ray = self.pose.rotation.transpose() * self.intrinsics.ray(point);
        eye + ray * ((self.height_mm - eye.z) / ray.z)
    }

    /// The larger of the two distances from the truth, for the pairing that fits better.
    fn worst_mm(&self, points: [PhotoPoint; 2]) -> f64 {
        self.worst_of(points, self.truth)
    }

    fn worst_of(&self, points: [PhotoPoint; 2], truth: [PhotoPoint; 2]) -> f64 {
        let off = |a, b| (self.on_shell(a) - self.on_shell(b)).norm();
        let [left, right] = truth;
        let straight = off(points[0], left).max(off(points[1], right));
        straight.min(off(points[0], right).max(off(points[1], left)))
    }

    /// How far each point lies outside its true one along the crab's width, mm.
    fn outward_mm(&self, points: [PhotoPoint; 2]) -> [f64; 2] {
        let [left, right] = self.truth.map(|at| self.on_shell(at));
        let mut at = points.map(|point| self.on_shell(point));
        if (at[0] - left).norm() > (at[1] - left).norm() {
            at.swap(0, 1);
        }
        let across = (right - left).normalize();
        [-(at[0] - left).dot(&across), (at[1] - right).dot(&across)]
    }

    /// Width between the points less the true one, both at the height of the true ones, mm.
    fn width_error_mm(&self, points: [PhotoPoint; 2]) -> f64 {
        let width = |[a, b]: [PhotoPoint; 2]| (self.on_shell(a) - self.on_shell(b)).norm();
        width(points) - width(self.truth)
    }
}

#[test]
fn proposals_that_are_shown_lie_within_ten_millimetres() {
    let (mut shown, mut asked) = (0, 0);
    for sample in samples() {
        asked += 1;
        let Some(proposal) = propose(&sample.query(None)) else { continue };
        shown += 1;
        let worst = sample.worst_mm(proposal.points.map(|marked| marked.point));
        assert!(
            worst <= 10.0,
            "{}: off by {worst:.1} mm at confidence {:.2}",
            sample.name,
            proposal.confidence
        );
        assert!((0.0..=1.0).contains(&proposal.confidence), "{}", sample.name);
        assert!(proposal.outline.len() >= 60, "{}: an outline all round", sample.name);
        let size = sample.photo.size();
        assert!(proposal.points.iter().all(|marked| size.contains(marked.point)), "{}", sample.name);
    }
    assert!(asked >= 6, "the samples are there");
    assert!(2 * shown >= asked, "only {shown} of {asked} samples give a proposal");
}

#[test]
fn a_tap_on_the_deck_far_from_the_shell_gives_no_proposal() {
    for sample in samples() {
        // The corner of the picture that is farthest from the shell.
        let size = sample.photo.size();
        let (w, h) = (f64::from(size.width), f64::from(size.height));
        let middle = PhotoPoint::new(
            (sample.truth[0].x + sample.truth[1].x) / 2.0,
            (sample.truth[0].y + sample.truth[1].y) / 2.0,
        );
        let corner = [(0.05, 0.05), (0.95, 0.05), (0.05, 0.95), (0.95, 0.95)]
            .map(|(x, y)| PhotoPoint::new(x * w, y * h))
            .into_iter()
            .max_by(|a, b| a.distance_px(middle).total_cmp(&b.distance_px(middle)))
            .expect("four corners");
        if sample.card.iter().any(|at| at.distance_px(middle) < 0.1 * w)
            || corner.distance_px(middle) < 0.5 * w
        {
            continue;
        }
        if let Some(proposal) = propose(&sample.query(Some(corner))) {
            let worst = sample.worst_mm(proposal.points.map(|marked| marked.point));
            assert!(worst <= 10.0, "{}: a shell where there is none, {worst:.0} mm off", sample.name);
        }
    }
}

#[test]
fn a_tap_near_a_point_snaps_to_it_or_stays() {
    let (mut snapped, mut right) = (0, 0);
    for sample in samples() {
        for truth in sample.truth {
            let at = sample.on_shell(truth);
            for k in 0..4u32 {
                let angle = f64::from(k) * 1.7 + 0.3;
                let moved = at + Vector3::new(angle.cos(), angle.sin(), 0.0) * 3.5;
                let tap = sample.intrinsics.project(&sample.pose.transform(&moved)).expect("in front");
                let found = snap(
                    &sample.photo,
                    &sample.intrinsics,
                    &sample.pose,
                    sample.placement,
                    sample.dimension,
                    tap,
                );
                if let Some(marked) = found {
                    snapped += 1;
                    right += u32::from((sample.on_shell(marked.point) - at).norm() <= 1.5);
                }
            }
        }
    }
    assert!(snapped >= 8, "only {snapped} taps snapped");
    assert!(f64::from(right) >= 0.85 * f64::from(snapped), "{right} of {snapped} within 1.5 mm");
}

/// Prints what is seen of every photo of the folders in `SHELL_PHOTOS` (JSON a line), for fitting and judging.
#[test]
#[ignore = "needs folders of photos with truth"]
fn judge() {
    let folders = std::env::var("SHELL_PHOTOS").expect("SHELL_PHOTOS: folders with a colon between");
    let mut files: Vec<PathBuf> = folders
        .split(':')
        .flat_map(|folder| std::fs::read_dir(folder).expect("a folder"))
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .collect();
    files.sort();
    for file in files {
        let sample = load(&file);
        println!("{}", judged(&sample));
        println!("{}", elsewhere(&sample));
    }
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

#[expect(clippy::disallowed_methods, reason = "it times, natively only")]
fn judged(sample: &Sample) -> Value {
    let started = std::time::Instant::now();
    let found = likeliest(&sample.query(None));
    let elapsed_ms = started.elapsed().as_secs_f64() * 1000.0;
    let mut row = json!({ "photo": sample.name, "species": sample.species, "below": sample.upside_down, "ms": elapsed_ms });
    match found {
        Err(why) => row["none"] = json!(why),
        Ok(candidate) => {
            let points = candidate.points.map(|marked| marked.point);
            row["worst_mm"] = json!(sample.worst_mm(points));
            row["width_mm"] = json!((sample.on_shell(points[0]) - sample.on_shell(points[1])).norm());
            row["outward_mm"] = json!(sample.outward_mm(points));
            row["width_error_mm"] = json!(sample.width_error_mm(points));
            row["chance"] = json!(candidate.evidence.chance());
            row["features"] = json!(candidate.evidence.features());
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
