//! The person's word that they read a figure in the official rule: who, and the day is today.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::rules::FactRef;
use crate::session::Action;

/// What is to be confirmed.
#[derive(Properties, PartialEq)]
pub struct ConfirmFormProps {
    /// The facts.
    pub facts: Vec<FactRef>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The facts in words, and a name.
#[component]
pub fn ConfirmForm(props: &ConfirmFormProps) -> Html {
    let who = use_state_eq(String::new);
    let typed = {
        let who = who.clone();
        Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            who.set(input.value());
        })
    };
    let sent = {
        let (who, facts, act) = (who.clone(), props.facts.clone(), props.act.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            act.emit(Action::ConfirmFacts { facts: facts.clone(), who: (*who).clone() });
        })
    };
    html! {
        <form id="confirm-rule" class="confirm-rule" onsubmit={sent}>
            <h2>{ "Not confirmed" }</h2>
            <p>{ "These figures are from memory. Read them in the official rule first; then put your name to them." }</p>
            <ul>
                { for props.facts.iter().map(|fact| html! {
                    <li>{ format!("{}: {}", fact.topic.noun(), fact.words) }</li>
                }) }
            </ul>
            <p>{ "If the official rule says otherwise, do not confirm: write your own rule under Rules." }</p>
            <label for="confirm-who">{ "Who read it" }</label>
            <input id="confirm-who" type="text" autocomplete="name" required=true value={(*who).clone()} oninput={typed} />
            <button id="confirm-facts" type="submit" class="wide-act">{ "I read these in the official rule today" }</button>
        </form>
    }
}
