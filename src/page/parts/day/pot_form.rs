//! The form of a pot, for a new one and for one that is changed. What cannot be read is said beside it.

use std::rc::Rc;

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::day::pots::{PotDraft, PotMistake};
use crate::day::{Book, Id, Pot};
use crate::session::{Action, DayAct};

/// A pot.
#[derive(Properties, PartialEq)]
pub struct PotFormProps {
    /// The book: no two pots have one mark.
    pub book: Rc<Book>,
    /// The pot that is changed; none: a new one.
    #[prop_or_default]
    pub changed: Option<(Id, Pot)>,
    /// Called once it is taken, or given up.
    #[prop_or_default]
    pub done: Callback<()>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The form.
#[component]
pub fn PotForm(props: &PotFormProps) -> Html {
    let draft =
        use_state(|| props.changed.as_ref().map_or_else(PotDraft::default, |(_, pot)| PotDraft::of(pot)));
    let mistake = use_state_eq(|| None::<PotMistake>);
    let (before, words) = match &props.changed {
        Some(_) => ("change-", "Mark"),
        None => ("", "One more pot: its mark"),
    };
    let field = |id: &str, words: &'static str, is_number: bool, field: fn(&mut PotDraft) -> &mut String| {
        let id = format!("{before}pot-{id}");
        let mut copy = (*draft).clone();
        let value = field(&mut copy).clone();
        let (draft, mistake) = (draft.clone(), mistake.clone());
        let typed = move |event: InputEvent| {
            mistake.set(None);
            let mut next = (*draft).clone();
            *field(&mut next) = event.target_unchecked_into::<HtmlInputElement>().value();
            draft.set(next);
        };
        let mode = is_number.then_some("decimal");
        html! {
            <>
                <label for={id.clone()}>{ words }</label>
                <input {id} type="text" inputmode={mode} autocomplete="off" maxlength="40" {value} oninput={typed} />
            </>
        }
    };
    let take = {
        let (draft, mistake) = (draft.clone(), mistake.clone());
        let (act, done, book, changed) =
            (props.act.clone(), props.done.clone(), props.book.clone(), props.changed.clone());
        move |event: SubmitEvent| {
            event.prevent_default();
            let id = changed.as_ref().map(|(id, _)| id.clone());
            match book.typed_pot(&draft, id.as_ref()) {
                Ok(pot) => {
                    act.emit(Action::Day(DayAct::Pot(id, pot)));
                    // Pots of one string are much alike: bait, bottom and time stay.
                    draft.set(PotDraft { label: String::new(), depth: String::new(), ..(*draft).clone() });
                    mistake.set(None);
                    done.emit(());
                }
                Err(what) => mistake.set(Some(what)),
            }
        }
    };
    let give_up = {
        let done = props.done.clone();
        move |_: MouseEvent| done.emit(())
    };
    html! {
        <form class="row" onsubmit={take}>
            { field("label", words, false, |draft| &mut draft.label) }
            { field("depth", "Depth: 12 (metres), 40 ft or 7 fm", false, |draft| &mut draft.depth) }
            { field("bottom", "Bottom", false, |draft| &mut draft.bottom) }
            { field("bait", "Bait", false, |draft| &mut draft.bait) }
            { field("due", "Pull after, hours", true, |draft| &mut draft.due) }
            if let Some(mistake) = *mistake {
                <p id={format!("{before}pot-mistake")} class="flag" role="alert">{ mistake.to_string() }</p>
            }
            if props.changed.is_some() {
                <div class="tools">
                    <button id="change-pot-take" type="submit" class="main-act">{ "Take the change" }</button>
                    <button id="change-pot-leave" type="button" onclick={give_up}>{ "Leave it" }</button>
                </div>
            } else {
                <button id="pot-add" type="submit">{ "Add" }</button>
            }
        </form>
    }
}
