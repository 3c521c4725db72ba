//! What the person's gauge or caliper says, entered by hand. It settles the size, unless a photo shows
//! the opposite.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::decide::GaugeReading;
use crate::rules::Length;
use crate::session::{Action, Reply};

/// Where the reading goes.
#[derive(Properties, PartialEq)]
pub struct GaugeFormProps {
    /// What stands above it.
    pub heading: &'static str,
    /// What the gauge is held against, in words; none where it stands near by already.
    #[prop_or_default]
    pub limits: Option<String>,
    /// What was done.
    pub act: Callback<Action>,
}

/// Two large answers for a gauge, and a field for a reading.
#[component]
pub fn GaugeForm(props: &GaugeFormProps) -> Html {
    let reading = use_state_eq(String::new);
    let mistake = use_state_eq(|| None::<String>);
    let says = |reading: GaugeReading| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(Action::Reply(Reply::Gauge(reading))))
    };
    let typed = {
        let (reading, mistake) = (reading.clone(), mistake.clone());
        Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            reading.set(input.value());
            mistake.set(None);
        })
    };
    let sent = {
        let (reading, mistake, act) = (reading.clone(), mistake.clone(), props.act.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match reading.parse::<Length>() {
                Ok(length) => act.emit(Action::Reply(Reply::Gauge(GaugeReading::Reads(length)))),
                Err(error) => {
                    mistake.set(Some(error.to_string()));
                    // A size that was entered before is not what the person means now.
                    act.emit(Action::Reply(Reply::NoReading));
                }
            }
        })
    };
    html! {
        <section class="gauge-form" aria-label="By the gauge">
            <h2>{ props.heading }</h2>
            if let Some(limits) = &props.limits {
                <p id="gauge-limits" class="told">{ "Here: " }{ limits }</p>
            }
            <div class="answers">
                <button id="answer-gauge-of-size" type="button" class="answer" onclick={says(GaugeReading::OfSize)}>
                    <span class="answer-words">{ "Of size: the gauge does not go over the shell" }</span>
                </button>
                <button id="answer-gauge-too-small" type="button" class="answer" onclick={says(GaugeReading::NotOfSize)}>
                    <span class="answer-words">{ "Too small: the gauge goes over the shell" }</span>
                </button>
            </div>
            <form class="reading" onsubmit={sent}>
                <label for="gauge-reading">{ "Caliper or ruler reading, with its unit" }</label>
                <div class="reading-row">
                    <input id="gauge-reading" type="text" placeholder="6 1/4 in" autocomplete="off"
                        value={(*reading).clone()} oninput={typed}
                        aria-describedby={mistake.is_some().then_some("gauge-mistake")} />
                    <button id="enter-reading" type="submit">{ "Enter" }</button>
                </div>
                if let Some(mistake) = &*mistake {
                    <p id="gauge-mistake" role="alert">{ mistake }</p>
                }
            </form>
        </section>
    }
}
