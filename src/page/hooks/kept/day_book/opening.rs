//! The database of the day: opened and read at the start, opened anew where the browser dropped it, given over to a newer
//! build.

use std::rc::Rc;

use gloo::timers::callback::Timeout;
use wasm_bindgen_futures::spawn_local;

use super::{KIND, Keeper, SETTINGS};
use crate::day::rows::Row;
use crate::page::hooks::kept::not_kept::NotKept;
use crate::page::hooks::kept::remembered::{Remembered, changes, forget, on_change, recall};
use crate::page::hooks::photo::crab_photos::drop_old_pictures;
use crate::page::hooks::rules::recall_all_rules;
use crate::session::{Action, DayAct, OldCount};
use crate::store::{Store, StoreError};

/// How a browser names that the database has a newer schema (Indexed Database API 3.0, W3C).
const NEWER_SCHEMA: &str = "VersionError";
/// Opening and reading take some 20 ms; a database that does not open at all must not hold up the page.
const OPEN_MS: u32 = 3000;
/// Where an earlier build kept its count.
const OLD_COUNT: &str = "kept-today";

impl Keeper {
    pub(super) fn start(self: &Rc<Self>) {
        let keeper = self.clone();
        spawn_local(async move {
            match keeper.begin().await {
                Ok(()) => {}
                // The rows are there, and unread: no number may stand for them.
                Err(error) if error.name == NEWER_SCHEMA => keeper.give_over(),
                Err(error) => keeper.go_without(error.name),
            }
        });
        let keeper = self.clone();
        Timeout::new(OPEN_MS, move || {
            let is_explained = keeper.is_blocked.get() || keeper.is_taken_over.get();
            if !keeper.is_loaded.get() && !is_explained {
                keeper.go_without("TimeoutError".into());
            }
        })
        .forget();
    }

    /// The page works without its disk, and says so.
    fn go_without(&self, name: String) {
        self.say(Some(NotKept::Blocked(name)));
        self.without_disk.set(true);
        self.loaded(Vec::new());
    }

    async fn begin(self: &Rc<Self>) -> Result<(), StoreError> {
        let blocked = self.clone();
        let store = Store::open_or_tell(move || {
            blocked.is_blocked.set(true);
            blocked.say(Some(NotKept::OlderTab));
        })
        .await?;
        if self.is_blocked.take() {
            self.say(None);
        }
        let kept = store.read_remembered().await?;
        let kept = kept.and_then(|text| serde_json::from_str::<Remembered>(&text).ok());
        if let Some(kept) = kept.filter(|kept| kept.changes > changes()) {
            kept.take_over();
            if let Some(settings) = recall(SETTINGS) {
                self.act.emit(Action::Restore(settings));
            }
            self.act.emit(recall_all_rules());
            self.act.emit(Action::Day(DayAct::LastKind(recall(KIND))));
        }
        let mut read = store.read_rows().await?;
        if let Some(old) = recall::<OldCount>(OLD_COUNT) {
            let rows = old.rows();
            let new: Vec<&Row> =
                rows.iter().filter(|row| !read.rows.iter().any(|known| known.id == row.id)).collect();
            store.write_rows(&new, &[]).await?;
            // Only now: until here it was the one copy.
            forget(OLD_COUNT);
            read.rows.extend(new.into_iter().cloned());
        }
        if !read.rows.is_empty() {
            self.ask_once_to_persist();
        }
        drop_old_pictures(&store, &read.rows).await;
        self.use_store(store);
        if !read.unread.is_empty() {
            self.say(Some(NotKept::DayUnread(read.unread.len())));
        }
        if self.is_loaded.get() {
            // It came late: the page went on without it, and takes it in now.
            self.say(None);
            self.act.emit(Action::Day(DayAct::Heard(read.rows, Vec::new())));
        } else {
            self.loaded(read.rows);
        }
        let keeper = self.clone();
        on_change(Rc::new(move || keeper.keep_remembered()));
        self.keep_remembered();
        self.tell();
        self.go_on();
        Ok(())
    }

    fn use_store(self: &Rc<Self>, store: Store) {
        let keeper = self.clone();
        let closed = store.on_close(move || {
            let keeper = keeper.clone();
            spawn_local(async move { keeper.open_again().await });
        });
        let keeper = self.clone();
        let taken = store.on_taken_over(move || keeper.give_over());
        self.closed.replace(Some([closed, taken]));
        self.store.replace(Some(Rc::new(store)));
        self.without_disk.set(false);
    }

    /// A newer build has the day from now on. What it has not read from the disk is told.
    pub(super) fn give_over(&self) {
        self.is_taken_over.set(true);
        self.store.take();
        self.say(Some(NotKept::Newer(self.newest.borrow().unsaved().count())));
        self.tell();
    }

    /// A connection that the browser dropped stays dropped: only a new one writes again. Where the disk is empty then,
    /// all that this page still knows is written anew.
    pub(super) async fn open_again(self: &Rc<Self>) {
        if self.is_taken_over.get() {
            return;
        }
        let store = match Store::open().await {
            Ok(store) => store,
            Err(error) if error.name == NEWER_SCHEMA => return self.give_over(),
            // It is tried again with the next change, or the next minute.
            Err(_) => return,
        };
        let is_empty = store.has_rows().await.is_ok_and(|has| !has);
        self.use_store(store);
        if is_empty && self.newest.borrow().all_rows().next().is_some() {
            if let Some(remembered) = &*self.remembered.borrow() {
                remembered.take_over();
            }
            self.keep_remembered();
            self.act.emit(Action::Day(DayAct::DiskLost));
            self.say(Some(NotKept::Cleared));
        }
    }

    /// Looks whether the connection still stands: not every browser tells when it drops one.
    pub(super) fn look_at_store(self: &Rc<Self>) {
        let Some(store) = self.store.borrow().clone() else { return };
        let keeper = self.clone();
        spawn_local(async move {
            if store.has_rows().await.is_err() {
                keeper.open_again().await;
            }
        });
    }
}
