//! What the rule says of the crab so far: recomputed after every action, never stored by hand.

use std::rc::Rc;

use crate::day::Id;
use crate::decide::{
    Answer, Answers, Case, FittingLimit, GreyZone, MeasuredWidth, Notice, Outcome, Risk, SeasonState, decide,
    fitting_limits, fitting_sizes, season_state,
};
use crate::rules::RuleInForce;

use crate::session::Session;
use crate::session::catch::crab::GaugedAgainst;

/// A limit to draw on the ruler.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitInForce {
    /// As published, with what it is: `at least 6 1/4 in`.
    pub words: String,
    /// Where the width's spread leaves the decision to a gauge.
    pub zone: GreyZone,
}

impl Session {
    /// What a gauge is held against here on the day for the answered kind, in words: a gauge cut for another water is soon
    /// taken. It is that of the crab as far as it is answered; of several the largest comes first.
    pub fn gauge_limits(&self) -> Option<String> {
        self.crab.answers.kind.given()?;
        self.gauge_limits_of(self.rules.in_force.as_ref()?, &self.crab.answers)
    }

    /// The same for another crab.
    pub(in crate::session) fn gauge_limits_of(
        &self,
        rule: &RuleInForce,
        answers: &Answers,
    ) -> Option<String> {
        let against = self.with_case_of(rule, answers, |case| GaugedAgainst::of(&fitting_sizes(case)));
        Some(against.limits).filter(|limits| !limits.is_empty())
    }

    /// What a gauge is held against for the crab as far as it is answered.
    pub(in crate::session) fn gauged_against(&self) -> Option<GaugedAgainst> {
        self.with_case(|case| GaugedAgainst::of(&fitting_sizes(case)))
    }

    /// The confirmed width, as a decision takes it.
    pub fn measured(&self) -> Option<MeasuredWidth> {
        self.seen_width().filter(|_| self.is_width_confirmed())
    }

    /// The width, also of points that nobody has confirmed yet: enough to speak against a gauge, not to keep by.
    fn seen_width(&self) -> Option<MeasuredWidth> {
        // Photos that show the card elsewhere than it was said to lie decide nothing until that is settled: a crab that
        // moved looks much the same.
        let is_card_elsewhere = self.photos().into_iter().any(|work| work.card_doubt().is_some());
        let width = self.width().filter(|width| width.placement_seen.is_none() && !is_card_elsewhere)?;
        let hint = self.photos().into_iter().find_map(|work| work.points_hint);
        let measured = MeasuredWidth::new(&width, self.photo.dimension).with_hint(hint);
        let is_one_apart = self
            .joined
            .as_ref()
            .is_some_and(|joined| joined.apart.is_some() || joined.shares.iter().any(|share| !share.used));
        let photos = self.photos();
        let alone = photos.iter().filter(|_| is_one_apart).filter_map(|work| work.width.as_deref());
        Some(measured.with_alone(alone))
    }

    /// The next check or the verdict. `None` until a water is chosen.
    pub fn outcome(&self) -> Option<Outcome> {
        self.with_case(decide)
    }

    /// What is to be known while a check is still open: why it is asked.
    pub fn notices(&self) -> Vec<Notice> {
        match self.outcome() {
            Some(Outcome::Open { notices, .. }) => notices,
            Some(Outcome::Settled(_)) | None => Vec::new(),
        }
    }

    /// What is known of the season on the chosen day, with what the pack says of it. `None` until a water is chosen.
    pub fn season(&self) -> Option<(SeasonState, Vec<String>)> {
        self.with_case(season_state)
    }

    /// What [`Self::seasons`] depends on: it is not looked up anew at each movement of a finger.
    pub fn season_key(&self) -> impl PartialEq + use<> {
        let rules = &self.rules;
        let lists = [
            Rc::as_ptr(&rules.packs).addr(),
            Rc::as_ptr(&rules.own).addr(),
            Rc::as_ptr(&rules.confirmations).addr(),
            Rc::as_ptr(&rules.season_words).addr(),
        ];
        (rules.choice.clone(), self.date(), self.crab.answers.kind.clone(), self.crab.answers.open, lists)
    }

    /// The season on the chosen day, of the kind in hand or of each kind of the water, with its name.
    pub fn seasons(&self) -> Vec<(String, SeasonState)> {
        let kinds = match self.crab.answers.kind.given() {
            Some(kind) => vec![kind.clone()],
            None => self.rules.kinds(),
        };
        // What was said of a practice photo is said of no water.
        let open = if self.is_practice() { Answer::Unanswered } else { self.crab.answers.open };
        let answers = Answers { open, ..self.crab.answers.clone() };
        let season_of = |kind: &String| {
            let rule = self.rules.rule_of(kind)?;
            let state = self.with_case_of(&rule, &answers, season_state).0;
            Some((rule.species_name.clone(), state))
        };
        kinds.iter().filter_map(season_of).collect()
    }

