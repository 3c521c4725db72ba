//! After the points of a practice photo are confirmed: how far they lie from the right ones, and the way on.

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::samples::{fetch_list, take_one};
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::session::photo::practice::next_after;
use crate::session::words::points_apart;
use crate::session::{Action, PhotoWork, Screen};

/// The photo's findings, and where the next photo goes.
#[derive(Properties, PartialEq)]
pub struct RightPointsProps {
    /// The photo's findings.
    pub work: PhotoWork,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The millimetres between own and right points, and the next photo; empty where the photo is no practice photo. Its
/// element is always there: what stands after a component that draws none is put before what stands in front of it.
#[component]
pub fn RightPoints(props: &RightPointsProps) -> Html {
    let Some(in_hand) = props.work.in_hand.as_ref().filter(|photo| photo.practice.is_some()) else {
        return html! { <div class="right-points" /> };
    };
    let apart = points_apart(&props.work).map(|words| html! { <p id="points-apart">{ words }</p> });
    let next = {
        let (take, act, name) = (props.take.clone(), props.act.clone(), in_hand.name.clone());
        move |_: MouseEvent| {
            let (take, act, name) = (take.clone(), act.clone(), name.clone());
            spawn_local(async move {
                let list = fetch_list().await.unwrap_or_default();
                if let Some(photo) = next_after(&list, &name) {
                    take_one(photo.clone(), take, act).await;
                }
            });
        }
    };
    let back = props.act.reform(|_: MouseEvent| Action::Show(Screen::Practice));
    let is_drawn = props.work.is_drawn();
    html! {
        <div class="right-points">
            { apart }
            if is_drawn {
                <button id="back-to-practice" type="button" class="wide-act" onclick={back}>{ "Back to the practice crab" }</button>
            } else {
                <button id="next-practice-photo" type="button" class="wide-act" onclick={next}>{ "Next practice photo" }</button>
            }
        </div>
    }
}
