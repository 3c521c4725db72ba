//! Parts of the day: sorting at a glance, persons, pots, the record.

pub mod before_pot;
pub mod people;
pub mod pots;
pub mod sorting;
