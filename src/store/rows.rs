//! The rows of the day's book: read whole at the start, then written as they change.

use idb::Transaction;
use js_sys::Array;
use wasm_bindgen::JsValue;

use super::{ROWS, STATES, Store, StoreError, strict};
use crate::day::Id;
use crate::day::rows::{Row, read_row, write_row};

/// What is remembered from day to day.
const REMEMBERED: &str = "remembered";

/// What the disk has.
pub struct RowsRead {
    /// Rows that this build reads.
    pub rows: Vec<Row>,
    /// Names of rows that it cannot read: they are left as they are.
    pub unread: Vec<String>,
}

impl Store {
    /// Reads all rows.
    pub async fn read_rows(&self) -> Result<RowsRead, StoreError> {
        let transaction: Transaction =
            self.database.transaction_with_str_sequence(&Array::of1(&ROWS.into()))?.into();
        let store = transaction.object_store(ROWS)?;
        let (keys, values) = (store.get_all_keys(None, None)?, store.get_all(None, None)?);
        let (keys, values) = (keys.await?, values.await?);
        let mut read = RowsRead { rows: Vec::new(), unread: Vec::new() };
        for (key, value) in keys.into_iter().zip(values) {
            match value.as_string().as_deref().and_then(read_row) {
                Some(row) => read.rows.push(row),
                None => read.unread.push(key.as_string().unwrap_or_default()),
            }
        }
        Ok(read)
    }

    /// What is remembered from day to day, as JSON.
    pub async fn read_remembered(&self) -> Result<Option<String>, StoreError> {
        let transaction: Transaction =
            self.database.transaction_with_str_sequence(&Array::of1(&STATES.into()))?.into();
        let value = transaction.object_store(STATES)?.get(JsValue::from(REMEMBERED))?.await?;
        Ok(value.and_then(|value| value.as_string()))
    }

    /// Keeps it; once this is done it is on the disk.
    pub async fn write_remembered(&self, text: &str) -> Result<(), StoreError> {
        strict::change(&self.database, &[STATES], |transaction| {
            let store = transaction.object_store(STATES)?;
            store.put(&JsValue::from(text), Some(&REMEMBERED.into())).map(drop)
        })
        .await
    }

    /// Reads these rows; names without a row are left out.
    pub async fn read_some_rows(&self, names: &[String]) -> Result<Vec<Row>, StoreError> {
        let transaction: Transaction =
            self.database.transaction_with_str_sequence(&Array::of1(&ROWS.into()))?.into();
        let store = transaction.object_store(ROWS)?;
        let asked: Vec<_> =
            names.iter().map(|name| store.get(JsValue::from(name))).collect::<Result<_, _>>()?;
        let mut rows = Vec::new();
        for one in asked {
            rows.extend(one.await?.and_then(|value| read_row(&value.as_string()?)));
        }
        Ok(rows)
    }

    /// True where the disk has a row; the book then is not lost.
    pub async fn has_rows(&self) -> Result<bool, StoreError> {
        let transaction: Transaction =
            self.database.transaction_with_str_sequence(&Array::of1(&ROWS.into()))?.into();
        Ok(transaction.object_store(ROWS)?.count(None)?.await? > 0)
    }

    /// Writes rows with the photos of their crabs and takes others away, all of it or nothing; once this is done it is
    /// on the disk.
    pub async fn write_rows(&self, rows: &[&Row], gone: &[Id]) -> Result<(), StoreError> {
        let texts: Vec<(&Id, String)> = rows
            .iter()
            .map(|row| write_row(row).map(|text| (&row.id, text)))
            .collect::<Result<_, _>>()
            .map_err(|error| StoreError { name: error.to_string() })?;
        strict::change(&self.database, &[ROWS], |transaction| {
            let store = transaction.object_store(ROWS)?;
            for (id, text) in &texts {
                store.put(&JsValue::from(text), Some(&JsValue::from(&*id.0)))?;
            }
            for id in gone {
                store.delete(JsValue::from(&*id.0))?;
            }
            Ok(())
        })
        .await
    }
}
