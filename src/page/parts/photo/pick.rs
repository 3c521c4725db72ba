//! Ways to a photo: camera and file here; dropping and pasting work anywhere on the page.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::page::hooks::photo::handed_over::take_all;
use crate::page::hooks::photo::photo_file::ChosenPhoto;

/// One way to a photo.
#[derive(Properties, PartialEq)]
pub struct PhotoInputProps {
    /// Id of the input.
    pub id: &'static str,
    /// What stands on it.
    pub words: &'static str,
    /// The camera is opened; otherwise files are chosen, several at once.
    pub by_camera: bool,
    /// The photos show the crab in hand once more.
    pub same_crab: bool,
    /// It is the first thing to do here.
    #[prop_or_default]
    pub is_main: bool,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
}

/// A file input that looks like a button.
#[component]
pub fn PhotoInput(props: &PhotoInputProps) -> Html {
    let changed = {
        let (take, same_crab) = (props.take.clone(), props.same_crab);
        Callback::from(move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            take_all(input.files(), &take, same_crab);
            // The same file can then be chosen again.
            input.set_value("");
        })
    };
    html! {
        <label class={classes!("pick", props.is_main.then_some("main-act"))}>
            if props.by_camera {
                <input id={props.id} type="file" accept="image/*" capture="environment" onchange={changed} />
            } else {
                <input id={props.id} type="file" multiple=true
                    accept="image/jpeg,image/png,image/webp,image/heic,image/avif,image/*" onchange={changed} />
            }
            <span>{ props.words }</span>
        </label>
    }
}

/// Where the photo goes.
#[derive(Properties, PartialEq)]
pub struct PickPhotoProps {
    /// A photo was chosen.
    pub take: Callback<ChosenPhoto>,
}

/// Camera and file inputs.
#[component]
pub fn PickPhoto(props: &PickPhotoProps) -> Html {
    html! {
        <div id="drop-zone" class="drop-zone">
            <PhotoInput id="take-photo" words="Take a photo" by_camera=true same_crab=false is_main=true
                take={props.take.clone()} />
            <PhotoInput id="pick-photo" words="Choose photos" by_camera=false same_crab=false
                take={props.take.clone()} />
            <p class="hint drop-hint">{ "Or drop them on the page, or paste one. Several show one crab from several sides." }</p>
        </div>
    }
}
