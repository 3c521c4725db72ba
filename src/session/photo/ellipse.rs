//! The uncertainty of a point as an ellipse to draw.

use nalgebra::Matrix2;

/// An ellipse round a point, in photo pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Longer half axis.
    pub major_px: f64,
    /// Shorter half axis.
    pub minor_px: f64,
    /// Direction of the longer axis, in degrees from x towards y.
    pub angle_deg: f64,
}

/// Coverage factor: two standard uncertainties. Source: JCGM 100, 6.3 (k = 2).
const COVERAGE_FACTOR: f64 = 2.0;

impl Ellipse {
    /// The ellipse of two standard uncertainties; `None` for what is no covariance.
    pub fn of(covariance_px2: &Matrix2<f64>) -> Option<Self> {
        let [a, b, c] = [covariance_px2[(0, 0)], covariance_px2[(0, 1)], covariance_px2[(1, 1)]];
        let mean = (a + c) / 2.0;
        let spread = ((a - c) / 2.0).hypot(b);
        let (large, small) = (mean + spread, (mean - spread).max(0.0));
        (large.is_finite() && large > 0.0).then(|| Self {
            major_px: COVERAGE_FACTOR * large.sqrt(),
            minor_px: COVERAGE_FACTOR * small.sqrt(),
            angle_deg: (2.0 * b).atan2(a - c).to_degrees() / 2.0,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_of_a_turned_covariance_are_found() {
        // Standard uncertainties 3 and 1 px, turned by 30 degrees: C = R diag(9, 1) R^T.
        let (sin, cos) = 30_f64.to_radians().sin_cos();
        let turn = Matrix2::new(cos, -sin, sin, cos);
        let covariance = turn * Matrix2::new(9.0, 0.0, 0.0, 1.0) * turn.transpose();
        let ellipse = Ellipse::of(&covariance).expect("a covariance");
        assert!((ellipse.major_px - 6.0).abs() < 1e-9);
        assert!((ellipse.minor_px - 2.0).abs() < 1e-9);
        assert!((ellipse.angle_deg - 30.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_covariance_draws_nothing() {
        assert_eq!(Ellipse::of(&Matrix2::zeros()), None);
        assert_eq!(Ellipse::of(&Matrix2::new(f64::NAN, 0.0, 0.0, 1.0)), None);
    }
}
