//! The report: a table of the photos, and what they come to.

use std::fmt::Write as _;

use shellspan::terms::Placement;
use shellspan::width::Width;

use super::row::{Call, Find, Judged, Proposed, Row, rms};
use super::together::is_held_out;

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

/// What the rows come to, in two columns: scenes that the shell's networks were trained on, and others.
fn summary(rows: &[Row]) -> String {
    let (held_out, trained): (Vec<&Row>, Vec<&Row>) = rows.iter().partition(|row| is_held_out(&row.name));
    let columns = [("trained scenes", trained), ("held-out scenes", held_out)];
    let columns: Vec<_> = columns.into_iter().filter(|(_, rows)| !rows.is_empty()).collect();
    let figures: Vec<Vec<Figure>> = columns.iter().map(|(_, rows)| figures(rows)).collect();
    let mut out = String::new();
    let heads: String = columns.iter().map(|(name, _)| format!(" {name} |")).collect();
    let _ = writeln!(out, "| figure |{heads}\n|---|{}", "---|".repeat(columns.len()));
    for (i, (name, _)) in figures.first().into_iter().flatten().enumerate() {
        let values: String = figures.iter().map(|column| format!(" {} |", column[i].1)).collect();
        let _ = writeln!(out, "| {name} |{values}");
    }
    out
}

/// Name and value; every set of rows has the same ones, in the same order.
type Figure = (String, String);

fn figures(rows: &[&Row]) -> Vec<Figure> {
    let mut out = of_cards(rows);
    out.extend(of_widths(rows));
    out.extend(of_proposals(rows));
    out
}

fn of_cards(rows: &[&Row]) -> Vec<Figure> {
    let count = |of: fn(&Row) -> bool| rows.iter().filter(|row| of(row)).count();
    let mut errors: Vec<f64> =
        rows.iter().filter(|row| row.sharp).flat_map(|row| row.corner_px.iter().copied()).collect();
    errors.sort_by(f64::total_cmp);
    let (corner_rms, corners) = rms(errors.iter().copied());
    let at = |share: f64| errors.get((errors.len() as f64 * share) as usize).copied().unwrap_or(f64::NAN);
    vec![
        (
            "card found".into(),
            format!("{} of {}", count(|row| row.found == Find::Right), count(|row| row.has_card)),
        ),
        (
            "something else taken for it".into(),
            count(|row| row.has_card && row.found == Find::Wrong).to_string(),
        ),
        (
            "a card seen where there is none".into(),
            format!(
                "{} of {}",
                count(|row| !row.has_card && row.found == Find::Wrong),
                count(|row| !row.has_card)
            ),
        ),
        (
            "corner error where sharp, px: RMS, median, 90 % under (corners)".into(),
            format!("{corner_rms:.2}, {:.2}, {:.2} ({corners})", at(0.5), at(0.9)),
        ),
    ]
}

fn of_widths(rows: &[&Row]) -> Vec<Figure> {
    let mut out = Vec::new();
    for (name, placement) in
        [("deck", Placement::Deck), ("level", Placement::Level), ("back", Placement::Back)]
    {
        let judged = || {
            rows.iter()
                .filter(move |row| row.placement == Some(placement))
                .filter_map(|row| row.with_true_points.as_ref().map(|judged| (row, judged)))
        };
        let (width, count) = rms(judged().map(|(row, judged)| judged.width.width_mm - row.true_width_mm));
        let (geometry, _) = rms(judged().filter_map(|(_, judged)| judged.geometry_error_mm));
        out.push((
            format!("width with true points, card {name}, mm: RMS error, at the true height (photos)"),
            if count == 0 { "none".to_owned() } else { format!("{width:.2}, {geometry:.2} ({count})") },
        ));
    }
    let judged: Vec<(&Row, &Judged)> =
        rows.iter().filter_map(|row| row.with_true_points.as_ref().map(|judged| (*row, judged))).collect();
    let covered = judged.iter().filter(|(row, judged)| covers(&judged.width, row.true_width_mm)).count();
    out.push(("95 % interval holds the truth".into(), format!("{covered} of {}", judged.len())));
    let given: Vec<Call> = judged.iter().map(|(_, judged)| judged.call).collect();
    out.push((format!("verdict by size, true points: {CALLS}"), calls(&given)));
    out
}

fn of_proposals(rows: &[&Row]) -> Vec<Figure> {
    let right = rows.iter().filter(|row| row.found == Find::Right).count();
    let proposals: Vec<&Proposed> = rows.iter().filter_map(|row| row.proposed.as_ref()).collect();
    let within = |mm: f64| {
        proposals.iter().filter(|proposed| proposed.error_mm.iter().all(|&error| error <= mm)).count()
    };
    let by_proposal: Vec<Call> =
        proposals.iter().filter_map(|proposed| proposed.width.as_ref().map(|judged| judged.call)).collect();
    vec![
        (
            "points proposed; both within 3 mm, 5 mm, 10 mm".into(),
            format!("{} of {right}; {}, {}, {}", proposals.len(), within(3.0), within(5.0), within(10.0)),
        ),
        (format!("verdict by size, proposed points: {CALLS}"), calls(&by_proposal)),
    ]
}

const CALLS: &str = "right, for the gauge, legal released, short kept";

fn calls(list: &[Call]) -> String {
    [Call::Right, Call::Gauge, Call::ReleasedLegal, Call::KeptShort]
        .map(|call| list.iter().filter(|&&other| other == call).count().to_string())
        .join(", ")
}
