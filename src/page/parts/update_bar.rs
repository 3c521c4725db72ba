//! Says that a new version waits; nothing changes under the person's hands.

use yew::prelude::*;

use crate::page::hooks::device::update::{accept_update, use_update};

/// The bar; empty while nothing waits.
#[component]
pub fn UpdateBar() -> Html {
    let state = use_update();
    match state.as_str() {
        "waiting" => html! {
            <div id="update" class="update" role="status">
                <p>{ "A new version is on the device. Taking it reloads the page: finish this crab first." }</p>
                <button id="take-update" type="button" onclick={|_| accept_update()}>{ "Take it now" }</button>
            </div>
        },
        "replaced" => html! {
            <div id="update" class="update" role="status">
                <p>{ "Another tab took a new version. Reload this one when the crab is done." }</p>
            </div>
        },
        _ => Html::default(),
    }
}
