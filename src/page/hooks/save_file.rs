//! Gives the person a file, as a download.

use js_sys::Array;
use wasm_bindgen::JsCast;
use web_sys::{Blob, BlobPropertyBag, HtmlElement, Url};

/// Offers `text` as a file of this name. An error in the browser's words.
pub fn save_file(name: &str, mime: &str, text: &str) -> Result<(), String> {
    offer(name, mime, text).map_err(|error| format!("The file was not saved: {error:?}"))
}

fn offer(name: &str, mime: &str, text: &str) -> Result<(), wasm_bindgen::JsValue> {
    let kind = BlobPropertyBag::new();
    kind.set_type(mime);
    let blob = Blob::new_with_str_sequence_and_options(&Array::of1(&text.into()), &kind)?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlElement = gloo::utils::document().create_element("a")?.unchecked_into();
    link.set_attribute("href", &address)?;
    link.set_attribute("download", name)?;
    link.click();
    // The browser holds the file by now.
    Url::revoke_object_url(&address)
}
