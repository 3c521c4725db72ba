//! A crab that was saved is in hand again as it was.

use nalgebra::Vector3;
use proptest::prelude::*;

use super::*;
use crate::day::{Id, Row};
use crate::decide::GaugeReading;
use crate::measure::SameSpots;
use crate::photo::{Limits, Photo};
use crate::rules::when::Sex;
use crate::session::several::tests::{NORTH, SOUTH, seen_from, taken, two};
use crate::session::tests::{
    after, answer, confirmed, confirmed_with, hard_male_dungeness, keeper, start, take_photo, with_points,
    with_scene,
};
use crate::session::{Action, DayAct, PhotoState, Reply, StripPhoto};
use crate::units::PhotoPoint;
use crate::worker::protocol::{Body, Question};

/// The page is closed and opened again: only what is encoded, and the count of the day, is left.
fn reloaded(session: &Session) -> Session {
    let saved = session.saved().expect("something in hand");
    let saved = SavedCrab::decode(&saved.encode()).expect("read");
    let rows = session.book.all_rows().map(|row| Row::clone(row)).collect();
    let begun = Action::Day(DayAct::Begin { seed: 2, kind: None });
    let loaded = Action::Day(DayAct::Loaded(rows));
    after(fresh(session), [begun, loaded, Action::RestoreCrab(Box::new(saved))])
}

/// A session that has what is remembered of the rules, and no crab.
fn fresh(session: &Session) -> Session {
    let rules = &session.rules;
    Session::new(session.today).apply(Action::RestoreRules {
        choice: rules.choice.clone(),
        confirmations: rules.confirmations.to_vec(),
        season_words: rules.season_words.to_vec(),
        own: Vec::new(),
    })
}

/// The strip; a photo in view that nothing was asked of is asked about. A last look at points that were moved
/// meanwhile is not asked for again.
fn strip_after(session: &Session) -> Vec<StripPhoto> {
    let mut session = session.clone();
    if !session.photo.marks.confirmed() && session.photo.scene.is_some() {
        session.photo.pending = None;
    }
    let mut strip = session.strip();
    for photo in &mut strip {
        let asked = photo.is_shown && photo.state == PhotoState::Waiting;
        let was_busy = !photo.is_shown && photo.state == PhotoState::Busy;
        photo.state = match photo.state {
            _ if asked => PhotoState::Busy,
            _ if was_busy => PhotoState::Waiting,
            state => state,
        };
    }
    strip
}

fn bits(session: &Session) -> Option<[u64; 4]> {
    let width = session.width()?;
    Some([width.width_mm, width.u_mm, width.interval_mm[0], width.interval_mm[1]].map(f64::to_bits))
}

fn assert_same(before: &Session) {
    let back = reloaded(before);
    assert_eq!(back.screen, before.screen);
    assert_eq!(back.crab, before.crab);
    assert_eq!(back.strip(), strip_after(before));
    assert_eq!(bits(&back), bits(before));
    assert_eq!(back.width(), before.width());
    assert_eq!(back.measured(), before.measured());
    assert_eq!(back.outcome(), before.outcome());
    assert_eq!(back.joined, before.joined);
    let marks = |session: &Session| -> Vec<_> {
        session.photos().into_iter().map(|work| work.marks.clone()).collect()
    };
    assert_eq!(marks(&back), marks(before));
}

#[test]
fn nothing_in_hand_is_nothing_to_save() {
    assert_eq!(start().saved(), None);
    assert_eq!(with_scene().apply(Action::NextCrab).saved(), None);
}

#[test]
fn every_step_of_a_crab_is_there_again() {
    let measured = with_points(with_scene(), 950.0);
    let told = after(confirmed(&measured), hard_male_dungeness());
    let gauged = told.apply(Action::Reply(Reply::Gauge(GaugeReading::NotOfSize)));
    let answers = after(start(), [Action::Reply(Reply::Sex(Sex::Male))]);
    let kept = keeper(start()).apply(Action::Day(DayAct::Keep(Id::first_person())));
    for session in [with_scene(), measured.clone(), confirmed(&measured), told, gauged, answers, kept] {
        assert_same(&session);
    }
}

#[test]
fn several_photos_give_the_same_joint_width() {
    let both = confirmed_with(&two(seen_from(NORTH, Vector3::zeros())), None);
    assert!(both.joined.is_some() && both.measured().is_some());
    assert_same(&both);
    assert_same(&both.apply(Action::ShowPhoto(1)));
    let moved = confirmed_with(&two(seen_from(NORTH, Vector3::new(4.0, 0.0, 0.0))), None);
    assert_same(&moved);
}

#[test]
fn what_was_on_its_way_is_asked_again() {
    let measuring = reloaded(&start().apply(take_photo()));
    assert!(matches!(measuring.pending().map(|pending| &pending.question), Some(Question::Measure(_))));
    let looking = with_points(with_scene(), 950.0).apply(Action::ConfirmPoints);
    let back = reloaded(&looking);
    assert!(matches!(back.pending().map(|pending| &pending.question), Some(Question::Look { .. })));
    let heard = back.apply(answer(&back, Body::Looked { hint: None, spots: None }));
    assert_eq!(heard.measured(), confirmed(&with_points(with_scene(), 950.0)).measured());
    // A photo that waits beside is asked about once it comes into view.
    let second = Action::TakePhoto { serial: 2, name: "2.jpg".into(), practice: None, same_crab: true };
    let waiting = reloaded(&after(start(), [take_photo(), second]));
    let strip: Vec<PhotoState> = waiting.strip().into_iter().map(|photo| photo.state).collect();
    assert_eq!(strip, [PhotoState::Busy, PhotoState::Waiting]);
    let shown = waiting.apply(Action::ShowPhoto(2));
    assert!(shown.pending().is_some());
}

