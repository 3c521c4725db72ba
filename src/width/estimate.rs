//! The width from one photo or many: every credible pose of each card is tried, all evidence is solved together.

use nalgebra::Vector3;

use super::fit::{Fit, fit};
use super::height::HeightPrior;
use super::problem::{Guess, Problem};
use super::rays::{nearest_to_rays, ray_in_card};
use super::view::{Aligned, View};
use super::{Budget, CARD_RELATIVE_U, Hump};
use crate::camera::refine::refine;
use crate::card::ID1_MM;
use crate::portable::Portable;

/// What one radial term of a phone's lens leaves between card and shell, relative (common practice).
const LENS_RELATIVE_U: f64 = 0.001;
/// Most combinations of poses and correspondences that are tried: six photos with two poses each.
const MOST_COMBINATIONS: usize = 64;
/// A combination less likely than this against the best is dropped: it would move no end of an interval.
const LEAST_WEIGHT: f64 = 0.003;
/// Widths nearer than this are one hump, in mm.
const SAME_WIDTH_MM: f64 = 0.01;

/// What views that belong together say.
pub(super) struct Estimate {
    /// The likeliest solution.
    pub guess: Guess,
    /// The views, with cards and points in the order of the first.
    pub views: Vec<Aligned>,
    /// Parts of the likeliest solution's standard uncertainty.
    pub budget: Budget,
    /// All credible solutions.
    pub humps: Vec<Hump>,
    /// Standard uncertainty of the mean height in mm.
    pub height_u_mm: f64,
    /// Mean height against the expected one, in standard uncertainties of the expectation.
    pub height_off: f64,
    /// Chi-square by which the rays of all views miss each other.
    pub misfit: f64,
}

