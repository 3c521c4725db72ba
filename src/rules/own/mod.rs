//! A person's own rule for one kind in one water: made from nothing or adjusted from a pack, marked as theirs.
//!
//! [`sizes`] has the part of the form that speaks of sizes, [`water`] the packs such rules are written into.

pub mod sizes;
pub mod water;

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use self::sizes::{OwnSize, own_sizes, sizes_differ};
use crate::rules::facts::{
    Amount, DateSpan, EggRule, Facts, Holder, Limit, MeasuredDimension, PartsRule, Period, Season,
    SeasonEffect, SexRule, ShellRule, Take,
};
use crate::rules::pack::{OwnNote, Pack, SpeciesRule};
use crate::rules::{Cited, Mark, Mistake, RuleInForce, Source, read_pack, write_pack};

/// What a form for one species in one area asks; each field left out keeps what the rule had.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct OwnRule {
    /// Species id.
    pub species: String,
    /// Whether it may be taken at all.
    pub take: Option<Take>,
    /// Which distance.
    pub dimension: Option<MeasuredDimension>,
    /// Smallest size as published, such as `6 1/4 in`; `none` where none is prescribed. Where sizes differ
    /// by sex, stage or day it needs `for_all`.
    pub min: Option<String>,
    /// Largest size, in the same way.
    pub max: Option<String>,
    /// Changes to single sizes, where they differ by sex, stage or day.
    pub sizes: Vec<OwnSize>,
    /// True when the person said that what is written here holds for all crabs and days: what differed gives
    /// way to it.
    pub for_all: bool,
    /// Sexes.
    pub sex: Option<SexRule>,
    /// Eggs.
    pub eggs: Option<EggRule>,
    /// Shell.
    pub shell: Option<ShellRule>,
    /// Whole crabs or claws.
    pub parts: Option<PartsRule>,
    /// So many a day.
    pub daily_limit: Option<u32>,
    /// Who holds the limit.
    pub holder: Option<Holder>,
    /// Open or closed times, such as an emergency closure or a shorter season.
    pub seasons: Vec<OwnSeason>,
    /// The text it was read in.
    pub source_title: String,
    /// Its section.
    pub source_section: String,
    /// Its date or edition.
    pub source_date: String,
    /// Its address.
    pub source_address: String,
    /// True when the person read the official text; false when somebody told them.
    pub is_read: bool,
}

/// An open or closed time from one date to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OwnSeason {
    /// Closed, or open then only.
    pub is_closed: bool,
    /// First date, `2026-07-01`.
    pub from: String,
    /// Last date.
    pub to: String,
}

/// A field of the form and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormMistake {
    /// Name of the field of [`OwnRule`].
    pub field: String,
    /// What was found, what was expected.
    pub words: String,
}

/// A daily limit above this is a slip of the finger: the packs have 144 at most.
const MOST_A_DAY: u32 = 200;
/// One above so many times the one that holds now was too.
const MOST_GROWTH: u32 = 3;

