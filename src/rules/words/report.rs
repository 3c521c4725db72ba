//! A pack read out: each figure with its mark and source, or every mistake of the file.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::{InWords, on_one_line};
use crate::rules::facts::Facts;
use crate::rules::pack::Pack;
use crate::rules::{
    Cited, Confirmation, FactRef, Mark, Mistake, RuleInForce, Source, Topic, read_pack, read_pack_bytes_on,
};

/// What the check of a file gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Report {
    /// A pack: its facts.
    Sound {
        /// Pack id.
        pack: String,
        /// One line for every fact.
        lines: Vec<ReportLine>,
    },
    /// Not a pack: every mistake.
    Mistaken(Vec<Mistake>),
}

/// One fact of a pack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReportLine {
    /// Area id.
    pub area: String,
    /// Species id.
    pub species: String,
    /// What about.
    pub topic: Topic,
    /// What about, in a word or two.
    pub about: String,
    /// The fact as a verdict cites it.
    pub said: String,
    /// Its value, as a confirmation names it.
    pub value: String,
    /// The fact with its figure as published, and for which crabs and days.
    pub words: String,
    /// How it was had.
    pub mark: Mark,
    /// Title, section and date of its source; empty where it has none.
    pub source: String,
}

impl Mark {
    /// The mark in one word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Memory => "memory",
            Self::Unknown => "unknown",
        }
    }
}

impl Topic {
    /// The topic in a word or two, for a list.
    pub fn about(self) -> &'static str {
        match self {
            Self::Take => "take",
            Self::MinSize => "min size",
            Self::MaxSize => "max size",
            Self::Dimension => "dimension",
            Self::Landmarks => "landmarks",
            Self::Sex => "sex",
            Self::Eggs => "eggs",
            Self::Shell => "shell",
            Self::Parts => "parts",
            Self::Limit => "limit",
            Self::Holder => "holder",
            Self::Season => "season",
            Self::Record => "record",
            Self::Gear => "gear",
            Self::Licence => "licence",
            Self::Possession => "possession",
            Self::Invasive => "invasive",
        }
    }
}

/// Checks the text of a pack and lists each figure with its mark and source.
pub fn check_report(text: &str) -> Report {
    report_of(read_pack(text))
}

/// The same for the bytes of a file, on the day `today`.
pub fn check_report_bytes(bytes: &[u8], today: Date) -> Report {
    report_of(read_pack_bytes_on(bytes, today))
}

fn report_of(read: Result<Pack, Vec<Mistake>>) -> Report {
    match read {
        Ok(pack) => Report::Sound { lines: report_lines(&pack), pack: pack.id },
        Err(mistakes) => Report::Mistaken(mistakes),
    }
}

impl Report {
    /// True when the file is a pack.
    pub fn is_sound(&self) -> bool {
        matches!(self, Self::Sound { .. })
    }

    /// The report as text for a terminal, `name` naming the file.
    pub fn to_text(&self, name: &str) -> String {
        let name = on_one_line(name);
        let mut text = String::new();
        match self {
            Self::Mistaken(mistakes) => {
                let count = mistakes.len();
                text += &format!("{name}: {count} mistake{}\n", if count == 1 { "" } else { "s" });
                for mistake in mistakes {
                    text += &format!("  {}\n", on_one_line(&mistake.to_string()));
                }
            }
            Self::Sound { pack, lines } => {
                let count = |mark| lines.iter().filter(|line| line.mark == mark).count();
                text += &format!(
                    "{name}: pack `{pack}`, {} facts: {} seen, {} from memory, {} unknown\n",
                    lines.len(),
                    count(Mark::Seen),
                    count(Mark::Memory),
                    count(Mark::Unknown)
                );
                let mut heading = String::new();
                for line in lines {
                    let here = on_one_line(&format!("  {} / {}", line.area, line.species)) + "\n";
                    if here != heading {
                        text += &here;
                        heading = here;
                    }
                    let words = on_one_line(&line.words);
                    text += &format!("    {:<11} {:<8} {words}", line.about, line.mark.word());
                    if !line.source.is_empty() {
                        text += &format!("  [{}]", on_one_line(&line.source));
                    }
                    text.push('\n');
                }
            }
        }
        text
    }
}

