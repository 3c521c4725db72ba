//! Sizes of a person's own rule: one for all crabs, or a change to each of the sizes that differ.

use serde::{Deserialize, Serialize};

use super::{Citer, FormMistake, OwnRule};
use crate::rules::Cited;
use crate::rules::facts::{Bound, MeasuredDimension, PublishedLength, SizeRule};

/// A legal size outside this was written in another unit than it is in. The packs have 63.5 to 178 mm; half and twice that.
const CREDIBLE_SIZE_MM: std::ops::RangeInclusive<f64> = 30.0..=360.0;
/// One that is farther than this factor from every size that holds now was too. Sizes of soft and hard shells of one
/// kind differ by 1.5 at most in the packs.
const CREDIBLE_CHANGE: f64 = 1.5;

/// What the form says of one of the sizes that hold now.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct OwnSize {
    /// The size it changes, as [`SizeRule::words`] has it: a rule that was changed meanwhile is not hit.
    pub of: String,
    /// Smallest size as published; `none` where none is prescribed; left out: as it is.
    pub min: Option<String>,
    /// Largest size, in the same way.
    pub max: Option<String>,
}

/// True when sizes differ by sex, stage or day, or stand beside each other: one figure is not put for all.
pub fn sizes_differ(sizes: &[SizeRule]) -> bool {
    sizes.len() > 1 || sizes.iter().any(|size| size.when.is_some())
}

/// The sizes after the form; `None` where it says nothing of sizes.
pub(super) fn own_sizes(
    held: &[SizeRule],
    own: &OwnRule,
    cite: &Citer<'_>,
    mistakes: &mut Vec<FormMistake>,
) -> Option<Vec<SizeRule>> {
    let is_said = own.min.is_some() || own.max.is_some() || own.dimension.is_some();
    if !is_said && own.sizes.is_empty() {
        return None;
    }
    let mut form = Form { own, cite, held, mistakes };
    let sizes = if own.for_all || !sizes_differ(held) { form.one(held) } else { form.each(held) };
    for size in &sizes {
        form.check_order(size);
    }
    Some(sizes)
}

struct Form<'a> {
    own: &'a OwnRule,
    cite: &'a Citer<'a>,
    held: &'a [SizeRule],
    mistakes: &'a mut Vec<FormMistake>,
}

