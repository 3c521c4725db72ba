//! `shellspan measure --same-crab`: several photos of one still crab and card to one width.

use shellspan::decide::MeasuredWidth;
use shellspan::measure::{Measurement, SameSpots, measure};
use shellspan::report::{ElapsedReport, JointReport, PhotoReport, Report, WarningReport};
use shellspan::terms::PointsHint;
use shellspan::text;
use shellspan::width::{HeightPrior, View, join};

use crate::arguments::MeasureArgs;
use crate::measure::{decoded, doubt_the_points, judge, request_of, stopwatch};
use crate::points::GivenPoints;
use crate::ruling::Ruling;

/// Measures the photos one after the other, each given back before the next is decoded, and joins them. Gives the
/// answer and the rule's lines for a person.
pub fn measure_together(
    args: &MeasureArgs,
    ruling: Option<&Ruling>,
    points: &GivenPoints,
) -> (JointReport, Vec<String>) {
    let mut request = request_of(args, ruling, None);
    let mut reports = Vec::new();
    let mut measured: Vec<(usize, Measurement)> = Vec::new();
    for (index, path) in args.photos.iter().enumerate() {
        let name = path.to_string_lossy().into_owned();
        let mut clock = stopwatch();
        let photo = match decoded(path, &name) {
            Ok(photo) => photo,
            Err(report) => {
                reports.push(PhotoReport::of(*report));
                continue;
            }
        };
        let decode = clock();
        (request.points, request.points_u_px) = points.of(path);
        let (outcome, elapsed) = measure(&photo, &request, &mut clock);
        let elapsed = ElapsedReport::of(decode, elapsed);
        let report = match &outcome {
            Ok(found) => Report::measured(&name, found, request.placement, request.dimension, elapsed),
            Err(refused) => Report::refused(&name, refused, photo.size(), request.placement, elapsed),
        };
        reports.push(PhotoReport::of(report));
        if let Ok(found) = outcome {
            if request.same_spots.is_none() {
                let width_mm = found.width.width_mm;
                request.same_spots = SameSpots::cut(&photo, &found.scene, &found.points, width_mm);
            }
            measured.push((index, found));
        }
    }
    let views: Vec<View<'_>> =
        measured.iter().map(|(_, found)| View { scene: &found.scene, points: found.points }).collect();
    let height = HeightPrior::of(request.placement, request.height_share);
    let Some(joined) = join(&views, &height) else { return (JointReport::nothing(reports), Vec::new()) };
    let taken: Vec<usize> = measured.iter().map(|(index, _)| *index).collect();
    let mut answer = JointReport::of(&joined, reports, &taken);
    let photos: Vec<&Measurement> = measured.iter().map(|(_, found)| found).collect();
    let hint = photos.iter().find_map(|found| found.points_hint.filter(|hint| *hint == PointsHint::NearTips));
    let width = MeasuredWidth::new(&joined.width, request.dimension).with_hint(hint);
    let lines = judge(&mut answer.report, &width, args, ruling);
    doubt_the_points(&mut answer.report, &photos, request.dimension);
    if let Some(notice) = joined.width.placement_seen.map(text::card_elsewhere) {
        // A crab that moved looks much the same: nothing is kept until it is settled.
        if answer.report.verdict.as_deref() == Some("keep") {
            answer.report.verdict = Some("gauge".to_owned());
        }
        let sentence = format!("{} {}", notice.seen, notice.next_step);
        answer.report.warnings.push(WarningReport { code: notice.code, sentence });
    }
    (answer, lines)
}
