//! How many crabs were kept today: a plain count, so that daily limits hold. No record of the catch.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::decide::{Answer, Answers, BagLimit, Call, CatchSoFar, KeptCount, Traits, Verdict, bag_limits};
use crate::rules::facts::{Holder, Period};

use crate::session::Session;

/// The kinds kept on one day by one person, in the order of keeping.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptToday {
    /// The day that is counted.
    pub day: Date,
    /// The crabs in the order of keeping.
    #[serde(alias = "kinds")]
    pub crabs: Vec<KeptCrab>,
    /// Of earlier days and still held, by species id, as the person said today. A new day asks anew: a
    /// freezer empties without this program.
    #[serde(default)]
    pub earlier: BTreeMap<String, u32>,
}

/// A crab that was kept: its kind, and what limits on a part of the catch ask of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "StoredCrab")]
pub struct KeptCrab {
    /// Species id.
    pub kind: String,
    /// What was answered of it.
    pub traits: Traits,
}

/// A crab as it may be stored: an earlier version of the page kept the kind alone.
#[derive(Deserialize)]
#[serde(untagged)]
enum StoredCrab {
    Kind(String),
    Crab { kind: String, traits: Traits },
}

impl From<StoredCrab> for KeptCrab {
    fn from(stored: StoredCrab) -> Self {
        match stored {
            StoredCrab::Kind(kind) => Self { kind, traits: Traits::default() },
            StoredCrab::Crab { kind, traits } => Self { kind, traits },
        }
    }
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
        Self { day, crabs: Vec::new(), earlier: BTreeMap::new() }
    }

    fn of(&self, kind: &str) -> u32 {
        let count = self.crabs.iter().filter(|kept| kept.kind == kind).count();
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// Each kind once, in the order of first keeping; then those held from earlier days only.
    fn each(&self) -> Vec<&str> {
        let mut each: Vec<&str> = Vec::new();
        for crab in &self.crabs {
            if !each.contains(&crab.kind.as_str()) {
                each.push(&crab.kind);
            }
        }
        each.extend(self.earlier.keys().map(String::as_str).filter(|kind| self.of(kind) == 0));
        each
    }

    fn as_catch(&self) -> CatchSoFar {
        let count = |species: &str, traits, today, earlier| KeptCount {
            holder: Holder::Person,
            species: species.to_owned(),
            traits,
            today,
            earlier,
        };
        let today = self.crabs.iter().map(|crab| count(&crab.kind, crab.traits, 1, None));
        let earlier = self.earlier.iter().map(|(kind, held)| count(kind, Traits::default(), 0, Some(*held)));
        CatchSoFar { kept: today.chain(earlier).collect(), counted: vec![Holder::Person] }
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
            before.crabs.pop();
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
            self.kept.crabs.push(KeptCrab { kind, traits: Traits::of(&self.crab.answers) });
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
        self.kept.crabs.pop();
        self.crab.is_kept = false;
    }

    /// Crabs kept on the day that is looked at, of every kind.
    pub fn all_kept(&self) -> usize {
        if self.date() == self.kept.day { self.kept.crabs.len() } else { 0 }
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
        // What was answered of the crab in hand says which limits are its own; of a kind in general nothing is known.
        let is_in_hand = self.crab.answers.kind.given().is_some_and(|given| given == kind);
        let of_any = || Answers { kind: Answer::Given(kind.to_owned()), ..Answers::default() };
        let answers = if is_in_hand { self.crab.answers.clone() } else { of_any() };
        let (daily, held, together_with) = self.with_case_of(&rule, &answers, |case| {
            let limits: Vec<BagLimit<'_>> = bag_limits(case).into_iter().filter(is_for_all_persons).collect();
            let tightest = |per: Period| {
                let of_period = limits.iter().filter(|bag| bag.limit.per == per);
                of_period.filter_map(|bag| Some((bag.most?, *bag))).min_by_key(|(most, _)| *most)
            };
            let daily = tightest(Period::Day);
            let others = daily.map(|(_, bag)| bag.limit.together_with.clone()).unwrap_or_default();
            let daily = daily.map(|(most, bag)| (most, bag.kept));
            (daily, tightest(Period::Possession).map(|(most, _)| most), others)
        });
        let in_hand = self.crab.answers.kind.given().filter(|_| self.crab.is_kept);
        let counts = |given: &String| given == kind || together_with.contains(given);
        let is_counted_in = u32::from(in_hand.is_some_and(counts));
        Some(KeptLine {
            // The crab in hand does not stand against itself, but it is among those kept.
            kept: daily.map_or_else(|| self.kept.of(kind), |(_, kept)| kept.saturating_add(is_counted_in)),
            limit: daily.map(|(most, _)| most),
            together_with: together_with
                .iter()
                .filter(|other| *other != kind)
                .filter_map(|other| Some(self.rules.rule_of(other)?.species_name))
                .collect(),
            held: held.map(|limit| HeldLine {
                species: kind.to_owned(),
                limit,
                earlier: self.kept.earlier.get(kind).copied(),
            }),
            kind: rule.species_name.clone(),
        })
    }
}

/// A limit that holds for each person, whatever their licence.
fn is_for_all_persons(bag: &BagLimit<'_>) -> bool {
    bag.limit.holder.known() == Some(&Holder::Person) && bag.limit.condition.is_none()
}
