//! The rule in force, always in sight: water, area, date, source, age.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::rules::RuleInForce;
use crate::session::{Action, Screen};
use crate::text::rule_in_force;

/// Which rule.
#[derive(Properties, PartialEq)]
pub struct RuleLineProps {
    /// What holds at the chosen water.
    pub rule: Option<Rc<RuleInForce>>,
    /// The season on the chosen day, in a few words.
    pub season: AttrValue,
    /// The water in a word or two.
    pub water: AttrValue,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// The rule in short lines; a tap anywhere on them leads to the choice.
#[component]
pub fn RuleLine(props: &RuleLineProps) -> Html {
    let act = props.act.clone();
    let words = match &props.rule {
        Some(rule) => rule_in_force(rule, &props.water, props.date, props.today),
        None => [
            "No water chosen".to_owned(),
            String::new(),
            "Choose yours: without it there is no rule to decide by.".to_owned(),
        ],
    };
    let [water, source, age] = words;
    html! {
        <button id="go-rules" type="button" class="rule-line" onclick={move |_| act.emit(Action::Show(Screen::Rules))}>
            <span id="rule-in-force">
                <strong class="rule-water">{ water }</strong>{ " " }
                if !props.season.is_empty() {
                    <span id="rule-season">{ &props.season }{ ". " }</span>
                }
                <span class="rule-source">
                    if !source.is_empty() {
                        <span class="rule-title">{ source }{ "; " }</span>
                    }
                    { age }
                </span>
            </span>
            <span class="rule-change">{ if props.rule.is_some() { "Change" } else { "Choose" } }</span>
        </button>
    }
}
