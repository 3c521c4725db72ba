//! The checks: one question at a time, in the order of a practised hand; any can be gone back to.

use std::rc::Rc;

use yew::prelude::*;

use crate::decide::{Check, CheckState};
use crate::page::parts::check_card::{CheckCard, KnownKind, check_id};
use crate::session::{Action, Screen};
use crate::text::{check_words, state_word};

/// What the checks show.
#[derive(Properties, PartialEq)]
pub struct ChecksProps {
    /// Answers that contradict each other.
    pub told: Vec<String>,
    /// What the pack says of the times of the water.
    pub times: Vec<String>,
    /// The chosen water, for the question of its season.
    pub water: String,
    /// Where the season can be looked up.
    pub look_up: Vec<String>,
    /// Each check with its state.
    pub states: Vec<(Check, CheckState)>,
    /// The check to show.
    pub shown: Option<Check>,
    /// Kinds of the chosen water.
    pub kinds: Rc<Vec<KnownKind>>,
    /// Kinds that are taken for one of these, and that no rule here is for.
    pub look_alikes: Rc<Vec<KnownKind>>,
    /// The kind that was answered.
    pub kind: Option<String>,
    /// What a gauge is held against, in words.
    pub gauge_limits: Option<String>,
    /// A photo is in hand.
    pub has_photo: bool,
    /// The verdict stands already.
    pub is_settled: bool,
    /// What was done.
    pub act: Callback<Action>,
}

/// The checks.
#[component]
pub fn ChecksScreen(props: &ChecksProps) -> Html {
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let steps = props
        .states
        .iter()
        .filter(|(check, state)| *state != CheckState::NotNeeded || props.shown == Some(*check));
    let list = steps.map(|(check, state)| {
        let words = check_words(*check);
        let current = (props.shown == Some(*check)).then_some("step");
        html! {
            <li>
                <button id={format!("check-{}", check_id(*check))} type="button" aria-current={current}
                    class={classes!("step", state_class(*state))} onclick={does(Action::LookAt(*check))}>
                    <span class="step-name">{ words.name }</span>
                    <span class="step-state">{ if props.kind.is_none() && *state == CheckState::Passed { "answered" } else { state_word(*state) } }</span>
                </button>
            </li>
        }
    });
    let body = match props.shown {
        Some(check) => html! {
            <CheckCard key={check_id(check)} {check} kinds={props.kinds.clone()} look_alikes={props.look_alikes.clone()} kind={props.kind.clone()}
                told={props.told.clone()} times={props.times.clone()} look_up={props.look_up.clone()} water={props.water.clone()}
                gauge_limits={props.gauge_limits.clone()} has_photo={props.has_photo} act={props.act.clone()} />
        },
        None if props.is_settled => html! {
            <p class="settled">{ "Every check that matters is answered." }</p>
        },
        None => html! {
            <>
                <p>{ "Choose the water first: its rule says what to check." }</p>
                <button id="choose-water" type="button" class="main-act wide-act"
                    onclick={does(Action::Show(Screen::Rules))}>{ "Choose the water" }</button>
            </>
        },
    };
    html! {
        <section id="screen-checks" class="screen">
            <div class="check-columns">
                <div>
                    { body }
                    if props.is_settled {
                        <button id="see-verdict" type="button" class="main-act wide-act"
                            onclick={does(Action::Show(Screen::Verdict))}>{ "See the verdict" }</button>
                    }
                </div>
                <div>
                    // On a phone the question stands alone; beside it there is room for the list.
                    <details id="all-checks" open={props.shown.is_none() || props.is_settled || is_wide()}>
                        <summary>{ "All checks" }</summary>
                        <ol class="steps">{ for list }</ol>
                    </details>
                    <button id="next-crab" type="button" class="wide-act" onclick={does(Action::NextCrab)}>
                        { "Next crab" }
                    </button>
                </div>
            </div>
        </section>
    }
}

/// True where the checks stand in two columns, as the style sheet has it.
fn is_wide() -> bool {
    let found = gloo::utils::window().match_media("(min-width: 60rem)");
    found.ok().flatten().is_some_and(|found| found.matches())
}

fn state_class(state: CheckState) -> &'static str {
    match state {
        CheckState::NotNeeded | CheckState::Open => "open",
        CheckState::Passed => "passed",
        CheckState::Failed => "failed",
        CheckState::Unsure | CheckState::Undecided => "unsure",
    }
}
