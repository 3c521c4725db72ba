//! The finder over a folder of photos with truth beside them: prints what it saw, for judging and for
//! calibrating the confidence. Run by hand:
//! `SHELL_LAB=FOLDER cargo test --release shell::lab -- --ignored --nocapture`.

#![expect(clippy::disallowed_methods, reason = "a report times itself; no shipped code does")]

use nalgebra::{Matrix3, Vector2, Vector3};
use serde_json::Value;

use super::finder::Finder;
use super::net::Net;
use super::propose::best_candidate;
use super::snap::nearest_corner;
use super::window::HeightPlane;
use super::{Dimension, Placement, ShellQuery};
use crate::camera::{Intrinsics, Pose};
use crate::photo::{Limits, Photo};
use crate::units::PhotoPoint;

/// A photo with its truth.
struct Case {
    name: String,
    scene: usize,
    photo: Photo,
    intrinsics: Intrinsics,
    pose: Pose,
    card: [PhotoPoint; 4],
    placement: Placement,
    species: String,
    known_species: bool,
    dimension: Dimension,
    truth: [PhotoPoint; 2],
    height_mm: f64,
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("an array").iter().map(|v| v.as_f64().expect("a number")).collect()
}

fn point(value: &Value) -> PhotoPoint {
    let v = numbers(value);
    PhotoPoint::new(v[0], v[1])
}

fn load(json: &std::path::Path) -> Case {
    let truth: Value = serde_json::from_slice(&std::fs::read(json).expect("readable")).expect("JSON");
    let file = json.with_extension("jpg");
    let photo = Photo::decode(&std::fs::read(file).expect("readable"), &Limits::default()).expect("a photo");
    let camera = &truth["camera"];
    let number = |value: &Value| value.as_f64().expect("a number");
    let rows: Vec<f64> = truth["card"]["pose_card_to_camera"]["R"]
        .as_array()
        .expect("rows")
        .iter()
        .flat_map(numbers)
        .collect();
    let t = numbers(&truth["card"]["pose_card_to_camera"]["t_mm"]);
    let corners = truth["card"]["corners_px"].as_array().expect("corners");
    let shell = &truth["shell"];
    let name = json.file_stem().expect("a name").to_string_lossy().into_owned();
    Case {
        scene: name.chars().filter(char::is_ascii_digit).collect::<String>().parse().expect("a number"),
        name,
        photo,
        intrinsics: Intrinsics {
            focal_px: number(&camera["focal_px"]),
            principal_point: PhotoPoint::new(number(&camera["cx"]), number(&camera["cy"])),
        },
        pose: Pose {
            rotation: Matrix3::from_row_slice(&rows),
            translation_mm: Vector3::new(t[0], t[1], t[2]),
        },
        card: std::array::from_fn(|i| point(&corners[i])),
        placement: match truth["card"]["placement"].as_str() {
            Some("level") => Placement::Level,
            Some("back") => Placement::Back,
            _ => Placement::Deck,
        },
        species: shell["species"].as_str().expect("a species").replace('_', "-"),
        known_species: std::env::var("SHELL_UNKNOWN").is_err(),
        dimension: if shell["dimension"] == "notch" { Dimension::Notch } else { Dimension::Tips },
        truth: [point(&shell["left_px"]), point(&shell["right_px"])],
        height_mm: number(&shell["mean_height_above_card_mm"]),
    }
}

impl Case {
    fn query(&self, shell_near: Option<PhotoPoint>) -> ShellQuery<'_> {
        ShellQuery {
            photo: &self.photo,
            intrinsics: self.intrinsics,
            pose: self.pose,
            card_corners: self.card,
            placement: self.placement,
            dimension: self.dimension,
            species: self.known_species.then_some(self.species.as_str()),
            shell_near,
        }
    }

    /// Distances of two points from the truth on the shell, the pairing that fits better.
    fn errors_mm(&self, points: [PhotoPoint; 2]) -> [f64; 2] {
        let plane = HeightPlane::new(&self.intrinsics, &self.pose, self.height_mm).expect("a plane");
        let mm = |p| plane.plane_of(p).expect("on the plane");
        let (a, b) = (points.map(mm), self.truth.map(mm));
        let straight = [(a[0] - b[0]).norm(), (a[1] - b[1]).norm()];
        let crossed = [(a[0] - b[1]).norm(), (a[1] - b[0]).norm()];
        if crossed[0].max(crossed[1]) < straight[0].max(straight[1]) { crossed } else { straight }
    }
}

