//! A person's own rules: made from nothing or adjusted from a pack, always marked as theirs.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::check::Mistake;
use super::choose::RuleInForce;
use super::cited::{Cited, Mark, Source};
use super::facts::{
    Amount, Bound, EggRule, Facts, Holder, Limit, MeasuredDimension, PartsRule, Period, PublishedLength,
    Season, SeasonEffect, SexRule, ShellRule, SizeRule, Take,
};
use super::load::{read_pack, write_pack};
use super::pack::{Area, OwnNote, PACK_FORMAT, Pack, SpeciesRule};

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
    /// Smallest size as published, such as `6 1/4 in`; `none` where none is prescribed.
    pub min: Option<String>,
    /// Largest size as published; `none` where none is prescribed.
    pub max: Option<String>,
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
    /// An open or closed time, such as an emergency closure.
    pub season: Option<OwnSeason>,
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
    /// Closed, or open.
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
    let bound = |field: &str, text: &Option<String>, mistakes: &mut Vec<FormMistake>| match text.as_deref() {
        None => None,
        Some(text) if text.trim().eq_ignore_ascii_case("none") => Some(Bound::None),
        Some(text) => match PublishedLength::parse(text) {
            Some(length) => Some(Bound::At(length)),
            None => {
                mistakes.push(mistake(field, "write a number and a unit, such as 6 1/4 in or 115 mm"));
                None
            }
        },
    };
    let min = bound("min", &own.min, &mut mistakes);
    let max = bound("max", &own.max, &mut mistakes);
    if let (Some(Bound::At(min)), Some(Bound::At(max))) = (&min, &max)
        && min.exact > max.exact
    {
        mistakes.push(mistake("max", "the largest size is below the smallest"));
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
    let season = own.season.as_ref().and_then(|season| own_season(season, &mut mistakes));
    // What holds here now, the surrounding areas included: a field left out keeps it.
    let held = RuleInForce::find(pack, area_id, &own.species).map(|rule| rule.facts).unwrap_or_default();
    let mut pack = pack.clone();
    let source_key = free_key(&pack.sources);
    let Some(area) = pack.areas.iter_mut().find(|area| area.id == area_id) else {
        mistakes.push(mistake("area", "this pack has no such area"));
        return Err(mistakes);
    };
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let cite = Citer { source: &source_key, is_read: own.is_read };
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
        adjust(&mut rule.facts, &held, own, Bounds { min, max }, season, &cite);
    }
    pack.sources.insert(source_key, source_of(own));
    // What is made here must also be readable when it comes back from a file.
    read_pack(&write_pack(&pack)).map_err(|mistakes| {
        mistakes.into_iter().map(|Mistake { field, words, .. }| FormMistake { field, words }).collect()
    })
}

/// A new pack of the person's own, with one area and no rules yet.
pub fn own_pack(id: &str, name: &str, area_name: &str, note: &OwnNote) -> Pack {
    Pack {
        format: PACK_FORMAT,
        id: id.to_owned(),
        country: "own rules".to_owned(),
        jurisdiction: "own".to_owned(),
        name: name.to_owned(),
        checked: note.when,
        season: None,
        own: Some(note.clone()),
        notes: Vec::new(),
        sources: BTreeMap::new(),
        species: Vec::new(),
        areas: vec![Area {
            id: "here".to_owned(),
            name: area_name.to_owned(),
            water: area_name.to_owned(),
            also_called: Vec::new(),
            within: None,
            place: None,
            rules: Vec::new(),
        }],
    }
}

/// The pack in `text`, marked by `note` as somebody's own where it does not say whose it is: no file can pass
/// for the rules that come with the program. On failure every mistake.
pub fn read_imported(text: &str, note: &OwnNote) -> Result<Pack, Vec<Mistake>> {
    let mut pack = read_pack(text)?;
    pack.own.get_or_insert_with(|| note.clone());
    Ok(pack)
}

/// `packs` with `new` put in, in place of one of the same id.
pub fn with_pack(packs: &[Pack], new: Pack) -> Vec<Pack> {
    let mut packs = packs.to_vec();
    match packs.iter_mut().find(|pack| pack.id == new.id) {
        Some(known) => *known = new,
        None => packs.push(new),
    }
    packs
}

struct Citer<'a> {
    source: &'a str,
    is_read: bool,
}

impl Citer<'_> {
    fn cite<T>(&self, value: T) -> Cited<T> {
        let mark = if self.is_read { Mark::Seen } else { Mark::Memory };
        Cited::new(value, mark, self.source)
    }
}

struct Bounds {
    min: Option<Bound>,
    max: Option<Bound>,
}

fn adjust(
    facts: &mut Facts,
    held: &Facts,
    own: &OwnRule,
    Bounds { min, max }: Bounds,
    season: Option<Season>,
    cite: &Citer<'_>,
) {
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
    if min.is_some() || max.is_some() || own.dimension.is_some() {
        // Sizes that differ by sex, stage or day give way to the one size of the form.
        let old = held.sizes.first();
        let dimension = match (own.dimension, old) {
            (Some(dimension), _) => cite.cite(dimension),
            (None, Some(old)) => old.dimension.clone(),
            (None, None) => cite.cite(MeasuredDimension::NotStated),
        };
        let landmarks = old.filter(|_| own.dimension.is_none()).and_then(|old| old.landmarks.clone());
        let min = min.map(|bound| cite.cite(bound)).or_else(|| old.and_then(|old| old.min.clone()));
        let max = max.map(|bound| cite.cite(bound)).or_else(|| old.and_then(|old| old.max.clone()));
        facts.sizes = vec![SizeRule { when: None, dimension, landmarks, min, max }];
    }
    if let Some(count) = own.daily_limit {
        let old = held.limits.first().map(|limit| limit.holder.clone());
        let holder = match (own.holder, old) {
            (Some(holder), _) => cite.cite(holder),
            (None, Some(holder)) => holder,
            (None, None) => cite.cite(Holder::Person),
        };
        let amount = cite.cite(Amount::Crabs(count));
        facts.limits =
            vec![Limit { amount, holder, per: Period::Day, together_with: Vec::new(), condition: None }];
    }
    facts.season.extend(season.map(|season| cite.cite(season)));
}

fn own_season(season: &OwnSeason, mistakes: &mut Vec<FormMistake>) -> Option<Season> {
    let mut date = |field: &str, text: &str| {
        let parsed = text.trim().parse::<Date>().ok();
        if parsed.is_none() {
            let words = "write a date such as 2026-07-01".to_owned();
            mistakes.push(FormMistake { field: field.to_owned(), words });
        }
        parsed
    };
    let (from, to) = (date("season.from", &season.from), date("season.to", &season.to));
    let (from, to) = (from?, to?);
    if from > to {
        let words = "it ends before it begins".to_owned();
        mistakes.push(FormMistake { field: "season.to".to_owned(), words });
        return None;
    }
    let (effect, word) =
        if season.is_closed { (SeasonEffect::Closed, "Closed") } else { (SeasonEffect::Open, "Open") };
    Some(Season {
        effect,
        condition: None,
        days: None,
        dates: Some(super::facts::DateSpan { from, to }),
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
