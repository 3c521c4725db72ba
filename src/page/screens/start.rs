//! Start: a photo, or straight to the checks.

use yew::prelude::*;

use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::parts::message::Message;
use crate::page::parts::photo::pick::PickPhoto;
use crate::page::parts::photo::samples::Samples;
use crate::session::{Action, Screen};
use crate::text::Notice;

/// What the start screen shows.
#[derive(Properties, PartialEq)]
pub struct StartProps {
    /// A real crab is in hand.
    pub is_in_hand: bool,
    /// What did not work.
    pub notice: Option<Notice>,
    /// A photo was chosen.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The start screen.
#[component]
pub fn StartScreen(props: &StartProps) -> Html {
    let checks = {
        let act = props.act.clone();
        move |_| act.emit(Action::Show(Screen::Checks))
    };
    let practise = props.act.reform(|_: MouseEvent| Action::Show(Screen::Practice));
    html! {
        <section id="screen-start" class="screen">
            <h1>{ "Crab beside a card: how wide is it?" }</h1>
            if let Some(notice) = &props.notice {
                <Message notice={notice.clone()} />
            }
            <div class="start-columns">
                <div>
                    <ol class="how">
                        <li>{ "Lay any bank or licence card flat beside the crab, or level with the edge of its shell." }</li>
                        <li>{ "Hold the phone 50 to 80 cm above, tilted a little, all of card and shell in the picture." }</li>
                        <li>{ "Confirm the two points; answer the checks." }</li>
                    </ol>
                    <PickPhoto take={props.take.clone()} />
                    <button id="start-checks" type="button" class="wide-act" onclick={checks}>
                        { "No photo: start with the checks" }
                    </button>
                </div>
                <div>
                    <h2>{ "Practice photos" }</h2>
                    if props.is_in_hand {
                        <p class="hint">{ "A crab is in hand: finish it first." }</p>
                    } else {
                        <Samples take={props.take.clone()} act={props.act.clone()} />
                    }
                    <button id="go-practice" type="button" class="wide-act" onclick={practise}>
                        { "Practice crabs: keep or let go?" }
                    </button>
                </div>
            </div>
        </section>
    }
}
