//! A transaction that is done only once it is on the disk.
//!
//! Source: Indexed Database API 3.0 (W3C), `IDBTransactionOptions`; neither `idb` nor stable `web-sys` has the option.

use idb::Transaction;
use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{IdbDatabase, IdbTransaction};

use super::StoreError;

/// Makes a change, all of it or nothing. `queue` asks for everything at once: a transaction ends by itself as soon as
/// something else is waited for.
pub async fn change(
    database: &IdbDatabase,
    stores: &[&str],
    queue: impl FnOnce(&Transaction) -> Result<(), idb::Error>,
) -> Result<(), StoreError> {
    let raw = open(database, stores)?;
    let transaction: Transaction = raw.clone().into();
    if let Err(error) = queue(&transaction) {
        // Half of a change is none. What is over already needs no end.
        let _ = raw.abort();
        return Err(error.into());
    }
    match transaction.await {
        Ok(result) if result.is_committed() => Ok(()),
        // The transaction itself knows why; what bubbles up from a request may not.
        ended => match (raw.error(), ended) {
            (Some(error), _) => Err(StoreError { name: error.name() }),
            (None, Err(error)) => Err(error.into()),
            (None, Ok(_)) => Err(StoreError { name: "AbortError".into() }),
        },
    }
}

fn open(database: &IdbDatabase, stores: &[&str]) -> Result<IdbTransaction, JsValue> {
    let stores: Array = stores.iter().map(|store| JsValue::from(*store)).collect();
    let options = Object::new();
    Reflect::set(&options, &"durability".into(), &"strict".into())?;
    let open: Function = Reflect::get(database, &"transaction".into())?.dyn_into()?;
    open.call3(database, &stores, &"readwrite".into(), &options)?.dyn_into()
}
