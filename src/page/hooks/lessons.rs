//! Lessons as files of this build: the list, one lesson, its drawings; and which were read to their end.

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::kept::remembered::{recall, remember};
use super::meta::meta;
use super::photo::photo_file::fetch_text;

/// Names of the lessons that were read to their end.
const SEEN: &str = "lessons-seen";

/// A file that is fetched when it is needed.
#[derive(Debug, Clone, PartialEq)]
pub enum Fetched {
    /// On its way.
    Coming,
    /// Not on the device.
    Missing,
    /// Its text.
    There(AttrValue),
}

/// The text of a file beside the lessons; none asks for nothing.
#[hook]
pub fn use_lesson_file(file: Option<String>) -> Fetched {
    let state = use_state_eq(|| (None::<String>, Fetched::Coming));
    {
        let state = state.clone();
        use_effect_with(file.clone(), move |file| {
            if let Some(file) = file.clone() {
                spawn_local(async move {
                    let text = fetch_text(&format!("{}lessons/{file}", meta("shellspan-base"))).await;
                    state
                        .set((Some(file), text.map_or(Fetched::Missing, |text| Fetched::There(text.into()))));
                });
            }
        });
    }
    // What was fetched for another name is not shown for this one.
    let (of, fetched) = &*state;
    if *of == file { fetched.clone() } else { Fetched::Coming }
}

/// Lessons that were read to their end.
pub fn seen_lessons() -> Vec<String> {
    recall(SEEN).unwrap_or_default()
}

/// Remembers that a lesson was read to its end.
pub fn lesson_was_seen(name: &str) {
    let mut seen = seen_lessons();
    if !seen.iter().any(|known| known == name) {
        seen.push(name.to_owned());
        remember(SEEN, &seen);
    }
}
