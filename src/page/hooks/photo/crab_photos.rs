//! Photos of measured crabs on their way to the disk, and those that nobody can come back to.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::future::poll_fn;
use std::pin::{Pin, pin};
use std::task::Poll;

use gloo::timers::future::TimeoutFuture;
use wasm_bindgen::JsValue;
use web_sys::Blob;

use super::photo_files::PhotoFiles;
use super::pixels::kept_and_small;
use crate::day::picture::{crab_of, small};
use crate::day::rows::{Row, What};
use crate::day::{Book, Id};
use crate::page::hooks::device::today::today;
use crate::store::Store;

/// So many photos wait at most where the disk takes none: each holds some megabytes.
const MOST_WAITING: usize = 12;

/// A photo of 12 megapixels takes a second on a slow phone; a decoder that is stuck must not hold up those behind it.
const LONGEST_MS: u32 = 5000;

/// A photo that waits.
#[derive(Clone)]
enum Photo {
    /// As the camera wrote it.
    Raw(Blob),
    /// As it is kept, with its small picture.
    Ready([Blob; 2]),
}

/// Photos of crabs that are not on the disk yet, by name.
#[derive(Default)]
pub struct Waiting {
    /// The photos of the crab that is or was last in hand, with its name.
    held: Option<(Id, Vec<(u64, Blob)>)>,
    photos: BTreeMap<String, Photo>,
}

impl Waiting {
    /// Takes the photos of the crab that is or was just in hand, once it is to be written. Only its: a crab of a copy
    /// has numbers of another page's photos.
    pub fn take_in(&mut self, book: &Book, in_hand: Option<&Id>, photos: &[u64], files: &PhotoFiles) {
        // Who lets a crab go has the next one in hand in the same moment.
        self.take_held(book);
        let named = photos.iter().filter_map(|number| Some((*number, files.get(*number)?.blob.clone())));
        let blobs: Vec<(u64, Blob)> = named.collect();
        if let Some(in_hand) = in_hand.filter(|_| !blobs.is_empty()) {
            self.held = Some((in_hand.clone(), blobs));
            self.take_held(book);
        }
    }

    fn take_held(&mut self, book: &Book) {
        let Some((id, blobs)) = &self.held else { return };
        for row in book.unsaved().filter(|row| row.id == *id && !row.is_gone) {
            let What::Crab(crab) = &row.what else { continue };
            for picture in &crab.pictures {
                let name = picture.name(&row.id);
                let blob = blobs.iter().find(|(number, _)| *number == picture.number);
                if let Some((_, blob)) = blob.filter(|_| self.photos.len() < MOST_WAITING) {
                    self.photos.entry(name).or_insert_with(|| Photo::Raw(blob.clone()));
                }
            }
        }
    }

    /// All that wait, as they are kept, each under its name; and how many the browser cannot read.
    pub async fn encoded(this: &RefCell<Self>) -> (Vec<(String, Blob)>, usize) {
        let photos = this.borrow().photos.clone();
        let (mut ready, mut unread) = (Vec::new(), 0);
        for (name, photo) in photos {
            let pair = match photo {
                Photo::Ready(pair) => pair,
                Photo::Raw(blob) => match in_time(kept_and_small(&blob)).await {
                    Ok(pair) => pair,
                    Err(error) => {
                        web_sys::console::warn_2(&"a photo was not read".into(), &error);
                        this.borrow_mut().photos.remove(&name);
                        unread += 1;
                        continue;
                    }
                },
            };
            this.borrow_mut().photos.insert(name.clone(), Photo::Ready(pair.clone()));
            let [kept, small_one] = pair;
            ready.push((small(&name), small_one));
            ready.push((name, kept));
        }
        (ready, unread)
    }

    /// A photo waits.
    pub fn is_waiting(&self) -> bool {
        !self.photos.is_empty()
    }

    /// These are on the disk.
    pub fn are_kept(&mut self, pictures: &[(String, Blob)]) {
        self.photos.retain(|name, _| !pictures.iter().any(|(kept, _)| kept == name));
    }
}

/// What comes of it within [`LONGEST_MS`]; an error where nothing does.
async fn in_time<T>(work: impl Future<Output = Result<T, JsValue>>) -> Result<T, JsValue> {
    let mut work = pin!(work);
    let mut late = TimeoutFuture::new(LONGEST_MS);
    poll_fn(|context| match (work.as_mut().poll(context), Pin::new(&mut late).poll(context)) {
        (Poll::Ready(done), _) => Poll::Ready(done),
        (Poll::Pending, Poll::Ready(())) => Poll::Ready(Err(JsValue::from("it took too long"))),
        (Poll::Pending, Poll::Pending) => Poll::Pending,
    })
    .await
}

/// Takes away the photos of crabs that were taken off on an earlier day: no step leads back to them.
pub async fn drop_old_pictures(store: &Store, rows: &[Row]) {
    let Ok(names) = store.picture_names().await else { return };
    let today = today();
    let gone: Vec<&Id> = rows
        .iter()
        .filter(|row| row.is_gone && matches!(&row.what, What::Crab(crab) if crab.at.day < today))
        .map(|row| &row.id)
        .collect();
    let old: Vec<String> = names.into_iter().filter(|name| gone.contains(&&crab_of(name))).collect();
    if !old.is_empty()
        && let Err(error) = store.drop_pictures(&old).await
    {
        // They only take room.
        web_sys::console::warn_1(&format!("old photos stay: {error}").into());
    }
}
