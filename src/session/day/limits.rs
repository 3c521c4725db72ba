//! Who may keep what: each person's count against the limits of the rule in force.

use super::boat::BoatLine;
use super::parts::PartLine;
use crate::day::{Book, Id};
use crate::decide::{Answer, Answers, BagLimit, Call, Verdict, Whose, bag_limits, decide};
use crate::rules::facts::{Facts, Holder, Period};
use crate::rules::pack::ANY_CRAB;
use crate::session::words::pots_words;
use crate::session::{Screen, Session};

/// One line of the count, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptLine {
    /// Whose.
    pub person: Id,
    /// What they are called; none where there is one person aboard.
    pub name: Option<String>,
    /// Name of the kind.
    pub kind: String,
    /// Kept today of it, and of the kinds that count towards the same limit.
    pub kept: u32,
    /// All that were kept today of this kind, also those that the limit does not count.
    pub all: u32,
    /// A person's daily limit, where the rule gives one.
    pub limit: Option<u32>,
    /// Names of the kinds that count towards the same limit.
    pub together_with: Vec<String>,
    /// The limit on what is held, which counts earlier days too, where the rule gives one.
    pub held: Option<HeldLine>,
    /// Limits on parts of the catch, or for some only, with what counts towards them.
    pub parts: Vec<PartLine>,
}

/// One limit on what is held, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldLine {
    /// Whose.
    pub person: Id,
    /// Species id.
    pub species: String,
    /// A person's limit on what is held.
    pub limit: u32,
    /// Held from earlier days, where the person said.
    pub earlier: Option<u32>,
}

/// A person aboard, before the crab in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Keeper {
    /// Who.
    pub person: Id,
    /// What they are called.
    pub name: String,
    /// The verdict says keep where this person's catch is counted.
    pub may: bool,
    /// Kept today of the kind, and the daily limit.
    pub count: Option<(u32, u32)>,
}

/// What the book says of the day of the catch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayCounts {
    /// One line for each person and kind.
    pub lines: Vec<KeptLine>,
    /// One line for each limit of the boat.
    pub boat: Vec<BoatLine>,
    /// Crabs kept that stand in no line.
    pub beside: usize,
    /// All that were kept, of every kind, by all.
    pub all: usize,
    /// Crabs to be written on the official record.
    pub unwritten: usize,
    /// More pots are in the water than the rule allows here, in words.
    pub pots_over: Option<String>,
}

/// Pots in the water, beside what the rule allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PotCount {
    /// In the water.
    pub out: u32,
    /// Allowed for so many persons.
    pub most: u32,
    /// Persons aboard, at least one.
    pub persons: u32,
}

impl PotCount {
    /// None where the rule counts no pots.
    pub fn of(book: &Book, facts: &Facts) -> Option<Self> {
        let count = |things: usize| u32::try_from(things).unwrap_or(u32::MAX);
        let out = count(book.pots().iter().filter(|(_, pot)| pot.set.is_some()).count());
        let persons = count(book.aboard().len()).max(1);
        Some(Self { out, most: facts.most_pots(persons)?, persons })
    }

    /// One more is too many.
    pub fn is_full(&self) -> bool {
        self.out >= self.most
    }
}

/// Those for whom the crab is recorded as kept only with a reason: the verdict is not keep where their catch is counted.
pub fn keepers_with_a_reason(keepers: &[Keeper]) -> Vec<Keeper> {
    keepers.iter().filter(|keeper| !keeper.may).cloned().collect()
}

impl Session {
    /// What is kept and what is left; none until the rows are read, since before then every number would be a guess.
    pub fn counts(&self) -> Option<DayCounts> {
        let lines = self.day_is_loaded.then(|| self.kept_lines())?;
        Some(DayCounts {
            boat: self.boat_lines(),
            beside: self.kept_beside(&lines),
            all: self.all_kept(),
            unwritten: self.unwritten(),
            pots_over: self.pots_over(),
            lines,
        })
    }

