//! Open and closed times: seasons, weekdays, hours, the night.

use jiff::civil::{Date, Time};

use super::case::{Case, LocalClock};
use super::findings::{Finding, Notice, Reason};
use super::standing::{Standing, worst};
use crate::rules::facts::{DayName, Hours, Night, Season, SeasonEffect};
use crate::rules::sun::sun_times;
use crate::rules::{Cited, Mark, Topic};

/// Within so many minutes of a computed sunset or sunrise the water counts as closed: the times are "about".
const ABOUT_MINUTES: i64 = 2;
/// A night closure that begins within so many minutes is told.
const SOON_MINUTES: i64 = 60;

/// Whether the water is open on the day and at the hour.
pub(super) fn season(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    let facts = &case.rule.facts.season;
    let known: Vec<(&Cited<Season>, &Season)> =
        facts.iter().filter_map(|fact| fact.known().map(|season| (fact, season))).collect();
    let mut standings = Vec::new();
    if known.len() < facts.len() || known.is_empty() {
        notices.push(Notice::SeasonNotKnown);
    }
    standings.extend(outside_all_open_days(case, &known, notices));
    for &(fact, season) in &known {
        if let Some(condition) = &season.condition {
            let words = format!("{condition}: {}", season.words);
            notices.push(Notice::SeasonWithCondition { words });
            continue;
        }
        match season.effect {
            SeasonEffect::ByOrder => notices.push(Notice::SeasonByOrder { words: season.words.clone() }),
            SeasonEffect::Words => {}
            SeasonEffect::Open if is_on_its_days(season, case.date) => {
                standings.extend(when_open(case, fact, season, notices));
            }
            SeasonEffect::Open => {}
            SeasonEffect::Closed => standings.extend(when_closed(case, fact, season, notices)),
        }
    }
    worst(standings)
}

/// Closed, when there are open days and the date is on none of them.
fn outside_all_open_days(
    case: &Case<'_>,
    known: &[(&Cited<Season>, &Season)],
    notices: &mut Vec<Notice>,
) -> Option<Standing> {
    let open: Vec<_> = known
        .iter()
        .filter(|(_, season)| season.effect == SeasonEffect::Open && season.condition.is_none())
        .filter(|(_, season)| season.days.is_some() || season.dates.is_some())
        .collect();
    if let Some((fact, season)) = open.iter().find(|(_, season)| is_on_its_days(season, case.date)) {
        if fact.mark == Mark::Memory {
            notices.push(Notice::SeasonFromMemory { words: season.words.clone() });
        }
        return None;
    }
    let (fact, season) = open.first()?;
    // Dates of another year say nothing of this one.
    let is_of_another_year = open.iter().all(|(_, season)| {
        season.dates.is_some_and(|dates| !(dates.from.year()..=dates.to.year()).contains(&case.date.year()))
    });
    if is_of_another_year {
        notices.push(Notice::SeasonNotKnown);
        return None;
    }
    let finding = Finding::ClosedSeason { words: season.words.clone() };
    Some(closed(case, fact, finding))
}

/// An open entry on its days: closed on its other weekdays and hours.
fn when_open(
    case: &Case<'_>,
    fact: &Cited<Season>,
    season: &Season,
    notices: &mut Vec<Notice>,
) -> Option<Standing> {
    let words = season.words.clone();
    if !season.weekdays.is_empty() && !season.weekdays.contains(&DayName::of(case.date)) {
        return Some(closed(case, fact, Finding::ClosedToday { words }));
    }
    let hours = season.hours?;
    match case.clock {
        None => {
            notices.push(Notice::HourNotKnown { words });
            None
        }
        Some(clock) if is_within(hours, clock.time) => None,
        Some(_) => Some(closed(case, fact, Finding::ClosedAtThisHour { words, about: None })),
    }
}

