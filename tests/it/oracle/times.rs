//! Whether a water is open on a day, by the JSON of its times.

use jiff::civil::Date;
use serde_json::Value;

use super::json::{in_span, is_known, is_seen, items, text};

/// Whether the day is closed, and whether it is known to be open, by all layers; nobody looks at the clock.
pub fn times(layers: &[&[Value]], date: Date) -> (bool, bool) {
    let (mut closed, mut doubt, mut said) = (false, false, false);
    for layer in layers {
        let value = |fact: &Value| fact.get("value").cloned().unwrap_or_default();
        let is_free = |fact: &&Value| fact["value"].get("condition").is_none();
        let effect = |fact: &Value| text(&fact["value"], "effect").to_owned();
        doubt |= layer.iter().any(|fact| !is_known(fact) || effect(fact) == "by-order");
        let known: Vec<&Value> = layer.iter().filter(|fact| is_known(fact)).collect();
        let mut groups: Vec<Vec<&Value>> =
            vec![known.iter().copied().filter(is_free).filter(|fact| effect(fact) == "open").collect()];
        groups.extend(
            known
                .iter()
                .copied()
                .filter(is_free)
                .filter(|fact| effect(fact) == "open-only")
                .map(|fact| vec![fact]),
        );
        for group in groups.iter().filter(|group| !group.is_empty()) {
            let with_calendar: Vec<&Value> =
                group.iter().copied().filter(|fact| has_calendar(&value(fact))).collect();
            let on_calendar: Vec<&Value> =
                group.iter().copied().filter(|fact| is_on_calendar(&value(fact), date)).collect();
            let with_weekdays: Vec<&Value> = on_calendar
                .iter()
                .copied()
                .filter(|fact| !items(&fact["value"], "weekdays").is_empty())
                .collect();
            for (named, is_on) in [
                (
                    &with_calendar,
                    with_calendar
                        .iter()
                        .filter(|fact| is_on_calendar(&value(fact), date))
                        .copied()
                        .collect::<Vec<_>>(),
                ),
                (
                    &with_weekdays,
                    with_weekdays.iter().filter(|fact| is_on_weekday(&value(fact), date)).copied().collect(),
                ),
            ] {
                if named.is_empty() || is_on.iter().any(|fact| is_seen(fact)) {
                    continue;
                }
                let is_elsewhere = named.iter().all(|fact| is_of_other_years(&value(fact), date));
                if is_on.is_empty() && named.iter().all(|fact| is_seen(fact)) && !is_elsewhere {
                    closed = true;
                } else {
                    doubt = true;
                }
            }
            said |= on_calendar.iter().any(|fact| is_seen(fact) && is_on_weekday(&value(fact), date));
        }
        for fact in known {
            let season = value(fact);
            let is_on = is_on_calendar(&season, date) && is_on_weekday(&season, date);
            let is_part = season.get("hours").is_some() || season.get("night").is_some();
            let is_for_all = is_free(&fact);
            match (effect(fact).as_str(), is_on) {
                ("closed", false) => said |= is_seen(fact) && is_for_all && season.get("days").is_some(),
                ("closed", true) if !is_part && is_for_all && is_seen(fact) => closed = true,
                ("closed", true) if !is_part => doubt = true,
                ("open" | "open-only", false) if !is_for_all => doubt = true,
                _ => {}
            }
        }
    }
    (closed, said && !doubt && !closed)
}

fn has_calendar(season: &Value) -> bool {
    season.get("days").is_some() || season.get("dates").is_some()
}

fn is_on_calendar(season: &Value, date: Date) -> bool {
    let day = date.to_string();
    season.get("days").is_none_or(|days| in_span(days, date))
        && season
            .get("dates")
            .is_none_or(|dates| text(dates, "from") <= day.as_str() && day.as_str() <= text(dates, "to"))
}

fn is_on_weekday(season: &Value, date: Date) -> bool {
    let names = items(season, "weekdays");
    names.is_empty()
        || names.iter().any(|name| *name == format!("{:?}", date.weekday()).to_lowercase().as_str())
}

fn is_of_other_years(season: &Value, date: Date) -> bool {
    let year = date.year().to_string();
    season.get("days").is_none()
        && season.get("dates").is_some_and(|dates| {
            text(dates, "to")[..4] < *year.as_str() || text(dates, "from")[..4] > *year.as_str()
        })
}
