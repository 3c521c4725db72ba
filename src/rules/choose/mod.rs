//! Choosing the rule in force: packs searched by country, water, area and words.
//!
//! Beside it what the place decides: [`suggest`], the waters that a position may mean, and [`sun`], the hours
//! of light there; and how rules [`combine`], with [`open`] for their times.

pub mod combine;
pub mod open;
pub mod suggest;
pub mod sun;

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use self::combine::{Combined, Part, layered, parts_of};
use crate::rules::facts::{DateSpan, Facts, Season, SeasonEffect};
use crate::rules::pack::cited::LONGEST_CONFIRMATION_DAYS;
use crate::rules::pack::{ANY_CRAB, Area, OTHER_KIND, OwnNote, Pack, Place};
use crate::rules::{Cited, Confirmation, FactRef, Mark, Source, SpeciesInfo, Topic, species};

/// Everything that holds for one species in one area, with the sources it was read in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RuleInForce {
    /// Pack.
    pub pack: String,
    /// Jurisdiction in words.
    pub jurisdiction: String,
    /// When the pack was last checked against its sources.
    pub checked: Date,
    /// The season the pack is known to be right for, where it is made for one.
    pub season: Option<DateSpan>,
    /// Area.
    pub area: String,
    /// The area as its source names it.
    pub area_name: String,
    /// A point in the area.
    pub place: Option<Place>,
    /// Species id.
    pub species: String,
    /// Its name.
    pub species_name: String,
    /// What the species table knows of it.
    pub species_info: Option<SpeciesInfo>,
    /// True when the pack has a rule for this species by name, here or in a surrounding area.
    pub is_named: bool,
    /// Set when a person made or adjusted the rule.
    pub own: Option<OwnNote>,
    /// What was observed about the rule, in free words.
    pub observed: Vec<String>,
    /// The facts: for each topic those of the innermost area, of the species before those of any crab.
    pub facts: Facts,
    /// How many of the facts' times, in order, each rule brought: what holds together is said in [`combine`].
    pub layers: Vec<usize>,
    /// Parts of the area that close on their own.
    pub parts: Vec<Part>,
    /// The pack's sources.
    pub sources: BTreeMap<String, Source>,
}

impl RuleInForce {
    /// What holds for `species_id` in `area_id`; `None` when the pack has no such area.
    pub fn find(pack: &Pack, area_id: &str, species_id: &str) -> Option<Self> {
        let area = pack.area(area_id)?;
        let chain = pack.chain(area);
        let Combined { facts, layers, own, observed, is_named } = Combined::of(pack, area, species_id);
        let species_info =
            pack.species.iter().find(|info| info.id == species_id).cloned().or_else(|| species(species_id));
        Some(Self {
            pack: pack.id.clone(),
            jurisdiction: pack.name.clone(),
            checked: pack.checked,
            season: pack.season,
            area: area.id.clone(),
            area_name: area.name.clone(),
            place: chain.iter().find_map(|ring| ring.place),
            species: species_id.to_owned(),
            species_name: match &species_info {
                Some(info) => info.name().to_owned(),
                None if species_id == ANY_CRAB => "all crabs".to_owned(),
                None if species_id == OTHER_KIND => "another kind".to_owned(),
                None => species_id.to_owned(),
            },
            species_info,
            is_named,
            own,
            observed,
            facts,
            layers,
            parts: parts_of(pack, area, species_id),
            sources: pack.sources.clone(),
        })
    }

    /// The source of a fact.
    pub fn source_of<T>(&self, fact: &Cited<T>) -> Option<&Source> {
        fact.source.as_ref().and_then(|key| self.sources.get(key))
    }

    /// The name of a fact, for a confirmation.
    pub fn fact_ref(&self, topic: Topic, value: &str, words: &str) -> FactRef {
        FactRef {
            pack: self.pack.clone(),
            edition: self.checked,
            area: self.area.clone(),
            species: self.species.clone(),
            topic,
            value: value.to_owned(),
            words: words.to_owned(),
        }
    }

