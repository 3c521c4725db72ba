//! What the rule in force says, fact by fact, each with its mark and source.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use super::confirm::ConfirmForm;
use super::landmarks::Landmarks;
use crate::rules::pack::ANY_CRAB;
use crate::rules::words::report::ReportLine;
use crate::rules::{Confirmation, Mark, MeasuredDimension, RuleInForce};
use crate::session::Action;
use crate::text::{ago, full_area_name};

/// Which rule.
#[derive(Properties, PartialEq)]
pub struct RuleFactsProps {
    /// The rule.
    pub rule: Rc<RuleInForce>,
    /// What persons have read in the official rule.
    pub confirmations: Rc<Vec<Confirmation>>,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// The facts.
#[component]
pub fn RuleFacts(props: &RuleFactsProps) -> Html {
    let rule = &props.rule;
    // A figure is confirmed for a kind: before the kind is known, nothing is.
    let open = if rule.species == ANY_CRAB {
        Vec::new()
    } else {
        rule.confirmable(props.date, &props.confirmations)
    };
    let row = |fact: ReportLine| {
        let named = rule.fact_ref(fact.topic, &fact.value, &fact.said);
        let confirmed = rule.confirmation(&named, props.date, &props.confirmations);
        let withdraw = confirmed.map(|_| {
            let act = props.act.clone();
            html! {
                <button type="button" class="withdraw"
                    onclick={move |_| act.emit(Action::WithdrawFact(named.clone()))}>{ "Take this word back" }</button>
            }
        });
        let mark = match (confirmed, fact.mark) {
            (Some(word), _) => format!("confirmed by {} on {}, until {}", word.who, word.when, word.until),
            (None, Mark::Seen) => "read in the source".to_owned(),
            (None, Mark::Memory) => "from memory: not confirmed".to_owned(),
            (None, Mark::Unknown) => "not known: look it up".to_owned(),
        };
        html! {
            <li>
                <p>{ &fact.words }</p>
                <p class="detail">{ format!("{mark}. {}", fact.source) }</p>
                { withdraw }
            </li>
        }
    };
    let topics = by_topic(rule.lines()).into_iter().map(|(noun, facts)| {
        html! {
            <details class="topic">
                <summary>{ format!("{noun} ({})", facts.len()) }</summary>
                <ul class="facts">{ for facts.into_iter().map(row) }</ul>
            </details>
        }
    });
    let mut dimensions: Vec<MeasuredDimension> = Vec::new();
    for dimension in rule.facts.sizes.iter().filter_map(|size| size.dimension.known()) {
        if !dimensions.contains(dimension) {
            dimensions.push(*dimension);
        }
    }
    let own = rule.own.as_ref().map(|own| format!("Your own rule: {}, {}, {}.", own.who, own.when, own.why));
    html! {
        <section id="rule-facts">
            <h2>{ "Every fact, with its source" }</h2>
            <p class="detail">{ format!("{}, {}", full_area_name(&rule.jurisdiction, &rule.area_name), rule.species_name) }</p>
            if let Some(own) = own {
                <p class="own-mark">{ own }</p>
            }
            <p class="detail">{ format!("Checked {}.", ago(rule.checked, props.today)) }</p>
            { for topics }
            { for dimensions.into_iter().map(|dimension| html! { <Landmarks {dimension} /> }) }
            if !rule.observed.is_empty() {
                <ul>{ for rule.observed.iter().map(|words| html! { <li>{ words }</li> }) }</ul>
            }
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

/// Facts of one topic together, in the order in which the topics come first; a fact that comes twice is told once.
fn by_topic(facts: Vec<ReportLine>) -> Vec<(&'static str, Vec<ReportLine>)> {
    let mut topics: Vec<(&'static str, Vec<ReportLine>)> = Vec::new();
    for fact in facts {
        let noun = fact.topic.noun();
        match topics.iter_mut().find(|(known, _)| *known == noun) {
            Some((_, facts)) if facts.contains(&fact) => {}
            Some((_, facts)) => facts.push(fact),
            None => topics.push((noun, vec![fact])),
        }
    }
    topics
}
