//! The crabs as a table for other programs: CSV (RFC 4180), one line for each crab.

use crate::day::book::Book;
use crate::day::rows::{CrabEntry, End, Id, Moment, What, Why};
use crate::decide::{Call, Eggs, GaugeReading, Parts};
use crate::rules::when::{Sex, Stage};
use crate::terms::Placement;

/// The columns, in order. A width never stands without its uncertainty.
const COLUMNS: [&str; 23] = [
    "id",
    "day",
    "local_time",
    "utc_offset_minutes",
    "water",
    "kind",
    "sex",
    "shell",
    "eggs",
    "claws",
    "season_said",
    "end",
    "kept_by",
    "kept_despite",
    "released_because",
    "verdict",
    "reason",
    "width_mm",
    "width_u_mm",
    "card_lay",
    "gauge",
    "pot",
    "depth_m",
];

impl Book {
    /// All crabs as CSV.
    pub fn crabs_as_csv(&self) -> Result<String, csv::Error> {
        let mut table = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        table.write_record(COLUMNS)?;
        for (id, crab) in self.crabs() {
            table.write_record(self.line(id, crab))?;
        }
        let bytes = table.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
        // Every cell was a string.
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    fn line(&self, id: &Id, crab: &CrabEntry) -> [String; 23] {
        let CrabEntry { at, water, kind, traits, checks, end, verdict, width, gauge, pull, .. } = crab;
        let pull = pull.as_ref().and_then(|id| match &self.row(id)?.what {
            What::Pull(pull) => Some(pull),
            _ => None,
        });
        let (ended, by, despite, why) = match end {
            End::Kept { by, despite } => ("kept", self.name_of(by), despite.clone().unwrap_or_default(), ""),
            End::Released(why) => ("released", String::new(), String::new(), why_word(*why)),
        };
        let number = |value: Option<f64>| value.map(|value| format!("{value}")).unwrap_or_default();
        let (day, time, offset) = moment(at);
        [
            cell(&id.0),
            day,
            time,
            offset,
            cell(&water.name),
            cell(kind.as_deref().unwrap_or_default()),
            traits.sex.map(sex_word).unwrap_or_default().to_owned(),
            traits.stage.map(stage_word).unwrap_or_default().to_owned(),
            checks.eggs.map(eggs_word).unwrap_or_default().to_owned(),
            checks.parts.map(parts_word).unwrap_or_default().to_owned(),
            checks.said_open.map(open_word).unwrap_or_default().to_owned(),
            ended.to_owned(),
            cell(&by),
            cell(&despite),
            why.to_owned(),
            verdict.as_ref().map(|told| call_word(told.call)).unwrap_or_default().to_owned(),
            cell(verdict.as_ref().map(|told| told.reason.as_str()).unwrap_or_default()),
            number(width.map(|width| width.width.0)),
            number(width.map(|width| width.u.0)),
            checks.placement.map(placement_word).unwrap_or_default().to_owned(),
            gauge.as_ref().map(gauge_words).unwrap_or_default(),
            cell(pull.map(|pull| pull.as_pulled.label.as_str()).unwrap_or_default()),
            number(pull.and_then(|pull| pull.as_pulled.depth_m)),
        ]
    }
}

fn moment(at: &Moment) -> (String, String, String) {
    match at.clock {
        Some(clock) => {
            let time = format!("{:02}:{:02}", clock.time.hour(), clock.time.minute());
            (at.day.to_string(), time, clock.utc_offset_minutes.to_string())
        }
        None => (at.day.to_string(), String::new(), String::new()),
    }
}

/// Text that a spreadsheet must not take for a formula gets an apostrophe in front (OWASP, "CSV Injection").
fn cell(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

fn sex_word(sex: Sex) -> &'static str {
    match sex {
        Sex::Male => "male",
        Sex::Female => "female",
    }
}

fn stage_word(stage: Stage) -> &'static str {
    match stage {
        Stage::Hard => "hard",
        Stage::Soft => "soft",
        Stage::Peeler => "peeler",
    }
}

fn eggs_word(eggs: Eggs) -> &'static str {
    match eggs {
        Eggs::None => "none",
        Eggs::Light => "light",
        Eggs::Dark => "dark",
        Eggs::Removed => "removed",
    }
}

fn parts_word(parts: Parts) -> &'static str {
    match parts {
        Parts::Whole => "whole",
        Parts::RightClaw => "right claw",
        Parts::LeftClaw => "left claw",
    }
}

fn open_word(is_open: bool) -> &'static str {
    if is_open { "open" } else { "closed" }
}

fn placement_word(placement: Placement) -> &'static str {
    match placement {
        Placement::Deck => "deck",
        Placement::Level => "level",
        Placement::Back => "back",
    }
}

fn call_word(call: Call) -> &'static str {
    match call {
        Call::Keep => "keep",
        Call::Release => "release",
        Call::Gauge => "gauge",
    }
}

fn why_word(why: Why) -> &'static str {
    match why {
        Why::Female => "female",
        Why::Eggs => "eggs",
        Why::Soft => "soft",
        Why::Short => "short",
        Why::OtherKind => "other kind",
        Why::OneClaw => "one claw",
        Why::NotNeeded => "not needed",
        Why::Verdict => "verdict",
    }
}

fn gauge_words(gauge: &GaugeReading) -> String {
    match gauge {
        GaugeReading::OfSize => "of size".to_owned(),
        GaugeReading::NotOfSize => "not of size".to_owned(),
        GaugeReading::Reads(length) => format!("{} mm", length.millimetres().0),
    }
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn no_cell_starts_a_formula() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"] {
            assert!(cell(text).starts_with('\''), "{text}");
        }
        assert_eq!(cell("pot 3"), "pot 3");
    }
}
