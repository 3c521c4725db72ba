//! The window on the photo: as wide as the screen, no higher than leaves the ruler in sight, zoomed to card
//! and shell once they are found. Two fingers, a wheel or the buttons change that.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::EventListener;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

use crate::page::hooks::photo::pinch::{Pinch, use_pinch};
use crate::page::hooks::photo::shown_size::use_shown_width;
use crate::session::Framing;

/// One press of a button.
const STEP: f64 = 1.5;
/// Closer than this the aiming window serves better.
const CLOSEST: f64 = 6.0;

/// What is framed.
#[derive(Properties, PartialEq)]
pub struct PhotoFrameProps {
    /// Where the view starts.
    pub framing: Framing,
    /// Changes when the view is to start anew.
    pub start: (usize, u8),
    /// The picture has loaded: its height is known.
    pub is_loaded: bool,
    /// What must stay in sight, as shares of the photo's width and height: the place aimed at.
    pub sight: Option<(f64, f64)>,
    /// Told how closely the photo is shown.
    pub zoomed: Callback<f64>,
    /// The photo and its marks, as one sheet.
    pub children: Html,
    /// The magnifier, over the sheet.
    pub over: Html,
}

/// The window, its sheet and its two buttons.
#[component]
pub fn PhotoFrame(props: &PhotoFrameProps) -> Html {
    let frame = use_node_ref();
    let sheet = use_node_ref();
    let frame_width = use_shown_width(&frame, 0);
    // What the person chose holds until other findings start the view anew.
    let chosen = use_state_eq(|| None::<((usize, u8), Framing)>);
    let now = chosen.filter(|(start, _)| *start == props.start).map_or(props.framing, |(_, framing)| framing);
    let middle = use_memo((), |()| Cell::new(now.middle));
    {
        let middle = middle.clone();
        let (frame, sheet, zoomed) = (frame.clone(), sheet.clone(), props.zoomed.clone());
        let bits = (now.zoom.to_bits(), now.middle.0.to_bits(), now.middle.1.to_bits());
        use_effect_with((bits, frame_width.to_bits(), props.start, props.is_loaded), move |_| {
            if let Some(sheet) = sheet.cast::<HtmlElement>() {
                // Through the object model: the page's policy forbids style attributes. It cannot fail.
                let _ = sheet.style().set_property("width", &format!("{:.2}%", 100.0 * now.zoom));
            }
            zoomed.emit(now.zoom);
            if let Some(frame) = frame.cast::<HtmlElement>() {
                middle.set(now.middle);
                scroll_to(&frame, now.middle);
            }
        });
    }
    use_steady_middle(&frame, &middle);
    {
        let frame = frame.clone();
        use_effect_with(props.sight, move |sight| {
            if let (Some(sight), Some(frame)) = (*sight, frame.cast::<HtmlElement>()) {
                keep_in_sight(&frame, sight);
            }
        });
    }
    // What lay under the fingers when both were down: zoom, and the place of the photo between them.
    let held = use_memo((), |()| Cell::new(None::<(f64, (f64, f64), (f64, f64))>));
    let begun = {
        let held = held.clone();
        use_callback((), move |(), ()| held.set(None))
    };
    let moved = {
        let (chosen, frame, held, start, zoom) =
            (chosen.clone(), frame.clone(), held.clone(), props.start, now.zoom);
        Callback::from(move |(from, to): Pinch| {
            let Some(frame) = frame.cast::<Element>() else { return };
            let (from_zoom, place, sheet) = held.get().unwrap_or_else(|| {
                let held_now = (zoom, place_at(&frame, from.middle), sheet_shares(&frame));
                held.set(Some(held_now));
                held_now
            });
            let zoom = (from_zoom * to.apart_px / from.apart_px).clamp(1.0, CLOSEST);
            // The place stays between the fingers, wherever they go.
            let grown = zoom / from_zoom;
            let middle = |place: f64, at: f64, shown: f64| place - (at - 0.5) * shown / grown;
            let middle = (middle(place.0, to.middle.0, sheet.0), middle(place.1, to.middle.1, sheet.1));
            chosen.set(Some((start, Framing { zoom, middle })));
        })
    };
    use_pinch(&frame, begun, moved);
    let by = |factor: f64| {
        let (chosen, frame, start) = (chosen.clone(), frame.clone(), props.start);
        Callback::from(move |_: MouseEvent| {
            if let Some(frame) = frame.cast::<Element>() {
                let zoom = (now.zoom * factor).clamp(1.0, CLOSEST);
                chosen.set(Some((start, Framing { zoom, middle: middle_of(&frame) })));
            }
        })
    };
    html! {
        <div class="photo-window">
            <div ref={frame.clone()} class="photo-frame">
                <div ref={sheet} id="photo" class="photo">
                    { props.children.clone() }
                </div>
            </div>
            { props.over.clone() }
            <div class="photo-zoom" role="group" aria-label="How close">
                <button id="photo-wider" type="button" aria-label="Show more of the photo"
                    disabled={now.zoom <= 1.0} onclick={by(1.0 / STEP)}>{ "−" }</button>
                <button id="photo-closer" type="button" aria-label="Show the photo closer"
                    disabled={now.zoom >= CLOSEST} onclick={by(STEP)}>{ "+" }</button>
            </div>
        </div>
    }
}

