//! What is known of the height of the measuring points above the card's face.

use serde::{Deserialize, Serialize};

use crate::portable::Portable;
use crate::terms::Placement;

/// Height of the measuring points above the card's face, as a share of the width and an absolute part:
/// `height = share * width + offset`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HeightPrior {
    /// Where the card is said to lie.
    pub placement: Placement,
    /// Share of the width.
    pub share: f64,
    /// Standard uncertainty of the share.
    pub share_u: f64,
    /// Standard uncertainty of the absolute part in mm; its mean is 0.
    pub offset_u_mm: f64,
}

/// Lateral edge of a resting crab above the deck, as a share of the width between the measuring points.
/// From memory: a cancrid's body is about a third as deep as it is wide, its edge a little above the
/// middle, and the legs lift it. Nobody has published it; a project that measures it should replace it.
const DECK_SHARE: f64 = 0.21;
const DECK_SHARE_U: f64 = 0.035;
/// Lateral edge below the top of the back, where a card rests: the rest of that third, less the dome's
/// bulge under a flat card. From memory, as above.
const BACK_SHARE: f64 = -0.14;
const BACK_SHARE_U: f64 = 0.04;
/// How well a person sets a card level with the edge, in mm. Common practice.
const LEVEL_U_MM: f64 = 2.0;
/// The card's own thickness is 0.76 mm: the face of a card on the deck is that much above it.
/// Source: ISO/IEC 7810.
const CARD_THICKNESS_MM: f64 = 0.76;

/// The two points of one crab differ in height by this share of the width: it stands a little askew (2.6 degrees). Nobody
/// has measured it; 500 rendered crabs on legs have a root mean square of 0.031 to 0.055 by kind.
pub(super) const ASKEW_SHARE: f64 = 0.045;
/// From so many standard uncertainties on, rays that meet elsewhere say that the card does not lie where it was said
/// to: a normal deviate beyond it comes once in 370.
const CONTRADICTED_FROM: f64 = 3.0;

impl HeightPrior {
    /// The prior for a placement, with the species' own share on the deck where a pack gives one.
    pub fn of(placement: Placement, species_share: Option<(f64, f64)>) -> Self {
        let (share, share_u) = species_share.unwrap_or((DECK_SHARE, DECK_SHARE_U));
        match placement {
            Placement::Deck => Self { placement, share, share_u, offset_u_mm: CARD_THICKNESS_MM },
            Placement::Level => Self { placement, share: 0.0, share_u: 0.0, offset_u_mm: LEVEL_U_MM },
            Placement::Back => {
                Self { placement, share: BACK_SHARE, share_u: BACK_SHARE_U, offset_u_mm: CARD_THICKNESS_MM }
            }
        }
    }

    /// Mean height in mm at a width in mm.
    pub fn height_mm(&self, width_mm: f64) -> f64 {
        self.share * width_mm
    }

    /// Standard uncertainty of the height in mm at a width in mm.
    pub fn u_mm(&self, width_mm: f64) -> f64 {
        (self.share_u * width_mm).portable_hypot(self.offset_u_mm)
    }

    /// Where the card lies by rays that meet at `height_mm`, when that is not where it was said to; `off`: against the
    /// expected height, in standard uncertainties.
    pub(super) fn contradicted(&self, height_mm: f64, width_mm: f64, off: f64) -> Option<Placement> {
        let away = |placement| {
            let other = Self::of(placement, None);
            (height_mm - other.height_mm(width_mm)).abs() / other.u_mm(width_mm)
        };
        let likeliest = [Placement::Deck, Placement::Level, Placement::Back]
            .into_iter()
            .min_by(|&a, &b| away(a).total_cmp(&away(b)))
            .filter(|&likeliest| away(likeliest) < CONTRADICTED_FROM)?;
        (off.abs() > CONTRADICTED_FROM && likeliest != self.placement).then_some(likeliest)
    }
}
