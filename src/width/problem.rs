//! The least squares problem of one or more photos of one still crab and card: its unknowns, its evidence, and both
//! linearised.

use nalgebra::{DMatrix, DVector, Matrix2, Vector2, Vector3};

use super::HeightPrior;
use super::height::ASKEW_SHARE;
use super::view::Aligned;
use crate::camera::ippe::card_corners_mm;
use crate::camera::projection::{PARAMETERS, Projection};
use crate::camera::refine::moved;
use crate::camera::{Intrinsics, Pose};
use crate::card::ID1_MM;
use crate::portable::Portable;

/// Unknowns before those of the cameras: both points, x, y, z each.
pub(super) const POINTS: usize = 6;
/// Rows of evidence of one view: corners, points, principal point, focal length.
const ROWS: usize = 8 + 4 + 2 + 1;
/// Rows of evidence on the height: the mean and the difference of the two points.
const HEIGHT_ROWS: usize = 2;
/// What one lens at one setting differs by from photo to photo, relative: focusing moves it (common practice).
const REFOCUS_U: f64 = 0.003;
/// Beyond so many standard uncertainties the expected height counts less and less: a card said to lie elsewhere than it
/// does must not pull the points away from where rays meet (Cauchy's weight; 2.4 keeps 95 % of a normal's efficiency:
/// Holland and Welsch 1977, Communications in Statistics A6, 813, from memory).
const ROBUST_FROM: f64 = 2.385;
/// No evidence counts as surer than this, in px or mm.
const LEAST_U: f64 = 0.02;

/// What a row of evidence rests on: the parts of the budget.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Source {
    Corners,
    Points,
    Height,
    Focal,
}

/// The evidence.
pub(super) struct Problem<'a> {
    views: &'a [Aligned],
    /// From a point's offset in px to standard uncertainties, by view and point.
    point_roots: Vec<[Matrix2<f64>; 2]>,
    /// From the focal lengths' relative offsets to independent standard uncertainties.
    focal_root: DMatrix<f64>,
    height: &'a HeightPrior,
    height_u_mm: f64,
    askew_u_mm: f64,
}

/// A value of all unknowns.
#[derive(Debug, Clone)]
pub(super) struct Guess {
    pub cameras: Vec<(Intrinsics, Pose)>,
    /// In the card frame.
    pub points_mm: [Vector3<f64>; 2],
}

impl Guess {
    pub fn width_mm(&self) -> f64 {
        (self.points_mm[0] - self.points_mm[1]).norm()
    }

    /// How the width moves with the points.
    pub fn width_gradient(&self) -> DVector<f64> {
        let along = (self.points_mm[0] - self.points_mm[1]) / self.width_mm().max(1e-9);
        let mut gradient = DVector::zeros(POINTS + PARAMETERS * self.cameras.len());
        gradient.rows_mut(0, 3).copy_from(&along);
        gradient.rows_mut(3, 3).copy_from(&-along);
        gradient
    }

    pub fn height_mm(&self) -> f64 {
        0.5 * (self.points_mm[0].z + self.points_mm[1].z)
    }

    pub fn moved(&self, step: &DVector<f64>) -> Self {
        let points_mm = std::array::from_fn(|k| self.points_mm[k] + step.fixed_rows::<3>(3 * k));
        let cameras = self.cameras.iter().enumerate().map(|(i, (intrinsics, pose))| {
            moved(intrinsics, pose, &step.fixed_rows::<PARAMETERS>(POINTS + PARAMETERS * i).into())
        });
        Self { cameras: cameras.collect(), points_mm }
    }
}

/// Evidence against one guess, in standard uncertainties: residuals, how they move with the unknowns, what each rests on.
pub(super) struct Linear {
    pub residuals: DVector<f64>,
    pub jacobian: DMatrix<f64>,
    pub sources: Vec<Source>,
    /// Sum of squares, the heights' robust.
    pub cost: f64,
    /// The part of it that the expected height makes.
    pub height_cost: f64,
    /// Mean height against the expected one, in standard uncertainties.
    pub height_off: f64,
}

impl<'a> Problem<'a> {
    /// `width_mm`: about how wide the crab is; it scales the height's uncertainty.
    pub fn of(views: &'a [Aligned], height: &'a HeightPrior, width_mm: f64) -> Option<Self> {
        let root = |covariance: Matrix2<f64>| {
            let floor = Matrix2::identity() * LEAST_U * LEAST_U;
            (covariance + floor).cholesky()?.l().try_inverse()
        };
        let point_roots = views
            .iter()
            .map(|view| {
                let [left, right] = view.points.map(|marked| root(marked.covariance_px2));
                Some([left?, right?])
            })
            .collect::<Option<Vec<_>>>()?;
        Some(Self {
            views,
            point_roots,
            focal_root: focal_covariance(views).cholesky()?.l().try_inverse()?,
            height,
            height_u_mm: height.u_mm(width_mm).max(LEAST_U),
            askew_u_mm: (ASKEW_SHARE * width_mm).max(LEAST_U),
        })
    }

