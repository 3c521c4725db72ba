//! The crab in hand is kept as it changes, and is there again after a reload.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use wasm_bindgen_futures::spawn_local;
use web_sys::VisibilityState;
use yew::prelude::*;

use super::not_kept::NotKept;
use super::remembered::{recall, remember};
use crate::page::hooks::photo::photo_files::PhotoFiles;
use crate::session::{Action, SavedCrab, Session};
use crate::store::lock::{self, Lock};
use crate::store::{Change, Kept, Store, StoreError};

/// True while a crab is kept: only then does the start wait for it.
const IN_HAND: &str = "crab-in-hand";
/// How often in a row a crab was brought back and no page came up with it.
const TRIES: &str = "crab-tries";
/// A crab that ended the page this often is put aside. Once may be a tab that was closed in that moment.
const MOST_TRIES: u32 = 2;
/// The tab before a reload gives its lock back within a few ms; after this long another tab has it.
const LOCK_MS: u32 = 500;
/// Opening and reading take some 20 ms; a database that does not open at all must not hold up the page.
const OPEN_MS: u32 = 3000;
/// Rest between two writes: a dragged point changes 60 times a second.
const REST_MS: u32 = 200;

/// What the page is told of it.
#[derive(Clone, Default, PartialEq)]
pub struct KeptState {
    /// The crab is on its way: nothing is to be done yet.
    pub is_coming: bool,
    /// What is not kept.
    pub not_kept: Option<NotKept>,
}

impl KeptState {
    /// Whether the start waits for a crab.
    pub fn at_start() -> Self {
        Self { is_coming: recall(IN_HAND).unwrap_or(false), not_kept: None }
    }
}

/// Keeps the session's crab, and brings it back at the start. Tells `shown` what to show of it.
#[hook]
pub fn use_saved_crab(
    session: &Session,
    files: &PhotoFiles,
    shown: &UseStateSetter<KeptState>,
    act: &Callback<Action>,
) {
    let keeper = {
        let (files, act, shown) = (files.clone(), act.clone(), shown.clone());
        use_memo((), move |()| Keeper::new(files, act, shown))
    };
    {
        let keeper = keeper.clone();
        use_effect_with((), move |()| {
            keeper.start();
            let document = gloo::utils::document();
            let hidden = EventListener::new(&document, "visibilitychange", move |_| {
                if gloo::utils::document().visibility_state() == VisibilityState::Hidden {
                    keeper.go_on_at_once();
                }
            });
            move || drop(hidden)
        });
    }
    use_effect_with(session.saved(), move |saved| keeper.keep(saved.clone().map(Rc::new)));
}

/// What is kept, what is to be, and whether this tab may.
struct Keeper {
    files: PhotoFiles,
    act: Callback<Action>,
    shown: UseStateSetter<KeptState>,
    /// What was said last: each thing is said once.
    said: RefCell<Option<NotKept>>,
    has_begun: Cell<bool>,
    /// The open store, once this tab keeps its crab.
    store: RefCell<Option<Rc<Store>>>,
    lock: RefCell<Option<Lock>>,
    newest: RefCell<Option<Rc<SavedCrab>>>,
    /// What the store has: the crab, and the numbers of its photos.
    has_crab: RefCell<Option<Rc<SavedCrab>>>,
    has_photos: RefCell<Vec<u64>>,
    /// What could not be written: it is tried again with the next change, or when the page is hidden.
    failed: RefCell<Option<Option<Rc<SavedCrab>>>>,
    is_writing: Cell<bool>,
    /// A crab was brought back and is not drawn yet.
    is_brought: Cell<bool>,
    rest: RefCell<Option<Timeout>>,
}

impl Keeper {
    fn new(files: PhotoFiles, act: Callback<Action>, shown: UseStateSetter<KeptState>) -> Rc<Self> {
        Rc::new(Self {
            files,
            act,
            shown,
            said: RefCell::default(),
            has_begun: Cell::default(),
            store: RefCell::default(),
            lock: RefCell::default(),
            newest: RefCell::default(),
            has_crab: RefCell::default(),
            has_photos: RefCell::default(),
            failed: RefCell::default(),
            is_writing: Cell::default(),
            is_brought: Cell::default(),
            rest: RefCell::default(),
        })
    }

