//! Totals of a year, and the sizes of the crabs that were measured.

use std::collections::BTreeMap;

use crate::day::book::Book;
use crate::day::rows::{End, Id};
use crate::terms::Dimension;

/// Width of a step of the sizes, mm.
const STEP_MM: f64 = 5.0;
/// Beyond it no crab is: a row that says so is no size.
const MOST_MM: f64 = 1000.0;

/// What was kept and let go of a kind in a year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Total {
    /// The calendar year.
    pub year: i16,
    /// Species id; none: not said.
    pub kind: Option<String>,
    /// Kept, by all.
    pub kept: u32,
    /// Let go.
    pub released: u32,
    /// Kept by each person.
    pub by_person: Vec<(Id, u32)>,
    /// Days with a crab of the kind.
    pub days: u32,
}

/// Measured crabs of one kind and distance in steps of 5 mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizes {
    /// Species id.
    pub kind: String,
    /// Which distance was measured.
    pub dimension: Dimension,
    /// The steps from the smallest to the largest, none left out.
    pub steps: Vec<SizeStep>,
}

/// How many crabs are so wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeStep {
    /// From this width on, mm; up to 5 mm more.
    pub from_mm: f64,
    /// Kept.
    pub kept: u32,
    /// Let go.
    pub released: u32,
}

impl SizeStep {
    /// The width at which the step ends, mm.
    pub fn to_mm(&self) -> f64 {
        self.from_mm + STEP_MM
    }
}

impl Book {
    /// Totals by year and kind, the last year first.
    pub fn totals(&self) -> Vec<Total> {
        let mut totals: BTreeMap<(i16, Option<&str>), Total> = BTreeMap::new();
        for day in self.days() {
            let mut of_day: Vec<(i16, Option<&str>)> = Vec::new();
            for (_, crab) in self.crabs_on(day) {
                let key = (day.year(), crab.kind.as_deref());
                let total = totals.entry(key).or_insert_with(|| Total {
                    year: key.0,
                    kind: crab.kind.clone(),
                    kept: 0,
                    released: 0,
                    by_person: Vec::new(),
                    days: 0,
                });
                if !of_day.contains(&key) {
                    of_day.push(key);
                    total.days += 1;
                }
                let End::Kept { by, .. } = &crab.end else {
                    total.released += 1;
                    continue;
                };
                total.kept += 1;
                match total.by_person.iter_mut().find(|(person, _)| person == by) {
                    Some((_, count)) => *count += 1,
                    None => total.by_person.push((by.clone(), 1)),
                }
            }
        }
        let mut totals: Vec<Total> = totals.into_values().collect();
        totals.sort_by(|a, b| (b.year, &a.kind).cmp(&(a.year, &b.kind)));
        for total in &mut totals {
            total.by_person.sort_by_key(|(person, _)| self.name_of(person));
        }
        totals
    }

    /// The sizes of the measured crabs, by kind and distance.
    pub fn sizes(&self) -> Vec<Sizes> {
        // Kept and let go, by step.
        type Counts = BTreeMap<i64, (u32, u32)>;
        let mut counts: BTreeMap<(&str, Dimension), Counts> = BTreeMap::new();
        for (_, crab) in self.days().flat_map(|day| self.crabs_on(day)) {
            let (Some(kind), Some(width)) = (crab.kind.as_deref(), crab.width) else { continue };
            let width_mm = width.width.0;
            if !(0.0..MOST_MM).contains(&width_mm) {
                continue;
            }
            let step = (width_mm / STEP_MM).floor() as i64;
            let count = counts.entry((kind, width.dimension)).or_default().entry(step).or_default();
            match &crab.end {
                End::Kept { .. } => count.0 += 1,
                End::Released(_) => count.1 += 1,
            }
        }
        let sizes = counts.into_iter().map(|((kind, dimension), counts)| {
            let ends = counts.keys().next().zip(counts.keys().next_back());
            let steps = ends.into_iter().flat_map(|(first, last)| *first..=*last);
            let step = |step: i64| {
                let (kept, released) = counts.get(&step).copied().unwrap_or_default();
                SizeStep { from_mm: step as f64 * STEP_MM, kept, released }
            };
            Sizes { kind: kind.to_owned(), dimension, steps: steps.map(step).collect() }
        });
        sizes.collect()
    }
}
