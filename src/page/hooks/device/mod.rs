//! The device: its clock, its place, its Back key, its messages, and the page as a program on it.

pub mod back;
pub mod clock;
pub mod install;
pub mod offline;
pub mod position;
pub mod pot_alert;
pub mod today;
pub mod update;
