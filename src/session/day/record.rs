//! The double-check of the chosen day, with the rules that the crabs were caught under.

use crate::day::record::PersonDay;
use crate::rules::RuleInForce;
use crate::session::Session;

impl Session {
    /// Each person's day before it goes on the official record.
    pub fn double_check(&self) -> Vec<PersonDay> {
        let rule_of = |crab: &crate::day::CrabEntry| {
            let pack = self.rules.pack(&crab.water.pack)?;
            RuleInForce::find(pack, &crab.water.area, crab.kind.as_deref()?)
        };
        self.book.double_check(self.date(), &rule_of, &|person, kind| self.daily_count(person, kind))
    }

    /// How many crabs of the day are to be written on the official record and are not ticked.
    pub fn unwritten(&self) -> usize {
        self.double_check().iter().map(|person| person.unwritten.len()).sum()
    }
}
