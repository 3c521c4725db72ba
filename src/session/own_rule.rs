//! A rule that the person makes or adjusts: an emergency order, say. Marked as their own on every verdict.

use std::rc::Rc;

use jiff::civil::Date;

use crate::rules::facts::{Bound, PublishedLength, SexRule, SizeRule};
use crate::rules::pack::{OwnNote, SpeciesRule};
use crate::rules::{
    Choice, Cited, Facts, Length, Mark, MeasuredDimension, Mistake, RuleInForce, Source, read_pack,
    write_pack,
};

use super::rule_book::RuleBook;

/// What the person filled in. Empty sizes mean: none prescribed.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnRule {
    /// Species id.
    pub species: String,
    /// Which distance.
    pub dimension: MeasuredDimension,
    /// Smallest size, as typed.
    pub min: String,
    /// Largest size, as typed.
    pub max: String,
    /// Sexes that may be kept.
    pub sex: SexRule,
    /// Who.
    pub who: String,
    /// Why, or after which order.
    pub why: String,
}

/// Key of the source that an own rule cites.
const OWN_SOURCE: &str = "own-entry";

impl RuleBook {
    /// Takes the rule into the chosen water's pack, as the person's own. What the pack says besides of the
    /// kind (eggs, shell, season) stays. On a mistake nothing changes but the list of mistakes.
    pub(super) fn make_own(&mut self, rule: &OwnRule, when: Date) {
        match self.with_own(rule, when) {
            Ok(pack) => {
                self.mistakes.clear();
                let own = Rc::make_mut(&mut self.own);
                own.retain(|known| known.id != pack.id);
                own.push(pack);
            }
            Err(mistakes) => self.mistakes = mistakes,
        }
    }

    fn with_own(&self, rule: &OwnRule, when: Date) -> Result<crate::rules::Pack, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let mut wrong = |field: &str, words: String| {
            mistakes.push(Mistake { line: 1, field: field.to_owned(), words });
        };
        let size = |text: &str| -> Result<Option<Bound>, String> {
            if text.trim().is_empty() {
                return Ok(None);
            }
            text.parse::<Length>().map_err(|error| error.to_string())?;
            Ok(PublishedLength::parse(text).map(Bound::At))
        };
        let min = size(&rule.min).unwrap_or_else(|words| {
            wrong("smallest size", words);
            None
        });
        let max = size(&rule.max).unwrap_or_else(|words| {
            wrong("largest size", words);
            None
        });
        for (field, text) in [("who", &rule.who), ("why", &rule.why)] {
            if text.trim().is_empty() {
                wrong(field, "empty: a rule of one's own carries who made it and why".to_owned());
            }
        }
        let Some(Choice { pack, area }) = self.choice.clone() else {
            wrong("water", "none chosen: choose the water first".to_owned());
            return Err(mistakes);
        };
        let Some(mut pack) = self.pack(&pack).cloned() else {
            wrong("water", "its rules are not on this device".to_owned());
            return Err(mistakes);
        };
        if !mistakes.is_empty() {
            return Err(mistakes);
        }
        let note = OwnNote { who: rule.who.trim().to_owned(), when, why: rule.why.trim().to_owned() };
        let source = Source {
            title: format!("Own entry: {}", note.why),
            section: String::new(),
            date: when.to_string(),
            year: Some(when.year()),
            address: String::new(),
        };
        pack.sources.insert(OWN_SOURCE.to_owned(), source);
        // The person read it and put their name to it, so it is firm; the verdict names them, not the pack.
        let bound =
            |bound: Option<Bound>| Some(Cited::new(bound.unwrap_or(Bound::None), Mark::Seen, OWN_SOURCE));
        let sizes = vec![SizeRule {
            when: None,
            dimension: Cited::new(rule.dimension, Mark::Seen, OWN_SOURCE),
            landmarks: None,
            min: bound(min),
            max: bound(max),
        }];
        let sex = vec![Cited::new(rule.sex, Mark::Seen, OWN_SOURCE)];
        let kept =
            RuleInForce::find(&pack, &area, &rule.species).map(|found| found.facts).unwrap_or_default();
        if let Some(area) = pack.areas.iter_mut().find(|known| known.id == area) {
            let known = area.rules.iter().position(|known| known.species == rule.species);
            let facts = known.map_or_else(
                || Facts { eggs: kept.eggs, shell: kept.shell, parts: kept.parts, ..Facts::default() },
                |at| area.rules[at].facts.clone(),
            );
            let own = SpeciesRule {
                species: rule.species.clone(),
                own: Some(note),
                observed: None,
                facts: Facts { sizes, sex, ..facts },
            };
            match known {
                Some(at) => area.rules[at] = own,
                None => area.rules.push(own),
            }
        }
        // The same check as for a file: what the form lets through must read back.
        read_pack(&write_pack(&pack))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn emergency() -> OwnRule {
        OwnRule {
            species: "dungeness".into(),
            dimension: MeasuredDimension::Notch,
            min: "6 1/2 in".into(),
            max: String::new(),
            sex: SexRule::MalesOnly,
            who: "Ann".into(),
            why: "order of 20 November".into(),
        }
    }

    #[test]
    fn an_own_rule_takes_force_and_is_marked() {
        let mut book = RuleBook::default();
        book.make_own(&emergency(), date(2026, 11, 25));
        assert_eq!(book.mistakes, []);
        book.enforce(Some("dungeness"));
        let rule = book.in_force.as_ref().expect("a rule");
        assert_eq!(rule.own.as_ref().map(|own| own.who.as_str()), Some("Ann"));
        let min = rule.facts.sizes[0].min.as_ref().and_then(|min| min.known().cloned());
        assert_eq!(min, PublishedLength::parse("6 1/2 in").map(Bound::At));
        assert!(!rule.facts.shell.is_empty(), "what the pack says besides stays");
    }

    #[test]
    fn every_mistake_is_told_at_once_and_nothing_changes() {
        let mut book = RuleBook::default();
        let before = book.own.clone();
        let bad = OwnRule { min: "six".into(), who: " ".into(), why: String::new(), ..emergency() };
        book.make_own(&bad, date(2026, 11, 25));
        let fields: Vec<&str> = book.mistakes.iter().map(|mistake| mistake.field.as_str()).collect();
        assert_eq!(fields, ["smallest size", "who", "why"]);
        assert_eq!(book.own, before);
    }
}
