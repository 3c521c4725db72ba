//! The worker from the page's side: started when needed, ended to cancel, replaced when it breaks.

use std::cell::{Cell, RefCell};

use gloo::events::EventListener;
use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsCast;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};
use yew::Callback;

use super::meta::meta;
use super::photo::photo_file::PhotoFile;
use crate::session::Action;
use crate::worker::protocol::{Answer, Ask, decode, encode};

/// Starts, asks and ends the worker.
pub struct WorkerClient {
    running: RefCell<Option<Running>>,
    act: Callback<Action>,
}

/// One worker, with the listeners that live as long as it does; it ends when this is dropped.
pub struct Running {
    worker: Worker,
    /// Serial of the photo it holds.
    holds: Cell<Option<u64>>,
    _listeners: [EventListener; 2],
}

impl Drop for Running {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

impl WorkerClient {
    /// A client that tells `act` what it hears.
    pub fn new(act: Callback<Action>) -> Self {
        Self { running: RefCell::default(), act }
    }

    /// Ends the worker; the next question starts another.
    pub fn stop(&self) {
        self.running.take();
    }

    /// Asks about `photo`, which goes along when the worker does not hold it yet.
    pub fn ask(&self, ask: &Ask, photo: &PhotoFile) {
        let mut running = self.running.borrow_mut();
        if running.is_none() {
            *running =
                Running::start(self.act.reform(Action::Heard), self.act.reform(|()| Action::WorkerStopped));
        }
        let Some(running) = running.as_ref() else {
            self.act.emit(Action::WorkerStopped);
            return;
        };
        let message = Array::of1(&Uint8Array::from(encode(ask).as_slice()));
        if running.holds.replace(Some(photo.serial)) != Some(photo.serial) {
            message.push(&photo.blob);
        }
        if running.worker.post_message(&message).is_err() {
            self.act.emit(Action::WorkerStopped);
        }
    }
}

impl Running {
    /// Asks a question that needs no photo. False where the worker cannot be asked.
    pub fn ask(&self, ask: &Ask) -> bool {
        self.worker.post_message(&Array::of1(&Uint8Array::from(encode(ask).as_slice()))).is_ok()
    }

    /// Starts a worker that tells what it answers, and when it broke.
    pub fn start(hear: Callback<Answer>, broke: Callback<()>) -> Option<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(&meta("shellspan-worker"), &options).ok()?;
        let message = EventListener::new(&worker, "message", move |event| {
            let data = event.dyn_ref::<MessageEvent>().map(MessageEvent::data);
            if let Some(answer) = data
                .and_then(|data| data.dyn_into::<Uint8Array>().ok())
                .and_then(|bytes| decode(&bytes.to_vec()))
            {
                hear.emit(answer);
            }
        });
        let error = EventListener::new(&worker, "error", move |_| broke.emit(()));
        Some(Self { worker, holds: Cell::new(None), _listeners: [message, error] })
    }
}
