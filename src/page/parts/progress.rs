//! Work in hand: shown once it takes longer than a blink, and it can be stopped.

use gloo::timers::callback::Timeout;
use yew::prelude::*;

use crate::session::{Action, Pending};
use crate::worker::protocol::{Question, Step};

/// Work that is done sooner shows nothing: a flash would only unsettle.
const SHOWN_AFTER_MS: u32 = 300;

/// The work.
#[derive(Properties, PartialEq)]
pub struct ProgressProps {
    /// The question that waits.
    pub pending: Pending,
    /// What was done.
    pub act: Callback<Action>,
}

/// What the worker is doing, with a way to stop it.
#[component]
pub fn Progress(props: &ProgressProps) -> Html {
    let shown = use_state_eq(|| false);
    {
        let shown = shown.clone();
        use_effect_with(props.pending.number, move |_| {
            shown.set(false);
            let timer = Timeout::new(SHOWN_AFTER_MS, move || shown.set(true));
            move || drop(timer)
        });
    }
    let words = match (&props.pending.question, props.pending.step) {
        (Question::Snap { .. }, _) => "Looking for the nearest corner of the margin.",
        (Question::Look(_), _) => "Looking at the points once more.",
        (_, Some(Step::Looking)) => "Looking for the card and the shell.",
        _ => "Reading the photo.",
    };
    let act = props.act.clone();
    html! {
        <div class="progress" hidden={!*shown}>
            <p id="progress" role="status">{ if *shown { words } else { "" } }</p>
            <div class="progress-bar" aria-hidden="true"><span /></div>
            <button id="cancel" type="button" onclick={move |_| act.emit(Action::Cancel)}>{ "Stop" }</button>
        </div>
    }
}
