//! What limits ask of the book: how much of each kind a person, or the boat, kept on a day.

use jiff::civil::Date;

use super::book::Book;
use super::rows::{CrabEntry, End, Id, Licence, Person, What};
use super::shelves::Shelf;
use crate::decide::{CatchSoFar, KeptCount, LicenceWord, Traits};
use crate::rules::RuleInForce;
use crate::rules::facts::Holder;

impl Book {
    /// The crabs that were kept on `day`, by whoever, in order.
    pub fn kept_on(&self, day: Date) -> Vec<(&Id, &Id, &CrabEntry)> {
        let kept = self.crabs_on(day).filter_map(|(id, crab)| match &crab.end {
            End::Kept { by, .. } => Some((id, by, crab)),
            End::Released(_) => None,
        });
        kept.collect()
    }

    /// What a person holds of earlier days, as they said on `day`: kind and count.
    pub fn earlier_of(&self, person: &Id, day: Date) -> Vec<(&str, u32)> {
        let said = self.shelf(Shelf::Earlier(day)).filter_map(|row| match &row.what {
            What::Earlier(said) if said.person == *person => Some((said.kind.as_str(), said.count?)),
            _ => None,
        });
        said.collect()
    }

    /// The catch of `person` on `day` as limits count it, without the crab of row `but`: what this person kept, and
    /// what all on this boat kept. A person with a licence of their own counts for it alone.
    pub fn catch_of(&self, person: &Id, day: Date, but: Option<&Id>) -> CatchSoFar {
        let own_licence =
            self.people().into_iter().any(|(id, whose)| id == *person && whose.licence == Licence::Has);
        let mut counted = vec![Holder::Person, Holder::Boat];
        if own_licence {
            counted.push(Holder::Licence);
        }
        let mut kept = Vec::new();
        for (id, by, crab) in self.kept_on(day) {
            let Some(kind) = crab.kind.as_ref().filter(|_| Some(id) != but) else { continue };
            for &holder in &counted {
                if holder == Holder::Boat || by == person {
                    let traits = crab.traits;
                    kept.push(KeptCount { holder, species: kind.clone(), traits, today: 1, earlier: None });
                }
            }
        }
        for (kind, count) in self.earlier_of(person, day) {
            let species = kind.to_owned();
            let traits = Traits::default();
            kept.push(KeptCount { holder: Holder::Person, species, traits, today: 0, earlier: Some(count) });
        }
        CatchSoFar { kept, counted, ..CatchSoFar::default() }
    }

    /// What is said of the licence of `person`, and of each aboard, for the water of `rule` on `day`.
    pub fn licences_of(&self, person: &Id, rule: &RuleInForce, day: Date) -> (LicenceWord, Vec<LicenceWord>) {
        let word = |person: &Person| match person.licence_in(&rule.pack, &rule.area, day.year()) {
            Licence::NotSaid => LicenceWord::NotSaid,
            Licence::Has => LicenceWord::Held,
            Licence::HasNone => LicenceWord::NotHeld,
            Licence::NeedsNone => LicenceWord::NeedsNone,
        };
        let own = self.people().iter().find(|(id, _)| id == person).map(|(_, whose)| word(whose));
        (own.unwrap_or_default(), self.aboard().iter().map(|(_, whose)| word(whose)).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::StepName;
    use crate::day::book::Names;

    /// Only who said that they have a licence of their own has their catch counted for one.
    #[test]
    fn a_licence_counts_for_who_has_one() {
        let day = jiff::civil::date(2026, 7, 15);
        let (mut book, mut names) = (Book::default(), Names { seed: 5, given: 0 });
        let id = names.draw();
        for (licence, counts) in [
            (Licence::Has, true),
            (Licence::HasNone, false),
            (Licence::NeedsNone, false),
            (Licence::NotSaid, false),
        ] {
            let person = Person { name: "Ada".into(), is_aboard: true, licence, licence_for: None };
            book.step(&mut names, StepName::Person, day, vec![(id.clone(), What::Person(person))]);
            assert_eq!(book.catch_of(&id, day, None).counted.contains(&Holder::Licence), counts);
        }
    }
}
