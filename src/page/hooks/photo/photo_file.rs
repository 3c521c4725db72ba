//! The photo's file: the page keeps it, with an address for drawing it, and gives both back.

use gloo::file::{Blob, ObjectUrl};
use js_sys::Promise;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::Response;

use crate::session::TrueWidths;

/// A photo that the person chose, on its way into the session.
#[derive(Debug, Clone, PartialEq)]
pub struct ChosenPhoto {
    /// Name of the file.
    pub name: String,
    /// The file.
    pub blob: web_sys::Blob,
    /// The true widths of a practice photo.
    pub practice: Option<TrueWidths>,
    /// It shows the crab in hand once more.
    pub same_crab: bool,
}

/// A photo that was chosen.
pub struct PhotoFile {
    /// Number of the photo in this session.
    pub serial: u64,
    /// The file.
    pub blob: web_sys::Blob,
    /// Address for `<img>`; given back when the photo is dropped.
    pub url: ObjectUrl,
}

impl PhotoFile {
    /// Keeps `blob` under `serial`.
    pub fn new(serial: u64, blob: web_sys::Blob) -> Self {
        let url = ObjectUrl::from(Blob::from(blob.clone()));
        Self { serial, blob, url }
    }
}

impl PartialEq for PhotoFile {
    fn eq(&self, other: &Self) -> bool {
        self.serial == other.serial
    }
}

/// Fetches a file of this page's own origin. `None` when it cannot be had.
pub async fn fetch_blob(address: &str) -> Option<web_sys::Blob> {
    let response = response_of(start_fetch(address)).await?;
    JsFuture::from(response.blob().ok()?).await.ok()?.dyn_into().ok()
}

/// Fetches a text of this page's own origin. `None` when it cannot be had.
pub async fn fetch_text(address: &str) -> Option<String> {
    text_of(start_fetch(address)).await
}

/// Starts to fetch at once, so that many fetches run side by side.
pub fn start_fetch(address: &str) -> Promise {
    gloo::utils::window().fetch_with_str(address)
}

/// The text of a fetch that was started.
pub async fn text_of(fetching: Promise) -> Option<String> {
    let response = response_of(fetching).await?;
    JsFuture::from(response.text().ok()?).await.ok()?.as_string()
}

async fn response_of(fetching: Promise) -> Option<Response> {
    let fetched = JsFuture::from(fetching).await.ok()?;
    fetched.dyn_into::<Response>().ok().filter(Response::ok)
}
