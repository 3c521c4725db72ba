//! All rows, and the one way to change them: a step, which can be taken back.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use jiff::civil::Date;

use super::rows::{CrabEntry, End, FORMAT, Id, Moment, Pot, Pull, Row, What, write_row};
use super::shelves::{Shelf, Shelves};
use super::steps::Steps;

/// The rows, by name.
#[derive(Debug, Clone, Default)]
pub struct Book {
    rows: BTreeMap<Id, Rc<Row>>,
    shelves: Shelves,
    pub(super) steps: Steps,
    newest: u64,
    /// Rows that changed and are not known to be on the disk.
    unsaved: Vec<Id>,
    /// Steps that are let go: their rows go from the disk.
    forgotten: Vec<Id>,
}

/// Books are compared at every drawing: a row that is shared is the same one.
impl PartialEq for Book {
    fn eq(&self, other: &Self) -> bool {
        let same = |(one, two): (&Rc<Row>, &Rc<Row>)| Rc::ptr_eq(one, two) || one == two;
        std::ptr::eq(self, other)
            || (self.newest == other.newest
                && self.rows.len() == other.rows.len()
                && self.unsaved == other.unsaved
                && self.forgotten == other.forgotten
                && self.rows.values().zip(other.rows.values()).all(same))
    }
}

/// Gives each new row a name that no other row has, on this device or another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Names {
    /// Random, drawn once for each start of the page.
    pub seed: u64,
    /// Names given since.
    pub given: u64,
}

impl Names {
    /// The next name.
    pub fn draw(&mut self) -> Id {
        self.given += 1;
        Id(format!("{:016x}-{}", self.seed, self.given).into())
    }
}

