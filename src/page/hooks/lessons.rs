//! Lessons as files of this build: the list, one lesson, its drawings; and which were read to their end.

use std::rc::Rc;

use serde::de::DeserializeOwned;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::meta::meta;
use super::photo_file::fetch_text;
use super::remembered::{recall, remember};

/// Names of the lessons that were read to their end.
const SEEN: &str = "lessons-seen";

/// A file that is fetched when it is needed.
#[derive(Debug, PartialEq)]
pub enum Fetched<T> {
    /// On its way.
    Coming,
    /// Not on the device, or not what was expected.
    Missing,
    /// There.
    There(Rc<T>),
}

impl<T> Clone for Fetched<T> {
    fn clone(&self) -> Self {
        match self {
            Self::Coming => Self::Coming,
            Self::Missing => Self::Missing,
            Self::There(there) => Self::There(there.clone()),
        }
    }
}

/// The JSON file `name` of the lessons; none asks for nothing.
#[hook]
pub fn use_lesson_file<T: DeserializeOwned + PartialEq + 'static>(name: Option<String>) -> Fetched<T> {
    use_fetched(name.map(|name| format!("{name}.json")), |text| serde_json::from_str(text).ok())
}

/// The drawing `name` beside the lessons; none asks for nothing.
#[hook]
pub fn use_lesson_drawing(name: Option<String>) -> Fetched<String> {
    // A host may answer with its start page where a file is missing.
    use_fetched(name.map(|name| format!("{name}.svg")), |text| {
        text.starts_with("<svg").then(|| text.to_owned())
    })
}

#[hook]
fn use_fetched<T: PartialEq + 'static>(file: Option<String>, read: fn(&str) -> Option<T>) -> Fetched<T> {
    let state = use_state_eq(|| (None::<String>, Fetched::Coming));
    {
        let state = state.clone();
        use_effect_with(file.clone(), move |file| {
            if let Some(file) = file.clone() {
                spawn_local(async move {
                    let text = fetch_text(&format!("{}lessons/{file}", meta("shellspan-base"))).await;
                    let found = text.and_then(|text| read(&text)).map(Rc::new);
                    state.set((Some(file), found.map_or(Fetched::Missing, Fetched::There)));
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
