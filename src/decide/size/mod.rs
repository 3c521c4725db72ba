//! Size: the photo where it can tell, the gauge where it cannot.
//!
//! [`measured`] is a width with what is known of it, [`conformity`] its probability of keeping a limit, [`alone`] the
//! answer of who asks for the size and nothing else, `words` its figures in a sentence.

pub mod alone;
pub mod conformity;
pub mod measured;
pub(in crate::decide) mod words;

use self::conformity::{Conformity, Size, conformity, grey_zones};
use self::measured::MeasuredWidth;
use crate::decide::answers::Check;
use crate::decide::case::{Case, GaugeReading};
use crate::decide::findings::{CitedRule, Finding, NextAct, Notice, Reason};
use crate::decide::standing::{Fit, Standing, is_firm, worst};
use crate::decide::topics::unclear;
use crate::portable::Portable;
use crate::rules::facts::{Bound, SizeRule};
use crate::rules::species::Share;
use crate::rules::words::InWords;
use crate::rules::{FactRef, Length, MeasuredDimension, Topic};
use crate::terms::Dimension;
use crate::terms::PointsHint;
use crate::width::{CREDIBLE_WIDTHS_MM, Hump};

/// How the crab stands to the sizes.
pub(super) fn size(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    width_notices(case, notices);
    let standings: Vec<Standing> = case
        .rule
        .facts
        .sizes
        .iter()
        .filter_map(|rule| match case.fit(rule.when.as_ref()) {
            Fit::No => None,
            Fit::Ask(check) => Some(Standing::Open(check)),
            Fit::Unsure(check) => Some(Standing::Unsure(check)),
            Fit::Yes => Some(one_rule(case, rule)),
        })
        .collect();
    if standings.is_empty() {
        return unclear(case, Topic::MinSize, None);
    }
    worst(standings)
}

/// A size rule with what the pack knows of it.
struct Bounds {
    min: Option<Length>,
    max: Option<Length>,
    /// Figures and the dimension, cited; the figure first.
    cited: Vec<CitedRule>,
    /// Topics the pack does not know.
    not_known: Vec<Topic>,
}

fn one_rule(case: &Case<'_>, rule: &SizeRule) -> Standing {
    let bounds = bounds(case, rule);
    if let Some(&topic) = bounds.not_known.first() {
        return unclear(case, topic, bounds.cited.into_iter().find(|cited| cited.topic == topic));
    }
    if bounds.cited.is_empty() {
        return unclear(case, Topic::MinSize, None);
    }
    if bounds.min.is_none() && bounds.max.is_none() {
        return confirmed(case, Finding::NoSizeLimit, &bounds);
    }
    let dimension = rule.dimension.known().copied().unwrap_or(MeasuredDimension::NotStated);
    if let Some(&reading) = case.gauge {
        return by_gauge(case, reading, bounds, rule);
    }
    let Some(wanted) = dimension.by_photo() else {
        let rule = bounds.cited.first().cloned();
        return Standing::Gauge(Reason { finding: Finding::NotByPhoto { dimension }, rule });
    };
    match case.measured.filter(|measured| measured.dimension == wanted) {
        Some(measured) => by_photo(case, measured, bounds, cite_dimension(case, rule)),
        None => Standing::Open(Check::Size),
    }
}

fn bounds(case: &Case<'_>, rule: &SizeRule) -> Bounds {
    let mut bounds = Bounds { min: None, max: None, cited: Vec::new(), not_known: Vec::new() };
    let figures =
        [(Topic::MinSize, &rule.min, rule.min_words()), (Topic::MaxSize, &rule.max, rule.max_words())];
    for (topic, fact, words) in figures {
        let (Some(fact), Some(words)) = (fact, words) else { continue };
        bounds.cited.push(case.cite(topic, fact, rule.bound_key(fact), words));
        match (fact.known(), topic) {
            (None, _) => bounds.not_known.push(topic),
            (Some(Bound::At(length)), Topic::MinSize) => bounds.min = Some(length.exact),
            (Some(Bound::At(length)), _) => bounds.max = Some(length.exact),
            (Some(Bound::None), _) => {}
        }
    }
    bounds
}

fn cite_dimension(case: &Case<'_>, rule: &SizeRule) -> CitedRule {
    let words = rule.dimension.known().map_or_else(|| "not known".to_owned(), InWords::in_words);
    case.cite(Topic::Dimension, &rule.dimension, rule.dimension_key(), words)
}

