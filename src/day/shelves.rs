//! The rows of a book by what is asked of them: persons, pots, pulls, steps, each day, each pull's crabs.
//!
//! A season has thousands of rows, and the page asks for one day at every drawing: it must not go through all of them.
//! Each shelf is shared between copies of the book until one of them changes it.

use std::collections::BTreeMap;
use std::rc::Rc;

use jiff::civil::Date;

use super::rows::{Id, Row, What};

/// What a row can be found by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shelf {
    /// Persons.
    People,
    /// Pots.
    Pots,
    /// Pulls.
    Pulls,
    /// Steps that can be taken back.
    Steps,
    /// What was ticked as written for a day.
    Written(Date),
    /// What was said on a day of crabs of earlier days.
    Earlier(Date),
    /// Crabs of a day.
    Crabs(Date),
    /// Crabs of a pull.
    OfPull(Id),
}

/// The rows of one shelf in the order in which they were first written.
type Rows = BTreeMap<(u64, Id), Rc<Row>>;

/// Rows that hold, by shelf.
#[derive(Debug, Clone, Default)]
pub struct Shelves {
    shelves: BTreeMap<Shelf, Rc<Rows>>,
}

impl Shelves {
    /// Puts a row where it belongs; one that was taken away belongs nowhere.
    pub fn add(&mut self, row: &Rc<Row>) {
        if row.is_gone {
            return;
        }
        for shelf in shelves_of(row) {
            let rows = self.shelves.entry(shelf).or_default();
            Rc::make_mut(rows).insert((row.made, row.id.clone()), row.clone());
        }
    }

    /// Takes a row out, as it was when it was put in.
    pub fn remove(&mut self, row: &Row) {
        for shelf in shelves_of(row) {
            if let Some(rows) = self.shelves.get_mut(&shelf) {
                Rc::make_mut(rows).remove(&(row.made, row.id.clone()));
                if rows.is_empty() {
                    self.shelves.remove(&shelf);
                }
            }
        }
    }

    /// The rows of a shelf, in order.
    pub fn rows(&self, shelf: Shelf) -> impl DoubleEndedIterator<Item = &Rc<Row>> {
        self.shelves.get(&shelf).into_iter().flat_map(|rows| rows.values())
    }

    /// How many rows a shelf has.
    pub fn len(&self, shelf: &Shelf) -> usize {
        self.shelves.get(shelf).map_or(0, |rows| rows.len())
    }

    /// The days of which there are crabs, the last first.
    pub fn days(&self) -> impl Iterator<Item = Date> {
        let days = self.shelves.range(Shelf::Crabs(Date::MIN)..=Shelf::Crabs(Date::MAX));
        days.rev().filter_map(|(shelf, _)| match shelf {
            Shelf::Crabs(day) => Some(*day),
            _ => None,
        })
    }
}

fn shelves_of(row: &Row) -> impl Iterator<Item = Shelf> {
    let (first, second) = match &row.what {
        What::Person(_) => (Shelf::People, None),
        What::Pot(_) => (Shelf::Pots, None),
        What::Pull(_) => (Shelf::Pulls, None),
        What::Step(_) => (Shelf::Steps, None),
        What::Written(written) => (Shelf::Written(written.day), None),
        What::Earlier(said) => (Shelf::Earlier(said.day), None),
        What::Crab(crab) => (Shelf::Crabs(crab.at.day), crab.pull.clone().map(Shelf::OfPull)),
    };
    std::iter::once(first).chain(second)
}
