//! How large an element is shown, so that marks keep their size on every screen.

use gloo::events::EventListener;
use web_sys::Element;
use yew::prelude::*;

/// Width of the element behind `node` in CSS pixels; follows the window and `changed`.
#[hook]
pub fn use_shown_width<T: PartialEq + Copy + 'static>(node: &NodeRef, changed: T) -> f64 {
    let width = use_state_eq(|| 360.0);
    {
        let (node, width) = (node.clone(), width.clone());
        use_effect_with(changed, move |_| {
            let look = move || {
                if let Some(element) = node.cast::<Element>() {
                    let shown = element.get_bounding_client_rect().width();
                    if shown > 0.0 {
                        width.set(shown);
                    }
                }
            };
            look();
            let listener = EventListener::new(&gloo::utils::window(), "resize", move |_| look());
            move || drop(listener)
        });
    }
    *width
}
