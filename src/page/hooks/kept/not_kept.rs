//! What of the crab in hand would be lost by a reload, and why.

/// Stands for the DOM error of a photo that the browser could not decode or encode in time.
pub const UNREADABLE: &str = "EncodingError";

/// What is not kept, or was not brought back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotKept {
    /// The browser lets the page keep nothing; the DOM error's name.
    Blocked(String),
    /// The last change was not kept; the DOM error's name.
    LastChange(String),
    /// The answers are kept, a photo is not; the DOM error's name.
    Photo(String),
    /// So many changes of the day were not kept; the DOM error's name.
    Day(usize, String),
    /// Photos of so many measured crabs were not kept, the crabs are; the DOM error's name.
    CrabPhoto(usize, String),
    /// The browser dropped all that it kept for the page while it was open; the day was written anew.
    Cleared,
    /// So many rows of the day cannot be read by this build.
    DayUnread(usize),
    /// A tab with an older version of the page holds the database.
    OlderTab,
    /// A newer version of the page has the database; so many changes of the day are not kept here.
    Newer(usize),
    /// Another tab keeps its crab.
    OtherTab,
    /// The crab that was kept came late from the disk, and another one was in hand by then.
    CameLate,
    /// What was kept cannot be read by this build.
    Unread,
    /// A photo that was kept could not be read.
    PhotoGone,
}

impl NotKept {
    /// Stable code in kebab-case.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Blocked(_) => "blocked",
            Self::LastChange(_) => "last-change",
            Self::Photo(_) => "photo",
            Self::Day(..) => "day",
            Self::CrabPhoto(..) => "crab-photo",
            Self::Cleared => "cleared",
            Self::DayUnread(_) => "day-unread",
            Self::OlderTab => "older-tab",
            Self::Newer(_) => "newer",
            Self::OtherTab => "other-tab",
            Self::CameLate => "came-late",
            Self::Unread => "unread",
            Self::PhotoGone => "photo-gone",
        }
    }

    /// What is lost, what is safe, and what to do.
    pub fn words(&self) -> String {
        let full = |name: &str| {
            if name == "QuotaExceededError" { "The storage is full" } else { "The storage failed" }
        };
        match self {
            Self::Blocked(name) => format!(
                "This browser keeps nothing for the page ({name}). All of it works, but closing or reloading the page \
                 loses the day and the crab in hand: save a copy of the day first (Crabs). What was kept before this \
                 page was opened is not counted. A window that is not private may keep it."
            ),
            Self::LastChange(name) => format!(
                "{} ({name}): your last steps on this crab are not kept. They stay while the page is open: finish this \
                 crab first. The page tries again with each step.",
                full(name)
            ),
            Self::Photo(name) => format!(
                "{} ({name}): your answers are kept, the photo is not. It stays while the page is open; after a reload \
                 take it anew. The page tries again with each step.",
                full(name)
            ),
            Self::Day(count, name) => format!(
                "{} ({name}): the last {count} changes of the day are not kept. They stay while the page is open: save \
                 a copy (Crabs), or make room. The page tries again.",
                full(name)
            ),
            Self::CrabPhoto(count, name) if name == UNREADABLE => format!(
                "The crab is kept, {count} of its photos not: the browser could not read what the camera made."
            ),
            Self::CrabPhoto(count, name) => format!(
                "{} ({name}): the crab is kept, {count} of its pictures are not. They stay while the page is open, and \
                 are tried again with the next crab. Save a copy with photos (Crabs), or make room.",
                full(name)
            ),
            Self::Cleared => "The browser dropped what it kept for this page: its site data was cleared. The day is \
                              written anew from this open page; photos of crabs are lost unless a copy has them. Save \
                              a copy (Crabs)."
                .into(),
            Self::DayUnread(count) => format!(
                "{count} entries of the day's book cannot be read by this version of the page. They are left as they \
                 are, for a version that can: take the update."
            ),
            Self::OlderTab => "Another tab has an older version of this page open and holds the day. Close the other \
                               tab: nothing is lost, and the day comes up here by itself."
                .into(),
            Self::Newer(left) => {
                let left = match left {
                    0 => "Nothing is lost.".to_owned(),
                    1 => "The last change made here is not kept: note it down, and make it again.".to_owned(),
                    left => format!(
                        "The last {left} changes made here are not kept: note them down, and make them again."
                    ),
                };
                format!(
                    "A newer version of this page keeps the day now. {left} Close the other tabs of this page, then \
                     load this one again to take the newer version."
                )
            }
            Self::OtherTab => {
                "Another tab of this page keeps its crab. This tab keeps none: closing or reloading it \
                               loses the crab in hand here. What the other tab keeps is safe."
                    .into()
            }
            Self::CameLate => {
                "The disk was slow. The crab from before is safe and comes back at the next start; the one in hand now \
                 is not kept: finish it, then load the page again."
                    .into()
            }
            Self::Unread => {
                "The crab that was in hand cannot be read by this version of the page. It is put aside, not \
                             deleted, for a version that can. Measure it again, or use the gauge."
                    .into()
            }
            Self::PhotoGone => {
                "A photo of this crab could not be read again. Your answers are here: take the photo anew."
                    .into()
            }
        }
    }
}
