//! Two fingers on an element: how far they spread, and where their middle lies.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::{Element, Event, TouchEvent};
use yew::prelude::*;

/// Two fingers, as the element sees them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoFingers {
    /// How far they are apart, in CSS px.
    pub apart_px: f64,
    /// Their middle, as shares of the element's width and height.
    pub middle: (f64, f64),
}

/// What two fingers do: where they were when both were down, and where they are.
pub type Pinch = (TwoFingers, TwoFingers);

/// Calls `begun` when the second finger comes down on `element`, and `moved` with each movement of two; the browser
/// then leaves them alone, and zooms no page.
#[hook]
pub fn use_pinch(element: &NodeRef, begun: Callback<()>, moved: Callback<Pinch>) {
    let start = use_memo((), |()| Cell::new(None::<TwoFingers>));
    let element = element.clone();
    use_effect_with((begun, moved), move |(begun, moved)| {
        let listeners = element.cast::<Element>().map(|element| {
            let listen = |name: &'static str, hear: Rc<dyn Fn(&Event)>| {
                let options = EventListenerOptions::enable_prevent_default();
                EventListener::new_with_options(&element, name, options, move |event| hear(event))
            };
            let touched = {
                let (element, start, begun, moved) =
                    (element.clone(), start.clone(), begun.clone(), moved.clone());
                Rc::new(move |event: &Event| {
                    let Some(now) =
                        event.dyn_ref::<TouchEvent>().and_then(|event| two_fingers(event, &element))
                    else {
                        start.set(None);
                        return;
                    };
                    event.prevent_default();
                    match start.get() {
                        Some(from) => moved.emit((from, now)),
                        None => {
                            start.set(Some(now));
                            begun.emit(());
                        }
                    }
                })
            };
            ["touchstart", "touchmove", "touchend", "touchcancel"].map(|name| listen(name, touched.clone()))
        });
        move || drop(listeners)
    });
}

fn two_fingers(event: &TouchEvent, element: &Element) -> Option<TwoFingers> {
    let touches = event.touches();
    if touches.length() != 2 {
        return None;
    }
    let (a, b) = (touches.get(0)?, touches.get(1)?);
    let (ax, ay) = (f64::from(a.client_x()), f64::from(a.client_y()));
    let (bx, by) = (f64::from(b.client_x()), f64::from(b.client_y()));
    let frame = element.get_bounding_client_rect();
    let share = |at: f64, from: f64, whole: f64| (at - from) / whole.max(1.0);
    Some(TwoFingers {
        apart_px: (ax - bx).hypot(ay - by).max(1.0),
        middle: (
            share(0.5 * (ax + bx), frame.left(), frame.width()),
            share(0.5 * (ay + by), frame.top(), frame.height()),
        ),
    })
}
