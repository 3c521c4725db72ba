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
    /// The part of the area that was asked for.
    #[serde(default)]
    pub part: Option<String>,
    /// Species.
    pub species: String,
    /// The day of the catch it was looked up for.
    pub day: Date,
    /// Open, or closed.
    pub is_open: bool,
}

impl SeasonWord {
    fn is_of(&self, rule: &RuleInForce, part: Option<&str>, day: Date) -> bool {
        // Parts of one water open and close on their own: a word on one says nothing of the next.
        self.pack == rule.pack
            && self.area == rule.area
            && self.part.as_deref() == part
            && self.species == rule.species
            && self.day == day
    }
}

impl RuleBook {
    /// What the person looked up for the rule in force on `day`.
    pub(in crate::session) fn season_word(&self, rule: &RuleInForce, day: Date) -> Option<bool> {
        let part = self.part_of(rule);
        self.season_words.iter().find(|word| word.is_of(rule, part, day)).map(|word| word.is_open)
    }

    /// The part of a rule's area that was asked for.
    fn part_of(&self, rule: &RuleInForce) -> Option<&str> {
        let choice =
            self.choice.as_ref().filter(|choice| choice.pack == rule.pack && choice.area == rule.area)?;
        choice.part.as_deref()
    }

    /// Takes the person's word, in place of an earlier one; none takes it back.
    pub(in crate::session) fn say_season(&mut self, day: Date, is_open: Option<bool>) {
        let Some(rule) = self.in_force.clone() else { return };
        let part = self.part_of(&rule).map(str::to_owned);
        let words = Rc::make_mut(&mut self.season_words);
        words.retain(|word| !word.is_of(&rule, part.as_deref(), day));
        words.extend(is_open.map(|is_open| SeasonWord {
            pack: rule.pack.clone(),
            area: rule.area.clone(),
            part,
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

#[cfg(test)]
mod tests {
    use crate::decide::{Call, Verdict};
    use crate::rules::Choice;
    use crate::session::tests::{after, keeper, start};
    use crate::session::{Action, DayAct, Session};

    fn at(part: Option<&str>) -> Action {
        let part = part.map(str::to_owned);
        Action::ChooseRule(Choice { part, ..Choice::of("us-wa", "puget-sound") })
    }

    /// The Marine Areas of Puget Sound open and close on their own (us-wa: Area 13 was closed in the summer of 2024).
    #[test]
    fn a_word_on_one_part_of_a_water_says_nothing_of_the_next() {
        let call =
            |session: &Session| session.outcome().and_then(|outcome| outcome.verdict().map(Verdict::call));
        let ten = || at(Some("Marine Area 10 (Seattle/Bremerton)"));
        let said = keeper(start().apply(ten()));
        assert_eq!(call(&said), Some(Call::Keep));
        let moved = said.apply(at(Some("Marine Area 11 (Tacoma/Vashon Island)")));
        assert_eq!(call(&moved), None, "the season of another part is asked");
        assert_eq!(call(&said.apply(at(None))), None, "and that of the whole");
        assert_eq!(call(&moved.apply(ten())), Some(Call::Keep), "said once for the day");
        // The same area read again: the word is taken back where it was said.
        let mut back = moved.rules.clone();
        back.say_season(said.date(), None);
        assert_eq!(back.season_words.len(), said.rules.season_words.len());
    }

    /// The part stands at the top, in the question and in the book.
    #[test]
    fn the_part_that_was_asked_for_is_named() {
        let ten = start().apply(at(Some("Marine Area 10 (Seattle/Bremerton)")));
        assert_eq!(ten.rules.water(), "Marine Area 10, Puget Sound");
        assert_eq!(start().rules.water(), "Puget Sound");
        let south = start().apply(Action::ChooseRule(Choice::of("us-wa", "hood-canal-south-and-13")));
        let named = "Marine Area 12 south of Ayock Point; Marine Area 13, Puget Sound";
        assert_eq!(south.rules.water(), named, "an entry of its own within a water");
        assert!(!ten.rules.kinds().is_empty(), "a part has the kinds of its area");
        let kept = after(keeper(ten), [Action::Day(DayAct::Keep(crate::day::Id::first_person()))]);
        let record = kept.double_check();
        assert_eq!(record[0].lines[0].water, "Marine Area 10, Puget Sound");
    }
}