impl Book {
    /// The rows that hold, by name.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.rows.values().map(|row| &**row).filter(|row| !row.is_gone)
    }

    /// All rows, those taken away too: for a copy of the book.
    pub fn all_rows(&self) -> impl Iterator<Item = &Rc<Row>> {
        self.rows.values()
    }

    /// The row of a name, while it holds.
    pub fn row(&self, id: &Id) -> Option<&Row> {
        self.rows.get(id).map(|row| &**row).filter(|row| !row.is_gone)
    }

    /// The crabs of all days in the order in which they were sorted.
    pub fn crabs(&self) -> Vec<(&Id, &CrabEntry)> {
        let mut rows: Vec<&Rc<Row>> =
            self.days().flat_map(|day| self.shelves.rows(Shelf::Crabs(day))).collect();
        rows.sort_by_key(|row| (row.made, &row.id));
        rows.into_iter().filter_map(|row| crab_of(row)).collect()
    }

    /// The days of which there are crabs, the last first.
    pub fn days(&self) -> impl Iterator<Item = Date> {
        self.shelves.days()
    }

    /// The crabs of one day in the order in which they were sorted.
    pub fn crabs_on(&self, day: Date) -> impl DoubleEndedIterator<Item = (&Id, &CrabEntry)> {
        self.shelves.rows(Shelf::Crabs(day)).filter_map(|row| crab_of(row))
    }

    /// The crabs of one pull in the order in which they were sorted.
    pub fn crabs_of_pull(&self, pull: &Id) -> impl DoubleEndedIterator<Item = (&Id, &CrabEntry)> {
        self.shelves.rows(Shelf::OfPull(pull.clone())).filter_map(|row| crab_of(row))
    }

    /// The pots, in the order in which they were named.
    pub fn pots(&self) -> Vec<(&Id, &Pot)> {
        let rows = self.shelves.rows(Shelf::Pots).filter_map(|row| match &row.what {
            What::Pot(pot) => Some((&row.id, pot)),
            _ => None,
        });
        rows.collect()
    }

    /// The pulls in the order in which they were made.
    pub fn pulls(&self) -> impl DoubleEndedIterator<Item = (&Id, &Pull)> {
        self.shelves.rows(Shelf::Pulls).filter_map(|row| match &row.what {
            What::Pull(pull) => Some((&row.id, pull)),
            _ => None,
        })
    }

    /// The pull whose crabs are being sorted.
    pub fn pull_in_hand(&self) -> Option<(&Id, &Pull)> {
        self.pulls().rfind(|(_, pull)| !pull.is_sorted)
    }

    /// True for a crab that was kept and taken back since.
    pub fn was_kept(&self, id: &Id) -> bool {
        let gone = self.rows.get(id).filter(|row| row.is_gone);
        gone.is_some_and(|row| matches!(&row.what, What::Crab(crab) if matches!(crab.end, End::Kept { .. })))
    }

    /// A row, also one that was taken away.
    pub(super) fn any_row(&self, id: &Id) -> Option<&Rc<Row>> {
        self.rows.get(id)
    }

    /// How many rows a shelf has.
    pub(super) fn shelf_len(&self, shelf: Shelf) -> usize {
        self.shelves.len(&shelf)
    }

    /// The rows of the crabs of one day in the order in which they were sorted.
    pub(super) fn crab_rows_on(&self, day: Date) -> impl DoubleEndedIterator<Item = &Rc<Row>> {
        self.shelves.rows(Shelf::Crabs(day))
    }

    /// The rows of a shelf, in order.
    pub(super) fn shelf(&self, shelf: Shelf) -> impl DoubleEndedIterator<Item = &Rc<Row>> {
        self.shelves.rows(shelf)
    }

    /// Lets go of steps that another tab took back.
    pub fn drop_forgotten(&mut self, gone: &[Id]) {
        for id in gone {
            self.take_out(id);
            self.unsaved.retain(|unsaved| unsaved != id);
        }
    }

    fn put_in(&mut self, row: Row) {
        let row = Rc::new(row);
        if let Some(before) = self.rows.insert(row.id.clone(), row.clone()) {
            self.shelves.remove(&before);
        }
        self.shelves.add(&row);
    }

    fn take_out(&mut self, id: &Id) {
        if let Some(before) = self.rows.remove(id) {
            self.shelves.remove(&before);
        }
    }

    pub(super) fn put(&mut self, id: Id, what: What, is_gone: bool) {
        self.newest += 1;
        let made = self.rows.get(&id).map_or(self.newest, |row| row.made);
        let row = Row { format: FORMAT, id: id.clone(), revision: self.newest, made, is_gone, what };
        self.put_in(row);
        self.unsaved.retain(|unsaved| *unsaved != id);
        self.unsaved.push(id);
    }

    pub(super) fn forget(&mut self, id: &Id) {
        self.take_out(id);
        self.unsaved.retain(|unsaved| unsaved != id);
        self.forgotten.push(id.clone());
    }

    /// Takes rows of the disk, of another tab or of a copy: of two versions of a row the later one holds, whichever
    /// comes first; of equally late ones the same one everywhere. Gives the names of those that were taken.
    pub fn merge(&mut self, rows: impl IntoIterator<Item = Row>) -> Vec<Id> {
        let mut taken = Vec::new();
        for row in rows {
            self.newest = self.newest.max(row.revision);
            let is_later = self.rows.get(&row.id).is_none_or(|has| is_later(&row, has));
            if is_later {
                taken.push(row.id.clone());
                self.put_in(row);
            }
        }
        taken
    }

    /// The same, for rows that are not on the disk yet.
    pub fn merge_unsaved(&mut self, rows: impl IntoIterator<Item = Row>) -> usize {
        let taken = self.merge(rows);
        let count = taken.len();
        let known: BTreeSet<&Id> = self.unsaved.iter().collect();
        let new: Vec<Id> = taken.into_iter().filter(|id| !known.contains(id)).collect();
        self.unsaved.extend(new);
        count
    }

    /// Rows that another tab has just written, older than they are here: two tabs wrote them in the same moment, and the
    /// disk has the wrong one. They are to be written again; both tabs agree on which is later, so one of them writes.
    pub(super) fn write_later_ones_again(&mut self, on_disk: &[Row]) {
        for row in on_disk {
            let is_later_here = self.rows.get(&row.id).is_some_and(|has| is_later(has, row));
            if is_later_here && !self.unsaved.contains(&row.id) {
                self.unsaved.push(row.id.clone());
            }
        }
    }

    /// The disk lost its rows: all are to be written again.
    pub fn write_all_again(&mut self) {
        self.unsaved = self.rows.keys().cloned().collect();
        self.forgotten.clear();
    }

    /// The latest time at which a crab was sorted or a pot pulled, by the device's clock.
    pub fn latest(&self) -> Option<Moment> {
        let pulled = self.pulls().next_back().map(|(_, pull)| pull.at);
        let day = self.days().next();
        let sorted = day.and_then(|day| self.crabs_on(day).next_back()).map(|(_, crab)| crab.at);
        let minutes = |at: &Moment| (at.day, at.utc_minutes());
        pulled.into_iter().chain(sorted).max_by_key(minutes)
    }

    /// Rows to be written to the disk.
    pub fn unsaved(&self) -> impl Iterator<Item = &Rc<Row>> {
        self.unsaved.iter().filter_map(|id| self.rows.get(id))
    }

    /// Names of rows to be taken from the disk.
    pub fn forgotten(&self) -> &[Id] {
        &self.forgotten
    }

    /// True while something is not known to be on the disk.
    pub fn has_unsaved(&self) -> bool {
        !self.unsaved.is_empty() || !self.forgotten.is_empty()
    }

    /// These are on the disk now, in these revisions, and these are gone from it.
    pub fn saved(&mut self, rows: &[(Id, u64)], gone: &[Id]) {
        let written: BTreeSet<&(Id, u64)> = rows.iter().collect();
        let is_saved =
            |id: &Id| self.rows.get(id).is_some_and(|row| written.contains(&(id.clone(), row.revision)));
        self.unsaved = std::mem::take(&mut self.unsaved).into_iter().filter(|id| !is_saved(id)).collect();
        self.forgotten.retain(|id| !gone.contains(id));
    }
}

