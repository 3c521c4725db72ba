//! Elementary functions that give the same bits on every machine.
//!
//! The four operations and the square root are fixed to the last bit by IEEE 754; sine, exponential and
//! their kin are not, and the standard library takes them from the platform: glibc natively, another code
//! in the page. A last bit in a card's corner then moved a proposed point by pixels, where a peak or a
//! threshold tipped. The measuring core therefore takes these functions from `libm`, everywhere.

/// The functions, under names that are told from the standard library's.
pub trait Portable: Sized {
    /// Sine of an angle in radians.
    #[must_use]
    fn portable_sin(self) -> Self;
    /// Cosine of an angle in radians.
    #[must_use]
    fn portable_cos(self) -> Self;
    /// Sine and cosine of an angle in radians.
    #[must_use]
    fn portable_sin_cos(self) -> (Self, Self);
    /// Angle whose cosine this is, in radians.
    #[must_use]
    fn portable_acos(self) -> Self;
    /// Angle of the point (`x`, `self`), in radians.
    #[must_use]
    fn portable_atan2(self, x: Self) -> Self;
    /// e to this power.
    #[must_use]
    fn portable_exp(self) -> Self;
    /// Natural logarithm.
    #[must_use]
    fn portable_ln(self) -> Self;
    /// This to the power `exponent`.
    #[must_use]
    fn portable_powf(self, exponent: Self) -> Self;
    /// Cube root.
    #[must_use]
    fn portable_cbrt(self) -> Self;
    /// Length of the hypotenuse over this and `other`.
    #[must_use]
    fn portable_hypot(self, other: Self) -> Self;
}

macro_rules! portable {
    ($float:ty: $sin:ident $cos:ident $acos:ident $atan2:ident $exp:ident $ln:ident $pow:ident $cbrt:ident
     $hypot:ident) => {
        impl Portable for $float {
            fn portable_sin(self) -> Self {
                libm::$sin(self)
            }
            fn portable_cos(self) -> Self {
                libm::$cos(self)
            }
            fn portable_sin_cos(self) -> (Self, Self) {
                (libm::$sin(self), libm::$cos(self))
            }
            fn portable_acos(self) -> Self {
                libm::$acos(self)
            }
            fn portable_atan2(self, x: Self) -> Self {
                libm::$atan2(self, x)
            }
            fn portable_exp(self) -> Self {
                libm::$exp(self)
            }
            fn portable_ln(self) -> Self {
                libm::$ln(self)
            }
            fn portable_powf(self, exponent: Self) -> Self {
                libm::$pow(self, exponent)
            }
            fn portable_cbrt(self) -> Self {
                libm::$cbrt(self)
            }
            fn portable_hypot(self, other: Self) -> Self {
                libm::$hypot(self, other)
            }
        }
    };
}
portable!(f64: sin cos acos atan2 exp log pow cbrt hypot);
portable!(f32: sinf cosf acosf atan2f expf logf powf cbrtf hypotf);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_name_stands_for_its_function() {
        // NIST Digital Library of Mathematical Functions, sections 4.2 and 4.17; 3-4-5 triangle.
        let check = |got: f64, expected: f64| assert!((got - expected).abs() < 1e-15, "{got} {expected}");
        check(1f64.portable_exp(), std::f64::consts::E);
        check(2f64.portable_ln(), std::f64::consts::LN_2);
        check(std::f64::consts::FRAC_PI_6.portable_sin(), 0.5);
        check(std::f64::consts::FRAC_PI_3.portable_cos(), 0.5);
        check((-1f64).portable_acos(), std::f64::consts::PI);
        check(1f64.portable_atan2(-1.0), 0.75 * std::f64::consts::PI);
        check(2f64.portable_powf(0.5), std::f64::consts::SQRT_2);
        check(27f64.portable_cbrt(), 3.0);
        check(3f64.portable_hypot(4.0), 5.0);
        assert_eq!(0f64.portable_sin_cos(), (0.0, 1.0));
    }
}
