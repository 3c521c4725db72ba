//! The reducer, from the person's side.

mod early;
mod taps;

use jiff::civil::date;
use nalgebra::{Matrix3, Vector3};

use super::*;
use crate::camera::{FocalFrom, Intrinsics, Pose};
use crate::card::FoundCard;
use crate::decide::{Call, GaugeReading, PointsHint};
use crate::measure::{Measurement, PointsFrom, Refused};
use crate::refusal::Refusal;
use crate::rules::when::{Sex, Stage};
use crate::scene::{Scene, ScenePose};
use crate::terms::Placement;
use crate::units::{PhotoPoint, PhotoSize};
use crate::width::{HeightPrior, View, measure_width};
use crate::worker::protocol::{Answer, Body, Question};

/// Puget Sound on a day in November.
pub(super) fn start() -> Session {
    let choice = crate::rules::Choice::of("us-wa", "puget-sound");
    let begun = Action::Day(DayAct::Begin { seed: 1, kind: None });
    let acts = [begun, Action::Day(DayAct::Loaded(Vec::new())), Action::ChooseRule(choice)];
    after(Session::new(date(2026, 11, 25)), acts)
}

pub(super) fn after(session: Session, actions: impl IntoIterator<Item = Action>) -> Session {
    actions.into_iter().fold(session, |session, action| session.apply(action))
}

pub(super) fn take_photo() -> Action {
    Action::TakePhoto { serial: 1, name: "crab.jpg".into(), practice: None, same_crab: false }
}

/// The shell lies in front of the card, 100 mm from it.
const SHELL_Y_PX: f64 = 1000.0;

/// A camera 600 mm straight above the middle of the card, 3000 px focal length.
fn scene() -> Scene {
    let size = PhotoSize { width: 4000, height: 3000 };
    let intrinsics = Intrinsics::centred(3000.0, size);
    // The card's z points up at the camera, the camera's z down at the card.
    let rotation = Matrix3::new(1.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 0.0, -1.0);
    let pose = Pose { rotation, translation_mm: Vector3::new(0.0, 0.0, 600.0) };
    let corner = |x: f64, y: f64| {
        intrinsics.project(&pose.transform(&Vector3::new(x, y, 0.0))).expect("before the camera")
    };
    let corners = [corner(-42.8, 26.99), corner(42.8, 26.99), corner(42.8, -26.99), corner(-42.8, -26.99)];
    Scene {
        size,
        card: FoundCard { corners, corner_u_px: [0.4; 4], unsure_edges: [false; 4] },
        poses: vec![ScenePose { intrinsics, pose, weight: 1.0, rms_px: 0.2 }],
        focal_from: FocalFrom::Exif,
        focal_relative_u: 0.02,
        prior_intrinsics: intrinsics,
        principal_u_px: 20.0,
        lens: None,
    }
}

/// Both points are called right, and the worker's last look finds `hint`.
pub(super) fn confirmed_with(session: &Session, hint: Option<PointsHint>) -> Session {
    let asked = session.apply(Action::ConfirmPoints);
    let looked = answer(&asked, Body::Looked { hint, spots: None });
    asked.apply(looked)
}

pub(super) fn confirmed(session: &Session) -> Session {
    confirmed_with(session, None)
}

pub(super) fn answer(session: &Session, body: Body) -> Action {
    Action::Heard(Answer { number: session.photo.last_number, body })
}

/// A photo whose card is found, and no shell.
pub(super) fn with_scene() -> Session {
    let session = start().apply(take_photo());
    let refused = Refused {
        refusal: Refusal::NoShell,
        scene: Some(scene()),
        candidates: Vec::new(),
        warnings: Vec::new(),
    };
    let heard = answer(&session, Body::Refused(Box::new(refused)));
    session.apply(heard)
}

/// Both points placed by hand, `apart_px` from each other.
pub(super) fn with_points(session: Session, apart_px: f64) -> Session {
    let at = |x: f64| PhotoPoint::new(2000.0 + x, SHELL_Y_PX);
    after(
        session,
        [
            Action::PlacePoints,
            Action::Tap { at: at(-apart_px / 2.0 - 30.0), reach_px: 20.0 },
            Action::AimAt(at(-apart_px / 2.0)),
            Action::SetAim { px_per_css: 1.0 },
            Action::Tap { at: at(apart_px / 2.0 + 25.0), reach_px: 20.0 },
            Action::AimAt(at(apart_px / 2.0)),
            Action::SetAim { px_per_css: 1.0 },
        ],
    )
}

