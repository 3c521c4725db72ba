//! The top: one reducer, the worker, and the screen of the moment.

use std::cell::Cell;
use std::rc::Rc;

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
use super::hooks::kept::saved_crab::use_saved_crab;
use super::hooks::photo::handed_over::use_handed_over;
use super::hooks::photo::photo_file::{ChosenPhoto, PhotoFile};
use super::hooks::photo::photo_files::use_photo_files;
use super::hooks::rules::{recall_all_rules, use_packs, use_remembered_rules, use_rules_of_other_tabs};
use super::hooks::worker::WorkerClient;
use super::parts::check_card::KnownKind;
use super::parts::day::reading::ReadingDay;
use super::parts::frame::Frame;
use super::parts::not_kept::NotKeptBar;
use super::screens::aboard::AboardScreen;
use super::screens::checks::ChecksScreen;
use super::screens::crabs::CrabsScreen;
use super::screens::day::DayScreen;
use super::screens::guide::GuideScreen;
use super::screens::learn::LearnScreen;
use super::screens::lesson::LessonScreen;
use super::screens::measure::MeasureScreen;
use super::screens::practice::PracticeScreen;
use super::screens::record::RecordScreen;
use super::screens::rules::RulesScreen;
use super::screens::start::StartScreen;
use super::screens::verdict::VerdictScreen;
use super::store::Store;
use crate::day::Book;
use crate::decide::{Notice, checks};
use crate::rules::pack::ANY_CRAB;
use crate::session::words::{clock_words, kept_in_short, practice_truth};
use crate::session::{Action, DayAct, Screen, Session, Settings};
use crate::text::{card_lies, season_at_the_top, where_to_look_up};
use crate::worker::protocol::Ask;

