//! The day before it goes on the official record, the list of its crabs, and copies of the book.

use std::rc::Rc;

use wasm_bindgen_futures::JsFuture;
use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::day::backup::rows_of_copy;
use crate::day::record::{Duty, PersonDay, RecordLine};
use crate::day::{Book, CrabEntry};
use crate::page::hooks::save_file::save_file;
use crate::session::words::{end_words, flag_words};
use crate::session::{Action, DayAct};
use crate::text::unbroken;
use jiff::civil::Date;

/// So many crabs of the list are shown at first, and with each tap.
const SHOWN: usize = 50;

/// What the record shows.
#[derive(Properties, PartialEq)]
pub struct RecordProps {
    /// The book.
    pub book: Rc<Book>,
    /// Each person's day.
    pub days: Vec<PersonDay>,
    /// The day.
    pub date: Date,
    /// Names of kinds by their ids.
    pub kinds: Vec<(String, String)>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The double-check, the list and the copies.
#[component]
pub fn RecordScreen(props: &RecordProps) -> Html {
    html! {
        <section id="screen-record" class="screen">
            <h1>{ format!("Before the record, {}", unbroken(props.date)) }</h1>
            if props.days.is_empty() {
                <p>{ "Nothing was kept on this day. Some records are due all the same: look at yours." }</p>
            }
            { for props.days.iter().enumerate().map(|(at, day)| person_day(at, day, &props.act)) }
            <p class="hint">{ "This page is no official record. Copy from here, and check against your card." }</p>
            <CrabList book={props.book.clone()} kinds={props.kinds.clone()} />
            <Copies book={props.book.clone()} act={props.act.clone()} />
        </section>
    }
}

fn person_day(at: usize, day: &PersonDay, act: &Callback<Action>) -> Html {
    let line = |line: &RecordLine| {
        let sexes = match (line.males, line.females) {
            (males, 0) if males == line.count => ", all male".to_owned(),
            (0, females) if females == line.count => ", all female".to_owned(),
            (males, females) => format!(", {males} male, {females} female"),
        };
        let duty = match line.duty {
            Duty::Write => "Goes on the official record.",
            Duty::NotRequired => "The source says that no record is needed.",
            Duty::NotKnown => "The rule shown says nothing of a record: look it up.",
        };
        html! {
            <li>
                <strong>{ format!("{} {}{sexes}; {}", line.count, line.kind, line.water) }</strong>
                <p>{ duty }</p>
                if !line.words.is_empty() {
                    <details><summary>{ "What it asks" }</summary><ul>{ for line.words.iter().map(|words| html! { <li>{ words }</li> }) }</ul></details>
                }
            </li>
        }
    };
    let tick = {
        let act = act.clone();
        let (person, date, crabs) = (day.person.clone(), day.day, day.to_write.clone());
        move |_| act.emit(Action::Day(DayAct::Written(person.clone(), date, crabs.clone())))
    };
    html! {
        <article class="person-day">
            <h2>{ format!("{}, {}", day.name, unbroken(day.day)) }</h2>
            <ul class="record-lines">{ for day.lines.iter().map(line) }</ul>
            if !day.flags.is_empty() {
                <ul class="warnings" id={format!("flags-{at}")}>
                    { for day.flags.iter().map(|flag| html! { <li>{ flag_words(flag) }</li> }) }
                </ul>
            }
            if day.unwritten.is_empty() {
                <p id={format!("written-{at}")}><strong>{ "Written on the official record." }</strong></p>
            } else {
                <button id={format!("write-{at}")} type="button" class="main-act wide-act" onclick={tick}>
                    { format!("I wrote {} on the official record", day.unwritten.len()) }
                </button>
            }
        </article>
    }
}

#[derive(Properties, PartialEq)]
struct CrabListProps {
    book: Rc<Book>,
    kinds: Vec<(String, String)>,
}

/// All crabs, the last first.
#[component]
fn CrabList(props: &CrabListProps) -> Html {
    let shown = use_state(|| SHOWN);
    let kept_only = use_state(|| false);
    let widest_first = use_state(|| false);
    let lines =
        use_memo((props.book.clone(), *kept_only, *widest_first), |(book, kept_only, widest_first)| {
            let mut crabs: Vec<CrabEntry> = book
                .crabs()
                .into_iter()
                .rev()
                .filter(|(_, crab)| !kept_only || matches!(crab.end, crate::day::End::Kept { .. }))
                .map(|(_, crab)| crab.clone())
                .collect();
            if *widest_first {
                let width = |crab: &CrabEntry| crab.width.map_or(f64::NEG_INFINITY, |width| width.width.0);
                crabs.sort_by(|a, b| width(b).total_cmp(&width(a)));
            }
            crabs
        });
    if props.book.crabs().is_empty() {
        return Html::default();
    }
    let line = |crab: &CrabEntry| {
        let kind = crab.kind.as_ref().map_or("kind not said", |kind| {
            props.kinds.iter().find(|(id, _)| id == kind).map_or(kind.as_str(), |(_, name)| name)
        });
        let time = crab.at.clock.map(|clock| format!(" {:02}:{:02}", clock.time.hour(), clock.time.minute()));
        let width = crab.width.map(|width| format!(", {:.1} ± {:.1} mm", width.width.0, width.u.0));
        html! {
            <li>{ format!("{}{}: {kind}{}, {}", crab.at.day, time.unwrap_or_default(), width.unwrap_or_default(), end_words(&props.book, crab)) }</li>
        }
    };
    let more = {
        let shown = shown.clone();
        move |_| shown.set(*shown + SHOWN)
    };
    let toggle = |state: &UseStateHandle<bool>| {
        let state = state.clone();
        move |_: MouseEvent| state.set(!*state)
    };
    html! {
        <>
            <h2>{ format!("Crabs ({})", lines.len()) }</h2>
            <div class="tools">
                <button id="crabs-kept" type="button" aria-pressed={kept_only.to_string()} onclick={toggle(&kept_only)}>{ "Kept only" }</button>
                <button id="crabs-widest" type="button" aria-pressed={widest_first.to_string()} onclick={toggle(&widest_first)}>{ "Widest first" }</button>
            </div>
            <ul id="crabs">{ for lines.iter().take(*shown).map(line) }</ul>
            if lines.len() > *shown {
                <button id="crabs-more" type="button" onclick={more}>{ format!("Show {SHOWN} more") }</button>
            }
        </>
    }
}

#[derive(Properties, PartialEq)]
struct CopiesProps {
    book: Rc<Book>,
    act: Callback<Action>,
}

/// The ways out of the page, and back in.
#[component]
fn Copies(props: &CopiesProps) -> Html {
    let said = use_state_eq(|| None::<String>);
    let csv = {
        let (book, said) = (props.book.clone(), said.clone());
        move |_| {
            let saved = book.crabs_as_csv().map_err(|error| error.to_string());
            said.set(saved.and_then(|text| save_file("crabs.csv", "text/csv", &text)).err());
        }
    };
    let copy = {
        let (book, said) = (props.book.clone(), said.clone());
        move |_| {
            let saved = book.as_copy().map_err(|error| error.to_string());
            said.set(saved.and_then(|text| save_file("day-book.jsonl", "application/jsonl", &text)).err());
        }
    };
    let restore = {
        let (act, said) = (props.act.clone(), said.clone());
        move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
            input.set_value("");
            let (act, said) = (act.clone(), said.clone());
            wasm_bindgen_futures::spawn_local(async move {
                let text =
                    JsFuture::from(file.text()).await.map_err(|_| "This file cannot be read.".to_owned());
                let rows = text.and_then(|text| {
                    rows_of_copy(&text.as_string().unwrap_or_default()).map_err(|error| error.to_string())
                });
                match rows {
                    Ok(rows) => {
                        said.set(Some(format!(
                            "{} entries read. What was here already is not doubled.",
                            rows.len()
                        )));
                        act.emit(Action::Day(DayAct::Restore(rows)));
                    }
                    Err(error) => said.set(Some(error)),
                }
            });
        }
    };
    html! {
        <>
            <h2>{ "Copies" }</h2>
            <p class="hint">{ "Everything stays on this device. A copy is your safety when the phone goes overboard." }</p>
            <div class="tools">
                <button id="save-csv" type="button" onclick={csv}>{ "Save the crabs as a table" }</button>
                <button id="save-copy" type="button" onclick={copy}>{ "Save a copy of all" }</button>
                <label class="pick"><input id="restore-copy" type="file" onchange={restore} /><span>{ "Read a copy" }</span></label>
            </div>
            if let Some(said) = &*said {
                <p id="copies-said" role="status">{ said }</p>
            }
        </>
    }
}
