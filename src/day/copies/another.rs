//! A copy that another device saved. The person who uses the page has the same name in every book, and is not the same
//! person on each device.
//!
//! Where the crabs of that person in the copy are not known here, only the person can say whose they are. Once said, the
//! crabs tell it for every later copy, and for the way back: one crab, kept by one name there and by another here in the
//! same revision, says that both names are one person's. So does the same name of two others aboard: two of one name
//! would have two limits.

use std::collections::BTreeMap;

use crate::day::book::Book;
use crate::day::rows::{End, Id, Licence, Person, Row, What};

/// Names of persons in a copy, and what the same persons are called here.
type Persons = BTreeMap<Id, Id>;

impl Book {
    /// True where only the person can say whose the crabs are which a copy gives to the person who uses the page.
    pub fn must_ask_whose(&self, rows: &[Row]) -> bool {
        let first = Id::first_person();
        let mut theirs = rows.iter().filter(|row| keeper(row) == Some(&first)).peekable();
        theirs.peek().is_some() && theirs.all(|row| self.any_row(&row.id).is_none())
    }

    /// How many crabs a copy gives to the person who uses the page.
    pub fn crabs_of_its_user(rows: &[Row]) -> usize {
        let first = Id::first_person();
        rows.iter().filter(|row| !row.is_gone && keeper(row) == Some(&first)).count()
    }

    /// Takes the rows of a copy. With `other`, the person who used the page that saved it is another one, and new here:
    /// their id here and what they are called. Gives how many rows were new or later.
    pub fn take_copy(&mut self, rows: Vec<Row>, other: Option<(Id, String)>) -> usize {
        let is_of_another = other.is_some();
        let user = other.map(|(new, name)| {
            self.person_named(&name).map_or_else(
                || {
                    let person =
                        Person { name, is_aboard: false, licence: Licence::NotSaid, licence_for: None };
                    self.put(new.clone(), What::Person(person), false);
                    new
                },
                |(known, _)| known,
            )
        });
        // After the user is named: somebody else of that name in the copy is the same person.
        let mut persons = self.persons_known_from(&rows);
        persons.extend(user.map(|id| (Id::first_person(), id)));
        let ashore = |mut row: Row| {
            if let (true, What::Person(person)) = (is_of_another, &mut row.what) {
                // Aboard there is not aboard here.
                person.is_aboard = false;
            }
            row
        };
        let known = rows.into_iter().filter_map(|row| as_known_here(row, &persons)).map(ashore);
        let known: Vec<Row> = known.collect();
        self.merge_unsaved(known)
    }

    /// How many crabs of a copy were taken back here since it was made: they stay taken back.
    pub fn taken_back_since(&self, copy: &[Row]) -> usize {
        let is_back = |row: &&Row| {
            let here = self.any_row(&row.id).filter(|here| here.is_gone && here.revision > row.revision);
            !row.is_gone && matches!(row.what, What::Crab(_)) && here.is_some()
        };
        copy.iter().filter(is_back).count()
    }

    fn persons_known_from(&self, rows: &[Row]) -> Persons {
        let same = |row: &Row| {
            let here = self.any_row(&row.id).filter(|here| here.revision == row.revision)?;
            let (there, here) = (keeper(row)?, keeper(here)?);
            (there != here).then(|| (there.clone(), here.clone()))
        };
        let named = |row: &Row| match &row.what {
            What::Person(person) if !row.is_gone => {
                let (here, _) = self.person_named(&person.name)?;
                (here != row.id && row.id != Id::first_person()).then(|| (row.id.clone(), here))
            }
            _ => None,
        };
        let by_name = rows.iter().filter_map(named);
        // What the crabs tell weighs more.
        by_name.chain(rows.iter().filter_map(same)).collect()
    }
}

