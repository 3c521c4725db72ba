//! The day's book on the disk: read at the start, written with each change, and shared with other tabs.

mod opening;

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use serde::{Deserialize, Serialize};
use wasm_bindgen_futures::spawn_local;
use web_sys::{BroadcastChannel, MessageEvent};
use yew::prelude::*;

use super::not_kept::{NotKept, UNREADABLE};
use super::remembered::Remembered;
use crate::day::rows::Row;
use crate::day::{Book, Id};
use crate::page::hooks::device::offline::ask_to_persist;
use crate::page::hooks::photo::crab_photos::Waiting;
use crate::page::hooks::photo::photo_files::PhotoFiles;
use crate::session::{Action, DayAct, Session};
use crate::store::Store;

/// Name of the channel between tabs of this page.
const CHANNEL: &str = "shellspan.day";
/// Keys of what is remembered from day to day.
pub const SETTINGS: &str = "settings";
/// The kind that was last sorted.
pub const KIND: &str = "kind";
/// What could not be written is tried again after so long.
const AGAIN_MS: u32 = 4000;

/// What one tab tells the others: the names of rows that it wrote, and of rows that it took away.
#[derive(Serialize, Deserialize)]
struct Changed {
    rows: Vec<String>,
    gone: Vec<String>,
}

/// How the day's book stands on the disk.
pub struct DayBook {
    /// What is not kept.
    pub not_kept: Option<NotKept>,
    /// To be called once the person has read that.
    pub seen: Callback<()>,
    /// The page works without its disk: nothing that was kept before it was opened is known.
    pub is_without_disk: bool,
}

/// Keeps the session's book.
#[hook]
pub fn use_day_book(session: &Session, files: &PhotoFiles, act: &Callback<Action>) -> DayBook {
    let state = use_state_eq(|| None);
    let without_disk = use_state_eq(|| false);
    let keeper = {
        let (act, files, shown) = (act.clone(), files.clone(), state.setter());
        let without_disk = without_disk.setter();
        use_memo((), move |()| Keeper::new(act, files, shown, without_disk))
    };
    {
        let keeper = keeper.clone();
        use_effect_with((), move |()| {
            keeper.start();
            let listener = keeper.channel.as_ref().map(|channel| {
                let keeper = keeper.clone();
                EventListener::new(channel, "message", move |event| keeper.hear(event))
            });
            move || drop(listener)
        });
    }
    {
        // With each minute of the clock, and each time that the page comes to the fore.
        let keeper = keeper.clone();
        use_effect_with(session.now(), move |_| keeper.look_at_store());
    }
    let photos: Vec<u64> = session.strip().iter().map(|photo| photo.serial).collect();
    use_effect_with(
        (session.book.clone(), session.crab.row.clone(), photos),
        move |(book, in_hand, photos)| {
            keeper.keep(book.clone(), in_hand.as_ref(), photos);
        },
    );
    let seen = {
        let state = state.setter();
        use_callback((), move |(), ()| state.set(None))
    };
    DayBook { not_kept: (*state).clone(), seen, is_without_disk: *without_disk }
}

struct Keeper {
    act: Callback<Action>,
    files: PhotoFiles,
    /// Photos of crabs that are not on the disk yet.
    pictures: RefCell<Waiting>,
    /// Tell when the browser closes the database by itself, and when a newer build takes it over.
    closed: RefCell<Option<[EventListener; 2]>>,
    /// A tab with an older build holds the database.
    is_blocked: Cell<bool>,
    /// A newer build has the database: this page writes nothing any more.
    is_taken_over: Cell<bool>,
    shown: UseStateSetter<Option<NotKept>>,
    without_disk: UseStateSetter<bool>,
    /// What was said last: each thing is said once.
    said: RefCell<Option<NotKept>>,
    channel: Option<BroadcastChannel>,
    store: RefCell<Option<Rc<Store>>>,
    newest: RefCell<Rc<Book>>,
    is_loaded: Cell<bool>,
    is_writing: Cell<bool>,
    is_keeping_pictures: Cell<bool>,
    /// A dropped connection was just opened anew.
    is_opened_again: Cell<bool>,
    /// The browser was asked to keep what is on the disk.
    is_asked_to_persist: Cell<bool>,
    again: RefCell<Option<Timeout>>,
    /// What is remembered, in case that the browser drops it.
    remembered: RefCell<Option<Remembered>>,
    /// Writes of what is remembered that are under way.
    remembering: Cell<u32>,
}

