//! `cargo xtask candidates --truth`: the found card's corners against their truth, with the true camera.
//!
//! A crop tells neither its focal length nor where the optical axis meets it, so what a whole photo would tell is
//! taken from the truth beside it.

use std::path::Path;

use anyhow::Context;
use serde::Deserialize;
use shellspan::camera::{CameraPrior, Intrinsics};
use shellspan::card::{self, CardHint};
use shellspan::doubts::{corner_u_of_blur_px, corner_u_of_softness_px};
use shellspan::photo::Photo;
use shellspan::units::PhotoPoint;

/// Standard uncertainty of a focal length from EXIF, relative, and of the optical axis, as a share of the long side:
/// as `camera::intrinsics` has them for a whole photo.
const FOCAL_U: f64 = 0.02;
const PRINCIPAL_U: f64 = 0.004;
/// Every corner lies within this share of the long side of its truth: the right card.
const SAME_CARD: f64 = 0.15;
/// A corner farther off than this is a wrong one, in px.
const WRONG_CORNER_PX: f64 = 4.0;

#[derive(Deserialize)]
struct Truth {
    #[serde(flatten)]
    seen_by: SeenBy,
    card: TrueCard,
}

/// By which camera a photo was taken.
#[derive(Deserialize)]
struct SeenBy {
    camera: TrueCamera,
    size_px: [u32; 2],
    crop_of: Option<Whole>,
}

impl SeenBy {
    fn prior(&self) -> CameraPrior {
        let whole = self.crop_of.as_ref().map_or(self.size_px, |whole| whole.size_px);
        let principal_point = PhotoPoint::new(self.camera.cx, self.camera.cy);
        CameraPrior {
            intrinsics: Intrinsics { focal_px: self.camera.focal_px, principal_point },
            focal_relative_u: FOCAL_U,
            principal_u_px: PRINCIPAL_U * f64::from(whole[0].max(whole[1])),
        }
    }
}

#[derive(Deserialize)]
struct TrueCamera {
    focal_px: f64,
    cx: f64,
    cy: f64,
}

#[derive(Deserialize)]
struct TrueCard {
    corners_px: [[f64; 2]; 4],
}

#[derive(Deserialize)]
struct Whole {
    size_px: [u32; 2],
}

/// What all photos gave.
#[derive(Default)]
pub struct Tally {
    photos: usize,
    found: usize,
    other: usize,
    wrong_corner: usize,
    wrong_and_sure: usize,
    corner_px: Vec<f64>,
    /// Error over stated standard uncertainty, each way: distance / (u sqrt 2).
    over_u: Vec<f64>,
    stated_px: Vec<f64>,
    unsure: usize,
}

/// Finds the card of one photo and tells one line: `FOUND <four errors px> u <four px> unsure <four 0 or 1> score`, and
/// the mean offset of each side to the inside in px; or `NONE <refusal>`, or `OTHER`.
pub fn tell(path: &Path, photo: &Photo, tally: &mut Tally) -> anyhow::Result<()> {
    let beside = path.with_extension("json");
    let truth: Truth = serde_json::from_slice(&std::fs::read(&beside)?)
        .with_context(|| format!("read {}", beside.display()))?;
    let prior = truth.seen_by.prior();
    tally.photos += 1;
    let found = match card::find(photo, &prior, &CardHint::default()) {
        Ok(found) => found,
        Err(none) => {
            println!("NONE {:?}", none.refusal);
            return Ok(());
        }
    };
    let corners = found.card.corners;
    let truth = turned_to(&corners, truth.card.corners_px.map(PhotoPoint::from));
    let errors: [f64; 4] = std::array::from_fn(|i| corners[i].distance_px(truth[i]));
    let long_px = corners[0].distance_px(corners[1]);
    if errors.iter().any(|&error| error > SAME_CARD * long_px) {
        println!("OTHER {errors:.1?}");
        tally.other += 1;
        return Ok(());
    }
    tally.found += 1;
    let blur_px = corner_u_of_blur_px(photo, &corners);
    let worse = found.judged.refined.birge_ratio();
    let soft_px = corner_u_of_softness_px(photo, &corners);
    let stated = found.card.corner_u_px.map(|u_px| (u_px.hypot(blur_px) * worse).hypot(soft_px));
    let unsure = found.card.unsure_edges;
    println!(
        "FOUND {} u {} unsure {} sides {} chi {:.1} score {:.2}",
        errors.map(|error| format!("{error:.2}")).join(" "),
        stated.map(|u_px| format!("{u_px:.2}")).join(" "),
        unsure.map(|unsure| if unsure { "1" } else { "0" }).join(" "),
        side_offsets(&corners, &truth).map(|off| format!("{off:+.2}")).join(" "),
        found.judged.refined.chi_square,
        found.judged.score,
    );
    let wrong = errors.iter().any(|&error| error > WRONG_CORNER_PX);
    tally.unsure += usize::from(unsure.contains(&true));
    tally.wrong_corner += usize::from(wrong);
    tally.wrong_and_sure += usize::from(wrong && !unsure.contains(&true));
    tally.corner_px.extend(errors);
    tally.stated_px.extend(stated);
    tally.over_u.extend((0..4).map(|i| errors[i] / (stated[i] * std::f64::consts::SQRT_2)));
    Ok(())
}

