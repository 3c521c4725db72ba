//! The practice photos that come with the page.

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use crate::page::hooks::meta::meta;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::hooks::photo::photo_file::{fetch_blob, fetch_text};
use crate::session::{Action, PracticePhoto};
use crate::text::Notice;

/// Where a practice photo goes.
#[derive(Properties, PartialEq)]
pub struct SamplesProps {
    /// A photo was chosen.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// What is known of the list.
#[derive(Clone, PartialEq)]
enum Known {
    Loading,
    Failed,
    Photos(Vec<PracticePhoto>),
}

/// A list of photos to practise on.
#[component]
pub fn Samples(props: &SamplesProps) -> Html {
    let known = use_state_eq(|| Known::Loading);
    {
        let known = known.clone();
        use_effect_with((), move |()| {
            spawn_local(async move {
                known.set(fetch_list().await.map_or(Known::Failed, Known::Photos));
            });
        });
    }
    let photos = match &*known {
        Known::Loading => return html! { <p class="hint">{ "Fetching the practice photos." }</p> },
        Known::Failed => {
            return html! {
                <p class="hint">{ "The practice photos are not on this device yet. Open the page once with a network." }</p>
            };
        }
        Known::Photos(photos) => photos,
    };
    let buttons = photos.iter().enumerate().map(|(i, photo)| {
        let (take, act, photo) = (props.take.clone(), props.act.clone(), photo.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            spawn_local(take_one(photo.clone(), take.clone(), act.clone()));
        });
        html! {
            <li>
                <button id={format!("sample-{i}")} type="button" aria-label={format!("Practice photo {}", i + 1)}
                    {onclick}>{ i + 1 }</button>
            </li>
        }
    });
    html! {
        <>
            <ol class="samples" aria-label="Practice photos">{ for buttons }</ol>
            <KeepSamples />
        </>
    }
}

/// The list of practice photos; none where it is not on the device.
pub async fn fetch_list() -> Option<Vec<PracticePhoto>> {
    let list = fetch_text(&format!("{}index.json", meta("shellspan-samples"))).await?;
    serde_json::from_str(&list).ok()
}

/// Fetches a practice photo and takes it.
pub async fn take_one(photo: PracticePhoto, take: Callback<ChosenPhoto>, act: Callback<Action>) {
    let PracticePhoto { name, truth, kind } = photo;
    match fetch_blob(&format!("{}{name}", meta("shellspan-samples"))).await {
        Some(blob) => {
            take.emit(ChosenPhoto { name, blob, practice: Some(truth), same_crab: false });
            if let Some(kind) = kind {
                act.emit(Action::PracticeKind(kind));
            }
        }
        None => act.emit(Action::PhotoFailed(Notice::new(
            "sample-missing",
            "This practice photo is not on the device.",
            "Open the page once with a network, or choose a photo of your own.",
        ))),
    }
}

/// All of them for the ride out: fetched when asked for, since they weigh more than the page.
#[component]
fn KeepSamples() -> Html {
    let is_asked = use_state_eq(|| false);
    let Some(service) = gloo::utils::window().navigator().service_worker().controller() else {
        return Html::default();
    };
    let ask = {
        let is_asked = is_asked.clone();
        move |_| is_asked.set(service.post_message(&"keep-samples".into()).is_ok())
    };
    if *is_asked {
        return html! { <p class="hint" role="status">{ "They are fetched while the page is open, some 22 MB." }</p> };
    }
    html! { <button id="keep-samples" type="button" onclick={ask}>{ "Keep them for the boat: 22 MB" }</button> }
}
