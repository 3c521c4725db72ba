//! Words about the rule in force.

use jiff::civil::Date;

use crate::rules::{RuleInForce, Source};

/// Water and date of a rule; its source and age: two short lines, since they are always in sight.
pub fn rule_in_force(rule: &RuleInForce, water: &str, date: Date, today: Date) -> [String; 2] {
    let own = if rule.own.is_some() { ", your own rule" } else { "" };
    let day = if date == today { "today".to_owned() } else { date.to_string() };
    let place = match water {
        "" => rule.jurisdiction.clone(),
        water => water.to_owned(),
    };
    let source = main_source(rule).map_or_else(
        || "Source not named".to_owned(),
        |source| match source.year {
            Some(year) => format!("{}, {year}", short(&source.title)),
            None => format!("{}, undated", short(&source.title)),
        },
    );
    [format!("{place}: {day}{own}"), format!("{source}; checked {}", ago(rule.checked, today))]
}

/// The first words of a title: the whole of it is one tap away.
fn short(title: &str) -> String {
    const MOST: usize = 28;
    if title.chars().count() <= MOST {
        return title.to_owned();
    }
    let cut: String = title.chars().take(MOST).collect();
    let ends_a_word = title.chars().nth(MOST).is_some_and(char::is_whitespace);
    let at_word = match cut.rfind(' ') {
        Some(end) if !ends_a_word => &cut[..end],
        _ => cut.as_str(),
    };
    format!("{}…", at_word.trim_end_matches([',', ':', ';']))
}

/// The source that the size comes from; otherwise the first that any fact names.
pub fn main_source(rule: &RuleInForce) -> Option<&Source> {
    let of_size = rule.facts.sizes.iter().find_map(|size| {
        let fact = size.min.as_ref().or(size.max.as_ref())?;
        rule.source_of(fact)
    });
    let of_sex = || rule.facts.sex.iter().find_map(|fact| rule.source_of(fact));
    let of_season = || rule.facts.season.iter().find_map(|fact| rule.source_of(fact));
    of_size.or_else(of_sex).or_else(of_season)
}

/// How long ago, in words.
pub fn ago(then: Date, today: Date) -> String {
    match (today - then).get_days() {
        ..=-1 => format!("on {then}"),
        0 => "today".into(),
        1 => "yesterday".into(),
        days @ 2..=59 => format!("{days} days ago"),
        days @ 60..=699 => format!("{} months ago", days / 30),
        days => format!("{} years ago", days / 365),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn titles_are_cut_at_a_word() {
        assert_eq!(short("Sport fishing rules"), "Sport fishing rules");
        assert_eq!(short("Emergency rule order: summer crab seasons"), "Emergency rule order: summer…");
        assert_eq!(short("Müßiggängerkrabbenverordnungsblatt"), "Müßiggängerkrabbenverordnung…");
    }

    #[test]
    fn ages_are_told_in_the_unit_people_use() {
        let today = date(2026, 11, 25);
        let cases = [
            (date(2026, 11, 25), "today"),
            (date(2026, 11, 24), "yesterday"),
            (date(2026, 11, 1), "24 days ago"),
            (date(2026, 5, 25), "6 months ago"),
            (date(2024, 5, 25), "2 years ago"),
            (date(2026, 12, 1), "on 2026-12-01"),
        ];
        for (then, expected) in cases {
            assert_eq!(ago(then, today), expected);
        }
    }
}
