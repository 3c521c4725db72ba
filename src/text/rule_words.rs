//! Words about the rule in force.

use jiff::civil::Date;

use crate::decide::SeasonState;
use crate::rules::{RuleInForce, Source};

/// Water and date of a rule; its source; its age: short, since they are always in sight.
pub fn rule_in_force(rule: &RuleInForce, water: &str, date: Date, today: Date) -> [String; 3] {
    let own = if rule.own.is_some() { ", your own rule" } else { "" };
    let day = if date == today { "today".to_owned() } else { unbroken(date) };
    let place = match water {
        "" => rule.jurisdiction.clone(),
        // A name of its own says where; `statewide` does not.
        water if water.starts_with(char::is_uppercase) => water.to_owned(),
        water => full_area_name(&rule.jurisdiction, water),
    };
    let source = main_source(rule).map_or_else(
        || all_sources(rule),
        |source| match source.year {
            Some(year) => format!("{}, {year}", short(&source.title)),
            None => format!("{}, undated", short(&source.title)),
        },
    );
    [format!("{place}, {day}{own}"), source, format!("checked {}", ago(rule.checked, today))]
}

/// The season on the chosen day in a few words: of the kind in hand, or of all kinds of the water.
pub fn season_in_short(states: &[(String, SeasonState)]) -> String {
    let first = states.first().map(|(_, state)| *state);
    if states.iter().all(|(_, state)| Some(*state) == first) {
        return first.map_or_else(String::new, |state| format!("Season {}", state_in_short(state)));
    }
    let said = [SeasonState::Closed, SeasonState::NotKnown, SeasonState::Open, SeasonState::SaidOpen];
    let parts = said.into_iter().filter_map(|state| {
        let names: Vec<&str> =
            states.iter().filter(|(_, found)| *found == state).map(|(name, _)| name.as_str()).collect();
        match names.as_slice() {
            [] => None,
            [name] => Some(format!("{} for {name}", state_in_short(state))),
            more => Some(format!("{} for {} kinds", state_in_short(state), more.len())),
        }
    });
    format!("Season {}", parts.collect::<Vec<_>>().join(", "))
}

/// The season in two or three words, for the line at the top; what differs by kind is one tap away.
pub fn season_at_the_top(states: &[(String, SeasonState)]) -> &'static str {
    match states.first() {
        None => "",
        Some((_, first)) if states.iter().any(|(_, state)| state != first) => "differs by kind",
        Some((_, SeasonState::Open)) => "open",
        Some((_, SeasonState::SaidOpen)) => "open, looked up",
        Some((_, SeasonState::Closed)) => "closed",
        Some((_, SeasonState::NotKnown)) => "not known if open",
    }
}

fn state_in_short(state: SeasonState) -> &'static str {
    match state {
        SeasonState::Open => "open",
        SeasonState::SaidOpen => "open, as you looked up",
        SeasonState::Closed => "closed",
        SeasonState::NotKnown => "not known",
    }
}

