//! Why something is not kept.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::DomException;

/// The browser kept or read nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{name}")]
pub struct StoreError {
    /// The DOM error's name, `QuotaExceededError` for one; where there is none, what was said.
    pub name: String,
}

impl From<idb::Error> for StoreError {
    fn from(error: idb::Error) -> Self {
        use idb::Error::{
            DeleteFailed, DomException, IndexedDbNotFound, IndexedDbOpenFailed, ObjectStoreNotFound,
            UpdateFailed,
        };
        match error {
            DomException(error) => Self { name: error.name() },
            IndexedDbNotFound(error)
            | IndexedDbOpenFailed(error)
            | ObjectStoreNotFound(error)
            | UpdateFailed(error)
            | DeleteFailed(error) => error.into(),
            other => Self { name: other.to_string() },
        }
    }
}

impl From<JsValue> for StoreError {
    fn from(error: JsValue) -> Self {
        let name = match error.dyn_ref::<DomException>() {
            Some(error) => error.name(),
            None if error.is_undefined() => "no storage".into(),
            None => {
                error.dyn_ref::<js_sys::Error>().map_or_else(|| "unknown".into(), |error| error.name().into())
            }
        };
        Self { name }
    }
}
