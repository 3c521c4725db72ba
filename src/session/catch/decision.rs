//! What the rule says of the crab so far: recomputed after every action, never stored by hand.

use crate::decide::conformity::grey_zones;
use crate::decide::{Answer, Case, GreyZone, MeasuredWidth, Outcome, Risk, Size, decide};
use crate::rules::facts::{Bound, PublishedLength};
use crate::units::Millimetres;

use crate::session::Session;

/// A limit to draw on the ruler.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitInForce {
    /// As published, with what it is: `at least 6 1/4 in`.
    pub words: String,
    /// Where the width's spread leaves the decision to a gauge.
    pub zone: GreyZone,
}

impl Session {
    /// The confirmed width, as a decision takes it.
    pub fn measured(&self) -> Option<MeasuredWidth> {
        // Photos that show the card elsewhere than it was said to lie decide nothing until that is settled: a crab that
        // moved looks much the same.
        let width =
            self.width().filter(|width| self.is_width_confirmed() && width.placement_seen.is_none())?;
        let hint = self.photos().into_iter().find_map(|work| work.points_hint);
        Some(MeasuredWidth::new(&width, self.photo.dimension).with_hint(hint))
    }

    /// The next check or the verdict. `None` until a water is chosen.
    pub fn outcome(&self) -> Option<Outcome> {
        self.with_case(decide)
    }

    /// Calls `look` with all that a decision rests on.
    pub fn with_case<T>(&self, look: impl FnOnce(&Case<'_>) -> T) -> Option<T> {
        let rule = self.rules.in_force.as_ref()?;
        let measured = self.measured();
        let catch = self.catch_so_far();
        Some(look(&Case {
            rule,
            date: self.date(),
            // Another day has no "now".
            clock: self.clock.filter(|_| self.date() == self.today),
            answers: &self.crab.answers,
            measured: measured.as_ref(),
            gauge: self.crab.gauge.as_ref(),
            catch: &catch,
            confirmations: &self.rules.confirmations,
            risk: Risk::default(),
        }))
    }

    /// The limits that the width on the photo stands before, with their grey zones.
    pub fn limits_in_force(&self) -> Vec<LimitInForce> {
        let (Some(rule), Some(width)) = (&self.rules.in_force, self.width()) else { return Vec::new() };
        let measured = MeasuredWidth::new(&width, self.photo.dimension);
        let date = self.date();
        let sizes = rule.facts.sizes.iter().filter(|size| {
            let Some(when) = &size.when else { return true };
            let day_fits = when.days.is_none_or(|days| days.contains(date));
            let sex_fits = match (when.sex, self.crab.answers.sex) {
                (Some(wanted), Answer::Given(sex)) => wanted == sex,
                _ => true,
            };
            let stage_fits = match self.crab.answers.shell {
                Answer::Given(stage) => when.stage.is_empty() || when.stage.contains(&stage),
                _ => true,
            };
            day_fits && sex_fits && stage_fits
        });
        let mut limits = Vec::new();
        for size in sizes {
            let min = size.min.as_ref().and_then(|fact| published(fact.known()?));
            let max = size.max.as_ref().and_then(|fact| published(fact.known()?));
            let at = |length: &PublishedLength| length.exact.millimetres();
            limits.extend(
                min.and_then(|min| limit("at least", min, Size { min: Some(at(min)), max: None }, &measured)),
            );
            limits.extend(
                max.and_then(|max| limit("at most", max, Size { min: None, max: Some(at(max)) }, &measured)),
            );
        }
        limits.dedup_by(|a, b| a.words == b.words);
        limits
    }
}

fn published(bound: &Bound) -> Option<&PublishedLength> {
    match bound {
        Bound::None => None,
        Bound::At(length) => Some(length),
    }
}

fn limit(word: &str, length: &PublishedLength, size: Size, measured: &MeasuredWidth) -> Option<LimitInForce> {
    let zone = grey_zones(measured, size, Risk::default()).into_iter().next()?;
    let exact: Millimetres = length.exact.millimetres();
    let words = if length.published.contains("mm") {
        format!("{word} {}", length.published)
    } else {
        format!("{word} {} ({} mm)", length.published, (exact.0 * 100.0).round() / 100.0)
    };
    Some(LimitInForce { words, zone })
}