/// A gauge says that a crab is of size between the points it was held to: it keeps where the rule is known to name
/// these points, has no largest size besides, and no photo says the contrary. What it says is too small goes back
/// wherever it was held.
fn by_gauge(case: &Case<'_>, reading: GaugeReading, mut bounds: Bounds, rule: &SizeRule) -> Standing {
    let (words, is_of_size) = match reading {
        GaugeReading::OfSize => ("so the gauge says".to_owned(), true),
        GaugeReading::NotOfSize => ("so the gauge says".to_owned(), false),
        GaugeReading::Reads(length) => {
            let fits =
                bounds.min.is_none_or(|min| min <= length) && bounds.max.is_none_or(|max| length <= max);
            (format!("it reads {length}"), fits)
        }
    };
    let finding = Finding::SizeByGauge { reading: words, is_of_size };
    if !is_of_size {
        let is_too_wide =
            matches!(reading, GaugeReading::Reads(length) if bounds.max.is_some_and(|max| max < length));
        let broken = if is_too_wide { Topic::MaxSize } else { Topic::MinSize };
        let rule = bounds.cited.iter().find(|cited| cited.topic == broken).or(bounds.cited.first());
        return Standing::Fails(Reason { finding, rule: rule.cloned() });
    }
    if let Some(finding) = gauge_doubt(case, reading, &bounds, rule) {
        return Standing::Gauge(Reason { finding, rule: bounds.cited.first().cloned() });
    }
    let dimension = cite_dimension(case, rule);
    match rule.dimension.known() {
        None | Some(MeasuredDimension::NotStated) => unclear(case, Topic::Dimension, Some(dimension)),
        Some(_) => {
            bounds.cited.push(dimension);
            confirmed(case, finding, &bounds)
        }
    }
}

/// What speaks against a gauge's word that a crab is of size.
fn gauge_doubt(case: &Case<'_>, reading: GaugeReading, bounds: &Bounds, rule: &SizeRule) -> Option<Finding> {
    match reading {
        // Which arm or edge was held to it is not said: one word is no word on two limits.
        GaugeReading::OfSize if bounds.max.is_some() => return Some(Finding::GaugeOfOneLimit),
        GaugeReading::Reads(length) if is_no_crabs(length.millimetres().0, 0.0) => {
            return Some(Finding::UnlikelyWidth { width_mm: length.millimetres().0 });
        }
        _ => {}
    }
    let wanted = rule.dimension.known().and_then(|dimension| dimension.by_photo())?;
    let measured = case.measured.filter(|measured| measured.dimension == wanted)?;
    let size = Size { min: bounds.min.map(Length::millimetres), max: bounds.max.map(Length::millimetres) };
    // One photo that shows it short is enough: which of them is of the crab in hand is not known.
    let alone = |humps: &Vec<Hump>| MeasuredWidth { humps: humps.clone(), ..measured.clone() };
    let against =
        std::iter::once(measured.clone()).chain(measured.alone.iter().map(alone)).find(|measured| {
            conformity(measured, size, case.risk).is_some_and(|(_, found)| found == Conformity::Fails)
        })?;
    let (width_mm, u_mm) = moments(&against);
    Some(Finding::GaugeAgainstPhoto { width_mm, u_mm })
}

fn by_photo(case: &Case<'_>, measured: &MeasuredWidth, mut bounds: Bounds, dimension: CitedRule) -> Standing {
    let size = Size { min: bounds.min.map(Length::millimetres), max: bounds.max.map(Length::millimetres) };
    let Some((probability, found)) = conformity(measured, size, case.risk) else {
        return Standing::Open(Check::Size);
    };
    let (width_mm, u_mm) = moments(measured);
    let zones = grey_zones(measured, size, case.risk);
    let finding = Finding::SizeByPhoto { width_mm, u_mm, probability, size, conformity: found, zones };
    let rule = bounds.cited.first().cloned();
    match found {
        Conformity::Fails => Standing::Fails(Reason { finding, rule }),
        Conformity::GaugeByHand => Standing::Gauge(Reason { finding, rule }),
        Conformity::Conforms if wrong_points_would_tell(case, measured, size) => {
            Standing::Gauge(Reason { finding: Finding::WrongPointsLikely, rule })
        }
        Conformity::Conforms if is_no_crabs(width_mm, u_mm) => {
            Standing::Gauge(Reason { finding: Finding::UnlikelyWidth { width_mm }, rule })
        }
        Conformity::Conforms => {
            bounds.cited.push(dimension);
            confirmed(case, finding, &bounds)
        }
    }
}

/// Met, when every figure the size rests on was seen in its source or confirmed by a person.
fn confirmed(case: &Case<'_>, finding: Finding, bounds: &Bounds) -> Standing {
    let loose: Vec<&CitedRule> = bounds.cited.iter().filter(|rule| !is_firm(rule)).collect();
    match loose.first() {
        None => Standing::Meets(Reason { finding, rule: bounds.cited.first().cloned() }),
        Some(first) => {
            let facts: Vec<FactRef> = loose.iter().map(|rule| case.fact_of(rule)).collect();
            let reason = Reason {
                finding: Finding::NotConfirmed { topic: first.topic },
                rule: Some((*first).clone()),
            };
            Standing::Unclear(reason, facts)
        }
    }
}

