//! How often a shown proposal is right, by the chance that was told: a reliability plot (DeGroot and Fienberg 1983,
//! "The comparison and evaluation of forecasters").

use std::fmt::Write as _;

use super::row::Row;
use super::together::is_held_out;

/// What a proposal's chance is about: both points within this, in mm.
const RIGHT_MM: f64 = 5.0;
/// Lower ends of the classes of told chance; the last one ends at 1.
const CLASSES: [f64; 5] = [0.7, 0.8, 0.9, 0.95, 0.98];
/// Side of the plot and its margin, in px.
const SIDE: f64 = 320.0;
const MARGIN: f64 = 48.0;

/// The proposals of one class.
#[derive(Default, Clone, Copy)]
struct Class {
    count: u32,
    right: u32,
    told: f64,
}

impl Class {
    fn share(self) -> f64 {
        f64::from(self.right) / f64::from(self.count)
    }

    fn mean_told(self) -> f64 {
        self.told / f64::from(self.count)
    }
}

/// Scenes of no training, by class; no class is empty.
fn classes(rows: &[Row]) -> Vec<(f64, Class)> {
    let mut classes = CLASSES.map(|from| (from, Class::default()));
    for row in rows.iter().filter(|row| is_held_out(&row.name)) {
        let Some(proposed) = &row.proposed else { continue };
        let Some((_, class)) = classes.iter_mut().rev().find(|(from, _)| proposed.chance >= *from) else {
            continue;
        };
        class.count += 1;
        class.told += proposed.chance;
        class.right += u32::from(proposed.error_mm.iter().all(|&error| error <= RIGHT_MM));
    }
    classes.into_iter().filter(|(_, class)| class.count > 0).collect()
}

/// The classes as Markdown; empty without a proposal.
pub fn table(rows: &[Row]) -> String {
    let classes = classes(rows);
    if classes.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "\n| chance told (held-out scenes) | mean | both within {RIGHT_MM} mm | share |\n|---|---|---|---|\n"
    );
    for (from, class) in classes {
        let _ = writeln!(
            out,
            "| {from} and more | {:.3} | {} of {} | {:.2} |",
            class.mean_told(),
            class.right,
            class.count,
            class.share()
        );
    }
    out
}

/// The same as a drawing: told chance to the right, share that was right upward, the diagonal where both agree.
pub fn plot(rows: &[Row]) -> String {
    let at = |value: f64| (value - 0.5) * 2.0 * SIDE;
    let x = |value: f64| MARGIN + at(value);
    let y = |value: f64| MARGIN + SIDE - at(value.max(0.5));
    let size = SIDE + 2.0 * MARGIN;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {size} {size}\" font-family=\"sans-serif\" \
         font-size=\"12\"><rect width=\"100%\" height=\"100%\" fill=\"white\"/>\
         <path d=\"M{0} {1}L{2} {3}\" stroke=\"grey\"/>\
         <path d=\"M{0} {3}V{1}H{2}\" fill=\"none\" stroke=\"black\"/>",
        x(0.5),
        y(0.5),
        x(1.0),
        y(1.0)
    );
    for tick in [0.5, 0.6, 0.7, 0.8, 0.9, 1.0] {
        let _ = write!(
            out,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"middle\">{tick}</text><text x=\"{}\" y=\"{}\" \
             text-anchor=\"end\">{tick}</text>",
            x(tick),
            y(0.5) + 16.0,
            x(0.5) - 6.0,
            y(tick) + 4.0
        );
    }
    for (_, class) in classes(rows) {
        let (x, y) = (x(class.mean_told()), y(class.share()));
        let _ = write!(
            out,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"5\"/><text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{} \
             of {}</text>",
            x - 9.0,
            y + 4.0,
            class.right,
            class.count
        );
    }
    let _ = write!(
        out,
        "<text x=\"{0}\" y=\"{1}\" text-anchor=\"middle\">chance told</text><text x=\"{0}\" y=\"20\" \
         text-anchor=\"middle\">share with both points within {RIGHT_MM} mm, held-out scenes</text></svg>",
        size / 2.0,
        size - 8.0
    );
    out
}

#[cfg(test)]
mod tests {
    use super::super::row::Proposed;
    use super::*;

    fn row(name: &str, chance: f64, worst_mm: f64) -> Row {
        let proposed = Proposed { error_px: [0.0; 2], error_mm: [1.0, worst_mm], width: None, chance };
        Row { name: name.into(), proposed: Some(proposed), ..Row::default() }
    }

    #[test]
    fn a_class_counts_held_out_proposals_that_are_right() {
        let rows = [
            row("train0-03a", 0.96, 4.9),
            row("train0-03b", 0.96, 5.1),
            row("train0-04a", 0.96, 1.0),
            row("crab-04", 0.99, 1.0),
            Row { name: "crab-05".into(), ..Row::default() },
        ];
        let table = table(&rows);
        assert!(table.contains("| 0.95 and more | 0.960 | 1 of 2 | 0.50 |"), "{table}");
        assert!(table.contains("| 0.98 and more | 0.990 | 1 of 1 | 1.00 |"), "{table}");
        let plot = plot(&rows);
        assert_eq!(plot.matches("<circle").count(), 2);
        // Told 0.96, right in 0.5: 92 hundredths of the way to the right, at the foot.
        assert!(
            plot.contains(&format!("cx=\"{:.1}\" cy=\"{:.1}\"", MARGIN + 0.92 * SIDE, MARGIN + SIDE)),
            "{plot}"
        );
    }
}
