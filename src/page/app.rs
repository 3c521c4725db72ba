//! The top: one reducer, the worker, and the screen of the moment.

use std::cell::Cell;

use jiff::civil::Date;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

use super::hooks::device::back::use_back;
use super::hooks::device::clock::use_clock;
use super::hooks::device::pot_alert::use_pot_alert;
use super::hooks::device::today::today;
use super::hooks::kept::day_book::{DayBook, KIND, SETTINGS, use_day_book};
use super::hooks::kept::not_kept::NotKept;
use super::hooks::kept::remembered::{recall, remember};
use super::hooks::kept::saved_crab::KeptState;
use super::hooks::photo::handed_over::use_handed_over;
use super::hooks::photo::photo_file::ChosenPhoto;
use super::hooks::photo::photo_files::use_photo_files;
use super::hooks::rules::{recall_all_rules, use_packs, use_rules_of_other_tabs};
use super::later::{Around, Fetch, Late, NotThere, use_late};
use super::parts::day::reading::ReadingDay;
use super::parts::frame::Frame;
use super::parts::message::Message;
use super::parts::not_kept::NotKeptBar;
use super::screens::day::DayScreen;
use super::store::{Store, Told};
use crate::session::words::{clock_words, kept_in_short};
use crate::session::{Action, DayAct, Screen, Session, Settings};
use crate::text::{Notice, season_at_the_top};

/// What the page is started with.
#[derive(Properties, PartialEq)]
pub struct AppProps {
    /// Fetches the second program.
    pub fetch: Fetch,
}

/// The page.
#[component]
pub fn App(props: &AppProps) -> Html {
    let store = use_reducer(|| {
        let mut store = Store::new(Session::new(today()));
        if let Some(settings) = recall::<Settings>(SETTINGS) {
            store = store.act(Action::Restore(settings));
        }
        store = store.act(recall_all_rules());
        store = store.act(Action::Day(DayAct::Begin { seed: random(), kind: recall(KIND) }));
        store
    });
    let act = {
        let dispatcher = store.dispatcher();
        use_callback((), move |action, ()| dispatcher.dispatch(Told::Act(action)))
    };
    let again = {
        let dispatcher = store.dispatcher();
        use_late(props.fetch, store.late, Callback::from(move |late| dispatcher.dispatch(Told::Late(late))))
    };
    let session = &store.session;

    let files = use_photo_files();
    let take = {
        let (act, files) = (act.clone(), files.clone());
        use_callback((), move |chosen: ChosenPhoto, ()| {
            let ChosenPhoto { name, blob, practice, same_crab } = chosen;
            let serial = files.keep(blob);
            act.emit(Action::TakePhoto { serial, name, practice, same_crab });
        })
    };
    {
        let held: Vec<u64> = session.strip().iter().map(|photo| photo.serial).collect();
        let files = files.clone();
        use_effect_with(held, move |held| files.keep_only(held));
    }
    let photo = session.photo.in_hand.as_ref().and_then(|photo| files.get(photo.serial));

    let kept = use_state_eq(KeptState::at_start);
    let seen = {
        let kept = kept.setter();
        use_callback((), move |(), ()| kept.set(KeptState::default()))
    };
    let DayBook { not_kept: day_not_kept, seen: day_seen, is_without_disk } =
        use_day_book(session, &files, &act);
    // Beside another tab nothing is lost while nothing is in hand.
    let crab_not_kept =
        kept.not_kept.clone().filter(|what| *what != NotKept::OtherTab || session.is_in_hand());
    // That crabs of the day are not kept weighs more than the steps of one.
    let is_first = |what: &NotKept| {
        matches!(what, NotKept::Day(..) | NotKept::Cleared | NotKept::OlderTab | NotKept::Newer(_))
    };
    let day_first = day_not_kept.clone().filter(is_first);
    let not_kept = day_first.or(crab_not_kept).or_else(|| day_not_kept.clone());
    let seen = seen.reform(move |()| day_seen.emit(()));
    use_pot_alert(&session.book, &session.now());
    use_back(session, &act);
    use_handed_over(&take);
    use_effect_with(session.settings, |settings| {
        remember(SETTINGS, settings);
        if let Some(root) = gloo::utils::document().document_element() {
            // The style sheet falls back to the sun theme where this fails.
            let _ = root.set_attribute("data-theme", settings.theme.name());
        }
    });
    let season = use_memo(session.season_key(), |_| season_at_the_top(&session.seasons()));
    use_effect_with(session.last_kind.clone(), |kind| remember(KIND, kind));
    use_packs(&act);
    use_rules_of_other_tabs(&act);
    use_clock(&act);
    use_effect_with(session.screen, |screen| gloo::utils::document().set_title(title(*screen)));
    let is_first = use_memo((), |()| Cell::new(true));
    let asked = session.shown_check().filter(|_| session.screen == Screen::Checks);
    let turned = session.lesson.as_ref().filter(|_| session.screen == Screen::Lesson).map(|open| open.at);
    use_effect_with((session.screen, asked, turned), move |(screen, _, _)| {
        // Who opens the page sees its head first.
        if is_first.replace(false) {
            return;
        }
        show_from_the_top();
        // The question, the lesson, the guide and the verdict take the focus themselves.
        if !matches!(screen, Screen::Checks | Screen::Verdict | Screen::Lesson | Screen::Guide) {
            focus_main();
        }
    });

    let counts = session.counts();
    let is_held_up = matches!(day_not_kept, Some(NotKept::OlderTab | NotKept::Newer(_)));
    let short = counts.as_ref().and_then(|counts| kept_in_short(&counts.lines, counts.all));
    let around = Around {
        counts: counts.clone(),
        is_without_disk,
        photo,
        files,
        kept: kept.setter(),
        take: take.clone(),
        act: act.clone(),
    };
    let not_there = |is_missing| html! { <NotThere {is_missing} again={again.clone()} /> };
    let (screen, work) = match store.late {
        Late::There(late) => (Some(late.screen), (late.work)(session, &around)),
        Late::Coming | Late::Missing => (None, Html::default()),
    };
    let screen = match session.screen {
        // What waits for the second program is not shown yet: an own rule, a photo that was taken.
        _ if screen.is_none() && (store.is_waiting() || kept.is_coming) => {
            not_there(matches!(store.late, Late::Missing))
        }
        _ if kept.is_coming => {
            html! { <p id="coming-back" class="hint" role="status">{ "Bringing your crab back." }</p> }
        }
        _ if session.waits_for_the_day() => {
            html! { <section class="screen"><ReadingDay {is_held_up} /></section> }
        }
        Screen::Day => html! {
            <DayScreen book={session.book.clone()} today={session.today} counts={counts.clone()} {is_held_up} {is_without_disk}
                clock_words={clock_words(&session.book, &session.now())} now={session.moment()} kind={kind_in_hand(session)}
                keepers={session.gauge_keepers()} in_hand={in_hand(session)} go_on={session.where_it_goes_on()}
                has_water={session.rules.in_force.is_some()} notice={session.photo.notice.clone()} {take} act={act.clone()} />
        },
        _ => screen.map_or_else(
            || not_there(matches!(store.late, Late::Missing)),
            |screen| screen(session, &around),
        ),
    };
    html! {
        <>
        <Frame screen={session.screen} has_photo={session.photo.in_hand.is_some()} settings={session.settings} rule={session.rules.in_force.clone()}
            water={session.rules.water()} season={*season}
            date={session.date()} today={session.today} kept={short}
            act={act.clone()}>
            <NotKeptBar what={not_kept} {seen} />
            if let Some(day) = session.new_day {
                <Message notice={new_day(day)} />
            }
            if session.is_uncounted() {
                <p id="not-counted" class="flag" role="status">{ NOT_COUNTED }</p>
            }
            { screen }
        </Frame>
        { work }
        </>
    }
}

