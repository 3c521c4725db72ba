//! The shell's finder over the sample photos, with the card's true pose: a proposal that is shown lies
//! within 10 mm, a tap near a point snaps to it, tips are told from notches, and what hides the shell gives no proposal.
//!
//! No network of the room has seen these photos.
//!
//! Source of the truth: the JSON beside each sample, written by the renderer (samples/README.md).

use std::path::PathBuf;

use nalgebra::Vector3;
use shellspan::measure::{Request, measure};
use shellspan::shell::{points_look_like, propose, snap};
use shellspan::terms::{Dimension, PointsHint};
use shellspan::units::PhotoPoint;

use crate::shell_photos::{Sample, load};

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

/// What a measurement says of points on the tips, and of points in the notches.
#[test]
fn a_measurement_tells_points_on_the_tips() {
    let sample = samples().into_iter().next().expect("a sample");
    let hint = |points: [PhotoPoint; 2]| {
        let request = Request {
            placement: sample.placement,
            dimension: Dimension::Notch,
            points: Some(points),
            ..Request::default()
        };
        let found = measure(&sample.photo, &request, &mut || 0.0).0;
        found.unwrap_or_else(|refused| panic!("{:?}", refused.refusal)).points_hint
    };
    assert_eq!(hint(sample.tips), Some(PointsHint::NearTips));
    assert_eq!(hint(sample.notches), None);
}

/// The commonest mistake of a newcomer, and its opposite: every photo of the samples, both pairs of points exact.
#[test]
fn points_on_the_tips_are_told_from_points_in_the_notches() {
    let (mut told, mut false_alarms, mut asked) = (0, 0, 0);
    for sample in samples() {
        let look = |sample: &Sample, points| {
            points_look_like(&sample.photo, &sample.intrinsics, &sample.pose, sample.placement, points)
        };
        asked += 1;
        told += u32::from(look(&sample, &sample.tips) == Some(PointsHint::NearTips));
        false_alarms += u32::from(look(&sample, &sample.notches) == Some(PointsHint::NearTips));
    }
    assert!(10 * told >= 9 * asked, "told in {told} of {asked}");
    assert!(10 * false_alarms <= asked, "{false_alarms} false alarms in {asked}");
}
