//! Integration tests, one binary.

mod card_hints;
mod command;
mod command_odd;
mod contrast;
mod crab;
mod decide;
mod decide_properties;
mod decision_rule;
mod drawings;
mod geometry;
mod glare;
mod hostile_packs;
mod jpeg;
mod lens;
mod motion;
mod own_rules;
mod packs;
mod photo;
mod portable;
mod rules;
mod shell;
mod water;
mod waters;
mod waters_limits;
mod waters_times;
mod width;
