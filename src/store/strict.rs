//! A transaction that is done only once it is on the disk.
//!
//! Source: Indexed Database API 3.0 (W3C), `IDBTransactionOptions`; neither `idb` nor stable `web-sys` has the option.

use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{IdbDatabase, IdbTransaction};

/// Opens it, for reading and writing.
pub fn transaction(database: &IdbDatabase, stores: &[&str]) -> Result<IdbTransaction, JsValue> {
    let stores: Array = stores.iter().map(|store| JsValue::from(*store)).collect();
    let options = Object::new();
    Reflect::set(&options, &"durability".into(), &"strict".into())?;
    let open: Function = Reflect::get(database, &"transaction".into())?.dyn_into()?;
    open.call3(database, &stores, &"readwrite".into(), &options)?.dyn_into()
}
