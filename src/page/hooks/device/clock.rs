//! The device's clock, for waters that close by the hour.

use std::cell::Cell;
use std::rc::Rc;

use gloo::events::{EventListener, EventListenerOptions, EventListenerPhase};
use gloo::timers::callback::Interval;
use gloo::utils::{document, window};
use jiff::civil::{Date, Time};
use yew::prelude::*;

use super::today::today;
use crate::decide::LocalClock;
use crate::session::Action;

/// Hours of the day matter to the minute.
const EVERY_MS: u32 = 60_000;

/// What tells that time may have passed: a phone that slept wakes on another day, a clock is set while the page is open.
/// Each act begins with one of the last three (a screen reader gives the click alone), so that it belongs to the day on which it is made.
const SIGNS: [&str; 6] = ["visibilitychange", "pageshow", "focus", "pointerdown", "keydown", "click"];
const ACTS: [&str; 3] = ["pointerdown", "keydown", "click"];

/// A tap begins and ends within this: what ends later was begun on the screen of the new day.
const TAP_MS: f64 = 1_500.0;

/// Tells the day and the time now, every minute, and before each act where they changed. An act on a screen that still
/// shows the day before is not taken: its limits and its season may be others now.
#[hook]
pub fn use_clock(act: &Callback<Action>) {
    let act = act.clone();
    use_effect_with((), move |()| {
        let told = Rc::new(Cell::new(None));
        // Gives true where a new day begins.
        let tell = move || {
            let time = (today(), now());
            let before: Option<(Date, Option<LocalClock>)> = told.replace(Some(time));
            if before == Some(time) {
                return false;
            }
            act.emit(Action::SetToday(time.0));
            if let Some(clock) = time.1 {
                act.emit(Action::SetClock(clock));
            }
            before.is_some_and(|(day, _)| day != time.0)
        };
        tell();
        let turned_ms = Rc::new(Cell::new(f64::NEG_INFINITY));
        let woken = SIGNS.map(|name| {
            let (tell, turned_ms) = (tell.clone(), turned_ms.clone());
            let target: web_sys::EventTarget =
                if name == "visibilitychange" { document().into() } else { window().into() };
            EventListener::new_with_options(
                &target,
                name,
                EventListenerOptions { phase: EventListenerPhase::Capture, passive: false },
                move |event| {
                    let at_ms = event.time_stamp();
                    if tell() && ACTS.contains(&name) {
                        turned_ms.set(at_ms);
                    }
                    if name == "click" && at_ms - turned_ms.get() < TAP_MS {
                        turned_ms.set(f64::NEG_INFINITY);
                        event.prevent_default();
                        event.stop_immediate_propagation();
                    }
                },
            )
        });
        let ticking = Interval::new(EVERY_MS, move || {
            tell();
        });
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
