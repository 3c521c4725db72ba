//! A crab that the person kept though the page does not say keep: with a reason, and flagged from then on.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::session::{Action, DayAct, Keeper};

/// Who may have kept it.
#[derive(Properties, PartialEq)]
pub struct DespiteProps {
    /// The persons aboard.
    pub keepers: Vec<Keeper>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The form.
#[component]
pub fn Despite(props: &DespiteProps) -> Html {
    let reason = use_state(String::new);
    let typed = {
        let reason = reason.clone();
        move |event: InputEvent| reason.set(event.target_unchecked_into::<HtmlInputElement>().value())
    };
    let is_alone = props.keepers.len() == 1;
    let button = |(at, keeper): (usize, &Keeper)| {
        let (act, reason, person) = (props.act.clone(), reason.clone(), keeper.person.clone());
        let words = if is_alone { "I kept it".to_owned() } else { format!("{} kept it", keeper.name) };
        html! {
            <button id={format!("despite-{at}")} type="button" disabled={reason.trim().is_empty()}
                onclick={move |_| act.emit(Action::Day(DayAct::KeepDespite(person.clone(), (*reason).clone())))}>{ words }</button>
        }
    };
    html! {
        <div id="despite">
            <h2>{ "It was kept all the same" }</h2>
            <p>{ "It counts, and stays flagged in the day with your reason." }</p>
            <label for="despite-reason">{ "Reason" }</label>
            <input id="despite-reason" type="text" maxlength="120" autocomplete="off" value={(*reason).clone()} oninput={typed} />
            <div class="tools">{ for props.keepers.iter().enumerate().map(button) }</div>
        </div>
    }
}
