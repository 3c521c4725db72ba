//! The copy of the whole book as a file with its photos, and its way back.

use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag};

use crate::day::Book;
use crate::day::copies::backup::{BackupError, HEAD_BYTES, Opened, PictureEntry};
use crate::day::rows::Row;
use crate::store::Store;

/// So many photos are read and written at once.
const AT_ONCE: usize = 20;

/// A copy that was read.
pub struct ReadCopy {
    /// Its rows.
    pub rows: Vec<Row>,
    /// Photos that it holds.
    pub photos: usize,
    /// Photos that the disk did not take.
    pub photos_left: usize,
}

/// The book with its photos as one file. An error in words.
pub async fn copy_with_photos(book: &Book) -> Result<Blob, String> {
    let failed = |_| "The photos could not be read: save a copy without them.".to_owned();
    let store = Store::open().await.map_err(failed)?;
    let names = store.picture_names().await.map_err(failed)?;
    let (mut entries, mut blobs) = (Vec::new(), Vec::new());
    for names in names.chunks(AT_ONCE) {
        let read = store.read_pictures(names).await.map_err(failed)?;
        for (name, blob) in names.iter().zip(read).filter_map(|(name, blob)| Some((name, blob?))) {
            let bytes = bytes_of(&blob).await.map_err(|_| failed(no_error()))?;
            entries.push(PictureEntry::of(name, &bytes));
            // The file is made of the disk's own: the photos are never all in memory.
            blobs.push(blob);
        }
    }
    let head = book.as_copy_with(&entries).map_err(|error| error.to_string())?;
    let parts = Array::of1(&head.into());
    for blob in &blobs {
        parts.push(blob);
    }
    let kind = BlobPropertyBag::new();
    kind.set_type("application/octet-stream");
    Blob::new_with_blob_sequence_and_options(&parts, &kind)
        .map_err(|_| "The copy was not made: save one without photos.".to_owned())
}

fn no_error() -> crate::store::StoreError {
    crate::store::StoreError { name: String::new() }
}

/// Reads a copy. The whole file is looked through before anything of it is taken; then its photos are kept.
pub async fn read_copy_file(file: &Blob) -> Result<ReadCopy, String> {
    let told = |error: BackupError| error.to_string();
    let unread = |_: JsValue| "This file cannot be read: choose it again.".to_owned();
    let length = file.size();
    let slice = async |from: f64, to: f64| bytes_of(&file.slice_with_f64_and_f64(from, to)?).await;
    let opened =
        Opened::read(&slice(0.0, length.min(HEAD_BYTES as f64)).await.map_err(unread)?).map_err(told)?;
    let file_bytes = length as u64;
    let lines = opened.lines(file_bytes).map_err(told)?;
    let lines = slice(lines.start as f64, lines.end as f64).await.map_err(unread)?;
    let lines = String::from_utf8(lines).map_err(|_| told(BackupError::Damaged))?;
    let contents = opened.contents(&lines, file_bytes).map_err(told)?;
    for (entry, range) in &contents.pictures {
        let bytes = slice(range.start as f64, range.end as f64).await.map_err(unread)?;
        if !entry.is_whole(&bytes) {
            return Err(told(BackupError::Damaged));
        }
    }
    let mut kept = 0;
    if let (false, Ok(store)) = (contents.pictures.is_empty(), Store::open().await) {
        for part in contents.pictures.chunks(AT_ONCE) {
            let mut pictures = Vec::new();
            for (entry, range) in part {
                let blob = file.slice_with_f64_and_f64_and_content_type(
                    range.start as f64,
                    range.end as f64,
                    "image/jpeg",
                );
                pictures.push((entry.picture.clone(), blob.map_err(unread)?));
            }
            // A full disk keeps the rows all the same; what is left of the photos is told.
            if store.write_pictures(&pictures).await.is_ok() {
                kept += pictures.len();
            }
        }
    }
    let photos = contents.pictures.len();
    Ok(ReadCopy { rows: contents.rows, photos, photos_left: photos - kept })
}

async fn bytes_of(blob: &Blob) -> Result<Vec<u8>, JsValue> {
    Ok(Uint8Array::new(&JsFuture::from(blob.array_buffer()).await?).to_vec())
}