/// Keeps what was in the middle there when the window grows or shrinks: a turned phone, a bar that slides away.
#[hook]
fn use_steady_middle(frame: &NodeRef, middle: &Rc<Cell<(f64, f64)>>) {
    let (frame, middle) = (frame.clone(), middle.clone());
    use_effect_with((), move |()| {
        let listeners = frame.cast::<HtmlElement>().map(|frame| {
            let seen = {
                let (frame, middle) = (frame.clone(), middle.clone());
                EventListener::new(&frame.clone(), "scroll", move |_| {
                    // At the photo's rim the middle cannot be reached, and is not given up for that: only what
                    // the person scrolled counts.
                    let (left, top) = start_of(&frame, middle.get());
                    if left.abs_diff(frame.scroll_left()) > 2 || top.abs_diff(frame.scroll_top()) > 2 {
                        middle.set(middle_of(&frame));
                    }
                })
            };
            let window = gloo::utils::window();
            (seen, EventListener::new(&window, "resize", move |_| scroll_to(&frame, middle.get())))
        });
        move || drop(listeners)
    });
}

fn scroll_to(frame: &HtmlElement, middle: (f64, f64)) {
    let (left, top) = start_of(frame, middle);
    frame.set_scroll_left(left);
    frame.set_scroll_top(top);
}

/// How far the sheet is scrolled when `middle` is in the middle, or as near to it as the photo's rim allows.
fn start_of(frame: &HtmlElement, (across, down): (f64, f64)) -> (i32, i32) {
    let start = |share: f64, whole: i32, shown: i32| {
        ((share * f64::from(whole) - f64::from(shown) / 2.0) as i32).clamp(0, (whole - shown).max(0))
    };
    (
        start(across, frame.scroll_width(), frame.client_width()),
        start(down, frame.scroll_height(), frame.client_height()),
    )
}

/// Scrolls only where the place is out of the window or at its very rim: a photo that moves all the time
/// would be hard to follow.
fn keep_in_sight(frame: &HtmlElement, sight: (f64, f64)) {
    let is_out = |share: f64, whole: i32, start: i32, shown: i32| {
        let within = (share * f64::from(whole) - f64::from(start)) / f64::from(shown.max(1));
        !(0.08..=0.92).contains(&within)
    };
    if is_out(sight.0, frame.scroll_width(), frame.scroll_left(), frame.client_width())
        || is_out(sight.1, frame.scroll_height(), frame.scroll_top(), frame.client_height())
    {
        scroll_to(frame, sight);
    }
}

/// The place of the photo at a share of the window, as shares of the photo.
fn place_at(frame: &Element, (across, down): (f64, f64)) -> (f64, f64) {
    let place = |start: i32, at: f64, shown: i32, whole: i32| {
        (f64::from(start) + at * f64::from(shown)) / f64::from(whole.max(1))
    };
    (
        place(frame.scroll_left(), across, frame.client_width(), frame.scroll_width()),
        place(frame.scroll_top(), down, frame.client_height(), frame.scroll_height()),
    )
}

/// How much of the photo the window shows, as shares of its width and height.
fn sheet_shares(frame: &Element) -> (f64, f64) {
    let share = |shown: i32, whole: i32| f64::from(shown) / f64::from(whole.max(1));
    (share(frame.client_width(), frame.scroll_width()), share(frame.client_height(), frame.scroll_height()))
}

fn middle_of(frame: &Element) -> (f64, f64) {
    let share = |start: i32, shown: i32, whole: i32| {
        (f64::from(start) + f64::from(shown) / 2.0) / f64::from(whole.max(1))
    };
    (
        share(frame.scroll_left(), frame.client_width(), frame.scroll_width()),
        share(frame.scroll_top(), frame.client_height(), frame.scroll_height()),
    )
}
