//! Who is aboard, as the book has it.

use super::book::Book;
use super::rows::{Id, Licence, Person, What, same_name};
use super::shelves::Shelf;

impl Book {
    /// The persons, the one who uses the page first.
    pub fn people(&self) -> Vec<(Id, Person)> {
        let mut people: Vec<(Id, Person)> = self
            .shelf(Shelf::People)
            .filter_map(|row| match &row.what {
                What::Person(person) => Some((row.id.clone(), person.clone())),
                _ => None,
            })
            .collect();
        let first = Id::first_person();
        match people.iter().position(|(id, _)| *id == first) {
            Some(at) => people[..=at].rotate_right(1),
            None => {
                let you = Person {
                    name: "You".into(),
                    is_aboard: true,
                    licence: Licence::NotSaid,
                    licence_for: None,
                };
                people.insert(0, (first, you));
            }
        }
        people
    }

    /// The person of a name, whatever its capitals.
    pub fn person_named(&self, name: &str) -> Option<(Id, Person)> {
        self.people().into_iter().find(|(_, person)| same_name(&person.name, name))
    }

    /// Those aboard; the person who uses the page where nobody is said to be.
    pub fn aboard(&self) -> Vec<(Id, Person)> {
        let people = self.people();
        let aboard: Vec<_> = people.iter().filter(|(_, person)| person.is_aboard).cloned().collect();
        if aboard.is_empty() { people.into_iter().take(1).collect() } else { aboard }
    }

    /// What a person is called.
    pub fn name_of(&self, person: &Id) -> String {
        let found = self.people().into_iter().find(|(id, _)| id == person);
        found.map_or_else(|| "Somebody no longer listed".to_owned(), |(_, person)| person.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::book::Names;
    use crate::day::rows::StepName;

    const DAY: jiff::civil::Date = jiff::civil::date(2026, 7, 15);

    #[test]
    fn there_is_always_a_person() {
        let (mut book, mut names) = (Book::default(), Names { seed: 7, given: 0 });
        assert_eq!(book.aboard().len(), 1);
        let ashore = Person { name: "Me".into(), is_aboard: false, licence: Licence::Has, licence_for: None };
        book.step(&mut names, StepName::Person, DAY, vec![(Id::first_person(), What::Person(ashore))]);
        assert_eq!(book.aboard()[0].1.name, "Me");
    }
}
