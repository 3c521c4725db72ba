//! What is kept from day to day in the browser's local storage, under one prefix.

use gloo::storage::{LocalStorage, Storage};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// What was kept under `key`; `None` when nothing was, or it cannot be read.
pub fn recall<T: DeserializeOwned>(key: &str) -> Option<T> {
    LocalStorage::get(format!("shellspan.{key}")).ok()
}

/// Keeps `value` under `key`. A full or forbidden storage only means that it is forgotten.
pub fn remember<T: Serialize>(key: &str, value: &T) {
    if let Err(error) = LocalStorage::set(format!("shellspan.{key}"), value) {
        web_sys::console::warn_1(&format!("not remembered: {error}").into());
    }
}
