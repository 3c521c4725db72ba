//! The device's clock, for waters that close by the hour.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::{EventListener, EventListenerOptions};
use gloo::timers::callback::Interval;
use gloo::utils::{document, window};
use jiff::civil::Time;
use yew::prelude::*;

use super::today::today;
use crate::decide::LocalClock;
use crate::session::Action;

/// Hours of the day matter to the minute.
const EVERY_MS: u32 = 60_000;

/// What tells that time may have passed: a phone that slept wakes on another day, a clock is set while the page is open.
/// Each act begins with one of the last three (a screen reader gives the click alone), so that it belongs to the day on which it is made.
const SIGNS: [&str; 6] = ["visibilitychange", "pageshow", "focus", "pointerdown", "keydown", "click"];

/// Tells the day and the time now, every minute, and before each act where they changed.
#[hook]
pub fn use_clock(act: &Callback<Action>) {
    let act = act.clone();
    use_effect_with((), move |()| {
        let told = Rc::new(Cell::new(None));
        let tell = move || {
            let time = (today(), now());
            if told.replace(Some(time)) == Some(time) {
                return;
            }
            act.emit(Action::SetToday(time.0));
            if let Some(clock) = time.1 {
                act.emit(Action::SetClock(clock));
            }
        };
        tell();
        let woken = SIGNS.map(|name| {
            let tell = tell.clone();
            let target: web_sys::EventTarget =
                if name == "visibilitychange" { document().into() } else { window().into() };
            EventListener::new_with_options(
                &target,
                name,
                EventListenerOptions::run_in_capture_phase(),
                move |_| tell(),
            )
        });
        let ticking = Interval::new(EVERY_MS, tell);
        move || drop((ticking, woken))
    });
}

fn now() -> Option<LocalClock> {
    let now = js_sys::Date::new_0();
    let time =
        Time::new(i8::try_from(now.get_hours()).ok()?, i8::try_from(now.get_minutes()).ok()?, 0, 0).ok()?;
    // JavaScript counts the other way round: minutes by which UTC is ahead of local time.
    Some(LocalClock { time, utc_offset_minutes: -(now.get_timezone_offset() as i32) })
}
