//! Touches that drag something drawn in SVG, and must not scroll the page.

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::Element;
use yew::prelude::*;

/// A touch on an element of `selector` below `node` scrolls nothing.
///
/// The style sheet says so too, but Chromium 156 follows `touch-action` only down to the `<svg>` and takes a
/// drag of what is drawn in it for scrolling.
#[hook]
pub fn use_held_touch<T: PartialEq + 'static>(node: &NodeRef, selector: &'static str, changed: T) {
    let node = node.clone();
    use_effect_with(changed, move |_| {
        let listener = node.cast::<Element>().map(|target| {
            let options = EventListenerOptions::enable_prevent_default();
            EventListener::new_with_options(&target, "touchstart", options, move |event| {
                let touched = event.target().and_then(|target| target.dyn_into::<Element>().ok());
                if touched.is_some_and(|touched| matches!(touched.closest(selector), Ok(Some(_)))) {
                    event.prevent_default();
                }
            })
        });
        move || drop(listener)
    });
}
