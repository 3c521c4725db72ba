//! Small steps through the JSON of a pack.

use jiff::civil::Date;
use serde_json::Value;

pub fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value.get(key).and_then(Value::as_str).unwrap_or_default()
}

pub fn items<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value.get(key).and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default()
}

pub fn is_seen(fact: &Value) -> bool {
    text(fact, "mark") == "seen"
}

pub fn is_known(fact: &Value) -> bool {
    text(fact, "mark") != "unknown"
}

/// `07-15`, or `11-sat1` as the day it is in `date`'s year, as text that sorts like the calendar.
pub fn day_of(word: &str, date: Date) -> String {
    let (month, day) = word.split_once('-').expect("a day of the year");
    if day.len() == 2 {
        return word.to_owned();
    }
    let month: i8 = month.parse().expect("a month");
    let nth: usize = day[3..].parse().expect("a count");
    let wanted = |day: &Date| format!("{:?}", day.weekday()).to_lowercase().starts_with(&word[3..6]);
    let first = Date::new(date.year(), month, 1).expect("a date");
    let found =
        (0..31).filter_map(|more| first.checked_add(jiff::Span::new().days(more)).ok()).filter(wanted);
    let found = found.filter(|day| day.month() == month).nth(nth - 1).expect("the nth");
    format!("{:02}-{:02}", found.month(), found.day())
}

pub fn in_span(span: &Value, date: Date) -> bool {
    let (from, to) = (day_of(text(span, "from"), date), day_of(text(span, "to"), date));
    let day = format!("{:02}-{:02}", date.month(), date.day());
    if from <= to { from <= day && day <= to } else { day >= from || day <= to }
}
