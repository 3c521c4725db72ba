//! The day before it goes on the official record, and the sheet of the day to print.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::day::record::{PersonDay, RecordLine};
use crate::day::{Book, CrabEntry, Id};
use crate::page::screens::crabs::kind_name;
use crate::page::screens::day::COUNTED_HERE;
use crate::session::words::{
    duty_words, end_words, flag_words, from_words, left_words, sex_words, written_words,
};
use crate::session::{Action, BoatLine, DayAct, Screen};
use crate::text::unbroken;

/// What the record shows.
#[derive(Properties, PartialEq)]
pub struct RecordProps {
    /// The book.
    pub book: Rc<Book>,
    /// Each person's day.
    pub days: Vec<PersonDay>,
    /// The day.
    pub date: Date,
    /// Limits of the boat that are passed.
    pub boat_over: Vec<BoatLine>,
    /// Nothing that was kept before this page was opened is known.
    pub is_without_disk: bool,
    /// Names of kinds by their ids.
    pub kinds: Vec<(String, String)>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The double-check and the sheet.
#[component]
pub fn RecordScreen(props: &RecordProps) -> Html {
    let print = |_: MouseEvent| {
        // What is folded would not be printed.
        if let Some(sheet) = gloo::utils::document().get_element_by_id("day-sheet") {
            let _ = sheet.set_attribute("open", "");
        }
        // A browser that cannot print does nothing.
        let _ = gloo::utils::window().print();
    };
    let all_crabs = {
        let act = props.act.clone();
        move |_: MouseEvent| act.emit(Action::Show(Screen::Crabs))
    };
    html! {
        <section id="screen-record" class="screen">
            <h1>{ format!("Before the record, {}", unbroken(props.date)) }</h1>
            if props.is_without_disk {
                <p id="recorded-here" class="flag">{ COUNTED_HERE }</p>
            }
            { for props.boat_over.iter().map(|line| html! {
                <p class="flag of-boat">{ format!("The whole boat: {} ({})", left_words(line.kept, line.limit), line.kinds.join(", ")) }</p>
            }) }
            if props.days.is_empty() {
                <p>{ "Nothing was kept on this day. Some records are due all the same: look at yours." }</p>
            }
            { for props.days.iter().enumerate().map(|(at, day)| person_day(at, day, &props.act)) }
            <p class="hint">{ "This page is no official record. Copy from here, and check against your card." }</p>
            if props.book.crabs_on(props.date).next().is_some() {
                <details id="day-sheet">
                    <summary>{ "All crabs of the day" }</summary>
                    <table class="figures-table"><tbody>{ sheet_lines(&props.book, props.date, &props.kinds) }</tbody></table>
                </details>
            }
            <div class="tools">
                if props.book.crabs_on(props.date).next().is_some() {
                    <button id="print-day" type="button" onclick={print}>{ "Print the day" }</button>
                }
                <button id="go-crabs" type="button" onclick={all_crabs}>{ "All crabs and copies" }</button>
            </div>
        </section>
    }
}

fn person_day(at: usize, day: &PersonDay, act: &Callback<Action>) -> Html {
    let line = |line: &RecordLine| {
        let sexes = match (line.males, line.females) {
            (males, 0) if males == line.count => ", all male".to_owned(),
            (0, females) if females == line.count => ", all female".to_owned(),
            (0, 0) => ", sex not said".to_owned(),
            (males, females) => format!(", {males} male, {females} female"),
        };
        html! {
            <li>
                <strong>{ format!("{} {}{sexes}; {}", line.count, line.kind, line.water) }</strong>
                <p>{ duty_words(line) }</p>
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
            if day.to_write.is_empty() {
                <p id={format!("none-to-write-{at}")}>{ "None of these is to be written on a record." }</p>
            } else if day.unwritten.is_empty() {
                <p id={format!("written-{at}")}><strong>{ "Written on the official record." }</strong></p>
            } else {
                <button id={format!("write-{at}")} type="button" class="main-act wide-act" onclick={tick}>
                    { written_words(day.unwritten.len(), day.not_known) }
                </button>
            }
        </article>
    }
}

/// The crabs of the day as they stand on the printed sheet.
fn sheet_lines(book: &Book, date: Date, kinds: &[(String, String)]) -> Html {
    let line = |(_, crab): (&Id, &CrabEntry)| {
        let time = crab.at.clock.map(|clock| format!("{:02}:{:02}", clock.time.hour(), clock.time.minute()));
        let width = crab.width.map(|width| format!("{:.1} ± {:.1} mm", width.width.0, width.u.0));
        html! {
            <tr>
                <td>{ time.unwrap_or_default() }</td>
                <td>{ format!("{}, {}", kind_name(kinds, crab.kind.as_deref()), sex_words(crab)) }</td>
                <td>{ width.unwrap_or_default() }</td>
                <td>
                    { end_words(book, crab) }
                    if let Some(from) = from_words(book, crab) {
                        { format!("; {from}") }
                    }
                </td>
            </tr>
        }
    };
    book.crabs_on(date).map(line).collect()
}
