//! Limits on a part of the catch, or for some only: how many stand against each.

use crate::day::Id;
use crate::decide::{Answer, Answers, BagLimit, Traits, Whose, part_limits};
use crate::rules::RuleInForce;
use crate::rules::facts::{Holder, Period};
use crate::rules::words::InWords;
use crate::session::{DayCounts, KeptLine, Session};

/// One limit on a part, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartLine {
    /// Kept today that count, or of which it is not known whether they count; of the boat: by all aboard.
    pub kept: u32,
    /// The limit.
    pub limit: u32,
    /// Of what, and for whom: `hard, male; unlicensed person`.
    pub of: String,
    /// The boat holds it.
    pub is_of_boat: bool,
    /// A word on licences would tell whether it holds.
    pub is_to_say: bool,
}

impl DayCounts {
    /// Every part with its line, the boat's once.
    pub fn parts(&self) -> Vec<(&KeptLine, &PartLine)> {
        let mut told: Vec<(&KeptLine, &PartLine)> = Vec::new();
        for (line, part) in self.lines.iter().flat_map(|line| line.parts.iter().map(move |part| (line, part)))
        {
            let is_told = |(other, same): &(&KeptLine, &PartLine)| other.kind == line.kind && *same == part;
            if !part.is_of_boat || !told.iter().any(is_told) {
                told.push((line, part));
            }
        }
        told
    }
}

impl Session {
    /// The limits on parts of a kind that stand before a person: of several for the same crabs the smallest figure that may be
    /// theirs. Those that nothing counts towards are left out, unless the crab in hand does.
    pub(in crate::session) fn part_lines(&self, person: &Id, rule: &RuleInForce) -> Vec<PartLine> {
        let given = self.crab.answers.kind.given().filter(|kind| **kind == rule.species);
        let answers = match given {
            Some(_) => self.crab.answers.clone(),
            None => Answers { kind: Answer::Given(rule.species.clone()), ..Answers::default() },
        };
        let kept_by = self.crab.row.as_ref().and_then(|row| {
            self.book
                .kept_on(self.date())
                .into_iter()
                .find(|(id, _, _)| *id == row)
                .map(|(_, by, _)| by.clone())
        });
        // The crab in hand does not stand against itself, but it is among those kept.
        let in_hand = |bag: &BagLimit<'_>, is_of_boat: bool| {
            let is_theirs = kept_by.as_ref().is_some_and(|by| is_of_boat || by == person);
            let is_kind = self
                .crab
                .answers
                .kind
                .given()
                .is_some_and(|kind| *kind == rule.species || bag.limit.together_with.contains(kind));
            let traits = Traits::of(&self.crab.answers);
            u32::from(is_theirs && is_kind && traits.may_be(bag.limit.amount.when.as_ref()))
        };
        self.with_case_for(person, rule, &answers, |case| {
            let mut told: Vec<(BagLimit<'_>, PartLine)> = Vec::new();
            for (bag, is_the_crabs) in part_limits(case) {
                let holder = bag.limit.holder.known().copied();
                let is_counted = matches!(holder, None | Some(Holder::Person | Holder::Boat));
                let Some(limit) = bag.most.filter(|_| is_counted && bag.limit.per == Period::Day) else {
                    continue;
                };
                let is_of_boat = holder == Some(Holder::Boat);
                let kept = bag.kept.saturating_add(in_hand(&bag, is_of_boat));
                if kept == 0 && !(is_the_crabs && given.is_some()) {
                    continue;
                }
                let is_to_say = bag.whose == Whose::ToSay;
                let line = PartLine { kept, limit, of: of_words(&bag), is_of_boat, is_to_say };
                let is_same = |(other, _): &&mut (BagLimit<'_>, PartLine)| {
                    other.limit.amount.when == bag.limit.amount.when
                        && other.limit.holder.known() == bag.limit.holder.known()
                };
                match told.iter_mut().find(is_same) {
                    Some(smaller) if smaller.1.limit > limit => *smaller = (bag, line),
                    Some(_) => {}
                    None => told.push((bag, line)),
                }
            }
            told.into_iter().map(|(_, line)| line).collect()
        })
    }
}

