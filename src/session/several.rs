//! Several photos of the crab in hand: the one that is shown and those beside it, joined to one width.

use std::rc::Rc;

use crate::units::PhotoPoint;
use crate::width::{HeightPrior, Joined, Share, View, Width, join};

use super::Session;
use super::photo::{InHand, PhotoWork};

/// Most photos of one crab: more narrow the width no further, and each is kept.
pub const MOST_PHOTOS: usize = 6;

/// What the strip shows of one photo.
#[derive(Debug, Clone, PartialEq)]
pub struct StripPhoto {
    /// Number of the photo.
    pub serial: u64,
    /// Name of the file.
    pub name: String,
    /// It is the one in view.
    pub is_shown: bool,
    /// What became of it.
    pub state: PhotoState,
}

/// What a photo does for the width.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoState {
    /// The worker is at it.
    Busy,
    /// Nothing was looked for yet.
    Waiting,
    /// No card, or points are missing.
    NoPoints,
    /// Its points are not confirmed yet.
    ToConfirm,
    /// It carries the width.
    Carries,
    /// It does not fit the others, or stands behind a surer one.
    StandsApart,
}

impl Session {
    /// All photos of the crab in hand, in the order of taking.
    pub fn photos(&self) -> Vec<&PhotoWork> {
        let mut photos: Vec<&PhotoWork> = self.beside.iter().chain([&self.photo]).collect();
        photos.retain(|work| work.in_hand.is_some());
        photos.sort_by_key(|work| serial_of(work));
        photos
    }

    /// The width of the crab in hand: from all its photos that have both points.
    pub fn width(&self) -> Option<Rc<Width>> {
        match &self.joined {
            Some(joined) => Some(Rc::new(joined.width.clone())),
            None => self.photos().into_iter().find_map(|work| work.width.clone()),
        }
    }

    /// True once every photo that has both points is confirmed, and there is one.
    pub fn is_width_confirmed(&self) -> bool {
        let mut marked = self.photos().into_iter().filter(|work| work.view().is_some()).peekable();
        marked.peek().is_some() && marked.all(PhotoWork::is_confirmed)
    }

    /// True where a photo that is taken now is of the crab in hand: one that is kept or let go, sorted by the gauge or at a
    /// glance is done with.
    pub fn stays_for_a_photo(&self) -> bool {
        let is_sorted = self.crab.gauge.is_some() || self.crab.let_go.is_some();
        !self.is_ended() && !is_sorted
    }

    /// One more photo may be added.
    pub fn may_add_photo(&self) -> bool {
        self.photo.in_hand.is_some() && self.photos().len() < MOST_PHOTOS
    }

    /// The photos for the strip.
    pub fn strip(&self) -> Vec<StripPhoto> {
        let photos = self.photos();
        let shares = self.shares();
        photos
            .iter()
            .map(|work| {
                let share =
                    shares.iter().find(|(serial, _)| *serial == serial_of(work)).map(|(_, share)| share);
                let state = match (work.view(), share) {
                    _ if work.pending.is_some() => PhotoState::Busy,
                    (None, _) if work.is_waiting() => PhotoState::Waiting,
                    (None, _) => PhotoState::NoPoints,
                    (Some(_), _) if !work.is_confirmed() => PhotoState::ToConfirm,
                    (Some(_), Some(share)) if !share.used => PhotoState::StandsApart,
                    _ => PhotoState::Carries,
                };
                StripPhoto {
                    serial: serial_of(work),
                    name: work.in_hand.as_ref().map(|photo| photo.name.clone()).unwrap_or_default(),
                    is_shown: serial_of(work) == serial_of(&self.photo),
                    state,
                }
            })
            .collect()
    }

    /// The photo to hold the shown one's points against: the first confirmed one beside it, its points in the order of
    /// the shown one's, and its px per mm.
    pub fn compared(&self) -> Option<(u64, [PhotoPoint; 2], f64)> {
        let work = self
            .photos()
            .into_iter()
            .find(|work| work.is_confirmed() && serial_of(work) != serial_of(&self.photo))?;
        let shares = self.shares();
        let is_swapped = |of: &PhotoWork| {
            shares.iter().any(|(serial, share)| *serial == serial_of(of) && share.is_swapped)
        };
        let [first, second] = work.marks.both()?.map(|marked| marked.point);
        let points =
            if is_swapped(work) == is_swapped(&self.photo) { [first, second] } else { [second, first] };
        Some((serial_of(work), points, work.scene.as_ref()?.px_per_cm() / 10.0))
    }

    /// What each photo does for the joint width, by its number.
    fn shares(&self) -> Vec<(u64, Share)> {
        let Some(joined) = &self.joined else { return Vec::new() };
        let marked = self.photos().into_iter().filter(|work| work.view().is_some()).map(serial_of);
        marked.zip(joined.shares.iter().copied()).collect()
    }

