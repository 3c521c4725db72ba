//! The width from one photo or several of one still crab and card, its uncertainty and what dominates it.
//!
//! One photo is the case of one [`View`]: [`view`] brings views into one frame, [`problem`] is their evidence, [`fit`] the
//! least squares and its propagation, [`estimate`] tries every credible pose, [`join`] says which photos fit.

mod estimate;
mod fit;
mod height;
mod join;
mod mixture;
mod problem;
mod rays;
mod remedy;
mod view;

pub use height::HeightPrior;
pub use join::{Apart, Joined, Share, join};
pub use mixture::{Hump, interval, moments};
pub use rays::{on_height_plane, to_photo};
pub use remedy::{NextView, Remedy, RemedyAct};
pub use view::View;

use nalgebra::Vector3;

use self::estimate::Estimate;

use serde::{Deserialize, Serialize};

use crate::terms::Placement;

/// Widths that some crab of the packs' kinds may have, in mm (from memory: a king crab's shell may span 280 mm).
pub const CREDIBLE_WIDTHS_MM: std::ops::RangeInclusive<f64> = 15.0..=300.0;

/// Relative standard uncertainty of a card's size: width 85.47 to 85.72 mm, rectangular: 0.072 mm, 0.084 %.
/// Source: ISO/IEC 7810, limits of an unused card.
pub const CARD_RELATIVE_U: f64 = 0.000_84;

/// The parts of the width's standard uncertainty, each in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Budget {
    /// The card's corners in the photo.
    pub corners: f64,
    /// The two measuring points in the photo.
    pub points: f64,
    /// The height of the measuring points above the card's face.
    pub height: f64,
    /// The focal length.
    pub focal: f64,
    /// The card's own size.
    pub card: f64,
}

impl Budget {
    /// Standard uncertainty of all parts together. Source: JCGM 100, 5.1.2.
    pub fn total(&self) -> f64 {
        [self.corners, self.points, self.height, self.focal, self.card]
            .iter()
            .map(|u| u * u)
            .sum::<f64>()
            .sqrt()
    }
}

/// A width, never without its uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Width {
    /// Best estimate in mm.
    pub width_mm: f64,
    /// Standard uncertainty in mm.
    pub u_mm: f64,
    /// 95 % interval in mm; spans both humps where the card's two poses cannot be told apart.
    pub interval_mm: [f64; 2],
    /// The parts of `u_mm`.
    pub budget_mm: Budget,
    /// Mean height of the points above the card's face, and its standard uncertainty, in mm.
    pub height_mm: f64,
    /// See `height_mm`.
    pub height_u_mm: f64,
    /// The humps of the distribution: one, or two while the card's pose has a credible twin.
    pub humps: Vec<Hump>,
    /// Both points in the frame of the first photo's card, in mm.
    pub points_mm: [Vector3<f64>; 2],
    /// How many photos carry it.
    pub photos: usize,
    /// From several photos: root mean square distance at the shell by which their rays miss the points, in mm.
    pub ray_miss_mm: Option<f64>,
    /// Where several photos put the card, when that is not where it was said to lie.
    pub placement_seen: Option<Placement>,
    /// What would make it surer with this photo taken anew.
    pub remedy: Option<Remedy>,
    /// From where one more photo would help most.
    pub next_view: Option<NextView>,
}

/// The width that one photo alone gives. `None` when a point's ray does not meet the height plane.
///
/// Its uncertainty follows by the law of propagation (JCGM 100, the GUM) through the same least squares, for each
/// credible pose of the card. Assumes independent noise of corners, points, height, focal length and card.
pub fn measure_width(view: &View<'_>, height: &HeightPrior) -> Option<Width> {
    join(&[*view], height).map(|joined| joined.width)
}

/// Where the card lies by several photos, when that is not where it was said to.
fn placement_seen(estimate: &Estimate, height: &HeightPrior) -> Option<Placement> {
    height.contradicted(estimate.guess.height_mm(), estimate.guess.width_mm(), estimate.height_off)
}

fn width_of(estimate: &Estimate, height: &HeightPrior) -> Width {
    let (width_mm, u_mm) = moments(&estimate.humps);
    Width {
        width_mm,
        u_mm,
        interval_mm: interval(&estimate.humps),
        budget_mm: estimate.budget,
        height_mm: estimate.guess.height_mm(),
        height_u_mm: estimate.height_u_mm,
        humps: estimate.humps.clone(),
        points_mm: estimate.guess.points_mm,
        photos: estimate.views.len(),
        ray_miss_mm: estimate.ray_miss_mm(),
        placement_seen: placement_seen(estimate, height),
        remedy: remedy::remedy(estimate, height),
        next_view: remedy::next_view(estimate, height),
    }
}
