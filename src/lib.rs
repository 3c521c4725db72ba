//! Shellspan measures the width of a crab's shell from one photo of the crab beside a flat card of
//! known size, says how sure it is, walks through the checks of species, sex, eggs, shell hardness and
//! claws, and answers keep, release or gauge it by hand, with reasons.
//!
//! The rooms, in reading order:
//!
//! - [`portable`]: elementary functions that give the same bits natively and in the page.
//! - [`units`]: lengths in millimetres, exact inches, points of a photo.
//! - [`photo`]: bytes to upright pixels: header, limits, decoding, EXIF.
//! - [`camera`]: intrinsics, homography, the two poses of a card, refinement.
//! - [`net`]: a small convolutional network in plain Rust, for the eyes of `card` and `shell`.
//! - [`terms`]: which distance, where the card lies, a marked point.
//! - [`refusal`]: what a scene can be refused for.
//! - [`card`]: finds the ID-1 card, with its four virtual corners to a fraction of a pixel.
//! - [`scene`]: one photo understood: size, lens, card, credible poses.
//! - [`shell`]: proposes the outline of the shell and its two measuring points.
//! - [`width`]: rays to the height plane, the width and its uncertainty budget.
//! - [`matching`]: the same spot of the shell found again in another photo.
//! - [`doubts`]: what a measured photo gives reason to doubt.
//! - [`measure`]: the one call: photo and placement to a measurement, or a refusal with a next step.
//! - [`rules`]: cited rule packs: model, load, area, season.
//! - [`decide`]: conformity to a limit, the checks, the verdict with its reasons.
//! - [`day`]: the book of the day: people, pots, each crab's end, and the double-check of the record.
//! - [`text`]: the words: every sentence a person reads that comes out of the core.
//! - [`practice`]: crabs to practise on: drawn, sorted, judged by `decide`, photographed.
//! - [`lessons`]: what a newcomer is taught: lessons as data, the diagram of height, the guided checks.
//! - [`report`]: the native command's answer as JSON.
//! - [`worker`]: what crosses between the page and its worker (the service itself is wasm only).
//! - [`session`]: what the person has said so far: action to session, pure.
//! - `store`: what outlives a reload, in the browser's database (wasm only).
//! - `page`: the Yew skin (wasm only).
//!
//! What holds everywhere (each with what holds it):
//!
//! - The core knows no browser, clock or file: bytes, dates and sizes come in as arguments
//!   (`.clippy.toml`, and the tidy test in `tests/it`).
//! - No room imports one that stands below it in this list (the tidy test).
//! - A width never travels without its uncertainty; a rule never without its source (the types).
//! - Only `decide` makes a verdict; keep cannot come out while a required check is open.
//! - Input from outside never panics: it becomes an error or a refusal with a next step.

pub mod portable;
pub mod units;

pub mod photo;

pub mod camera;
pub mod net;

pub mod refusal;
pub mod terms;

pub mod card;
pub mod scene;
pub mod shell;
pub mod width;

pub mod doubts;
pub mod matching;
pub mod measure;

pub mod day;
pub mod decide;
pub mod rules;

pub mod lessons;
pub mod practice;
pub mod report;
pub mod text;

pub mod session;
pub mod worker;

#[cfg(target_arch = "wasm32")]
pub mod page;
#[cfg(target_arch = "wasm32")]
pub mod store;
