//! The rules at hand, the one in force, and what persons confirmed of them.
//!
//! `own` is the rule that the person makes or adjusts, [`SeasonWord`] what they looked up of a day, `look_alikes` the kinds
//! that are taken for one that has a rule.

mod look_alikes;
mod own;
mod season;

pub use season::SeasonWord;

use std::rc::Rc;

use jiff::civil::Date;
use serde::de::DeserializeOwned;

use crate::rules::pack::{ANY_CRAB, Area, OwnNote};
use crate::rules::{
    Choice, Confirmation, FactRef, FormMistake, Mistake, Pack, RuleInForce, built_in_pack, built_in_species,
    read_imported, read_pack, with_pack,
};

/// Packs, the choice among them, confirmations.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleBook {
    /// Packs that come with the page.
    pub packs: Rc<Vec<Pack>>,
    /// Packs of the person's own; they go before a pack of the same name.
    pub own: Rc<Vec<Pack>>,
    /// Country, water, area.
    pub choice: Option<Choice>,
    /// The day of the catch, where it is not today.
    pub date: Option<Date>,
    /// What persons have read in the official rule.
    pub confirmations: Rc<Vec<Confirmation>>,
    /// What the person looked up of the season, day by day.
    pub season_words: Rc<Vec<SeasonWord>>,
    /// Own packs of an earlier day that can no longer be read: kept as they are, and told. The form of packs may
    /// have moved on.
    pub unread: Vec<String>,
    /// What was wrong with the last file.
    pub mistakes: Vec<Mistake>,
    /// What was wrong with the last form.
    pub form_mistakes: Vec<FormMistake>,
    /// What the last form made: kind and water.
    pub form_taken: Option<String>,
    /// What holds for the crab in hand.
    pub in_force: Option<Rc<RuleInForce>>,
}

impl Default for RuleBook {
    fn default() -> Self {
        // No water is in force that nobody chose.
        Self {
            packs: Rc::new(vec![built_in_pack()]),
            own: Rc::default(),
            choice: None,
            date: None,
            confirmations: Rc::default(),
            season_words: Rc::default(),
            unread: Vec::new(),
            mistakes: Vec::new(),
            form_mistakes: Vec::new(),
            form_taken: None,
            in_force: None,
        }
    }
}

/// A stored list one by one, without what can no longer be read: an earlier version of the page named facts in other
/// ways, and a word that names nothing any more is asked for again.
pub fn still_readable<T: DeserializeOwned>(stored: Vec<serde_json::Value>) -> Vec<T> {
    stored.into_iter().filter_map(|one| serde_json::from_value(one).ok()).collect()
}

impl RuleBook {
    /// All packs, the person's own first; one of the same name is left out behind it.
    pub fn all(&self) -> Vec<Pack> {
        let others = self.packs.iter().filter(|pack| !self.own.iter().any(|own| own.id == pack.id));
        self.own.iter().chain(others).cloned().collect()
    }

    /// The pack named `id`.
    pub fn pack(&self, id: &str) -> Option<&Pack> {
        self.own.iter().chain(self.packs.iter()).find(|pack| pack.id == id)
    }

    /// Looks up what holds for a kind (or for any crab) at the chosen water.
    pub(in crate::session) fn enforce(&mut self, kind: Option<&str>) {
        self.in_force = self.rule_of(kind.unwrap_or(ANY_CRAB)).map(Rc::new);
    }

    /// What holds for a kind at the chosen water.
    pub fn rule_of(&self, kind: &str) -> Option<RuleInForce> {
        let choice = self.choice.as_ref()?;
        self.rule_at(&choice.pack, &choice.area, kind)
    }

    /// The rule of a water, chosen or not, for a kind.
    pub(in crate::session) fn rule_at(&self, pack: &str, area: &str, kind: &str) -> Option<RuleInForce> {
        RuleInForce::find(self.pack(pack)?, area, kind)
    }

    /// The chosen pack, with the name of the area in it.
    pub(in crate::session) fn chosen_pack(&self) -> Option<(&Pack, String)> {
        let choice = self.choice.as_ref()?;
        Some((self.pack(&choice.pack)?, choice.area.clone()))
    }

