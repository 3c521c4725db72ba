//! A new version that waits: the service worker tells, the person says when.

use gloo::events::EventListener;
use web_sys::Event;
use yew::prelude::*;

/// State of the newer version: empty, `waiting` or `replaced`.
#[hook]
pub fn use_update() -> String {
    let state = use_state_eq(told);
    {
        let state = state.clone();
        use_effect_with((), move |()| {
            let listener =
                EventListener::new(&gloo::utils::window(), "shellspan-update", move |_| state.set(told()));
            move || drop(listener)
        });
    }
    (*state).clone()
}

/// The person wants the new version now.
pub fn accept_update() {
    if let Ok(event) = Event::new("shellspan-update-accept") {
        // Nobody listens where there is no service worker, and then nothing waits.
        let _ = gloo::utils::window().dispatch_event(&event);
    }
}

fn told() -> String {
    gloo::utils::body().get_attribute("data-update").unwrap_or_default()
}
