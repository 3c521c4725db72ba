//! The double-check of the chosen day, with the rules that the crabs were caught under.

use std::cell::RefCell;
use std::collections::HashMap;

use crate::day::CrabEntry;
use crate::day::record::PersonDay;
use crate::rules::RuleInForce;
use crate::session::Session;

/// So many days back what is still to be written is told of.
const DAYS_BACK: i64 = 14;

impl Session {
    /// Each person's day before it goes on the official record.
    pub fn double_check(&self) -> Vec<PersonDay> {
        // Most crabs of a fortnight were caught under a handful of rules: each is looked up once.
        let known: RefCell<HashMap<(String, String, String), Option<RuleInForce>>> = RefCell::default();
        let rule_of = |crab: &CrabEntry| {
            let key = (crab.water.pack.clone(), crab.water.area.clone(), crab.kind.clone()?);
            let mut known = known.borrow_mut();
            let found = known
                .entry(key)
                .or_insert_with_key(|(pack, area, kind)| self.rules.rule_at(pack, area, kind));
            found.clone()
        };
        let mut days =
            self.book.double_check(self.date(), &rule_of, &|person, kind| self.daily_count(person, kind));
        // A day that is over is not done with before its crabs are written down.
        let earlier =
            (1..=DAYS_BACK).filter_map(|back| self.date().checked_sub(jiff::Span::new().days(back)).ok());
        for day in earlier {
            let of_day = self.book.double_check(day, &rule_of, &|_, _| None);
            days.extend(of_day.into_iter().filter(|person| !person.unwritten.is_empty()));
        }
        days
    }

    /// How many crabs of the day and of those just before are to be written on the official record and are not ticked.
    pub(in crate::session) fn unwritten(&self) -> usize {
        self.double_check().iter().map(|person| person.unwritten.len()).sum()
    }
}
