//! Whether the page works without a network: `boot.js` asks the service worker whether all of it is on the device, at
//! the start and whenever somebody comes back to the page.

use gloo::events::EventListener;
use yew::prelude::*;

/// True once every file of the page is on the device.
#[hook]
pub fn use_offline_ready() -> bool {
    let state = use_state_eq(is_ready);
    {
        let state = state.clone();
        use_effect_with((), move |()| {
            let window = gloo::utils::window();
            let listener = EventListener::new(&window, "shellspan-offline", move |_| state.set(is_ready()));
            move || drop(listener)
        });
    }
    *state
}

fn is_ready() -> bool {
    gloo::utils::body().get_attribute("data-offline").as_deref() == Some("ready")
}

/// Asks the browser to keep what is on the disk when room gets short. It may say no; nothing changes then.
pub fn ask_to_persist() {
    let _answer = gloo::utils::window().navigator().storage().persist();
}
