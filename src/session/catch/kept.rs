//! How many crabs were kept today: a plain count, so that daily limits hold. No record of the catch.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::decide::{Call, CatchSoFar, KeptCount, Verdict};
use crate::rules::facts::{Amount, Holder, Limit, Period};

use crate::session::Session;

/// The kinds kept on one day by one person, in the order of keeping.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptToday {
    /// The day that is counted.
    pub day: Date,
    /// A species id for each crab.
    pub kinds: Vec<String>,
    /// Of earlier days and still held, by species id, as the person said today. A new day asks anew: a
    /// freezer empties without this program.
    #[serde(default)]
    pub earlier: BTreeMap<String, u32>,
}

/// One line of the count, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptLine {
    /// Name of the kind.
    pub kind: String,
    /// Kept today of it, and of the kinds that count towards the same limit.
    pub kept: u32,
    /// A person's daily limit, where the rule gives one.
    pub limit: Option<u32>,
    /// Names of the kinds that count towards the same limit.
    pub together_with: Vec<String>,
    /// The limit on what is held, which counts earlier days too, where the rule gives one.
    pub held: Option<HeldLine>,
}

/// One limit on what is held, for the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldLine {
    /// Species id.
    pub species: String,
    /// A person's limit on what is held.
    pub limit: u32,
    /// Held from earlier days, where the person said.
    pub earlier: Option<u32>,
}

impl KeptToday {
    /// Nothing kept yet on `day`.
    pub fn none(day: Date) -> Self {
        Self { day, kinds: Vec::new(), earlier: BTreeMap::new() }
    }

    fn of(&self, kind: &str) -> u32 {
        let count = self.kinds.iter().filter(|kept| *kept == kind).count();
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// Each kind once, in the order of first keeping; then those held from earlier days only.
    fn each(&self) -> Vec<&str> {
        let mut each: Vec<&str> = Vec::new();
        for kind in &self.kinds {
            if !each.contains(&kind.as_str()) {
                each.push(kind);
            }
        }
        each.extend(self.earlier.keys().map(String::as_str).filter(|kind| self.of(kind) == 0));
        each
    }

    fn as_catch(&self) -> CatchSoFar {
        let count = |kind: &str| {
            let earlier = self.earlier.get(kind).copied();
            KeptCount { holder: Holder::Person, species: kind.to_owned(), today: self.of(kind), earlier }
        };
        CatchSoFar { kept: self.each().into_iter().map(count).collect(), counted: vec![Holder::Person] }
    }
}

impl Session {
    /// What was kept before the crab in hand; nothing is known of another day than today.
    pub(in crate::session) fn catch_so_far(&self) -> CatchSoFar {
        if self.date() != self.kept.day {
            return CatchSoFar::default();
        }
        let mut before = self.kept.clone();
        if self.crab.is_kept {
            // It must not stand against itself.
            before.kinds.pop();
        }
        before.as_catch()
    }

    /// True where the crab in hand may be counted as kept: a keep verdict of today, on no practice photo.
    pub fn may_count(&self) -> bool {
        let is_practice = self.photo.in_hand.as_ref().is_some_and(|photo| photo.practice.is_some());
        let is_keep =
            self.outcome().is_some_and(|outcome| outcome.verdict().map(Verdict::call) == Some(Call::Keep));
        is_keep && !is_practice && !self.crab.is_kept && self.date() == self.kept.day
    }

    /// Counts the crab in hand, once.
    pub(in crate::session) fn keep(&mut self) {
        if self.may_count()
            && let Some(kind) = self.crab.answers.kind.given().cloned()
        {
            self.kept.kinds.push(kind);
            self.crab.is_kept = true;
        }
    }

    /// What the person says they hold from earlier days; `None` takes it back.
    pub(in crate::session) fn say_earlier(&mut self, species: String, count: Option<u32>) {
        match count {
            Some(count) => drop(self.kept.earlier.insert(species, count)),
            None => drop(self.kept.earlier.remove(&species)),
        }
    }

    /// Takes the last one off the count.
    pub(in crate::session) fn unkeep(&mut self) {
        self.kept.kinds.pop();
        self.crab.is_kept = false;
    }

    /// Crabs kept on the day that is looked at, of every kind.
    pub fn all_kept(&self) -> usize {
        if self.date() == self.kept.day { self.kept.kinds.len() } else { 0 }
    }

    /// The count of the answered kind and of all that were kept today.
    pub fn kept_lines(&self) -> Vec<KeptLine> {
        if self.date() != self.kept.day {
            return Vec::new();
        }
        let mut kinds = self.kept.each();
        if let Some(kind) = self.crab.answers.kind.given()
            && !kinds.contains(&kind.as_str())
        {
            kinds.push(kind);
        }
        kinds.into_iter().filter_map(|kind| self.kept_line(kind)).collect()
    }

    fn kept_line(&self, kind: &str) -> Option<KeptLine> {
        let rule = self.rules.rule_of(kind)?;
        let limits = &rule.facts.limits;
        let daily = limits.iter().filter_map(|limit| self.persons_limit(limit, Period::Day));
        let daily = daily.min_by_key(|(most, _)| *most);
        let others = daily.map(|(_, limit)| limit.together_with.as_slice()).unwrap_or_default();
        let others = others.iter().filter(|other| *other != kind);
        let together = others.clone().map(|other| self.kept.of(other)).fold(0, u32::saturating_add);
        let held = limits.iter().filter_map(|limit| self.persons_limit(limit, Period::Possession));
        let held = held.map(|(most, _)| most).min();
        Some(KeptLine {
            kept: self.kept.of(kind).saturating_add(together),
            limit: daily.map(|(most, _)| most),
            together_with: others.filter_map(|other| Some(self.rules.rule_of(other)?.species_name)).collect(),
            held: held.map(|limit| HeldLine {
                species: kind.to_owned(),
                limit,
                earlier: self.kept.earlier.get(kind).copied(),
            }),
            kind: rule.species_name.clone(),
        })
    }

    /// A limit that holds for each person whatever their licence, over `per`.
    fn persons_limit<'a>(&self, limit: &'a Limit, per: Period) -> Option<(u32, &'a Limit)> {
        let days = limit.amount.when.as_ref().and_then(|when| when.days);
        let is_persons = limit.holder.known() == Some(&Holder::Person) && limit.condition.is_none();
        let holds = is_persons && limit.per == per && days.is_none_or(|days| days.contains(self.date()));
        match limit.amount.known() {
            Some(Amount::Crabs(most)) if holds => Some((*most, limit)),
            _ => None,
        }
    }
}
