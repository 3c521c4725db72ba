//! The practice photo: the crab and a card in perspective before a known camera, shaded, as a picture for the same finder
//! and solver as a real photo.
//!
//! [`view`] is where the camera stands and the crab lies, [`solid`] the crab as triangles, [`ground`] card, deck and
//! shadow, [`raster`] the pixels, [`file`] the PNG with what a phone writes of its lens.

pub mod file;
pub mod ground;
pub mod raster;
pub mod solid;
pub mod view;

use self::view::View;
use crate::practice::crab::Crab;
use crate::terms::Dimension;
use crate::units::PhotoPoint;

/// A drawn photo with its truth.
#[derive(Debug, Clone)]
pub struct Scene {
    /// Camera and crab.
    pub view: View,
    /// Pixels: red, green, blue, row by row.
    pub rgb: Vec<u8>,
}

/// Draws the photo of a crab; the same for the same crab and seed.
pub fn photograph(crab: &Crab, seed: u64) -> Scene {
    let view = View::of(crab, seed);
    let mesh = solid::mesh(crab, &view);
    let ground = ground::Ground::under(crab, &view);
    Scene { rgb: raster::pixels(&view, &mesh, &ground), view }
}

impl Scene {
    /// Where the two points of `dimension` are seen, the crab's own left first.
    pub fn points(&self, crab: &Crab, dimension: Dimension) -> Option<[PhotoPoint; 2]> {
        let [x, y] = crab.outline.place(dimension);
        Some([self.view.seen([-x, y])?, self.view.seen([x, y])?])
    }
}
