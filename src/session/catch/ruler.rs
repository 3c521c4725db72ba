//! The ruler: the width as a hill, the limit as a post, and the zone where only a gauge can decide.

use crate::width::Hump;

/// Half a hill is drawn out to this many standard uncertainties: beyond it is under 0.3 % of it.
const HILL_REACH: f64 = 3.0;
/// The ruler shows at least this much, so that a millimetre stays a visible step.
const LEAST_SPAN_MM: f64 = 20.0;
/// Steps of a hill's outline.
const HILL_STEPS: usize = 64;

/// What part of a ruler is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ruler {
    /// Left end in mm.
    pub low_mm: f64,
    /// Right end in mm.
    pub high_mm: f64,
    /// Between small marks, in mm.
    pub tick_mm: f64,
    /// Between figures, in mm.
    pub figure_mm: f64,
    /// Between inch marks, in sixteenths.
    pub tick_sixteenths: u32,
}

/// A mark on the ruler.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tick {
    /// Where, in mm.
    pub at_mm: f64,
    /// Carries a figure.
    pub has_figure: bool,
}

impl Ruler {
    /// The part that holds all humps, and the marks at `posts_mm` with their zone.
    ///
    /// `None` when nothing finite is to be shown.
    pub fn showing(humps: &[Hump], posts_mm: &[f64]) -> Option<Self> {
        let hill_ends = humps
            .iter()
            .flat_map(|hump| [hump.mean_mm - HILL_REACH * hump.u_mm, hump.mean_mm + HILL_REACH * hump.u_mm]);
        let post_ends = posts_mm.iter().flat_map(|post| [post - 2.0, post + 2.0]);
        let ends: Vec<f64> = hill_ends.chain(post_ends).filter(|end| end.is_finite()).collect();
        let low = ends.iter().copied().reduce(f64::min)?;
        let high = ends.iter().copied().reduce(f64::max)?;
        let lacking = (LEAST_SPAN_MM - (high - low)).max(0.0) / 2.0;
        let (low_mm, high_mm) = ((low - lacking).floor(), (high + lacking).ceil());
        let span = high_mm - low_mm;
        let (tick_mm, figure_mm, tick_sixteenths) = match span {
            ..=36.0 => (1.0, 5.0, 1),
            ..=80.0 => (1.0, 10.0, 4),
            ..=200.0 => (5.0, 20.0, 8),
            _ => (10.0, 100.0, 16),
        };
        Some(Self { low_mm, high_mm, tick_mm, figure_mm, tick_sixteenths })
    }

    /// Where `mm` lies, 0 at the left end and 1 at the right one, held to the ruler.
    pub fn position(&self, mm: f64) -> f64 {
        ((mm - self.low_mm) / (self.high_mm - self.low_mm)).clamp(0.0, 1.0)
    }

    /// The millimetre marks.
    pub fn ticks(&self) -> Vec<Tick> {
        let first = (self.low_mm / self.tick_mm).ceil() as i64;
        let last = (self.high_mm / self.tick_mm).floor() as i64;
        let every = (self.figure_mm / self.tick_mm).round() as i64;
        (first..=last)
            .take(1000)
            .map(|step| Tick { at_mm: step as f64 * self.tick_mm, has_figure: step % every == 0 })
            .collect()
    }

    /// The inch marks, in sixteenths.
    pub fn inch_ticks(&self) -> Vec<i64> {
        let sixteenth = crate::units::MM_PER_INCH / 16.0;
        let step = i64::from(self.tick_sixteenths);
        let first = (self.low_mm / sixteenth / step as f64).ceil() as i64;
        let last = (self.high_mm / sixteenth / step as f64).floor() as i64;
        (first..=last).take(1000).map(|at| at * step).collect()
    }

    /// Outline of the hill: positions along the ruler and heights, both 0 to 1.
    pub fn hill(&self, humps: &[Hump]) -> Vec<(f64, f64)> {
        let height = |mm: f64| -> f64 {
            humps
                .iter()
                .filter(|hump| hump.u_mm > 0.0)
                .map(|hump| {
                    let away = (mm - hump.mean_mm) / hump.u_mm;
                    hump.weight / hump.u_mm * (-0.5 * away * away).exp()
                })
                .sum()
        };
        let span = self.high_mm - self.low_mm;
        let at = |step: usize| self.low_mm + span * step as f64 / HILL_STEPS as f64;
        let mut places: Vec<f64> =
            (0..=HILL_STEPS).map(at).chain(humps.iter().map(|hump| hump.mean_mm)).collect();
        places.retain(|mm| self.low_mm <= *mm && *mm <= self.high_mm);
        places.sort_by(f64::total_cmp);
        let top = places.iter().map(|&mm| height(mm)).fold(f64::MIN_POSITIVE, f64::max);
        places.into_iter().map(|mm| (self.position(mm), height(mm) / top)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hump(mean_mm: f64, u_mm: f64) -> Hump {
        Hump { weight: 1.0, mean_mm, u_mm }
    }

    #[test]
    fn hill_and_post_are_both_in_sight() {
        let ruler = Ruler::showing(&[hump(171.0, 1.5)], &[158.75]).expect("a ruler");
        assert!(ruler.low_mm <= 156.75 && 175.5 <= ruler.high_mm, "{ruler:?}");
    }

    #[test]
    fn a_sharp_width_still_shows_twenty_millimetres() {
        let ruler = Ruler::showing(&[hump(160.0, 0.3)], &[158.75]).expect("a ruler");
        assert!(ruler.high_mm - ruler.low_mm >= 20.0);
        assert_eq!(ruler.tick_mm, 1.0);
    }

    #[test]
    fn the_hill_is_highest_at_the_width() {
        let humps = [hump(160.0, 1.5)];
        let ruler = Ruler::showing(&humps, &[158.75]).expect("a ruler");
        let hill = ruler.hill(&humps);
        let top = hill.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)).expect("a top");
        assert!((top.0 - ruler.position(160.0)).abs() < 1e-12);
        assert!((top.1 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn two_humps_give_two_tops() {
        let humps = [
            Hump { weight: 0.6, mean_mm: 156.0, u_mm: 0.8 },
            Hump { weight: 0.4, mean_mm: 162.0, u_mm: 0.8 },
        ];
        let ruler = Ruler::showing(&humps, &[158.75]).expect("a ruler");
        let hill = ruler.hill(&humps);
        let tops =
            hill.windows(3).filter(|three| three[0].1 < three[1].1 && three[1].1 >= three[2].1).count();
        assert_eq!(tops, 2);
    }

    #[test]
    fn inch_marks_are_where_inches_are() {
        let ruler = Ruler::showing(&[hump(160.0, 1.0)], &[158.75]).expect("a ruler");
        assert!(ruler.inch_ticks().contains(&100), "6 1/4 in is 158.75 mm");
        assert!(ruler.ticks().iter().any(|tick| tick.at_mm == 160.0 && tick.has_figure));
    }

    #[test]
    fn nothing_to_show_is_no_ruler() {
        assert_eq!(Ruler::showing(&[], &[]), None);
        assert_eq!(Ruler::showing(&[hump(f64::NAN, 1.0)], &[]), None);
    }
}
