//! Open and closed times: the season of the day, hours, the night. How times combine is said in
//! `rules::choose::combine` and `open`; here they meet the person's word and the clock.

use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

use super::answers::{Answer, Check};
use super::case::{Case, LocalClock};
use super::findings::{Finding, Notice, Reason};
use super::standing::{Standing, is_firm, worst};
use crate::rules::choose::combine::layered;
use crate::rules::choose::open::{DayState, Entry, day_state};
use crate::rules::choose::staleness;
use crate::rules::facts::{Hours, Night, Season, Take};
use crate::rules::sun::sun_times;
use crate::rules::{Cited, Topic};

/// Within so many minutes of a computed sunset or sunrise the water counts as closed: the times are "about".
const ABOUT_MINUTES: i64 = 2;
/// A night closure that begins within so many minutes is told.
const SOON_MINUTES: i64 = 60;

/// What is known of the season on the day, for the line that is always in sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SeasonState {
    /// Open by times that were read in their source.
    Open,
    /// Open as the person looked it up for this day.
    SaidOpen,
    /// Closed.
    Closed,
    /// Not known: to be looked up.
    NotKnown,
}

/// The season on the day, hours aside, with what the pack says of it.
pub fn season_state(case: &Case<'_>) -> (SeasonState, Vec<String>) {
    let found = SeasonOfDay::of(case);
    let state = match (&found.closed, case.answers.open) {
        (Some(_), _) | (None, Answer::Given(false)) => SeasonState::Closed,
        (None, _) if found.parts_differ.is_some() => SeasonState::NotKnown,
        (None, _) if found.is_open => SeasonState::Open,
        (None, Answer::Given(true)) => SeasonState::SaidOpen,
        (None, Answer::Unanswered | Answer::NotSure) => SeasonState::NotKnown,
    };
    let mut words = found.doubts;
    words.extend(found.day.asides);
    (state, words)
}

/// Whether the water is open on the day and at the hour.
pub(super) fn season(case: &Case<'_>, notices: &mut Vec<Notice>) -> Standing {
    let SeasonOfDay { closed, parts_differ, is_open, doubts, day } = SeasonOfDay::of(case);
    let mut standings = vec![match (closed, case.answers.open) {
        (Some(reason), _) => Standing::Fails(reason),
        (None, Answer::Given(false)) => Standing::Fails(Reason { finding: Finding::SaidClosed, rule: None }),
        // No word on the whole water opens it: which part is meant would stay unsaid.
        (None, _) if parts_differ.is_some() => {
            let finding = Finding::PartsDiffer { closed: parts_differ.unwrap_or_default() };
            Standing::Unclear(Reason { finding, rule: None }, Vec::new())
        }
        (None, _) if is_open => Standing::Silent,
        (None, Answer::Given(true)) => {
            notices.push(Notice::SaidOpen);
            notices.extend(doubts.into_iter().map(|words| Notice::SeasonWords { words }));
            Standing::Silent
        }
        (None, said) => {
            if doubts.is_empty() {
                notices.push(Notice::SeasonNotKnown);
            }
            notices.extend(doubts.into_iter().map(|words| Notice::SeasonInDoubt { words }));
            if said == Answer::NotSure {
                Standing::Unsure(Check::Season)
            } else {
                Standing::Open(Check::Season)
            }
        }
    }];
    notices.extend(day.asides.iter().cloned().map(|words| Notice::SeasonWords { words }));
    for group in &day.open_hours {
        standings.extend(outside_open_hours(case, group, notices));
    }
    for entry in &day.closed_hours {
        standings.extend(within_closed_hours(case, *entry, notices));
    }
    worst(standings)
}

/// The season of a day, its parts of the water and the age of the pack taken in.
struct SeasonOfDay<'a> {
    /// Closed, and by what.
    closed: Option<Reason>,
    /// Names of the parts that are closed while the rest is not: the person must choose the part.
    parts_differ: Option<String>,
    /// Known to be open.
    is_open: bool,
    /// Why it is not known, in the pack's words.
    doubts: Vec<String>,
    day: DayState<'a>,
}

