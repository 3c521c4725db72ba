//! How many may be kept: the limits of a rule against what is counted.

use super::case::Case;
use super::findings::{Finding, Notice, Reason};
use super::standing::{Fit, Standing, worst};
use crate::rules::facts::{Amount, Holder, Limit, Period};
use crate::rules::words::InWords;
use crate::rules::{Mark, Topic};

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
    if limit.amount.mark == Mark::Memory {
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
    let reached = |kept: u32, holder: Holder| match fit {
        // Whether the limit is this crab's is still to be seen.
        Fit::Ask(check) => Standing::Open(check),
        Fit::Unsure(check) => Standing::Unsure(check),
        Fit::Yes | Fit::No => {
            let finding = Finding::LimitReached { kept, limit: most, holder };
            let rule = case.cite(Topic::Limit, &limit.amount, limit.in_words());
            Standing::Fails(Reason { finding, rule: Some(rule) })
        }
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
    let (kept, is_whole) = counted(case, limit, holder);
    if kept >= most {
        return Some(reached(kept, holder));
    }
    if !is_whole {
        notices.push(Notice::EarlierDaysNotCounted { words });
    } else if kept + 1 == most {
        notices.push(Notice::LimitLast { words });
    }
    None
}

/// What counts towards a limit, and whether that is all: of earlier days only what the person said is known.
fn counted(case: &Case<'_>, limit: &Limit, holder: Holder) -> (u32, bool) {
    let of = |species: &String| {
        case.catch.kept.iter().find(|kept| kept.holder == holder && kept.species == *species)
    };
    let others = limit.together_with.iter().filter(|species| **species != case.rule.species);
    let (mut sum, mut is_whole) = (0_u32, true);
    for species in others.chain([&case.rule.species]) {
        let (today, earlier) = of(species).map_or((0, None), |kept| (kept.today, kept.earlier));
        sum = sum.saturating_add(today);
        if limit.per == Period::Possession {
            sum = sum.saturating_add(earlier.unwrap_or(0));
            is_whole &= earlier.is_some();
        }
    }
    (sum, is_whole)
}
