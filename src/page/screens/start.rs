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
    /// The real crab in hand, in a few words.
    pub in_hand: Option<String>,
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
    let other = {
        let act = props.act.clone();
        move |_: MouseEvent| {
            act.emit(Action::NextCrab);
            act.emit(Action::Show(Screen::Start));
        }
    };
    let practise = props.act.reform(|_: MouseEvent| Action::Show(Screen::Practice));
    html! {
        <section id="screen-start" class="screen">
            <h1>{ "Crab beside a card: how wide is it?" }</h1>
            if let Some(notice) = &props.notice {
                <Message notice={notice.clone()} />
            }
            if let Some(in_hand) = &props.in_hand {
                <div class="in-hand">
                    <p id="photo-of"><strong>{ "A photo is of the crab in hand: " }</strong>{ in_hand }{ ". What you answered of it stays." }</p>
                    <button id="other-crab" type="button" onclick={other}>{ "It is another crab" }</button>
                </div>
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
                    if props.in_hand.is_some() {
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
