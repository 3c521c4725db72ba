//! The strip of the crab's photos: which carry the width, one tap to see one, one to take it out.

use std::rc::Rc;

use yew::prelude::*;

use crate::page::hooks::photo::photo_file::PhotoFile;
use crate::session::words::photo_state;
use crate::session::{Action, PhotoState, StripPhoto};

/// What is shown.
#[derive(Properties, PartialEq)]
pub struct StripProps {
    /// The photos, in the order of taking.
    pub photos: Vec<StripPhoto>,
    /// Their files.
    pub files: Vec<Rc<PhotoFile>>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The photos, from two on.
#[component]
pub fn Strip(props: &StripProps) -> Html {
    if props.photos.len() < 2 {
        return Html::default();
    }
    let one = |(place, photo): (usize, &StripPhoto)| {
        let does = |action: Action| {
            let act = props.act.clone();
            Callback::from(move |_: MouseEvent| act.emit(action.clone()))
        };
        let serial = photo.serial;
        let url = props.files.iter().find(|file| file.serial == serial).map(|file| file.url.to_string());
        let words = photo_state(photo.state);
        let number = place + 1;
        let class = match photo.state {
            PhotoState::Carries => "carries",
            PhotoState::StandsApart => "stands-apart",
            _ => "unsettled",
        };
        html! {
            <li class={classes!("strip-photo", class)}>
                <button id={format!("strip-show-{number}")} type="button" class="strip-show"
                    aria-current={photo.is_shown.then_some("true")}
                    aria-label={format!("Photo {number}: {words}")} onclick={does(Action::ShowPhoto(serial))}>
                    if let Some(url) = url {
                        <img src={url} alt="" />
                    }
                    <span class="strip-words">{ format!("{number}. {words}") }</span>
                </button>
                <button id={format!("strip-drop-{number}")} type="button" class="strip-drop"
                    aria-label={format!("Take photo {number} out")} onclick={does(Action::DropOnePhoto(serial))}>
                    { "Take out" }
                </button>
            </li>
        }
    };
    html! {
        <ol id="strip" class="strip" aria-label="Photos of this crab">
            { for props.photos.iter().enumerate().map(one) }
        </ol>
    }
}
