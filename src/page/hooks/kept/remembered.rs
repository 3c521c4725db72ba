//! What is kept from day to day in the browser's local storage, under one prefix.
//!
//! A browser that is killed loses what it put there in the last seconds. So all but what belongs to the crab in hand is
//! also kept in the database ([`super::day_book`]), with a number that counts the changes: the higher one holds.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use web_sys::Storage;

const PREFIX: &str = "shellspan.";
/// Counts the changes.
const CHANGES: &str = "changes";
/// What is written anew with each crab, and kept with it.
const OF_CRAB: &str = "crab-";

thread_local! {
    /// Called after each change.
    static CHANGED: RefCell<Option<Rc<dyn Fn()>>> = RefCell::default();
}

/// What was kept under `key`; `None` when nothing was, or it cannot be read.
pub fn recall<T: DeserializeOwned>(key: &str) -> Option<T> {
    let text = storage()?.get_item(&format!("{PREFIX}{key}")).ok().flatten()?;
    serde_json::from_str(&text).ok()
}

/// True where the browser's storage calls `key` so.
pub fn is_key(name: &str, key: &str) -> bool {
    name.strip_prefix(PREFIX) == Some(key)
}

/// Takes away what was kept under `key`.
pub fn forget(key: &str) {
    // Without a storage there is nothing.
    let _ = storage().map(|storage| storage.remove_item(&format!("{PREFIX}{key}")));
}

/// The browser's storage; none where site data is blocked.
fn storage() -> Option<Storage> {
    gloo::utils::window().local_storage().ok().flatten()
}

/// Keeps `value` under `key`. A full or forbidden storage only means that it is forgotten.
pub fn remember<T: Serialize>(key: &str, value: &T) {
    let name = format!("{PREFIX}{key}");
    let (Some(storage), Ok(text)) = (storage(), serde_json::to_string(value)) else { return };
    let before = storage.get_item(&name).ok().flatten();
    if before.as_ref() == Some(&text) {
        return;
    }
    if let Err(error) = storage.set_item(&name, &text) {
        web_sys::console::warn_2(&"not remembered".into(), &error);
    }
    if !key.starts_with(OF_CRAB) {
        let _full = storage.set_item(&format!("{PREFIX}{CHANGES}"), &(changes() + 1).to_string());
        let changed = CHANGED.with_borrow(Clone::clone);
        if let Some(changed) = changed {
            changed();
        }
    }
}

/// Calls `changed` after each change from now on.
pub fn on_change(changed: Rc<dyn Fn()>) {
    CHANGED.set(Some(changed));
}

/// So many changes were made.
pub fn changes() -> u64 {
    recall(CHANGES).unwrap_or(0)
}

/// All that is remembered, as it is kept beside the day.
#[derive(Serialize, Deserialize)]
pub struct Remembered {
    /// So many changes were made.
    pub changes: u64,
    /// Values as JSON, by their keys.
    values: BTreeMap<String, String>,
}

impl Remembered {
    /// What is remembered now.
    pub fn now() -> Self {
        let Some(storage) = storage() else { return Self { changes: 0, values: BTreeMap::new() } };
        let names = (0..storage.length().unwrap_or(0)).filter_map(|at| storage.key(at).ok().flatten());
        let values = names.filter_map(|name| {
            let key = name.strip_prefix(PREFIX).filter(|key| !key.starts_with(OF_CRAB))?;
            Some((key.to_owned(), storage.get_item(&name).ok().flatten()?))
        });
        Self { changes: changes(), values: values.collect() }
    }

    /// Puts it in place of what the browser lost.
    pub fn take_over(&self) {
        let Some(storage) = storage() else { return };
        for (key, value) in &self.values {
            if let Err(error) = storage.set_item(&format!("{PREFIX}{key}"), value) {
                web_sys::console::warn_2(&"not remembered".into(), &error);
            }
        }
    }
}
