//! Photos dropped or pasted anywhere on the page: several show one crab.
//!
//! The whole page listens: a file dropped beside a marked place would otherwise replace the page, and with it
//! the answers given so far.

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::{ClipboardEvent, DragEvent, Event, File, FileList};
use yew::prelude::*;

use crate::page::hooks::photo::photo_file::ChosenPhoto;

/// Gives the files that are dropped or pasted to `take`.
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
    take_all(files, take, false);
}

fn dropped(event: &Event, take: &Callback<ChosenPhoto>) {
    event.prevent_default();
    let files =
        event.dyn_ref::<DragEvent>().and_then(DragEvent::data_transfer).and_then(|dragged| dragged.files());
    take_all(files, take, false);
}

/// Gives all of `files`: they show one crab, and where `same_crab` the one in hand.
pub fn take_all(files: Option<FileList>, take: &Callback<ChosenPhoto>, same_crab: bool) {
    let Some(files) = files else { return };
    for (i, file) in (0..files.length()).filter_map(|i| files.get(i)).enumerate() {
        let file: File = file;
        let same_crab = same_crab || i > 0;
        take.emit(ChosenPhoto { name: file.name(), blob: file.into(), practice: None, same_crab });
    }
}
