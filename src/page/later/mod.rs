//! The page's second program: every screen but the day, and what only those need.
//!
//! The build tool cuts it off from the first program at the mark in `src/bin/page.rs`, the one place that names
//! [`Program::whole`]: what is reached from there alone comes after the first screen stands. Both share one memory, so what
//! crosses are plain Rust values. The mark is an export, which the linker keeps in every program whose crates have it: in
//! this library it doubled the worker.

mod screens;
mod work;

use std::pin::Pin;
use std::rc::Rc;

use gloo::timers::callback::{Interval, Timeout};
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::hooks::kept::saved_crab::KeptState;
use super::hooks::photo::photo_file::{ChosenPhoto, PhotoFile};
use super::hooks::photo::photo_files::PhotoFiles;
use super::parts::message::Message;
use crate::session::{Action, DayCounts, Session};
use crate::text::Notice;

/// What could not be fetched is tried again after so long.
const AGAIN_MS: u32 = 4000;

/// What the second program is told beside the session.
#[derive(Clone)]
pub struct Around {
    /// What was counted today.
    pub counts: Option<DayCounts>,
    /// The book is not on the disk.
    pub is_without_disk: bool,
    /// The file of the photo in view.
    pub photo: Option<Rc<PhotoFile>>,
    /// The files of all photos.
    pub files: PhotoFiles,
    /// Takes what is to be shown of the crab that is kept.
    pub kept: UseStateSetter<KeptState>,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The second program.
#[derive(Clone, Copy)]
pub struct Program {
    /// The session after any action.
    pub apply: fn(&Session, Action) -> Session,
    /// Draws the screen of the moment, unless it is the day.
    pub screen: fn(&Session, &Around) -> Html,
    /// What goes on at every screen and is not seen.
    pub work: fn(&Session, &Around) -> Html,
}

/// Whether the second program is there.
#[derive(Clone, Copy)]
pub enum Late {
    /// On its way.
    Coming,
    /// It could not be had; it is tried again.
    Missing,
    /// There.
    There(Program),
}

impl Program {
    /// The whole of it. Only what the build tool cuts off may call this.
    pub fn whole() -> Self {
        Self { apply: Session::apply, screen: screens::screen, work: work::work }
    }
}

/// The second program on its way; none where it could not be had.
pub type Coming = Pin<Box<dyn Future<Output = Option<Program>>>>;

/// Fetches the second program.
#[derive(Clone, Copy)]
pub struct Fetch(pub fn() -> Coming);

impl PartialEq for Fetch {
    /// A page has one.
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// Fetches the second program once the first screen stands, until it is there. Gives what to call to try at once.
#[hook]
pub fn use_late(fetch: Fetch, late: Late, told: Callback<Late>) -> Callback<()> {
    let again = use_callback((), move |(), ()| {
        let told = told.clone();
        spawn_local(async move { told.emit((fetch.0)().await.map_or(Late::Missing, Late::There)) });
    });
    let first = again.clone();
    use_effect_with((), move |()| {
        // Once the first screen is in the document. A frame is no measure: a page in the background draws none.
        let timer = Timeout::new(0, move || first.emit(()));
        move || drop(timer)
    });
    use_effect_with(matches!(late, Late::There(_)), |is_there| {
        // For a test that waits for it.
        let _ = gloo::utils::body().set_attribute("data-late", if *is_there { "there" } else { "no" });
    });
    let next = again.clone();
    use_effect_with(matches!(late, Late::Missing), move |is_missing| {
        let timer = is_missing.then(|| Interval::new(AGAIN_MS, move || next.emit(())));
        move || drop(timer)
    });
    again
}

/// What stands in place of a screen that is not there yet.
#[derive(Properties, PartialEq)]
pub struct NotThereProps {
    /// It could not be fetched.
    pub is_missing: bool,
    /// Tries again at once.
    pub again: Callback<()>,
}

/// Says that the screen is on its way, or that it could not be had and what to do.
#[component]
pub fn NotThere(props: &NotThereProps) -> Html {
    if !props.is_missing {
        return html! { <p id="late-coming" class="hint" role="status">{ "This part of the page is on its way." }</p> };
    }
    let again = props.again.reform(|_: MouseEvent| ());
    let notice = Notice::new(
        "late-missing",
        "A part of the page could not be fetched, or is damaged.",
        "Go where there is a network: it is tried again by itself. If that does not help, reload the page. Until it \
         works, use a physical gauge and the official rules. What was written down stays on this device.",
    );
    html! {
        <section class="screen">
            <Message {notice} />
            <button id="late-again" type="button" class="main-act wide-act" onclick={again}>{ "Try again" }</button>
        </section>
    }
}