    /// The start is over, with this to say.
    fn say(&self, what: Option<NotKept>) {
        self.shown.set(KeptState { is_coming: false, not_kept: what });
    }

    fn say_once(&self, what: NotKept) {
        if self.said.replace(Some(what.clone())).as_ref() != Some(&what) {
            self.say(Some(what));
        }
    }

    /// Asks for the lock; whatever comes of it, the page is there after a moment.
    fn start(self: &Rc<Self>) {
        // What stands there already finds room when it changes, in a storage that is full by then: `false` is as long
        // as `true`, and longer.
        if recall::<bool>(IN_HAND).is_none() {
            remember(IN_HAND, &false);
            remember(TRIES, &0);
        }
        let keeper = self.clone();
        let asked = lock::ask(Box::new(move |lock| {
            keeper.has_begun.set(true);
            spawn_local(async move {
                if let Err(error) = keeper.begin(lock).await {
                    keeper.say_once(NotKept::Blocked(error.name));
                }
            });
        }));
        if let Err(error) = asked {
            self.say_once(NotKept::Blocked(error.name));
            return;
        }
        let keeper = self.clone();
        Timeout::new(LOCK_MS, move || {
            if !keeper.has_begun.get() {
                keeper.say_once(NotKept::OtherTab);
            }
        })
        .forget();
        let keeper = self.clone();
        Timeout::new(OPEN_MS, move || {
            if keeper.store.borrow().is_none() && keeper.said.borrow().is_none() {
                keeper.say_once(NotKept::Blocked("TimeoutError".into()));
            }
        })
        .forget();
    }

    /// This tab has the lock: brings the crab back, and keeps it from now on.
    async fn begin(self: &Rc<Self>, lock: Lock) -> Result<(), StoreError> {
        let store = Store::open().await?;
        let kept = store.read().await?;
        if kept.crab.is_some() && self.newest.borrow().is_some() {
            // Another tab was closed and left its crab, or the disk was slow, and here is one already: that one stays as
            // it is, for the next tab that has none.
            let was_slow = matches!(&*self.said.borrow(), Some(NotKept::Blocked(_)));
            self.say_once(if was_slow { NotKept::CameLate } else { NotKept::OtherTab });
            return Ok(());
        }
        if let Some(last) = kept.photos.iter().map(|photo| photo.0).max() {
            self.files.go_on_after(last);
        }
        let missing = self.bring_back(&store, kept).await?;
        self.lock.replace(Some(lock));
        self.store.replace(Some(Rc::new(store)));
        self.said.replace(missing.clone());
        self.say(missing);
        self.tell();
        self.go_on();
        Ok(())
    }

    /// Puts the crab that was kept in hand; gives what of it is missing.
    async fn bring_back(&self, store: &Store, kept: Kept) -> Result<Option<NotKept>, StoreError> {
        let tries = recall::<u32>(TRIES).unwrap_or(0);
        let saved = match (&kept.crab, &kept.unread) {
            (Some(bytes), _) => match SavedCrab::decode(bytes) {
                Ok(saved) if tries < MOST_TRIES => saved,
                unread => {
                    web_sys::console::warn_1(&format!("put aside: {:?}", unread.err()).into());
                    remember(TRIES, &0);
                    store.put_aside(bytes).await?;
                    remember(IN_HAND, &false);
                    return Ok(Some(NotKept::Unread));
                }
            },
            (None, Some(bytes)) => match SavedCrab::decode(bytes) {
                Ok(saved) if tries == 0 && self.newest.borrow().is_none() => {
                    store.take_up(bytes).await?;
                    saved
                }
                _ => return Ok(None),
            },
            (None, None) => return Ok(None),
        };
        let wanted = saved.serials();
        let files: Vec<_> = kept.photos.into_iter().filter(|photo| wanted.contains(&photo.0)).collect();
        let there: Vec<u64> = files.iter().map(|file| file.0).collect();
        for (serial, file) in files {
            self.files.keep_as(serial, file);
        }
        self.has_photos.replace(there.clone());
        self.has_crab.replace(Some(Rc::new(saved.clone())));
        remember(TRIES, &(tries + 1));
        self.is_brought.set(true);
        let saved = saved.with_photos(|serial| there.contains(&serial));
        self.act.emit(Action::RestoreCrab(Box::new(saved)));
        Ok((there.len() < wanted.len()).then_some(NotKept::PhotoGone))
    }

