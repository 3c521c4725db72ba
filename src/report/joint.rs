//! The native command's answer on several photos of one crab: one JSON object.

use nalgebra::Vector3;
use serde::Serialize;

use super::{CameraReport, CardReport, PointsReport, Report, Status, rounded};
use crate::text;
use crate::width::{Apart, Joined};

/// The joint answer: the fields of a [`Report`] for the joint width, and what became of each photo.
#[derive(Debug, Clone, Serialize)]
pub struct JointReport {
    /// Width, uncertainty, verdict; `reason` says why the photos were not joined, where they were not.
    #[serde(flatten)]
    pub report: Report,
    /// Each photo, in the order given.
    pub photos: Vec<PhotoReport>,
    /// Both points in the frame of the first used photo's card, mm.
    pub points_card_mm: Option<PointsInCard>,
    /// Root mean square distance at the shell by which the photos' rays miss the points, mm.
    pub ray_miss_mm: Option<f64>,
}

/// One photo's part.
#[derive(Debug, Clone, Default, Serialize)]
pub struct PhotoReport {
    /// The path as given.
    pub photo: String,
    /// What became of it alone.
    pub status: Status,
    /// Stable code, when it gives no width.
    pub reason: Option<&'static str>,
    /// A sentence for the person, when it gives no width.
    pub next_step: Option<String>,
    /// The card.
    pub card: Option<CardReport>,
    /// The camera.
    pub camera: Option<CameraReport>,
    /// Its points.
    pub points: Option<PointsReport>,
    /// The width that it gives alone, mm.
    pub width_mm: Option<f64>,
    /// Its standard uncertainty, mm.
    pub u_mm: Option<f64>,
    /// It carries the joint width.
    pub used: bool,
    /// Root mean square distance between its points and where all photos put them, px.
    pub residual_px: Option<f64>,
}

/// Both points in the card frame: x along its long side, z up out of its face, mm.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PointsInCard {
    /// One point.
    pub left: [f64; 3],
    /// The other.
    pub right: [f64; 3],
}

impl PhotoReport {
    /// A photo's own answer.
    pub fn of(alone: Report) -> Self {
        Self {
            photo: alone.photo,
            status: alone.status,
            reason: alone.reason,
            next_step: alone.next_step,
            card: alone.card,
            camera: alone.camera,
            points: alone.points,
            width_mm: alone.width_mm,
            u_mm: alone.u_mm,
            used: false,
            residual_px: None,
        }
    }
}

impl JointReport {
    /// No photo gives a width.
    pub fn nothing(photos: Vec<PhotoReport>) -> Self {
        let worst = photos.iter().find(|photo| photo.status != Status::Measured);
        let report = Report {
            photo: names(&photos),
            status: worst.map_or(Status::Unusable, |photo| photo.status),
            reason: worst.and_then(|photo| photo.reason),
            next_step: worst.and_then(|photo| photo.next_step.clone()),
            ..Report::default()
        };
        Self { report, photos, points_card_mm: None, ray_miss_mm: None }
    }

    /// A joint width; `taken` says to which of `photos` each share belongs.
    pub fn of(joined: &Joined, mut photos: Vec<PhotoReport>, taken: &[usize]) -> Self {
        for (share, &photo) in joined.shares.iter().zip(taken) {
            if let Some(photo) = photos.get_mut(photo) {
                photo.used = share.used;
                photo.residual_px = share.residual_px.map(|px| rounded(px, 3));
            }
        }
        let apart = joined.apart.or((photos.len() > 1 && taken.len() < 2).then_some(Apart::OneLeft));
        let notice = apart.map(text::apart);
        let mut report = Report {
            photo: names(&photos),
            status: Status::Measured,
            reason: notice.as_ref().map(|notice| notice.code),
            next_step: notice.map(|notice| format!("{} {}", notice.seen, notice.next_step)),
            ..Report::default()
        };
        report.put_width(&joined.width);
        let place = |point: &Vector3<f64>| [point.x, point.y, point.z].map(|mm| rounded(mm, 3));
        let [left, right] = &joined.width.points_mm;
        Self {
            report,
            photos,
            points_card_mm: Some(PointsInCard { left: place(left), right: place(right) }),
            ray_miss_mm: joined.width.ray_miss_mm.map(|mm| rounded(mm, 3)),
        }
    }
}

fn names(photos: &[PhotoReport]) -> String {
    photos.iter().map(|photo| photo.photo.as_str()).collect::<Vec<_>>().join(" + ")
}
