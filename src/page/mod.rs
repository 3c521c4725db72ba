//! The Yew skin (wasm only).