fn cases() -> Vec<Case> {
    let folders = std::env::var("SHELL_LAB").expect("SHELL_LAB names the folders, separated by ':'");
    let mut files: Vec<_> = folders
        .split(':')
        .flat_map(|folder| {
            std::fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path())
        })
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    files.iter().map(|file| load(file)).collect()
}

/// Nets for a scene: with `SHELL_NETS=PREFIX` those trained without it (`PREFIXbody_0.net`, ...), else the
/// built-in ones.
fn nets(scene: usize) -> Finder {
    match std::env::var("SHELL_NETS") {
        Ok(prefix) => {
            let read = |kind: &str| {
                let path = {
                    let _ = scene;
                    format!("{prefix}{kind}.net")
                };
                Net::read(&std::fs::read(&path).expect("a net's file")).expect("a net")
            };
            Finder { body: read("body"), aligned: read("aligned"), corner: read("corner") }
        }
        Err(_) => Finder::built_in().expect("built in").clone(),
    }
}

/// Without a tap, and with three taps about the middle of the shell; each with the species known and not.
#[test]
#[ignore = "a report over a folder of photos, read by a person"]
fn report_proposals() {
    for case in cases() {
        let finder = nets(case.scene);
        let [left, right] = case.truth;
        for variant in 0..8u32 {
            let angle = f64::from(variant) * 2.4 + case.scene as f64;
            let away = left.distance_px(right) * 0.12;
            let middle = PhotoPoint::new(
                (left.x + right.x) / 2.0 + away * angle.cos(),
                (left.y + right.y) / 2.0 + away * angle.sin(),
            );
            let mut query = case.query((variant / 2 > 0).then_some(middle));
            if variant % 2 == 1 {
                query.species = None;
            }
            let start = std::time::Instant::now();
            let best = best_candidate(&finder, &query);
            let ms = start.elapsed().as_millis();
            let head = format!("PROPOSAL {} {} {:?} {variant} {ms}", case.name, case.species, case.placement);
            match best {
                None => println!("{head} none"),
                Some(best) => {
                    let e = case.errors_mm(best.points.map(|p| p.point));
                    println!(
                        "{head} {:.2} {:.2} {:.3} | {:?}",
                        e[0],
                        e[1],
                        best.evidence.confidence(),
                        best.evidence
                    );
                }
            }
        }
    }
}

#[test]
#[ignore = "a report over a folder of photos, read by a person"]
fn report_snaps() {
    for case in cases() {
        let finder = nets(case.scene);
        let plane = HeightPlane::new(&case.intrinsics, &case.pose, case.height_mm).expect("a plane");
        for (side, &truth) in case.truth.iter().enumerate() {
            let at = plane.plane_of(truth).expect("on the plane");
            for k in 0..8u32 {
                // Eight offsets up to 5 mm on a golden spiral: even over the disc, the same each time.
                let radius = 5.0 * ((f64::from(k) + 0.5) / 8.0).sqrt();
                let angle = f64::from(k) * 2.399_963 + f64::from(side as u32) + case.scene as f64;
                let tap = at + Vector2::new(angle.cos(), angle.sin()) * radius;
                let tap = plane.photo_of(tap).expect("in front");
                let near = nearest_corner(
                    &finder,
                    &case.photo,
                    &case.intrinsics,
                    &case.pose,
                    case.placement,
                    case.dimension,
                    tap,
                );
                let Some((near, its_plane)) = near else {
                    println!("SNAP {} {} {side} {radius:.2} none", case.name, case.species);
                    continue;
                };
                let landed = its_plane.photo_of(near.at_mm).expect("in front");
                let error = (plane.plane_of(landed).expect("on the plane") - at).norm();
                println!(
                    "SNAP {} {} {side} {radius:.2} {error:.2} {:.3} {:.3} {:.2}",
                    case.name, case.species, near.height, near.rival, near.disagreement_mm
                );
            }
        }
    }
}