/// A copy of `pack` in which the rule of one species in one area is the person's own. Every mistake of the
/// form at once; the pack itself never changes.
pub fn with_own_rule(
    pack: &Pack,
    area_id: &str,
    own: &OwnRule,
    note: &OwnNote,
) -> Result<Pack, Vec<FormMistake>> {
    let mut mistakes = Vec::new();
    let mistake = |field: &str, words: &str| FormMistake { field: field.to_owned(), words: words.to_owned() };
    // What holds here now, the surrounding areas included: a field left out keeps it.
    let held = RuleInForce::find(pack, area_id, &own.species).map(|rule| rule.facts).unwrap_or_default();
    let source_key = free_key(&pack.sources);
    let cite = Citer { source: &source_key, is_read: own.is_read };
    let sizes = own_sizes(&held.sizes, own, &cite, &mut mistakes);
    check_differing(&held, own, &mut mistakes);
    let held_limit = plain_limit(&held.limits, own.holder).and_then(|limit| match limit.amount.known() {
        Some(&Amount::Crabs(count)) => Some(count),
        _ => None,
    });
    let most = held_limit.map_or(MOST_A_DAY, |count| count.saturating_mul(MOST_GROWTH).max(MOST_GROWTH));
    if own.daily_limit.is_some_and(|count| count > most) {
        let words = "this is far from the limit that holds here: look at the number";
        mistakes.push(mistake("daily_limit", words));
    }
    if own.species.is_empty() {
        mistakes.push(mistake("species", "choose a kind"));
    }
    if own.source_title.trim().is_empty() {
        mistakes.push(mistake("source_title", "name the text the rule stands in"));
    }
    if note.who.trim().is_empty() {
        mistakes.push(mistake("who", "say who you are: a name or initials"));
    }
    let seasons: Vec<Season> = own
        .seasons
        .iter()
        .enumerate()
        .filter_map(|(at, season)| own_season(at, season, &mut mistakes))
        .collect();
    let mut pack = pack.clone();
    let Some(area) = pack.areas.iter_mut().find(|area| area.id == area_id) else {
        mistakes.push(mistake("area", "this pack has no such area"));
        return Err(mistakes);
    };
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let at = match area.rules.iter().position(|rule| rule.species == own.species) {
        Some(at) => at,
        None => {
            let (species, facts) = (own.species.clone(), Facts::default());
            area.rules.push(SpeciesRule { species, own: None, observed: None, facts });
            area.rules.len() - 1
        }
    };
    if let Some(rule) = area.rules.get_mut(at) {
        rule.own = Some(note.clone());
        adjust(&mut rule.facts, &held, own, seasons, &cite);
        if let Some(sizes) = sizes {
            rule.facts.sizes = sizes;
        }
    }
    pack.sources.insert(source_key, source_of(own));
    // What is made here must also be readable when it comes back from a file.
    read_pack(&write_pack(&pack)).map_err(|mistakes| {
        mistakes.into_iter().map(|Mistake { field, words, .. }| FormMistake { field, words }).collect()
    })
}

/// Cites facts in the text that the form names.
pub(super) struct Citer<'a> {
    source: &'a str,
    is_read: bool,
}

impl Citer<'_> {
    /// A fact as the form names its text.
    pub(super) fn cite<T>(&self, value: T) -> Cited<T> {
        let mark = if self.is_read { Mark::Seen } else { Mark::Memory };
        Cited::new(value, mark, self.source)
    }
}

fn adjust(facts: &mut Facts, held: &Facts, own: &OwnRule, seasons: Vec<Season>, cite: &Citer<'_>) {
    fn put<T: Copy>(facts: &mut Vec<Cited<T>>, value: Option<T>, cite: &Citer<'_>) {
        if let Some(value) = value {
            *facts = vec![cite.cite(value)];
        }
    }
    put(&mut facts.take, own.take, cite);
    put(&mut facts.sex, own.sex, cite);
    put(&mut facts.eggs, own.eggs, cite);
    put(&mut facts.shell, own.shell, cite);
    put(&mut facts.parts, own.parts, cite);
    if let Some(count) = own.daily_limit {
        facts.limits = own_limits(&held.limits, count, own.holder, cite);
    }
    facts.season.extend(seasons.into_iter().map(|season| cite.cite(season)));
}

/// A limit of a day on all crabs, for all.
fn is_plain(limit: &Limit) -> bool {
    limit.per == Period::Day && limit.condition.is_none() && limit.amount.when.is_none()
}

/// The daily limit of `holder`; where none is named, each person's before any other's, whatever their order.
fn plain_limit(held: &[Limit], holder: Option<Holder>) -> Option<&Limit> {
    let plain = || held.iter().filter(|limit| is_plain(limit));
    match holder {
        Some(_) => plain().find(|limit| limit.holder.known() == holder.as_ref()),
        None => {
            plain().find(|limit| limit.holder.known() == Some(&Holder::Person)).or_else(|| plain().next())
        }
    }
}

