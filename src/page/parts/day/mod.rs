//! Parts of the day: sorting at a glance, persons, pots, the list of crabs, the copies, and the line before it is read.

pub mod before_pot;
pub mod copies;
pub mod crab_detail;
pub mod crab_list;
pub mod people;
pub mod pot_form;
pub mod pots;
pub mod reading;
pub mod sizes;
pub mod sorting;
pub mod totals;
