//! The frame of a lesson: what it is, why it matters, how it looks, how it feels, the trap, something to try, the sources.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A lesson, as its file holds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Lesson {
    /// What it is called in the list.
    pub title: String,
    /// What it is.
    pub what: Screenful,
    /// Why it matters.
    pub why: Screenful,
    /// How it looks: one screen or several.
    pub look: Vec<Screenful>,
    /// How it feels under the hand.
    pub feel: Screenful,
    /// The mistake that is easily made.
    pub trap: Screenful,
    /// Something to try, with its answer.
    pub try_it: Task,
    /// Where the facts were read, by the names that `from` uses.
    pub sources: BTreeMap<String, TaughtFrom>,
}

/// One screen of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Screenful {
    /// What is drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drawing: Option<Drawn>,
    /// The live diagram of height stands here.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub diagram: bool,
    /// What is said.
    pub facts: Vec<Fact>,
}

/// A drawing of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drawn {
    /// `NAME.svg` beside the lesson, or one of the page's own drawings.
    pub name: String,
    /// What matters in it, for who does not see it.
    pub shows: String,
}

/// One thing that is said, and where it is from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// The words.
    pub says: String,
    /// The name of a source, or `common practice`.
    pub from: String,
}

/// Something to try, with its answer folded away.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Task {
    /// What to look at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drawing: Option<Drawn>,
    /// What to do or to answer.
    pub task: String,
    /// The answer.
    pub answer: Fact,
}

impl Task {
    fn shown(&self) -> Shown<'_> {
        Shown {
            part: Part::TryIt,
            drawing: self.drawing.as_ref(),
            diagram: false,
            says: vec![&self.task],
            facts: vec![&self.answer],
            answer: Some(&self.answer),
        }
    }
}

/// What one screen of a lesson shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown<'a> {
    /// Which part of the frame.
    pub part: Part,
    /// What is drawn.
    pub drawing: Option<&'a Drawn>,
    /// The live diagram of height stands here.
    pub diagram: bool,
    /// What is said, a paragraph each.
    pub says: Vec<&'a str>,
    /// The facts whose origin is told.
    pub facts: Vec<&'a Fact>,
    /// What is folded away until it is asked for.
    pub answer: Option<&'a Fact>,
}

/// Where facts of a lesson were read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TaughtFrom {
    /// Title.
    pub title: String,
    /// Who published it.
    pub publisher: String,
    /// Its date as it states it; empty where it states none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Where it can be found; empty where the title is enough.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
}

/// A lesson as `index.json` lists it, in the order of teaching.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Listed {
    /// Its file is `NAME.json`.
    pub name: String,
    /// Its title.
    pub title: String,
}

/// What rests on no source.
pub const COMMON_PRACTICE: &str = "common practice";

/// The parts of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// What it is.
    What,
    /// Why it matters.
    Why,
    /// How it looks.
    Look,
    /// How it feels.
    Feel,
    /// The trap.
    Trap,
    /// Something to try.
    TryIt,
}

impl Part {
    /// The heading of its screens.
    pub fn words(self) -> &'static str {
        match self {
            Self::What => "What it is",
            Self::Why => "Why it matters",
            Self::Look => "Look",
            Self::Feel => "Feel",
            Self::Trap => "The trap",
            Self::TryIt => "Try it",
        }
    }
}

impl Lesson {
    /// How many screens it has, the one to try something included.
    pub fn screens(&self) -> usize {
        self.look.len() + 5
    }

    /// The screen `at`, from 0.
    pub fn screen(&self, at: usize) -> Shown<'_> {
        let looks = self.look.len();
        let (part, shown) = match at {
            0 => (Part::What, &self.what),
            1 => (Part::Why, &self.why),
            at if at < looks + 2 => (Part::Look, &self.look[at - 2]),
            at if at == looks + 2 => (Part::Feel, &self.feel),
            at if at == looks + 3 => (Part::Trap, &self.trap),
            _ => return self.try_it.shown(),
        };
        let says = shown.facts.iter().map(|fact| fact.says.as_str()).collect();
        let facts = shown.facts.iter().collect();
        Shown { part, drawing: shown.drawing.as_ref(), diagram: shown.diagram, says, facts, answer: None }
    }

    /// Where these facts are from, a line each, what was read before what is common practice.
    pub fn origins(&self, facts: &[&Fact]) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for is_read in [true, false] {
            for fact in facts.iter().filter(|fact| self.sources.contains_key(&fact.from) == is_read) {
                let line = self.origin(fact);
                if !lines.contains(&line) {
                    lines.push(line);
                }
            }
        }
        lines
    }

    /// Where a fact is from, in one line.
    pub fn origin(&self, fact: &Fact) -> String {
        match self.sources.get(&fact.from) {
            Some(source) => source.line(),
            None => "Common practice.".to_owned(),
        }
    }
}

impl TaughtFrom {
    /// Title, publisher, date and address in one line.
    pub fn line(&self) -> String {
        let parts = [&self.title, &self.publisher, &self.date, &self.address];
        let named: Vec<&str> =
            parts.into_iter().filter(|part| !part.is_empty()).map(String::as_str).collect();
        format!("{}.", named.join(", "))
    }
}
