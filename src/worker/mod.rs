//! The worker: it keeps the decoded photo and does all heavy work, so that the page never waits.
//!
//! [`protocol`] is what crosses; `service` (wasm only) answers.

pub mod protocol;
#[cfg(target_arch = "wasm32")]
pub mod service;
