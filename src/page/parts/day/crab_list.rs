//! The list of crabs: chosen, ordered, a page at a time.

use std::rc::Rc;

use jiff::civil::Date;
use web_sys::HtmlSelectElement;
use yew::prelude::*;

use super::crab_detail::CrabDetail;
use crate::day::picture::small;
use crate::day::told::list::{Choices, Ended, Order, Wanted, crab_in};
use crate::day::{Book, CrabEntry, Id, Row};
use crate::page::hooks::photo::picture_urls::{ReadPictures, use_pictures};
use crate::page::screens::crabs::kind_name;
use crate::session::words::end_words;

/// So many crabs stand on a page: a phone draws them within a blink.
const PAGE: usize = 50;

/// What is listed.
#[derive(Properties, PartialEq)]
pub struct CrabListProps {
    /// The book.
    pub book: Rc<Book>,
    /// Names of kinds by their ids.
    pub kinds: Vec<(String, String)>,
}

/// The choices and the list.
#[component]
pub fn CrabList(props: &CrabListProps) -> Html {
    let wanted = use_state_eq(Wanted::default);
    let page = use_state_eq(|| 0_usize);
    let opened = use_state_eq(|| None::<Id>);
    let choices = use_memo(props.book.clone(), |book| book.choices());
    let rows = use_memo((props.book.clone(), (*wanted).clone()), |(book, wanted)| book.list(wanted));
    let last_page = rows.len().saturating_sub(1) / PAGE;
    let at = (*page).min(last_page);
    let shown = &rows[(at * PAGE).min(rows.len())..((at + 1) * PAGE).min(rows.len())];
    let first_picture = |row: &Rc<Row>| Some(crab_in(row)?.pictures.first()?.name(&row.id));
    let pictures = use_pictures(shown.iter().filter_map(|row| Some(small(&first_picture(row)?))).collect());
    let choose = {
        let (wanted, page) = (wanted.clone(), page.clone());
        Callback::from(move |chosen: Wanted| {
            wanted.set(chosen);
            page.set(0);
        })
    };
    let go = |to: usize| {
        let page = page.clone();
        move |_: MouseEvent| page.set(to)
    };
    let line = |row: &Rc<Row>| {
        let Some(crab) = crab_in(row) else { return Html::default() };
        let is_open = opened.as_ref() == Some(&row.id);
        let toggle = {
            let (opened, id) = (opened.clone(), row.id.clone());
            move |_: MouseEvent| opened.set((!is_open).then(|| id.clone()))
        };
        html! {
            <li key={row.id.0.to_string()}>
                <button type="button" class="crab" aria-expanded={is_open.to_string()} onclick={toggle}>
                    { thumbnail(first_picture(row), &pictures) }
                    <span>{ line_words(&props.book, crab, &props.kinds) }</span>
                </button>
                if is_open {
                    <CrabDetail id={row.id.clone()} crab={Rc::new(crab.clone())} book={props.book.clone()} />
                }
            </li>
        }
    };
    html! {
        <>
            <Filters wanted={(*wanted).clone()} {choices} book={props.book.clone()} kinds={props.kinds.clone()} {choose} />
            <p id="crabs-count" role="status">{ count_words(rows.len(), at) }</p>
            <ul id="crabs">{ for shown.iter().map(line) }</ul>
            if last_page > 0 {
                <nav class="tools" aria-label="Pages of the list">
                    <button id="crabs-before" type="button" disabled={at == 0} onclick={go(at.saturating_sub(1))}>{ "Page before" }</button>
                    <button id="crabs-next" type="button" disabled={at == last_page} onclick={go(at + 1)}>{ "Next page" }</button>
                </nav>
            }
        </>
    }
}

fn count_words(all: usize, page: usize) -> String {
    match all {
        0 => "No crab is like this.".into(),
        1 => "1 crab".into(),
        _ if all <= PAGE => format!("{all} crabs"),
        _ => format!("{} to {} of {all} crabs", page * PAGE + 1, ((page + 1) * PAGE).min(all)),
    }
}

fn thumbnail(name: Option<String>, pictures: &ReadPictures) -> Html {
    let Some(name) = name else { return Html::default() };
    let small = small(&name);
    match pictures.as_ref().map(|read| read.iter().find(|picture| picture.name == small)) {
        Some(Some(picture)) => html! { <img class="thumb" src={picture.url.to_string()} alt="" /> },
        Some(None) => html! { <span class="thumb">{ "Photo not kept" }</span> },
        None => html! { <span class="thumb" /> },
    }
}

