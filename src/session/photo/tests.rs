//! What is asked of the photo in hand before its width counts.

use crate::decide::Call;
use crate::measure::Refused;
use crate::photo::PhotoError;
use crate::refusal::Refusal;
use crate::session::tests::{
    after, answer, confirmed, hard_male_dungeness, start, take_photo, with_points, with_scene,
};
use crate::session::{Action, Screen, Session, Target, Tool, words};
use crate::terms::Placement;
use crate::units::PhotoPoint;
use crate::worker::protocol::Body;

fn call(session: &Session) -> Option<Call> {
    session.outcome().and_then(|outcome| outcome.verdict().map(|verdict| verdict.call()))
}

/// The picture tells a card on the shell from one beside it: nothing is kept, and the photo stays in view, until the
/// placement agrees with it.
#[test]
fn a_card_seen_elsewhere_than_said_keeps_nothing_until_it_is_settled() {
    let before = after(with_points(with_scene(), 1000.0), hard_male_dungeness());
    let kept = confirmed(&before);
    assert_eq!((call(&kept), kept.photo.card_doubt()), (Some(Call::Keep), None));
    let back = after(before.clone(), [Action::SetPlacement(Placement::Back), Action::Show(Screen::Measure)]);
    let doubted = confirmed(&back);
    assert_eq!(doubted.photo.card_doubt(), Some(crate::doubts::Warning::CardBesideShell));
    assert_eq!((call(&doubted), doubted.measured(), doubted.screen), (None, None, Screen::Measure));
    assert!(words::card_contradicts(&doubted.photo).is_some_and(|words| words.contains("beside the crab")));
    let settled = confirmed(&doubted.apply(Action::SetPlacement(Placement::Deck)));
    assert_eq!((call(&settled), settled.screen), (Some(Call::Keep), Screen::Verdict));
    // The card in the middle of the line between the points lies on the shell.
    let across = |y: f64| {
        let to = |x: f64| PhotoPoint::new(2000.0 + x, 1500.0 + y);
        let moves = [(0, to(-500.0)), (1, to(500.0))].map(|(which, to)| Action::MoveMark {
            which,
            to,
            px_per_css: 4.0,
        });
        confirmed(&after(before.clone(), moves))
    };
    let on_shell = across(0.0);
    assert_eq!(on_shell.photo.card_doubt(), Some(crate::doubts::Warning::CardOnShell));
    assert_eq!(on_shell.measured(), None);
    assert_eq!(across(-290.0).measured(), None);
    assert!(across(-330.0).measured().is_some());
}

/// A finger on a photo that is shown small is as crude as the screen is; the magnifier and the keys are finer.
#[test]
fn a_crude_drag_widens_the_width_and_the_magnifier_narrows_it() {
    let start = with_points(with_scene(), 1000.0);
    let points = [0, 1].map(|which| start.photo.marks.get(which).expect("a point").point);
    let u_mm = |actions: &dyn Fn(usize, PhotoPoint) -> Vec<Action>| {
        let all = points.iter().enumerate().flat_map(|(which, &at)| actions(which, at));
        after(start.clone(), all).width().expect("a width")
    };
    let dragged = |px_per_css: f64| {
        u_mm(&|which, to| vec![Action::BeginMove, Action::MoveMark { which, to, px_per_css }])
    };
    let aimed = |px_per_css: f64| {
        u_mm(&|which, at| {
            vec![Action::OpenAim { target: Target::Point(which), at }, Action::SetAim { px_per_css }]
        })
    };
    let stepped = |px_per_css: f64| {
        u_mm(&|which, _| vec![Action::StepMark { which, right_px: 0.0, down_px: 0.0, px_per_css }])
    };
    // A 12-megapixel photo as wide as a phone of 360 px: 11 photo pixels in each of the screen's; 5 px a mm.
    let (crude, close, magnified) = (dragged(4000.0 / 360.0), dragged(4.0), aimed(0.5));
    for (a, b) in [(&crude, &close), (&close, &magnified), (&crude, &stepped(4000.0 / 360.0))] {
        assert!((a.width_mm - b.width_mm).abs() < 0.01);
        assert!(
            a.u_mm > b.u_mm + 0.1 && a.budget_mm.points > 1.3 * b.budget_mm.points,
            "{} {}",
            a.u_mm,
            b.u_mm
        );
    }
    // Two points, each 1.4 CSS pixels unsure along the line.
    let wanted = 1.4 * 4000.0 / 360.0 / 5.0 * 2.0_f64.sqrt();
    assert!((crude.budget_mm.points / wanted - 1.0).abs() < 0.15, "{} {wanted}", crude.budget_mm.points);
    let as_before =
        start.photo.scene.as_ref().map(|scene| scene.hand_placed(points[0]).covariance_px2[(0, 0)]);
    let now = after(start.clone(), [Action::OpenAim { target: Target::Point(0), at: points[0] }]);
    let now = now
        .apply(Action::SetAim { px_per_css: 1.0 })
        .photo
        .marks
        .get(0)
        .map(|mark| mark.covariance_px2[(0, 0)]);
    assert!(
        as_before.zip(now).is_some_and(|(before, now)| (before / now - 1.0).abs() < 0.1),
        "{as_before:?} {now:?}"
    );
}

#[test]
fn a_screen_of_no_size_moves_no_point() {
    let before = with_points(with_scene(), 1000.0);
    let to = PhotoPoint::new(1590.0, 1000.0);
    for px_per_css in [f64::NAN, f64::INFINITY] {
        let after = before.apply(Action::MoveMark { which: 0, to, px_per_css });
        assert_eq!(after.photo.marks.get(0), before.photo.marks.get(0));
    }
}

/// A file that cannot be read has no picture: no tool waits for a tap on it, until another photo is in
/// hand. A photo that can be read and has no card keeps them.
#[test]
fn a_file_that_cannot_be_read_has_no_picture_to_tap_on() {
    let errors = [
        PhotoError::Empty,
        PhotoError::NotAPhoto,
        PhotoError::UnsupportedFormat { format: "HEIC" },
        PhotoError::Damaged { detail: String::new() },
        PhotoError::TooLarge { megapixels: 60 },
        PhotoError::TooLong { side: 40_000, most: 30_000 },
        PhotoError::TooSmall { width: 9, height: 9 },
    ];
    for error in errors {
        let asked = start().apply(take_photo());
        assert!(!asked.photo.is_unusable());
        let told = asked.apply(answer(&asked, Body::Unusable(crate::text::photo_error(&error).into())));
        assert!(told.photo.is_unusable(), "{error:?}");
        for act in [Action::PointAtCard, Action::PlaceCorners] {
            assert_eq!(told.apply(act).photo.tool, Tool::Look, "{error:?}");
        }
        assert!(!told.apply(take_photo()).photo.is_unusable(), "{error:?}");
    }
    let asked = start().apply(take_photo());
    let refused =
        Refused { refusal: Refusal::NoCard, scene: None, candidates: Vec::new(), warnings: Vec::new() };
    let told = asked.apply(answer(&asked, Body::Refused(Box::new(refused))));
    assert!(!told.photo.is_unusable());
    assert_eq!(told.apply(Action::PointAtCard).photo.tool, Tool::TapCard);
}