/// The camera of a crop, whose file does not tell where the optical axis meets it; `None` for a whole photo.
pub fn camera_of_crop(path: &Path) -> Option<CameraPrior> {
    let told = std::fs::read(path.with_extension("json")).ok()?;
    let seen_by: SeenBy = serde_json::from_slice(&told).ok()?;
    seen_by.crop_of.is_some().then(|| seen_by.prior())
}

/// The truth's corners in the order of those found: the print's first cannot be told from the outline.
fn turned_to(found: &[PhotoPoint; 4], truth: [PhotoPoint; 4]) -> [PhotoPoint; 4] {
    let turned = |turn: usize| -> [PhotoPoint; 4] { std::array::from_fn(|i| truth[(i + turn) % 4]) };
    let off = |turn: &usize| (0..4).map(|i| found[i].distance_px(turned(*turn)[i])).sum::<f64>();
    turned((0..4).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0))
}

/// How far the middle of each found side lies inside of the true one, in px.
fn side_offsets(found: &[PhotoPoint; 4], truth: &[PhotoPoint; 4]) -> [f64; 4] {
    std::array::from_fn(|i| {
        let (p, q) = (truth[i], truth[(i + 1) % 4]);
        let (r, s) = (found[i], found[(i + 1) % 4]);
        let (dx, dy) = (q.x - p.x, q.y - p.y);
        let off = ((r.x + s.x - p.x - q.x) / 2.0, (r.y + s.y - p.y - q.y) / 2.0);
        (off.1 * dx - off.0 * dy) / dx.hypot(dy)
    })
}

impl Tally {
    /// The summary of all.
    pub fn print(mut self) {
        let rms = |values: &[f64]| (values.iter().map(|v| v * v).sum::<f64>() / values.len() as f64).sqrt();
        let at = |sorted: &[f64], share: f64| {
            sorted.get((sorted.len() as f64 * share) as usize).copied().unwrap_or(f64::NAN)
        };
        for values in [&mut self.corner_px, &mut self.over_u, &mut self.stated_px] {
            values.sort_by(f64::total_cmp);
        }
        println!(
            "found {} of {}, another thing {}; a corner over {WRONG_CORNER_PX} px off {}, of these no side unsure {}; a side unsure {}",
            self.found, self.photos, self.other, self.wrong_corner, self.wrong_and_sure, self.unsure
        );
        println!(
            "corners px: median {:.2}, RMS {:.2}, 90 % {:.2}; stated u px: median {:.2}, 90 % {:.2}; error over u: median {:.2}, RMS {:.2}, 90 % {:.2}, 99 % {:.2}",
            at(&self.corner_px, 0.5),
            rms(&self.corner_px),
            at(&self.corner_px, 0.9),
            at(&self.stated_px, 0.5),
            at(&self.stated_px, 0.9),
            at(&self.over_u, 0.5),
            rms(&self.over_u),
            at(&self.over_u, 0.9),
            at(&self.over_u, 0.99),
        );
    }
}