/// The limits that hold now, with the daily one of the same holder put anew. Every other one (in possession,
/// of the boat, for some only) stays: a form that does not ask for it must not drop it.
fn own_limits(held: &[Limit], count: u32, holder: Option<Holder>, cite: &Citer<'_>) -> Vec<Limit> {
    let old = plain_limit(held, holder);
    let holder = match (holder, old) {
        (Some(holder), _) => cite.cite(holder),
        (None, Some(old)) => old.holder.clone(),
        (None, None) => cite.cite(Holder::Person),
    };
    let is_replaced = |limit: &Limit| is_plain(limit) && limit.holder.known() == holder.known();
    let mut limits: Vec<Limit> = held.iter().filter(|limit| !is_replaced(limit)).cloned().collect();
    // Kinds that count together go on counting together.
    let together_with = old.map(|old| old.together_with.clone()).unwrap_or_default();
    let amount = cite.cite(Amount::Crabs(count));
    limits.push(Limit { amount, holder, per: Period::Day, together_with, condition: None, by_licence: None });
    limits
}

/// True when one word would not do for all: several facts, or one for some crabs or days only.
fn differs<T>(facts: &[Cited<T>]) -> bool {
    facts.len() > 1 || facts.iter().any(|fact| fact.when.is_some())
}

/// True when anything that a form asks differs by sex, stage or day: the form then asks whether what is
/// written holds for all.
pub fn anything_differs(held: &Facts) -> bool {
    sizes_differ(&held.sizes)
        || differs(&held.take)
        || differs(&held.sex)
        || differs(&held.eggs)
        || differs(&held.shell)
        || differs(&held.parts)
}

/// What differs by sex, stage or day gives way to one word for all only where the person says so.
fn check_differing(held: &Facts, own: &OwnRule, mistakes: &mut Vec<FormMistake>) {
    let topics = [
        ("take", own.take.is_some() && differs(&held.take)),
        ("sex", own.sex.is_some() && differs(&held.sex)),
        ("eggs", own.eggs.is_some() && differs(&held.eggs)),
        ("shell", own.shell.is_some() && differs(&held.shell)),
        ("parts", own.parts.is_some() && differs(&held.parts)),
    ];
    for (field, _) in topics.into_iter().filter(|(_, differs)| *differs && !own.for_all) {
        let words = "here it differs by sex, stage or day: say that yours holds for all crabs and days, or \
                     leave it as it is";
        mistakes.push(FormMistake { field: field.to_owned(), words: words.to_owned() });
    }
}

fn own_season(at: usize, season: &OwnSeason, mistakes: &mut Vec<FormMistake>) -> Option<Season> {
    let mut date = |field: &str, text: &str| {
        let parsed = text.trim().parse::<Date>().ok();
        if parsed.is_none() {
            let words = "write a date such as 2026-07-01".to_owned();
            mistakes.push(FormMistake { field: field.to_owned(), words });
        }
        parsed
    };
    let (from, to) =
        (date(&format!("seasons[{at}].from"), &season.from), date(&format!("seasons[{at}].to"), &season.to));
    let (from, to) = (from?, to?);
    if from > to {
        let words = "it ends before it begins".to_owned();
        mistakes.push(FormMistake { field: format!("seasons[{at}].to"), words });
        return None;
    }
    // Open then and at no other time: an order shortens or delays a season, it opens none that the pack closes.
    let (effect, word) = if season.is_closed {
        (SeasonEffect::Closed, "Closed")
    } else {
        (SeasonEffect::OpenOnly, "Open only")
    };
    Some(Season {
        effect,
        condition: None,
        days: None,
        dates: Some(DateSpan { from, to }),
        weekdays: Vec::new(),
        hours: None,
        night: None,
        words: format!("{word} from {from} to {to}."),
    })
}

fn source_of(own: &OwnRule) -> Source {
    let year = own.source_date.split(|c: char| !c.is_ascii_digit()).find(|part| part.len() == 4);
    Source {
        title: own.source_title.trim().to_owned(),
        section: own.source_section.trim().to_owned(),
        date: own.source_date.trim().to_owned(),
        year: year.and_then(|year| year.parse().ok()).filter(|year| (1800..=2200).contains(year)),
        address: own.source_address.trim().to_owned(),
    }
}

/// A key that no source has yet.
fn free_key(sources: &BTreeMap<String, Source>) -> String {
    let mut number = 1_usize;
    loop {
        let key = format!("own-{number}");
        if !sources.contains_key(&key) {
            return key;
        }
        number += 1;
    }
}