    /// The evidence against `guess`. `None` when something leaves a camera's front.
    pub fn at(&self, guess: &Guess) -> Option<Linear> {
        let count = self.views.len();
        let (rows, columns) = (ROWS * count + HEIGHT_ROWS, POINTS + PARAMETERS * count);
        let mut sheet = Sheet {
            residuals: DVector::zeros(rows),
            jacobian: DMatrix::zeros(rows, columns),
            sources: Vec::with_capacity(rows),
        };
        let mut focal = DVector::zeros(count);
        for (i, (view, (intrinsics, pose))) in self.views.iter().zip(&guess.cameras).enumerate() {
            let camera = POINTS + PARAMETERS * i;
            for ((corner, plane), u_px) in
                view.corners.iter().zip(card_corners_mm(ID1_MM)).zip(view.corner_u_px)
            {
                let seen = Projection::of(intrinsics, pose, &Vector3::new(plane.x, plane.y, 0.0))?;
                let whiten = Matrix2::identity() / u_px.max(LEAST_U);
                let off = Vector2::new(seen.at.x - corner.x, seen.at.y - corner.y);
                sheet.add(Source::Corners, &whiten, &off, &seen, camera, None);
            }
            for (k, (marked, whiten)) in view.points.iter().zip(&self.point_roots[i]).enumerate() {
                let seen = Projection::of(intrinsics, pose, &guess.points_mm[k])?;
                let off = Vector2::new(seen.at.x - marked.point.x, seen.at.y - marked.point.y);
                sheet.add(Source::Points, whiten, &off, &seen, camera, Some(3 * k));
            }
            let believed = view.prior.intrinsics;
            let u_px = view.prior.principal_u_px.max(LEAST_U);
            let (now, centre) = (intrinsics.principal_point, believed.principal_point);
            for (k, off) in [now.x - centre.x, now.y - centre.y].into_iter().enumerate() {
                let row = sheet.next(Source::Focal);
                sheet.residuals[row] = off / u_px;
                sheet.jacobian[(row, camera + 7 + k)] = 1.0 / u_px;
            }
            focal[i] = (intrinsics.focal_px / believed.focal_px).portable_ln();
        }
        let focal = &self.focal_root * focal;
        for i in 0..count {
            let row = sheet.next(Source::Focal);
            sheet.residuals[row] = focal[i];
            for k in 0..count {
                sheet.jacobian[(row, POINTS + PARAMETERS * k + 6)] = self.focal_root[(i, k)];
            }
        }
        let rays_cost = sheet.residuals.norm_squared();
        let (height_cost, height_off) = self.add_heights(&mut sheet, guess);
        let cost = rays_cost + height_cost;
        cost.is_finite().then_some(Linear {
            residuals: sheet.residuals,
            jacobian: sheet.jacobian,
            sources: sheet.sources,
            cost,
            height_cost,
            height_off,
        })
    }

    /// The expected height and that a crab stands but a little askew; gives their cost.
    fn add_heights(&self, sheet: &mut Sheet, guess: &Guess) -> (f64, f64) {
        let [left, right] = guess.points_mm;
        let mean = (guess.height_mm() - self.height.height_mm(guess.width_mm())) / self.height_u_mm;
        let apart = (left.z - right.z) / self.askew_u_mm;
        let by_width = -self.height.share / self.height_u_mm * guess.width_gradient().rows(0, POINTS);
        let mut by_mean = by_width;
        let mut by_apart = DVector::zeros(POINTS);
        for (z, side) in [(2, 1.0), (5, -1.0)] {
            by_mean[z] += 0.5 / self.height_u_mm;
            by_apart[z] = side / self.askew_u_mm;
        }
        let mut cost = 0.0;
        for (off, slope) in [(mean, by_mean), (apart, by_apart)] {
            let farness = (off / ROBUST_FROM).powi(2);
            let weight = (1.0 / (1.0 + farness)).sqrt();
            let row = sheet.next(Source::Height);
            sheet.residuals[row] = weight * off;
            sheet.jacobian.view_mut((row, 0), (1, POINTS)).copy_from(&(weight * slope.transpose()));
            cost += ROBUST_FROM * ROBUST_FROM * (1.0 + farness).portable_ln();
        }
        (cost, mean)
    }
}

/// Rows filled one after the other.
struct Sheet {
    residuals: DVector<f64>,
    jacobian: DMatrix<f64>,
    sources: Vec<Source>,
}

impl Sheet {
    fn next(&mut self, source: Source) -> usize {
        self.sources.push(source);
        self.sources.len() - 1
    }

    /// Two rows of a place that is `off` px from where it is seen.
    fn add(
        &mut self,
        source: Source,
        whiten: &Matrix2<f64>,
        off: &Vector2<f64>,
        seen: &Projection,
        camera: usize,
        point: Option<usize>,
    ) {
        let row = self.next(source);
        self.next(source);
        self.residuals.rows_mut(row, 2).copy_from(&(whiten * off));
        self.jacobian.view_mut((row, camera), (2, PARAMETERS)).copy_from(&(whiten * seen.by_camera));
        if let Some(point) = point {
            self.jacobian.view_mut((row, point), (2, 3)).copy_from(&(whiten * seen.by_point));
        }
    }
}

/// Covariance of the relative focal lengths: photos of one lens are off together, but for refocusing.
fn focal_covariance(views: &[Aligned]) -> DMatrix<f64> {
    DMatrix::from_fn(views.len(), views.len(), |i, k| {
        let u = |view: &Aligned| view.prior.focal_relative_u.max(1e-6);
        let (a, b) = (u(&views[i]), u(&views[k]));
        let one_lens = views[i].lens.is_some() && views[i].lens == views[k].lens;
        match i == k {
            true => a * b,
            false if one_lens => (a * b - REFOCUS_U * REFOCUS_U).max(0.0),
            false => 0.0,
        }
    })
}