    /// The latest confirmation of a fact that holds on `date`.
    pub fn confirmation<'a>(
        &self,
        fact: &FactRef,
        date: Date,
        confirmations: &'a [Confirmation],
    ) -> Option<&'a Confirmation> {
        confirmations
            .iter()
            .filter(|confirmation| confirmation.holds_on(date) && confirmation.names(fact))
            .max_by_key(|confirmation| confirmation.when)
    }

    /// The last day that a confirmation holds for which is given on `today` for a catch on `date`: the end of the
    /// season the day lies in, a year later at most.
    pub fn confirmed_until(&self, today: Date, date: Date) -> Date {
        let days_after = |day: Date, days: i64| day.saturating_add(jiff::Span::new().days(days));
        let mut until = days_after(today.max(date), LONGEST_CONFIRMATION_DAYS);
        if let Some(season) = self.season.filter(|season| (season.from..=season.to).contains(&date)) {
            until = until.min(season.to);
        }
        let opens = |season: &&Season| {
            matches!(season.effect, SeasonEffect::Open | SeasonEffect::OpenOnly) && season.has_calendar()
        };
        let spans = self.facts.season.iter().filter_map(Cited::known).filter(opens);
        for span in spans.filter(|span| span.is_on_calendar(date)) {
            let first_off = (1..=LONGEST_CONFIRMATION_DAYS)
                .map(|days| days_after(date, days))
                .find(|&day| !span.is_on_calendar(day));
            let last_on = first_off.map(|day| day.saturating_sub(jiff::Span::new().days(1)));
            until = until.min(last_on.unwrap_or(until));
        }
        until
    }

    /// The layers of its times.
    pub fn times(&self) -> Vec<&[Cited<Season>]> {
        layered(&self.facts.season, &self.layers)
    }
}

/// What the person chose: country, water, area. Kept between visits; a device's position never is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choice {
    /// Pack.
    pub pack: String,
    /// Area in it.
    pub area: String,
    /// The part or town of it that was asked for, where the search found it by one.
    #[serde(default)]
    pub part: Option<String>,
}

impl Choice {
    /// All of an area.
    pub fn of(pack: impl Into<String>, area: impl Into<String>) -> Self {
        Self { pack: pack.into(), area: area.into(), part: None }
    }

    /// True where both are of one area, whatever part was asked for.
    pub fn is_same_area(&self, other: &Self) -> bool {
        (&self.pack, &self.area) == (&other.pack, &other.area)
    }
}

/// One area of one pack, for a list to choose from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AreaEntry {
    /// What choosing it means.
    pub choice: Choice,
    /// Country.
    pub country: String,
    /// Jurisdiction in words.
    pub jurisdiction: String,
    /// The water in a word or two.
    pub water: String,
    /// The area as its source names it.
    pub name: String,
    /// Species ids that the area has rules for.
    pub species: Vec<String>,
    /// A point in it.
    pub place: Option<Place>,
    /// A part or town of it that the search found it by.
    pub part: Option<String>,
    /// True when a person made the pack.
    pub is_own: bool,
}

/// All areas of `packs` that hold every word of `query` (in country, jurisdiction, water, area, other
/// names, parts, towns or species), in the packs' order. A word with a figure is a number and held as a whole: 1 is
/// not 10. An empty query: all of them. Who asks for a part of an area is shown first what has an entry of its own there.
pub fn search(packs: &[Pack], query: &str) -> Vec<AreaEntry> {
    let query = query.to_lowercase();
    let words: Vec<&str> = query.split_whitespace().collect();
    let all = packs.iter().flat_map(|pack| pack.areas.iter().map(move |area| (pack, area)));
    let found = all.filter(|(pack, area)| {
        let text = searchable(pack, area);
        words.iter().all(|word| has_word(&text, word))
    });
    let mut found: Vec<(&Pack, &Area, Option<String>)> =
        found.map(|(pack, area)| (pack, area, part_found(area, &words))).collect();
    let mut at = 0;
    while let Some((pack, area, part)) = found.get(at) {
        let is_own_entry = |(of, inner, _): &(&Pack, &Area, Option<String>)| {
            of.id == pack.id
                && inner.id != area.id
                && pack.chain(inner).iter().any(|ring| ring.id == area.id)
                && part.as_ref().is_some_and(|part| names_part(inner, part, &words))
        };
        if let Some(behind) = found.iter().skip(at).position(is_own_entry) {
            let first = found.remove(at + behind);
            found.insert(at, first);
        }
        at += 1;
    }
    let named = |(pack, area, part): (&Pack, &Area, Option<String>)| {
        let of_area = entry(pack, area);
        let choice = Choice { part: part.clone(), ..of_area.choice };
        AreaEntry { choice, part, ..of_area }
    };
    found.into_iter().map(named).collect()
}