fn line_words(book: &Book, crab: &CrabEntry, kinds: &[(String, String)]) -> String {
    let time = crab.at.clock.map(|clock| format!(" {:02}:{:02}", clock.time.hour(), clock.time.minute()));
    let width = crab.width.map(|width| format!(", {:.1} ± {:.1} mm", width.width.0, width.u.0));
    let kind = kind_name(kinds, crab.kind.as_deref());
    let (time, width) = (time.unwrap_or_default(), width.unwrap_or_default());
    format!("{}{time}: {kind}{width}, {}", crab.at.day, end_words(book, crab))
}

#[derive(Properties, PartialEq)]
struct FiltersProps {
    wanted: Wanted,
    choices: Rc<Choices>,
    book: Rc<Book>,
    kinds: Vec<(String, String)>,
    choose: Callback<Wanted>,
}

/// What is chosen by.
#[component]
fn Filters(props: &FiltersProps) -> Html {
    let Choices { kinds, persons, pots, days } = &*props.choices;
    // The place in a list names what is chosen; 0 is all of them.
    let select = |id: &'static str, words: &'static str, of: Vec<(String, Wanted)>| {
        let at = of.iter().position(|(_, wanted)| *wanted == props.wanted).unwrap_or(0);
        let options = of.iter().enumerate().map(|(value, (words, _))| {
            html! { <option value={value.to_string()} selected={value == at}>{ words }</option> }
        });
        let options: Html = options.collect();
        let choose = props.choose.clone();
        let chosen = move |event: Event| {
            let value = event.target_unchecked_into::<HtmlSelectElement>().selected_index();
            if let Some((_, wanted)) = usize::try_from(value).ok().and_then(|at| of.get(at)) {
                choose.emit(wanted.clone());
            }
        };
        html! {
            <p class="filter"><label for={id}>{ words }</label><select {id} onchange={chosen}>{ options }</select></p>
        }
    };
    let with = |change: &dyn Fn(&mut Wanted)| {
        let mut wanted = props.wanted.clone();
        change(&mut wanted);
        wanted
    };
    let day = |day: Option<Date>| with(&|wanted| wanted.day = day);
    let kind = |kind: Option<String>| with(&|wanted| wanted.kind.clone_from(&kind));
    let person = |person: Option<Id>| with(&|wanted| wanted.person.clone_from(&person));
    let pot = |pot: Option<String>| with(&|wanted| wanted.pot.clone_from(&pot));
    let ended = |ended: Ended| with(&|wanted| wanted.ended = ended);
    let order = |order: Order| with(&|wanted| wanted.order = order);
    let measured = {
        let (choose, wanted) = (props.choose.clone(), with(&|wanted| wanted.is_measured ^= true));
        move |_: MouseEvent| choose.emit(wanted.clone())
    };
    let first = |words: &str, wanted: Wanted| std::iter::once((words.to_owned(), wanted));
    html! {
        <div class="filters">
            { select("crabs-day", "Day", first("All days", day(None))
                .chain(days.iter().map(|one| (one.to_string(), day(Some(*one))))).collect()) }
            { select("crabs-kind", "Kind", first("All kinds", kind(None))
                .chain(kinds.iter().map(|one| (kind_name(&props.kinds, Some(one)), kind(Some(one.clone()))))).collect()) }
            { select("crabs-end", "Kept or let go", vec![
                ("Both".to_owned(), ended(Ended::Any)), ("Kept".to_owned(), ended(Ended::Kept)),
                ("Let go".to_owned(), ended(Ended::Released))]) }
            if persons.len() > 1 || props.wanted.person.is_some() {
                { select("crabs-person", "Kept by", first("Anybody", person(None))
                    .chain(persons.iter().map(|one| (props.book.name_of(one), person(Some(one.clone()))))).collect()) }
            }
            if !pots.is_empty() {
                { select("crabs-pot", "Pot", first("All pots", pot(None))
                    .chain(pots.iter().map(|one| (one.clone(), pot(Some(one.clone()))))).collect()) }
            }
            { select("crabs-order", "Order", vec![
                ("Last first".to_owned(), order(Order::Newest)), ("First first".to_owned(), order(Order::Oldest)),
                ("Widest first".to_owned(), order(Order::Widest)), ("By kind".to_owned(), order(Order::Kind))]) }
            <button id="crabs-measured" type="button" aria-pressed={props.wanted.is_measured.to_string()} onclick={measured}>
                { "Measured by photo" }
            </button>
        </div>
    }
}
