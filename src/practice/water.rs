//! What the rule of a water lets be practised: kinds of which it tells keep from release, and those that look like them.

use jiff::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::crab::Crab;
use super::judge::Seen;
use super::kinds::Kind;
use super::sizes;
use crate::decide::{Call, Finding, NextAct, Outcome, Verdict};
use crate::rules::facts::Bound;
use crate::rules::when::{Maturity, Sex};
use crate::rules::{Choice, Confirmation, FactRef, MeasuredDimension, Pack, RuleInForce, search};
use crate::terms::Dimension;

/// The chosen water, as the page sends it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Water {
    /// The pack, as text.
    pub pack: Pack,
    /// The area.
    pub area: String,
    /// The day.
    pub date: Date,
    /// What persons have read in the official rule.
    pub confirmations: Vec<Confirmation>,
}

/// A size of the rule.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeLimit {
    /// A smallest size, not a largest.
    pub is_min: bool,
    /// Between which points.
    pub dimension: Dimension,
    /// In mm.
    pub mm: f64,
    /// As published.
    pub words: String,
}

/// One kind at the water, with its rule.
#[derive(Debug, Clone)]
pub struct Ground {
    /// The kind.
    pub kind: &'static Kind,
    /// Its rule.
    pub rule: RuleInForce,
    /// The day that it is practised for: today, or the next on which it is open.
    pub date: Date,
    /// What persons have read, and what practice takes as read.
    pub confirmations: Vec<Confirmation>,
    /// What practice takes as read, in words: known from memory only.
    pub taken: Vec<String>,
    /// Every size that its rule names, for whichever crabs.
    pub limits: Vec<SizeLimit>,
    /// A crab of it may be kept.
    pub is_sought: bool,
}

/// All kinds that come up at the water.
#[derive(Debug, Clone, Default)]
pub struct Grounds {
    /// Kinds of which crabs may be kept.
    pub sought: Vec<Ground>,
    /// Kinds that are taken for them.
    pub look_alikes: Vec<Ground>,
}

/// A fact that nobody read counts as read in practice, under this name.
const PRACTICE: &str = "practice";
/// Steps in which the year is looked through for a day on which the kind is open, in days.
const STEP_DAYS: i64 = 10;

impl Grounds {
    /// What can be practised at `water`; nothing where its rule does not tell keep from release for any kind that can be
    /// drawn.
    pub fn at(water: &Water) -> Self {
        let choice = Choice::of(water.pack.id.clone(), water.area.clone());
        let entries = search(std::slice::from_ref(&water.pack), "");
        let named = entries.into_iter().find(|entry| entry.choice == choice).map(|entry| entry.species);
        let named: Vec<&'static Kind> =
            named.unwrap_or_default().iter().filter_map(|id| Kind::of(id)).collect();
        let sought: Vec<Ground> = named.iter().filter_map(|kind| Ground::sought(kind, water)).collect();
        let Some(date) = sought.first().map(|ground| ground.date) else { return Self::default() };
        let is_sought = |kind: &Kind| sought.iter().any(|ground| ground.kind.id == kind.id);
        let mut others: Vec<&'static Kind> = Vec::new();
        let alike = sought.iter().flat_map(|ground| ground.kind.look_alikes).filter_map(|id| Kind::of(id));
        for kind in alike.chain(named.iter().copied()) {
            let is_covered = named.iter().any(|other| other.covers.contains(&kind.id));
            if !is_sought(kind) && !is_covered && !others.iter().any(|known| known.id == kind.id) {
                others.push(kind);
            }
        }
        let look_alikes =
            others.into_iter().filter_map(|kind| Ground::look_alike(kind, water, date)).collect();
        Self { sought, look_alikes }
    }

    /// All of them.
    pub fn all(&self) -> impl Iterator<Item = &Ground> {
        self.sought.iter().chain(&self.look_alikes)
    }

    /// The ground of the kind named `id`.
    pub fn of(&self, id: &str) -> Option<&Ground> {
        self.all().find(|ground| ground.kind.id == id)
    }
}

impl Ground {
    fn new(kind: &'static Kind, water: &Water, date: Date) -> Option<Self> {
        let rule = RuleInForce::find(&water.pack, &water.area, kind.id)?;
        let limits = limits(&rule);
        Some(Self {
            kind,
            rule,
            date,
            confirmations: water.confirmations.clone(),
            taken: Vec::new(),
            limits,
            is_sought: false,
        })
    }

    /// A kind of which some crab may be kept on some day; `None` where the rule does not tell.
    fn sought(kind: &'static Kind, water: &Water) -> Option<Self> {
        let start = Self::new(kind, water, water.date)?;
        let by_photo =
            |dimension: Option<&MeasuredDimension>| dimension.is_some_and(|known| known.by_photo().is_some());
        if !start.rule.facts.sizes.iter().all(|size| by_photo(size.dimension.known())) {
            // A claw or a length is not drawn.
            return None;
        }
        (0..365 / STEP_DAYS).find_map(|step| {
            let date = water.date.saturating_add(Span::new().days(step * STEP_DAYS));
            let mut ground = Self { date, ..start.clone() };
            ground.is_sought = true;
            ground.best_crabs().iter().any(|seen| ground.settles(seen) == Some(Call::Keep)).then_some(ground)
        })
    }

