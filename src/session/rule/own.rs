//! A rule that the person makes or adjusts for the chosen water, marked as their own on every verdict.

use std::rc::Rc;

use jiff::civil::Date;

use crate::rules::pack::OwnNote;
use crate::rules::{
    Choice, FormMistake, OwnRule, Pack, RuleInForce, free_pack_id, own_pack, with_own_rule, with_pack,
};
use crate::text::full_area_name;

use super::RuleBook;

impl RuleBook {
    /// Takes the rule into the chosen water's pack, or into a new one where `new_water` names a water that no
    /// pack has. On a mistake nothing changes but the list of mistakes.
    pub(in crate::session) fn make_own(
        &mut self,
        rule: &OwnRule,
        who: &str,
        new_water: Option<&str>,
        when: Date,
    ) {
        let note = OwnNote { who: who.trim().to_owned(), when, why: rule.source_title.trim().to_owned() };
        let area = self.choice.as_ref().map(|choice| choice.area.clone());
        let made = match (new_water.map(str::trim), self.chosen_pack()) {
            (Some(""), _) => Err(one_mistake("new_water", "name the water")),
            (Some(water), _) => {
                let id = free_pack_id(&self.all(), water);
                let pack = own_pack(&id, water, water, &note);
                let area = pack.areas.first().map(|area| area.id.clone()).unwrap_or_default();
                with_own_rule(&pack, &area, rule, &note).map(|pack| (pack, Some(area)))
            }
            (None, Some((pack, area))) => with_own_rule(pack, &area, rule, &note).map(|pack| (pack, None)),
            (None, None) => Err(one_mistake("area", "choose a water first")),
        };
        match made {
            Ok((pack, new_area)) => {
                self.form_mistakes.clear();
                self.form_taken = Some(taken_words(rule, &pack, new_area.as_deref().or(area.as_deref())));
                if let Some(area) = new_area {
                    self.choice = Some(Choice::of(pack.id.clone(), area));
                }
                self.own = Rc::new(with_pack(&self.own, pack));
            }
            Err(mistakes) => {
                self.form_mistakes = mistakes;
                self.form_taken = None;
            }
        }
    }
}

/// The kind and the water of a rule that was taken. The line at the top tells of it once the kind is answered.
fn taken_words(rule: &OwnRule, pack: &Pack, area: Option<&str>) -> String {
    let found = area.and_then(|area| RuleInForce::find(pack, area, &rule.species));
    found.map_or_else(
        || rule.species.clone(),
        |found| format!("{}, {}", found.species_name, full_area_name(&found.jurisdiction, &found.area_name)),
    )
}

fn one_mistake(field: &str, words: &str) -> Vec<FormMistake> {
    vec![FormMistake { field: field.to_owned(), words: words.to_owned() }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::MeasuredDimension;
    use crate::rules::facts::{Bound, PublishedLength};
    use jiff::civil::date;

    fn puget_sound() -> RuleBook {
        let choice = Choice::of("us-wa", "puget-sound");
        RuleBook { choice: Some(choice), ..RuleBook::default() }
    }

    /// The form names each kind that its rule may be written for: one that is not in its list would be shown as another.
    #[test]
    fn the_kinds_of_the_water_come_first() {
        let mut book = puget_sound();
        let ids = |book: &RuleBook| book.all_kinds().into_iter().map(|(id, _)| id).collect::<Vec<_>>();
        assert_eq!(ids(&book)[..book.kinds().len()], book.kinds());
        book.import(include_str!("../../../www/rules/uk-sct.json"), date(2026, 7, 15));
        book.choice = Some(Choice::of("uk-sct", "scottish-zone"));
        let all = ids(&book);
        assert!(all.contains(&"velvet".to_owned()) && all.contains(&"dungeness".to_owned()), "{all:?}");
        assert!(all.iter().position(|id| id == "velvet") < all.iter().position(|id| id == "dungeness"));
    }

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
        let mut book = puget_sound();
        book.make_own(&emergency(), "Ann", None, date(2026, 11, 25));
        assert_eq!(book.form_mistakes, []);
        assert!(book.form_taken.as_deref().is_some_and(|taken| taken.starts_with("Dungeness crab, ")));
        book.enforce(Some("dungeness"));
        let rule = book.in_force.as_ref().expect("a rule");
        assert_eq!(rule.own.as_ref().map(|own| own.who.as_str()), Some("Ann"));
        let min = rule.facts.sizes[0].min.as_ref().and_then(|min| min.known().cloned());
        assert_eq!(min, PublishedLength::parse("6 1/2 in").map(Bound::At));
        assert!(!rule.facts.shell.is_empty(), "what the pack says besides stays");
    }

    #[test]
    fn every_mistake_is_told_at_once_and_nothing_changes() {
        let mut book = puget_sound();
        let before = book.own.clone();
        let bad = OwnRule { min: Some("six".into()), source_title: String::new(), ..emergency() };
        book.make_own(&bad, " ", None, date(2026, 11, 25));
        let fields: Vec<&str> = book.form_mistakes.iter().map(|mistake| mistake.field.as_str()).collect();
        assert_eq!(fields, ["min", "source_title", "who"]);
        assert_eq!(book.own, before);
    }

    #[test]
    fn a_water_that_no_pack_has_is_chosen_once_its_rule_is_taken() {
        let mut book = puget_sound();
        let was = book.choice.clone();
        let bay = OwnRule { dimension: Some(MeasuredDimension::Notch), ..emergency() };
        book.make_own(&bay, "Ann", Some(" "), date(2026, 11, 25));
        assert_eq!(book.form_mistakes, one_mistake("new_water", "name the water"));
        assert_eq!(book.choice, was);
        for id in ["own-our-bay", "own-our-bay-2"] {
            book.make_own(&bay, "Ann", Some("Our Bay"), date(2026, 11, 25));
            assert_eq!(book.form_mistakes, []);
            let choice = book.choice.clone().expect("the new water");
            assert_eq!((choice.pack.as_str(), choice.area.as_str()), (id, "here"));
        }
        book.enforce(Some("dungeness"));
        let rule = book.in_force.as_ref().expect("a rule");
        assert_eq!(rule.area_name, "Our Bay");
        assert!(rule.own.is_some() && rule.is_named);
        assert_eq!(rule.facts.sizes.len(), 1);
    }
}
