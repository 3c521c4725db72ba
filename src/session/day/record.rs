//! The double-check of the chosen day, with the rules that the crabs were caught under.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use jiff::civil::Date;

use crate::day::record::{Duty, Flag, PersonDay, duty_of};
use crate::day::rows::Water;
use crate::day::{CrabEntry, Id};
use crate::rules::RuleInForce;
use crate::session::{PartLine, Session};

/// Pack, area and species id.
type WaterAndKind = (String, String, String);

/// Which crabs go on the record. It is asked of each kept crab of the book at every drawing, and most were caught under a
/// handful of rules: each is looked up once, and nothing is copied for a crab of a rule that is known.
#[derive(Default)]
struct Duties(RefCell<Vec<(Water, String, bool)>>);

impl Duties {
    fn is_due(&self, session: &Session, crab: &CrabEntry) -> bool {
        // Where nobody said the kind, it is to be looked up.
        let Some(kind) = &crab.kind else { return true };
        let Water { pack, area, .. } = &crab.water;
        let mut known = self.0.borrow_mut();
        let found = known
            .iter()
            .find(|(water, known, _)| water.area == *area && water.pack == *pack && known == kind);
        if let Some((_, _, is_due)) = found {
            return *is_due;
        }
        let rule = session.rules.rule_at(pack, area, kind);
        let is_due = duty_of(rule.as_ref()) != Duty::NotRequired;
        known.push((crab.water.clone(), kind.clone(), is_due));
        is_due
    }
}

impl Session {
    /// Each person's day before it goes on the official record.
    pub fn double_check(&self) -> Vec<PersonDay> {
        // Most crabs were caught under a handful of rules: each is looked up once.
        let known: RefCell<HashMap<WaterAndKind, Option<Rc<RuleInForce>>>> = RefCell::default();
        let rule_of = |crab: &CrabEntry| {
            let key = (crab.water.pack.clone(), crab.water.area.clone(), crab.kind.clone()?);
            let mut known = known.borrow_mut();
            let found = known
                .entry(key)
                .or_insert_with_key(|(pack, area, kind)| self.rules.rule_at(pack, area, kind).map(Rc::new));
            found.clone()
        };
        let mut days =
            self.book.double_check(self.date(), &rule_of, &|person, kind| self.daily_count(person, kind));
        for person_day in &mut days {
            let flags = self.over_parts(&person_day.person, &rule_of);
            person_day.flags.extend(flags);
        }
        // A day that is over is not done with before its crabs are written down, however long ago it was.
        let earlier = self.unwritten_days().filter(|(day, _)| *day < self.date());
        for (day, _) in earlier {
            let of_day = self.book.double_check(day, &rule_of, &|_, _| None);
            days.extend(of_day.into_iter().filter(|person| !person.unwritten.is_empty()));
        }
        days
    }

    /// The limits on parts that a person has passed on the day of the catch, or the boat with them, under the rules that
    /// the crabs were caught under.
    fn over_parts(&self, person: &Id, rule_of: &dyn Fn(&CrabEntry) -> Option<Rc<RuleInForce>>) -> Vec<Flag> {
        let mut flags = Vec::new();
        for (_, _, crab) in self.book.kept_on(self.date()).into_iter().filter(|(_, by, _)| *by == person) {
            let Some(rule) = rule_of(crab) else { continue };
            let over = self.part_lines(person, &rule).into_iter().filter(|line| line.kept > line.limit);
            for PartLine { kept, limit, of, is_of_boat, .. } in over {
                let of = if is_of_boat { format!("the whole boat, {of}") } else { of };
                let flag = Flag::OverPart { kept, limit, kind: rule.species_name.clone(), of };
                if !flags.contains(&flag) {
                    flags.push(flag);
                }
            }
        }
        flags
    }

    /// How many crabs of the day and of all before are to be written on the official record and are not ticked.
    pub(in crate::session) fn unwritten(&self) -> usize {
        self.unwritten_days().map(|(_, count)| count).sum()
    }

    /// The days up to the day of the catch that have crabs to be written on the record, the last first, with how many.
    fn unwritten_days(&self) -> impl Iterator<Item = (Date, usize)> {
        let duties = Duties::default();
        let days = self.book.days().filter(|day| *day <= self.date());
        days.filter_map(move |day| {
            let count = self.book.unwritten_on(day, &|crab| duties.is_due(self, crab));
            (count > 0).then_some((day, count))
        })
    }
}
