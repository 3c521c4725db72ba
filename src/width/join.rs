//! Whether photos show one still crab and card, and the width from those that do.

use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

use super::estimate::{Estimate, degrees_of_freedom};
use super::rays::to_photo;
use super::view::View;
use super::{HeightPrior, Hump, Width, interval, moments, placement_seen, width_of};
use crate::portable::Portable;

/// Chance at which rays of a still crab would miss each other by more: one pair in a hundred is doubted wrongly, and the
/// photo taken again. One in a thousand would let pass half as many more of the crabs that moved by 4 mm.
/// The standard normal's quantile to it. Source: table of the normal distribution.
const STILL_Z: f64 = 2.326_35;
/// Heights farther from the expected one, in standard uncertainties, are no crab's: a normal deviate beyond it comes once
/// in sixteen thousand.
const MOST_HEIGHT_OFF: f64 = 4.0;
/// Lines of sight nearer than this to each other see the same: at a finger's precision of a point the height from
/// the rays is then no surer than the expected one (0.5 mm over twice the sine of half of it is 3.6 mm), in degrees.
const LEAST_PARALLAX_DEG: f64 = 8.0;
/// Two ways of leaving one photo out that differ by more than this many standard uncertainties leave it open which
/// photo is wrong.
const SAME_U: f64 = 3.0;

/// Why photos stand apart; `serde` names are the stable codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Apart {
    /// The rays miss each other: crab or card moved, or a card's edge is wrong in one of them.
    Moved,
    /// The photos were taken from nearly the same side.
    TooAlike,
    /// Fewer than two of them can be used.
    OneLeft,
}

/// What became of one photo.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Share {
    /// It carries the width.
    pub used: bool,
    /// Root mean square distance in px between its points and where all photos together put them.
    pub residual_px: Option<f64>,
    /// Its first point is the second one of the first photo.
    pub is_swapped: bool,
}

/// The width from several photos.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Joined {
    /// The width; of the surest single photo where they stand apart. Where they contradict each other it is that of all
    /// of them, and as unsure as they differ: one is wrong, and nothing says which.
    pub width: Width,
    /// One for each photo, in their order.
    pub shares: Vec<Share>,
    /// Why they were not joined.
    pub apart: Option<Apart>,
}

