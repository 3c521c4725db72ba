//! The size: by photo as figures and ruler, or by the gauge.

pub mod figures;
pub mod gauge_form;
pub mod ruler;
