//! What is well formed and yet can never hold, or holds in some years only: areas within each other, ends that change
//! places from year to year, conditions that no crab and times that no day meets.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde_json::{Map, Value};

use super::check::{Found, Mistake};
use super::lines::{Lines, child};
use crate::rules::choose::combine::layered;
use crate::rules::choose::open::day_state;
use crate::rules::facts::{Season, SeasonEffect};
use crate::rules::pack::{ANY_CRAB, Pack};
use crate::rules::when::DayOfYear;
use crate::rules::{Cited, RuleInForce};

/// After so many years weekdays and dates fall together again (Gregorian calendar, a century's end aside).
const YEARS: i16 = 28;
const FIRST_YEAR: i16 = 2001;

/// Areas that lie within themselves, by way of others: their facts would come round in a circle.
pub(super) fn circles(areas: &[Value], found: &mut Found) {
    let text = |area: &Value, key: &str| area.get(key).and_then(Value::as_str).map(str::to_owned);
    let within = |id: &str| {
        areas
            .iter()
            .find(|area| text(area, "id").as_deref() == Some(id))
            .and_then(|area| text(area, "within"))
    };
    for (index, area) in areas.iter().enumerate() {
        let Some(id) = text(area, "id") else { continue };
        let mut seen = BTreeSet::from([id.clone()]);
        let mut next = text(area, "within");
        while let Some(around) = next {
            if around == id && seen.len() > 1 {
                let words = "this area lies within itself, by way of others: break the circle".to_owned();
                found.push((format!("areas[{index}].within"), words));
            }
            if !seen.insert(around.clone()) {
                break;
            }
            next = within(&around);
        }
    }
}

/// A part of the year whose ends change places from year to year: then it is nearly the whole year in some.
pub(super) fn crossing_ends(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let day = |key: &str| object.get(key)?.as_str()?.parse::<DayOfYear>().ok();
    let (Some(from), Some(to)) = (day("from"), day("to")) else { return };
    let orders: BTreeSet<bool> = (FIRST_YEAR..FIRST_YEAR + YEARS)
        .filter_map(|year| Some(from.in_year(year)? <= to.in_year(year)?))
        .collect();
    if orders.len() > 1 {
        let words = format!(
            "{to} comes before {from} in some years and after it in others: write days that keep their order"
        );
        found.push((child(path, "to"), words));
    }
}

/// A condition that no crab meets: maturity is asked of females.
pub(super) fn never_met(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let is = |key: &str| object.get(key).and_then(Value::as_str);
    if is("sex") == Some("male") && is("maturity").is_some() {
        let words = "no crab meets this: maturity is asked of females only".to_owned();
        found.push((child(path, "maturity"), words));
    }
}

/// What limits ask of licences: in words too, and a limit that a licence takes away has another in its place. Without
/// one, who has a licence would have no limit.
pub(super) fn licences(object: &Map<String, Value>, path: &str, found: &mut Found) {
    let limits = object.get("limits").and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
    let asks = |limit: &Value, licence: &str| {
        limit.pointer("/by_licence/licence").and_then(Value::as_str) == Some(licence)
    };
    let same = |one: &Value, other: &Value| {
        ["/per", "/holder/value", "/amount/when"].iter().all(|at| one.pointer(at) == other.pointer(at))
    };
    let is_known = |limit: &Value| limit.pointer("/amount/value").is_some();
    for (index, limit) in limits.iter().enumerate().filter(|(_, limit)| limit.get("by_licence").is_some()) {
        let path = format!("{}[{index}].by_licence", child(path, "limits"));
        if limit.get("condition").is_none() {
            found.push((path.clone(), "say for whom in words too: write `condition`".to_owned()));
        }
        let is_replaced =
            || limits.iter().any(|other| asks(other, "held") && same(limit, other) && is_known(other));
        if asks(limit, "not-held") && !is_replaced() {
            let words = "a licence takes this limit away, and none of the licensed takes its place: write it, for the \
                         same holder, time and crabs";
            found.push((path, words.to_owned()));
        }
    }
}

