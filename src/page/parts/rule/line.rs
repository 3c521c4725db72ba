//! The rule in force, always in sight in one line: water, day, open or not. Source and age are one tap away.

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

/// The rule in one line; a tap anywhere on it leads to the choice, with source and age.
#[component]
pub fn RuleLine(props: &RuleLineProps) -> Html {
    let act = props.act.clone();
    let water = match &props.rule {
        Some(rule) => {
            let [water, ..] = rule_in_force(rule, &props.water, props.date, props.today);
            water
        }
        None => "No water chosen".to_owned(),
    };
    html! {
        <button id="go-rules" type="button" class="rule-line" onclick={move |_| act.emit(Action::Show(Screen::Rules))}>
            <span id="rule-in-force">
                <strong class="rule-water">{ water }</strong>
                if !props.season.is_empty() {
                    { ": " }<span id="rule-season">{ &props.season }</span>
                }
            </span>
            <span class="rule-change">{ if props.rule.is_some() { "Change" } else { "Choose" } }</span>
        </button>
    }
}
