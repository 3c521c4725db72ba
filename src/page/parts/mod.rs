//! What screens are made of: each draws plain values and tells what was done to it.

pub mod aim;
pub mod check_card;
pub mod confirm_form;
pub mod drawing;
pub mod figures;
pub mod frame;
pub mod gauge_form;
pub mod kept;
pub mod magnified;
pub mod message;
pub mod own_rule_form;
pub mod own_rules;
pub mod photo_marks;
pub mod photo_view;
pub mod pick_photo;
pub mod placement;
pub mod progress;
pub mod reasons;
pub mod rule_facts;
pub mod rule_line;
pub mod ruler;
pub mod samples;
pub mod update_bar;