    /// Takes another photo of the same crab: into view, or to wait beside while the one in view is worked on.
    pub(super) fn add_photo(&mut self, in_hand: InHand) {
        let serial = in_hand.serial;
        self.beside.push(PhotoWork { in_hand: Some(in_hand), ..self.photo.put_away() });
        if self.photo.pending.is_none() && (self.photo.is_confirmed() || self.photo.view().is_none()) {
            self.show_photo(serial);
        }
    }

    /// The next photo that was not looked at yet comes into view.
    pub(super) fn show_waiting(&mut self) -> bool {
        let waiting = self.photos().into_iter().find(|work| work.is_waiting()).map(serial_of);
        waiting.is_some_and(|serial| {
            self.show_photo(serial);
            true
        })
    }

    /// Brings one of the photos into view.
    pub(super) fn show_photo(&mut self, serial: u64) {
        let Some(place) = self.beside.iter().position(|work| serial_of(work) == serial) else { return };
        let wanted = self.beside.remove(place);
        let before = std::mem::replace(&mut self.photo, wanted);
        self.photo.follow(&before);
        self.beside.push(at_rest(before));
        if self.photo.is_waiting() {
            self.photo.same_spots = self.photos().into_iter().find_map(|work| work.own_spots.clone());
            self.photo.look_again();
        }
    }

    /// Takes one photo out. The last one taken comes into view where it was that one.
    pub(super) fn drop_photo(&mut self, serial: u64) {
        if serial_of(&self.photo) != serial {
            self.beside.retain(|work| serial_of(work) != serial);
            return;
        }
        let newest = self.beside.iter().map(serial_of).max();
        if let Some(newest) = newest {
            self.show_photo(newest);
            self.beside.retain(|work| serial_of(work) != serial);
        }
    }

    /// The photos beside follow what is said of the crab; all are joined anew.
    pub(super) fn settle_photos(&mut self) {
        let shown = self.photo.clone();
        for work in &mut self.beside {
            work.follow(&shown);
        }
        let photos = self.photos();
        let views: Vec<View<'_>> = photos.iter().filter_map(|work| work.view()).collect();
        let height = HeightPrior::of(shown.placement, shown.height_share);
        let joined: Option<Joined> = if views.len() > 1 { join(&views, &height) } else { None };
        self.joined = joined.map(Rc::new);
    }
}

/// A photo that is not in view: nothing is pending on it.
fn at_rest(work: PhotoWork) -> PhotoWork {
    PhotoWork { pending: None, worker_lost: false, tool: super::Tool::Look, ..work }
}

fn serial_of(work: &PhotoWork) -> u64 {
    work.in_hand.as_ref().map_or(0, |photo| photo.serial)
}

#[cfg(test)]
pub(super) mod tests {
    use nalgebra::{Matrix3, Vector3};

    use super::super::tests::{after, answer, confirmed_with, keeper, start};
    use super::*;
    use crate::camera::ippe::card_corners_mm;
    use crate::camera::{FocalFrom, Intrinsics, Pose};
    use crate::card::{FoundCard, ID1_MM};
    use crate::decide::Call;
    use crate::measure::{Measurement, PointsFrom};
    use crate::scene::{Scene, ScenePose};
    use crate::session::{Action, Screen};
    use crate::units::PhotoSize;
    use crate::width::to_photo;
    use crate::worker::protocol::Body;

    /// The true points, 160 mm apart, 36 mm above the card: higher than expected.
    const SHELL_MM: [Vector3<f64>; 2] = [Vector3::new(-80.0, 110.0, 36.0), Vector3::new(80.0, 110.0, 36.0)];

    /// What a photo from `eye` shows of the card, and of points moved by `shift`.
    pub(in crate::session) fn seen_from(eye: Vector3<f64>, shift: Vector3<f64>) -> Measurement {
        shell_from(eye, SHELL_MM.map(|place| place + shift))
    }