/// Told until the crab is kept or let go anew.
const NOT_COUNTED: &str =
    "This crab was counted as kept and is not counted now. Keep it again, or let it go.";

/// Told until the person goes on.
fn new_day(day: Date) -> Notice {
    Notice::new(
        "new-day",
        &format!("A new day has begun: {day}. A tap on the screen of the day before was not taken."),
        "Look again: limit, size and season may be others today.",
    )
}

/// What the browser's tab, its history and a screen reader call the screen.
fn title(screen: Screen) -> &'static str {
    match screen {
        Screen::Day => "Day - Shellspan",
        Screen::Record => "Record - Shellspan",
        Screen::Aboard => "People and pots - Shellspan",
        Screen::Start => "Photo - Shellspan",
        Screen::Measure => "Measure - Shellspan",
        Screen::Checks => "Checks - Shellspan",
        Screen::Verdict => "Verdict - Shellspan",
        Screen::Rules => "Rules - Shellspan",
        Screen::Crabs => "Crabs - Shellspan",
        Screen::Practice => "Practice - Shellspan",
        Screen::Learn => "Learn - Shellspan",
        Screen::Lesson => "Lesson - Shellspan",
        Screen::Guide => "Checks for a group - Shellspan",
    }
}

/// A new screen or question starts at its top: below the head where that would fill much of the window, as it
/// does at twice the text or in a window half as wide.
fn show_from_the_top() {
    /// A head of more than this share of the window scrolls away.
    const MOST: f64 = 0.25;
    let window = gloo::utils::window();
    window.scroll_to_with_x_and_y(0.0, 0.0);
    let main = gloo::utils::document().get_element_by_id("main");
    let height = window.inner_height().ok().and_then(|height| height.as_f64());
    if let Some((main, height)) = main.zip(height) {
        let head = main.get_bounding_client_rect().top();
        if head > MOST * height {
            window.scroll_to_with_x_and_y(0.0, head);
        }
    }
}

/// Screen readers go on from the new screen; without focus nothing is lost.
fn focus_main() {
    let main = gloo::utils::document().get_element_by_id("main");
    if let Some(main) = main.and_then(|main| main.dyn_into::<HtmlElement>().ok()) {
        let _ = main.focus();
    }
}

/// Names the rows of this start of the page.
fn random() -> u64 {
    let part = || (js_sys::Math::random() * f64::from(u32::MAX)) as u64;
    (part() << 32) | part()
}

/// The kind that is sorted: id and name.
fn kind_in_hand(session: &Session) -> Option<(String, String)> {
    let kind = session.last_kind.clone()?;
    let name = session.rules.rule_of(&kind)?.species_name;
    Some((kind, name))
}

/// The kind that was answered of the crab in hand.
pub fn kind_answered(session: &Session) -> Option<String> {
    Some(session.rules.rule_of(session.crab.answers.kind.given()?)?.species_name)
}

/// What is in hand, in a few words; none where nothing is.
pub fn in_hand(session: &Session) -> Option<String> {
    if !session.is_in_hand() || session.is_ended() {
        return None;
    }
    if session.is_practice() {
        return Some("a practice photo, no crab".to_owned());
    }
    let photos = match session.photos().len() {
        0 => String::new(),
        1 => ", 1 photo".to_owned(),
        photos => format!(", {photos} photos"),
    };
    Some(format!("{}{photos}", kind_answered(session).unwrap_or_else(|| "a crab".to_owned())))
}