fn call(session: &Session) -> Option<Call> {
    session.outcome().and_then(|outcome| outcome.verdict().map(|verdict| verdict.call()))
}

pub(super) fn hard_male_dungeness() -> Vec<Action> {
    vec![
        Action::Reply(Reply::Kind("dungeness".into())),
        Action::Reply(Reply::Season(true)),
        Action::Reply(Reply::Sex(Sex::Male)),
        Action::Reply(Reply::Shell(Stage::Hard)),
        Action::Reply(Reply::Parts(crate::decide::Parts::Whole)),
    ]
}

#[test]
fn a_photo_is_asked_about_at_once() {
    let session = start().apply(take_photo());
    assert_eq!(session.screen, Screen::Measure);
    assert!(matches!(session.pending().map(|pending| &pending.question), Some(Question::Measure(_))));
}

#[test]
fn late_answers_are_dropped() {
    let first = start().apply(take_photo());
    let late =
        answer(&first, Body::Unusable(crate::text::Notice::new("damaged", "Damaged.", "Choose another.")));
    let second = first.apply(Action::LookAgain);
    let heard = second.apply(late);
    assert_eq!(heard, second);
}

#[test]
fn two_points_placed_by_hand_give_a_width_and_wait_for_the_persons_word() {
    let session = with_points(with_scene(), 800.0);
    let width = session.photo.width.clone().expect("a width");
    // 800 px at 3000 px focal length, 600 mm away, seen 0.21 w higher: w = 800 / 3000 (600 - 0.21 w).
    let expected = 800.0 / 3000.0 * 600.0 / (1.0 + 0.21 * 800.0 / 3000.0);
    assert!((width.width_mm - expected).abs() < 0.5, "{} is not {expected}", width.width_mm);
    assert_eq!(session.measured(), None);
    assert_eq!(session.apply(Action::ConfirmPoints).measured(), None, "the last look is open");
    let confirmed = confirmed(&session);
    assert!(confirmed.measured().is_some());
    assert_eq!(confirmed.screen, Screen::Checks, "the word is given: the way goes on");
}

#[test]
fn a_dragged_point_takes_the_confirmation_back() {
    let session = confirmed(&with_points(with_scene(), 800.0));
    let before = session.photo.width.as_ref().map(|width| width.width_mm);
    let dragged = after(
        session,
        [
            Action::BeginMove,
            Action::MoveMark { which: 0, to: PhotoPoint::new(1590.0, SHELL_Y_PX), px_per_css: 4.0 },
        ],
    );
    assert!(dragged.photo.width.as_ref().map(|width| width.width_mm) > before);
    assert_eq!(dragged.measured(), None);
    let undone = dragged.apply(Action::Undo);
    assert_eq!(undone.photo.width.as_ref().map(|width| width.width_mm), before);
}

#[test]
fn another_placement_changes_the_width_and_asks_again() {
    let session = confirmed(&with_points(with_scene(), 800.0));
    let level = session.apply(Action::SetPlacement(Placement::Level));
    let width = |session: &Session| session.photo.width.as_ref().map(|width| width.width_mm);
    assert!(width(&level) > width(&session));
    assert!(!level.photo.is_confirmed());
}

#[test]
fn a_soft_crab_ends_the_walk_without_a_photo() {
    let session = after(
        start(),
        [Action::Reply(Reply::Kind("dungeness".into())), Action::Reply(Reply::Shell(Stage::Soft))],
    );
    assert_eq!(session.screen, Screen::Verdict);
    assert_eq!(call(&session), Some(Call::Release));
}

#[test]
fn photo_first_or_checks_first_gives_the_same_verdict() {
    let photo = |session: Session| {
        let session = session.apply(take_photo());
        let refused = Refused {
            refusal: Refusal::NoShell,
            scene: Some(scene()),
            candidates: Vec::new(),
            warnings: Vec::new(),
        };
        let heard = answer(&session, Body::Refused(Box::new(refused)));
        confirmed(&with_points(session.apply(heard), 950.0))
    };
    let first = after(photo(start()), hard_male_dungeness());
    let last = photo(after(start(), hard_male_dungeness()));
    assert_eq!(call(&first), call(&last));
    assert_eq!(call(&first), Some(Call::Keep));
}

