//! A button that steps once when pressed, and goes on stepping while it is held.

use std::cell::RefCell;
use std::rc::Rc;

use gloo::timers::callback::{Interval, Timeout};
use yew::prelude::*;

/// Held longer than this, it goes on by itself: longer than a tap with a glove takes.
const HELD_AFTER_MS: u32 = 450;
/// Between two steps of a held button: slow enough to stop on a pixel.
const EVERY_MS: u32 = 90;

/// One direction.
#[derive(Properties, PartialEq)]
pub struct NudgeProps {
    /// Its id.
    pub id: &'static str,
    /// The arrow.
    pub sign: &'static str,
    /// What screen readers say.
    pub label: &'static str,
    /// One step.
    pub step: Callback<()>,
}

/// What goes on while it is held; dropped, it stops.
#[derive(Default)]
struct Held {
    wait: Option<Timeout>,
    steps: Option<Interval>,
}

/// The button.
#[component]
pub fn Nudge(props: &NudgeProps) -> Html {
    let held = use_mut_ref(Held::default);
    // The steps of a held button go on from where the last one led, so they take the newest callback.
    let step = use_mut_ref(|| props.step.clone());
    step.replace(props.step.clone());
    let press = {
        let (held, step) = (held.clone(), step.clone());
        Callback::from(move |event: PointerEvent| {
            if event.button() == 0 {
                emit(&step);
                let (again, step) = (held.clone(), step.clone());
                held.borrow_mut().wait = Some(Timeout::new(HELD_AFTER_MS, move || {
                    again.borrow_mut().steps = Some(Interval::new(EVERY_MS, move || emit(&step)));
                }));
            }
        })
    };
    let stop = {
        let held = held.clone();
        Callback::from(move |_: PointerEvent| drop(held.take()))
    };
    let clicked = Callback::from(move |event: MouseEvent| {
        // A finger has stepped already; a key or a switch comes without one.
        if event.detail() == 0 {
            emit(&step);
        }
    });
    html! {
        <button id={props.id} type="button" class="nudge" aria-label={props.label} onclick={clicked}
            onpointerdown={press} onpointerup={stop.clone()} onpointerleave={stop.clone()} onpointercancel={stop}
            oncontextmenu={|event: MouseEvent| event.prevent_default()}>{ props.sign }</button>
    }
}

fn emit(step: &Rc<RefCell<Callback<()>>>) {
    let step = step.borrow().clone();
    step.emit(());
}
