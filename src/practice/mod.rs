//! Practice: an endless supply of crabs to sort as on deck, judged by [`decide`](crate::decide::decide) against the rule
//! of the chosen water.
//!
//! [`random`] numbers of a seed and the published [`sizes`] of a catch make a [`crab`] of one of the [`kinds`], its
//! [`outline`] known in mm; [`draw`] shows it, [`scene`] photographs it beside a card. [`water`] finds what the rule of
//! the water lets be practised, [`judge`] marks an answer by it, [`schedule`] says when a mistake comes back, [`score`]
//! counts, [`course`] is where the learner stands, and [`view`] what is to be shown.
//!
//! It runs in the worker: the page only shows [`view`]'s blocks, so that none of this weighs on its start.

pub mod course;
pub mod crab;
pub mod desk;
pub mod draw;
pub mod judge;
pub mod kinds;
pub mod outline;
pub mod random;
pub mod scene;
pub mod schedule;
pub mod score;
mod score_sheet;
pub mod sizes;
pub mod view;
pub mod water;
