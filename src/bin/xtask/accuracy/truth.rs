//! The truth beside a photo, as `samples/README.md` explains it.

use serde::Deserialize;
use shellspan::terms::{Dimension, Placement};

#[derive(Deserialize)]
pub struct Truth {
    pub card: TrueCard,
    pub shell: TrueShell,
    #[serde(default)]
    pub scene: TrueScene,
}

#[derive(Deserialize)]
pub struct TrueCard {
    pub corners_px: [[f64; 2]; 4],
    pub placement: Placement,
}

#[derive(Deserialize)]
pub struct TrueShell {
    pub species: String,
    pub dimension: Dimension,
    pub left_px: [f64; 2],
    pub right_px: [f64; 2],
    pub width_mm: f64,
    pub mean_height_above_card_mm: f64,
    pub left_card_mm: [f64; 3],
    pub right_card_mm: [f64; 3],
}

#[derive(Deserialize, Default)]
pub struct TrueScene {
    #[serde(default)]
    pub motion_blur_px: f64,
}