fn has_word(text: &str, word: &str) -> bool {
    if !word.contains(|c: char| c.is_ascii_digit()) {
        return text.contains(word);
    }
    text.split(|c: char| !c.is_alphanumeric() && c != '-').any(|whole| whole == word)
}

/// The first of the area's parts and towns that has a word which the area's own name has not.
fn part_found(area: &Area, words: &[&str]) -> Option<String> {
    let name = area.name.to_lowercase();
    let news: Vec<&&str> = words.iter().filter(|word| !has_word(&name, word)).collect();
    let parts = area.places.iter().filter_map(Cited::known);
    let finds = |part: &&String| news.iter().any(|word| has_word(&part.to_lowercase(), word));
    parts.into_iter().find(finds).cloned()
}

/// True where the area's name or one of its parts has every word by which `part` of the water around it was found.
fn names_part(area: &Area, part: &str, words: &[&str]) -> bool {
    let part = part.to_lowercase();
    let mut found_by = words.iter().filter(|word| has_word(&part, word));
    let own = area.places.iter().filter_map(Cited::known).chain([&area.name]);
    let own: Vec<String> = own.map(|name| name.to_lowercase()).collect();
    found_by.all(|word| own.iter().any(|name| has_word(name, word)))
}

fn searchable(pack: &Pack, area: &Area) -> String {
    let mut text = format!(
        "{} {} {} {} {} {}",
        pack.country, pack.jurisdiction, pack.name, area.water, area.name, area.id
    );
    let parts = area.places.iter().filter_map(Cited::known);
    for word in area.also_called.iter().chain(parts).chain(area.rules.iter().map(|rule| &rule.species)) {
        text.push(' ');
        text.push_str(word);
    }
    text.to_lowercase()
}

fn entry(pack: &Pack, area: &Area) -> AreaEntry {
    let chain = pack.chain(area);
    let mut species = Vec::new();
    for rule in chain.iter().flat_map(|ring| &ring.rules) {
        if rule.species != ANY_CRAB && !species.contains(&rule.species) {
            species.push(rule.species.clone());
        }
    }
    AreaEntry {
        choice: Choice::of(pack.id.clone(), area.id.clone()),
        country: pack.country.clone(),
        jurisdiction: pack.name.clone(),
        water: area.water.clone(),
        name: area.name.clone(),
        species,
        place: chain.iter().find_map(|ring| ring.place),
        part: None,
        is_own: pack.own.is_some(),
    }
}

/// Ways in which a pack may be out of date on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Staleness {
    /// Checked so many days before the date: more than a season.
    OlderThanASeason {
        /// Days between check and date.
        days: i32,
    },
    /// The date lies outside the season the pack is made for.
    OutsideItsSeason,
    /// The date lies before the pack was checked: what held then was not looked up.
    BeforeItsCheck,
}

/// A pack without a season of its own is taken for one year: rules are set anew with the calendar nearly
/// everywhere (common practice).
const SEASON_DAYS: i32 = 365;

/// Whether a pack that was `checked` then, for `season`, may be out of date on `date`.
pub fn staleness(checked: Date, season: Option<DateSpan>, date: Date) -> Vec<Staleness> {
    let mut found = Vec::new();
    let days = (date - checked).get_days();
    if days > SEASON_DAYS {
        found.push(Staleness::OlderThanASeason { days });
    }
    if season.is_some_and(|season| !(season.from..=season.to).contains(&date)) {
        found.push(Staleness::OutsideItsSeason);
    }
    if season.is_none() && days < -SEASON_DAYS {
        found.push(Staleness::BeforeItsCheck);
    }
    found
}

/// Years between a source's date and `date`, where the source has a year.
pub fn source_age_years(source: &Source, date: Date) -> Option<i16> {
    source.year.map(|year| date.year().saturating_sub(year)).filter(|&age| age > 0)
}

/// True when keep may rest on a fact of this mark only after a person confirmed it.
pub fn needs_confirmation(mark: Mark) -> bool {
    mark != Mark::Seen
}