impl Form<'_> {
    fn mistake(&mut self, field: &str, words: &str) {
        let mistake = FormMistake { field: field.to_owned(), words: words.to_owned() };
        if !self.mistakes.contains(&mistake) {
            self.mistakes.push(mistake);
        }
    }

    /// A bound that was written; `None` where the field was left out or is wrong.
    fn bound(&mut self, field: &str, text: Option<&str>) -> Option<Cited<Bound>> {
        let text = text?;
        let bound = if text.trim().eq_ignore_ascii_case("none") {
            Some(Bound::None)
        } else {
            PublishedLength::parse(text).map(Bound::At)
        };
        if bound.is_none() {
            self.mistake(field, "write a number and a unit, such as 6 1/4 in or 115 mm");
        }
        if let Some(Bound::At(length)) = &bound {
            self.check_unit(field, length);
        }
        bound.map(|bound| self.cite.cite(bound))
    }

    /// 16 mm that was meant as 16 cm lets every crab be kept.
    fn check_unit(&mut self, field: &str, length: &PublishedLength) {
        let mm = length.exact.millimetres().0;
        // A largest size says nothing of a smallest one.
        let is_min = field.ends_with("min");
        let bounds =
            self.held.iter().filter_map(|size| if is_min { size.min.as_ref() } else { size.max.as_ref() });
        let known: Vec<f64> = bounds
            .filter_map(|bound| match bound.known() {
                Some(Bound::At(length)) => Some(length.exact.millimetres().0),
                Some(Bound::None) | None => None,
            })
            .collect();
        let is_near = |other: &f64| (1.0 / CREDIBLE_CHANGE..=CREDIBLE_CHANGE).contains(&(mm / other));
        if !CREDIBLE_SIZE_MM.contains(&mm) {
            self.mistake(field, "no crab has such a legal size: look at the number and its unit");
        } else if !known.is_empty() && !known.iter().any(is_near) {
            self.mistake(field, "this is far from the size that holds here: look at the number and its unit");
        }
    }

    /// One size for all crabs and days. A bound that was left out stays where all sizes agree on it.
    fn one(&mut self, held: &[SizeRule]) -> Vec<SizeRule> {
        if !self.own.sizes.is_empty() {
            self.mistake("min", "change single sizes, or write one for all, not both");
        }
        let min = self.bound("min", self.own.min.as_deref());
        let max = self.bound("max", self.own.max.as_deref());
        let old = held.first();
        let min = min.or_else(|| self.common("min", held, |size| size.min.as_ref()));
        let max = max.or_else(|| self.common("max", held, |size| size.max.as_ref()));
        let agree =
            held.iter().all(|size| Some(size.dimension.known()) == old.map(|old| old.dimension.known()));
        if !agree && self.own.dimension.is_none() {
            self.mistake("dimension", "the sizes here are measured in several ways: choose one");
        }
        let dimension = match (self.own.dimension, old) {
            (Some(dimension), _) => self.cite.cite(dimension),
            (None, Some(old)) => old.dimension.clone(),
            (None, None) => self.cite.cite(MeasuredDimension::NotStated),
        };
        let landmarks = old.filter(|_| self.own.dimension.is_none()).and_then(|old| old.landmarks.clone());
        let size = SizeRule { when: None, dimension, landmarks, min, max };
        for old in held {
            self.check_dimension(old, &size);
        }
        vec![size]
    }

    /// The bound on which all sizes agree; where they do not, leaving it out would loosen some of them.
    fn common(
        &mut self,
        field: &str,
        held: &[SizeRule],
        bound: impl Fn(&SizeRule) -> Option<&Cited<Bound>>,
    ) -> Option<Cited<Bound>> {
        let first = held.first().and_then(&bound);
        let agree =
            held.iter().all(|size| bound(size).and_then(Cited::known) == first.and_then(Cited::known));
        if !agree {
            self.mistake(field, "the sizes here differ: write the one for all, or none");
        }
        first.cloned()
    }

    /// A change to each of the sizes that differ.
    fn each(&mut self, held: &[SizeRule]) -> Vec<SizeRule> {
        for (field, is_written) in [("min", self.own.min.is_some()), ("max", self.own.max.is_some())] {
            if is_written {
                let words = "the sizes here differ by sex, stage or day: change each of them, or say that yours \
                             holds for all crabs and days";
                self.mistake(field, words);
            }
        }
        let mut sizes = held.to_vec();
        for (at, changed) in self.own.sizes.iter().enumerate() {
            let min = self.bound(&format!("sizes[{at}].min"), changed.min.as_deref());
            let max = self.bound(&format!("sizes[{at}].max"), changed.max.as_deref());
            let mut is_found = false;
            for (size, _) in sizes.iter_mut().zip(held).filter(|(_, old)| old.words() == changed.of) {
                is_found = true;
                size.min = min.clone().or(size.min.take());
                size.max = max.clone().or(size.max.take());
            }
            if !is_found {
                self.mistake(
                    &format!("sizes[{at}]"),
                    "the rule was changed meanwhile: look at its sizes again",
                );
            }
        }
        if let Some(dimension) = self.own.dimension {
            for (size, old) in sizes.iter_mut().zip(held) {
                size.dimension = self.cite.cite(dimension);
                size.landmarks = None;
                self.check_dimension(old, size);
            }
        }
        sizes
    }

    /// The same number between other points is another rule: each figure must then be written anew.
    fn check_dimension(&mut self, old: &SizeRule, new: &SizeRule) {
        let known = old.dimension.known().filter(|known| **known != MeasuredDimension::NotStated);
        if known.is_none() || known == new.dimension.known() {
            return;
        }
        let is_left = |old: &Option<Cited<Bound>>, new: &Option<Cited<Bound>>| {
            let is_figure = matches!(old.as_ref().and_then(Cited::known), Some(Bound::At(_)));
            is_figure && old == new
        };
        if is_left(&old.min, &new.min) || is_left(&old.max, &new.max) {
            self.mistake(
                "dimension",
                "between other points the size is another figure: write each size anew",
            );
        }
    }

    fn check_order(&mut self, size: &SizeRule) {
        let figure = |bound: &Option<Cited<Bound>>| match bound.as_ref().and_then(Cited::known) {
            Some(Bound::At(length)) => Some(length.exact),
            Some(Bound::None) | None => None,
        };
        if let (Some(min), Some(max)) = (figure(&size.min), figure(&size.max))
            && min > max
        {
            self.mistake("max", "the largest size is below the smallest");
        }
    }
}