    /// The chosen water in a word or two, after the part that was asked for: `Marine Area 10, Puget Sound`; empty where
    /// the pack names none.
    pub fn water(&self) -> String {
        let Some(choice) = &self.choice else { return String::new() };
        let pack = self.pack(&choice.pack);
        let area = pack.and_then(|pack| pack.area(&choice.area));
        let water = area.map(|area| area.water.clone()).unwrap_or_default();
        // An area within a water of the same name is told by its own, whatever part of it was asked for.
        let around = area.and_then(|area| pack?.area(area.within.as_deref()?));
        let is_within = |one: &Area, other: &Area| one.within.as_deref() == Some(other.id.as_str());
        // Two areas beside each other in one water have rules of their own.
        let has_beside = area.zip(pack).is_some_and(|(area, pack)| {
            pack.areas.iter().any(|other| {
                other.id != area.id
                    && other.water == water
                    && !is_within(area, other)
                    && !is_within(other, area)
            })
        });
        let own = area
            .filter(|_| has_beside || around.is_some_and(|around| around.water == water))
            .map(|area| area.name.as_str());
        // What a part is called besides stands in brackets behind its name.
        let part = own.or(choice.part.as_deref()).map(|part| part.split(" (").next().unwrap_or(part));
        match part {
            Some(part) if water.is_empty() || part.contains(&water) => part.to_owned(),
            Some(part) => format!("{part}, {water}"),
            None => water,
        }
    }

    /// The kinds that the chosen area has rules for.
    pub fn kinds(&self) -> Vec<String> {
        let Some(choice) = &self.choice else { return Vec::new() };
        let pack = self.pack(&choice.pack).map(std::slice::from_ref).unwrap_or_default();
        let entries = crate::rules::search(pack, "");
        entries
            .into_iter()
            .find(|entry| entry.choice.is_same_area(choice))
            .map(|entry| entry.species)
            .unwrap_or_default()
    }

    /// Ids and names of the kinds that a rule of one's own may be for: those of the chosen area, then all others.
    pub fn all_kinds(&self) -> Vec<(String, String)> {
        let named = |kind: String| {
            let name = self.rule_of(&kind)?.species_name;
            Some((kind, name))
        };
        let mut all: Vec<(String, String)> = self.kinds().into_iter().filter_map(named).collect();
        for info in built_in_species() {
            if !all.iter().any(|(id, _)| *id == info.id) {
                all.push((info.id.clone(), info.name().to_owned()));
            }
        }
        all
    }

    /// Takes the person's word of `when` that they read these facts in the official rule, for a catch on `date`.
    pub(in crate::session) fn confirm(&mut self, facts: Vec<FactRef>, who: String, when: Date, date: Date) {
        let who = who.trim().to_owned();
        let ends = |fact: &FactRef| {
            let pack = self.pack(&fact.pack)?;
            Some(RuleInForce::find(pack, &fact.area, &fact.species)?.confirmed_until(when, date))
        };
        let Some(until) = facts.iter().filter_map(ends).min().filter(|_| !who.is_empty()) else { return };
        Rc::make_mut(&mut self.confirmations).push(Confirmation { facts, who, when, until });
    }

    /// Takes the word on one fact back, whoever gave it.
    pub(in crate::session) fn withdraw(&mut self, fact: &FactRef) {
        let confirmations = Rc::make_mut(&mut self.confirmations);
        for confirmation in confirmations.iter_mut() {
            confirmation.facts.retain(|known| !known.is_same(fact));
        }
        confirmations.retain(|confirmation| !confirmation.facts.is_empty());
    }

    /// What an earlier day left, or another tab now: it replaces what was known, but for the choice where none is
    /// given. A water whose pack is not there yet stays chosen: it may still be loaded.
    pub(in crate::session) fn restore(
        &mut self,
        choice: Option<Choice>,
        confirmations: Vec<Confirmation>,
        season_words: Vec<SeasonWord>,
        own: Vec<String>,
    ) {
        let known = self.restore_words(choice, confirmations, season_words);
        let mut packs = Vec::new();
        for text in own {
            match read_pack(&text) {
                Ok(pack) => packs.push(pack),
                Err(mistakes) => {
                    if !known.contains(&text) {
                        self.mistakes.extend(mistakes);
                    }
                    self.unread.push(text);
                }
            }
        }
        self.own = Rc::new(packs);
    }