/// Source: 165 mm between the tips is about 154 mm between the notches (B. D. Smith, UBC thesis 1988): what
/// looks like tips under a rule between notches is no keeper, until a point is moved and looked at anew.
#[test]
fn a_sign_of_wrong_points_reaches_the_verdict() {
    let session = start().apply(take_photo());
    let hand = |x: f64| scene().hand_placed(PhotoPoint::new(x, SHELL_Y_PX));
    let points = [hand(1550.0), hand(2450.0)];
    let prior = HeightPrior::of(Placement::Deck, session.photo.height_share);
    let width = measure_width(&View { scene: &scene(), points }, &prior).expect("a width");
    let seen = |points_hint| Measurement {
        scene: scene(),
        points,
        points_from: PointsFrom::Proposed,
        proposal: None,
        width: width.clone(),
        points_hint,
        warnings: Vec::new(),
    };
    let session = after(session, hard_male_dungeness());
    let measured = session.apply(answer(&session, Body::Measured(Box::new(seen(None)))));
    assert_eq!(call(&measured.apply(Action::ConfirmPoints)), None, "the last look is open");
    assert_eq!(call(&confirmed(&measured)), Some(Call::Keep));
    assert_eq!(call(&confirmed_with(&measured, Some(PointsHint::NearTips))), Some(Call::Gauge));
    // A worker that dies leaves the doubt open.
    let asked = measured.apply(Action::ConfirmPoints);
    let died = asked.apply(Action::WorkerStopped);
    assert!(died.measured().is_none() && !died.photo.marks.confirmed());
}

#[test]
fn the_gauge_goes_before_the_photo() {
    let session = after(confirmed(&with_points(with_scene(), 950.0)), hard_male_dungeness());
    let gauged = session.apply(Action::Reply(Reply::Gauge(GaugeReading::NotOfSize)));
    assert_eq!(call(&gauged), Some(Call::Release));
}

#[test]
fn a_broken_worker_costs_no_answer() {
    let session = after(with_points(with_scene(), 950.0), hard_male_dungeness());
    let broken = after(session.clone(), [Action::LookAgain, Action::WorkerStopped]);
    assert_eq!(broken.crab, session.crab);
    assert!(broken.photo.worker_lost);
    assert_eq!(broken.photo.notice.as_ref().map(|notice| notice.code.as_str()), Some("worker-stopped"));
    let again = broken.apply(Action::LookAgain);
    assert!(again.pending().is_some(), "it can be asked again");
}

#[test]
fn stopping_the_work_stops_it() {
    let session = after(start(), [take_photo(), Action::Cancel]);
    assert_eq!(session.pending(), None);
    assert!(session.photo.worker_lost);
    assert_eq!(session.photo.notice.as_ref().map(|notice| notice.code.as_str()), Some("stopped"));
}

#[test]
fn with_two_cards_a_tap_says_which() {
    let session = start().apply(take_photo());
    let two = [[PhotoPoint::new(10.0, 10.0); 4], [PhotoPoint::new(900.0, 10.0); 4]];
    let refused =
        Refused { refusal: Refusal::TwoCards, scene: None, candidates: two.to_vec(), warnings: Vec::new() };
    let heard = answer(&session, Body::Refused(Box::new(refused)));
    let tap = Action::Tap { at: PhotoPoint::new(905.0, 12.0), reach_px: 20.0 };
    let asked = after(session, [heard, tap]);
    let Some(Question::Measure(request)) = asked.pending().map(|pending| &pending.question) else {
        panic!("nothing asked");
    };
    assert_eq!(request.card_near, Some(PhotoPoint::new(905.0, 12.0)));
}

