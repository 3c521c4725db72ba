//! The device's clock, for waters that close by the hour.

use gloo::events::EventListener;
use gloo::timers::callback::Interval;
use gloo::utils::{document, window};
use jiff::civil::Time;
use yew::prelude::*;

use super::today::today;
use crate::decide::LocalClock;
use crate::session::Action;

/// Hours of the day matter to the minute.
const EVERY_MS: u32 = 60_000;

/// Tells the day and the time now and every minute.
#[hook]
pub fn use_clock(act: &Callback<Action>) {
    let act = act.clone();
    use_effect_with((), move |()| {
        let tell = move || {
            act.emit(Action::SetToday(today()));
            if let Some(clock) = now() {
                act.emit(Action::SetClock(clock));
            }
        };
        tell();
        // A phone that slept wakes on another day: it is told at once, not at the next minute.
        let woken = ["visibilitychange", "pageshow", "focus"].map(|name| {
            let tell = tell.clone();
            let target: web_sys::EventTarget =
                if name == "visibilitychange" { document().into() } else { window().into() };
            EventListener::new(&target, name, move |_| tell())
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