    /// A kind that goes back, or is kept, by a rule that tells.
    fn look_alike(kind: &'static Kind, water: &Water, date: Date) -> Option<Self> {
        let mut ground = Self::new(kind, water, date)?;
        let seen = ground.best_crabs();
        seen.iter().any(|seen| ground.settles(seen) == Some(Call::Release)).then_some(ground)
    }

    /// What comes of a crab once what is known from memory counts as read.
    fn settles(&mut self, seen: &Seen) -> Option<Call> {
        /// More facts than any verdict asked for.
        const ROUNDS: usize = 8;
        for _ in 0..ROUNDS {
            let verdict = self.verdict(seen)?;
            let asked = verdict.acts().iter().find_map(|act| match act {
                NextAct::ConfirmRule { facts } => Some(facts.clone()),
                _ => None,
            });
            // What the pack does not say at all is not taken as read.
            let facts: Vec<FactRef> =
                asked.unwrap_or_default().into_iter().filter(|fact| !fact.value.is_empty()).collect();
            if verdict.call() != Call::Gauge || facts.is_empty() {
                return Some(verdict.call());
            }
            for fact in &facts {
                if !self.taken.contains(&fact.words) {
                    self.taken.push(fact.words.clone());
                }
            }
            let until = self.date.saturating_add(Span::new().days(1));
            let (who, when) = (PRACTICE.to_owned(), self.date);
            self.confirmations.push(Confirmation { facts, who, when, until });
        }
        None
    }

    /// What [`decide`](crate::decide::decide) says of what was seen of a crab.
    pub fn verdict(&self, seen: &Seen) -> Option<Verdict> {
        match seen.outcome(self) {
            Outcome::Settled(verdict) => Some(verdict),
            Outcome::Open { .. } => None,
        }
    }

    /// Sound crabs of either sex, some of them surely of size.
    fn best_crabs(&self) -> Vec<Seen> {
        let sizes = self.limits.iter().map(|limit| limit.mm * if limit.is_min { 1.06 } else { 0.97 });
        let sizes: Vec<f64> = sizes.chain([self.kind.usual_mm]).collect();
        let sexes = [
            (Sex::Male, Maturity::Mature),
            (Sex::Female, Maturity::Mature),
            (Sex::Female, Maturity::Immature),
        ];
        let seen = sexes.iter().flat_map(|&(sex, maturity)| {
            sizes.iter().map(move |&mm| Seen::sound(self.kind.id, sex, maturity, mm))
        });
        seen.collect()
    }

    /// The distance in which the published sizes are scaled, and by how much: a Dungeness crab is as it was caught; of
    /// other kinds no published sizes are at hand, so theirs stand to their own limit as a Dungeness crab's to hers.
    pub fn scale(&self) -> (Dimension, f64) {
        if self.kind.id == "dungeness" {
            return (Dimension::Notch, 1.0);
        }
        let of_hard_males =
            Seen::sound(self.kind.id, Sex::Male, Maturity::Mature, self.kind.usual_mm).limits(self);
        match of_hard_males.iter().find(|limit| limit.is_min) {
            Some(limit) => (limit.dimension, limit.mm / sizes::LIMIT_MM),
            None => (Dimension::Tips, self.kind.usual_mm / sizes::width_mm(Sex::Male, 0.5)),
        }
    }

    /// The sizes that hold for a crab.
    pub fn limits_of(&self, crab: &Crab) -> Vec<SizeLimit> {
        Seen::rightly(crab).limits(self)
    }

    /// True for a finding that is about the kind: closed by the calendar, or not to be taken at all.
    pub fn is_about_kind(finding: &Finding) -> bool {
        matches!(
            finding,
            Finding::MayNotBeTaken { .. }
                | Finding::NoRuleForThisKind { .. }
                | Finding::Invasive { .. }
                | Finding::ClosedSeason { .. }
                | Finding::ClosedToday { .. }
                | Finding::SaidClosed
                | Finding::PartNotAllowed
                | Finding::LimitReached { .. }
        )
    }
}

fn limits(rule: &RuleInForce) -> Vec<SizeLimit> {
    let sizes = rule.facts.sizes.iter();
    let limits = sizes.flat_map(|size| {
        let dimension = size.dimension.known().copied().and_then(MeasuredDimension::by_photo);
        [(true, &size.min), (false, &size.max)].into_iter().filter_map(move |(is_min, bound)| {
            let Some(Bound::At(length)) = bound.as_ref().and_then(|bound| bound.known()) else { return None };
            let (mm, words) = (length.exact.millimetres().0, length.published.clone());
            Some(SizeLimit { is_min, dimension: dimension?, mm, words })
        })
    });
    limits.collect()
}