#[test]
fn steps_add_up_however_fast_they_come() {
    let session = with_points(with_scene(), 800.0);
    let step = Action::StepMark { which: 0, right_px: 0.0, down_px: 10.0, px_per_css: 4.0 };
    let stepped = after(session.clone(), [step.clone(), step]);
    let place = |session: &Session, which| session.photo.marks.get(which).map(|marked| marked.point);
    let from = place(&session, 0).expect("a point");
    assert_eq!(place(&stepped, 0), Some(PhotoPoint::new(from.x, from.y + 20.0)));
    assert_eq!(place(&stepped.apply(Action::Undo), 0), Some(PhotoPoint::new(from.x, from.y + 10.0)));

    let open = Action::OpenAim { target: Target::Point(1), at: from };
    let step = Action::StepAim { right_px: 1.0, down_px: 0.0 };
    let aimed = after(session, [open, step.clone(), step, Action::SetAim { px_per_css: 1.0 }]);
    assert_eq!(place(&aimed, 1), Some(PhotoPoint::new(from.x + 2.0, from.y)));
}

/// One thumb: the window opens for the first point, goes on to the second by itself, and closes.
#[test]
fn both_points_are_placed_without_looking_for_a_button() {
    let session = with_points(with_scene(), 800.0).apply(Action::PlacePoints);
    let aims_at = |session: &Session, which| matches!(session.photo.tool, Tool::Aim(aim) if aim.target == Target::Point(which));
    assert!(aims_at(&session, 0), "{:?}", session.photo.tool);
    let session = session.apply(Action::SetAim { px_per_css: 1.0 });
    assert!(aims_at(&session, 1), "{:?}", session.photo.tool);
    let session = session.apply(Action::SetAim { px_per_css: 1.0 });
    assert_eq!(session.photo.tool, Tool::Look);
    assert!(session.photo.marks.both().is_some());
}

#[test]
fn four_corners_by_hand_are_asked_about() {
    let mut session = after(start(), [take_photo(), Action::PlaceCorners]);
    for at in scene().card.corners {
        session = after(session, [Action::Tap { at, reach_px: 20.0 }, Action::SetAim { px_per_css: 1.0 }]);
    }
    let Some(Question::Measure(request)) = session.pending().map(|pending| &pending.question) else {
        panic!("nothing asked");
    };
    assert_eq!(request.card_corners, Some(scene().card.corners));
}

#[test]
fn the_next_crab_starts_clean_but_keeps_the_water() {
    let session = after(with_scene(), [Action::SetPlacement(Placement::Level)]);
    let next = after(session.clone(), hard_male_dungeness()).apply(Action::NextCrab);
    assert_eq!(next.crab, Crab::of(Some("dungeness".into())), "only the kind stays");
    assert_eq!(next.photo.in_hand, None);
    assert_eq!(next.photo.placement, Placement::Deck, "where the card lies belongs to one crab");
    assert_eq!(next.rules.choice, session.rules.choice);
    assert!(next.photo.last_number >= session.photo.last_number, "numbers only rise");
}

#[test]
fn nothing_that_is_no_number_moves_anything() {
    let session = with_points(with_scene(), 800.0);
    let nan = PhotoPoint::new(f64::NAN, 1.0);
    for action in [
        Action::Tap { at: nan, reach_px: 1.0 },
        Action::MoveMark { which: 0, to: nan, px_per_css: 4.0 },
        Action::MoveMark { which: 9, to: PhotoPoint::default(), px_per_css: 4.0 },
        Action::AimAt(nan),
    ] {
        let after = session.apply(action);
        assert_eq!(after.photo.marks.both(), session.photo.marks.both());
    }
}

/// A hard male Dungeness that the gauge lets pass.
pub(super) fn keeper(session: Session) -> Session {
    after(after(session, hard_male_dungeness()), [Action::Reply(Reply::Gauge(GaugeReading::OfSize))])
}

/// A refusal that leaves the scene leaves the hand: both points can still be put.
#[test]
fn points_can_be_placed_by_hand_wherever_the_card_was_found() {
    for refusal in [Refusal::NoShell, Refusal::TooFar] {
        let session = start().apply(take_photo());
        let refused = Refused { refusal, scene: Some(scene()), candidates: Vec::new(), warnings: Vec::new() };
        let heard = answer(&session, Body::Refused(Box::new(refused)));
        let placed = with_points(session.apply(heard), 950.0);
        assert!(placed.photo.width.is_some(), "{refusal:?}");
        assert!(confirmed(&placed).measured().is_some(), "{refusal:?}");
    }
}