/// Every fact of a pack, in the order of the file.
pub fn report_lines(pack: &Pack) -> Vec<ReportLine> {
    let mut lines = Vec::new();
    for area in &pack.areas {
        for rule in &area.rules {
            let mut collect =
                Collect { sources: &pack.sources, area: &area.id, species: &rule.species, lines: &mut lines };
            collect.facts(&rule.facts);
        }
    }
    lines
}

impl RuleInForce {
    /// Every fact that holds for the species in the area, for the screen that shows the rule in force.
    pub fn lines(&self) -> Vec<ReportLine> {
        let mut lines = Vec::new();
        let mut collect =
            Collect { sources: &self.sources, area: &self.area, species: &self.species, lines: &mut lines };
        collect.facts(&self.facts);
        lines
    }
}

impl RuleInForce {
    /// What a person may confirm once they read it in the official rule: figures from memory that nobody
    /// confirmed yet for `date`.
    pub fn confirmable(&self, date: Date, confirmations: &[Confirmation]) -> Vec<FactRef> {
        let mut facts: Vec<FactRef> = Vec::new();
        for line in self.lines().iter().filter(|line| line.mark == Mark::Memory) {
            let fact = self.fact_ref(line.topic, &line.value, &line.said);
            let is_listed = facts.iter().any(|known| known.is_same(&fact));
            if !is_listed && self.confirmation(&fact, date, confirmations).is_none() {
                facts.push(fact);
            }
        }
        facts
    }
}

struct Collect<'a> {
    sources: &'a BTreeMap<String, Source>,
    area: &'a str,
    species: &'a str,
    lines: &'a mut Vec<ReportLine>,
}

impl Collect<'_> {
    fn facts(&mut self, facts: &Facts) {
        self.all(Topic::Take, &facts.take);
        for size in &facts.sizes {
            let bounds = [
                (Topic::MinSize, &size.min, size.min_words()),
                (Topic::MaxSize, &size.max, size.max_words()),
            ];
            for (topic, fact, words) in bounds {
                if let (Some(fact), Some(words)) = (fact, words) {
                    self.line(topic, fact, size.bound_key(fact), &words, words.clone());
                }
            }
            self.keyed(Topic::Dimension, &size.dimension, size.dimension_key());
            if let Some(landmarks) = &size.landmarks {
                self.one(Topic::Landmarks, landmarks);
            }
        }
        self.all(Topic::Sex, &facts.sex);
        self.all(Topic::Eggs, &facts.eggs);
        self.all(Topic::Shell, &facts.shell);
        self.all(Topic::Parts, &facts.parts);
        for limit in &facts.limits {
            self.line(Topic::Limit, &limit.amount, limit.amount_key(), &limit.in_words(), limit.in_words());
            self.one(Topic::Holder, &limit.holder);
        }
        self.all(Topic::Season, &facts.season);
        self.all(Topic::Record, &facts.record);
        self.all(Topic::Gear, &facts.gear);
        self.all(Topic::Licence, &facts.licence);
        self.all(Topic::Possession, &facts.possession);
        self.all(Topic::Invasive, &facts.invasive);
    }

    fn all<T: InWords + Serialize>(&mut self, topic: Topic, facts: &[Cited<T>]) {
        for fact in facts {
            self.one(topic, fact);
        }
    }

    fn one<T: InWords + Serialize>(&mut self, topic: Topic, fact: &Cited<T>) {
        self.keyed(topic, fact, fact.value_key());
    }

    fn keyed<T: InWords>(&mut self, topic: Topic, fact: &Cited<T>, value: String) {
        let words = match (fact.known(), &fact.note) {
            (Some(value), _) => value.in_words(),
            (None, Some(note)) => format!("not known: {note}"),
            (None, None) => "not known".to_owned(),
        };
        let when = fact.when.as_ref().map(InWords::in_words).filter(|when| !when.is_empty());
        let said = fact.known().map_or_else(|| "not known".to_owned(), InWords::in_words);
        self.line(topic, fact, value, &said, when.map_or(words.clone(), |when| format!("{words} ({when})")));
    }

    fn line<T>(&mut self, topic: Topic, fact: &Cited<T>, value: String, said: &str, words: String) {
        let source = fact.source.as_ref().and_then(|key| self.sources.get(key));
        let source = source.map(Source::named).unwrap_or_default();
        self.lines.push(ReportLine {
            area: self.area.to_owned(),
            species: self.species.to_owned(),
            topic,
            about: topic.about().to_owned(),
            said: said.to_owned(),
            value,
            words,
            mark: fact.mark,
            source,
        });
    }
}
