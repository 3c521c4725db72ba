//! Touches that move something drawn in SVG once it is picked up: until then they scroll, as everywhere.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::{EventListener, EventListenerOptions};
use web_sys::Element;
use yew::prelude::*;

/// While `is_held` a finger on `node` scrolls nothing: what it picked up follows it.
///
/// A browser begins to scroll with the first movement that nobody forbids, and cannot be stopped from then on; so
/// what is picked up must be so before the finger moves.
#[hook]
pub fn use_held_touch<T: PartialEq + 'static>(node: &NodeRef, is_held: &Rc<Cell<bool>>, changed: T) {
    let (node, is_held) = (node.clone(), is_held.clone());
    use_effect_with(changed, move |_| {
        let listener = node.cast::<Element>().map(|target| {
            let options = EventListenerOptions::enable_prevent_default();
            EventListener::new_with_options(&target, "touchmove", options, move |event| {
                if is_held.get() {
                    event.prevent_default();
                }
            })
        });
        move || drop(listener)
    });
}
