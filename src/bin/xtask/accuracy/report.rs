//! The report: a table of the photos, and what they come to.

use std::fmt::Write as _;

use shellspan::measure::PointsFrom;
use shellspan::terms::Placement;
use shellspan::width::Width;

use super::row::{Call, Find, Judged, Proposed, Row};

/// All of it, as Markdown.
pub fn report(rows: &[Row]) -> String {
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
        if count == 0 {
            let _ = writeln!(out, "- width with true points, card {name}: no photo of it measured");
            continue;
        }
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
