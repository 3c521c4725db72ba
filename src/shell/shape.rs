//! Where the measuring points lie on a shell whose body is known: proportions by species.

use crate::terms::Dimension;

/// A measuring point relative to the body's middle, in units of the square root of the body's area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proportions {
    /// Distance along the long axis.
    pub reach: f64,
    /// Distance towards the front, across it.
    pub ahead: f64,
    /// Third moment (standardised skewness) of the body across its long axis, towards the back: near 0 for
    /// shells as broad behind as before.
    pub skew: f64,
}

const fn proportions(reach: f64, ahead: f64, skew: f64) -> Proportions {
    Proportions { reach, ahead, skew }
}

/// The proportions to expect. They are broad means over the outlines of rendered shells, whose shapes follow
/// the general look of each species; single shells differ by 0.01 in reach and 0.02 ahead. More than one
/// where the species is not known.
pub fn expected(species: Option<&str>, dimension: Dimension) -> &'static [Proportions] {
    const NOTCH: [Proportions; 5] = [
        proportions(0.670, 0.052, 0.0),
        proportions(0.656, 0.050, 0.0),
        proportions(0.690, 0.060, 0.0),
        proportions(0.700, 0.108, 0.075),
        proportions(0.590, 0.200, 0.13),
    ];
    const TIPS: [Proportions; 5] = [
        proportions(0.722, 0.030, 0.0),
        proportions(0.700, 0.015, 0.0),
        proportions(0.713, 0.020, 0.0),
        proportions(0.947, 0.104, 0.075),
        proportions(0.667, 0.180, 0.13),
    ];
    let all = match dimension {
        Dimension::Notch => &NOTCH,
        Dimension::Tips | Dimension::Widest => &TIPS,
    };
    let one = |i: usize| &all[i..=i];
    match species {
        Some("dungeness") => one(0),
        Some("red-rock") => one(1),
        Some("brown") => one(2),
        Some("blue") => one(3),
        Some("green") => one(4),
        _ => all,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A blue crab's lateral spines reach far beyond its body (Williams 1974, The swimming crabs of the genus
    /// Callinectes: width with spines over 2 times the length; from memory); a cancrid's last teeth do not.
    #[test]
    fn spines_reach_farther_than_teeth_and_the_unknown_has_every_shape() {
        let reach = |species| expected(Some(species), Dimension::Tips)[0].reach;
        for cancrid in ["dungeness", "red-rock", "brown", "green"] {
            assert!(reach("blue") > 1.2 * reach(cancrid));
        }
        assert_eq!(expected(None, Dimension::Notch).len(), 5);
        for species in ["dungeness", "red-rock", "brown", "blue"] {
            assert!(reach(species) > expected(Some(species), Dimension::Notch)[0].reach, "{species}");
        }
    }
}
