//! A form to make or adjust a rule: marked as the person's own on every verdict.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use crate::rules::facts::SexRule;
use crate::rules::{MeasuredDimension, built_in_species};
use crate::session::{Action, OwnRule};

/// What the form starts from.
#[derive(Properties, PartialEq)]
pub struct OwnRuleFormProps {
    /// The kind in hand, where it was answered.
    pub kind: Option<String>,
    /// What was done.
    pub act: Callback<Action>,
}

const DIMENSIONS: [(&str, &str, MeasuredDimension); 5] = [
    ("notch", "Notch to notch, the last teeth left out", MeasuredDimension::Notch),
    ("tips", "Tip to tip", MeasuredDimension::Tips),
    ("widest", "Widest part, no spines", MeasuredDimension::Widest),
    ("length", "Length along the midline (by gauge)", MeasuredDimension::Length),
    ("claw", "Claw (by gauge)", MeasuredDimension::Claw),
];

const SEXES: [(&str, &str, SexRule); 3] = [
    ("males", "Males only", SexRule::MalesOnly),
    ("either", "Either sex", SexRule::Either),
    ("females", "Females only", SexRule::FemalesOnly),
];

/// The form.
#[component]
pub fn OwnRuleForm(props: &OwnRuleFormProps) -> Html {
    let species = use_memo((), |()| built_in_species());
    let rule = use_state_eq(|| OwnRule {
        species: props.kind.clone().unwrap_or_else(|| "dungeness".to_owned()),
        dimension: MeasuredDimension::Notch,
        min: String::new(),
        max: String::new(),
        sex: SexRule::MalesOnly,
        who: String::new(),
        why: String::new(),
    });
    let field = |id: &'static str, label: &'static str, value: &str, set: fn(&mut OwnRule, String)| {
        let typed = rule.clone();
        let oninput = Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let mut changed = (*typed).clone();
            set(&mut changed, input.value());
            typed.set(changed);
        });
        html! {
            <>
                <label for={id}>{ label }</label>
                <input {id} type="text" autocomplete="off" value={value.to_owned()} {oninput} />
            </>
        }
    };
    let choice = |id: &'static str,
                  label: &'static str,
                  options: Vec<(String, String, bool)>,
                  set: fn(&mut OwnRule, &str)| {
        let chosen = rule.clone();
        let onchange = Callback::from(move |event: Event| {
            let select: HtmlSelectElement = event.target_unchecked_into();
            let mut changed = (*chosen).clone();
            set(&mut changed, &select.value());
            chosen.set(changed);
        });
        html! {
            <>
                <label for={id}>{ label }</label>
                <select {id} {onchange}>
                    { for options.into_iter().map(|(value, words, selected)| html! {
                        <option {value} {selected}>{ words }</option>
                    }) }
                </select>
            </>
        }
    };
    let kinds = species
        .iter()
        .map(|info| (info.id.clone(), info.name().to_owned(), info.id == rule.species))
        .collect();
    let dimensions = DIMENSIONS
        .iter()
        .map(|(id, words, dimension)| ((*id).to_owned(), (*words).to_owned(), *dimension == rule.dimension))
        .collect();
    let sexes = SEXES
        .iter()
        .map(|(id, words, sex)| ((*id).to_owned(), (*words).to_owned(), *sex == rule.sex))
        .collect();
    let sent = {
        let (rule, act) = (rule.clone(), props.act.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            act.emit(Action::MakeOwnRule((*rule).clone()));
        })
    };
    html! {
        <details>
            <summary>{ "Make or adjust a rule for this water" }</summary>
            <form id="own-rule" class="own-rule" onsubmit={sent}>
                { choice("own-kind", "Kind", kinds, |rule, value| rule.species = value.to_owned()) }
                { choice("own-dimension", "Measured", dimensions, |rule, value| {
                    if let Some((.., dimension)) = DIMENSIONS.iter().find(|(id, ..)| *id == value) {
                        rule.dimension = *dimension;
                    }
                }) }
                { field("own-min", "Smallest size, with its unit (6 1/4 in, 165 mm); empty: none", &rule.min, |rule, text| rule.min = text) }
                { field("own-max", "Largest size; empty: none", &rule.max, |rule, text| rule.max = text) }
                { choice("own-sex", "May be kept", sexes, |rule, value| {
                    if let Some((.., sex)) = SEXES.iter().find(|(id, ..)| *id == value) {
                        rule.sex = *sex;
                    }
                }) }
                { field("own-who", "Your name", &rule.who, |rule, text| rule.who = text) }
                { field("own-why", "Why, or after which order", &rule.why, |rule, text| rule.why = text) }
                <button id="own-take" type="submit" class="wide-act">{ "Take it as my own rule" }</button>
            </form>
        </details>
    }
}