/// True when the points look like tips under a notch rule, and the crab would not pass between its notches.
///
/// The ratio warns only: no width is converted for a decision.
fn wrong_points_would_tell(case: &Case<'_>, measured: &MeasuredWidth, size: Size) -> bool {
    let looks_like_tips =
        measured.dimension == Dimension::Notch && measured.hint == Some(PointsHint::NearTips);
    if !looks_like_tips {
        return false;
    }
    let share = case.rule.species_info.as_ref().and_then(|info| info.notch_of_tips.as_ref());
    let Some(Share { ratio, u }) = share.map(|share| share.value) else { return true };
    let scaled = MeasuredWidth {
        humps: measured
            .humps
            .iter()
            .map(|hump| Hump {
                weight: hump.weight,
                mean_mm: hump.mean_mm * ratio,
                u_mm: hump.u_mm.portable_hypot(u * hump.mean_mm),
            })
            .collect(),
        ..measured.clone()
    };
    conformity(&scaled, size, case.risk).is_none_or(|(_, found)| found != Conformity::Conforms)
}

/// Mean and standard deviation of the whole distribution.
fn moments(measured: &MeasuredWidth) -> (f64, f64) {
    let humps = conformity::normalised(&measured.humps).unwrap_or_default();
    let mean: f64 = humps.iter().map(|hump| hump.weight * hump.mean_mm).sum();
    let square: f64 =
        humps.iter().map(|hump| hump.weight * (hump.u_mm.powi(2) + (hump.mean_mm - mean).powi(2))).sum();
    (mean, square.sqrt())
}

/// Signs that the photo's width is not what the rule means.
fn width_notices(case: &Case<'_>, notices: &mut Vec<Notice>) {
    let Some(measured) = case.measured else { return };
    match (measured.dimension, measured.hint) {
        (Dimension::Notch, Some(PointsHint::NearTips)) => notices.push(Notice::PointsLookLikeTips),
        (Dimension::Tips, Some(PointsHint::NearNotches)) => notices.push(Notice::PointsLookLikeNotches),
        _ => {}
    }
    let wanted = |rule: &SizeRule| rule.dimension.known().and_then(|dimension| dimension.by_photo());
    let sizes = &case.rule.facts.sizes;
    if !sizes.is_empty() && !sizes.iter().any(|rule| wanted(rule) == Some(measured.dimension)) {
        notices.push(Notice::WrongDimensionMeasured);
    }
    let (width_mm, u_mm) = moments(measured);
    let of_kind = case.rule.species_info.as_ref().and_then(|info| info.width_mm.as_ref());
    let outside = of_kind.is_some_and(|range| lies_outside(width_mm, u_mm, range.value.from, range.value.to));
    if outside || is_no_crabs(width_mm, u_mm) {
        notices.push(Notice::UnlikelyWidth { width_mm });
    }
}

/// True for a width that no crab has: the photo measured something else. That a kind is not known to be so large
/// only warns: what is known of it has its limits.
fn is_no_crabs(width_mm: f64, u_mm: f64) -> bool {
    lies_outside(width_mm, u_mm, *CREDIBLE_WIDTHS_MM.start(), *CREDIBLE_WIDTHS_MM.end())
}

fn lies_outside(width_mm: f64, u_mm: f64, from: f64, to: f64) -> bool {
    width_mm + 2.0 * u_mm < from || width_mm - 2.0 * u_mm > to
}

/// How to gauge the crab by hand: the figures, and between which points.
pub(super) fn gauge_act(case: &Case<'_>) -> NextAct {
    let rules: Vec<&SizeRule> = case
        .rule
        .facts
        .sizes
        .iter()
        .filter(|rule| matches!(case.fit(rule.when.as_ref()), Fit::Yes))
        .collect();
    let words: Vec<String> = rules
        .iter()
        .flat_map(|rule| {
            let dimension =
                rule.dimension.known().map_or_else(String::new, |known| format!(", {}", known.in_words()));
            [rule.min_words(), rule.max_words()].into_iter().flatten().map(move |words| words + &dimension)
        })
        .collect();
    let landmarks = rules
        .iter()
        .filter_map(|rule| rule.landmarks.as_ref())
        .filter_map(|fact| fact.known())
        .next()
        .cloned();
    let dimension = rules.iter().find_map(|rule| rule.dimension.known()).copied();
    NextAct::UseGauge { words: words.join("; "), landmarks, dimension }
}