/// The page.
#[component]
pub fn App() -> Html {
    let store = use_reducer(|| {
        let mut session = Session::new(today());
        if let Some(settings) = recall::<Settings>(SETTINGS) {
            session = session.apply(Action::Restore(settings));
        }
        session = session.apply(recall_all_rules());
        session = session.apply(Action::Day(DayAct::Begin { seed: random(), kind: recall(KIND) }));
        Store(session)
    });
    let act = {
        let dispatcher = store.dispatcher();
        use_callback((), move |action, ()| dispatcher.dispatch(action))
    };
    let session = &store.0;

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

    let (kept, seen) = use_saved_crab(session, &files, &act);
    let DayBook { not_kept: day_not_kept, seen: day_seen, is_without_disk } =
        use_day_book(session, &files, &act);
    // Beside another tab nothing is lost while nothing is in hand.
    let crab_not_kept = kept.not_kept.filter(|what| *what != NotKept::OtherTab || session.is_in_hand());
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
    use_worker(session, photo.as_ref(), &act);
    use_effect_with(session.settings, |settings| {
        remember(SETTINGS, settings);
        if let Some(root) = gloo::utils::document().document_element() {
            // The style sheet falls back to the sun theme where this fails.
            let _ = root.set_attribute("data-theme", settings.theme.name());
        }
    });
    let season = use_memo(session.season_key(), |_| season_at_the_top(&session.seasons()));
    use_remembered_rules(&session.rules);
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
    let screen = match session.screen {
        _ if kept.is_coming => {
            html! { <p id="coming-back" class="hint" role="status">{ "Bringing your crab back." }</p> }
        }
        _ if session.waits_for_the_day() => {
            html! { <section class="screen"><ReadingDay {is_held_up} /></section> }
        }
        Screen::Day => html! {
            <DayScreen book={session.book.clone()} today={session.today} counts={counts.clone()} {is_held_up} {is_without_disk}
                clock_words={clock_words(&session.book, &session.now())} now={session.moment()} kind={kind_in_hand(session)}
                gauge_limits={session.gauge_limits()} in_hand={in_hand(session)} go_on={session.where_it_goes_on()}
                has_water={session.rules.in_force.is_some()} notice={session.photo.notice.clone()} {take} act={act.clone()} />
        },
        Screen::Record => html! {
            <RecordScreen book={session.book.clone()} days={session.double_check()} date={session.date()}
                boat_over={session.boat_over()} {is_without_disk} kinds={kind_names(session)} act={act.clone()} />
        },
        Screen::Aboard => html! {
            <AboardScreen book={session.book.clone()} rule={session.rules.rule_of(ANY_CRAB).map(Rc::new)} now={session.now()} today={session.today} act={act.clone()} />
        },
        Screen::Crabs => html! {
            <CrabsScreen book={session.book.clone()} sizes={session.sizes_shown()} kinds={kind_names(session)}
                copy_in_question={session.copy_in_question.as_deref().map(Book::crabs_of_its_user)} act={act.clone()} />
        },
        Screen::Measure => html! {
            <MeasureScreen work={session.photo.clone()} file={photo} limits={session.limits_in_force()}
                width={session.width()} joined={session.joined.clone()} strip={session.strip()}
                files={session.strip().iter().filter_map(|photo| files.get(photo.serial)).collect::<Vec<_>>()}
                compared={session.compared()} is_confirmed={session.is_width_confirmed()} may_add={session.may_add_photo()}
                is_settled={is_settled(session)} {take} act={act.clone()} />
        },
        Screen::Checks => html! {
            <ChecksScreen told={told_at_checks(session)} times={session.season().map(|(_, words)| words).unwrap_or_default()}
                look_up={look_up(session)} water={session.rules.water()} states={session.with_case(checks).unwrap_or_default()} shown={session.shown_check()}
                kinds={Rc::new(known_kinds(session))} kind={session.crab.answers.kind.given().cloned()}
                gauge_limits={session.gauge_limits()} has_photo={session.photo.in_hand.is_some()} is_settled={is_settled(session)}
                act={act.clone()} />
        },
        Screen::Verdict => html! {
            <VerdictScreen outcome={session.outcome().map(Rc::new)} kind={judged_as(session)} kept={counts.map(|counts| counts.lines).unwrap_or_default()} let_go={session.crab.let_go}
                keepers={session.keepers()} may_be_recorded={session.may_be_recorded()} is_ended={session.is_ended()}
                is_saved={!session.book.has_unsaved()} {is_without_disk} vibration={session.settings.vibration} width={session.width()}
                may_add={session.may_add_photo()} {take} is_practice={session.is_practice()}
                truth={practice_truth(&session.photo)}
                act={act.clone()} />
        },
        Screen::Rules => html! {
            <RulesScreen book={session.rules.clone()} date={session.date()} today={session.today}
                kind={session.last_kind.clone()} seasons={session.seasons()} water_for={session.water_for} act={act.clone()} />
        },
        Screen::Practice => html! {
            <PracticeScreen rules={session.rules.clone()} today={session.today}
                is_in_hand={session.is_in_hand() && !session.is_practice() && !session.is_ended()} {take} act={act.clone()} />
        },
        Screen::Learn => html! { <LearnScreen act={act.clone()} /> },
        Screen::Lesson => html! { <LessonScreen open={session.lesson.clone()} act={act.clone()} /> },
        Screen::Guide => html! {
            <GuideScreen book={session.rules.clone()} kind={session.last_kind.clone()} date={session.date()} today={session.today}
                act={act.clone()} />
        },
        Screen::Start => {
            html! { <StartScreen in_hand={in_hand(session).filter(|_| session.stays_for_a_photo() && !session.is_practice())} notice={session.photo.notice.clone()} {take} act={act.clone()} /> }
        }
    };
    html! {
        <Frame screen={session.screen} has_photo={session.photo.in_hand.is_some()} settings={session.settings} rule={session.rules.in_force.clone()}
            water={session.rules.water()} season={*season}
            date={session.date()} today={session.today} kept={short}
            act={act.clone()}><NotKeptBar what={not_kept} {seen} />{ screen }</Frame>
    }
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
fn kind_answered(session: &Session) -> Option<String> {
    Some(session.rules.rule_of(session.crab.answers.kind.given()?)?.species_name)
}

/// What the crab in hand is judged as: its kind, and where the card lay where a photo measured it.
fn judged_as(session: &Session) -> Option<String> {
    let kind = kind_answered(session)?;
    let card = session.measured().map(|_| card_lies(session.photo.placement));
    Some(card.map_or_else(|| kind.clone(), |place| format!("{kind}; card {place}")))
}

/// What is in hand, in a few words; none where nothing is.
fn in_hand(session: &Session) -> Option<String> {
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

/// Names of the kinds of the chosen water, by their ids.
fn kind_names(session: &Session) -> Vec<(String, String)> {
    let name = |kind: String| Some((kind.clone(), session.rules.rule_of(&kind)?.species_name));
    session.rules.kinds().into_iter().filter_map(name).collect()
}

/// The kinds of the chosen water, each with what tells it.
fn known_kinds(session: &Session) -> Vec<KnownKind> {
    let known = |id: String| {
        let rule = session.rules.rule_of(&id)?;
        let marks: Vec<String> =
            rule.species_info.into_iter().flat_map(|info| info.tell_tales).map(|tell| tell.value).collect();
        Some(KnownKind { id, name: rule.species_name, marks: marks.join(" ") })
    };
    session.rules.kinds().into_iter().filter_map(known).collect()
}

/// What is said beside the question: answers that contradict each other.
fn told_at_checks(session: &Session) -> Vec<String> {
    session.notices().iter().filter(|notice| **notice == Notice::MaleWithEggs).map(Notice::sentence).collect()
}

/// Where the season of the rule in force can be looked up.
fn look_up(session: &Session) -> Vec<String> {
    session.rules.in_force.as_deref().map(where_to_look_up).unwrap_or_default()
}

fn is_settled(session: &Session) -> bool {
    session.outcome().is_some_and(|outcome| outcome.verdict().is_some())
}

/// Sends each new question to the worker, and ends the worker where the session says that it is lost.
#[hook]
fn use_worker(session: &Session, photo: Option<&Rc<PhotoFile>>, act: &Callback<Action>) {
    let client = {
        let act = act.clone();
        use_memo((), move |()| WorkerClient::new(act))
    };
    let pending = session.pending().cloned();
    let is_lost = session.photo.worker_lost;
    let photo = photo.cloned();
    let number = pending.as_ref().map(|pending| pending.number);
    use_effect_with((number, is_lost), move |_| {
        if is_lost {
            client.stop();
        }
        if let (Some(pending), Some(photo)) = (pending, photo) {
            client.ask(&Ask { number: pending.number, question: pending.question }, &photo);
        }
    });
}
