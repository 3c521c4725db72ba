//! The page's second program: every screen but the day.

mod draw;

use std::rc::Rc;

use wasm_bindgen_futures::spawn_local;
use wasm_split_helpers::{SplitLoaderError, wasm_split};
use yew::prelude::*;

use super::hooks::photo::photo_file::{ChosenPhoto, PhotoFile};
use super::hooks::photo::photo_files::PhotoFiles;
use crate::session::{Action, DayCounts, Session};

/// What a screen is told beside the session.
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
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// Draws a screen of the second program.
pub type Draw = fn(&Session, &Around) -> Html;

/// Whether the second program is there.
#[derive(Clone, Copy)]
pub enum Later {
    /// On its way.
    Coming,
    /// Not to be had.
    Missing,
    /// There.
    There(Draw),
}

#[wasm_split(later, fallible)]
fn fetch_screens() -> Result<Draw, SplitLoaderError> {
    Ok(draw::draw)
}

/// Fetches the second program.
#[hook]
pub fn use_later() -> Later {
    let state = use_state(|| Later::Coming);
    {
        let state = state.setter();
        use_effect_with((), move |()| {
            spawn_local(async move {
                state.set(fetch_screens().await.map_or(Later::Missing, Later::There));
            });
        });
    }
    *state
}