    /// Calls `look` with all that a decision rests on.
    pub fn with_case<T>(&self, look: impl FnOnce(&Case<'_>) -> T) -> Option<T> {
        let rule = self.rules.in_force.as_ref()?;
        Some(self.with_case_of(rule, &self.crab.answers, look))
    }

    /// The same for another rule and other answers on the same day.
    pub(in crate::session) fn with_case_of<T>(
        &self,
        rule: &RuleInForce,
        answers: &Answers,
        look: impl FnOnce(&Case<'_>) -> T,
    ) -> T {
        self.with_case_for(&self.whom(), rule, answers, look)
    }

    /// The same where this person's catch is counted.
    pub(in crate::session) fn with_case_for<T>(
        &self,
        person: &Id,
        rule: &RuleInForce,
        answers: &Answers,
        look: impl FnOnce(&Case<'_>) -> T,
    ) -> T {
        // What the gauge says settles the size: beside it a photo can only contradict.
        let measured = if self.crab.gauge.is_some() { self.seen_width() } else { self.measured() };
        // The crab in hand must not stand against itself.
        let mut catch = self.book.catch_of(person, self.date(), self.crab.row.as_ref());
        (catch.licence, catch.aboard) = self.book.licences_of(person, rule, self.date());
        let mut answers = answers.clone();
        if let Some(is_open) = self.rules.season_word(rule, self.date()) {
            answers.open = Answer::Given(is_open);
        }
        look(&Case {
            rule,
            date: self.date(),
            // Another day has no "now".
            clock: self.clock.filter(|_| self.date() == self.today),
            answers: &answers,
            measured: measured.as_ref(),
            gauge: self.crab.gauge.as_ref(),
            catch: &catch,
            confirmations: &self.rules.confirmations,
            risk: Risk::default(),
        })
    }

    /// The limits that the width on the photo stands before, with their grey zones.
    pub fn limits_in_force(&self) -> Vec<LimitInForce> {
        let Some(width) = self.width() else { return Vec::new() };
        let measured = MeasuredWidth::new(&width, self.photo.dimension);
        let fitting = self.with_case(|case| fitting_limits(case, &measured)).unwrap_or_default();
        fitting.into_iter().map(limit).collect()
    }
}

fn limit(fitting: FittingLimit) -> LimitInForce {
    let FittingLimit { is_min, length, zone } = fitting;
    let word = if is_min { "at least" } else { "at most" };
    let words = if length.published.contains("mm") {
        format!("{word} {}", length.published)
    } else {
        let mm = (length.exact.millimetres().0 * 100.0).round() / 100.0;
        format!("{word} {} ({mm} mm)", length.published)
    };
    LimitInForce { words, zone }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use crate::rules::Choice;
    use crate::rules::when::Stage;
    use crate::session::tests::{after, start};
    use crate::session::{Action, Reply};

    /// Maryland, hard male blue crabs: 5 in from 1 April to 14 July, 5 1/4 in from 15 July to 15 December; soft ones and
    /// peelers have sizes of their own (us-md, COMAR 08.02.03).
    #[test]
    fn a_gauge_is_held_against_the_size_of_the_day_and_of_a_hard_male() {
        let pack = include_str!("../../../www/rules/us-md.json");
        let on = |day| {
            let acts = [
                Action::ImportPack(pack.into()),
                Action::ChooseRule(Choice::of("us-md", "chesapeake-bay")),
                Action::SetDate(Some(day)),
                Action::Reply(Reply::Kind("blue".into())),
            ];
            after(start(), acts)
        };
        let told = |day| on(day).gauge_keepers()[0].limits.clone().unwrap_or_default();
        let (june, august) = (told(date(2026, 6, 15)), told(date(2026, 8, 15)));
        assert!(june.starts_with("at least 5 in (hard, male"), "{june}");
        assert!(august.starts_with("at least 5 1/4 in (hard, male"), "{august}");
        for told in [june, august] {
            assert!(!told.contains("soft") && !told.contains("peeler") && !told.contains(';'), "{told}");
        }
        // At the checks the crab may be of any stage until it is answered: the largest size stands first.
        let asked = on(date(2026, 8, 15));
        let all = asked.gauge_limits().unwrap_or_default();
        assert!(all.starts_with("at least 5 1/4 in") && all.contains("soft"), "{all}");
        let soft = asked.apply(Action::Reply(Reply::Shell(Stage::Soft))).gauge_limits().unwrap_or_default();
        assert!(soft.contains("soft") && !soft.contains("hard"), "{soft}");
    }
}
