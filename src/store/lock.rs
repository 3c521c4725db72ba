//! One tab keeps the crab in hand: two would overwrite each other's.
//!
//! Source: Web Locks API (W3C). The browser gives a lock back by itself when its tab ends, however it ends.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};

use super::StoreError;

/// Name of the lock within this origin.
const NAME: &str = "shellspan.crab";

/// The lock; given back when dropped.
pub struct Lock {
    release: Function,
}

impl Drop for Lock {
    fn drop(&mut self) {
        // A promise that nobody waits for any more cannot be resolved: then the lock is free.
        let _ = self.release.call0(&JsValue::UNDEFINED);
    }
}

/// Asks for the lock; `granted` is called once this tab has it, which may be much later.
pub fn ask(granted: Box<dyn FnOnce(Lock)>) -> Result<(), StoreError> {
    let navigator = gloo::utils::window().navigator();
    let locks = Reflect::get(&navigator, &"locks".into())?;
    let request: Function =
        Reflect::get(&locks, &"request".into())?.dyn_into().map_err(|_| JsValue::UNDEFINED)?;
    let has_it = Closure::once_into_js(move |_lock: JsValue| -> JsValue {
        let mut release = None;
        let held = Promise::new(&mut |resolve, _| release = Some(resolve));
        if let Some(release) = release {
            granted(Lock { release });
        }
        held.into()
    });
    request.call2(&locks, &NAME.into(), &has_it)?;
    Ok(())
}
