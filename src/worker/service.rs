//! The worker's own side: it listens, keeps the decoded photo, and answers.

use std::cell::RefCell;
use std::rc::Rc;

use js_sys::{Array, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, DedicatedWorkerGlobalScope, FileReaderSync, ImageBitmap, MessageEvent, OffscreenCanvas,
    OffscreenCanvasRenderingContext2d,
};

use super::protocol::{Answer, Ask, Body, LastLook, Question, Step, decode, encode};
use crate::doubts::points_hint;
use crate::measure::{SameSpots, measure};
use crate::photo::{Limits, Photo, PhotoError};
use crate::practice::desk::Desk;
use crate::scene::ScenePose;
use crate::shell::snap;
use crate::text;

/// The photo in memory: one at a time, so that a second does not need the room of two.
type Kept = Rc<RefCell<Option<Photo>>>;

thread_local! {
    /// What practice has read.
    static DESK: RefCell<Desk> = RefCell::default();
}

/// Listens for the page's questions until the worker is ended.
pub fn run() {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    // A panic ends this instance for good: the page is told and starts another.
    std::panic::set_hook(Box::new(|info| post(0, Body::Stopped(info.to_string()))));
    crate::card::look::face::prepare();
    crate::card::look::corners::prepare();
    crate::card::look::sides::prepare();
    crate::shell::prepare();
    let kept = Kept::default();
    let listener = gloo::events::EventListener::new(&scope, "message", move |event| {
        if let Some(event) = event.dyn_ref::<MessageEvent>() {
            hear(&kept, &event.data());
        }
    });
    // The worker listens as long as it lives.
    listener.forget();
}

fn hear(kept: &Kept, message: &JsValue) {
    let parts: Array = message.clone().unchecked_into();
    let Some(Ask { number, question }) =
        parts.get(0).dyn_ref::<Uint8Array>().and_then(|bytes| decode(&bytes.to_vec()))
    else {
        return;
    };
    if let Question::Practice(question) = &question {
        let told = DESK.with_borrow_mut(|desk| desk.answer(question));
        post(number, Body::Practice(Box::new(told)));
        return;
    }
    let Ok(blob) = parts.get(1).dyn_into::<Blob>() else {
        answer(kept, number, question);
        return;
    };
    post(number, Body::Step(Step::Reading));
    // The photo before goes first: two at once would need twice the memory.
    kept.take();
    match read(&blob) {
        Ok(photo) => {
            *kept.borrow_mut() = Some(photo);
            answer(kept, number, question);
        }
        Err(PhotoError::UnsupportedFormat { format }) => {
            let kept = kept.clone();
            spawn_local(async move {
                match ask_the_browser(&blob).await {
                    Some(photo) => {
                        *kept.borrow_mut() = Some(photo);
                        answer(&kept, number, question);
                    }
                    None => post(number, unusable(&PhotoError::UnsupportedFormat { format })),
                }
            });
        }
        Err(error) => post(number, unusable(&error)),
    }
}

/// Reads and decodes at once, in this thread: a failure inside then reaches the page as the worker's error.
fn read(blob: &Blob) -> Result<Photo, PhotoError> {
    let unreadable = |_| PhotoError::Damaged { detail: "the file could not be read".into() };
    let buffer =
        FileReaderSync::new().and_then(|reader| reader.read_as_array_buffer(blob)).map_err(unreadable)?;
    let bytes = Uint8Array::new(&buffer).to_vec();
    Photo::decode(&bytes, &Limits::default())
}

/// HEIC and AVIF: some browsers decode them. The pixels are then theirs, and flagged as such.
async fn ask_the_browser(blob: &Blob) -> Option<Photo> {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let bitmap = JsFuture::from(scope.create_image_bitmap_with_blob(blob).ok()?).await.ok()?;
    let bitmap: ImageBitmap = bitmap.dyn_into().ok()?;
    let (width, height) = (bitmap.width(), bitmap.height());
    let limits = Limits::default();
    if u64::from(width) * u64::from(height) > limits.pixels {
        return None;
    }
    let canvas = OffscreenCanvas::new(width, height).ok()?;
    let context: OffscreenCanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
    context.draw_image_with_image_bitmap(&bitmap, 0.0, 0.0).ok()?;
    bitmap.close();
    let pixels = context.get_image_data(0.0, 0.0, f64::from(width), f64::from(height)).ok()?;
    Photo::from_browser(&pixels.data(), width, height, &limits).ok()
}

fn answer(kept: &Kept, number: u64, question: Question) {
    let kept = kept.borrow();
    let Some(photo) = kept.as_ref() else {
        post(number, Body::Stopped("the photo is gone".into()));
        return;
    };
    post(number, Body::Step(Step::Looking));
    post(number, reply(photo, question));
}

fn reply(photo: &Photo, question: Question) -> Body {
    match question {
        Question::Measure(request) => {
            let (found, _) = measure(photo, &request, &mut || 0.0);
            match found {
                Ok(measurement) => Body::Measured(Box::new(measurement)),
                Err(refused) => Body::Refused(refused),
            }
        }
        Question::Snap { scene_pose, placement, dimension, point } => {
            let ScenePose { intrinsics, pose, .. } = &*scene_pose;
            let snapped = snap(photo, intrinsics, pose, placement, dimension, point);
            Body::Snapped(snapped.map(|marked| marked.point))
        }
        // Answered before, without a photo.
        Question::Practice(_) => Body::Stopped("practice asks for no photo".into()),
        Question::Look(look) => {
            let LastLook { scene, placement, dimension, points, width_mm } = *look;
            let places = points.map(|marked| marked.point);
            Body::Looked {
                hint: points_hint(photo, &scene, placement, dimension, &places),
                spots: SameSpots::cut(photo, &scene, &points, width_mm).map(Box::new),
            }
        }
    }
}

fn unusable(error: &PhotoError) -> Body {
    Body::Unusable(text::photo_error(error).into())
}

fn post(number: u64, body: Body) {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let bytes = Uint8Array::from(encode(&Answer { number, body }).as_slice());
    // A closed port has no one left to tell.
    let _ = scope.post_message(&bytes);
}
