//! Photos with the truth of their shell, for the tests and for judging.

use std::path::Path;

use nalgebra::{Matrix3, Vector3};
use serde_json::Value;
use shellspan::camera::{Intrinsics, Pose};
use shellspan::photo::{Limits, Photo};
use shellspan::shell::ShellQuery;
use shellspan::terms::{Dimension, Placement};
use shellspan::units::PhotoPoint;

/// One photo with its truth.
pub struct Sample {
    pub name: String,
    pub photo: Photo,
    pub intrinsics: Intrinsics,
    pub pose: Pose,
    pub card: [PhotoPoint; 4],
    pub placement: Placement,
    pub species: String,
    pub dimension: Dimension,
    pub truth: [PhotoPoint; 2],
    pub tips: [PhotoPoint; 2],
    pub notches: [PhotoPoint; 2],
    pub height_mm: f64,
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn point(value: &Value) -> PhotoPoint {
    PhotoPoint::new(number(&value[0]), number(&value[1]))
}

/// The photo beside a truth.
pub fn load(json: &Path) -> Sample {
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
        height_mm: number(&shell["mean_height_above_card_mm"]),
    }
}

impl Sample {
    pub fn query(&self, shell_near: Option<PhotoPoint>) -> ShellQuery<'_> {
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
    pub fn on_shell(&self, point: PhotoPoint) -> Vector3<f64> {
        let eye = self.pose.camera_in_card_mm();
        let ray = self.pose.rotation.transpose() * self.intrinsics.ray(point);
        eye + ray * ((self.height_mm - eye.z) / ray.z)
    }

    /// The larger of the two distances from the truth, for the pairing that fits better.
    pub fn worst_mm(&self, points: [PhotoPoint; 2]) -> f64 {
        self.worst_of(points, self.truth)
    }

    pub fn worst_of(&self, points: [PhotoPoint; 2], truth: [PhotoPoint; 2]) -> f64 {
        let off = |a, b| (self.on_shell(a) - self.on_shell(b)).norm();
        let [left, right] = truth;
        let straight = off(points[0], left).max(off(points[1], right));
        straight.min(off(points[0], right).max(off(points[1], left)))
    }
}
