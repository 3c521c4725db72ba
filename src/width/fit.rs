//! The least squares of a problem, and its uncertainty by the law of propagation.

use nalgebra::{Cholesky, DVector, Dyn};

use super::Budget;
use super::problem::{Guess, Linear, Problem, Source};

/// The unknowns at the least squares, with the evidence there.
pub(super) struct Fit {
    pub guess: Guess,
    pub linear: Linear,
}

/// Levenberg and Marquardt from `start`. `None` when something leaves a camera's front or nothing holds the unknowns.
///
/// Source: Marquardt 1963, J. Soc. Indust. Appl. Math. 11(2):431-441.
pub(super) fn fit(problem: &Problem<'_>, start: Guess) -> Option<Fit> {
    let mut guess = start;
    let mut linear = problem.at(&guess)?;
    let mut damping = 1e-6;
    for _ in 0..60 {
        let mut normal = linear.jacobian.tr_mul(&linear.jacobian);
        for i in 0..normal.nrows() {
            normal[(i, i)] *= 1.0 + damping;
        }
        let step = -normal.cholesky()?.solve(&linear.jacobian.tr_mul(&linear.residuals));
        let next = guess.moved(&step);
        match problem.at(&next) {
            Some(better) if better.cost <= linear.cost => {
                let gained = linear.cost - better.cost;
                (guess, linear) = (next, better);
                damping = (damping * 0.1).max(1e-12);
                // Hundredths of a micrometre and of a microradian: far below what is printed.
                if gained <= 1e-12 * (1.0 + linear.cost) && step.amax() < 1e-7 {
                    break;
                }
            }
            _ => {
                damping = (damping * 10.0).max(1e-9);
                if damping > 1e6 {
                    break;
                }
            }
        }
    }
    Some(Fit { guess, linear })
}

impl Fit {
    /// How a quantity that moves with the unknowns by `gradient` moves with each standard uncertainty of evidence.
    fn spread(&self, gradient: &DVector<f64>) -> Option<DVector<f64>> {
        let normal: Cholesky<f64, Dyn> = self.linear.jacobian.tr_mul(&self.linear.jacobian).cholesky()?;
        Some(&self.linear.jacobian * normal.solve(gradient))
    }

    /// Standard uncertainty of the width by its parts, all but the card's own size. Source: JCGM 100, 5.1.
    pub fn budget(&self) -> Option<Budget> {
        let spread = self.spread(&self.guess.width_gradient())?;
        let part = |source: Source| {
            let rows = spread.iter().zip(&self.linear.sources).filter(|(_, of)| **of == source);
            rows.map(|(by, _)| by * by).sum::<f64>().sqrt()
        };
        Some(Budget {
            corners: part(Source::Corners),
            points: part(Source::Points),
            height: part(Source::Height),
            focal: part(Source::Focal),
            card: 0.0,
        })
    }

    /// Standard uncertainty of the mean height in mm.
    pub fn height_u_mm(&self) -> Option<f64> {
        let mut gradient = DVector::zeros(self.linear.jacobian.ncols());
        (gradient[2], gradient[5]) = (0.5, 0.5);
        self.spread(&gradient).map(|spread| spread.norm())
    }

    /// What the rays and the cards miss each other by, without the expected height.
    pub fn rays_cost(&self) -> f64 {
        self.linear.cost - self.linear.height_cost
    }
}
