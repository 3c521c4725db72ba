//! Every fact of a rule by topic, each text that they were read in told once: the facts name it by its number.

use crate::rules::words::report::ReportLine;
use crate::rules::{Mark, RuleInForce, Source, Topic};

/// Facts of topics that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TopicFacts {
    /// What about.
    pub about: &'static str,
    /// The facts, each once.
    pub facts: Vec<ShownFact>,
}

/// A fact with where it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownFact {
    /// The fact.
    pub line: ReportLine,
    /// Which text, counted from 1; none where it has none.
    pub text: Option<usize>,
    /// Where in that text.
    pub section: String,
}

impl ShownFact {
    /// How it is known, and where it was read: `read in 3, 'Gear limits'`.
    pub fn mark_words(&self) -> String {
        let mark = match self.line.mark {
            Mark::Seen => "read",
            Mark::Memory => "from memory, not confirmed",
            Mark::Unknown => "not known: look it up",
        };
        let Some(text) = self.text else { return mark.to_owned() };
        let at = format!("{mark}{}{text}", if self.line.mark == Mark::Seen { " in " } else { "; text " });
        if self.section.is_empty() { at } else { format!("{at}, {}", self.section) }
    }
}

/// A text that facts were read in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CitedText {
    /// Its title.
    pub title: String,
    /// Its date or edition, as the text states it.
    pub date: String,
    /// Its address.
    pub address: String,
}

/// The topics that stand under one heading.
fn heading(topic: Topic) -> &'static str {
    match topic {
        Topic::MinSize | Topic::MaxSize | Topic::Dimension | Topic::Landmarks => "Size",
        Topic::Take | Topic::Sex | Topic::Eggs | Topic::Shell | Topic::Parts | Topic::Invasive => {
            "Which crabs"
        }
        Topic::Limit | Topic::Holder | Topic::Possession => "How many",
        Topic::Season => "Season",
        Topic::Record | Topic::Licence => "Record and licence",
        Topic::Gear => "Gear",
    }
}

/// The facts of a rule under their headings, in the order in which these come first, and the texts that they name.
pub fn facts_by_topic(rule: &RuleInForce) -> (Vec<TopicFacts>, Vec<CitedText>) {
    let mut topics: Vec<TopicFacts> = Vec::new();
    let mut texts: Vec<CitedText> = Vec::new();
    for line in rule.lines() {
        let source = rule.sources.values().find(|source| source.named() == line.source);
        let text = source.map(|source| number_of(&mut texts, source));
        let section = source.map(|source| source.section.clone()).unwrap_or_default();
        let fact = ShownFact { line, text, section };
        let about = heading(fact.line.topic);
        match topics.iter_mut().find(|topic| topic.about == about) {
            Some(topic) if topic.facts.contains(&fact) => {}
            Some(topic) => topic.facts.push(fact),
            None => topics.push(TopicFacts { about, facts: vec![fact] }),
        }
    }
    (topics, texts)
}

fn number_of(texts: &mut Vec<CitedText>, source: &Source) -> usize {
    let Source { title, date, address, .. } = source.clone();
    let text = CitedText { title, date, address };
    let at = texts.iter().position(|known| *known == text).unwrap_or_else(|| {
        texts.push(text);
        texts.len() - 1
    });
    at + 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{built_in_pack, read_pack};

    /// The built-in pack and one that has other topics: no fact, mark or source of the rule is left out, and none is told
    /// twice.
    #[test]
    fn every_fact_keeps_its_mark_and_its_source() {
        let maryland = read_pack(include_str!("../../www/rules/us-md.json")).expect("a pack");
        let asked = [
            (built_in_pack(), "puget-sound", "dungeness"),
            (built_in_pack(), "puget-sound", "green"),
            (maryland, "chesapeake-bay", "blue"),
        ];
        for (pack, area, kind) in asked {
            let rule = RuleInForce::find(&pack, area, kind).expect("a rule");
            let (topics, texts) = facts_by_topic(&rule);
            let shown: Vec<&ShownFact> = topics.iter().flat_map(|topic| &topic.facts).collect();
            for line in rule.lines() {
                let found: Vec<_> = shown.iter().filter(|fact| fact.line == line).collect();
                let [fact] = found[..] else { panic!("{} times: {line:?}", found.len()) };
                let told = fact.text.map_or_else(String::new, |number| {
                    let CitedText { title, date, .. } = &texts[number - 1];
                    let parts = [title.as_str(), fact.section.as_str(), date.as_str()];
                    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
                });
                assert_eq!(told, line.source, "{kind}: {}", line.words);
            }
            for (at, text) in texts.iter().enumerate() {
                assert!(!texts[..at].contains(text), "twice: {text:?}");
                assert!(shown.iter().any(|fact| fact.text == Some(at + 1)), "named by no fact: {text:?}");
            }
            assert!(topics.len() <= 6 && texts.len() < shown.len(), "{kind}");
        }
    }

    #[test]
    fn a_mark_is_told_with_the_number_of_its_text() {
        let pack = built_in_pack();
        let rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
        let (topics, _) = facts_by_topic(&rule);
        let words = |said: &str| {
            let mut all = topics.iter().flat_map(|topic| &topic.facts);
            all.find(|fact| fact.line.words.contains(said)).map(ShownFact::mark_words).expect("a fact")
        };
        assert!(words("6 1/4 in").starts_with("read in 1, 'Additional"), "{}", words("6 1/4 in"));
        assert!(words("other crab is released").starts_with("from memory, not confirmed; text "));
        assert_eq!(words("Possession limit"), "not known: look it up");
    }
}
