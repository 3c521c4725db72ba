//! The device's clock, for waters that close by the hour.

use gloo::timers::callback::Interval;
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
        let ticking = Interval::new(EVERY_MS, tell);
        move || drop(ticking)
    });
}

fn now() -> Option<LocalClock> {
    let now = js_sys::Date::new_0();
    let time =
        Time::new(i8::try_from(now.get_hours()).ok()?, i8::try_from(now.get_minutes()).ok()?, 0, 0).ok()?;
    // JavaScript counts the other way round: minutes by which UTC is ahead of local time.
    Some(LocalClock { time, utc_offset_minutes: -(now.get_timezone_offset() as i32) })
}