    /// The same of a shell with these points.
    fn shell_from(eye: Vector3<f64>, shell_mm: [Vector3<f64>; 2]) -> Measurement {
        let size = PhotoSize { width: 4000, height: 3000 };
        let intrinsics = Intrinsics::centred(3000.0, size);
        let forward = (Vector3::new(0.0, 60.0, 0.0) - eye).normalize();
        let right = forward.cross(&Vector3::y()).normalize();
        let down = forward.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
        let pose = Pose { rotation, translation_mm: -(rotation * eye) };
        let see = |place: Vector3<f64>| to_photo(&intrinsics, &pose, &place).expect("in front");
        let corners = card_corners_mm(ID1_MM).map(|corner| see(Vector3::new(corner.x, corner.y, 0.0)));
        let scene = Scene {
            size,
            card: FoundCard { corners, corner_u_px: [0.3; 4], unsure_edges: [false; 4] },
            poses: vec![ScenePose { intrinsics, pose, weight: 1.0, rms_px: 0.1 }],
            focal_from: FocalFrom::Exif,
            focal_relative_u: 0.02,
            prior_intrinsics: intrinsics,
            principal_u_px: 16.0,
            lens: None,
        };
        let points = shell_mm.map(|place| scene.hand_placed(see(place)));
        let height = HeightPrior::of(Default::default(), None);
        let width = crate::width::measure_width(&View { scene: &scene, points }, &height).expect("a width");
        let (proposal, points_hint, warnings) = (None, None, Vec::new());
        Measurement { scene, points, points_from: PointsFrom::Given, proposal, width, points_hint, warnings }
    }

    pub(in crate::session) const SOUTH: Vector3<f64> = Vector3::new(20.0, -150.0, 520.0);
    pub(in crate::session) const NORTH: Vector3<f64> = Vector3::new(-20.0, 300.0, 500.0);

    pub(in crate::session) fn taken(session: Session, serial: u64, seen: Measurement) -> Session {
        let name = format!("{serial}.jpg");
        let taken = session.apply(Action::TakePhoto { serial, name, practice: None, same_crab: serial > 1 });
        let heard = answer(&taken, Body::Measured(Box::new(seen)));
        taken.apply(heard)
    }

    pub(in crate::session) fn two(second: Measurement) -> Session {
        let one = confirmed_with(&taken(start(), 1, seen_from(SOUTH, Vector3::zeros())), None);
        taken(one, 2, second)
    }

    fn states(session: &Session) -> Vec<PhotoState> {
        session.strip().into_iter().map(|photo| photo.state).collect()
    }

    #[test]
    fn a_second_photo_narrows_the_width_and_counts_once_its_points_are_confirmed() {
        let one = confirmed_with(&taken(start(), 1, seen_from(SOUTH, Vector3::zeros())), None);
        let both = two(seen_from(NORTH, Vector3::zeros()));
        let (alone, joint) = (one.width().expect("a width"), both.width().expect("a width"));
        assert_eq!((alone.photos, joint.photos), (1, 2));
        assert!((joint.width_mm - 160.0).abs() < 0.3, "{}", joint.width_mm);
        assert!(joint.u_mm < 0.4 * alone.u_mm, "{} {}", joint.u_mm, alone.u_mm);
        assert!(one.measured().is_some());
        assert_eq!(both.measured(), None, "the second photo's points are not confirmed");
        assert_eq!(states(&both), [PhotoState::Carries, PhotoState::ToConfirm]);
        let both = confirmed_with(&both, None);
        assert!(both.measured().is_some());
        assert_eq!(states(&both), [PhotoState::Carries, PhotoState::Carries]);
    }

    #[test]
    fn a_photo_taken_out_leaves_the_other_as_it_was() {
        let one = confirmed_with(&taken(start(), 1, seen_from(SOUTH, Vector3::zeros())), None);
        let both = confirmed_with(&two(seen_from(NORTH, Vector3::zeros())), None);
        for serial in [1, 2] {
            let left = both.apply(Action::DropOnePhoto(serial));
            assert_eq!(left.strip().len(), 1);
            assert_eq!(left.width().map(|width| width.photos), Some(1));
        }
        let back = both.apply(Action::DropOnePhoto(2));
        assert_eq!(back.width().map(|width| width.width_mm), one.width().map(|width| width.width_mm));
        assert_eq!(back.apply(Action::DropOnePhoto(1)).strip().len(), 1, "the last one goes by another way");
    }

    #[test]
    fn a_moved_crab_is_said_and_every_photo_has_its_hill() {
        // Across the line between the cameras: along it a shift looks like a height.
        let moved = confirmed_with(&two(seen_from(NORTH, Vector3::new(4.0, 0.0, 0.0))), None);
        let joined = moved.joined.as_ref().expect("tried");
        assert_eq!(joined.apart, Some(crate::width::Apart::Moved));
        assert_eq!(joined.width.photos, 1);
        assert!(joined.width.humps.len() >= 2, "{:?}", joined.width.humps);
        // One figure on every screen: that of the humps that decide, with all photos in it.
        let mean: f64 = joined.width.humps.iter().map(|hump| hump.weight * hump.mean_mm).sum();
        assert!((joined.width.width_mm - mean).abs() < 1e-9, "{} {mean}", joined.width.width_mm);
        assert_eq!(states(&moved), [PhotoState::Carries, PhotoState::Carries]);
    }

