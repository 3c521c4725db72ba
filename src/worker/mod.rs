//! What crosses between the page and its worker.