    /// What is said where more pots are in the water than the rule allows the persons aboard.
    fn pots_over(&self) -> Option<String> {
        let pots = PotCount::of(&self.book, &self.rules.rule_of(ANY_CRAB)?.facts)?;
        (pots.out > pots.most).then(|| pots_words(pots))
    }

    /// True where all of the screen in sight hangs on rows that are not read yet. A verdict does: it counts what each
    /// person has.
    pub fn waits_for_the_day(&self) -> bool {
        let hangs = matches!(self.screen, Screen::Record | Screen::Crabs | Screen::Aboard | Screen::Verdict);
        hangs && !self.day_is_loaded
    }

    /// The person whose catch the verdict counts: the first aboard who may keep the crab, else the first aboard.
    pub fn whom(&self) -> Id {
        let aboard = self.book.aboard();
        let first = aboard.first().map_or_else(Id::first_person, |(id, _)| id.clone());
        if aboard.len() < 2 {
            return first;
        }
        let kind = self.crab.answers.kind.given();
        let has_room = |id: &Id| {
            kind.and_then(|kind| self.daily_count(id, kind)).is_none_or(|(kept, limit)| kept < limit)
        };
        let ids: Vec<Id> = aboard.into_iter().map(|(id, _)| id).collect();
        // While checks are open nobody may keep it yet: it is judged for one whose count is not full.
        let may_keep = ids.iter().find(|id| self.may_be_kept_by(id));
        may_keep.or_else(|| ids.iter().find(|id| has_room(id))).cloned().unwrap_or(first)
    }

    /// True where the verdict is keep when this person's catch is counted.
    pub fn may_be_kept_by(&self, person: &Id) -> bool {
        let Some(rule) = self.rules.in_force.as_ref() else { return false };
        let outcome = self.with_case_for(person, rule, &self.crab.answers, decide);
        outcome.verdict().map(Verdict::call) == Some(Call::Keep)
    }

    /// Each person aboard, with whether they may keep the crab in hand.
    pub fn keepers(&self) -> Vec<Keeper> {
        let kind = self.crab.answers.kind.given();
        let keeper = |(person, named): (Id, crate::day::Person)| Keeper {
            may: self.may_be_kept_by(&person),
            count: kind.and_then(|kind| self.daily_count(&person, kind)),
            person,
            name: named.name,
        };
        self.book.aboard().into_iter().map(keeper).collect()
    }

    /// What a person kept of a kind on the day of the catch, and their daily limit for it.
    pub fn daily_count(&self, person: &Id, kind: &str) -> Option<(u32, u32)> {
        let line = self.kept_line(person, None, kind)?;
        Some((line.kept, line.limit?))
    }

    /// Crabs kept on the day of the catch, of every kind, by all.
    pub(in crate::session) fn all_kept(&self) -> usize {
        self.book.kept_on(self.date()).len()
    }

    /// Crabs kept on the day that stand in no line: of no kind that was said, or of one without a rule here.
    pub(in crate::session) fn kept_beside(&self, lines: &[KeptLine]) -> usize {
        self.all_kept().saturating_sub(lines.iter().map(|line| line.all as usize).sum())
    }

    /// The count of the answered kind and of all that were kept on the day, for each person aboard and each who kept.
    pub(in crate::session) fn kept_lines(&self) -> Vec<KeptLine> {
        let day = self.date();
        let kept = self.book.kept_on(day);
        let mut persons: Vec<(Id, String)> =
            self.book.aboard().into_iter().map(|(id, person)| (id, person.name)).collect();
        for (_, by, _) in &kept {
            if !persons.iter().any(|(id, _)| id == *by) {
                persons.push(((*by).clone(), self.book.name_of(by)));
            }
        }
        let in_hand = self.crab.answers.kind.given();
        let is_one = persons.len() == 1;
        let mut lines = Vec::new();
        for (person, name) in persons {
            let mut kinds: Vec<String> = Vec::new();
            let own =
                kept.iter().filter(|(_, by, _)| **by == person).filter_map(|(_, _, crab)| crab.kind.clone());
            let earlier = self.book.earlier_of(&person, day).into_iter().map(|(kind, _)| kind.to_owned());
            for kind in own.chain(earlier).chain(in_hand.cloned()) {
                if !kinds.contains(&kind) {
                    kinds.push(kind);
                }
            }
            let name = (!is_one).then_some(name);
            lines.extend(kinds.iter().filter_map(|kind| self.kept_line(&person, name.clone(), kind)));
        }
        lines
    }

