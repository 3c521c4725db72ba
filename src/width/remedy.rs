//! The one thing that would make a width surer, and what it would bring.

use super::{Budget, Hump, Remedy, RemedyAct};
use crate::scene::Scene;
use crate::terms::Placement;

/// Chooses by the dominating part of the budget; `None` when nothing would bring a fifth or more.
pub fn remedy(
    scene: &Scene,
    placement: Placement,
    humps: &[Hump],
    budget: &Budget,
    u_mm: f64,
) -> Option<Remedy> {
    let without = |part: f64, left: f64| (u_mm * u_mm - part * part + left * left).max(0.0).sqrt();
    if humps.len() > 1 {
        let expected_u_mm = humps.iter().map(|hump| hump.u_mm).fold(f64::MAX, f64::min);
        return Some(Remedy { act: RemedyAct::TiltALittle, expected_u_mm });
    }
    let parts = [budget.corners, budget.points, budget.height, budget.focal];
    let largest = parts.iter().copied().fold(0.0, f64::max);
    let (act, expected_u_mm) = if largest == budget.height {
        match placement {
            // Level to 2 mm: what remains of the height part falls with the height's uncertainty.
            Placement::Deck | Placement::Back if scene.distance_mm() < 420.0 => {
                (RemedyAct::StepBack, without(budget.height, budget.height * scene.distance_mm() / 650.0))
            }
            Placement::Deck | Placement::Back => {
                (RemedyAct::RaiseTheCard, without(budget.height, budget.height * 0.4))
            }
            Placement::Level => (
                RemedyAct::StepBack,
                without(budget.height, budget.height * (scene.distance_mm() / 900.0).min(1.0)),
            ),
        }
    } else if largest == budget.points {
        (RemedyAct::PlaceThePoints, without(budget.points, budget.points * 0.4))
    } else if largest == budget.focal {
        (RemedyAct::KeepTheOriginal, without(budget.focal, budget.focal * 0.3))
    } else if scene.tilt_deg() < 8.0 {
        (RemedyAct::TiltALittle, without(budget.corners, budget.corners * 0.5))
    } else {
        (RemedyAct::ComeCloser, without(budget.corners, budget.corners * 0.6))
    };
    (expected_u_mm < 0.8 * u_mm).then_some(Remedy { act, expected_u_mm })
}
