//! The phone's Back key goes a step back in the page, and never out of it while a crab is in hand.
//!
//! Below the first screen lies one more entry of the browser's history: who comes back to it leaves the page, unless a
//! crab is in hand. Once a crab is done with, its steps are left behind.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo::events::EventListener;
use serde::{Deserialize, Serialize};
use wasm_bindgen::JsValue;
use web_sys::History;
use yew::prelude::*;

use crate::decide::Check;
use crate::session::{Action, Screen, Session};

/// A place in the page, as an entry of the history remembers it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
struct Place {
    screen: Screen,
    check: Option<Check>,
    /// Entries of ours below this one; none below the entry that leaves the page.
    depth: i32,
}

/// Follows the session's screens with the history, and the history with the session.
#[hook]
pub fn use_back(session: &Session, act: &Callback<Action>) {
    let check = session.shown_check().filter(|_| session.screen == Screen::Checks);
    let is_in_hand = session.is_in_hand();
    let screen = session.screen;
    let keeper = {
        let act = act.clone();
        use_memo((), move |()| Keeper::new(act))
    };
    keeper.is_in_hand.set(is_in_hand);
    {
        let keeper = keeper.clone();
        use_effect_with((), move |()| {
            keeper.start();
            let listener = EventListener::new(&gloo::utils::window(), "popstate", move |_| keeper.popped());
            move || drop(listener)
        });
    }
    use_effect_with((screen, check, is_in_hand), move |(screen, check, is_in_hand)| {
        keeper.follow(*screen, *check, *is_in_hand);
    });
}

struct Keeper {
    act: Callback<Action>,
    is_in_hand: Cell<bool>,
    now: RefCell<Place>,
    /// The history is being rewound: its next event is no key of the person's.
    is_rewinding: Cell<bool>,
}

impl Keeper {
    fn new(act: Callback<Action>) -> Rc<Self> {
        let now = RefCell::new(Place { screen: Screen::Day, check: None, depth: 1 });
        Rc::new(Self { act, is_in_hand: Cell::default(), now, is_rewinding: Cell::default() })
    }

    fn start(&self) {
        match here() {
            Some(place) if place.depth > 0 => drop(self.now.replace(place)),
            _ => {
                write(Place { depth: 0, ..*self.now.borrow() }, History::replace_state_with_url);
                write(*self.now.borrow(), History::push_state_with_url);
            }
        }
    }

    /// The page shows this place.
    fn follow(&self, screen: Screen, check: Option<Check>, is_in_hand: bool) {
        let before = *self.now.borrow();
        if screen == Screen::Day && !is_in_hand {
            self.now.replace(Place { screen, check, depth: 1 });
            if before.depth > 1 && before.screen != Screen::Day {
                self.is_rewinding.set(true);
                // Where the browser has no such entry it stays where it is.
                let _ = history().map(|history| history.go_with_delta(1 - before.depth));
            }
            return;
        }
        if (screen, check) == (before.screen, before.check) {
            return;
        }
        let place = Place { screen, check, depth: before.depth + 1 };
        self.now.replace(place);
        write(place, History::push_state_with_url);
    }

    /// The person went back or forward.
    fn popped(&self) {
        if self.is_rewinding.replace(false) {
            return;
        }
        let Some(place) = here() else { return };
        if place.depth == 0 {
            if self.is_in_hand.get() {
                // Not out of the page: to the day, which says what is in hand.
                self.now.replace(Place { screen: Screen::Day, check: None, depth: 1 });
                write(*self.now.borrow(), History::push_state_with_url);
                self.act.emit(Action::Show(Screen::Day));
            } else if let Ok(history) = history() {
                // A tab that was opened with this page has nothing before it.
                let _ = history.back();
            }
            return;
        }
        let of_a_crab = matches!(place.screen, Screen::Measure | Screen::Checks | Screen::Verdict);
        if of_a_crab && !self.is_in_hand.get() {
            self.now.replace(Place { screen: Screen::Day, check: None, ..place });
            self.act.emit(Action::Show(Screen::Day));
            return;
        }
        self.now.replace(place);
        match place.check {
            Some(check) => self.act.emit(Action::LookAt(check)),
            None => self.act.emit(Action::Show(place.screen)),
        }
    }
}

fn history() -> Result<History, JsValue> {
    gloo::utils::window().history()
}

/// The place that the browser's entry remembers; none where another page wrote it.
fn here() -> Option<Place> {
    let state = history().ok()?.state().ok()?.as_string()?;
    serde_json::from_str(&state).ok()
}

fn write(place: Place, how: fn(&History, &JsValue, &str, Option<&str>) -> Result<(), JsValue>) {
    if let (Ok(history), Ok(text)) = (history(), serde_json::to_string(&place)) {
        // A browser that takes no more entries leaves the page as it is.
        let _ = how(&history, &text.into(), "", None);
    }
}
