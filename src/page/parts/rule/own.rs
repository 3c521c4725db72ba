//! Rules of the person's own: read from a file, saved as a file, always marked.

use gloo::file::{Blob, ObjectUrl};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{HtmlElement, HtmlInputElement};
use yew::prelude::*;

use super::own_form::OwnRuleForm;
use crate::rules::load::LARGEST_FILE;
use crate::rules::{Pack, write_pack};
use crate::session::{Action, RuleBook};

/// What is shown.
#[derive(Properties, PartialEq)]
pub struct OwnRulesProps {
    /// Packs, choice, and what was wrong with the last form or file.
    pub book: RuleBook,
    /// The kind whose rule is shown.
    pub kind: Option<String>,
    /// What was done.
    pub act: Callback<Action>,
}

/// Import, list and export.
#[component]
pub fn OwnRules(props: &OwnRulesProps) -> Html {
    let chosen = {
        let act = props.act.clone();
        Callback::from(move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            if let Some(file) = input.files().and_then(|files| files.get(0)) {
                let act = act.clone();
                spawn_local(async move {
                    // One byte more than the largest pack is enough to refuse it; a film is not read whole.
                    let most = u32::try_from(LARGEST_FILE + 1).unwrap_or(u32::MAX);
                    let Ok(start) = file.slice_with_f64_and_f64(0.0, f64::from(most)) else { return };
                    let text = JsFuture::from(start.text()).await.ok().and_then(|text| text.as_string());
                    act.emit(Action::ImportPack(text.unwrap_or_default()));
                });
            }
            // The same file can then be read again, once it is mended.
            input.set_value("");
        })
    };
    let outdated = props.book.outdated();
    let packs = props.book.own.iter().map(|pack| {
        let (save, act, id) = (pack.clone(), props.act.clone(), pack.id.clone());
        html! {
            <li class="own-pack">
                <p>{ format!("{} ({})", pack.name, pack.id) }</p>
                if outdated.contains(&pack.id.as_str()) {
                    <p role="status">{ "The page has a pack of this name that was checked later, and yours hides it: \
                        save yours and remove it, then make your change again." }</p>
                }
                <button type="button" onclick={move |_| export(&save)}>{ "Save as a file" }</button>
                <button type="button" onclick={move |_| act.emit(Action::RemovePack(id.clone()))}>{ "Remove" }</button>
            </li>
        }
    });
    let forget = props.act.reform(|_: MouseEvent| Action::ForgetUnread);
    html! {
        <section id="own-rules">
            <h2>{ "Rules of your own" }</h2>
            <p>{ "An emergency order, a club's table: typed in, or read from a file in the form of the packs; marked as yours on every verdict." }</p>
            <OwnRuleForm kind={props.kind.clone()} book={props.book.clone()} act={props.act.clone()} />
            <label class="pick">
                <input id="import-pack" type="file" accept="application/json,.json" onchange={chosen} />
                <span>{ "Read a rules file" }</span>
            </label>
            if !props.book.mistakes.is_empty() {
                <div role="alert" class="message">
                    <p class="message-seen">
                        { format!("Not taken, and nothing changed. {} to mend:", props.book.mistakes.len()) }
                    </p>
                    <ul id="pack-mistakes">
                        { for props.book.mistakes.iter().map(|mistake| html! { <li>{ mistake.to_string() }</li> }) }
                    </ul>
                </div>
            }
            if !props.book.unread.is_empty() {
                <div role="alert" class="message">
                    <p class="message-seen">{ format!("Rules of your own from an earlier day cannot be read any more: {}. \
                        They are not in force; the rules of the page are.", props.book.unread.len()) }</p>
                    <button id="forget-unread" type="button" onclick={forget}>{ "Let them go" }</button>
                </div>
            }
            <ul class="own-packs">{ for packs }</ul>
        </section>
    }
}

/// Hands the pack over as a download.
fn export(pack: &Pack) {
    let url = ObjectUrl::from(Blob::new(write_pack(pack).as_str()));
    let link = gloo::utils::document().create_element("a").ok();
    if let Some(link) = link.and_then(|link| link.dyn_into::<HtmlElement>().ok()) {
        // Nothing is lost where a browser refuses: the pack stays.
        let _ = link.set_attribute("href", &url);
        let _ = link.set_attribute("download", &format!("{}.json", pack.id));
        link.click();
    }
    // The address must outlive the click that the browser handles later.
    gloo::timers::callback::Timeout::new(10_000, move || drop(url)).forget();
}
