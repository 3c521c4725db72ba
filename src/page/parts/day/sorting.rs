//! The crab that comes next: sorted at a glance, photographed, or walked through the checks.

use yew::prelude::*;

use crate::decide::Check;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::parts::photo::pick::PhotoInput;
use crate::session::words::plain_words;
use crate::session::{Action, DayAct, Plain, Screen};

/// What is sorted.
#[derive(Properties, PartialEq)]
pub struct SortingProps {
    /// The kind: id and name.
    pub kind: Option<(String, String)>,
    /// What a gauge is held against for it, in words.
    pub gauge_limits: Option<String>,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The buttons that sort.
#[component]
pub fn Sorting(props: &SortingProps) -> Html {
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let plain = |plain: Plain, class: &'static str| {
        let id = format!("sort-{}", plain_id(plain));
        html! {
            <button {id} type="button" {class} onclick={does(Action::Day(DayAct::Sort(plain)))}>{ plain_words(plain) }</button>
        }
    };
    let Some((_, kind)) = &props.kind else {
        return html! {
            <>
                <button id="start-checks" type="button" class="main-act wide-act" onclick={does(Action::LookAt(Check::Kind))}>
                    { "Which kind comes up?" }
                </button>
                <p>{ "It stays chosen from crab to crab; one tap changes it." }</p>
                <PhotoInput id="day-photo" words="Photograph a crab" by_camera=true same_crab=false take={props.take.clone()} />
            </>
        };
    };
    html! {
        <>
            <button id="sort-kind" type="button" class="sort-kind" onclick={does(Action::LookAt(Check::Kind))}>
                <span>{ "Next crab: " }<strong>{ kind }</strong></span><span class="rule-change">{ "Change" }</span>
            </button>
            <PhotoInput id="day-photo" words="Close? Photograph it" by_camera=true same_crab=false is_main=true
                take={props.take.clone()} />
            { plain(Plain::Keeper, "wide-act") }
            if let Some(limits) = &props.gauge_limits {
                <p id="gauge-limits" class="hint">{ "The gauge here: " }{ limits }</p>
            }
            <h2>{ "Let go" }</h2>
            <div class="sort-out">
                { for Plain::RELEASES.map(|one| plain(one, "")) }
                <button id="start-checks" type="button" onclick={does(Action::Show(Screen::Checks))}>{ "Check by check" }</button>
            </div>
        </>
    }
}

fn plain_id(plain: Plain) -> &'static str {
    match plain {
        Plain::Female => "female",
        Plain::Eggs => "eggs",
        Plain::Soft => "soft",
        Plain::Short => "short",
        Plain::OtherKind => "other-kind",
        Plain::OneClaw => "one-claw",
        Plain::NotNeeded => "not-needed",
        Plain::Keeper => "keeper",
    }
}