fn crab_of(row: &Row) -> Option<(&Id, &CrabEntry)> {
    match &row.what {
        What::Crab(crab) => Some((&row.id, crab)),
        _ => None,
    }
}

fn is_later(row: &Row, than: &Row) -> bool {
    // Two tabs may give the same revision; the text then decides, the same way in both.
    let text = |row: &Row| write_row(row).unwrap_or_default();
    row.revision > than.revision || (row.revision == than.revision && text(row) > text(than))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::Person;
    use crate::day::rows::{Licence, StepName};

    const DAY: Date = jiff::civil::date(2026, 7, 15);

    fn person(name: &str) -> What {
        What::Person(Person { name: name.into(), is_aboard: true, licence: Licence::Has, licence_for: None })
    }

    fn book() -> (Book, Names) {
        (Book::default(), Names { seed: 7, given: 0 })
    }

    #[test]
    fn a_step_taken_back_leaves_the_rows_as_they_were() {
        let (mut book, mut names) = book();
        let id = names.draw();
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Ada"))]);
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Eda"))]);
        book.undo();
        assert_eq!(book.name_of(&id), "Ada");
        book.undo();
        assert_eq!(book.row(&id), None);
        book.undo();
        assert!(book.last_step().is_none());
    }

    #[test]
    fn rows_merge_to_the_same_book_in_any_order() {
        let (mut one, mut names) = book();
        let mut other = Book::default();
        let mut other_names = Names { seed: 8, given: 0 };
        let shared = Id("shared".into());
        one.step(&mut names, StepName::Person, DAY, vec![(shared.clone(), person("Ada"))]);
        other.step(&mut other_names, StepName::Person, DAY, vec![(shared.clone(), person("Eda"))]);
        let rows = |book: &Book| -> Vec<Row> { book.all_rows().map(|row| Row::clone(row)).collect() };
        let (of_one, of_other) = (rows(&one), rows(&other));
        one.merge(of_other.clone());
        other.merge(of_one);
        assert_eq!(rows(&one), rows(&other));
        assert!(one.merge(of_other).is_empty(), "a second time brings nothing new");
    }

    #[test]
    fn an_older_copy_does_not_bring_back_what_was_taken_away() {
        let (mut book, mut names) = book();
        let id = names.draw();
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Ada"))]);
        let copy: Vec<Row> = book.all_rows().map(|row| Row::clone(row)).collect();
        book.undo();
        book.merge(copy);
        assert_eq!(book.row(&id), None);
    }

    #[test]
    fn what_changed_while_it_was_written_is_still_to_be_written() {
        let (mut book, mut names) = book();
        let id = names.draw();
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Ada"))]);
        let written: Vec<_> = book.unsaved().map(|row| (row.id.clone(), row.revision)).collect();
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Eda"))]);
        book.saved(&written, &[]);
        assert!(book.unsaved().any(|row| row.id == id));
    }

    /// What is changed after another tab's row was heard is later than it, also where that tab had changed more.
    #[test]
    fn a_change_of_what_was_heard_is_the_later_one() {
        let (mut here, mut names) = book();
        let (mut there, mut other_names) = (Book::default(), Names { seed: 8, given: 0 });
        let shared = Id("shared".into());
        for name in ["Ada", "Eda", "Ida"] {
            there.step(&mut other_names, StepName::Person, DAY, vec![(shared.clone(), person(name))]);
        }
        here.merge(there.all_rows().map(|row| Row::clone(row)).collect::<Vec<_>>());
        here.step(&mut names, StepName::Person, DAY, vec![(shared.clone(), person("Bo"))]);
        there.merge(here.all_rows().map(|row| Row::clone(row)).collect::<Vec<_>>());
        assert_eq!((here.name_of(&shared).as_str(), there.name_of(&shared).as_str()), ("Bo", "Bo"));
    }

    /// The page draws "kept" anew once the rows are on the disk: that alone makes another book.
    #[test]
    fn a_book_that_is_on_the_disk_is_another_one() {
        let (mut book, mut names) = book();
        let id = names.draw();
        book.step(&mut names, StepName::Person, DAY, vec![(id, person("Ada"))]);
        let before = book.clone();
        assert_eq!(before, book);
        let written: Vec<_> = book.unsaved().map(|row| (row.id.clone(), row.revision)).collect();
        book.saved(&written, &[]);
        assert_ne!(before, book);
    }

    /// A row that is still to be written and comes from a copy in a later version is to be written once.
    #[test]
    fn a_row_is_to_be_written_once() {
        let (mut book, mut names) = book();
        let id = names.draw();
        book.step(&mut names, StepName::Person, DAY, vec![(id.clone(), person("Ada"))]);
        let row = book.row(&id).cloned().expect("a row");
        book.merge_unsaved([Row { revision: row.revision + 9, what: person("Eda"), ..row }]);
        assert_eq!(book.unsaved().filter(|row| row.id == id).count(), 1);
        assert_eq!(book.name_of(&id), "Eda");
    }
}
