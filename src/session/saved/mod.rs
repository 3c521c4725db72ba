//! What outlives a reload: the crab in hand, at the step where it was.
//!
//! The files of its photos are kept beside it under their numbers. What is gone: the question on its way (it is asked
//! again), the open tool, what undo remembers of before the last fifty steps, and the worker.

mod photo;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use self::photo::SavedPhoto;
use super::photo::PhotoWork;
use super::{Crab, Screen, Session};
use crate::terms::{Dimension, Placement};
use crate::worker::protocol;

/// Raised with every change of what is saved, in whichever room the type lives: the bytes hold values without names.
const VERSION: u32 = 2;

/// The crab in hand, as it is saved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SavedCrab {
    version: u32,
    screen: Screen,
    crab: Crab,
    date: Option<Date>,
    placement: Placement,
    dimension: Dimension,
    species: Option<String>,
    height_share: Option<(f64, f64)>,
    photos: Vec<SavedPhoto>,
    shown: Option<u64>,
}

/// Why a saved crab cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SavedError {
    /// An older or newer build saved it.
    #[error("saved as version {found}; this build reads version {VERSION}")]
    OtherVersion {
        /// The version it has.
        found: u32,
    },
    /// It is no saved crab.
    #[error("damaged: {0}")]
    Damaged(String),
}

impl SavedCrab {
    /// As bytes, the version first.
    pub fn encode(&self) -> Vec<u8> {
        protocol::encode(self)
    }

    /// From its bytes.
    pub fn decode(bytes: &[u8]) -> Result<Self, SavedError> {
        let damaged = |error: postcard::Error| SavedError::Damaged(error.to_string());
        let (found, _) = postcard::take_from_bytes::<u32>(bytes).map_err(damaged)?;
        if found != VERSION {
            return Err(SavedError::OtherVersion { found });
        }
        match postcard::take_from_bytes(bytes).map_err(damaged)? {
            (saved, []) => Ok(saved),
            (_, rest) => Err(SavedError::Damaged(format!("{} bytes too many", rest.len()))),
        }
    }

    /// The numbers of its photos.
    pub fn serials(&self) -> Vec<u64> {
        self.photos.iter().map(SavedPhoto::serial).collect()
    }

    /// The same with only those photos whose files are there.
    #[must_use]
    pub fn with_photos(mut self, is_there: impl Fn(u64) -> bool) -> Self {
        self.photos.retain(|photo| is_there(photo.serial()));
        if self.photos.is_empty() && self.screen == Screen::Measure {
            self.screen = Screen::Day;
        }
        self
    }
}

impl Session {
    /// True from the first photo or answer of a crab on.
    pub fn is_in_hand(&self) -> bool {
        !self.crab.is_fresh() || !self.photos().is_empty()
    }

    /// What is to be saved now; none without a crab in hand.
    pub fn saved(&self) -> Option<SavedCrab> {
        if !self.is_in_hand() {
            return None;
        }
        let photos: Vec<SavedPhoto> = self.photos().into_iter().filter_map(SavedPhoto::of).collect();
        let PhotoWork { placement, dimension, species, height_share, in_hand, .. } = &self.photo;
        Some(SavedCrab {
            version: VERSION,
            screen: self.screen_to_keep(),
            crab: self.crab.clone(),
            date: self.rules.date,
            placement: *placement,
            dimension: *dimension,
            species: species.clone(),
            height_share: *height_share,
            photos,
            shown: in_hand.as_ref().map(|photo| photo.serial),
        })
    }

    /// The saved crab is in hand again, unless another is already. What was on its way to the worker is asked again.
    pub(super) fn restore_crab(&mut self, saved: SavedCrab) {
        if self.is_in_hand() {
            return;
        }
        self.screen = saved.screen;
        self.rules.date = saved.date.filter(|&date| date != self.today);
        self.rules.enforce(saved.crab.answers.kind.given().map(String::as_str));
        self.crab = saved.crab;
        let rest = PhotoWork {
            last_number: self.photo.last_number,
            worker_lost: self.photo.worker_lost,
            placement: saved.placement,
            dimension: saved.dimension,
            species: saved.species,
            height_share: saved.height_share,
            ..PhotoWork::default()
        };
        let mut photos: Vec<PhotoWork> =
            saved.photos.into_iter().map(|photo| photo.into_work(&rest)).collect();
        for i in 1..photos.len() {
            photos[i].same_spots = photos[..i].iter().find_map(|work| work.own_spots.clone());
        }
        let is_shown = |work: &PhotoWork| work.in_hand.as_ref().map(|photo| photo.serial) == saved.shown;
        let shown = photos.iter().position(is_shown).or(photos.len().checked_sub(1));
        self.photo = shown.map_or(rest, |shown| photos.remove(shown));
        self.beside = photos;
        self.photo.ask_on();
    }
}

#[cfg(test)]
mod tests;
