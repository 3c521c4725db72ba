//! The book of the day: who is aboard, which pots are out, and what became of each crab.
//!
//! It is the person's own memory and the check beside the official record; it is no record itself. [`rows`] says what
//! it holds, `crab` of a crab, [`book`] keeps them, found by [`shelves`], [`steps`] changes it and takes changes back, [`pots`] reads what
//! is typed of a pot, `people` says who is aboard, [`picture`] is a photo of a measured crab. [`counts`] gives what limits
//! ask, [`record`] double-checks a day before it goes on the official record, [`told`] adds up and finds, [`line`] tells
//! how long a pot's line must be, [`weight`] what holds it in a current, [`copies`] takes the book out of the page and back.

pub mod book;
pub mod copies;
pub mod counts;
mod crab;
pub mod line;
mod people;
pub mod picture;
pub mod pots;
pub mod record;
pub mod rows;
pub mod shelves;
pub mod steps;
pub mod told;
pub mod weight;

pub use book::Book;
pub use picture::Picture;
pub use rows::{CrabEntry, End, Id, Moment, Person, Pot, Pull, Row, StepName, What, Why};
