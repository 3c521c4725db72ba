//! A rule that the person makes or adjusts for the chosen water, marked as their own on every verdict.

use std::rc::Rc;

use jiff::civil::Date;

use crate::rules::pack::OwnNote;
use crate::rules::{FormMistake, OwnRule, with_own_rule, with_pack};

use super::rule_book::RuleBook;

impl RuleBook {
    /// Takes the rule into the chosen water's pack. On a mistake nothing changes but the list of mistakes.
    pub(super) fn make_own(&mut self, rule: &OwnRule, who: &str, when: Date) {
        let note = OwnNote { who: who.trim().to_owned(), when, why: rule.source_title.trim().to_owned() };
        let made = match self.chosen_pack() {
            Some((pack, area)) => with_own_rule(pack, &area, rule, &note),
            None => {
                Err(vec![FormMistake { field: "area".to_owned(), words: "choose a water first".to_owned() }])
            }
        };
        match made {
            Ok(pack) => {
                self.form_mistakes.clear();
                self.own = Rc::new(with_pack(&self.own, pack));
            }
            Err(mistakes) => self.form_mistakes = mistakes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::facts::{Bound, PublishedLength};
    use jiff::civil::date;

    fn emergency() -> OwnRule {
        OwnRule {
            species: "dungeness".into(),
            min: Some("6 1/2 in".into()),
            source_title: "order of 20 November".into(),
            is_read: true,
            ..OwnRule::default()
        }
    }

    #[test]
    fn an_own_rule_takes_force_and_is_marked() {
        let mut book = RuleBook::default();
        book.make_own(&emergency(), "Ann", date(2026, 11, 25));
        assert_eq!(book.form_mistakes, []);
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
        let bad = OwnRule { min: Some("six".into()), source_title: String::new(), ..emergency() };
        book.make_own(&bad, " ", date(2026, 11, 25));
        let fields: Vec<&str> = book.form_mistakes.iter().map(|mistake| mistake.field.as_str()).collect();
        assert_eq!(fields, ["min", "source_title", "who"]);
        assert_eq!(book.own, before);
    }
}
