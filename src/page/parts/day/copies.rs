//! The ways out of the page, and back in.

use std::rc::Rc;

use wasm_bindgen_futures::spawn_local;
use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::day::Book;
use crate::page::hooks::kept::copy_file::{copy_with_photos, read_copy_file};
use crate::page::hooks::kept::save_file::{Way, blob_of, can_share, give_file};
use crate::session::{Action, DayAct};

/// What is copied.
#[derive(Properties, PartialEq)]
pub struct CopiesProps {
    /// The book.
    pub book: Rc<Book>,
    /// How many crabs a copy has of which it is not known who kept them.
    pub in_question: Option<usize>,
    /// What was done.
    pub act: Callback<Action>,
}

/// What leaves the page.
#[derive(Clone, Copy)]
enum File {
    Table,
    Rows,
    RowsAndPhotos,
}

async fn give(book: &Book, file: File, way: Way) -> Result<(), String> {
    let (name, blob) = match file {
        File::Table => {
            let text = book.crabs_as_csv().map_err(|error| error.to_string())?;
            ("crabs.csv", blob_of("text/csv", &text)?)
        }
        File::Rows => {
            let text = book.as_copy().map_err(|error| error.to_string())?;
            ("day-book.jsonl", blob_of("application/jsonl", &text)?)
        }
        File::RowsAndPhotos => ("day-book-with-photos.bin", copy_with_photos(book).await?),
    };
    give_file(name, &blob, way).await
}

/// A copy of which only the person knows whose it is.
#[derive(Properties, PartialEq)]
struct WhoseCopyProps {
    /// So many crabs of its user are in it.
    crabs: usize,
    /// What was done.
    act: Callback<Action>,
}

/// The question whose it is.
#[component]
fn WhoseCopy(props: &WhoseCopyProps) -> Html {
    let name = use_state(String::new);
    let does = |act: DayAct| {
        let to = props.act.clone();
        move |_: MouseEvent| to.emit(Action::Day(act.clone()))
    };
    let typed = {
        let name = name.clone();
        move |event: InputEvent| name.set(event.target_unchecked_into::<HtmlInputElement>().value())
    };
    let other = {
        let (act, name) = (props.act.clone(), name.trim().to_owned());
        move |event: SubmitEvent| {
            event.prevent_default();
            if !name.is_empty() {
                act.emit(Action::Day(DayAct::CopyIsOf(Some(name.clone()))));
            }
        }
    };
    html! {
        <section id="whose-copy" class="message" role="alert">
            <p><strong>{ "Nothing of it is taken yet: who saved this copy?" }</strong></p>
            <p>{ format!("Its user kept {}, none of them known here. Each person has a limit of their own.",
                if props.crabs == 1 { "1 crab".to_owned() } else { format!("{} crabs", props.crabs) }) }</p>
            <div class="tools">
                <button id="copy-mine" type="button" onclick={does(DayAct::CopyIsOf(None))}>{ "I did, on another device" }</button>
                <button id="copy-leave" type="button" onclick={does(DayAct::LeaveCopy)}>{ "Take nothing" }</button>
            </div>
            <form class="row" onsubmit={other}>
                <label for="copy-name">{ "Somebody else, called" }</label>
                <input id="copy-name" type="text" autocomplete="off" maxlength="40" value={(*name).clone()} oninput={typed} />
                <button id="copy-other" type="submit" disabled={name.trim().is_empty()}>{ "Take it as theirs" }</button>
            </form>
        </section>
    }
}

/// The copies.
#[component]
pub fn Copies(props: &CopiesProps) -> Html {
    let said = use_state_eq(|| None::<String>);
    let has_photos = use_memo(props.book.clone(), |book| {
        book.days().any(|day| book.crabs_on(day).any(|(_, crab)| !crab.pictures.is_empty()))
    });
    let gives = |file: File, way: Way| {
        let (book, said) = (props.book.clone(), said.clone());
        move |_: MouseEvent| {
            let (book, said) = (book.clone(), said.clone());
            spawn_local(async move { said.set(give(&book, file, way).await.err()) });
        }
    };
    let restore = {
        let (act, said, book) = (props.act.clone(), said.clone(), props.book.clone());
        move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
            input.set_value("");
            let (act, said, book) = (act.clone(), said.clone(), book.clone());
            spawn_local(async move {
                match read_copy_file(&file).await {
                    Ok(read) => {
                        let photos = match (read.photos, read.photos_left) {
                            (0, _) => String::new(),
                            (photos, 0) => format!(" and {photos} pictures"),
                            (photos, left) => format!(
                                " and {} of {photos} pictures (no room for {left}: make room, then read it again)",
                                photos - left
                            ),
                        };
                        let back = match book.taken_back_since(&read.rows) {
                            0 => String::new(),
                            1 => " 1 crab of it was taken back here since, and stays so.".to_owned(),
                            back => format!(" {back} crabs of it were taken back here since, and stay so."),
                        };
                        said.set(Some(format!(
                            "{} entries{photos} in this copy; what is here already is not doubled.{back}",
                            read.rows.len()
                        )));
                        act.emit(Action::Day(DayAct::Restore(read.rows)));
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
                if *has_photos {
                    <button id="save-with-photos" type="button" onclick={gives(File::RowsAndPhotos, Way::Save)}>{ "Save a copy of all, with photos" }</button>
                    <button id="save-copy" type="button" onclick={gives(File::Rows, Way::Save)}>{ "Save a copy without photos" }</button>
                } else {
                    <button id="save-copy" type="button" onclick={gives(File::Rows, Way::Save)}>{ "Save a copy of all" }</button>
                }
                <button id="save-csv" type="button" onclick={gives(File::Table, Way::Save)}>{ "Save the crabs as a table" }</button>
                if can_share() {
                    <button id="share-csv" type="button" onclick={gives(File::Table, Way::Share)}>{ "Share the table" }</button>
                }
                <label class="pick"><input id="restore-copy" type="file" disabled={props.in_question.is_some()} onchange={restore} /><span>{ "Read a copy" }</span></label>
            </div>
            if let Some(said) = &*said {
                <p id="copies-said" role="status">{ said }</p>
            }
            if let Some(crabs) = props.in_question {
                <WhoseCopy {crabs} act={props.act.clone()} />
            }
        </>
    }
}