impl<'a> SeasonOfDay<'a> {
    fn of(case: &Case<'a>) -> Self {
        let rule = case.rule;
        let is_firm_time = |fact: &Cited<Season>| is_firm(&case.cite_words(Topic::Season, fact));
        let day = day_state(&rule.times(), case.date, &is_firm_time);
        let closed = day.closed.first().map(|&(fact, season)| cited(case, fact, whole_day(season)));
        let (mut doubts, mut is_open) = (day.doubts.clone(), day.is_open());
        // A part that is closed, or not known to be open, is not hidden behind the water around it.
        let (mut closed_parts, mut open_parts) = (Vec::new(), 0);
        for part in &rule.parts {
            let state = day_state(&layered(&part.season, &part.layers), case.date, &is_firm_time);
            let is_forbidden = part.take.iter().any(|fact| {
                fact.known() == Some(&Take::Forbidden) && is_firm(&case.cite_words(Topic::Take, fact))
            });
            if is_forbidden || !state.closed.is_empty() {
                closed_parts.push(part.name.clone());
            } else if state.is_open() {
                open_parts += 1;
            } else {
                is_open = false;
            }
        }
        let is_closed_everywhere =
            closed_parts.len() > 1 && closed_parts.len() == rule.parts.len() && open_parts == 0;
        let by_parts = is_closed_everywhere.then(|| {
            let words = format!("closed in each of its parts: {}", closed_parts.join("; "));
            Reason { finding: Finding::ClosedSeason { words }, rule: None }
        });
        let parts_differ =
            (!closed_parts.is_empty() && !is_closed_everywhere).then(|| closed_parts.join("; "));
        if let Some(names) = &parts_differ {
            is_open = false;
            doubts.insert(0, format!("Parts of this water are closed: {names}. Choose the part you are in."));
        }
        if !staleness(rule.checked, rule.season, case.date).is_empty() {
            is_open = false;
        }
        Self { closed: closed.or(by_parts), parts_differ, is_open, doubts, day }
    }
}

fn whole_day(season: &Season) -> Finding {
    let words = season.in_full();
    if season.weekdays.is_empty() { Finding::ClosedSeason { words } } else { Finding::ClosedToday { words } }
}

/// Open entries of one layer that name hours: closed when none of them holds now.
fn outside_open_hours(case: &Case<'_>, group: &[Entry<'_>], notices: &mut Vec<Notice>) -> Option<Standing> {
    let &(fact, season) = group.first()?;
    let words = season.in_full();
    let Some(clock) = case.clock else {
        notices.push(Notice::HourNotKnown { words });
        return None;
    };
    let holds = |entry: &Entry<'_>| entry.1.hours.is_some_and(|hours| is_within(hours, clock.time));
    if group.iter().any(holds) {
        return None;
    }
    now_closed(case, fact, season, Finding::ClosedAtThisHour { words, about: None }, notices)
}

/// An entry that closes hours or the night: closed when they hold now.
fn within_closed_hours(case: &Case<'_>, entry: Entry<'_>, notices: &mut Vec<Notice>) -> Option<Standing> {
    let (fact, season) = entry;
    let words = season.in_full();
    let Some(clock) = case.clock else {
        notices.push(Notice::HourNotKnown { words });
        return None;
    };
    if season.hours.is_some_and(|hours| is_within(hours, clock.time)) {
        return now_closed(case, fact, season, Finding::ClosedAtThisHour { words, about: None }, notices);
    }
    let night = season.night?;
    match night_now(case, night, clock) {
        None => notices.push(Notice::HourNotKnown { words }),
        Some(Darkness { is_night: true, about }) => {
            let finding = Finding::ClosedAtThisHour { words, about: Some(about) };
            return now_closed(case, fact, season, finding, notices);
        }
        Some(Darkness { is_night: false, .. }) => {
            if let Some(minutes) = minutes_to_night(case, night, clock).filter(|&left| left <= SOON_MINUTES) {
                notices.push(Notice::NightSoon { words, minutes });
            }
        }
    }
    None
}

/// Closed now: for everybody and by a firm source it fails; otherwise the person must say whether it is closed for
/// them.
fn now_closed(
    case: &Case<'_>,
    fact: &Cited<Season>,
    season: &Season,
    finding: Finding,
    notices: &mut Vec<Notice>,
) -> Option<Standing> {
    if season.condition.is_none() && is_firm(&case.cite_words(Topic::Season, fact)) {
        return Some(Standing::Fails(cited(case, fact, finding)));
    }
    notices.push(Notice::SeasonWords { words: season.in_full() });
    match case.answers.open {
        Answer::Given(_) => None,
        Answer::NotSure => Some(Standing::Unsure(Check::Season)),
        Answer::Unanswered => Some(Standing::Open(Check::Season)),
    }
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

fn is_within(hours: Hours, time: Time) -> bool {
    if hours.from <= hours.to {
        (hours.from..=hours.to).contains(&time)
    } else {
        time >= hours.from || time <= hours.to
    }
}

fn cited(case: &Case<'_>, fact: &Cited<Season>, finding: Finding) -> Reason {
    Reason { finding, rule: Some(case.cite_words(Topic::Season, fact)) }
}
