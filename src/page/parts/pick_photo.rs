//! Ways to a photo: camera, file, drop, paste.

use gloo::events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{ClipboardEvent, DragEvent, File, FileList, HtmlInputElement};
use yew::prelude::*;

use crate::page::app::ChosenPhoto;

/// Where the photo goes.
#[derive(Properties, PartialEq)]
pub struct PickPhotoProps {
    /// A photo was chosen.
    pub take: Callback<ChosenPhoto>,
}

/// Camera and file inputs, and a place to drop or paste.
#[component]
pub fn PickPhoto(props: &PickPhotoProps) -> Html {
    let is_over = use_state_eq(|| false);
    {
        let take = props.take.clone();
        use_effect_with(take, |take| {
            let take = take.clone();
            let listener = EventListener::new(&gloo::utils::document(), "paste", move |event| {
                let files = event
                    .dyn_ref::<ClipboardEvent>()
                    .and_then(ClipboardEvent::clipboard_data)
                    .and_then(|pasted| pasted.files());
                take_first(files, &take);
            });
            move || drop(listener)
        });
    }
    let changed = {
        let take = props.take.clone();
        Callback::from(move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            take_first(input.files(), &take);
            // The same file can then be chosen again.
            input.set_value("");
        })
    };
    let dropped = {
        let (take, is_over) = (props.take.clone(), is_over.clone());
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            is_over.set(false);
            take_first(event.data_transfer().and_then(|dragged| dragged.files()), &take);
        })
    };
    let over = {
        let is_over = is_over.clone();
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            is_over.set(true);
        })
    };
    let left = {
        let is_over = is_over.clone();
        Callback::from(move |_: DragEvent| is_over.set(false))
    };
    html! {
        <div id="drop-zone" class={classes!("drop-zone", is_over.then_some("over"))}
            ondrop={dropped} ondragover={over} ondragleave={left}>
            <label class="pick main-act">
                <input id="take-photo" type="file" accept="image/*" capture="environment"
                    onchange={changed.clone()} />
                <span>{ "Take a photo" }</span>
            </label>
            <label class="pick">
                <input id="pick-photo" type="file"
                    accept="image/jpeg,image/png,image/webp,image/heic,image/avif,image/*" onchange={changed} />
                <span>{ "Choose a photo" }</span>
            </label>
            <p class="hint">{ "Or drop one here, or paste it." }</p>
        </div>
    }
}

fn take_first(files: Option<FileList>, take: &Callback<ChosenPhoto>) {
    let Some(file): Option<File> = files.and_then(|files| files.get(0)) else { return };
    take.emit(ChosenPhoto { name: file.name(), blob: file.into(), is_practice: false });
}