/// Where the season of a rule can be looked up, one line each: the texts its times come from, or where the pack has
/// none, those of its other facts.
pub fn where_to_look_up(rule: &RuleInForce) -> Vec<String> {
    /// More would not be looked through.
    const MOST: usize = 3;
    let mut sources: Vec<&Source> = Vec::new();
    let of_season = rule.facts.season.iter().filter_map(|fact| rule.source_of(fact));
    for source in of_season.chain(main_source(rule)).chain(rule.sources.values()) {
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    let line = |source: &Source| {
        let parts = [source.title.as_str(), source.address.as_str()];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(": ")
    };
    sources.into_iter().take(MOST).map(line).collect()
}

/// Before the kind is known no one source holds: how old and how new those of the pack are.
fn all_sources(rule: &RuleInForce) -> String {
    let years = || rule.sources.values().filter_map(|source| source.year);
    match (years().min(), years().max()) {
        (Some(oldest), Some(newest)) if oldest < newest => {
            format!("Rules by kind, sources of {oldest} to {newest}")
        }
        (Some(year), _) => format!("Rules by kind, source of {year}"),
        _ if rule.sources.is_empty() => "Source not named".to_owned(),
        _ => "Rules by kind, sources undated".to_owned(),
    }
}

/// An area with its state or country first, where its own name does not say it: "statewide" alone says of
/// no state.
pub fn full_area_name(jurisdiction: &str, area: &str) -> String {
    if area.to_lowercase().contains(&jurisdiction.to_lowercase()) {
        area.to_owned()
    } else {
        format!("{jurisdiction}: {area}")
    }
}

/// A date that no line breaks in two: its hyphens and spaces hold together.
pub fn unbroken(date: Date) -> String {
    date.to_string().replace('-', "\u{2011}")
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
        ..=-1 => format!("on {}", unbroken(then)),
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
    fn the_line_at_the_top_never_says_open_of_a_kind_that_is_not() {
        let of = |state| (String::new(), state);
        assert_eq!(season_at_the_top(&[]), "");
        assert_eq!(season_at_the_top(&[of(SeasonState::Open), of(SeasonState::Open)]), "open");
        assert_eq!(season_at_the_top(&[of(SeasonState::SaidOpen)]), "open, looked up");
        assert_eq!(season_at_the_top(&[of(SeasonState::Closed)]), "closed");
        assert_eq!(season_at_the_top(&[of(SeasonState::NotKnown)]), "not known if open");
        for other in [SeasonState::Closed, SeasonState::NotKnown, SeasonState::SaidOpen] {
            assert_eq!(season_at_the_top(&[of(SeasonState::Open), of(other)]), "differs by kind");
        }
    }

    #[test]
    fn the_season_of_several_kinds_is_told_apart() {
        let of = |name: &str, state| (name.to_owned(), state);
        let rock = of("rock crab", SeasonState::Open);
        assert_eq!(season_in_short(&[]), "");
        assert_eq!(season_in_short(std::slice::from_ref(&rock)), "Season open");
        let kinds = [
            rock,
            of("Dungeness crab", SeasonState::Closed),
            of("a", SeasonState::NotKnown),
            of("b", SeasonState::NotKnown),
        ];
        assert_eq!(
            season_in_short(&kinds),
            "Season closed for Dungeness crab, not known for 2 kinds, open for rock crab"
        );
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
            (date(2026, 12, 1), "on 2026\u{2011}12\u{2011}01"),
        ];
        for (then, expected) in cases {
            assert_eq!(ago(then, today), expected);
        }
    }

    #[test]
    fn a_state_stands_before_an_area_that_does_not_say_it() {
        for (state, area, full) in [
            ("Oregon", "statewide", "Oregon: statewide"),
            ("Alaska", "Southeast Alaska", "Southeast Alaska"),
            ("Washington", "Puget Sound", "Washington: Puget Sound"),
            ("Jersey", "Jersey", "Jersey"),
            ("New Jersey", "Jersey", "New Jersey: Jersey"),
        ] {
            assert_eq!(full_area_name(state, area), full);
        }
    }

    /// A water without a rule for all crabs: the years are those of the pack's own sources.
    #[test]
    fn before_the_kind_is_known_the_line_tells_the_years_of_the_sources() {
        let pack = crate::rules::built_in_pack();
        let mut rule = RuleInForce::find(&pack, "statewide", crate::rules::pack::ANY_CRAB).expect("a rule");
        rule.facts = crate::rules::Facts::default();
        let today = date(2026, 11, 25);
        let years: Vec<i16> = pack.sources.values().filter_map(|source| source.year).collect();
        let (oldest, newest) = (years.iter().min().expect("years"), years.iter().max().expect("years"));
        assert!(oldest < newest);
        let line = |rule: &RuleInForce| rule_in_force(rule, "statewide", today, today)[1].clone();
        assert_eq!(line(&rule), format!("Rules by kind, sources of {oldest} to {newest}"));
        rule.sources.clear();
        assert_eq!(line(&rule), "Source not named");
    }

    #[test]
    fn the_line_names_the_state_and_breaks_no_date() {
        let pack = crate::rules::built_in_pack();
        let rule = RuleInForce::find(&pack, "statewide", "dungeness").expect("a rule");
        let (day, today) = (date(2026, 7, 4), date(2026, 11, 25));
        assert_eq!(rule_in_force(&rule, "statewide", today, today)[0], "Washington: statewide, today");
        let [line, _, age] = rule_in_force(&rule, "Puget Sound", day, today);
        assert_eq!(line, "Puget Sound, 2026\u{2011}07\u{2011}04");
        assert!(age.starts_with("checked "), "{age}");
        assert!(!line.contains('-'), "a hyphen is where a line may break (Unicode UAX 14)");
    }
}