/// What lies round the points of one photo helps to find them in another, also after a reload.
#[test]
fn pieces_of_the_photo_are_there_again() {
    let seen = seen_from(SOUTH, Vector3::zeros());
    let photo = Photo::decode(include_bytes!("../../../samples/crab-02.jpg"), &Limits::default())
        .expect("a sample of this repository");
    let spots = SameSpots::cut(&photo, &seen.scene, &seen.points, 160.0).expect("with a pose");
    let asked = taken(start(), 1, seen).apply(Action::ConfirmPoints);
    let looked =
        asked.apply(answer(&asked, Body::Looked { hint: None, spots: Some(Box::new(spots.clone())) }));
    let second = Action::TakePhoto { serial: 2, name: "2.jpg".into(), practice: None, same_crab: true };
    let back = reloaded(&looked).apply(second);
    let Some(Question::Measure(request)) = back.pending().map(|pending| &pending.question) else {
        panic!("nothing asked");
    };
    assert_eq!(request.same_spots.as_ref(), Some(&spots));
}

#[test]
fn a_crab_in_hand_is_not_replaced() {
    let saved = Box::new(with_scene().saved().expect("a photo"));
    let answered = start().apply(Action::Reply(Reply::Sex(Sex::Female)));
    assert_eq!(answered.apply(Action::RestoreCrab(saved)), answered);
}

/// The reading of a rule may come after the crab: what it said of the kind still holds until then.
#[test]
fn points_stay_while_the_rule_is_not_read_yet() {
    let session = after(with_points(with_scene(), 950.0), hard_male_dungeness());
    let mut unread = Session::new(session.today);
    unread.rules.choice = Some(crate::rules::Choice::of("not-read-yet", "any"));
    let saved = Box::new(session.saved().expect("a photo"));
    let back = unread.apply(Action::RestoreCrab(saved)).apply(Action::Reply(Reply::Sex(Sex::Female)));
    assert_eq!(bits(&back), bits(&session));
}

#[test]
fn a_photo_whose_file_is_gone_is_left_out() {
    let saved = two(seen_from(NORTH, Vector3::zeros())).saved().expect("photos");
    let one = saved.clone().with_photos(|serial| serial == 1);
    assert_eq!(one.serials(), [1]);
    assert_eq!(start().apply(Action::RestoreCrab(Box::new(one))).strip().len(), 1);
    let none = start().apply(Action::RestoreCrab(Box::new(saved.with_photos(|_| false))));
    assert_eq!((none.screen, none.photo.in_hand), (Screen::Day, None));
}

#[test]
fn another_version_is_told_and_rubbish_is_none() {
    let bytes = with_scene().saved().expect("a photo").encode();
    for found in [0, 1, 3] {
        let other: Vec<u8> = [&[found], &bytes[1..]].concat();
        assert_eq!(SavedCrab::decode(&other), Err(SavedError::OtherVersion { found: found.into() }));
    }
    let longer = [&bytes[..], &[0]].concat();
    for rubbish in [&[][..], &[2], &bytes[..bytes.len() / 2], &longer, &[255; 9]] {
        assert!(matches!(SavedCrab::decode(rubbish), Err(SavedError::Damaged(_))), "{rubbish:?}");
    }
}

/// A crab with two photos that this version saved. Where this fails, what is saved has changed: raise `VERSION` once
/// it was published, and save this file anew.
#[test]
fn what_this_version_saved_is_read_to_the_last_digit() {
    let bytes = include_bytes!("../../../tests/saved/two-photos.bin");
    let saved = SavedCrab::decode(bytes).expect("this version");
    assert_eq!(saved.encode(), bytes);
    assert_eq!(format!("{saved:?}"), include_str!("../../../tests/saved/two-photos.txt").trim_end());
    assert_eq!(start().apply(Action::RestoreCrab(Box::new(saved))).strip().len(), 2);
}

fn any_step() -> impl Strategy<Value = u8> {
    0..13_u8
}

/// One thing that a person or the worker does; the places vary.
fn step(session: &Session, step: u8, place: f64) -> Action {
    let at = PhotoPoint::new(1500.0 + place, 1500.0 + place / 7.0);
    match step {
        0 => take_photo(),
        1 => answer(session, Body::Measured(Box::new(seen_from(SOUTH, Vector3::zeros())))),
        2 => {
            answer(session, Body::Measured(Box::new(seen_from(NORTH, Vector3::new(place / 300.0, 0.0, 0.0)))))
        }
        3 => answer(session, Body::Looked { hint: None, spots: None }),
        4 => Action::ConfirmPoints,
        5 => Action::MoveMark { which: 0, to: at, px_per_css: 4.0 },
        6 => Action::StepMark { which: 1, right_px: place / 10.0, down_px: 1.0, px_per_css: 4.0 },
        7 => Action::Undo,
        8 => {
            let serial = 1 + session.strip().len() as u64 + session.photo.last_number;
            Action::TakePhoto { serial, name: "more.jpg".into(), practice: None, same_crab: true }
        }
        9 => Action::ShowPhoto(1),
        10 => Action::Reply(Reply::Kind("dungeness".into())),
        11 => Action::Cancel,
        _ => Action::SetPlacement(crate::terms::Placement::Level),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_was_done_is_there_again(steps in prop::collection::vec((any_step(), 0.0..900.0_f64), 0..14)) {
        let session = steps.into_iter().fold(start().apply(take_photo()), |session, (which, place)| {
            session.apply(step(&session, which, place))
        });
        assert_same(&session);
    }
}
