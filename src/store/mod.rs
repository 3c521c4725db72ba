//! What outlives a reload (wasm only): the crab in hand and the files of its photos, the rows of the day's book
//! ([`rows`]) and the photos of measured crabs ([`pictures`]), in the browser's IndexedDB.
//!
//! Every change is one transaction that the browser has on its disk before it is called done ([`strict`]). Only the
//! tab that has the [`lock`] changes the crab in hand; every tab may add rows, which have names of their own.

mod error;
pub mod lock;
pub mod pictures;
pub mod rows;
mod strict;

pub use error::StoreError;

use gloo::events::EventListener;
use idb::{ObjectStore, Transaction};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, IdbDatabase};

/// Name of the database, and the version of its schema: a new one adds a step to `upgrade`.
const DATABASE: &str = "shellspan";
const SCHEMA: u32 = 3;
/// The stores: bytes by name, files by number.
const STATES: &str = "states";
const PHOTOS: &str = "photos";
/// Rows of the day's book, as JSON by name.
const ROWS: &str = "rows";
/// Photos of measured crabs, by name.
const PICTURES: &str = "pictures";
/// The crab in hand; and one that this build could not read.
const CRAB: &str = "crab";
const UNREAD: &str = "crab-unread";

/// The open database.
pub struct Store {
    database: IdbDatabase,
}

/// What is kept.
pub struct Kept {
    /// The crab in hand.
    pub crab: Option<Vec<u8>>,
    /// A crab that another build could not read.
    pub unread: Option<Vec<u8>>,
    /// Files of photos, by their numbers.
    pub photos: Vec<(u64, Blob)>,
}

/// What is to be changed, all of it or nothing.
#[derive(Default)]
pub struct Change {
    /// The crab in hand; none takes it away.
    pub crab: Option<Vec<u8>>,
    /// Files that come.
    pub photos: Vec<(u64, Blob)>,
    /// Files that go.
    pub gone: Vec<u64>,
}

impl Store {
    /// Opens the database, makes it where there is none.
    pub async fn open() -> Result<Self, StoreError> {
        Self::open_or_tell(|| {}).await
    }

    /// Opens the database. Calls `blocked` where a tab with an earlier schema holds it: this is done once that tab
    /// lets go.
    pub async fn open_or_tell(blocked: impl FnOnce() + 'static) -> Result<Self, StoreError> {
        let mut request = idb::Factory::new()?.open(DATABASE, Some(SCHEMA))?;
        request.on_upgrade_needed(|event| {
            // What goes wrong here ends the opening, which then tells its error.
            if let Err(error) = upgrade(&event) {
                web_sys::console::warn_1(&format!("the store was not made: {error}").into());
            }
        });
        request.on_blocked(move |_| blocked());
        let mut database = request.await?;
        // A newer build in another tab wants to change the schema: it must not wait for this one.
        database.on_version_change(|event| {
            if let Some(database) = event.target().and_then(|target| target.dyn_into::<IdbDatabase>().ok()) {
                database.close();
            }
        });
        database.forget_callbacks();
        Ok(Self { database: JsValue::from(database).unchecked_into() })
    }

    /// Calls `closed` when the browser closes the database by itself, as where the person clears the site's data.
    pub fn on_close(&self, closed: impl Fn() + 'static) -> EventListener {
        EventListener::new(&self.database, "close", move |_| closed())
    }

    /// Calls `taken` when a newer build changes the schema: this connection is closed then.
    pub fn on_taken_over(&self, taken: impl Fn() + 'static) -> EventListener {
        EventListener::new(&self.database, "versionchange", move |event| {
            // No new version: the database is deleted, and nobody takes over.
            let newer = js_sys::Reflect::get(event, &"newVersion".into());
            if newer.is_ok_and(|version| version.as_f64().is_some()) {
                taken();
            }
        })
    }

    /// Reads all that is kept.
    pub async fn read(&self) -> Result<Kept, StoreError> {
        let stores = Array::of2(&STATES.into(), &PHOTOS.into());
        let transaction: Transaction = self.database.transaction_with_str_sequence(&stores)?.into();
        let (states, photos) = (transaction.object_store(STATES)?, transaction.object_store(PHOTOS)?);
        let requests = (
            states.get(JsValue::from(CRAB))?,
            states.get(JsValue::from(UNREAD))?,
            photos.get_all_keys(None, None)?,
            photos.get_all(None, None)?,
        );
        let (crab, unread) = (requests.0.await?, requests.1.await?);
        let (serials, files) = (requests.2.await?, requests.3.await?);
        let photos = serials.into_iter().zip(files).filter_map(|(serial, file)| {
            // Numbers count up from 1 and stay far below 2^53.
            Some((serial.as_f64()? as u64, file.dyn_into::<Blob>().ok()?))
        });
        Ok(Kept {
            crab: crab.and_then(bytes_of),
            unread: unread.and_then(bytes_of),
            photos: photos.collect(),
        })
    }

    /// Makes `change`; once this is done it is on the disk.
    pub async fn write(&self, change: Change) -> Result<(), StoreError> {
        self.in_one(|states, photos| {
            for serial in &change.gone {
                photos.delete(key(*serial))?;
            }
            for (serial, file) in &change.photos {
                photos.put(file, Some(&key(*serial)))?;
            }
            match &change.crab {
                Some(bytes) => drop(states.put(&row(bytes), Some(&CRAB.into()))?),
                None => drop(states.delete(JsValue::from(CRAB))?),
            }
            Ok(())
        })
        .await
    }

    /// Puts a crab that cannot be read out of the way, for a build that can.
    pub async fn put_aside(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.in_one(|states, _| {
            states.put(&row(bytes), Some(&UNREAD.into()))?;
            states.delete(JsValue::from(CRAB)).map(drop)
        })
        .await
    }

    /// Takes a crab up again that was put aside.
    pub async fn take_up(&self, bytes: &[u8]) -> Result<(), StoreError> {
        self.in_one(|states, _| {
            states.put(&row(bytes), Some(&CRAB.into()))?;
            states.delete(JsValue::from(UNREAD)).map(drop)
        })
        .await
    }

    /// Queues everything at once: a transaction ends by itself as soon as something else is waited for.
    async fn in_one(
        &self,
        queue: impl FnOnce(&ObjectStore, &ObjectStore) -> Result<(), idb::Error>,
    ) -> Result<(), StoreError> {
        strict::change(&self.database, &[STATES, PHOTOS], |transaction| {
            queue(&transaction.object_store(STATES)?, &transaction.object_store(PHOTOS)?)
        })
        .await
    }
}

/// From nothing to schema 1, from each to the next.
fn upgrade(event: &idb::event::VersionChangeEvent) -> Result<(), idb::Error> {
    let database = idb::DatabaseEvent::database(event)?;
    let old = idb::event::VersionChangeEvent::old_version(event)?;
    let made: [(u32, &[&str]); 3] = [(1, &[STATES, PHOTOS]), (2, &[ROWS]), (3, &[PICTURES])];
    for name in made.iter().filter(|(schema, _)| old < *schema).flat_map(|(_, names)| *names) {
        database.create_object_store(name, idb::ObjectStoreParams::new())?;
    }
    Ok(())
}

fn row(bytes: &[u8]) -> JsValue {
    Uint8Array::from(bytes).into()
}

fn bytes_of(row: JsValue) -> Option<Vec<u8>> {
    row.dyn_into::<Uint8Array>().ok().map(|bytes| bytes.to_vec())
}

fn key(serial: u64) -> JsValue {
    JsValue::from(serial as f64)
}
