//! Photos of measured crabs, by their names: kept with the rows, read when they are looked at.

use idb::Transaction;
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::Blob;

use super::{PICTURES, Store, StoreError, strict};

impl Store {
    /// The photos of these names, in their order; none where it is not kept.
    pub async fn read_pictures(&self, names: &[String]) -> Result<Vec<Option<Blob>>, StoreError> {
        let store = self.pictures()?;
        let asked: Vec<_> =
            names.iter().map(|name| store.get(JsValue::from(name))).collect::<Result<_, _>>()?;
        let mut found = Vec::new();
        for one in asked {
            found.push(one.await?.and_then(|value| value.dyn_into::<Blob>().ok()));
        }
        Ok(found)
    }

    /// The names of all photos.
    pub async fn picture_names(&self) -> Result<Vec<String>, StoreError> {
        let keys = self.pictures()?.get_all_keys(None, None)?.await?;
        Ok(keys.into_iter().filter_map(|key| key.as_string()).collect())
    }

    /// Keeps photos; once this is done they are on the disk.
    pub async fn write_pictures(&self, pictures: &[(String, Blob)]) -> Result<(), StoreError> {
        strict::change(&self.database, &[PICTURES], |transaction| {
            let store = transaction.object_store(PICTURES)?;
            pictures.iter().try_for_each(|(name, blob)| store.put(blob, Some(&JsValue::from(name))).map(drop))
        })
        .await
    }

    /// Takes photos away.
    pub async fn drop_pictures(&self, names: &[String]) -> Result<(), StoreError> {
        strict::change(&self.database, &[PICTURES], |transaction| {
            let store = transaction.object_store(PICTURES)?;
            names.iter().try_for_each(|name| store.delete(JsValue::from(name)).map(drop))
        })
        .await
    }

    fn pictures(&self) -> Result<idb::ObjectStore, StoreError> {
        let stores = Array::of1(&PICTURES.into());
        let transaction: Transaction = self.database.transaction_with_str_sequence(&stores)?.into();
        Ok(transaction.object_store(PICTURES)?)
    }
}
