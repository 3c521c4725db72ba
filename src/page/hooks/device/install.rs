//! The browser's offer to install the page, which `boot.js` keeps until somebody asks for it.

use gloo::events::EventListener;
use web_sys::Event;
use yew::prelude::*;

/// True while the browser can install the page and nobody has asked yet.
#[hook]
pub fn use_install_offer() -> bool {
    let state = use_state_eq(is_offered);
    {
        let state = state.clone();
        use_effect_with((), move |()| {
            let listener = EventListener::new(&gloo::utils::window(), "shellspan-install", move |_| {
                state.set(is_offered());
            });
            move || drop(listener)
        });
    }
    *state
}

/// The person wants it: the browser asks once more by itself.
pub fn accept_install() {
    if let Ok(event) = Event::new("shellspan-install-accept") {
        // Without a listener there was no offer, and no button that calls this.
        let _ = gloo::utils::window().dispatch_event(&event);
    }
}

fn is_offered() -> bool {
    gloo::utils::body().get_attribute("data-install").as_deref() == Some("offered")
}
