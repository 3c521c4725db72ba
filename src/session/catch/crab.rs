//! The crab in hand: what was answered, and what the gauge says.

use serde::{Deserialize, Serialize};

use crate::day::{Id, Why};
use crate::decide::{Answer, Answers, Check, Eggs, GaugeReading, Parts};
use crate::rules::facts::SizeRule;
use crate::rules::when::{Maturity, Sex, Stage};
use crate::rules::words::InWords;

/// The crab in hand.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Crab {
    /// The answers so far.
    pub answers: Answers,
    /// What the gauge says.
    pub gauge: Option<GaugeReading>,
    /// The limits that stood when the gauge said so.
    pub gauged_against: Option<GaugedAgainst>,
    /// The check that the person went back to.
    pub looking_at: Option<Check>,
    /// The row of the day's book that will say what became of it: named while the crab is in hand, so that no crab is
    /// counted twice, however the page ends.
    pub row: Option<Id>,
    /// It is to be let go, and why: said at the first glance.
    pub let_go: Option<Why>,
}

/// What a gauge was held against. Its word is of these limits; a reading is of the distance between these points.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct GaugedAgainst {
    /// The limits, in words, with the points.
    pub limits: String,
    /// The points.
    pub points: String,
}

/// An answer to a check.
#[derive(Debug, Clone, PartialEq)]
pub enum Reply {
    /// Kind: a species id.
    Kind(String),
    /// The water is open for the kind on the day, as looked up.
    Season(bool),
    /// Sex.
    Sex(Sex),
    /// Maturity of a female.
    Maturity(Maturity),
    /// Eggs.
    Eggs(Eggs),
    /// Shell.
    Shell(Stage),
    /// What is kept.
    Parts(Parts),
    /// Size, by the gauge.
    Gauge(GaugeReading),
    /// Looked, and not sure.
    NotSure(Check),
    /// Takes an answer back.
    Unanswer(Check),
}

impl Crab {
    /// A crab of which only the kind is said: the last one stays, as most crabs of a pot are of one kind.
    pub fn of(kind: Option<String>) -> Self {
        let kind = kind.map_or(Answer::Unanswered, Answer::Given);
        Self { answers: Answers { kind, ..Answers::default() }, ..Self::default() }
    }

    /// True while at most its kind was said.
    pub fn is_fresh(&self) -> bool {
        let Self { looking_at, row, .. } = self;
        let kind_only = Self::of(self.answers.kind.given().cloned());
        *self == Self { looking_at: *looking_at, row: row.clone(), ..kind_only }
    }

    /// Takes one answer; the others stay.
    pub fn reply(&mut self, reply: Reply) {
        let answers = &mut self.answers;
        match reply {
            Reply::Kind(kind) => answers.kind = Answer::Given(kind),
            // What was looked up holds for every crab of the day: it is kept with the rules.
            Reply::Season(_) => answers.open = Answer::Unanswered,
            Reply::Sex(sex) => answers.sex = Answer::Given(sex),
            Reply::Maturity(maturity) => answers.maturity = Answer::Given(maturity),
            Reply::Eggs(eggs) => answers.eggs = Answer::Given(eggs),
            Reply::Shell(stage) => answers.shell = Answer::Given(stage),
            Reply::Parts(parts) => answers.parts = Answer::Given(parts),
            Reply::Gauge(reading) => {
                self.gauge = Some(reading);
                self.gauged_against = None;
            }
            Reply::NotSure(check) => self.set(check, false),
            Reply::Unanswer(check) => self.set(check, true),
        }
        self.looking_at = None;
    }

    fn set(&mut self, check: Check, unanswered: bool) {
        let answers = &mut self.answers;
        match check {
            Check::Kind => answers.kind = blank(unanswered),
            Check::Season => answers.open = blank(unanswered),
            Check::Sex => answers.sex = blank(unanswered),
            Check::Maturity => answers.maturity = blank(unanswered),
            Check::Eggs => answers.eggs = blank(unanswered),
            Check::Shell => answers.shell = blank(unanswered),
            Check::Claws => answers.parts = blank(unanswered),
            Check::Size => self.gauge = None,
        }
    }
}

impl GaugedAgainst {
    /// Of the limits in force.
    pub fn of(sizes: &[SizeRule]) -> Self {
        let points =
            |rule: &SizeRule| rule.dimension.known().map_or_else(String::new, |known| known.in_words());
        let joined = |words: Vec<String>| words.join("; ");
        Self {
            limits: joined(
                sizes
                    .iter()
                    .map(|rule| {
                        let figures = [rule.min_words(), rule.max_words(), Some(points(rule))];
                        figures.into_iter().flatten().collect::<Vec<_>>().join(", ")
                    })
                    .collect(),
            ),
            points: {
                let mut each: Vec<String> = Vec::new();
                for named in sizes.iter().map(points) {
                    if !each.contains(&named) {
                        each.push(named);
                    }
                }
                joined(each)
            },
        }
    }
}

fn blank<T>(unanswered: bool) -> Answer<T> {
    if unanswered { Answer::Unanswered } else { Answer::NotSure }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changing_one_answer_keeps_the_rest() {
        let mut crab = Crab::default();
        crab.reply(Reply::Kind("dungeness".into()));
        crab.reply(Reply::Sex(Sex::Male));
        crab.reply(Reply::NotSure(Check::Sex));
        assert_eq!(crab.answers.sex, Answer::NotSure);
        assert_eq!(crab.answers.kind, Answer::Given("dungeness".into()));
        crab.reply(Reply::Unanswer(Check::Sex));
        assert_eq!(crab.answers.sex, Answer::Unanswered);
    }
}
