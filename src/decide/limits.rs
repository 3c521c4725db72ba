//! How many may be kept: the limits that fit the case, and what counts towards each.

use super::case::Case;
use super::findings::{Finding, Notice};
use super::standing::{Fit, Standing, is_firm, worst};
use super::topics::{forbids, not_confirmed};
use crate::rules::Topic;
use crate::rules::facts::{Amount, Holder, Limit, Period};
use crate::rules::words::InWords;

/// A limit that holds for the crab, with what counts towards it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BagLimit<'a> {
    /// The limit.
    pub limit: &'a Limit,
    /// So many crabs; none: no number that can be counted.
    pub most: Option<u32>,
    /// What is kept towards it, of earlier days what the person said. Crabs of which it is not known whether they
    /// count do count.
    pub kept: u32,
    /// True when that is all: every crab of earlier days was said, where they count.
    pub is_whole: bool,
}

/// Every limit that surely holds for the crab as far as it is answered.
pub fn bag_limits<'a>(case: &Case<'a>) -> Vec<BagLimit<'a>> {
    let limits = case.rule.facts.limits.iter();
    limits
        .filter(|limit| matches!(case.fit(limit.amount.when.as_ref()), Fit::Yes))
        .map(|limit| counted(case, limit))
        .collect()
}

/// Daily and possession limits.
pub(super) fn limits(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    let limits = &case.rule.facts.limits;
    if limits.iter().all(|limit| limit.amount.known().is_none()) {
        notices.push(Notice::LimitNotKnown);
    }
    let standings = limits.iter().filter_map(|limit| limit_standing(case, limit, notices)).collect();
    worst(standings)
}

fn limit_standing(case: &Case<'_>, limit: &Limit, notices: &mut Vec<Notice>) -> Option<Standing> {
    let fit = case.fit(limit.amount.when.as_ref());
    if matches!(fit, Fit::No) {
        return None;
    }
    let words = limit.in_words();
    let amount = limit.amount.known()?;
    let rule = case.cite(Topic::Limit, &limit.amount, limit.amount_key(), words.clone());
    if !is_firm(&rule) {
        notices.push(Notice::LimitFromMemory { words: words.clone() });
    }
    if limit.condition.is_some() {
        notices.push(Notice::LimitWithCondition { words });
        return None;
    }
    let &Amount::Crabs(most) = amount else {
        if matches!(amount, Amount::Volume(_)) {
            notices.push(Notice::LimitNotCounted { words });
        }
        return None;
    };
    // Whether the limit is this crab's may still have to be seen.
    let of_this_crab = |standing: Standing| match fit {
        Fit::Ask(check) => Standing::Open(check),
        Fit::Unsure(check) => Standing::Unsure(check),
        Fit::Yes | Fit::No => standing,
    };
    let reached = |kept: u32, holder: Holder| {
        let finding = Finding::LimitReached { kept, limit: most, holder };
        of_this_crab(forbids(case, finding, rule.clone()))
    };
    if most == 0 {
        // However many are kept, and whoever counts.
        return Some(reached(0, limit.holder.known().copied().unwrap_or(Holder::Person)));
    }
    let Some(&holder) = limit.holder.known() else {
        notices.push(Notice::LimitNotCounted { words });
        return None;
    };
    if !case.catch.counts(holder) || limit.per == Period::Year {
        notices.push(Notice::LimitNotCounted { words });
        return None;
    }
    let BagLimit { kept, is_whole, .. } = counted(case, limit);
    if kept >= most {
        return Some(reached(kept, holder));
    }
    if kept > 0 && !is_firm(&rule) {
        // That one more may be kept would rest on the figure alone.
        return Some(of_this_crab(not_confirmed(case, rule)));
    }
    if !is_whole {
        notices.push(Notice::EarlierDaysNotCounted { words });
    } else if kept + 1 == most {
        notices.push(Notice::LimitLast { words });
    }
    None
}

/// What counts towards a limit, and whether that is all: of earlier days only what the person said is known.
fn counted<'a>(case: &Case<'_>, limit: &'a Limit) -> BagLimit<'a> {
    let holder = limit.holder.known().copied();
    let others = limit.together_with.iter().filter(|species| **species != case.rule.species);
    let (mut kept, mut is_whole) = (0_u32, true);
    for species in others.chain([&case.rule.species]) {
        let of =
            || case.catch.kept.iter().filter(|kept| Some(kept.holder) == holder && kept.species == *species);
        let counts = || of().filter(|kept| kept.traits.may_be(limit.amount.when.as_ref()));
        kept = counts().fold(kept, |sum, kept| sum.saturating_add(kept.today));
        if limit.per == Period::Possession {
            kept = counts().filter_map(|kept| kept.earlier).fold(kept, u32::saturating_add);
            is_whole &= of().any(|kept| kept.earlier.is_some());
        }
    }
    let most = match limit.amount.known() {
        Some(&Amount::Crabs(most)) => Some(most),
        _ => None,
    };
    BagLimit { limit, most, kept, is_whole }
}