/// A closed entry: closed when all its parts hold.
fn when_closed(
    case: &Case<'_>,
    fact: &Cited<Season>,
    season: &Season,
    notices: &mut Vec<Notice>,
) -> Option<Standing> {
    let on_weekday = season.weekdays.is_empty() || season.weekdays.contains(&DayName::of(case.date));
    if !is_on_its_days(season, case.date) || !on_weekday {
        return None;
    }
    let words = season.words.clone();
    if season.hours.is_none() && season.night.is_none() {
        let finding = if season.weekdays.is_empty() {
            Finding::ClosedSeason { words }
        } else {
            Finding::ClosedToday { words }
        };
        return Some(closed(case, fact, finding));
    }
    let Some(clock) = case.clock else {
        notices.push(Notice::HourNotKnown { words });
        return None;
    };
    if season.hours.is_some_and(|hours| is_within(hours, clock.time)) {
        return Some(closed(case, fact, Finding::ClosedAtThisHour { words, about: None }));
    }
    let night = season.night?;
    match night_now(case, night, clock) {
        None => notices.push(Notice::HourNotKnown { words }),
        Some(Darkness { is_night: true, about }) => {
            let about = Some(about);
            return Some(closed(case, fact, Finding::ClosedAtThisHour { words, about }));
        }
        Some(Darkness { is_night: false, .. }) => {
            if let Some(minutes) = minutes_to_night(case, night, clock).filter(|&left| left <= SOON_MINUTES) {
                notices.push(Notice::NightSoon { words, minutes });
            }
        }
    }
    None
}

struct Darkness {
    is_night: bool,
    /// The day's open time in local words: `05:15 to 21:15`.
    about: String,
}

/// Ends of the open day in seconds of UTC: the night's end in the morning, its beginning in the evening.
fn open_day(case: &Case<'_>, night: Night) -> Option<(i64, i64)> {
    let sun = sun_times(case.rule.place?, case.date)?;
    let opens = sun.rise_unix_s - 60 * i64::from(night.minutes_before_sunrise);
    let closes = sun.set_unix_s + 60 * i64::from(night.minutes_after_sunset);
    Some((opens, closes))
}

fn night_now(case: &Case<'_>, night: Night, clock: LocalClock) -> Option<Darkness> {
    let (opens, closes) = open_day(case, night)?;
    let now = unix_seconds(case.date, clock)?;
    let is_day = opens + 60 * ABOUT_MINUTES <= now && now <= closes - 60 * ABOUT_MINUTES;
    let local = |utc: i64| {
        let minutes = (utc.div_euclid(60) + i64::from(clock.utc_offset_minutes)).rem_euclid(1440);
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    };
    Some(Darkness { is_night: !is_day, about: format!("{} to {}", local(opens), local(closes)) })
}

fn minutes_to_night(case: &Case<'_>, night: Night, clock: LocalClock) -> Option<i64> {
    let (_, closes) = open_day(case, night)?;
    Some((closes - unix_seconds(case.date, clock)?).div_euclid(60))
}

fn unix_seconds(date: Date, clock: LocalClock) -> Option<i64> {
    let utc = jiff::tz::Offset::UTC.to_timestamp(date.to_datetime(clock.time)).ok()?.as_second();
    utc.checked_sub(60 * i64::from(clock.utc_offset_minutes))
}

fn is_on_its_days(season: &Season, date: Date) -> bool {
    season.days.is_none_or(|days| days.contains(date))
        && season.dates.is_none_or(|dates| (dates.from..=dates.to).contains(&date))
}

fn is_within(hours: Hours, time: Time) -> bool {
    if hours.from <= hours.to {
        (hours.from..=hours.to).contains(&time)
    } else {
        time >= hours.from || time <= hours.to
    }
}

fn closed(case: &Case<'_>, fact: &Cited<Season>, finding: Finding) -> Standing {
    Standing::Fails(Reason { finding, rule: Some(case.cite_words(Topic::Season, fact)) })
}
