//! Ways to a photo: camera and file here; dropping and pasting work anywhere on the page.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::page::hooks::handed_over::take_all;
use crate::page::hooks::photo_file::ChosenPhoto;

/// Where the photo goes.
#[derive(Properties, PartialEq)]
pub struct PickPhotoProps {
    /// A photo was chosen.
    pub take: Callback<ChosenPhoto>,
}

/// Camera and file inputs.
#[component]
pub fn PickPhoto(props: &PickPhotoProps) -> Html {
    let changed = {
        let take = props.take.clone();
        Callback::from(move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            take_all(input.files(), &take, false);
            // The same file can then be chosen again.
            input.set_value("");
        })
    };
    html! {
        <div id="drop-zone" class="drop-zone">
            <label class="pick main-act">
                <input id="take-photo" type="file" accept="image/*" capture="environment"
                    onchange={changed.clone()} />
                <span>{ "Take a photo" }</span>
            </label>
            <label class="pick">
                <input id="pick-photo" type="file" multiple=true
                    accept="image/jpeg,image/png,image/webp,image/heic,image/avif,image/*" onchange={changed} />
                <span>{ "Choose photos" }</span>
            </label>
            <p class="hint drop-hint">{ "Or drop them on the page, or paste one. Several show one crab from several sides." }</p>
        </div>
    }
}
