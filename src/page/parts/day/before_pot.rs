//! Before a pot goes over: what the rule asks of gear, the habits that save pots and crabs, and the line's sum.

use std::rc::Rc;

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::day::line::{LineSum, line_needed};
use crate::day::pots::metres_of;
use crate::day::weight::{FRICTION, Pull, WITH_WAVES, across_of, current_of, rounded_up, weight_needed};
use crate::page::drawings as drawn;
use crate::page::parts::drawing::Drawing;
use crate::rules::{Mark, RuleInForce, Topic};
use crate::session::PotCount;
use crate::session::words::pots_words;
use crate::units::{Kilograms, Metres};

/// Habits: common practice.
const HABITS: [&str; 7] = [
    "Weight enough for this depth and current: a pot that walks is lost.",
    "Line that sinks, or a weight on it: floating line is cut by propellers.",
    "Door closed and hooked; escape openings free.",
    "Rot cord in place: a lost pot must let its crabs go.",
    "Buoy marked as this water asks.",
    "Bait closed in, out of reach of seals.",
    "Time to pull it again inside the open hours.",
];

/// What holds here.
#[derive(Properties, PartialEq)]
pub struct BeforePotProps {
    /// The rule for any crab of the water.
    pub rule: Option<Rc<RuleInForce>>,
    /// How many pots are in the water, where the rule counts them.
    pub pots: Option<PotCount>,
}

/// The list and the sum, folded.
#[component]
pub fn BeforePot(props: &BeforePotProps) -> Html {
    let facts = props.rule.iter().flat_map(|rule| {
        let lines = rule.lines().into_iter().filter(|fact| fact.topic == Topic::Gear);
        lines
            .map(|fact| {
                let sure = if fact.mark == Mark::Seen { "" } else { "from memory: not confirmed. " };
                html! { <li>{ fact.words }<p class="detail">{ format!("{sure}{}", fact.source) }</p></li> }
            })
            .collect::<Vec<_>>()
    });
    let facts: Vec<Html> = facts.collect();
    html! {
        <details id="before-pot">
            <summary>{ "Before a pot goes over" }</summary>
            if let Some(pots) = props.pots {
                <p id="pots-count" class={if pots.is_full() { "flag" } else { "" }}>{ pots_words(pots) }</p>
            }
            if !facts.is_empty() {
                <h3>{ "The rule asks" }</h3>
                <ul id="gear-facts">{ for facts }</ul>
            }
            <h3>{ "Common practice" }</h3>
            <ul>{ for HABITS.iter().map(|habit| html! { <li>{ *habit }</li> }) }</ul>
            <LineForm />
        </details>
    }
}

fn field(id: &'static str, words: &'static str, state: &UseStateHandle<String>) -> Html {
    let (handle, value) = (state.clone(), (**state).clone());
    let typed =
        move |event: InputEvent| handle.set(event.target_unchecked_into::<HtmlInputElement>().value());
    html! {
        <>
            <label for={id}>{ words }</label>
            <input {id} type="text" inputmode="decimal" autocomplete="off" maxlength="8" {value} oninput={typed} />
        </>
    }
}

/// The sum of the line.
#[component]
fn LineForm() -> Html {
    let depth = use_state(|| "20".to_owned());
    let tide = use_state(|| "4".to_owned());
    let scope = use_state(|| "1.25".to_owned());
    let number = |words: &str| words.trim().replace(',', ".").parse::<f64>().unwrap_or(f64::NAN);
    let metres = |words: &str| Metres(metres_of(words).unwrap_or(f64::NAN));
    let sum = line_needed(metres(&depth), metres(&tide), number(&scope));
    let words = sum.map_or_else(
        || "Depth above 0, tide 0 or more, scope 1 or more: 20, 60 ft or 10 fm.".to_owned(),
        |sum| {
            format!(
                "At high water {:.1} m: {:.0} m of line ({:.0} ft). At low water {:.0} m of it are slack.",
                sum.deepest.0,
                sum.line.0.ceil(),
                sum.line.feet().ceil(),
                sum.slack_at_low_water.0
            )
        },
    );
    html! {
        <>
        <div class="row">
            <Drawing file={drawn::DECK_LINE_SLACK} />
            { field("line-depth", "Depth at low water: m, ft or fm", &depth) }
            { field("line-tide", "Rise of the tide: m or ft", &tide) }
            { field("line-scope", "Line for each metre of depth", &scope) }
            <p id="line-sum" role="status"><strong>{ words }</strong></p>
        </div>
        if let Some(line) = sum {
            <WeightForm {line} />
        }
        </>
    }
}

#[derive(Properties, PartialEq)]
struct WeightProps {
    /// The line's sum.
    line: LineSum,
}

/// The sum of the weight.
#[component]
fn WeightForm(props: &WeightProps) -> Html {
    let current = use_state(|| "1 kn".to_owned());
    let line_across = use_state(|| "8 mm".to_owned());
    let buoy_across = use_state(|| "13 cm".to_owned());
    let buoy_high = use_state(|| "28 cm".to_owned());
    let pull = || {
        Some(Pull {
            current: current_of(&current)?,
            line_across: across_of(&line_across)?,
            buoy_across: across_of(&buoy_across)?,
            buoy_high: across_of(&buoy_high)?,
        })
    };
    let told =
        |weight: Kilograms| format!("{:.0} kg ({:.0} lb)", rounded_up(weight.0), rounded_up(weight.pounds()));
    let words = pull().and_then(|pull| weight_needed(&props.line, &pull)).map_or_else(
        || "Not summed. Current: up to 10 kn, as 1 kn or 0.5 m/s. Line and buoy, with their unit: 8 mm, 5/16 in, 13 cm.".to_owned(),
        |weight| {
            let with_waves = told(Kilograms(WITH_WAVES * weight.0));
            format!("About {} in the water. With waves more: half again is {with_waves}.", told(weight))
        },
    );
    html! {
        <div class="row">
            <h3>{ "Weight in a current" }</h3>
            { field("pot-current", "Current: kn or m/s", &current) }
            { field("line-across", "Line, thick: mm or in", &line_across) }
            { field("buoy-across", "Buoy, wide: cm or in", &buoy_across) }
            { field("buoy-high", "Buoy, high: cm or in", &buoy_high) }
            <p id="weight-sum" role="status"><strong>{ words }</strong></p>
            <p class="hint">
                { format!("Rough: the pull of the current on line and buoy, with {FRICTION} of the weight holding. Not in it: the pull on the pot itself. In the water steel keeps 87 % of its weight, concrete about 57 %.") }
            </p>
        </div>
    }
}
