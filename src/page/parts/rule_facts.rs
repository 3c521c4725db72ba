//! What the rule in force says, fact by fact, each with its mark and source.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use super::confirm_form::ConfirmForm;
use crate::rules::words::InWords;
use crate::rules::{Cited, Confirmation, FactRef, Mark, RuleInForce, Topic};
use crate::session::Action;
use crate::text::{ago, full_area_name};

/// Which rule.
#[derive(Properties, PartialEq)]
pub struct RuleFactsProps {
    /// The rule.
    pub rule: Rc<RuleInForce>,
    /// What persons have read in the official rule.
    pub confirmations: Rc<Vec<Confirmation>>,
    /// Today.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// One fact as it is listed.
struct Listed {
    topic: Topic,
    words: String,
    mark: Mark,
    source: String,
    confirmed: Option<String>,
}

/// The facts.
#[component]
pub fn RuleFacts(props: &RuleFactsProps) -> Html {
    let rule = &props.rule;
    let facts = listed(rule, &props.confirmations);
    let open: Vec<FactRef> = facts
        .iter()
        .filter(|fact| fact.mark == Mark::Memory && fact.confirmed.is_none())
        .map(|fact| rule.fact_ref(fact.topic, &fact.words))
        .collect();
    let rows = facts.iter().map(|fact| {
        let mark = match (&fact.confirmed, fact.mark) {
            (Some(confirmed), _) => confirmed.clone(),
            (None, Mark::Seen) => "read in the source".to_owned(),
            (None, Mark::Memory) => "from memory: not confirmed".to_owned(),
            (None, Mark::Unknown) => "not known: look it up".to_owned(),
        };
        html! {
            <li>
                <p><strong>{ format!("{}: ", fact.topic.noun()) }</strong>{ &fact.words }</p>
                <p class="detail">{ format!("{mark}. {}", fact.source) }</p>
            </li>
        }
    });
    let own = rule.own.as_ref().map(|own| format!("Your own rule: {}, {}, {}.", own.who, own.when, own.why));
    html! {
        <section id="rule-facts">
            <h2>{ format!("{}, {}", full_area_name(&rule.jurisdiction, &rule.area_name), rule.species_name) }</h2>
            if let Some(own) = own {
                <p class="own-mark">{ own }</p>
            }
            <p class="detail">{ format!("Checked {}.", ago(rule.checked, props.today)) }</p>
            <ul class="facts">{ for rows }</ul>
            <details>
                <summary>{ "Where to look it up" }</summary>
                <ul>
                    { for rule.sources.values().map(|source| {
                        let parts = [&source.title, &source.section, &source.date];
                        let words: Vec<&str> =
                            parts.into_iter().filter(|part| !part.is_empty()).map(String::as_str).collect();
                        html! { <li><p>{ words.join(", ") }</p><p class="address">{ &source.address }</p></li> }
                    }) }
                </ul>
            </details>
            if !open.is_empty() {
                <ConfirmForm facts={open} act={props.act.clone()} />
            }
        </section>
    }
}

fn listed(rule: &RuleInForce, confirmations: &[Confirmation]) -> Vec<Listed> {
    let facts = &rule.facts;
    let mut list = Vec::new();
    let mut add = |topic: Topic, mark: Mark, source: Option<&crate::rules::Source>, words: String| {
        let confirmed = rule
            .confirmation(topic, &words, confirmations)
            .map(|word| format!("confirmed by {} on {}", word.who, word.when));
        let source = source.map_or_else(String::new, |source| {
            let year = source.year.map_or_else(|| "undated".to_owned(), |year| year.to_string());
            format!("{}, {year}", source.title)
        });
        list.push(Listed { topic, words, mark, source, confirmed });
    };
    fn words_of<T: InWords>(fact: &Cited<T>) -> String {
        fact.known().map_or_else(|| "not known".to_owned(), InWords::in_words)
    }
    for size in &facts.sizes {
        for (topic, bound) in [(Topic::MinSize, &size.min), (Topic::MaxSize, &size.max)] {
            if let Some(fact) = bound {
                add(topic, fact.mark, rule.source_of(fact), words_of(fact));
            }
        }
        add(
            Topic::Dimension,
            size.dimension.mark,
            rule.source_of(&size.dimension),
            words_of(&size.dimension),
        );
    }
    facts.take.iter().for_each(|fact| add(Topic::Take, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.sex.iter().for_each(|fact| add(Topic::Sex, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.eggs.iter().for_each(|fact| add(Topic::Eggs, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.shell.iter().for_each(|fact| add(Topic::Shell, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.parts.iter().for_each(|fact| add(Topic::Parts, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.season.iter().for_each(|fact| add(Topic::Season, fact.mark, rule.source_of(fact), words_of(fact)));
    facts.record.iter().for_each(|fact| add(Topic::Record, fact.mark, rule.source_of(fact), words_of(fact)));
    facts
        .invasive
        .iter()
        .for_each(|fact| add(Topic::Invasive, fact.mark, rule.source_of(fact), words_of(fact)));
    for limit in &facts.limits {
        add(Topic::Limit, limit.amount.mark, rule.source_of(&limit.amount), limit.in_words());
    }
    list
}
