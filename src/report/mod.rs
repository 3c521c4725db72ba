//! The native command's answer: one JSON object a photo, or one for several photos of one crab.

mod joint;

pub use joint::{JointReport, PhotoReport, PointsInCard};

use serde::Serialize;

use crate::camera::FocalFrom;
use crate::doubts::Warning;
use crate::measure::{Elapsed, Measurement, PointsFrom, Refused};
use crate::photo::PhotoError;
use crate::scene::Scene;
use crate::terms::{Dimension, Placement};
use crate::text;
use crate::units::{PhotoPoint, PhotoSize};
use crate::width::{Budget, Width};

/// One photo's answer. Fields may be added, never renamed; `null` where a thing is not known.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Report {
    /// The path as given.
    pub photo: String,
    /// `measured`, `refused` or `unusable`.
    pub status: Status,
    /// Stable code, when not measured.
    pub reason: Option<&'static str>,
    /// A sentence for the person, when not measured.
    pub next_step: Option<String>,
    /// Upright width and height.
    pub size_px: Option<[u32; 2]>,
    /// The card.
    pub card: Option<CardReport>,
    /// The camera.
    pub camera: Option<CameraReport>,
    /// The measuring points.
    pub points: Option<PointsReport>,
    /// Height of the points above the card's face that was used, mm.
    pub height_mm: Option<f64>,
    /// Its standard uncertainty, mm.
    pub height_u_mm: Option<f64>,
    /// The width, mm.
    pub width_mm: Option<f64>,
    /// Its standard uncertainty, mm.
    pub u_mm: Option<f64>,
    /// 95 % interval, mm.
    pub interval_mm: Option<[f64; 2]>,
    /// The parts of `u_mm`.
    pub budget_mm: Option<Budget>,
    /// Probability that the width meets the limit.
    pub conformity: Option<f64>,
    /// `keep`, `release` or `gauge`, by size alone.
    pub verdict: Option<String>,
    /// What a rule pack says, where one was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<serde_json::Value>,
    /// Stable codes with their sentences.
    pub warnings: Vec<WarningReport>,
    /// Milliseconds by stage.
    pub elapsed_ms: ElapsedReport,
}

/// What became of a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// A width came out.
    Measured,
    /// The photo is fine, the scene is not.
    Refused,
    /// Not a photo, damaged, absurd.
    #[default]
    Unusable,
}

/// The card's part.
#[derive(Debug, Clone, Serialize)]
pub struct CardReport {
    /// Four virtual corners, clockwise, the first side a long one.
    pub corners_px: [[f64; 2]; 4],
    /// Standard uncertainty of a corner, root mean square of the four.
    pub corner_u_px: f64,
    /// Where the card lies.
    pub placement: Placement,
    /// Sides (from corner i to i + 1) that are mostly hidden or faint.
    pub unsure_edges: [bool; 4],
}

/// The camera's part.
#[derive(Debug, Clone, Serialize)]
pub struct CameraReport {
    /// Focal length, px.
    pub focal_px: f64,
    /// Where it came from.
    pub focal_from: FocalFrom,
    /// To the card's centre, mm.
    pub distance_mm: f64,
    /// Between the card's normal and the line of sight, degrees.
    pub tilt_deg: f64,
}

/// The points' part.
#[derive(Debug, Clone, Serialize)]
pub struct PointsReport {
    /// One point.
    pub left_px: [f64; 2],
    /// The other.
    pub right_px: [f64; 2],
    /// Proposed or given.
    pub from: PointsFrom,
    /// Which distance.
    pub dimension: Dimension,
}

/// A warning.
#[derive(Debug, Clone, Serialize)]
pub struct WarningReport {
    /// Stable code.
    pub code: &'static str,
    /// What was seen and what to do.
    pub sentence: String,
}

/// Milliseconds by stage.
#[derive(Debug, Clone, Copy, Default, Serialize)]
pub struct ElapsedReport {
    /// Bytes to pixels.
    pub decode: f64,
    /// Finding the card.
    pub card: f64,
    /// The pose.
    pub pose: f64,
    /// The proposal.
    pub shell: f64,
    /// The width.
    pub width: f64,
}

