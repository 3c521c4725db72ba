//! What a tap is for, the kind of a practice photo, and corners by hand.

use super::*;

/// "Tap on the card", "tap on the middle of the shell": the next tap is for just that.
#[test]
fn a_tap_is_for_what_the_words_ask() {
    let at = PhotoPoint::new(905.0, 12.0);
    let tap = Action::Tap { at, reach_px: 20.0 };
    let refused = |refusal, scene| {
        let refused = Refused { refusal, scene, candidates: Vec::new(), warnings: Vec::new() };
        let session = start().apply(take_photo());
        let heard = answer(&session, Body::Refused(Box::new(refused)));
        session.apply(heard)
    };
    let asked = |session: &Session| match session.pending().map(|pending| &pending.question) {
        Some(Question::Measure(request)) => (request.card_near, request.shell_near),
        other => panic!("{other:?}"),
    };
    let no_card = refused(Refusal::NoCard, None);
    assert_eq!(no_card.photo.asked_tap(), Tool::TapCard);
    assert_eq!(asked(&no_card.apply(tap.clone())), (Some(at), None));

    let no_shell = refused(Refusal::NoShell, Some(scene()));
    assert_eq!(no_shell.photo.asked_tap(), Tool::TapShell);
    assert_eq!(asked(&no_shell.apply(tap.clone())), (None, Some(at)));

    // One point stands: the tap is for the other, and throws nothing away.
    let one =
        after(no_shell, [Action::PlacePoints, Action::SetAim { px_per_css: 1.0 }, Action::CloseTool, tap]);
    assert_eq!(one.pending(), None);
    assert!(matches!(one.photo.tool, Tool::Aim(aim) if aim.target == Target::Point(1) && aim.at == at));
}

/// A newcomer has named no kind: the practice photo's own is searched with, and nothing else takes it over.
#[test]
fn a_practice_photo_brings_its_kind_to_who_named_none() {
    let practice =
        |practice| Action::TakePhoto { serial: 1, name: "crab-01.jpg".into(), practice, same_crab: false };
    let kind = |kind: &str| Action::PracticeKind(kind.into());
    let searched = |session: &Session| match session.pending().map(|pending| &pending.question) {
        Some(Question::Measure(request)) => request.species.clone(),
        other => panic!("{other:?}"),
    };
    let newcomer = after(start(), [practice(Some(TrueWidths::default())), kind("red-rock")]);
    assert_eq!(searched(&newcomer).as_deref(), Some("red-rock"));
    assert_eq!(newcomer.last_kind, None, "on deck nothing was chosen");
    let unknown_here = after(start(), [practice(Some(TrueWidths::default())), kind("brown")]);
    assert_eq!(searched(&unknown_here), None, "the water has no such kind");
    let real = after(start(), [practice(None), kind("red-rock")]);
    assert_eq!(searched(&real), None);
    let named =
        after(start(), [Action::Reply(Reply::Kind("dungeness".into())), practice(None), kind("red-rock")]);
    assert_eq!(searched(&named).as_deref(), Some("dungeness"));
}

/// The window begins at the corner that was seen, and goes on to the next: the card stays in sight.
#[test]
fn corners_by_hand_begin_where_the_card_was_seen() {
    let mut session = with_scene().apply(Action::PlaceCorners);
    let whole = Framing::of(&with_scene().photo, 1.4);
    for (which, corner) in scene().card.corners.into_iter().enumerate() {
        assert_eq!(session.photo.tool, Tool::Aim(Aim { target: Target::Corner(which), at: corner }));
        let framing = Framing::of(&session.photo, 1.4);
        assert!(framing.zoom > whole.zoom, "{framing:?}");
        let (width, height) = (f64::from(scene().size.width), f64::from(scene().size.height));
        let shown = (width / framing.zoom, width / framing.zoom / 1.4);
        let off = (corner.x - framing.middle.0 * width, corner.y - framing.middle.1 * height);
        assert!(off.0.abs() < shown.0 / 2.0 && off.1.abs() < shown.1 / 2.0, "{corner:?} in {framing:?}");
        session = session.apply(Action::SetAim { px_per_css: 1.0 });
    }
    assert!(session.pending().is_some());
}

/// The right points are shown on a drawn photo once the own ones are confirmed; any other photo is done with then.
#[test]
fn a_drawn_photo_stays_to_show_the_right_points() {
    let session = with_points(with_scene(), 1000.0);
    let mut drawn = session.clone();
    let in_hand = drawn.photo.in_hand.as_mut().expect("a photo");
    in_hand.name = crate::session::photo::practice::DRAWN_PHOTO.into();
    in_hand.practice = Some(TrueWidths::default());
    assert_eq!((confirmed(&session).screen, confirmed(&drawn).screen), (Screen::Checks, Screen::Measure));
    // A person's own file may have any name.
    drawn.photo.in_hand.as_mut().expect("a photo").practice = None;
    assert_eq!(confirmed(&drawn).screen, Screen::Checks);
}