    /// The crab is now this one; none: no crab is in hand.
    fn keep(self: &Rc<Self>, newest: Option<Rc<SavedCrab>>) {
        if newest.is_some() && self.is_brought.take() {
            // And was drawn.
            remember(TRIES, &0);
        }
        self.newest.replace(newest);
        self.tell();
        self.go_on();
    }

    /// Tells in the page whether all of it is on the disk: for a test that waits until it may close the page.
    fn tell(&self) {
        let is_kept = self.store.borrow().is_some() && *self.newest.borrow() == *self.has_crab.borrow();
        // Nobody else reads it.
        let _ = gloo::utils::body().set_attribute("data-kept", if is_kept { "yes" } else { "no" });
    }

    fn go_on_at_once(self: &Rc<Self>) {
        self.rest.take();
        self.failed.take();
        self.go_on();
    }

    /// Writes the newest state, unless a write is on its way: the newest then follows it.
    fn go_on(self: &Rc<Self>) {
        let store = self.store.borrow().clone();
        let Some(store) = store.filter(|_| !self.is_writing.get() && self.rest.borrow().is_none()) else {
            return;
        };
        let newest = self.newest.borrow().clone();
        if newest == *self.has_crab.borrow() || self.failed.borrow().as_ref() == Some(&newest) {
            return;
        }
        self.is_writing.set(true);
        let keeper = self.clone();
        spawn_local(async move {
            keeper.write(&store, newest).await;
            keeper.is_writing.set(false);
            keeper.tell();
            let rested = keeper.clone();
            let rest = Timeout::new(REST_MS, move || {
                rested.rest.take();
                rested.go_on();
            });
            keeper.rest.replace(Some(rest));
        });
    }

    async fn write(&self, store: &Store, newest: Option<Rc<SavedCrab>>) {
        let wanted = newest.as_deref().map(SavedCrab::serials).unwrap_or_default();
        let has = self.has_photos.borrow().clone();
        let come: Vec<_> = wanted.iter().filter(|serial| !has.contains(serial)).copied().collect();
        let files = come.iter().filter_map(|&serial| Some((serial, self.files.get(serial)?.blob.clone())));
        let gone: Vec<_> = has.iter().filter(|serial| !wanted.contains(serial)).copied().collect();
        let left: Vec<_> = has.iter().filter(|serial| wanted.contains(serial)).copied().collect();
        let all = Change {
            crab: newest.as_deref().map(SavedCrab::encode),
            photos: files.collect(),
            gone: gone.clone(),
        };
        let error = match store.write(all).await {
            Ok(()) => {
                remember(IN_HAND, &newest.is_some());
                self.has_photos.replace(wanted);
                self.has_crab.replace(newest);
                let failed = self
                    .said
                    .borrow()
                    .as_ref()
                    .is_some_and(|said| matches!(said, NotKept::LastChange(_) | NotKept::Photo(_)));
                if failed {
                    self.said.replace(None);
                    self.say(None);
                }
                return;
            }
            Err(error) => error,
        };
        self.failed.replace(Some(newest.clone()));
        // A connection that the browser dropped stays dropped: only a new one writes again.
        if error.name == "InvalidStateError"
            && let Ok(store) = Store::open().await
        {
            self.store.replace(Some(Rc::new(store)));
            self.failed.take();
        }
        // A photo is large, the answers are small: these may still find room.
        let less = newest.filter(|_| !come.is_empty()).map(|newest| {
            let kept = SavedCrab::clone(&newest).with_photos(|serial| left.contains(&serial));
            Change { crab: Some(kept.encode()), photos: Vec::new(), gone }
        });
        let is_less_kept = match less {
            Some(less) => store.write(less).await.is_ok(),
            None => false,
        };
        if is_less_kept {
            remember(IN_HAND, &true);
            self.has_photos.replace(left);
            self.say_once(NotKept::Photo(error.name));
        } else {
            self.say_once(NotKept::LastChange(error.name));
        }
    }
}
