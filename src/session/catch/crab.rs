//! The crab in hand: what was answered, and what the gauge says.

use serde::{Deserialize, Serialize};

use crate::decide::{Answer, Answers, Check, Eggs, GaugeReading, Parts};
use crate::rules::when::{Maturity, Sex, Stage};

/// The crab in hand.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Crab {
    /// The answers so far.
    pub answers: Answers,
    /// What the gauge says.
    pub gauge: Option<GaugeReading>,
    /// The check that the person went back to.
    pub looking_at: Option<Check>,
    /// The person kept it, and it is counted.
    pub is_kept: bool,
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
            Reply::Gauge(reading) => self.gauge = Some(reading),
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