    /// The same of whom no pack is their own. Gives the texts of own packs that could not be read before.
    pub(in crate::session) fn restore_words(
        &mut self,
        choice: Option<Choice>,
        confirmations: Vec<Confirmation>,
        season_words: Vec<SeasonWord>,
    ) -> Vec<String> {
        self.choice = choice.or(self.choice.take());
        self.confirmations = Rc::new(confirmations);
        self.season_words = Rc::new(season_words);
        self.own = Rc::default();
        std::mem::take(&mut self.unread)
    }

    /// Ids of own packs that hide a pack of the page which was checked later.
    pub fn outdated(&self) -> Vec<&str> {
        let is_newer =
            |own: &Pack| self.packs.iter().any(|pack| pack.id == own.id && pack.checked > own.checked);
        self.own.iter().filter(|own| is_newer(own)).map(|own| own.id.as_str()).collect()
    }

    /// Takes a pack of the person's own away.
    pub(in crate::session) fn remove(&mut self, id: &str) {
        Rc::make_mut(&mut self.own).retain(|pack| pack.id != id);
    }

    /// Reads a person's own pack. A bad file changes nothing but the list of its mistakes.
    pub(in crate::session) fn import(&mut self, text: &str, when: Date) {
        let note = OwnNote { who: "you".to_owned(), when, why: "imported from a file".to_owned() };
        match read_imported(text, &note) {
            Ok(pack) => {
                self.mistakes.clear();
                if let Some(area) = pack.areas.first() {
                    self.choice = Some(Choice::of(pack.id.clone(), area.id.clone()));
                }
                self.own = Rc::new(with_pack(&self.own, pack));
            }
            Err(mistakes) => self.mistakes = mistakes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Action, Session};
    use jiff::civil::date;

    fn start() -> Session {
        let choice = Choice::of("us-wa", "puget-sound");
        Session::new(date(2026, 11, 25)).apply(Action::ChooseRule(choice))
    }

    #[test]
    fn nobody_chose_a_water_and_none_is_in_force() {
        let first = Session::new(date(2026, 11, 25));
        assert_eq!((first.rules.choice.clone(), first.rules.in_force.clone()), (None, None));
        assert_eq!(first.outcome(), None);
    }

    #[test]
    fn a_confirmed_figure_is_kept_with_name_and_day() {
        let rule = start().rules.in_force.clone().expect("a rule");
        let facts = vec![rule.fact_ref(crate::rules::Topic::MinSize, "x", "x")];
        let session = start().apply(Action::ConfirmFacts { facts, who: "Ann ".into() });
        let word = session.rules.confirmations.first().expect("a confirmation");
        assert_eq!((word.who.as_str(), word.when), ("Ann", date(2026, 11, 25)));
        assert_eq!(word.until, date(2027, 11, 25), "no season ends it before the year is over");
        let fact = word.facts[0].clone();
        assert!(session.apply(Action::WithdrawFact(fact)).rules.confirmations.is_empty());
        let nameless = start().apply(Action::ConfirmFacts { facts: Vec::new(), who: "Ann".into() });
        assert!(nameless.rules.confirmations.is_empty());
    }

    /// A word as the page stored it before facts were named by their values: it names nothing, and the words beside it
    /// stay.
    #[test]
    fn stored_words_of_the_old_form_are_dropped_alone() {
        let rule = start().rules.in_force.clone().expect("a rule");
        let facts = vec![rule.fact_ref(crate::rules::Topic::MinSize, "x", "x")];
        let now = start().apply(Action::ConfirmFacts { facts, who: "Ann".into() });
        let word = serde_json::to_value(&now.rules.confirmations[0]).expect("JSON");
        let old = serde_json::json!({
            "facts": [{
                "pack": "us-wa", "area": "coast", "species": "dungeness", "topic": "min-size", "words": "at least 6 in"
            }],
            "who": "Ann", "when": "2026-11-20"
        });
        let read: Vec<Confirmation> = still_readable(vec![old, word]);
        assert_eq!(read, *now.rules.confirmations);
    }

    #[test]
    fn a_bad_rules_file_changes_nothing_but_the_list_of_mistakes() {
        let session = start().apply(Action::ImportPack("{ \"format\": 1 ".into()));
        assert!(!session.rules.mistakes.is_empty());
        let cleaned = RuleBook { mistakes: Vec::new(), ..session.rules.clone() };
        assert_eq!(cleaned, start().rules);
    }

    #[test]
    fn own_rules_that_can_no_longer_be_read_are_told_and_kept() {
        let mut pack = crate::rules::built_in_pack();
        pack.checked = date(2025, 1, 1);
        let good = crate::rules::write_pack(&pack);
        let bad = good.replace("2025-01-01", "2025-02-31");
        let own = vec![bad.clone(), good];
        let session = start().apply(Action::RestoreRules {
            choice: None,
            confirmations: Vec::new(),
            season_words: Vec::new(),
            own,
        });
        assert_eq!(session.rules.own.len(), 1);
        assert_eq!(session.rules.unread, [bad]);
        assert!(session.rules.mistakes.iter().any(|mistake| mistake.field == "checked"));
        assert_eq!(session.rules.outdated(), ["us-wa"], "the page's own was checked later");
        // Told again by another tab: kept once, and the mistakes are told once.
        let own = session.rules.own.iter().map(crate::rules::write_pack).chain(session.rules.unread.clone());
        let again = session.apply(Action::RestoreRules {
            choice: None,
            confirmations: Vec::new(),
            season_words: Vec::new(),
            own: own.collect(),
        });
        assert_eq!(
            (&again.rules.unread, &again.rules.mistakes),
            (&session.rules.unread, &session.rules.mistakes)
        );
        assert!(session.apply(Action::ForgetUnread).rules.unread.is_empty());
    }

    /// Another tab looked the water up anew: closed there is closed here, for the crab in hand too. The water that this
    /// tab chose stays.
    #[test]
    fn what_another_tab_was_told_holds_here() {
        use crate::decide::{Call, Verdict};
        use crate::session::Reply;
        use crate::session::tests::{keeper, start};
        let told = |is_open| {
            let named = start().apply(Action::Reply(Reply::Kind("dungeness".into())));
            named.apply(Action::Reply(Reply::Season(is_open))).rules
        };
        let heard = |rules: &RuleBook| Action::RestoreRules {
            choice: None,
            confirmations: rules.confirmations.to_vec(),
            season_words: rules.season_words.to_vec(),
            own: Vec::new(),
        };
        let call =
            |session: &Session| session.outcome().and_then(|outcome| outcome.verdict().map(Verdict::call));
        let keeps = keeper(start());
        assert_eq!(call(&keeps), Some(Call::Keep));
        let closed = keeps.apply(heard(&told(false)));
        assert_eq!((call(&closed), &closed.rules.choice), (Some(Call::Release), &keeps.rules.choice));
        assert_eq!(call(&closed.apply(heard(&told(true)))), Some(Call::Keep));
    }

    #[test]
    fn an_own_pack_goes_before_the_one_of_the_same_name() {
        let text = crate::rules::write_pack(&crate::rules::built_in_pack());
        let session = start().apply(Action::ImportPack(text));
        assert_eq!(session.rules.mistakes, []);
        assert!(
            session.rules.in_force.as_ref().is_some_and(|rule| rule.own.is_some()),
            "marked as the person's own"
        );
        let packs = session.rules.all();
        assert_eq!(packs.len(), 1);
        let back = session.apply(Action::RemovePack(packs[0].id.clone()));
        assert!(back.rules.in_force.as_ref().is_some_and(|rule| rule.own.is_none()));
    }

    /// Geographe Bay and the waters elsewhere in its bioregion have limits of their own (au-wa): one name
    /// for both would hide which holds. A water that only has parts keeps its own name.
    #[test]
    fn two_areas_of_one_water_are_told_apart() {
        let pack = read_pack(include_str!("../../../www/rules/au-wa.json")).expect("a pack");
        let mut book = RuleBook { packs: Rc::new(vec![pack, built_in_pack()]), ..RuleBook::default() };
        let mut named = |pack: &str, area: &str| {
            book.choice = Some(Choice::of(pack, area));
            book.water()
        };
        assert_eq!(named("au-wa", "geographe-bay"), "Geographe Bay, West Coast Bioregion");
        assert_eq!(named("au-wa", "west-coast"), "West Coast Bioregion elsewhere");
        assert_eq!(named("us-wa", "puget-sound"), "Puget Sound");
    }
}
