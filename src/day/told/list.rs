//! The crabs of all days, as they are looked for: by kind, end, person, pot and day, in an order.

use std::collections::BTreeSet;
use std::rc::Rc;

use jiff::civil::Date;

use crate::day::book::Book;
use crate::day::rows::{CrabEntry, End, Id, Row, What};

/// What became of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ended {
    /// Either.
    #[default]
    Any,
    /// Kept.
    Kept,
    /// Let go.
    Released,
}

/// In which order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// The last first.
    #[default]
    Newest,
    /// The first first.
    Oldest,
    /// The widest first; those that were not measured last.
    Widest,
    /// By kind, the last of each first.
    Kind,
}

/// Which crabs are looked for; the default wants all.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// Species id.
    pub kind: Option<String>,
    /// What became of them.
    pub ended: Ended,
    /// Kept by this person.
    pub person: Option<Id>,
    /// From pots of this mark.
    pub pot: Option<String>,
    /// Of this day.
    pub day: Option<Date>,
    /// Only those with a width from photos.
    pub is_measured: bool,
    /// In which order.
    pub order: Order,
}

/// What there is to choose from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choices {
    /// Species ids, in their alphabetical order.
    pub kinds: Vec<String>,
    /// Persons who kept some, by name.
    pub persons: Vec<Id>,
    /// Marks of pots that were pulled.
    pub pots: Vec<String>,
    /// Days, the last first.
    pub days: Vec<Date>,
}

impl Book {
    /// The crabs that are wanted, in the wanted order.
    pub fn list(&self, wanted: &Wanted) -> Vec<Rc<Row>> {
        let pulls: Option<BTreeSet<&Id>> = wanted.pot.as_ref().map(|mark| {
            let of_mark = self.pulls().filter(|(_, pull)| pull.as_pulled.label == *mark);
            of_mark.map(|(id, _)| id).collect()
        });
        let is_wanted = |crab: &CrabEntry| {
            let by = match &crab.end {
                End::Kept { by, .. } => Some(by),
                End::Released(_) => None,
            };
            let is_ended_so = match wanted.ended {
                Ended::Any => true,
                Ended::Kept => by.is_some(),
                Ended::Released => by.is_none(),
            };
            let is_from = |pulls: &BTreeSet<&Id>| crab.pull.as_ref().is_some_and(|pull| pulls.contains(pull));
            is_ended_so
                && wanted.kind.as_ref().is_none_or(|kind| crab.kind.as_ref() == Some(kind))
                && wanted.person.as_ref().is_none_or(|person| by == Some(person))
                && pulls.as_ref().is_none_or(is_from)
                && (!wanted.is_measured || crab.width.is_some())
        };
        let days = self.days().filter(|day| wanted.day.is_none_or(|wanted| wanted == *day));
        let mut found: Vec<&Rc<Row>> = days
            .flat_map(|day| self.crab_rows_on(day))
            .filter(|row| crab_in(row).is_some_and(is_wanted))
            .collect();
        // By the order of the book, not by the clock: one that jumps reorders nothing.
        found.sort_by(|a, b| (b.made, &b.id).cmp(&(a.made, &a.id)));
        let width = |row: &Row| {
            crab_in(row).and_then(|crab| crab.width).map_or(f64::NEG_INFINITY, |width| width.width.0)
        };
        let kind = |row: &'_ Row| crab_in(row).and_then(|crab| crab.kind.clone());
        match wanted.order {
            Order::Newest => {}
            Order::Oldest => found.reverse(),
            Order::Widest => found.sort_by(|a, b| width(b).total_cmp(&width(a))),
            Order::Kind => found.sort_by_cached_key(|row| kind(row)),
        }
        found.into_iter().cloned().collect()
    }

    /// What the crabs can be chosen by.
    pub fn choices(&self) -> Choices {
        let (mut kinds, mut persons) = (BTreeSet::new(), BTreeSet::new());
        let days: Vec<Date> = self.days().collect();
        for (_, crab) in days.iter().flat_map(|day| self.crabs_on(*day)) {
            if let Some(kind) = &crab.kind
                && !kinds.contains(kind.as_str())
            {
                kinds.insert(kind.as_str());
            }
            if let End::Kept { by, .. } = &crab.end {
                persons.insert(by);
            }
        }
        let pots: BTreeSet<&String> = self.pulls().map(|(_, pull)| &pull.as_pulled.label).collect();
        let mut persons: Vec<Id> = persons.into_iter().cloned().collect();
        persons.sort_by_key(|person| self.name_of(person));
        Choices {
            kinds: kinds.into_iter().map(str::to_owned).collect(),
            persons,
            pots: pots.into_iter().cloned().collect(),
            days,
        }
    }
}

/// The crab of a row.
pub fn crab_in(row: &Row) -> Option<&CrabEntry> {
    match &row.what {
        What::Crab(crab) => Some(crab),
        _ => None,
    }
}
