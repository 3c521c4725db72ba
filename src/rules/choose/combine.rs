//! How the rules of a person, of an inner area and of an outer one combine: said here and nowhere else.
//!
//! - **Facts**: for each topic those of the innermost area, a named kind's before those of any crab. A person's own
//!   rule is written into its area: what the form says stands in place of what stood there.
//! - **Times**: the narrower closes. Each rule is a layer of its own and none opens what another closes; so is each
//!   entry `open-only`, which is how a person's own shorter season is written. [`super::open`] says what holds
//!   within a layer.
//! - **Parts**: an area whose parts have times of their own, or may not be fished for a kind, hides none of it:
//!   [`Part`] brings them along. While some are closed and others are not, nothing is kept before one is chosen.

use serde::{Deserialize, Serialize};

use crate::rules::Cited;
use crate::rules::facts::{Facts, Season, SizeRule, Take};
use crate::rules::pack::{ANY_CRAB, Area, OwnNote, Pack, SpeciesRule};

/// The facts that hold for one kind in one area, and from how many rules its times come.
#[derive(Debug, Default)]
pub(super) struct Combined {
    pub facts: Facts,
    /// How many of `facts.season`, in order, each rule brought.
    pub layers: Vec<usize>,
    pub own: Option<OwnNote>,
    pub observed: Vec<String>,
    /// True where a rule speaks of the kind by name.
    pub is_named: bool,
}

impl Combined {
    pub fn of(pack: &Pack, area: &Area, species_id: &str) -> Self {
        let mut combined = Self { own: pack.own.clone(), ..Self::default() };
        for rule in rules_for(pack, area, species_id) {
            combined.is_named |= rule.species == species_id && species_id != ANY_CRAB;
            combined.own = combined.own.or_else(|| rule.own.clone());
            combined.observed.extend(rule.observed.clone());
            combined.facts.fill_from(&rule.facts);
            if !rule.facts.season.is_empty() {
                combined.layers.push(rule.facts.season.len());
            }
        }
        combined
    }
}

/// Every rule that speaks of a kind in an area: the kind's own before those of any crab, the innermost first.
fn rules_for<'a>(pack: &'a Pack, area: &'a Area, species_id: &str) -> Vec<&'a SpeciesRule> {
    let chain = pack.chain(area);
    let mut wanted = vec![species_id];
    if species_id != ANY_CRAB {
        wanted.push(ANY_CRAB);
    }
    wanted
        .into_iter()
        .flat_map(|wanted| {
            chain.iter().flat_map(|ring| &ring.rules).filter(move |rule| rule.species == wanted)
        })
        .collect()
}

/// A part of an area that closes on its own: its times, and whether the kind may be taken in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// The part as its source names it.
    pub name: String,
    /// Its times, those of the areas around it included.
    pub season: Vec<Cited<Season>>,
    /// How many of `season`, in order, each rule brought.
    pub layers: Vec<usize>,
    /// Whether the kind may be taken in it.
    pub take: Vec<Cited<Take>>,
}

/// The parts of `area`, however deep, that say something of their own on times or on taking the kind at all.
pub(super) fn parts_of(pack: &Pack, area: &Area, species_id: &str) -> Vec<Part> {
    let closes = |part: &Area| {
        part.rules.iter().any(|rule| {
            (rule.species == species_id || rule.species == ANY_CRAB)
                && !(rule.facts.season.is_empty() && rule.facts.take.is_empty())
        })
    };
    let is_within = |part: &Area| pack.chain(part).iter().skip(1).any(|ring| ring.id == area.id);
    pack.areas
        .iter()
        .filter(|part| part.id != area.id && is_within(part) && closes(part))
        .map(|part| {
            let Combined { facts, layers, .. } = Combined::of(pack, part, species_id);
            Part { name: part.name.clone(), season: facts.season, layers, take: facts.take }
        })
        .collect()
}

/// The layers of `season`, by the counts of `layers`.
pub fn layered<'a>(season: &'a [Cited<Season>], layers: &[usize]) -> Vec<&'a [Cited<Season>]> {
    let mut rest = season;
    let mut found = Vec::new();
    for &count in layers {
        let (layer, after) = rest.split_at(count.min(rest.len()));
        found.push(layer);
        rest = after;
    }
    found.push(rest);
    found.retain(|layer| !layer.is_empty());
    found
}

impl Facts {
    /// Takes what `outer` says of topics that this says nothing of; lists of words and times add up.
    fn fill_from(&mut self, outer: &Self) {
        fn fill<T: Clone>(own: &mut Vec<T>, outer: &[T]) {
            if own.is_empty() {
                own.extend_from_slice(outer);
            }
        }
        fill(&mut self.take, &outer.take);
        fill::<SizeRule>(&mut self.sizes, &outer.sizes);
        fill(&mut self.sex, &outer.sex);
        fill(&mut self.eggs, &outer.eggs);
        fill(&mut self.shell, &outer.shell);
        fill(&mut self.parts, &outer.parts);
        fill(&mut self.limits, &outer.limits);
        fill(&mut self.invasive, &outer.invasive);
        self.season.extend_from_slice(&outer.season);
        self.record.extend_from_slice(&outer.record);
        self.gear.extend_from_slice(&outer.gear);
        self.licence.extend_from_slice(&outer.licence);
        self.possession.extend_from_slice(&outer.possession);
    }
}
