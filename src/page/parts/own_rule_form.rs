//! A form to make or adjust a rule: marked as the person's own on every verdict.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use crate::rules::facts::{SexRule, Take};
use crate::rules::{FormMistake, MeasuredDimension, OwnRule, OwnSeason, built_in_species};
use crate::session::Action;

/// What the form starts from.
#[derive(Properties, PartialEq)]
pub struct OwnRuleFormProps {
    /// The kind in hand, where it was answered.
    pub kind: Option<String>,
    /// What was wrong with the last try.
    pub mistakes: Vec<FormMistake>,
    /// What was done.
    pub act: Callback<Action>,
}

/// What was typed.
#[derive(Debug, Clone, PartialEq, Default)]
struct Draft {
    rule: OwnRule,
    who: String,
    closed_from: String,
    closed_to: String,
}

const TAKES: [(&str, Take); 2] = [("May be taken", Take::Allowed), ("May not be taken", Take::Forbidden)];

const DIMENSIONS: [(&str, MeasuredDimension); 5] = [
    ("Notch to notch, the last teeth left out", MeasuredDimension::Notch),
    ("Tip to tip", MeasuredDimension::Tips),
    ("Widest part, no spines", MeasuredDimension::Widest),
    ("Length along the midline (by gauge)", MeasuredDimension::Length),
    ("Claw (by gauge)", MeasuredDimension::Claw),
];

const SEXES: [(&str, SexRule); 3] = [
    ("Males only", SexRule::MalesOnly),
    ("Either sex", SexRule::Either),
    ("Females only", SexRule::FemalesOnly),
];