    fn kept_line(&self, person: &Id, name: Option<String>, kind: &str) -> Option<KeptLine> {
        let rule = self.rules.rule_of(kind)?;
        let day = self.date();
        // What was answered of the crab in hand says which limits are its own; of a kind in general nothing is known.
        let is_in_hand = self.crab.answers.kind.given().is_some_and(|given| given == kind);
        let of_any = || Answers { kind: Answer::Given(kind.to_owned()), ..Answers::default() };
        let answers = if is_in_hand { self.crab.answers.clone() } else { of_any() };
        let (daily, held, together_with) = self.with_case_for(person, &rule, &answers, |case| {
            let limits: Vec<BagLimit<'_>> = bag_limits(case).into_iter().filter(is_for_all_persons).collect();
            let daily = tightest(&limits, Period::Day);
            let others = daily.map(|(_, bag)| bag.limit.together_with.clone()).unwrap_or_default();
            let daily = daily.map(|(most, bag)| (most, bag.kept));
            (daily, tightest(&limits, Period::Possession).map(|(most, _)| most), others)
        });
        let own = |wanted: &dyn Fn(&str) -> bool| {
            let all = self.book.kept_on(day);
            let of =
                all.iter().filter(|(_, by, crab)| *by == person && crab.kind.as_deref().is_some_and(wanted));
            u32::try_from(of.count()).unwrap_or(u32::MAX)
        };
        let is_own = self.crab.row.as_ref().is_some_and(|row| {
            self.book.kept_on(day).into_iter().any(|(id, by, _)| id == row && by == person)
        });
        let in_hand = self.crab.answers.kind.given().filter(|_| is_own);
        let counts = |given: &String| given == kind || together_with.contains(given);
        let is_counted_in = u32::from(in_hand.is_some_and(counts));
        Some(KeptLine {
            person: person.clone(),
            name,
            // The crab in hand does not stand against itself, but it is among those kept.
            kept: daily.map_or_else(|| own(&|of| of == kind), |(_, kept)| kept.saturating_add(is_counted_in)),
            all: own(&|of| of == kind),
            limit: daily.map(|(most, _)| most),
            together_with: together_with
                .iter()
                .filter(|other| *other != kind)
                .filter_map(|other| Some(self.rules.rule_of(other)?.species_name))
                .collect(),
            held: held.map(|limit| HeldLine {
                person: person.clone(),
                species: kind.to_owned(),
                limit,
                earlier: self
                    .book
                    .earlier_of(person, day)
                    .into_iter()
                    .find(|(of, _)| *of == kind)
                    .map(|(_, n)| n),
            }),
            parts: self.part_lines(person, &rule),
            kind: rule.species_name.clone(),
        })
    }
}

/// The smallest number among the limits of a period.
pub(super) fn tightest<'a>(limits: &[BagLimit<'a>], per: Period) -> Option<(u32, BagLimit<'a>)> {
    let of_period = limits.iter().filter(|bag| bag.limit.per == per);
    of_period.filter_map(|bag| Some((bag.most?, *bag))).min_by_key(|(most, _)| *most)
}

/// A limit that each person holds: whatever their licence, or by what they said of it.
fn is_for_all_persons(bag: &BagLimit<'_>) -> bool {
    bag.limit.holder.known() == Some(&Holder::Person) && bag.whose == Whose::Theirs
}
