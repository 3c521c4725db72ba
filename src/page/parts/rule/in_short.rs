//! What decides here on this day, as a person would tell it; its sources are folded below.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::rules::{Confirmation, RuleInForce};
use crate::text::rule_in_short;

/// Which rule, and when.
#[derive(Properties, PartialEq)]
pub struct InShortProps {
    /// The rule.
    pub rule: Rc<RuleInForce>,
    /// The day of the catch.
    pub date: Date,
    /// What persons have read in the official rule.
    pub confirmations: Rc<Vec<Confirmation>>,
    /// The season on that day, in a few words; empty where it is told of another kind.
    pub season: AttrValue,
}

/// The few lines that settle most crabs.
#[component]
pub fn RuleInShort(props: &InShortProps) -> Html {
    let rule = &props.rule;
    let lines = rule_in_short(rule, props.date, &props.confirmations).into_iter().map(|line| {
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
            <dl>
                if !props.season.is_empty() {
                    <dt>{ "season" }</dt>
                    <dd>{ props.season.strip_prefix("Season ").unwrap_or(&props.season).to_owned() }</dd>
                }
                { for lines }
            </dl>
        </section>
    }
}
