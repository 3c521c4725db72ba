//! What decides here on this day, as a person would tell it; its sources are folded below.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::rules::RuleInForce;
use crate::text::{full_area_name, rule_in_short};

/// Which rule, and when.
#[derive(Properties, PartialEq)]
pub struct InShortProps {
    /// The rule.
    pub rule: Rc<RuleInForce>,
    /// The day of the catch.
    pub date: Date,
    /// The season on that day, in a few words; empty where it is told of another kind.
    pub season: AttrValue,
}

/// The few lines that settle most crabs.
#[component]
pub fn RuleInShort(props: &InShortProps) -> Html {
    let rule = &props.rule;
    let lines = rule_in_short(rule, props.date).into_iter().map(|line| {
        html! {
            <>
                <dt>{ line.topic.noun() }</dt>
                <dd>{ line.words }
                    if !line.is_seen {
                        <span class="detail">{ " (not confirmed)" }</span>
                    }
                </dd>
            </>
        }
    });
    html! {
        <section id="rule-in-short">
            <p class="in-short-of"><strong>{ format!("{}: {}", full_area_name(&rule.jurisdiction, &rule.area_name), rule.species_name) }</strong></p>
            <dl>
                if !props.season.is_empty() {
                    <dt>{ "open?" }</dt><dd>{ &props.season }</dd>
                }
                { for lines }
            </dl>
        </section>
    }
}
