//! How long a pot's line must be, and how much of it floats: a sum.
//!
//! Scope is the length of the line against the depth: a current drags the buoy aside, and a line without any to spare
//! pulls it under. How much to spare is common practice, a quarter or more; the current of the place decides.

use crate::units::Metres;

/// What the sum says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineSum {
    /// Depth at high water.
    pub deepest: Metres,
    /// The line that is needed.
    pub line: Metres,
    /// What of it is to spare at low water, where boats cut what floats: weight it, or take a line that sinks.
    pub slack_at_low_water: Metres,
}

/// The sum for a depth at low water, the tide's rise above it, and a scope. `None` unless the depth is above 0, the rise
/// at least 0 and the scope at least 1, all finite.
pub fn line_needed(depth_at_low_water: Metres, tide: Metres, scope: f64) -> Option<LineSum> {
    let (depth_m, tide_m) = (depth_at_low_water.0, tide.0);
    let is_finite = [depth_m, tide_m, scope].iter().all(|value| value.is_finite());
    if !is_finite || depth_m <= 0.0 || tide_m < 0.0 || scope < 1.0 {
        return None;
    }
    let deepest_m = depth_m + tide_m;
    let line_m = scope * deepest_m;
    Some(LineSum {
        deepest: Metres(deepest_m),
        line: Metres(line_m),
        slack_at_low_water: Metres(line_m - depth_m),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_reaches_at_high_water_with_its_scope() {
        // 20 m at low water, 4 m of tide, a quarter to spare: 30 m, of which 10 m are slack at low water.
        let sum = line_needed(Metres(20.0), Metres(4.0), 1.25).expect("a sum");
        let LineSum { deepest, line, slack_at_low_water } = sum;
        assert_eq!((deepest.0, line.0, slack_at_low_water.0), (24.0, 30.0, 10.0));
    }

    #[test]
    fn what_no_water_has_gives_no_sum() {
        for (depth, tide, scope) in
            [(0.0, 1.0, 1.3), (-5.0, 1.0, 1.3), (5.0, -1.0, 1.3), (5.0, 1.0, 0.9), (f64::NAN, 1.0, 1.3)]
        {
            assert_eq!(line_needed(Metres(depth), Metres(tide), scope), None);
        }
    }
}
