//! What was typed into the form of an own rule, before it is a rule.

use std::collections::BTreeMap;

use crate::rules::facts::{EggRule, Facts, Holder, PartsRule, SexRule, ShellRule, Take};
use crate::rules::{MeasuredDimension, OwnRule, OwnSeason, OwnSize, sizes_differ};

/// What was typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draft {
    /// The fields that go over as they are.
    pub rule: OwnRule,
    /// Smallest and largest size, for all crabs or where there is one size only.
    pub one: [String; 2],
    /// The same for each of several sizes, by the words of the size.
    pub each: BTreeMap<String, [String; 2]>,
    /// So many a day.
    pub daily_limit: String,
    /// First and last day of a closure.
    pub closed: [String; 2],
    /// First and last day of the only open time.
    pub open_only: [String; 2],
    /// Who makes it.
    pub who: String,
    /// Name of a water that no pack has; none: the chosen one.
    pub new_water: Option<String>,
}

impl Draft {
    /// A draft for one kind.
    pub fn of(species: &str) -> Self {
        Self { rule: OwnRule { species: species.to_owned(), ..OwnRule::default() }, ..Self::default() }
    }

    /// True when there is one field for each size: sizes differ, and none was said to hold for all.
    pub fn has_each(&self, held: &Facts) -> bool {
        sizes_differ(&held.sizes) && !self.rule.for_all
    }

    /// The rule that was typed; `held` is what holds now. A number that is none is told by its field.
    pub fn rule(&self, held: &Facts) -> Result<OwnRule, &'static str> {
        let mut rule = self.rule.clone();
        let typed = |text: &String| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
        if self.has_each(held) {
            let changed = held.sizes.iter().filter_map(|size| {
                let of = size.words();
                let [min, max] = self.each.get(&of)?;
                Some(OwnSize { of, min: typed(min), max: typed(max) })
            });
            rule.sizes = changed.filter(|size| size.min.is_some() || size.max.is_some()).collect();
        } else {
            let [min, max] = &self.one;
            (rule.min, rule.max) = (typed(min), typed(max));
        }
        if let Some(limit) = typed(&self.daily_limit) {
            rule.daily_limit = Some(limit.parse().map_err(|_| "daily_limit")?);
        }
        for (is_closed, [from, to]) in [(true, &self.closed), (false, &self.open_only)] {
            if typed(from).is_some() || typed(to).is_some() {
                rule.seasons.push(OwnSeason { is_closed, from: from.clone(), to: to.clone() });
            }
        }
        Ok(rule)
    }
}

/// Taking it.
pub const TAKES: [(&str, Take); 2] = [("May be taken", Take::Allowed), ("May not be taken", Take::Forbidden)];

/// How it is measured.
pub const DIMENSIONS: [(&str, MeasuredDimension); 5] = [
    ("Notch to notch, the last teeth left out", MeasuredDimension::Notch),
    ("Tip to tip", MeasuredDimension::Tips),
    ("Widest part, no spines", MeasuredDimension::Widest),
    ("Length along the midline (by gauge)", MeasuredDimension::Length),
    ("Claw (by gauge)", MeasuredDimension::Claw),
];

/// Sexes.
pub const SEXES: [(&str, SexRule); 5] = [
    ("Males only", SexRule::MalesOnly),
    ("Either sex", SexRule::Either),
    ("No immature females", SexRule::NoImmatureFemales),
    ("No mature females", SexRule::NoMatureFemales),
    ("Females only", SexRule::FemalesOnly),
];

/// Eggs.
pub const EGGS: [(&str, EggRule); 4] = [
    ("Back with eggs", EggRule::Release),
    ("Back with eggs, or with eggs removed", EggRule::ReleaseAlsoWhenRemoved),
    ("Back with dark eggs only", EggRule::ReleaseWhenDark),
    ("May be kept with eggs", EggRule::MayBeKept),
];

/// Shells.
pub const SHELLS: [(&str, ShellRule); 2] =
    [("Hard shells only", ShellRule::HardOnly), ("Any shell", ShellRule::Any)];

/// Whole crabs or claws.
pub const PARTS: [(&str, PartsRule); 4] = [
    ("Whole crabs only", PartsRule::WholeOnly),
    ("Claws only: the crab goes back", PartsRule::ClawsOnly),
    ("The right claw only", PartsRule::RightClawOnly),
    ("Whole crabs or claws", PartsRule::Any),
];

/// Who holds the limit.
pub const HOLDERS: [(&str, Holder); 6] = [
    ("Each person", Holder::Person),
    ("The boat", Holder::Boat),
    ("Each licence", Holder::Licence),
    ("Each household", Holder::Household),
    ("Each container", Holder::Container),
    ("Each unit of gear", Holder::Gear),
];
