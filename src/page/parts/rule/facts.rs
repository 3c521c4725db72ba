//! What the rule in force says, fact by fact, each with its mark and source.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use super::confirm::ConfirmForm;
use super::landmarks::Landmarks;
use crate::rules::pack::ANY_CRAB;
use crate::rules::{Confirmation, MeasuredDimension, RuleInForce};
use crate::session::Action;
use crate::text::{ShownFact, ago, facts_by_topic, full_area_name};

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
    let row = |about: &str, fact: ShownFact| {
        let line = &fact.line;
        let named = rule.fact_ref(line.topic, &line.value, &line.said);
        let confirmed = rule.confirmation(&named, props.date, &props.confirmations);
        let withdraw = confirmed.map(|_| {
            let act = props.act.clone();
            html! {
                <button type="button" class="withdraw"
                    onclick={move |_| act.emit(Action::WithdrawFact(named.clone()))}>{ "Take this word back" }</button>
            }
        });
        let mark = match confirmed {
            Some(word) => {
                let text = fact.text.map(|text| format!("; text {text}")).unwrap_or_default();
                format!("confirmed by {} on {}, until {}{text}", word.who, word.when, word.until)
            }
            None => fact.mark_words(),
        };
        // Under a heading that says it already the matter is not named again.
        let noun = line.topic.noun();
        let is_said = about.eq_ignore_ascii_case(noun);
        html! {
            <li>
                <p>if !is_said { <strong>{ noun }</strong>{ ": " } }{ &line.words }{ " " }<span class="detail">{ format!("({mark})") }</span></p>
                { withdraw }
            </li>
        }
    };
    let (topics, texts) = facts_by_topic(rule);
    let topics = topics.into_iter().map(|topic| {
        html! {
            <details class="topic">
                <summary>{ format!("{} ({})", topic.about, topic.facts.len()) }</summary>
                <ul class="facts">{ for topic.facts.into_iter().map(|fact| row(topic.about, fact)) }</ul>
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
            if !texts.is_empty() {
                <details id="cited-texts">
                    <summary>{ format!("Where it was read ({})", texts.len()) }</summary>
                    <ol>
                        { for texts.into_iter().map(|text| {
                            let parts = [text.title, text.date];
                            let words = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
                            html! { <li>{ words }{ " " }<span class="address">{ text.address }</span></li> }
                        }) }
                    </ol>
                </details>
            }
            if !open.is_empty() {
                <details id="to-confirm">
                    <summary>{ format!("Not confirmed ({})", open.len()) }</summary>
                    <ConfirmForm facts={open} act={props.act.clone()} />
                </details>
            }
        </section>
    }
}
