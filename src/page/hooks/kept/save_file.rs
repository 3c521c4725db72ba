//! Gives the person a file: through the device's share sheet, or as a download.
//!
//! Source: Web Share API (W3C); where a browser has none, or not for files, the file is saved.

use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, DomException, File, FilePropertyBag, HtmlElement, Url};

/// How a file leaves the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// As a download.
    Save,
    /// Through the share sheet; where it does not open, as a download.
    Share,
}

/// Text as a file's contents.
pub fn blob_of(mime: &str, text: &str) -> Result<Blob, String> {
    let kind = BlobPropertyBag::new();
    kind.set_type(mime);
    Blob::new_with_str_sequence_and_options(&Array::of1(&text.into()), &kind).map_err(not_saved)
}

/// Gives a file of this name. An error in the browser's words.
pub async fn give_file(name: &str, blob: &Blob, way: Way) -> Result<(), String> {
    if way == Way::Share
        && let Some(data) = shareable(name, blob)
    {
        match share(&data).await {
            Ok(()) => return Ok(()),
            // The person closed the sheet: they want no file.
            Err(error) if name_of(&error) == "AbortError" => return Ok(()),
            Err(_) => {}
        }
    }
    offer(name, blob).map_err(not_saved)
}

/// True where the device has a share sheet for files.
pub fn can_share() -> bool {
    blob_of("text/csv", "").is_ok_and(|blob| shareable("crabs.csv", &blob).is_some())
}

fn shareable(name: &str, blob: &Blob) -> Option<Object> {
    let navigator = gloo::utils::window().navigator();
    let can: Function = Reflect::get(&navigator, &"canShare".into()).ok()?.dyn_into().ok()?;
    let kind = FilePropertyBag::new();
    kind.set_type(&blob.type_());
    let file = File::new_with_blob_sequence_and_options(&Array::of1(blob), name, &kind).ok()?;
    let data = Object::new();
    Reflect::set(&data, &"files".into(), &Array::of1(&file)).ok()?;
    can.call1(&navigator, &data).ok()?.is_truthy().then_some(data)
}

async fn share(data: &Object) -> Result<(), JsValue> {
    let navigator = gloo::utils::window().navigator();
    let share: Function = Reflect::get(&navigator, &"share".into())?.dyn_into()?;
    let promise: js_sys::Promise = share.call1(&navigator, data)?.dyn_into()?;
    JsFuture::from(promise).await.map(drop)
}

fn offer(name: &str, blob: &Blob) -> Result<(), JsValue> {
    let address = Url::create_object_url_with_blob(blob)?;
    let link: HtmlElement = gloo::utils::document().create_element("a")?.unchecked_into();
    link.set_attribute("href", &address)?;
    link.set_attribute("download", name)?;
    link.click();
    // The browser holds the file by now.
    Url::revoke_object_url(&address)
}

fn name_of(error: &JsValue) -> String {
    error.dyn_ref::<DomException>().map(DomException::name).unwrap_or_default()
}

fn not_saved(error: JsValue) -> String {
    format!("The file was not saved ({}): try again, or make room on the device.", name_of(&error))
}