impl Estimate {
    /// The views together. `None` when a ray does not meet the height plane or nothing holds the unknowns.
    pub fn of(views: &[View<'_>], height: &HeightPrior) -> Option<Self> {
        let mut tried: Vec<Tried> = Vec::new();
        for arrangement in arrangements(views, height)? {
            let own: Vec<Vec<f64>> = arrangement.iter().map(card_costs).collect();
            for poses in combinations(&arrangement) {
                let cards: f64 = own.iter().zip(&poses).map(|(costs, &pose)| costs[pose]).sum();
                if let Some(fit) = solve(&arrangement, &poses, height) {
                    let belief = arrangement.iter().zip(&poses).map(|(view, &pose)| view.poses[pose].weight);
                    let belief = belief.product();
                    // What joining adds to the cards' own misfit; the expected height speaks too.
                    let added = (fit.linear.cost - cards).max(0.0);
                    let misfit = (fit.rays_cost() - cards).max(0.0);
                    tried.push(Tried { views: arrangement.clone(), fit, belief, added, misfit });
                }
            }
        }
        let freedom = degrees_of_freedom(views.len());
        let least = tried.iter().map(|tried| tried.misfit).fold(f64::MAX, f64::min);
        // Rays that miss by more than told are worse than told: Birge's ratio, as for one card's corners.
        let inflation = if freedom == 0 { 1.0 } else { (least / freedom as f64).max(1.0) };
        let log_weight = |tried: &Tried| tried.belief.portable_ln() - 0.5 * tried.added / inflation;
        tried.sort_by(|a, b| log_weight(b).total_cmp(&log_weight(a)));
        let top = log_weight(tried.first()?);
        let mut humps: Vec<Hump> = Vec::new();
        for one in &tried {
            let weight = (log_weight(one) - top).portable_exp();
            let Some(budget) = one.fit.budget().filter(|_| weight >= LEAST_WEIGHT) else { continue };
            let mean_mm = one.fit.guess.width_mm();
            let budget = with_common_parts(budget, &one.views, mean_mm, inflation.sqrt());
            match humps.iter_mut().find(|hump| (hump.mean_mm - mean_mm).abs() < SAME_WIDTH_MM) {
                Some(same) => same.weight += weight,
                None => humps.push(Hump { weight, mean_mm, u_mm: budget.total() }),
            }
        }
        let total: f64 = humps.iter().map(|hump| hump.weight).sum();
        for hump in &mut humps {
            hump.weight /= total;
        }
        let best = tried.into_iter().next()?;
        let budget =
            with_common_parts(best.fit.budget()?, &best.views, best.fit.guess.width_mm(), inflation.sqrt());
        let finite = humps.iter().all(|hump| hump.u_mm.is_finite() && hump.mean_mm.is_finite());
        (finite && !humps.is_empty()).then_some(Self {
            height_u_mm: best.fit.height_u_mm()?,
            height_off: best.fit.linear.height_off,
            misfit: best.misfit,
            guess: best.fit.guess,
            views: best.views,
            budget,
            humps,
        })
    }
}

impl Estimate {
    /// Root mean square distance at the shell by which the rays of several photos miss the points, in mm.
    pub fn ray_miss_mm(&self) -> Option<f64> {
        let count = self.views.len();
        let mut square = 0.0;
        for (view, (intrinsics, pose)) in self.views.iter().zip(&self.guess.cameras) {
            for (marked, point) in view.points.iter().zip(&self.guess.points_mm) {
                let ray = ray_in_card(intrinsics, pose, marked.point);
                square += (point - pose.camera_in_card_mm()).cross(&ray).norm_squared();
            }
        }
        (count > 1).then(|| (square / (2 * count) as f64).sqrt())
    }
}

/// How many readings more than it needs the crossing of rays has: four coordinates a view, six for the points.
pub(super) fn degrees_of_freedom(views: usize) -> usize {
    (4 * views).saturating_sub(6)
}

struct Tried {
    views: Vec<Aligned>,
    fit: Fit,
    belief: f64,
    added: f64,
    misfit: f64,
}

/// The ways in which the views' cards and points may correspond to the first's.
fn arrangements(views: &[View<'_>], height: &HeightPrior) -> Option<Vec<Vec<Aligned>>> {
    let (first, others) = views.split_first()?;
    let first = Aligned::first(first);
    let places = first.expected_points(height)?;
    let mut arrangements = vec![vec![first]];
    for view in others {
        let ways = Aligned::first(view).like(&places, height);
        let longer: Vec<Vec<Aligned>> = arrangements
            .iter()
            .flat_map(|before| {
                ways.iter().map(|way| before.iter().cloned().chain([way.clone()]).collect::<Vec<_>>())
            })
            .take(MOST_COMBINATIONS)
            .collect();
        arrangements = longer;
    }
    Some(arrangements)
}

/// Chi-square of each pose's card alone, as corners and camera are believed now.
fn card_costs(view: &Aligned) -> Vec<f64> {
    let cost = |pose| {
        refine(pose, &view.corners, &view.corner_u_px, ID1_MM, &view.prior)
            .map_or(f64::MAX, |refined| refined.chi_square)
    };
    view.poses.iter().map(|pose| cost(&pose.pose)).collect()
}

/// One pose of each view, in all ways, the likelier poses first.
fn combinations(views: &[Aligned]) -> Vec<Vec<usize>> {
    let mut combinations = vec![Vec::new()];
    for view in views {
        combinations = combinations
            .iter()
            .flat_map(|before: &Vec<usize>| {
                (0..view.poses.len()).map(|pose| before.iter().copied().chain([pose]).collect::<Vec<_>>())
            })
            .take(MOST_COMBINATIONS)
            .collect();
    }
    combinations
}

fn solve(views: &[Aligned], poses: &[usize], height: &HeightPrior) -> Option<Fit> {
    let cameras =
        views.iter().zip(poses).map(|(view, &pose)| view.camera(pose)).collect::<Option<Vec<_>>>()?;
    let expected = views.first()?.expected_by(*poses.first()?, height)?;
    let mut points_mm = expected;
    if views.len() > 1 {
        for (which, point) in points_mm.iter_mut().enumerate() {
            let rays = views
                .iter()
                .zip(poses)
                .map(|(view, &pose)| view.ray(pose, which))
                .collect::<Option<Vec<(Vector3<f64>, Vector3<f64>)>>>()?;
            *point = nearest_to_rays(&rays, expected[which])?;
        }
    }
    let start = Guess { cameras, points_mm };
    fit(&Problem::of(views, height, start.width_mm())?, start)
}

/// The parts of `budget` as unsure as `inflation` times told, with what is the same in all photos: which spots are meant,
/// the lens, the card's size.
pub(super) fn with_common_parts(budget: Budget, views: &[Aligned], width_mm: f64, inflation: f64) -> Budget {
    let spot_u_mm = |which: usize| views.iter().map(|view| view.points[which].spot_u_mm).fold(0.0, f64::max);
    let spots_u_mm = spot_u_mm(0).portable_hypot(spot_u_mm(1));
    Budget {
        corners: budget.corners * inflation,
        points: (budget.points * inflation).portable_hypot(spots_u_mm),
        height: budget.height * inflation,
        focal: (budget.focal * inflation).portable_hypot(LENS_RELATIVE_U * width_mm),
        card: CARD_RELATIVE_U * width_mm,
    }
}