/// The form.
#[component]
pub fn OwnRuleForm(props: &OwnRuleFormProps) -> Html {
    let species = use_memo((), |()| built_in_species());
    let draft = use_state_eq(|| {
        let species = props.kind.clone().unwrap_or_else(|| "dungeness".to_owned());
        Draft { rule: OwnRule { species, ..OwnRule::default() }, ..Draft::default() }
    });
    let field = |id: &'static str, label: &'static str, value: &str, set: fn(&mut Draft, String)| {
        let typed = draft.clone();
        let oninput = Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let mut changed = (*typed).clone();
            set(&mut changed, input.value());
            typed.set(changed);
        });
        let kind = if id.starts_with("own-closed") { "date" } else { "text" };
        html! {
            <>
                <label for={id}>{ label }</label>
                <input {id} type={kind} autocomplete="off" value={value.to_owned()} {oninput} />
            </>
        }
    };
    // The value of an option is its place in the list; 0 keeps what the rule says.
    let choice =
        |id: &'static str, label: &'static str, options: Vec<(&str, bool)>, set: fn(&mut Draft, usize)| {
            let chosen = draft.clone();
            let onchange = Callback::from(move |event: Event| {
                let select: HtmlSelectElement = event.target_unchecked_into();
                let mut changed = (*chosen).clone();
                set(&mut changed, select.value().parse().unwrap_or(0));
                chosen.set(changed);
            });
            html! {
                <>
                    <label for={id}>{ label }</label>
                    <select {id} {onchange}>
                        <option value="0">{ "As the rule says now" }</option>
                        { for options.into_iter().enumerate().map(|(at, (words, selected))| html! {
                            <option value={(at + 1).to_string()} {selected}>{ words.to_owned() }</option>
                        }) }
                    </select>
                </>
            }
        };
    let rule = &draft.rule;
    let takes = TAKES.iter().map(|(words, take)| (*words, rule.take == Some(*take))).collect();
    let dimensions = DIMENSIONS.iter().map(|(words, it)| (*words, rule.dimension == Some(*it))).collect();
    let sexes = SEXES.iter().map(|(words, sex)| (*words, rule.sex == Some(*sex))).collect();
    let kind_chosen = {
        let chosen = draft.clone();
        Callback::from(move |event: Event| {
            let select: HtmlSelectElement = event.target_unchecked_into();
            let mut changed = (*chosen).clone();
            changed.rule.species = select.value();
            chosen.set(changed);
        })
    };
    let read = {
        let draft = draft.clone();
        Callback::from(move |_: MouseEvent| {
            let mut changed = (*draft).clone();
            changed.rule.is_read = !changed.rule.is_read;
            draft.set(changed);
        })
    };
    let sent = {
        let (draft, act) = (draft.clone(), props.act.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let Draft { mut rule, who, closed_from: from, closed_to: to } = (*draft).clone();
            let is_typed = |text: &String| !text.trim().is_empty();
            rule.min = rule.min.filter(is_typed);
            rule.max = rule.max.filter(is_typed);
            rule.season =
                (is_typed(&from) || is_typed(&to)).then_some(OwnSeason { is_closed: true, from, to });
            act.emit(Action::MakeOwnRule { rule, who });
        })
    };
    let sizes = (rule.min.clone().unwrap_or_default(), rule.max.clone().unwrap_or_default());
    html! {
        <details open={!props.mistakes.is_empty()}>
            <summary>{ "Make or adjust a rule for this water" }</summary>
            <form id="own-rule" class="own-rule" onsubmit={sent}>
                <label for="own-kind">{ "Kind" }</label>
                <select id="own-kind" onchange={kind_chosen}>
                    { for species.iter().map(|info| html! {
                        <option value={info.id.clone()} selected={info.id == rule.species}>{ info.name().to_owned() }</option>
                    }) }
                </select>
                { choice("own-take", "Taking it", takes, |draft, at| draft.rule.take = picked(&TAKES, at)) }
                { choice("own-dimension", "Measured", dimensions,
                    |draft, at| draft.rule.dimension = picked(&DIMENSIONS, at)) }
                { field("own-min", "Smallest size with its unit (6 1/4 in, 165 mm), or none; empty: as now", &sizes.0,
                    |draft, text| draft.rule.min = Some(text)) }
                { field("own-max", "Largest size, or none; empty: as now", &sizes.1,
                    |draft, text| draft.rule.max = Some(text)) }
                { choice("own-sex", "Sexes", sexes, |draft, at| draft.rule.sex = picked(&SEXES, at)) }
                { field("own-closed-from", "Closed from", &draft.closed_from, |draft, text| draft.closed_from = text) }
                { field("own-closed-to", "Closed to", &draft.closed_to, |draft, text| draft.closed_to = text) }
                { field("own-title", "The text it stands in, such as an order and its number", &rule.source_title,
                    |draft, text| draft.rule.source_title = text) }
                { field("own-date", "Its date", &rule.source_date, |draft, text| draft.rule.source_date = text) }
                { field("own-who", "Your name or initials", &draft.who, |draft, text| draft.who = text) }
                <button id="own-read" type="button" class="wide-act" aria-pressed={rule.is_read.to_string()}
                    onclick={read}>{ "I read the official text myself" }</button>
                if !props.mistakes.is_empty() {
                    <div role="alert" class="message">
                        <p class="message-seen">{ format!("Not taken, and nothing changed. {} to mend:", props.mistakes.len()) }</p>
                        <ul id="own-mistakes">
                            { for props.mistakes.iter().map(|mistake| html! {
                                <li>{ format!("{}: {}", label_of(&mistake.field), mistake.words) }</li>
                            }) }
                        </ul>
                    </div>
                }
                <button id="own-take-it" type="submit" class="wide-act main-act">{ "Take it as my own rule" }</button>
            </form>
        </details>
    }
}

fn picked<T: Copy>(options: &[(&str, T)], at: usize) -> Option<T> {
    options.get(at.checked_sub(1)?).map(|(_, value)| *value)
}

/// The form's words for a field of the core.
fn label_of(field: &str) -> &str {
    match field {
        "min" => "Smallest size",
        "max" => "Largest size",
        "species" => "Kind",
        "source_title" => "The text it stands in",
        "who" => "Your name",
        "area" => "Water",
        other => other,
    }
}