/// Times that hold on no day, alone or together.
pub(super) fn never_open(pack: &Pack) -> Found {
    let mut found = Found::new();
    for (at, area) in pack.areas.iter().enumerate() {
        for (nth, rule) in area.rules.iter().enumerate() {
            let path = format!("areas[{at}].rules[{nth}].facts.season");
            for (index, fact) in rule.facts.season.iter().enumerate() {
                if let Some(season) = fact.known().filter(|season| !ever(season, |day| season.is_on(day))) {
                    let words = format!("no day is among these days, dates and weekdays: {}", season.words);
                    found.push((format!("{path}[{index}].value"), words));
                }
            }
            if found.is_empty() && !rule.facts.season.is_empty() {
                found.extend(never_open_together(pack, &area.id, &rule.species).map(|words| (path, words)));
            }
        }
    }
    found
}

/// Open times of several layers that leave no day.
fn never_open_together(pack: &Pack, area: &str, species: &str) -> Option<String> {
    let rule = RuleInForce::find(pack, area, species)?;
    let opens = |fact: &&Cited<Season>| {
        fact.known().is_some_and(|season| {
            matches!(season.effect, SeasonEffect::Open | SeasonEffect::OpenOnly)
                && season.condition.is_none()
                && (season.has_calendar() || !season.weekdays.is_empty())
        })
    };
    let season: Vec<Cited<Season>> = rule.facts.season.iter().filter(opens).cloned().collect();
    let layers: Vec<usize> = layered(&rule.facts.season, &rule.layers)
        .iter()
        .map(|layer| layer.iter().filter(opens).count())
        .collect();
    if season.len() < 2 {
        // One entry alone is looked at by itself.
        return None;
    }
    let layers = layered(&season, &layers);
    let is_open = |day: Date| day_state(&layers, day, &|_| true).closed.is_empty();
    let all = season.iter().filter_map(Cited::known);
    // Dates say nothing of other years: where some are named, only their days count.
    let has_dates = all.clone().any(|season| season.dates.is_some());
    let counts = |season: &&Season| season.dates.is_some() == has_dates;
    let is_ever = all.clone().filter(counts).any(|season| ever(season, is_open));
    (!is_ever).then(|| {
        let told: Vec<&str> = all.map(|season| season.words.as_str()).collect();
        let kind = if species == ANY_CRAB { "any crab" } else { species };
        format!("no day is left open for {kind} by all of these together: {}", told.join(" / "))
    })
}

/// True when `holds` on some day of the dates of `season`, or of all the years that tell days and weekdays apart.
fn ever(season: &Season, holds: impl Fn(Date) -> bool) -> bool {
    let whole = |year| Date::new(year, 1, 1).ok();
    let (from, to) = match season.dates {
        Some(dates) => (Some(dates.from), Some(dates.to)),
        None => (whole(FIRST_YEAR), whole(FIRST_YEAR + YEARS)),
    };
    let (Some(from), Some(to)) = (from, to) else { return true };
    let most = usize::try_from(i32::from(YEARS) * 366).unwrap_or(usize::MAX);
    from.series(jiff::Span::new().days(1)).take_while(|day| *day <= to).take(most).any(holds)
}

/// Dates of checking and of own rules that lie in the future; clocks and time zones may be a day apart.
pub(super) fn from_the_future(pack: &Value, today: Date, lines: &Lines) -> Vec<Mistake> {
    fn walk(value: &Value, path: &str, latest: Date, found: &mut Found) {
        match value {
            Value::Object(object) => {
                for (name, value) in object {
                    let inner = child(path, name);
                    let date = value.as_str().and_then(|text| text.parse::<Date>().ok());
                    if let Some(date) = date.filter(|date| {
                        *date > latest && (name == "checked" || (name == "when" && path.ends_with("own")))
                    }) {
                        found.push((
                            inner.clone(),
                            format!("{date} is yet to come: write the day it was done"),
                        ));
                    }
                    walk(value, &inner, latest, found);
                }
            }
            Value::Array(list) => {
                for (index, value) in list.iter().enumerate() {
                    walk(value, &format!("{path}[{index}]"), latest, found);
                }
            }
            _ => {}
        }
    }
    let mut found = Found::new();
    walk(pack, "", today.tomorrow().unwrap_or(today), &mut found);
    found.into_iter().map(|(field, words)| Mistake { line: lines.line(&field), field, words }).collect()
}
