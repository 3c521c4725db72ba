//! The double-check of the chosen day, with the rules that the crabs were caught under.

use std::cell::RefCell;
use std::collections::HashMap;

use crate::day::record::{Flag, PersonDay};
use crate::day::{CrabEntry, Id};
use crate::rules::RuleInForce;
use crate::session::{PartLine, Session};

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
        for person_day in &mut days {
            let flags = self.over_parts(&person_day.person, &rule_of);
            person_day.flags.extend(flags);
        }
        // A day that is over is not done with before its crabs are written down.
        let earlier =
            (1..=DAYS_BACK).filter_map(|back| self.date().checked_sub(jiff::Span::new().days(back)).ok());
        for day in earlier {
            let of_day = self.book.double_check(day, &rule_of, &|_, _| None);
            days.extend(of_day.into_iter().filter(|person| !person.unwritten.is_empty()));
        }
        days
    }

    /// The limits on parts that a person has passed on the day of the catch, or the boat with them, under the rules that
    /// the crabs were caught under.
    fn over_parts(&self, person: &Id, rule_of: &dyn Fn(&CrabEntry) -> Option<RuleInForce>) -> Vec<Flag> {
        let mut flags = Vec::new();
        for (_, _, crab) in self.book.kept_on(self.date()).into_iter().filter(|(_, by, _)| *by == person) {
            let Some(rule) = rule_of(crab) else { continue };
            let over = self.part_lines(person, &rule).into_iter().filter(|line| line.kept > line.limit);
            for PartLine { kept, limit, of, is_of_boat } in over {
                let of = if is_of_boat { format!("the whole boat, {of}") } else { of };
                let flag = Flag::OverPart { kept, limit, kind: rule.species_name.clone(), of };
                if !flags.contains(&flag) {
                    flags.push(flag);
                }
            }
        }
        flags
    }

    /// How many crabs of the day and of those just before are to be written on the official record and are not ticked.
    pub(in crate::session) fn unwritten(&self) -> usize {
        self.double_check().iter().map(|person| person.unwritten.len()).sum()
    }
}
