//! How many may be kept: the limits that fit the case, and what counts towards each.

use super::case::Case;
use super::case::LicenceWord;
use super::findings::{Finding, Notice, Reason};
use super::licence::{Whose, whose};
use super::standing::{Fit, Standing, is_firm, worst};
use super::topics::{forbids, not_confirmed, unclear};
use crate::rules::Topic;
use crate::rules::facts::{Amount, Holder, LicenceAsked, Limit, Period};
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
    /// Whether it is the person's, where it holds for some only.
    pub whose: Whose,
}

/// Every limit that surely holds for the crab as far as it is answered, those left out that are surely another's.
pub fn bag_limits<'a>(case: &Case<'a>) -> Vec<BagLimit<'a>> {
    let limits = case.rule.facts.limits.iter();
    limits
        .filter(|limit| matches!(case.fit(limit.amount.when.as_ref()), Fit::Yes))
        .map(|limit| counted(case, limit))
        .filter(|bag| bag.whose != Whose::NotTheirs)
        .collect()
}

/// Every limit on a part of the catch, for some only, or of a holder that is not known, that may be the kind's on the day,
/// whatever is answered of a crab, and whether it surely is the crab's.
pub fn part_limits<'a>(case: &Case<'a>) -> Vec<(BagLimit<'a>, bool)> {
    let limits = case.rule.facts.limits.iter();
    let parts = limits.filter(|limit| match whose(limit, case.catch) {
        Whose::NotTheirs => false,
        Whose::Theirs => limit.amount.when.is_some() || limit.holder.known().is_none(),
        Whose::ToSay | Whose::NotKnown => true,
    });
    parts
        .filter(|limit| {
            limit.amount.when.as_ref().and_then(|when| when.days).is_none_or(|days| days.contains(case.date))
        })
        .map(|limit| (counted(case, limit), matches!(case.fit(limit.amount.when.as_ref()), Fit::Yes)))
        .collect()
}

/// Daily and possession limits.
pub(super) fn limits(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    let limits = &case.rule.facts.limits;
    if limits.iter().all(|limit| limit.amount.known().is_none()) {
        notices.push(Notice::LimitNotKnown);
    }
    let says = |word: LicenceWord| case.catch.licence == word;
    if says(LicenceWord::NotHeld) && limits.iter().any(|limit| limit.by_licence.is_some()) {
        notices.push(Notice::NoLicence { words: licence_words(case) });
    }
    let standings = limits.iter().filter_map(|limit| limit_standing(case, limit, notices)).collect();
    worst(standings)
}

/// What the rule says of licences; empty: nothing.
fn licence_words(case: &Case<'_>) -> String {
    let words = case.rule.facts.licence.iter().filter_map(|fact| fact.known().cloned());
    words.collect::<Vec<_>>().join(" ")
}

fn limit_standing(case: &Case<'_>, limit: &Limit, notices: &mut Vec<Notice>) -> Option<Standing> {
    let fit = case.fit(limit.amount.when.as_ref());
    if matches!(fit, Fit::No) {
        return None;
    }
    let whose = whose(limit, case.catch);
    if whose == Whose::NotTheirs {
        return None;
    }
    let words = limit.in_words();
    let amount = limit.amount.known()?;
    let rule = case.cite(Topic::Limit, &limit.amount, limit.amount_key(), words.clone());
    if !is_firm(&rule) {
        notices.push(Notice::LimitFromMemory { words: words.clone() });
    }
    // Whether the limit is this crab's may still have to be seen.
    let of_this_crab = |standing: Standing| match fit {
        Fit::Ask(check) => Standing::Open(check),
        Fit::Unsure(check) => Standing::Unsure(check),
        Fit::Yes | Fit::No => standing,
    };
    // A part of the catch can be counted only where it is known which crabs are of it.
    let to_count = match fit {
        Fit::Ask(check) => Some(Standing::Open(check)),
        Fit::Unsure(check) => Some(Standing::Unsure(check)),
        Fit::Yes | Fit::No => None,
    };
    if let Some(condition) = limit.condition.as_ref().filter(|_| whose != Whose::Theirs) {
        let is_to_say = whose == Whose::ToSay;
        if is_to_say && !notices.contains(&Notice::LicenceNotSaid) {
            notices.push(Notice::LicenceNotSaid);
        }
        notices.push(Notice::LimitWithCondition { words });
        let &Amount::Crabs(most) = amount else { return None };
        let kept = kept_at_least(case, limit)?;
        if kept < most {
            // Where a licence took a smaller limit away, that one more may be kept would rest on this figure alone.
            let is_of_the_licensed = limit.by_licence.is_some_and(|by| by.licence == LicenceAsked::Held);
            return if kept > 0 && is_of_the_licensed && !is_firm(&rule) {
                Some(of_this_crab(not_confirmed(case, rule)))
            } else {
                to_count
            };
        }
        let finding = Finding::LimitForSome { kept, limit: most, condition: condition.clone(), is_to_say };
        return Some(of_this_crab(Standing::Unclear(Reason { finding, rule: Some(rule) }, Vec::new())));
    }
    let &Amount::Crabs(most) = amount else {
        if matches!(amount, Amount::Volume(_)) {
            notices.push(Notice::LimitNotCounted { words });
        }
        return None;
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
        // Whoever holds it: one person alone has kept as many.
        let is_reached = kept_at_least(case, limit).is_some_and(|kept| kept >= most);
        let holder = case.cite(Topic::Holder, &limit.holder, limit.holder.value_key(), rule.words.clone());
        return is_reached.then(|| of_this_crab(unclear(case, Topic::Holder, Some(holder))));
    };
    if !case.catch.counts(holder) || limit.per == Period::Year {
        // What was said made it theirs: that must not be laxer than before it was said.
        let alone = limit.condition.as_ref().and_then(|_| kept_at_least(case, limit));
        if let Some(kept) = alone.filter(|kept| *kept >= most) {
            return Some(reached(kept, holder));
        }
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
    to_count
}

/// What is kept towards a limit at the least, where it may not be said for whom it is: the catch of its holder, or of
/// the person alone, whose crabs count whoever holds it. None where each container or pot has its own.
fn kept_at_least(case: &Case<'_>, limit: &Limit) -> Option<u32> {
    let is_of_a_thing = matches!(limit.holder.known(), Some(Holder::Container | Holder::Gear));
    if is_of_a_thing || limit.per == Period::Year {
        return None;
    }
    let holder = limit.holder.known().copied().filter(|&holder| case.catch.counts(holder));
    Some(counted_of(case, limit, holder.unwrap_or(Holder::Person)).kept)
}

/// What counts towards a limit, and whether that is all: of earlier days only what the person said is known.
fn counted<'a>(case: &Case<'_>, limit: &'a Limit) -> BagLimit<'a> {
    counted_of(case, limit, limit.holder.known().copied().unwrap_or(Holder::Person))
}

fn counted_of<'a>(case: &Case<'_>, limit: &'a Limit, holder: Holder) -> BagLimit<'a> {
    let others = limit.together_with.iter().filter(|species| **species != case.rule.species);
    let (mut kept, mut is_whole) = (0_u32, true);
    for species in others.chain([&case.rule.species]) {
        let of = || case.catch.kept.iter().filter(|kept| kept.holder == holder && kept.species == *species);
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
    BagLimit { limit, most, kept, is_whole, whose: whose(limit, case.catch) }
}
