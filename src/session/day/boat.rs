//! What all aboard kept against the limits that the boat holds.

use super::limits::tightest;
use crate::day::Id;
use crate::decide::{Answer, Answers, BagLimit, Whose, bag_limits};
use crate::rules::RuleInForce;
use crate::rules::facts::{Holder, Period};
use crate::session::Session;

/// One limit of the boat, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoatLine {
    /// Names of the kinds that count towards it.
    pub kinds: Vec<String>,
    /// Kept today towards it, by all aboard.
    pub kept: u32,
    /// The boat's daily limit.
    pub limit: u32,
}

impl Session {
    /// The limits that the boat has passed on the day of the catch, under the rules of the waters where the crabs were
    /// caught: another water that is looked at since makes no crab less.
    pub fn boat_over(&self) -> Vec<BoatLine> {
        let kept = self.book.kept_on(self.date());
        let caught = kept.iter().filter_map(|(_, _, crab)| {
            self.rules.rule_at(&crab.water.pack, &crab.water.area, crab.kind.as_ref()?)
        });
        self.lines_of(caught).into_iter().filter(|line| line.kept > line.limit).collect()
    }

    /// The boat's daily limits in the chosen water on the kinds that were kept on the day of the catch and on the one in
    /// hand, each once.
    pub(in crate::session) fn boat_lines(&self) -> Vec<BoatLine> {
        let kept = self.book.kept_on(self.date());
        let in_hand = self.crab.answers.kind.given();
        let kinds = kept.iter().filter_map(|(_, _, crab)| crab.kind.as_ref()).chain(in_hand);
        self.lines_of(kinds.filter_map(|kind| self.rules.rule_of(kind)))
    }

    fn lines_of(&self, rules: impl Iterator<Item = RuleInForce>) -> Vec<BoatLine> {
        let mut told: Vec<(String, Vec<String>, BoatLine)> = Vec::new();
        for rule in rules {
            let is_told = |(area, species, _): &(String, Vec<String>, BoatLine)| {
                *area == rule.area && species.contains(&rule.species)
            };
            if !told.iter().any(is_told)
                && let Some((species, line)) = self.boat_line(&rule)
            {
                told.push((rule.area, species, line));
            }
        }
        told.into_iter().map(|(_, _, line)| line).collect()
    }

    /// The boat's limit of a rule, with the species that count towards it.
    fn boat_line(&self, rule: &RuleInForce) -> Option<(Vec<String>, BoatLine)> {
        let answers = Answers { kind: Answer::Given(rule.species.clone()), ..Answers::default() };
        // Whoever is asked for, the boat's count is the same.
        let (limit, kept, together_with) =
            self.with_case_for(&Id::first_person(), rule, &answers, |case| {
                let of_boat: Vec<BagLimit<'_>> =
                    bag_limits(case).into_iter().filter(is_of_the_boat).collect();
                let (limit, bag) = tightest(&of_boat, Period::Day)?;
                Some((limit, bag.kept, bag.limit.together_with.clone()))
            })?;
        let mut species = vec![rule.species.clone()];
        species.extend(together_with.into_iter().filter(|other| *other != rule.species));
        // The crab in hand does not stand against itself, but it is among those kept.
        let is_in = |id: &Id, of: Option<&String>| {
            self.crab.row.as_ref() == Some(id) && of.is_some_and(|of| species.contains(of))
        };
        let in_hand =
            self.book.kept_on(self.date()).iter().any(|(id, _, crab)| is_in(id, crab.kind.as_ref()));
        let name = |kind: &String| Some(self.rules.rule_at(&rule.pack, &rule.area, kind)?.species_name);
        let kinds = species.iter().filter_map(name).collect();
        Some((species, BoatLine { kinds, kept: kept.saturating_add(u32::from(in_hand)), limit }))
    }
}

/// A limit that the boat holds: whoever is aboard, or by what was said of their licences.
fn is_of_the_boat(bag: &BagLimit<'_>) -> bool {
    bag.limit.holder.known() == Some(&Holder::Boat) && bag.whose == Whose::Theirs
}

#[cfg(test)]
mod tests {
    use std::rc::Rc;

    use super::*;
    use crate::day::{CrabEntry, StepName, What};
    use crate::session::tests::{after, start};
    use crate::session::{Action, Reply};

    /// A limit of the whole boat is no person's: who is told "5 of 5: full" of it would count the others' crabs as their
    /// own. Scottish zone: 5 for each unlicensed boat and day (SSI 2017/57, articles 2 and 5; the pack's own source).
    #[test]
    fn a_limit_of_the_boat_is_no_person_s() {
        let pack = include_str!("../../../www/rules/uk-sct.json");
        let choice = crate::rules::Choice::of("uk-sct", "scottish-zone");
        let kind = Action::Reply(Reply::Kind("brown".into()));
        let there = after(start(), [Action::ImportPack(pack.into()), Action::ChooseRule(choice), kind]);
        let lines = there.kept_lines();
        assert_eq!(lines.len(), 1, "{lines:?}");
        assert_eq!((lines[0].limit, lines[0].kind.as_str()), (None, "brown crab"));
        assert_eq!(there.daily_count(&Id::first_person(), "brown"), None);
        let boat = &there.boat_lines()[..];
        let [BoatLine { kept: 0, limit: 5, kinds }] = boat else { panic!("{boat:?}") };
        assert!(kinds.contains(&"brown crab".to_owned()) && kinds.len() > 1, "{kinds:?}");

        // Two of one kind by one person and one of another by the next are three of the boat's five, in one line.
        let mut three = there;
        let (you, bo) = (Id::first_person(), Id("bo".into()));
        let crabs = [("brown", &you), ("brown", &bo), ("velvet", &bo)];
        let rows = crabs.map(|(kind, by)| {
            let crab = CrabEntry::kept(Some(kind), by.clone(), three.moment());
            (three.names.draw(), What::Crab(Box::new(crab)))
        });
        let today = three.today;
        Rc::make_mut(&mut three.book).step(&mut three.names, StepName::Kept, today, rows.into());
        let boat = &three.boat_lines()[..];
        assert!(matches!(boat, [BoatLine { kept: 3, limit: 5, .. }]), "{boat:?}");
        assert!(three.boat_over().is_empty());
        // The crab in hand is among those kept.
        let last = three.book.crabs()[2].0.clone();
        three.crab.row = Some(last);
        assert_eq!(three.boat_lines()[0].kept, 3);
    }

    /// Six where the boat has five: told wherever one looks since, the limit is that of the water of the catch.
    #[test]
    fn a_boat_over_its_limit_is_told_under_the_rule_of_the_catch() {
        let pack = include_str!("../../../www/rules/uk-sct.json");
        let choice = crate::rules::Choice::of("uk-sct", "scottish-zone");
        let mut six = after(start(), [Action::ImportPack(pack.into()), Action::ChooseRule(choice)]);
        let rows = [(); 6].map(|()| {
            let mut crab = CrabEntry::kept(Some("brown"), Id::first_person(), six.moment());
            crab.water.pack = "uk-sct".into();
            crab.water.area = "scottish-zone".into();
            (six.names.draw(), What::Crab(Box::new(crab)))
        });
        let today = six.today;
        Rc::make_mut(&mut six.book).step(&mut six.names, StepName::Kept, today, rows.into());
        let elsewhere = crate::rules::Choice::of("us-wa", "puget-sound");
        for looked_at in [six.clone(), six.apply(Action::ChooseRule(elsewhere))] {
            let over = &looked_at.boat_over()[..];
            assert!(matches!(over, [BoatLine { kept: 6, limit: 5, .. }]), "{over:?}");
        }
    }
}