/// The row with its persons as they are called here; none for a person that the book knows by another name.
fn as_known_here(mut row: Row, persons: &Persons) -> Option<Row> {
    let replace = |id: &mut Id| {
        if let Some(here) = persons.get(id) {
            *id = here.clone();
        }
    };
    match &mut row.what {
        What::Person(_) if persons.contains_key(&row.id) => return None,
        What::Crab(crab) => {
            if let End::Kept { by, .. } = &mut crab.end {
                replace(by);
            }
        }
        What::Earlier(said) => {
            replace(&mut said.person);
            row.id = said.row_name();
        }
        What::Written(written) => {
            replace(&mut written.person);
            row.id = written.row_name();
        }
        What::Person(_) | What::Pot(_) | What::Pull(_) | What::Step(_) => {}
    }
    Some(row)
}

/// Who kept the crab of a row, also of one that was taken away.
fn keeper(row: &Row) -> Option<&Id> {
    match &row.what {
        What::Crab(crab) => match &crab.end {
            End::Kept { by, .. } => Some(by),
            End::Released(_) => None,
        },
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::book::Names;
    use crate::day::rows::{CrabEntry, Moment, StepName, Written};

    const DAY: jiff::civil::Date = jiff::civil::date(2026, 7, 15);

    /// A book of one device, on which its user kept `count` crabs and wrote them on the record.
    fn book(seed: u64, count: usize) -> (Book, Names) {
        let (mut book, mut names) = (Book::default(), Names { seed, given: 0 });
        for _ in 0..count {
            keep(&mut book, &mut names);
        }
        let first = Id::first_person();
        let crabs = book.crabs().into_iter().map(|(id, _)| id.clone()).collect();
        let written = Written { day: DAY, person: first, crabs };
        book.step(&mut names, StepName::Written, DAY, vec![(written.row_name(), What::Written(written))]);
        (book, names)
    }

    fn keep(book: &mut Book, names: &mut Names) {
        let at = Moment { day: DAY, clock: None };
        let crab = CrabEntry::kept(Some("dungeness"), Id::first_person(), at);
        let id = names.draw();
        book.step(names, StepName::Kept, DAY, vec![(id, What::Crab(Box::new(crab)))]);
    }

    fn copy(book: &Book) -> Vec<Row> {
        let rows = book.all_rows().filter(|row| !matches!(row.what, What::Step(_)));
        rows.map(|row| Row::clone(row)).collect()
    }

    fn kept_by(book: &Book, person: &Id) -> usize {
        book.kept_on(DAY).into_iter().filter(|(_, by, _)| *by == person).count()
    }

    #[test]
    fn a_copy_of_the_same_book_asks_nothing() {
        let (mut one, mut names) = book(1, 3);
        let saved = copy(&one);
        keep(&mut one, &mut names);
        assert!(!one.must_ask_whose(&saved));
        assert!(Book::default().must_ask_whose(&saved), "a phone set up from another one");
        assert!(!one.must_ask_whose(&copy(&Book::default())));
        assert_eq!(one.take_copy(saved.clone(), None), 0);
        let mut fresh = Book::default();
        fresh.take_copy(saved, None);
        assert_eq!(kept_by(&fresh, &Id::first_person()), 3);
    }

    /// Five crabs of one phone and four of another are no nine of one person.
    #[test]
    fn two_phones_are_two_persons_and_stay_so_in_later_copies() {
        let ((mut one, mut names), (mut other, mut other_names)) = (book(1, 5), book(2, 4));
        let saved = copy(&other);
        assert!(one.must_ask_whose(&saved));
        let bo = names.draw();
        one.take_copy(saved, Some((bo.clone(), "Bo".into())));
        let first = Id::first_person();
        assert_eq!((kept_by(&one, &first), kept_by(&one, &bo)), (5, 4));
        assert_eq!(one.name_of(&bo), "Bo");
        let written = |book: &Book, person: &Id| {
            book.rows().any(|row| matches!(&row.what, What::Written(said) if said.person == *person))
        };
        assert!(written(&one, &bo) && written(&one, &first));

        // One more there: the next copy is known for whose it is.
        keep(&mut other, &mut other_names);
        let saved = copy(&other);
        assert!(!one.must_ask_whose(&saved));
        one.take_copy(saved.clone(), None);
        assert_eq!((kept_by(&one, &first), kept_by(&one, &bo)), (5, 5));
        assert_eq!(one.take_copy(saved, None), 0, "a second time brings nothing new");

        // And the way back: the other phone asks whose the five are, and knows its own.
        let back = copy(&one);
        assert!(other.must_ask_whose(&back));
        let ann = other_names.draw();
        other.take_copy(back.clone(), Some((ann.clone(), "Ann".into())));
        assert_eq!((kept_by(&other, &first), kept_by(&other, &ann)), (5, 5));
        assert!(!other.people().iter().any(|(_, person)| person.name == "Bo"), "that is who uses the page");
        assert!(!other.must_ask_whose(&back));
    }

    /// Who is aboard on both phones has one limit, not two.
    #[test]
    fn the_same_name_is_the_same_person() {
        let ((mut one, mut names), (mut other, mut other_names)) = (book(1, 1), book(2, 1));
        let named = |name: &str| {
            What::Person(Person {
                name: name.into(),
                is_aboard: true,
                licence: Licence::NotSaid,
                licence_for: None,
            })
        };
        let (here, there) = (names.draw(), other_names.draw());
        one.step(&mut names, StepName::Person, DAY, vec![(here.clone(), named("Bo"))]);
        other.step(&mut other_names, StepName::Person, DAY, vec![(there.clone(), named("bo"))]);
        let unknown_here = other_names.draw();
        other.step(&mut other_names, StepName::Person, DAY, vec![(unknown_here, named("Cy"))]);
        let at = Moment { day: DAY, clock: None };
        let crab = CrabEntry::kept(Some("dungeness"), there, at);
        let id = other_names.draw();
        other.step(&mut other_names, StepName::Kept, DAY, vec![(id, What::Crab(Box::new(crab)))]);
        let new = names.draw();
        one.take_copy(copy(&other), Some((new.clone(), "Dee".into())));
        assert_eq!((kept_by(&one, &here), kept_by(&one, &new)), (1, 1));
        assert_eq!(one.people().len(), 4, "{:?}", one.people());
        assert_eq!(one.aboard().len(), 2, "aboard there is not aboard here");
        // So is the user who is given the name of one aboard there, also where nobody is known yet.
        let mut fresh = Book::default();
        fresh.take_copy(copy(&other), Some((names.draw(), "Bo".into())));
        assert_eq!(fresh.people().len(), 3, "{:?}", fresh.people());
        // Aboard there is not aboard here.
        assert_eq!(fresh.aboard().len(), 1);
        // Somebody else of a name that is known is that person.
        let more = copy(&book(3, 2).0);
        one.take_copy(more, Some((names.draw(), "BO".into())));
        assert_eq!((kept_by(&one, &here), one.people().len()), (3, 4));
    }

    #[test]
    fn one_person_with_two_phones_is_one() {
        let ((mut one, _), (other, _)) = (book(1, 5), book(2, 4));
        one.take_copy(copy(&other), None);
        assert_eq!(kept_by(&one, &Id::first_person()), 9);
        assert!(!one.must_ask_whose(&copy(&other)));
    }

    #[test]
    fn crabs_of_a_copy_that_were_taken_back_are_counted_for_the_words() {
        let (mut book, mut names) = (Book::default(), Names { seed: 7, given: 0 });
        for _ in 0..3 {
            keep(&mut book, &mut names);
        }
        let rows = |book: &Book| -> Vec<Row> { book.all_rows().map(|row| Row::clone(row)).collect() };
        let copy = rows(&book);
        assert_eq!(book.taken_back_since(&copy), 0);
        book.undo();
        book.undo();
        assert_eq!(book.taken_back_since(&copy), 2);
        assert_eq!(book.taken_back_since(&rows(&book)), 0, "the copy knows it too");
        let later: Vec<Row> = copy.into_iter().map(|row| Row { revision: row.revision + 9, ..row }).collect();
        assert_eq!(book.taken_back_since(&later), 0, "the later version holds");
    }
}
