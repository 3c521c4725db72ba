//! What would make a width surer: what is told is held against photos that are then made so.

use nalgebra::Vector3;
use shellspan::terms::{MarkedPoint, Placement};
use shellspan::width::{HeightPrior, RemedyAct, join};

use crate::several::with_twin;

use crate::joint::{Made, NORTH, SOUTH, made, shell, views};

fn deck() -> HeightPrior {
    HeightPrior::of(Placement::Deck, None)
}

/// Points placed less surely than by hand.
fn carelessly(mut photo: Made) -> Made {
    photo.points =
        photo.points.map(|marked| MarkedPoint { spot_u_mm: 0.8, ..MarkedPoint::round(marked.point, 6.0) });
    photo
}

#[test]
fn the_next_photo_brings_what_was_told_when_it_is_taken_from_where_it_was_told() {
    let first = carelessly(made(SOUTH, shell(34.0)));
    let next =
        join(&views(&[carelessly(made(SOUTH, shell(34.0)))]), &deck()).expect("a width").width.next_view;
    let next = next.expect("one more photo helps");
    // Its direction on the first photo, laid on the deck.
    let pose = first.scene.poses[0].pose;
    let towards = pose.rotation.transpose() * Vector3::new(next.towards[0], next.towards[1], 0.0);
    let across = Vector3::new(towards.x, towards.y, 0.0).normalize();
    let middle = (shell(34.0)[0] + shell(34.0)[1]) / 2.0;
    let target = Vector3::new(middle.x / 2.0, middle.y / 2.0, 0.0);
    let tilt = 25f64.to_radians();
    let eye = target + (Vector3::z() * tilt.cos() + across * tilt.sin()) * next.distance_mm;
    let both = [first, made(eye, shell(34.0))];
    let joined = join(&views(&both), &deck()).expect("a width");
    assert_eq!(joined.apart, None);
    let u_mm = joined.width.u_mm;
    assert!((next.expected_u_mm / u_mm - 1.0).abs() < 0.12, "told {}, came to {u_mm}", next.expected_u_mm);
    let sight = |eye: Vector3<f64>| (eye - middle).normalize();
    let apart_deg = sight(pose.camera_in_card_mm()).dot(&sight(eye)).acos().to_degrees();
    assert!((next.parallax_deg - apart_deg).abs() < 6.0, "told {}, came to {apart_deg}", next.parallax_deg);
    // A photo from any other of the eight directions brings no more.
    for k in 0..8 {
        let turn = std::f64::consts::TAU * f64::from(k) / 8.0;
        let eye = target
            + (Vector3::z() * tilt.cos() + Vector3::new(turn.cos(), turn.sin(), 0.0) * tilt.sin())
                * next.distance_mm;
        let both = [carelessly(made(SOUTH, shell(34.0))), made(eye, shell(34.0))];
        let other = join(&views(&both), &deck()).expect("a width");
        assert!(
            other.apart.is_some() || other.width.u_mm > 0.97 * next.expected_u_mm,
            "{turn}: {}",
            other.width.u_mm
        );
    }
}

#[test]
fn of_two_photos_the_nearer_line_of_sight_counts() {
    let photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    let next = join(&views(&photos), &deck()).expect("a width").width.next_view.expect("one more helps");
    assert!(next.parallax_deg < 45.0, "{}", next.parallax_deg);
}

#[test]
fn a_raised_card_brings_what_was_told() {
    let width = join(&views(&[made(SOUTH, shell(34.0))]), &deck()).expect("a width").width;
    let remedy = width.remedy.expect("a card on the deck is improved by raising it");
    assert_eq!(remedy.act, RemedyAct::RaiseTheCard);
    assert!(remedy.expected_u_mm < 0.8 * width.u_mm);
    let level = HeightPrior::of(Placement::Level, None);
    let raised =
        join(&views(&[made(SOUTH - Vector3::z() * 34.0, shell(0.0))]), &level).expect("a width").width;
    assert!(
        (remedy.expected_u_mm / raised.u_mm - 1.0).abs() < 0.1,
        "{} and {}",
        remedy.expected_u_mm,
        raised.u_mm
    );
    // What is level already is not raised, and what gains little is not told.
    if let Some(more) = raised.remedy {
        assert_ne!(more.act, RemedyAct::RaiseTheCard);
        assert!(more.expected_u_mm < 0.8 * raised.u_mm, "{more:?} of {}", raised.u_mm);
    }
}

#[test]
fn several_photos_are_not_taken_anew() {
    let photos = [made(SOUTH, shell(34.0)), made(NORTH, shell(34.0))];
    assert_eq!(join(&views(&photos), &deck()).expect("a width").width.remedy, None);
}

#[test]
fn a_tilted_phone_is_not_tilted_further() {
    for placement in [Placement::Deck, Placement::Level, Placement::Back] {
        for k in 2..9 {
            let eye = Vector3::new(10.0, 60.0 - 60.0 * f64::from(k), 420.0);
            let photo = made(eye, shell(0.0));
            let width = join(&views(&[photo]), &HeightPrior::of(placement, None)).expect("a width").width;
            let told = width.remedy.map(|remedy| remedy.act);
            assert_ne!(told, Some(RemedyAct::TiltALittle), "{placement:?}, {k}");
        }
    }
}

/// While the card's pose has a twin, only what tells it from the other is told: no closer photo and no surer point does.
#[test]
fn a_twin_is_told_from_the_other_first() {
    let level = HeightPrior::of(Placement::Level, None);
    let mut open = 0;
    for k in 2..12 {
        let mut photo = with_twin(Vector3::new(10.0, 60.0 - 25.0 * f64::from(k), 620.0), 0.3);
        photo.scene.card.corner_u_px = [2.0; 4];
        let width = join(&views(&[photo]), &level).expect("a width").width;
        if width.humps.len() == 2 {
            open += 1;
            let told = width.remedy.map(|remedy| remedy.act);
            assert!(told.is_none_or(|act| act == RemedyAct::TiltALittle), "{told:?}");
        }
    }
    assert!(open > 0);
}
