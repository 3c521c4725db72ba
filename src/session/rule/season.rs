//! The person's word that a water is open, or closed, for a kind on a day: looked up once, kept for that day only.

use std::rc::Rc;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::RuleBook;
use crate::rules::RuleInForce;

/// What the person looked up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeasonWord {
    /// Pack.
    pub pack: String,
    /// Area.
    pub area: String,
    /// Species.
    pub species: String,
    /// The day of the catch it was looked up for.
    pub day: Date,
    /// Open, or closed.
    pub is_open: bool,
}

impl SeasonWord {
    fn is_of(&self, rule: &RuleInForce, day: Date) -> bool {
        self.pack == rule.pack && self.area == rule.area && self.species == rule.species && self.day == day
    }
}

impl RuleBook {
    /// What the person looked up for the rule in force on `day`.
    pub(in crate::session) fn season_word(&self, rule: &RuleInForce, day: Date) -> Option<bool> {
        self.season_words.iter().find(|word| word.is_of(rule, day)).map(|word| word.is_open)
    }

    /// Takes the person's word, in place of an earlier one; none takes it back.
    pub(in crate::session) fn say_season(&mut self, day: Date, is_open: Option<bool>) {
        let Some(rule) = self.in_force.clone() else { return };
        let words = Rc::make_mut(&mut self.season_words);
        words.retain(|word| !word.is_of(&rule, day));
        words.extend(is_open.map(|is_open| SeasonWord {
            pack: rule.pack.clone(),
            area: rule.area.clone(),
            species: rule.species.clone(),
            day,
            is_open,
        }));
    }

    /// Lets go of words for days before `today`.
    pub(in crate::session) fn forget_seasons_before(&mut self, today: Date) {
        if self.season_words.iter().any(|word| word.day < today) {
            Rc::make_mut(&mut self.season_words).retain(|word| word.day >= today);
        }
    }
}
