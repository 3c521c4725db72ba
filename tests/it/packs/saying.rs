//! A rule in force as short lines, so that a table can be read beside its sources.

use serde::Serialize;
use serde_json::Value;
use shellspan::rules::facts::{Amount, Bound, Limit, Season, SizeRule};
use shellspan::rules::when::When;
use shellspan::rules::{self, Cited, Pack, RuleInForce};

/// The pack of a file, every mistake told.
pub fn load(name: &str) -> Pack {
    let path = super::folder().join(format!("{name}.json"));
    let text = std::fs::read_to_string(&path).expect("a text");
    rules::read_pack(&text).unwrap_or_else(|mistakes| {
        let lines: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        panic!("{name}:\n{}", lines.join("\n"))
    })
}

/// What holds for a species in an area, inherited facts included.
pub fn rule(pack: &str, area: &str, species: &str) -> RuleInForce {
    RuleInForce::find(&load(pack), area, species).expect("an area")
}

/// The facts of a rule as lines: `sex males-only/seen`; `/` stands before the mark.
pub fn says(pack: &str, area: &str, species: &str) -> Vec<String> {
    let facts = rule(pack, area, species).facts;
    let mut lines = Vec::new();
    lines.extend(facts.take.iter().map(|fact| plain("take", fact)));
    lines.extend(facts.sizes.iter().map(size));
    lines.extend(facts.sex.iter().map(|fact| plain("sex", fact)));
    lines.extend(facts.eggs.iter().map(|fact| plain("eggs", fact)));
    lines.extend(facts.shell.iter().map(|fact| plain("shell", fact)));
    lines.extend(facts.parts.iter().map(|fact| plain("parts", fact)));
    lines.extend(facts.limits.iter().map(limit));
    lines.extend(facts.season.iter().map(season));
    for fact in &facts.record {
        let due = fact.known().map_or_else(|| "?".to_owned(), |duty| name(&duty.due));
        lines.push(format!("record {due}/{}", name(&fact.mark)));
    }
    for fact in &facts.invasive {
        let Some(duty) = fact.known() else { continue };
        let (keep, back, report) = (name(&duty.keep), name(&duty.put_back), name(&duty.report));
        lines.push(format!("invasive keep {keep}, put back {back}, report {report}/{}", name(&fact.mark)));
    }
    lines
}

fn name<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value).expect("a value") {
        Value::String(text) => text,
        other => other.to_string(),
    }
}

fn when(when: Option<&When>) -> String {
    let Some(when) = when else { return String::new() };
    let mut parts: Vec<String> = Vec::new();
    parts.extend(when.maturity.map(|maturity| name(&maturity)));
    parts.extend(when.sex.map(|sex| name(&sex)));
    parts.extend(when.stage.iter().map(name));
    parts.extend(when.days.map(|days| format!("{}..{}", name(&days.from), name(&days.to))));
    format!("[{}]", parts.join(" "))
}

fn plain<T: Serialize>(topic: &str, fact: &Cited<T>) -> String {
    let value = fact.known().map_or_else(|| "?".to_owned(), name);
    format!("{topic}{} {value}/{}", when(fact.when.as_ref()), name(&fact.mark))
}

fn size(rule: &SizeRule) -> String {
    let dimension = rule.dimension.known().map_or_else(|| "?".to_owned(), name);
    let mut line = format!("size{} {dimension}/{}", when(rule.when.as_ref()), name(&rule.dimension.mark));
    for (which, bound) in [("min", &rule.min), ("max", &rule.max)] {
        let Some(bound) = bound else { continue };
        let words = match bound.known() {
            None => "?".to_owned(),
            Some(Bound::None) => "none".to_owned(),
            Some(Bound::At(length)) => {
                format!("{} = {} mm", length.published, length.exact.millimetres().0)
            }
        };
        line += &format!(", {which} {words}/{}", name(&bound.mark));
    }
    line
}

fn limit(limit: &Limit) -> String {
    let amount = match limit.amount.known() {
        None => "?".to_owned(),
        Some(Amount::Unlimited) => "unlimited".to_owned(),
        Some(Amount::Crabs(count)) => count.to_string(),
        Some(Amount::Volume(volume)) => volume.clone(),
    };
    let holder = limit.holder.known().map_or_else(|| "?".to_owned(), name);
    let mut line = format!(
        "limit{} {amount}/{} per {holder}/{} and {}",
        when(limit.amount.when.as_ref()),
        name(&limit.amount.mark),
        name(&limit.holder.mark),
        name(&limit.per)
    );
    if !limit.together_with.is_empty() {
        line += &format!(" with {}", limit.together_with.join("+"));
    }
    if let Some(condition) = &limit.condition {
        line += &format!(" ({condition})");
    }
    line
}

fn season(fact: &Cited<Season>) -> String {
    let Some(season) = fact.known() else { return format!("season ?/{}", name(&fact.mark)) };
    let mut line = format!("season {}", name(&season.effect));
    if let Some(days) = season.days {
        line += &format!(" {}..{}", name(&days.from), name(&days.to));
    }
    if let Some(dates) = season.dates {
        line += &format!(" {}..{}", dates.from, dates.to);
    }
    for day in &season.weekdays {
        line += &format!(" {}", name(day));
    }
    if let Some(night) = season.night {
        line += &format!(" night {} {}", night.minutes_after_sunset, night.minutes_before_sunrise);
    }
    if let Some(condition) = &season.condition {
        line += &format!(" ({condition})");
    }
    line + &format!("/{}", name(&fact.mark))
}