impl Keeper {
    fn new(
        act: Callback<Action>,
        files: PhotoFiles,
        shown: UseStateSetter<Option<NotKept>>,
        without_disk: UseStateSetter<bool>,
    ) -> Rc<Self> {
        Rc::new(Self {
            act,
            files,
            pictures: RefCell::default(),
            closed: RefCell::default(),
            is_blocked: Cell::default(),
            is_taken_over: Cell::default(),
            shown,
            without_disk,
            said: RefCell::default(),
            // Without it two tabs still keep all; each sees the other's after a reload.
            channel: BroadcastChannel::new(CHANNEL).ok(),
            store: RefCell::default(),
            newest: RefCell::default(),
            is_loaded: Cell::default(),
            is_writing: Cell::default(),
            is_keeping_pictures: Cell::default(),
            is_opened_again: Cell::default(),
            is_asked_to_persist: Cell::default(),
            again: RefCell::default(),
            remembered: RefCell::default(),
            remembering: Cell::default(),
        })
    }

    fn say(&self, what: Option<NotKept>) {
        if *self.said.borrow() != what {
            self.said.replace(what.clone());
            self.shown.set(what);
        }
    }

    fn loaded(&self, rows: Vec<Row>) {
        if !self.is_loaded.replace(true) {
            self.act.emit(Action::Day(DayAct::Loaded(rows)));
        }
    }

    /// Keeps what is remembered from day to day where a killed browser does not lose it.
    fn keep_remembered(self: &Rc<Self>) {
        let store = self.store.borrow().clone();
        let now = Remembered::now();
        let (Some(store), Ok(text)) = (store, serde_json::to_string(&now)) else { return };
        self.remembered.replace(Some(now));
        self.remembering.set(self.remembering.get() + 1);
        self.tell();
        let keeper = self.clone();
        spawn_local(async move {
            // The local storage has it too: nothing is said of it.
            if let Err(error) = store.write_remembered(&text).await {
                web_sys::console::warn_1(&format!("not kept twice: {error}").into());
            }
            keeper.remembering.set(keeper.remembering.get() - 1);
            keeper.tell();
        });
    }

    fn keep(self: &Rc<Self>, newest: Rc<Book>, in_hand: Option<&Id>, photos: &[u64]) {
        // At once: the next crab takes the photos out of hand.
        self.pictures.borrow_mut().take_in(&newest, in_hand, photos, &self.files);
        self.newest.replace(newest);
        if self.is_taken_over.get() {
            self.give_over();
        }
        self.tell();
        self.go_on();
    }

    /// Tells in the page whether all of it is on the disk: for a test that waits until it may close the page.
    fn tell(&self) {
        let is_kept = self.store.borrow().is_some()
            && !self.newest.borrow().has_unsaved()
            && self.remembering.get() == 0
            && !self.is_keeping_pictures.get();
        // Nobody else reads it.
        let _ = gloo::utils::body().set_attribute("data-day-kept", if is_kept { "yes" } else { "no" });
    }

    fn go_on(self: &Rc<Self>) {
        let store = self.store.borrow().clone();
        let Some(store) = store.filter(|_| !self.is_writing.get() && self.again.borrow().is_none()) else {
            return;
        };
        let newest = self.newest.borrow().clone();
        if !newest.has_unsaved() {
            return;
        }
        self.is_writing.set(true);
        let keeper = self.clone();
        spawn_local(async move {
            keeper.write(&store, &newest).await;
            keeper.is_writing.set(false);
            keeper.tell();
            keeper.go_on();
        });
    }

