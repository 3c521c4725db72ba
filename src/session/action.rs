//! Everything that can happen to a session.

use std::rc::Rc;

use jiff::civil::Date;

use crate::decide::{Check, LocalClock};
use crate::rules::{Choice, Confirmation, FactRef, OwnRule, Pack};
use crate::terms::Placement;
use crate::units::PhotoPoint;
use crate::worker::protocol::Answer;

use super::catch::crab::Reply;
use super::photo::Target;
use super::photo::practice::TrueWidths;
use super::rule::SeasonWord;
use super::settings::Theme;
use super::{DayAct, LearnAct, SavedCrab, Screen, Settings};

/// What the person did, or what the worker said.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Go to a screen.
    Show(Screen),
    /// Something of the lessons.
    Learn(LearnAct),
    /// The time by the device's clock.
    SetClock(LocalClock),
    /// Switch the theme.
    SetTheme(Theme),
    /// Switch the vibration.
    SetVibration(bool),
    /// What an earlier day left.
    Restore(Settings),

    /// An answer to a check.
    Reply(Reply),
    /// Go back to a check.
    LookAt(Check),
    /// Done with this crab.
    NextCrab,
    /// Something of the day's book.
    Day(DayAct),
    /// The crab that was in hand before the page was closed; dropped where one is in hand already.
    RestoreCrab(Box<SavedCrab>),
    /// The day by the device's clock: a new day counts from nothing.
    SetToday(Date),

    /// The day of the catch; none for today.
    SetDate(Option<Date>),
    /// A water.
    ChooseRule(Choice),
    /// The packs that come with the page.
    PacksLoaded(Rc<Vec<Pack>>),
    /// What an earlier day left of rules.
    RestoreRules {
        /// The water.
        choice: Option<Choice>,
        /// What persons have read.
        confirmations: Vec<Confirmation>,
        /// What the person looked up of the season.
        season_words: Vec<SeasonWord>,
        /// Texts of the person's own packs.
        own: Vec<String>,
    },
    /// Lets go of own packs that can no longer be read.
    ForgetUnread,
    /// The person read these facts in the official rule today.
    ConfirmFacts {
        /// The facts.
        facts: Vec<FactRef>,
        /// Who.
        who: String,
    },
    /// The word on a fact is taken back.
    WithdrawFact(FactRef),
    /// A rule that the person makes or adjusts.
    MakeOwnRule {
        /// The form.
        rule: Box<OwnRule>,
        /// Who made it.
        who: String,
        /// Name of a water that no pack has; none: for the chosen one.
        new_water: Option<String>,
    },
    /// Text of a rules file.
    ImportPack(String),
    /// Takes a pack of the person's own away.
    RemovePack(String),

    /// A photo was chosen; the page keeps the file under `serial`.
    TakePhoto {
        /// Number of the photo in this session.
        serial: u64,
        /// Name of the file.
        name: String,
        /// The true widths of a practice photo.
        practice: Option<TrueWidths>,
        /// It shows the crab in hand once more, with the card where it lay.
        same_crab: bool,
    },
    /// Brings one of the crab's photos into view.
    ShowPhoto(u64),
    /// Takes one of the crab's photos out.
    DropOnePhoto(u64),
    /// A file could not be fetched or is none.
    PhotoFailed(crate::text::Notice),
    /// Puts the photo away, keeps the answers.
    DropPhoto,

    /// The worker spoke.
    Heard(Answer),
    /// The worker broke.
    WorkerStopped,
    /// Stop the work in hand.
    Cancel,

    /// Where the card lies.
    SetPlacement(Placement),
    /// Propose afresh.
    LookAgain,
    /// The next tap names the card.
    PointAtCard,
    /// The next tap names the shell.
    PointAtShell,
    /// The next four taps are the card's corners.
    PlaceCorners,
    /// Take both points away and place them by hand.
    PlacePoints,
    /// The kind of the crab on a practice photo: it holds where none was answered.
    PracticeKind(String),
    /// A tap on the photo.
    Tap {
        /// Where.
        at: PhotoPoint,
        /// What counts as close, in photo pixels.
        reach_px: f64,
    },
    /// A mark is taken up to be dragged or stepped.
    BeginMove,
    /// A mark goes to a place.
    MoveMark {
        /// 0 or 1.
        which: usize,
        /// Where to.
        to: PhotoPoint,
        /// Photo pixels in one CSS pixel, as the photo is shown.
        px_per_css: f64,
    },
    /// A mark goes on by so many pixels from where it is, as a step of its own.
    StepMark {
        /// 0 or 1.
        which: usize,
        /// To the right.
        right_px: f64,
        /// Down.
        down_px: f64,
        /// Photo pixels in one CSS pixel, as the photo is shown.
        px_per_css: f64,
    },
    /// Opens the aiming window.
    OpenAim {
        /// For what.
        target: Target,
        /// Where it starts.
        at: PhotoPoint,
    },
    /// The photo moved under the cross.
    AimAt(PhotoPoint),
    /// The cross goes on by so many pixels from where it is: keys may come faster than the page is drawn.
    StepAim {
        /// To the right.
        right_px: f64,
        /// Down.
        down_px: f64,
    },
    /// What lies under the cross is it.
    SetAim {
        /// Photo pixels in one CSS pixel, as the aiming window shows them.
        px_per_css: f64,
    },
    /// Asks for the margin corner nearest to the cross.
    SnapAim,
    /// Closes the aiming window or ends the tool.
    CloseTool,
    /// Takes the last step back.
    Undo,
    /// The points are right.
    ConfirmPoints,
    /// Changes a confirmed width again.
    ReopenPoints,
}