    /// One photo is of a crab that is far too small, the other of one that is of size: the gauge's word is of one of
    /// them, and nothing says of which.
    #[test]
    fn a_gauge_keeps_nothing_that_one_of_two_photos_shows_short() {
        let short = SHELL_MM.map(|place| Vector3::new(0.6 * place.x, place.y, place.z));
        let two = keeper(confirmed_with(&two(shell_from(NORTH, short)), None));
        assert!(two.measured().is_some_and(|measured| measured.alone.len() == 2), "{:?}", two.measured());
        let call = |session: &Session| session.outcome().and_then(|outcome| Some(outcome.verdict()?.call()));
        assert_eq!(call(&two), Some(Call::Gauge));
        // Also before its points are confirmed, and where it is the only one left.
        let one = confirmed_with(&taken(start(), 1, seen_from(SOUTH, Vector3::zeros())), None);
        let unconfirmed = taken(keeper(one), 2, shell_from(NORTH, short));
        assert_eq!(call(&unconfirmed), Some(Call::Gauge));
        assert_eq!(call(&unconfirmed.apply(Action::DropOnePhoto(1))), Some(Call::Gauge));
        assert_eq!(call(&two.apply(Action::DropOnePhoto(2))), Some(Call::Keep));
    }

    #[test]
    fn a_photo_from_the_same_side_is_not_joined() {
        let near = SOUTH + Vector3::new(15.0, 10.0, 0.0);
        let both = two(seen_from(near, Vector3::zeros()));
        assert_eq!(both.joined.as_ref().and_then(|joined| joined.apart), Some(crate::width::Apart::TooAlike));
    }

    #[test]
    fn a_photo_comes_back_into_view_as_it_was() {
        let both = confirmed_with(&two(seen_from(NORTH, Vector3::zeros())), None);
        let first = both.apply(Action::ShowPhoto(1));
        assert_eq!(first.photo.in_hand.as_ref().map(|photo| photo.serial), Some(1));
        assert_eq!(first.photo.pending, None);
        assert_eq!(first.width(), both.width());
        let moved =
            after(first, [Action::StepMark { which: 0, right_px: 20.0, down_px: 0.0, px_per_css: 4.0 }]);
        assert_ne!(moved.width(), both.width());
        assert_eq!(moved.measured(), None);
    }

    #[test]
    fn photos_that_show_the_card_elsewhere_decide_nothing_until_that_is_settled() {
        let both = confirmed_with(&two(seen_from(NORTH, Vector3::zeros())), None);
        let back = crate::terms::Placement::Back;
        let wrong = confirmed_with(&both.apply(Action::SetPlacement(back)), None);
        assert_eq!(wrong.width().and_then(|width| width.placement_seen), Some(Default::default()));
        assert_eq!(wrong.measured(), None);
        let settled = confirmed_with(&wrong.apply(Action::SetPlacement(Default::default())), None);
        assert!(settled.measured().is_some());
    }

    #[test]
    fn photos_chosen_together_come_into_view_one_after_the_other() {
        let first = Action::TakePhoto { serial: 1, name: "1.jpg".into(), practice: None, same_crab: false };
        let second = Action::TakePhoto { serial: 2, name: "2.jpg".into(), practice: None, same_crab: true };
        let both = after(start(), [first, second]);
        assert_eq!(states(&both), [PhotoState::Busy, PhotoState::Waiting]);
        let seen = both.apply(answer(&both, Body::Measured(Box::new(seen_from(SOUTH, Vector3::zeros())))));
        assert_eq!(states(&seen), [PhotoState::ToConfirm, PhotoState::Waiting]);
        let on = confirmed_with(&seen, None);
        assert_eq!(on.photo.in_hand.as_ref().map(|photo| photo.serial), Some(2));
        assert_eq!((on.screen, states(&on)), (Screen::Measure, vec![PhotoState::Carries, PhotoState::Busy]));
    }

    #[test]
    fn one_photo_too_many_leaves_the_others() {
        let take = |serial: u64| {
            let name = format!("{serial}.jpg");
            Action::TakePhoto { serial, name, practice: None, same_crab: serial > 1 }
        };
        let many =
            (1..=MOST_PHOTOS as u64 + 2).map(take).fold(start(), |session, action| session.apply(action));
        assert_eq!(many.strip().len(), MOST_PHOTOS);
        assert!(many.photo.notice.is_some(), "it is said");
        assert_eq!(many.strip()[0].serial, 1);
    }

    #[test]
    fn another_crab_has_none_of_these_photos() {
        let both = two(seen_from(NORTH, Vector3::zeros()));
        for action in [
            Action::NextCrab,
            Action::TakePhoto { serial: 3, name: "3.jpg".into(), practice: None, same_crab: false },
        ] {
            let next = both.apply(action);
            assert!(next.beside.is_empty() && next.joined.is_none());
        }
    }
}