    /// What is written down is asked to stay, once in a visit: at the start there may be nothing yet.
    fn ask_once_to_persist(&self) {
        if !self.is_asked_to_persist.replace(true) {
            ask_to_persist();
        }
    }

    async fn write(self: &Rc<Self>, store: &Store, book: &Book) {
        let rows: Vec<&Row> = book.unsaved().map(|row| &**row).collect();
        let gone = book.forgotten().to_vec();
        match store.write_rows(&rows, &gone).await {
            Ok(()) => {
                self.is_opened_again.set(false);
                self.ask_once_to_persist();
                let saved: Vec<(Id, u64)> = rows.iter().map(|row| (row.id.clone(), row.revision)).collect();
                let changed = Changed {
                    rows: saved.iter().map(|(id, _)| id.0.to_string()).collect(),
                    gone: gone.iter().map(|id| id.0.to_string()).collect(),
                };
                if let (Some(channel), Ok(text)) = (&self.channel, serde_json::to_string(&changed)) {
                    // A tab that does not hear it reads it at its next start.
                    let _ = channel.post_message(&text.into());
                }
                let had_failed = matches!(*self.said.borrow(), Some(NotKept::Day(..)));
                if had_failed {
                    self.say(None);
                }
                self.act.emit(Action::Day(DayAct::Saved(saved, gone)));
                self.keep_pictures();
            }
            Err(error) => {
                if error.name == "InvalidStateError" && !self.is_opened_again.replace(true) {
                    self.open_again().await;
                    return;
                }
                self.say(Some(NotKept::Day(rows.len(), error.name)));
                let keeper = self.clone();
                let again = Timeout::new(AGAIN_MS, move || {
                    spawn_local(async move {
                        keeper.open_again().await;
                        keeper.again.take();
                        keeper.go_on();
                    });
                });
                self.again.replace(Some(again));
            }
        }
    }

    /// Keeps the photos that wait: after the rows, which wait for no photo. A photo is large and takes its time, or more
    /// room than there is; what is said of its crab is small.
    fn keep_pictures(self: &Rc<Self>) {
        let store = self.store.borrow().clone();
        let is_waiting = self.pictures.borrow().is_waiting();
        let Some(store) = store.filter(|_| is_waiting && !self.is_keeping_pictures.get()) else { return };
        self.is_keeping_pictures.set(true);
        self.tell();
        let keeper = self.clone();
        spawn_local(async move {
            let (pictures, unread) = Waiting::encoded(&keeper.pictures).await;
            let mut left = (unread > 0).then(|| NotKept::CrabPhoto(unread, UNREADABLE.into()));
            let written = store.write_pictures(&pictures).await;
            match &written {
                Ok(()) => keeper.pictures.borrow_mut().are_kept(&pictures),
                Err(error) => {
                    left = Some(NotKept::CrabPhoto(pictures.len().div_ceil(2), error.name.clone()));
                }
            }
            let had_failed = matches!(*keeper.said.borrow(), Some(NotKept::CrabPhoto(..)));
            if left.is_some() || had_failed {
                keeper.say(left);
            }
            keeper.is_keeping_pictures.set(false);
            keeper.tell();
            // What came meanwhile; what found no room is tried again with the next crab.
            if written.is_ok() {
                keeper.keep_pictures();
            }
        });
    }

    /// Another tab changed rows: they are read from the disk, where they already are.
    fn hear(self: &Rc<Self>, event: &Event) {
        use wasm_bindgen::JsCast;
        let text = event.dyn_ref::<MessageEvent>().and_then(|message| message.data().as_string());
        let Some(changed) = text.and_then(|text| serde_json::from_str::<Changed>(&text).ok()) else { return };
        let Some(store) = self.store.borrow().clone() else { return };
        let act = self.act.clone();
        spawn_local(async move {
            // What cannot be read now is read at the next start.
            let rows = store.read_some_rows(&changed.rows).await.unwrap_or_default();
            let gone = changed.gone.into_iter().map(|name| Id(name.into())).collect();
            act.emit(Action::Day(DayAct::Heard(rows, gone)));
        });
    }
}