fn of_words(bag: &BagLimit<'_>) -> String {
    let when = bag.limit.amount.when.as_ref().map(InWords::in_words);
    let holder = bag.limit.holder.known().is_none().then(|| "whoever holds it".to_owned());
    let parts = [when, bag.limit.condition.clone(), holder];
    parts.into_iter().flatten().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use std::rc::Rc;

    use super::*;
    use crate::day::record::Flag;
    use crate::day::{CrabEntry, StepName, What};
    use crate::rules::when::{Sex, Stage};
    use crate::session::Action;
    use crate::session::tests::{after, start};
    use crate::session::words::part_words;

    fn there(pack: &str, id: &str, area: &str, kind: &str, traits: Traits, count: usize) -> Session {
        let choice = crate::rules::Choice::of(id, area);
        let mut session = after(start(), [Action::ImportPack(pack.into()), Action::ChooseRule(choice)]);
        let rows = (0..count).map(|_| {
            let mut crab = CrabEntry::kept(Some(kind), Id::first_person(), session.moment());
            crab.water.pack = id.into();
            crab.water.area = area.into();
            crab.traits = traits;
            (session.names.draw(), What::Crab(Box::new(crab)))
        });
        let rows: Vec<_> = rows.collect();
        let today = session.today;
        Rc::make_mut(&mut session.book).step(&mut session.names, StepName::Kept, today, rows);
        session
    }

    /// Maryland, the Chesapeake: 24 male hard crabs for an unlicensed person, and 24 for a boat with one such aboard (us-md,
    /// COMAR 08.02.03, seen): the day tells both figures with whom they are for, the record that they are passed.
    #[test]
    fn a_limit_for_some_only_stands_on_the_day_and_on_the_record() {
        let pack = include_str!("../../../www/rules/us-md.json");
        let traits = Traits { sex: Some(Sex::Male), maturity: None, stage: Some(Stage::Hard) };
        let days = |count| there(pack, "us-md", "chesapeake-bay", "blue", traits, count);
        let counts = days(27).counts().expect("a book that is read");
        let told: Vec<String> =
            counts.parts().into_iter().map(|(line, part)| part_words(part, &line.kind)).collect();
        assert_eq!(
            told,
            [
                "27 of 24: 3 over the limit (blue crab; hard, male; unlicensed person)",
                "The whole boat: 27 of 24: 3 over the limit (blue crab; one unlicensed person aboard)",
            ]
        );
        let flags = |count| {
            let all = days(count).double_check();
            let is_part = |flag: &&Flag| matches!(flag, Flag::OverPart { kept: 27, limit: 24, .. });
            all[0].flags.iter().filter(is_part).count()
        };
        assert_eq!([flags(24), flags(27)], [0, 2]);
    }

    /// The same water, by what is said of the licence (us-md, COMAR 08.02.03, seen: with a licence 6 dozen male hard crabs,
    /// or a bushel, and the boat as much; without one 2 dozen): only that word, for this water and this year, lifts the
    /// smaller limit.
    #[test]
    fn a_word_on_the_licence_chooses_the_limit() {
        use crate::day::rows::{Licence, LicenceFor};
        use crate::session::DayAct;
        let pack = include_str!("../../../www/rules/us-md.json");
        let traits = Traits { sex: Some(Sex::Male), maturity: None, stage: Some(Stage::Hard) };
        let here = there(pack, "us-md", "chesapeake-bay", "blue", traits, 0);
        let year = here.date().year();
        let told = |licence, area: &str, year, aboard: &[Licence], count| {
            let mut day = there(pack, "us-md", "chesapeake-bay", "blue", traits, count);
            let licence_for = Some(LicenceFor { pack: "us-md".into(), area: area.into(), year });
            for (at, licence) in std::iter::once(&licence).chain(aboard).enumerate() {
                let (id, name) = if at == 0 { (Some(Id::first_person()), "You") } else { (None, "Bo") };
                let person = crate::day::Person {
                    name: name.into(),
                    is_aboard: true,
                    licence: *licence,
                    licence_for: licence_for.clone(),
                };
                day = day.apply(Action::Day(DayAct::Person(id, person)));
            }
            let counts = day.counts().expect("a book that is read");
            let yours =
                |(line, part): &(&KeptLine, &PartLine)| part.is_of_boat || line.person == Id::first_person();
            let parts: Vec<_> = counts
                .parts()
                .into_iter()
                .filter(yours)
                .map(|(_, part)| (part.limit, part.is_of_boat, part.is_to_say))
                .collect();
            let boat: Vec<u32> = counts.boat.iter().map(|line| line.limit).collect();
            (parts, boat)
        };
        let strict = (vec![(24, false, true), (24, true, true)], vec![]);
        assert_eq!(told(Licence::NotSaid, "chesapeake-bay", year, &[], 25), strict);
        assert_eq!(told(Licence::Has, "coastal-bays", year, &[], 25), strict, "another water's");
        assert_eq!(told(Licence::Has, "chesapeake-bay", year - 1, &[], 25), strict, "last year's");
        let exempt = (vec![(24, false, false), (24, true, false)], vec![]);
        assert_eq!(told(Licence::NeedsNone, "chesapeake-bay", year, &[], 25), exempt);
        let licensed = (vec![(72, false, false), (72, true, false)], vec![]);
        assert_eq!(told(Licence::Has, "chesapeake-bay", year, &[], 25), licensed);
        let two = (vec![(72, false, false), (144, true, false)], vec![]);
        assert_eq!(told(Licence::Has, "chesapeake-bay", year, &[Licence::Has], 25), two);
        // One with and one without: the rule does not say which limit the boat has.
        let mixed = (vec![(72, false, false), (24, true, false)], vec![]);
        assert_eq!(told(Licence::Has, "chesapeake-bay", year, &[Licence::HasNone], 25), mixed);
        // Without one the limit is theirs, and the boat's.
        let without = (vec![(24, false, false)], vec![24]);
        assert_eq!(told(Licence::HasNone, "chesapeake-bay", year, &[], 25), without);
    }

    /// Geographe Bay: at most 5 of a person's 10 and 10 of the boat's 20 may be female (au-wa, seen).
    #[test]
    fn females_are_counted_apart_and_males_are_none_of_them() {
        let pack = include_str!("../../../www/rules/au-wa.json");
        let of = |sex, count| {
            let traits = Traits { sex, ..Traits::default() };
            let session = there(pack, "au-wa", "geographe-bay", "blue-swimmer", traits, count);
            let counts = session.counts().expect("a book that is read");
            counts.parts().into_iter().map(|(line, part)| part_words(part, &line.kind)).collect::<Vec<_>>()
        };
        let wanted = [
            "7 of 5: 2 over the limit (blue swimmer crab; female)",
            "The whole boat: 7 of 10: 3 left (blue swimmer crab; female)",
        ];
        assert_eq!(of(Some(Sex::Female), 7), wanted);
        assert_eq!(of(None, 7), wanted, "not said: may be");
        assert_eq!(of(Some(Sex::Male), 7), [""; 0]);
    }
}
