//! The day, the first screen: what each may still keep, and the crab that comes next, sorted with one tap.

use std::rc::Rc;

use yew::prelude::*;

use crate::day::{Book, Moment};
use crate::decide::LICENCE_NOT_SAID;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::parts::day::reading::ReadingDay;
use crate::page::parts::day::sorting::Sorting;
use crate::page::parts::message::Message;
use crate::session::words::{left_words, overdue_words, part_words, pull_words, redo_words, undo_words};
use crate::session::{Action, BoatLine, DayAct, DayCounts, GaugeKeeper, KeptLine, PartLine, Screen};
use crate::text::{Notice, unbroken};
use jiff::civil::Date;

/// What the day shows.
#[derive(Properties, PartialEq)]
pub struct DayProps {
    /// The book.
    pub book: Rc<Book>,
    /// What was kept today; none until the book is read.
    pub counts: Option<DayCounts>,
    /// Something holds up the reading of the book, and is said.
    pub is_held_up: bool,
    /// Nothing that was kept before this page was opened is known.
    pub is_without_disk: bool,
    /// What is wrong with the device's clock.
    pub clock_words: Option<String>,
    /// Now, on the day that is looked at.
    pub now: Moment,
    /// The day by the device's clock.
    pub today: Date,
    /// The kind that is sorted: id and name.
    pub kind: Option<(String, String)>,
    /// What one tap keeps by the gauge.
    pub keepers: Vec<GaugeKeeper>,
    /// What is in hand, in a few words.
    pub in_hand: Option<String>,
    /// The screen where the crab in hand goes on.
    pub go_on: Screen,
    /// A water was chosen.
    pub has_water: bool,
    /// What did not work.
    pub notice: Option<Notice>,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// Said wherever something is counted while the book cannot be read.
pub const COUNTED_HERE: &str = "Counted since this page was opened: add what you kept before.";

/// The day.
#[component]
pub fn DayScreen(props: &DayProps) -> Html {
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let line = |line: &KeptLine| {
        let whose = line.name.clone().map(|name| format!("{name}: ")).unwrap_or_default();
        let count = match line.limit {
            Some(limit) => left_words(line.kept, limit),
            None => format!("{} kept", line.kept),
        };
        let more = line.all.saturating_sub(line.kept);
        let more = if more > 0 && line.limit.is_some() {
            format!(" ({} kept in all: the limit does not count every one)", line.all)
        } else {
            String::new()
        };
        html! { <li><strong>{ whose }{ count }</strong>{ " " }{ &line.kind }{ more }</li> }
    };
    let part = |(line, part): (&KeptLine, &PartLine)| {
        let whose = line.name.as_ref().filter(|_| !part.is_of_boat);
        let whose = whose.map(|name| format!("{name}: ")).unwrap_or_default();
        html! { <li class="of-part">{ whose }{ part_words(part, &line.kind) }</li> }
    };
    let boat = |line: &BoatLine| {
        html! {
            <li class="of-boat">
                <strong>{ format!("The whole boat: {}", left_words(line.kept, line.limit)) }</strong>{ " " }{ line.kinds.join(", ") }
            </li>
        }
    };
    let counts = match &props.counts {
        None => html! { <ReadingDay is_held_up={props.is_held_up} /> },
        Some(counts) if counts.lines.is_empty() && counts.beside == 0 && !props.is_without_disk => {
            Html::default()
        }
        Some(counts) => html! {
            <ul id="kept-today" class="counts" role="status">
                { for counts.lines.iter().map(line) }
                { for counts.parts().into_iter().map(part) }
                { for counts.boat.iter().map(boat) }
                if counts.parts().iter().any(|(_, part)| part.is_to_say) {
                    <li id="say-licence">{ LICENCE_NOT_SAID }</li>
                }
                if props.is_without_disk {
                    <li id="counted-here">{ COUNTED_HERE }</li>
                }
                if counts.beside > 0 {
                    <li id="kept-beside">{ format!("{} more kept, of no kind that has a rule here", counts.beside) }</li>
                }
            </ul>
        },
    };
    let unwritten = props.counts.as_ref().map_or(0, |counts| counts.unwritten);
    html! {
        <section id="screen-day" class="screen day">
            <h1 class="unseen">{ "Today" }</h1>
            if let Some(notice) = &props.notice {
                <Message notice={notice.clone()} />
            }
            if props.today != props.now.day {
                <div class="in-hand">
                    <p id="other-day" class="flag">{ format!("This is {}, not today: nothing is counted.", unbroken(props.now.day)) }</p>
                    <button id="to-today" type="button" class="main-act" onclick={does(Action::SetDate(None))}>{ "Today" }</button>
                </div>
            }
            { counts }
            if let Some(pull) = pull_words(&props.book) {
                <div class="in-hand">
                    <p id="pull-in-hand">{ pull }</p>
                    <button id="pull-sorted" type="button" onclick={does(Action::Day(DayAct::PullSorted))}>{ "All sorted" }</button>
                </div>
            }
            if let Some(in_hand) = &props.in_hand {
                <div class="in-hand">
                    <p id="crab-in-hand"><strong>{ "In hand: " }</strong>{ in_hand }</p>
                    <button id="go-on" type="button" class="main-act" onclick={does(Action::Show(props.go_on))}>{ "Go on" }</button>
                    <button id="put-away" type="button" onclick={does(Action::NextCrab)}>{ "Forget this crab" }</button>
                </div>
            } else if props.has_water {
                <Sorting kind={props.kind.clone()} keepers={props.keepers.clone()} take={props.take.clone()} act={props.act.clone()} />
            } else {
                <button id="choose-water" type="button" class="main-act wide-act"
                    onclick={does(Action::Show(Screen::Rules))}>{ "Choose your water" }</button>
                <p>{ "Its rule says what may be kept. Without one you can still measure." }</p>
            }
            if let Some(undo) = undo_words(&props.book, props.today) {
                <button id="undo-step" type="button" class="wide-act" onclick={does(Action::Day(DayAct::Undo))}>{ undo }</button>
            }
            if let Some(redo) = redo_words(&props.book, props.today).filter(|_| props.in_hand.is_none()) {
                <button id="redo-step" type="button" class="wide-act" onclick={does(Action::Day(DayAct::Redo))}>{ redo }</button>
            }
            if let Some(clock) = props.clock_words.clone() {
                <p id="clock-behind" class="flag">{ clock }</p>
            }
            if let Some(overdue) = overdue_words(&props.book, &props.now) {
                <p id="overdue" class="flag">{ overdue }</p>
            }
            if let Some(over) = props.counts.as_ref().and_then(|counts| counts.pots_over.clone()) {
                <p id="pots-over" class="flag">{ over }</p>
            }
            if unwritten > 0 {
                <p id="to-write" class="flag">
                    { format!("{} to write on the official record.", crabs(unwritten)) }
                </p>
            }
            <nav class="tools" aria-label="The day">
                <button id="go-record" type="button" onclick={does(Action::Show(Screen::Record))}>{ "Record" }</button>
                <button id="go-crabs" type="button" onclick={does(Action::Show(Screen::Crabs))}>{ "Crabs" }</button>
                <button id="go-aboard" type="button" onclick={does(Action::Show(Screen::Aboard))}>{ "People and pots" }</button>
                <button id="go-learn" type="button" onclick={does(Action::Show(Screen::Learn))}>{ "Learn" }</button>
                <button id="start-photo" type="button" onclick={does(Action::Show(Screen::Start))}>{ "Practice" }</button>
            </nav>
        </section>
    }
}

fn crabs(count: usize) -> String {
    if count == 1 { "1 crab".into() } else { format!("{count} crabs") }
}