/// Joins the photos of one crab: all where they fit, without a photo that does not fit the others, or the surest one alone.
///
/// `None` when no photo gives a width. One photo is joined with nothing and no reason to stand apart.
pub fn join(views: &[View<'_>], height: &HeightPrior) -> Option<Joined> {
    let singles: Vec<Option<Estimate>> = views.iter().map(|view| Estimate::of(&[*view], height)).collect();
    let usable: Vec<usize> = (0..views.len()).filter(|&i| singles[i].is_some()).collect();
    let surest = usable.iter().copied().min_by(|&a, &b| u_of(&singles[a]).total_cmp(&u_of(&singles[b])))?;
    let alone = |apart| {
        let mut width = width_of(singles[surest].as_ref()?, height);
        let apart = if contradict(&singles) { Some(Apart::Moved) } else { apart };
        let stand_all = apart == Some(Apart::Moved);
        if stand_all {
            width.humps = all_alone(&singles);
            width.interval_mm = interval(&width.humps);
            (width.width_mm, width.u_mm) = moments(&width.humps);
        }
        let is_used = |i: usize| if stand_all { singles[i].is_some() } else { i == surest };
        let shares = (0..views.len()).map(|i| Share { used: is_used(i), ..Share::default() });
        Some(Joined { width, shares: shares.collect(), apart })
    };
    if usable.len() < 2 {
        return alone((views.len() > 1).then_some(Apart::OneLeft));
    }
    match together(views, &usable, height) {
        Ok((used, estimate)) => {
            let mut shares = vec![Share::default(); views.len()];
            for (place, &i) in used.iter().enumerate() {
                shares[i] = share(&estimate, place, &views[i]);
            }
            Some(Joined { width: width_of(&estimate, height), shares, apart: None })
        }
        Err(apart) => alone(Some(apart)),
    }
}

/// Two photos alone give widths that differ by more than both are unsure.
fn contradict(singles: &[Option<Estimate>]) -> bool {
    let widths: Vec<(f64, f64)> = singles.iter().flatten().map(|estimate| moments(&estimate.humps)).collect();
    widths
        .iter()
        .enumerate()
        .any(|(i, a)| widths[i + 1..].iter().any(|b| (a.0 - b.0).abs() > SAME_U * a.1.portable_hypot(b.1)))
}

/// The humps of all photos, each photo as likely as the other.
fn all_alone(singles: &[Option<Estimate>]) -> Vec<Hump> {
    let estimates: Vec<&Estimate> = singles.iter().flatten().collect();
    let share = 1.0 / estimates.len().max(1) as f64;
    let humps = estimates.iter().flat_map(|estimate| &estimate.humps);
    humps.map(|hump| Hump { weight: hump.weight * share, ..*hump }).collect()
}

fn u_of(single: &Option<Estimate>) -> f64 {
    single.as_ref().map_or(f64::MAX, |estimate| moments(&estimate.humps).1)
}

/// The largest set of photos that fit, with their estimate.
fn together(
    views: &[View<'_>],
    usable: &[usize],
    height: &HeightPrior,
) -> Result<(Vec<usize>, Estimate), Apart> {
    let estimate_of = |chosen: &[usize]| {
        let views: Vec<View<'_>> = chosen.iter().map(|&i| views[i]).collect();
        Estimate::of(&views, height).filter(|estimate| parallax_deg(estimate) >= LEAST_PARALLAX_DEG)
    };
    let mut chosen = usable.to_vec();
    let mut estimate = estimate_of(&chosen).ok_or(Apart::TooAlike)?;
    while !fits(&estimate, height) {
        if chosen.len() < 3 {
            return Err(Apart::Moved);
        }
        // Without which photo do the others fit best?
        let mut without: Vec<(f64, Vec<usize>, Estimate)> = (0..chosen.len())
            .filter_map(|left_out| {
                let rest: Vec<usize> = chosen
                    .iter()
                    .copied()
                    .enumerate()
                    .filter(|(k, _)| *k != left_out)
                    .map(|(_, i)| i)
                    .collect();
                let estimate = estimate_of(&rest)?;
                Some((estimate.misfit, rest, estimate))
            })
            .collect();
        without.sort_by(|a, b| a.0.total_cmp(&b.0));
        let rivals: Vec<&Estimate> =
            without.iter().map(|(_, _, estimate)| estimate).filter(|e| fits(e, height)).collect();
        if let [best, others @ ..] = rivals.as_slice()
            && others.iter().any(|other| differ(best, other))
        {
            return Err(Apart::Moved);
        }
        (_, chosen, estimate) = without.into_iter().next().ok_or(Apart::Moved)?;
    }
    Ok((chosen, estimate))
}

/// The rays meet, and at a height that some place of the card explains: a crab that moved along the line between the
/// cameras shows in nothing else.
fn fits(estimate: &Estimate, height: &HeightPrior) -> bool {
    let rays_meet = estimate.misfit <= chi_square_limit(degrees_of_freedom(estimate.views.len()) as f64);
    rays_meet && (estimate.height_off.abs() <= MOST_HEIGHT_OFF || placement_seen(estimate, height).is_some())
}

fn differ(a: &Estimate, b: &Estimate) -> bool {
    let u_mm = a.budget.total().portable_hypot(b.budget.total());
    (a.guess.width_mm() - b.guess.width_mm()).abs() > SAME_U * u_mm
}

/// Chi-square that a still crab exceeds once in a hundred.
///
/// Source: Wilson and Hilferty 1931, PNAS 17(12):684-688.
fn chi_square_limit(freedom: f64) -> f64 {
    let part = 2.0 / (9.0 * freedom);
    freedom * (1.0 - part + STILL_Z * part.sqrt()).powi(3)
}

/// The largest angle between two lines of sight to the middle of the shell, in degrees.
fn parallax_deg(estimate: &Estimate) -> f64 {
    let middle = (estimate.guess.points_mm[0] + estimate.guess.points_mm[1]) / 2.0;
    let sights: Vec<Vector3<f64>> = estimate
        .guess
        .cameras
        .iter()
        .map(|(_, pose)| (middle - pose.camera_in_card_mm()).normalize())
        .collect();
    let cosines = sights.iter().enumerate().flat_map(|(i, a)| sights[i + 1..].iter().map(|b| a.dot(b)));
    cosines.fold(1.0, f64::min).clamp(-1.0, 1.0).portable_acos().to_degrees()
}

fn share(estimate: &Estimate, place: usize, view: &View<'_>) -> Share {
    let none = Share { used: true, ..Share::default() };
    let Some((intrinsics, pose)) = estimate.guess.cameras.get(place) else { return none };
    let [a, b] = estimate.guess.points_mm.map(|point| to_photo(intrinsics, pose, &point));
    let (Some(a), Some(b)) = (a, b) else { return none };
    let marked = view.points.map(|marked| marked.point);
    let is_swapped = estimate.views[place].points[0].point != marked[0];
    let points = if is_swapped { [b, a] } else { [a, b] };
    let square = points[0].distance_px(marked[0]).powi(2) + points[1].distance_px(marked[1]).powi(2);
    Share { residual_px: Some((square / 2.0).sqrt()), is_swapped, ..none }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: chi-square table, 0.99 quantiles (NIST/SEMATECH e-Handbook, 1.3.6.7.4).
    #[test]
    fn the_limit_is_the_table_s() {
        for (freedom, expected) in [(2.0, 9.210), (6.0, 16.812), (10.0, 23.209), (14.0, 29.141)] {
            let limit = chi_square_limit(freedom);
            assert!((limit / expected - 1.0).abs() < 0.025, "{freedom}: {limit}");
        }
    }
}
