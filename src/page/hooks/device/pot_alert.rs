//! An alert for pots that are overdue: on the page, and by the browser's notifications where the person asked for them.
//!
//! Source: Notifications API (WHATWG). The page alerts while it is open; a closed page cannot, and says so.

use std::collections::BTreeSet;

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use yew::prelude::*;

use crate::day::{Book, Id, Moment};
use crate::page::hooks::kept::remembered::{recall, remember};
use crate::session::words::{is_overdue, overdue_words};

/// Whether the person asked for it.
const POT_ALERT: &str = "pot-alert";

/// True where the person asked for alerts.
pub fn is_alert_wanted() -> bool {
    recall(POT_ALERT).unwrap_or(false)
}

/// Remembers whether the person wants alerts; asks the browser for its leave to show them over other programs. Gives
/// whether it may.
pub async fn want_alert(is_wanted: bool) -> bool {
    remember(POT_ALERT, &is_wanted);
    is_wanted && ask().await.is_some_and(|leave| leave == "granted")
}

async fn ask() -> Option<String> {
    let notification = notification()?;
    let ask: Function = Reflect::get(&notification, &"requestPermission".into()).ok()?.dyn_into().ok()?;
    let promise: Promise = ask.call0(&notification).ok()?.dyn_into().ok()?;
    JsFuture::from(promise).await.ok()?.as_string()
}

fn notification() -> Option<JsValue> {
    let found = Reflect::get(&gloo::utils::window(), &"Notification".into()).ok()?;
    found.is_function().then_some(found)
}

/// Alerts once for each pot that becomes overdue.
#[hook]
pub fn use_pot_alert(book: &Book, now: &Moment) {
    let told = use_mut_ref(BTreeSet::<Id>::new);
    let overdue: Vec<Id> =
        book.pots().into_iter().filter(|(_, pot)| is_overdue(pot, now)).map(|(id, _)| id.clone()).collect();
    let words = overdue_words(book, now).unwrap_or_default();
    use_effect_with(overdue, move |overdue| {
        let mut told = told.borrow_mut();
        let is_new = overdue.iter().any(|pot| !told.contains(pot));
        *told = overdue.iter().cloned().collect();
        if is_new && is_alert_wanted() {
            // Devices without it simply do not.
            gloo::utils::window().navigator().vibrate_with_duration(400);
            show(&words);
        }
    });
}

fn show(words: &str) {
    let Some(notification) = notification().and_then(|found| found.dyn_into::<Function>().ok()) else {
        return;
    };
    let leave = Reflect::get(&notification, &"permission".into()).ok().and_then(|leave| leave.as_string());
    if leave.as_deref() == Some("granted") {
        // Some browsers only let a service worker show one: the page says it all the same.
        let _ = Reflect::construct(&notification, &js_sys::Array::of1(&words.into()));
    }
}