impl Report {
    /// A file that is no usable photo.
    pub fn unusable(photo: &str, error: &PhotoError) -> Self {
        let notice = text::measure::photo_error(error);
        Self {
            photo: photo.to_owned(),
            reason: Some(notice.code),
            next_step: Some(format!("{} {}", notice.seen, notice.next_step)),
            ..Self::default()
        }
    }

    /// A scene that gives no width.
    pub fn refused(
        photo: &str,
        refused: &Refused,
        size: PhotoSize,
        placement: Placement,
        elapsed: ElapsedReport,
    ) -> Self {
        let notice = text::measure::refusal(refused.refusal);
        Self {
            photo: photo.to_owned(),
            status: Status::Refused,
            reason: Some(notice.code),
            next_step: Some(format!("{} {}", notice.seen, notice.next_step)),
            size_px: Some([size.width, size.height]),
            warnings: warnings(&refused.warnings),
            elapsed_ms: elapsed,
            ..refused.scene.as_ref().map_or_else(Self::default, |scene| Self::of_scene(scene, placement))
        }
    }

    /// A measurement.
    pub fn measured(
        photo: &str,
        measurement: &Measurement,
        placement: Placement,
        dimension: Dimension,
        elapsed: ElapsedReport,
    ) -> Self {
        let place = |point: PhotoPoint| [rounded(point.x, 3), rounded(point.y, 3)];
        let [left, right] = measurement.points;
        let mut report = Self {
            photo: photo.to_owned(),
            status: Status::Measured,
            points: Some(PointsReport {
                left_px: place(left.point),
                right_px: place(right.point),
                from: measurement.points_from,
                dimension,
            }),
            warnings: warnings(&measurement.warnings),
            elapsed_ms: elapsed,
            ..Self::of_scene(&measurement.scene, placement)
        };
        report.put_width(&measurement.width);
        report
    }

    fn put_width(&mut self, width: &Width) {
        let budget = &width.budget_mm;
        self.height_mm = Some(rounded(width.height_mm, 4));
        self.height_u_mm = Some(rounded(width.height_u_mm, 4));
        self.width_mm = Some(rounded(width.width_mm, 4));
        self.u_mm = Some(rounded(width.u_mm, 4));
        self.interval_mm = Some(width.interval_mm.map(|end| rounded(end, 4)));
        self.budget_mm = Some(Budget {
            corners: rounded(budget.corners, 4),
            points: rounded(budget.points, 4),
            height: rounded(budget.height, 4),
            focal: rounded(budget.focal, 4),
            card: rounded(budget.card, 4),
        });
    }

    fn of_scene(scene: &Scene, placement: Placement) -> Self {
        let mean_square = scene.card.corner_u_px.iter().map(|u| u * u).sum::<f64>() / 4.0;
        Self {
            size_px: Some([scene.size.width, scene.size.height]),
            card: Some(CardReport {
                corners_px: scene.card.corners.map(|corner| [rounded(corner.x, 3), rounded(corner.y, 3)]),
                corner_u_px: rounded(mean_square.sqrt(), 3),
                placement,
                unsure_edges: scene.card.unsure_edges,
            }),
            camera: scene.poses.first().map(|pose| CameraReport {
                focal_px: rounded(pose.intrinsics.focal_px, 3),
                focal_from: scene.focal_from,
                distance_mm: rounded(scene.distance_mm(), 3),
                tilt_deg: rounded(scene.tilt_deg(), 3),
            }),
            ..Self::default()
        }
    }
}

impl ElapsedReport {
    /// Adds the decoding to the stages of the core.
    pub fn of(decode: f64, core: Elapsed) -> Self {
        let tenth = |value: f64| rounded(value, 1);
        Self {
            decode: tenth(decode),
            card: tenth(core.card),
            pose: tenth(core.pose),
            shell: tenth(core.shell),
            width: tenth(core.width),
        }
    }
}

fn warnings(warnings: &[Warning]) -> Vec<WarningReport> {
    warnings
        .iter()
        .map(|&warning| {
            let notice = text::measure::warning(warning);
            WarningReport { code: notice.code, sentence: format!("{} {}", notice.seen, notice.next_step) }
        })
        .collect()
}

fn rounded(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}
