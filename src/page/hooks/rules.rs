//! Rules between days: the packs that come with the page, the choice, the confirmations, own packs.

use std::rc::Rc;

use gloo::events::EventListener;
use js_sys::Promise;
use serde::de::DeserializeOwned;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::StorageEvent;
use yew::prelude::*;

use super::kept::remembered::{is_key, recall, remember};
use super::meta::meta;
use super::photo::photo_file::{fetch_text, start_fetch, text_of};
use crate::rules::{Choice, Pack, built_in_pack};
use crate::session::rule::still_readable;
use crate::session::{Action, RuleBook};

const CHOICE: &str = "rule";
const CONFIRMATIONS: &str = "confirmations";
const SEASONS: &str = "seasons";
const OWN: &str = "own-packs";

/// What an earlier day left.
pub fn recall_all_rules() -> Action {
    recall_rules(recall(CHOICE))
}

/// What is kept now, with a choice of the water or without.
fn recall_rules(choice: Option<Choice>) -> Action {
    Action::RestoreRules {
        choice,
        confirmations: one_by_one(CONFIRMATIONS),
        season_words: one_by_one(SEASONS),
        own: recall(OWN).unwrap_or_default(),
    }
}

/// A stored list, without what can no longer be read.
fn one_by_one<T: DeserializeOwned>(key: &str) -> Vec<T> {
    still_readable(recall(key).unwrap_or_default())
}

/// Keeps the choice, the confirmations and own packs for the next day.
#[hook]
pub fn use_remembered_rules(book: &RuleBook) {
    use_effect_with(book.choice.clone(), |choice| remember(CHOICE, choice));
    use_effect_with(book.confirmations.clone(), |confirmations| remember(CONFIRMATIONS, &**confirmations));
    use_effect_with(book.season_words.clone(), |words| remember(SEASONS, &**words));
    use_effect_with((book.own.clone(), book.unread.clone()), |(own, unread)| {
        let texts: Vec<String> =
            own.iter().map(crate::rules::write_pack).chain(unread.iter().cloned()).collect();
        remember(OWN, &texts);
    });
}

/// What another tab was told of seasons and figures, and its own packs, hold here too: a water that was looked up as
/// closed there must not stay open here, nor be written over. Each tab keeps its own water.
#[hook]
pub fn use_rules_of_other_tabs(act: &Callback<Action>) {
    let act = act.clone();
    use_effect_with((), move |()| {
        let listener = EventListener::new(&gloo::utils::window(), "storage", move |event| {
            let key = event.dyn_ref::<StorageEvent>().and_then(StorageEvent::key);
            // Data that were cleared are told by the day's book.
            if key.is_some_and(|key| [CONFIRMATIONS, SEASONS, OWN].into_iter().any(|ours| is_key(&key, ours)))
            {
                act.emit(recall_rules(None));
            }
        });
        move || drop(listener)
    });
}

/// Fetches the other packs once the page stands, that of the chosen water first; the built-in one is there at once.
#[hook]
pub fn use_packs(act: &Callback<Action>) {
    let act = act.clone();
    use_effect_with((), move |()| {
        spawn_local(async move {
            let base = format!("{}rules/", meta("shellspan-base"));
            let built_in = built_in_pack();
            let chosen = recall::<Choice>(CHOICE).map(|choice| choice.pack);
            if let Some(pack) = chosen.filter(|pack| *pack != built_in.id && is_file_name(pack)) {
                // Nothing else is on its way yet: the rule of the first screen has the whole line.
                if let Some(first) = read(start_fetch(&format!("{base}{pack}.json"))).await {
                    act.emit(Action::PacksLoaded(Rc::new(vec![built_in.clone(), first])));
                }
            }
            let Some(list) = fetch_text(&format!("{base}index.json")).await else { return };
            let names: Vec<String> = serde_json::from_str(&list).unwrap_or_default();
            let mut packs = vec![built_in];
            let fetching: Vec<_> = names.iter().map(|name| start_fetch(&format!("{base}{name}"))).collect();
            for one in fetching {
                let pack = read(one).await;
                packs.extend(pack.filter(|pack| !packs.iter().any(|known| known.id == pack.id)));
            }
            act.emit(Action::PacksLoaded(Rc::new(packs)));
        });
    });
}

/// Checked when it was built: reading it is enough, and leaves the page free.
async fn read(fetching: Promise) -> Option<Pack> {
    serde_json::from_str(&text_of(fetching).await?).ok()
}

/// Our own packs are files named after their ids; a pack of one's own may be called anything.
fn is_file_name(pack: &str) -> bool {
    pack.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-')
}
