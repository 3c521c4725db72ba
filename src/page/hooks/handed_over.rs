//! Photos dropped or pasted anywhere on the page.
//!
//! The whole page listens: a file dropped beside a marked place would otherwise replace the page, and with it
//! the answers given so far.

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::{ClipboardEvent, DragEvent, Event, File, FileList};
use yew::prelude::*;

use crate::page::hooks::photo_file::ChosenPhoto;

/// Gives the first file that is dropped or pasted to `take`.
#[hook]
pub fn use_handed_over(take: &Callback<ChosenPhoto>) {
    use_effect_with(take.clone(), |take| {
        let document = gloo::utils::document();
        let listen = |name: &'static str, hear: fn(&Event, &Callback<ChosenPhoto>)| {
            let take = take.clone();
            EventListener::new_with_options(
                &document,
                name,
                EventListenerOptions::enable_prevent_default(),
                move |event| hear(event, &take),
            )
        };
        let listeners = [
            listen("paste", pasted),
            listen("dragover", |event, _| event.prevent_default()),
            listen("drop", dropped),
        ];
        move || drop(listeners)
    });
}

fn pasted(event: &Event, take: &Callback<ChosenPhoto>) {
    let files = event
        .dyn_ref::<ClipboardEvent>()
        .and_then(ClipboardEvent::clipboard_data)
        .and_then(|pasted| pasted.files());
    take_first(files, take);
}

fn dropped(event: &Event, take: &Callback<ChosenPhoto>) {
    event.prevent_default();
    let files =
        event.dyn_ref::<DragEvent>().and_then(DragEvent::data_transfer).and_then(|dragged| dragged.files());
    take_first(files, take);
}

/// Gives the first of `files`, where there is one.
pub fn take_first(files: Option<FileList>, take: &Callback<ChosenPhoto>) {
    let Some(file): Option<File> = files.and_then(|files| files.get(0)) else { return };
    take.emit(ChosenPhoto { name: file.name(), blob: file.into(), practice: None });
}
