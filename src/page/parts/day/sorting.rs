//! The crab that comes next: sorted at a glance, photographed, or walked through the checks.

use yew::prelude::*;

use crate::decide::Check;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::parts::photo::pick::PhotoInput;
use crate::session::words::plain_words;
use crate::session::{Action, DayAct, GaugeKeeper, Plain, Screen};

/// What is sorted.
#[derive(Properties, PartialEq)]
pub struct SortingProps {
    /// The kind: id and name.
    pub kind: Option<(String, String)>,
    /// What one tap keeps by the gauge.
    pub keepers: Vec<GaugeKeeper>,
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
    // Of several buttons with one limit the last one has it below.
    let keepers = props.keepers.iter().enumerate().map(|(at, keeper)| {
        let is_told_below = props.keepers.get(at + 1).is_some_and(|next| next.limits == keeper.limits);
        let limits = keeper.limits.as_ref().filter(|_| !is_told_below);
        html! {
            <>
                { plain(keeper.plain, "wide-act") }
                if let Some(limits) = limits {
                    <p id={format!("gauge-limits-{}", plain_id(keeper.plain))} class="hint">{ "The gauge here: " }{ limits }</p>
                }
            </>
        }
    });
    html! {
        <>
            <button id="sort-kind" type="button" class="sort-kind" onclick={does(Action::LookAt(Check::Kind))}>
                <span>{ "Next crab: " }<strong>{ kind }</strong></span><span class="rule-change">{ "Change" }</span>
            </button>
            <PhotoInput id="day-photo" words="Close? Photograph it" by_camera=true same_crab=false is_main=true
                take={props.take.clone()} />
            { for keepers }
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
        Plain::FemaleKeeper => "keeper-female",
        Plain::MatureKeeper => "keeper-mature",
        Plain::ImmatureKeeper => "keeper-immature",
        Plain::EitherKeeper => "keeper-either",
    }
}
