//! The rule in force: shown, confirmed, chosen, made.

pub mod area_button;
pub mod confirm;
pub mod facts;
pub mod form_fields;
pub mod in_short;
pub mod landmarks;
pub mod line;
pub mod own;
pub mod own_draft;
pub mod own_form;
pub mod suggest_water;
