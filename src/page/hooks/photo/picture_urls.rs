//! Photos of the disk as addresses for `<img>`, given back with the component that shows them.

use std::rc::Rc;

use gloo::file::{Blob, ObjectUrl};
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use crate::store::Store;

/// A photo that was read.
pub struct ReadPicture {
    /// Its name.
    pub name: String,
    /// The file.
    pub blob: web_sys::Blob,
    /// Its address.
    pub url: ObjectUrl,
}

/// What was read of the names that were asked for; none: not yet.
pub type ReadPictures = Option<Rc<Vec<ReadPicture>>>;

/// Reads the photos of these names; those that are not kept are left out.
#[hook]
pub fn use_pictures(names: Vec<String>) -> ReadPictures {
    let read = use_state(|| (Vec::new(), None::<Rc<Vec<ReadPicture>>>));
    {
        let setter = read.setter();
        use_effect_with(names.clone(), move |names| {
            let names = names.clone();
            spawn_local(async move {
                let pictures = read_all(&names).await;
                setter.set((names, Some(Rc::new(pictures))));
            });
        });
    }
    // What was read for other names is not shown for these.
    let (of, pictures) = &*read;
    pictures.clone().filter(|_| *of == names)
}

async fn read_all(names: &[String]) -> Vec<ReadPicture> {
    if names.is_empty() {
        return Vec::new();
    }
    let blobs = match Store::open().await {
        // What cannot be read is said where it is missed.
        Ok(store) => store.read_pictures(names).await.unwrap_or_default(),
        Err(_) => Vec::new(),
    };
    let named = names.iter().zip(blobs).filter_map(|(name, blob)| Some((name, blob?)));
    named
        .map(|(name, blob)| ReadPicture {
            name: name.clone(),
            url: ObjectUrl::from(Blob::from(blob.clone())),
            blob,
        })
        .collect()
}
