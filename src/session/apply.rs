//! The reducer: one action after the other, no effect outside the session.

use crate::decide::{Answer, Check, GaugeReading, photo_dimension};
use crate::terms::Placement;
use crate::text::Notice;

use super::day::sort::OTHER_KIND;
use super::photo::InHand;
use super::{Action, Crab, DayAct, Reply, Screen, Session};

/// True where the person has looked at the screen of a new day, and gone on.
fn goes_on(action: &Action) -> bool {
    use DayAct::{Keep, KeepDespite, LetGo, Sort, Undo, UndoEnd};
    matches!(
        action,
        Action::Reply(_)
            | Action::NextCrab
            | Action::TakePhoto { .. }
            | Action::Day(Sort(_) | Keep(_) | KeepDespite(..) | LetGo(_) | Undo | UndoEnd)
    )
}

/// True where what a gauge says is new.
fn sets_gauge(action: &Action) -> bool {
    matches!(action, Action::Day(DayAct::Sort(_)) | Action::Reply(Reply::Gauge(_)))
}

impl Session {
    /// The session after `action`.
    #[must_use]
    pub fn apply(&self, action: Action) -> Self {
        let mut next = self.clone();
        let sets_gauge = sets_gauge(&action);
        next.new_day.take_if(|_| goes_on(&action));
        if let Some(late) = next.take_early(action) {
            next.take_late(self, late);
        }
        next.doubt_gauge(sets_gauge);
        next.settle_photos();
        next.name_crab();
        next
    }

    /// What [`Self::apply`] gives, without what only a photo, a rules file or a copy needs: the page's first program
    /// carries no more. An action that needs it comes back.
    ///
    /// # Errors
    ///
    /// The action, where it or a photo in hand needs the whole.
    pub fn apply_early(&self, action: Action) -> Result<Self, Box<Action>> {
        if !self.photos().is_empty() {
            return Err(Box::new(action));
        }
        let mut next = self.clone();
        let sets_gauge = sets_gauge(&action);
        next.new_day.take_if(|_| goes_on(&action));
        if let Some(late) = next.take_early(action) {
            return Err(Box::new(late));
        }
        next.doubt_gauge(sets_gauge);
        next.name_crab();
        Ok(next)
    }

    /// Does `action`, or gives it back.
    fn take_early(&mut self, action: Action) -> Option<Action> {
        match action {
            // Who goes back to the day is done with a crab whose end is written down.
            Action::Show(Screen::Day) if self.is_ended() => self.next_crab(),
            Action::Show(screen) => self.show(screen),
            Action::SetClock(clock) => self.clock = Some(clock),
            Action::SetTheme(theme) => self.settings.theme = theme,
            Action::SetVibration(on) => self.settings.vibration = on,
            Action::Restore(settings) => self.settings = settings,
            Action::Day(act) => return self.apply_day_early(act).map(Action::Day),
            Action::SetToday(today) => {
                if today != self.today {
                    self.today = today;
                    self.new_day = Some(today);
                    self.rules.forget_seasons_before(today);
                }
            }
            Action::LookAt(check) => {
                self.crab.looking_at = Some(check);
                self.screen = Screen::Checks;
            }
            Action::NextCrab => self.next_crab(),
            Action::SetDate(date) => self.rules.date = date.filter(|&date| date != self.today),
            Action::PacksLoaded(packs) => {
                self.rules.packs = packs;
                self.follow_rule();
            }
            Action::RestoreRules { choice, confirmations, season_words, own } if own.is_empty() => {
                self.rules.restore_words(choice, confirmations, season_words);
                self.rules.forget_seasons_before(self.today);
                self.follow_rule();
            }
            late => return Some(late),
        }
        None
    }

    /// What [`Self::take_early`] gave back, done to what was the session `before`.
    fn take_late(&mut self, before: &Self, action: Action) {
        match action {
            Action::Learn(act) => self.learn(act),
            // A real photo beside a practice photo is of no practice crab, and the other way round: it is the next crab's.
            Action::TakePhoto { serial, name, practice, same_crab: true }
                if before.photo.in_hand.is_some() && practice.is_some() == before.is_practice() =>
            {
                if before.may_add_photo() {
                    self.add_photo(InHand { serial, name, practice });
                } else {
                    // The photos that are there stay.
                    self.photo.notice = Some(Notice::new(
                        "enough-photos",
                        "These are as many photos of one crab as are joined.",
                        "Take one out before you add another.",
                    ));
                }
                self.screen = Screen::Measure;
            }
            Action::TakePhoto { practice: Some(_), .. } if before.is_uncounted() => {
                // It would go with the answers that were given of it.
                self.photo.notice = Some(Notice::new(
                    "uncounted-crab",
                    "A crab that was counted is in hand, and is not counted now.",
                    "Keep it again or let it go, then practise.",
                ));
                self.screen = Screen::Start;
            }
            Action::ShowPhoto(serial) => {
                self.show_photo(serial);
                self.screen = Screen::Measure;
            }
            Action::DropOnePhoto(serial) => self.drop_photo(serial),
            Action::TakePhoto { serial, name, practice, .. } => {
                self.beside.clear();
                if !before.stays_for_a_photo() || practice.is_some() != before.is_practice() {
                    // That one is done with, written down or sorted without a photo: the photo shows the self. What
                    // was said of a practice photo is said of no crab, and the other way round.
                    self.crab = Crab::of(before.last_kind.clone());
                    self.follow_rule();
                }
                // Where the card lies is said of one crab.
                self.photo.placement = Placement::default();
                self.photo.same_spots = None;
                self.photo.take(InHand { serial, name, practice });
                self.screen = Screen::Measure;
            }
            Action::PhotoFailed(notice) => {
                self.beside.clear();
                self.photo = before.photo.put_away();
                self.photo.notice = Some(notice);
                self.screen = Screen::Start;
            }
            Action::DropPhoto => {
                self.beside.clear();
                self.photo = before.photo.put_away();
                if before.is_practice() {
                    self.crab = Crab::of(before.last_kind.clone());
                    self.follow_rule();
                }
                self.screen = Screen::Start;
            }
            Action::Day(act) => self.apply_day(act),
            Action::RestoreCrab(saved) => self.restore_crab(*saved),
            Action::Reply(Reply::NoReading) if before.crab.gauge.is_some() => {
                self.reopen_end();
                self.crab.let_go = None;
                self.crab.reply(Reply::NoReading);
                self.crab.looking_at = Some(Check::Size);
                self.screen = Screen::Checks;
            }
            Action::Reply(Reply::NoReading) => {}
            Action::Reply(reply) => {
                let mut answered = before.crab.clone();
                answered.reply(reply.clone());
                if (&answered.answers, answered.gauge) != (&before.crab.answers, before.crab.gauge) {
                    // Another answer, another verdict: it is counted again when it is kept again.
                    self.reopen_end();
                    self.crab.let_go = None;
                }
                if let Reply::Kind(kind) = &reply
                    && kind != OTHER_KIND
                    && !before.is_practice()
                {
                    self.last_kind = Some(kind.clone());
                }
                self.crab.reply(reply.clone());
                self.say_season(&reply);
                self.follow_rule();
                self.go_on();
                // Who changed the kind on the day goes on sorting; what is not known of its season is asked first, and a
                // verdict that stands already is shown.
                let is_change =
                    before.crab.looking_at == Some(Check::Kind) && before.crab.answers.kind.given().is_some();
                let asks_season = self.shown_check() == Some(Check::Season);
                let is_open = self.screen == Screen::Checks && !asks_season;
                let is_another = before.crab.answers.kind != self.crab.answers.kind;
                if matches!(reply, Reply::Kind(_))
                    && is_change
                    && is_open
                    && is_another
                    && !before.is_in_hand()
                {
                    self.screen = Screen::Day;
                }
            }
            Action::PracticeKind(kind) => {
                // The finder needs a kind, and a newcomer has named none; what is sorted on deck stays as it was.
                let is_open = before.is_practice() && before.crab.answers.kind.given().is_none();
                if is_open && before.rules.kinds().contains(&kind) {
                    self.crab.reply(Reply::Kind(kind));
                    self.follow_rule();
                    // What was asked when the photo was taken names no kind yet.
                    self.photo.ask_measure();
                }
            }
            Action::ChooseRule(choice) => {
                self.rules.choice = Some(choice);
                self.follow_rule();
            }
            Action::RestoreRules { choice, confirmations, season_words, own } => {
                self.rules.restore(choice, confirmations, season_words, own);
                self.rules.forget_seasons_before(before.today);
                self.follow_rule();
            }
            Action::ForgetUnread => self.rules.unread.clear(),
            Action::ConfirmFacts { facts, who } => {
                self.rules.confirm(facts, who, before.today, before.date())
            }
            Action::WithdrawFact(fact) => self.rules.withdraw(&fact),
            Action::MakeOwnRule { rule, who, new_water } => {
                self.rules.make_own(&rule, &who, new_water.as_deref(), before.today);
                self.follow_rule();
            }
            Action::ImportPack(text) => {
                self.rules.import(&text, before.today);
                self.follow_rule();
            }
            Action::RemovePack(id) => {
                self.rules.remove(&id);
                self.follow_rule();
            }
            action => {
                self.photo.apply(action);
                let was_confirmed = before.photo.is_confirmed() && before.is_width_confirmed();
                if self.photo.is_confirmed() && !before.photo.is_confirmed() && self.show_waiting() {
                    self.screen = Screen::Measure;
                } else if self.is_width_confirmed() && !was_confirmed && self.photo.is_confirmed() {
                    self.crab.looking_at = None;
                    // Who has confirmed the points is done with the photo: no second tap for the way on. Where the card
                    // lies otherwise than said, the photo has still to be settled. A drawn photo shows the right points
                    // then, and leads back to its crab.
                    if self.photo.card_doubt().is_none() && !self.photo.is_drawn() {
                        self.go_on();
                    }
                }
            }
        }
    }

    /// A season that was looked up is remembered for the day, and for every crab of it. While practising nobody looks
    /// it up: what is said then ends with the practice photo.
    fn say_season(&mut self, reply: &Reply) {
        let said = match reply {
            Reply::Season(is_open) => Some(*is_open),
            Reply::NotSure(Check::Season) | Reply::Unanswer(Check::Season) => None,
            _ => return,
        };
        match said {
            Some(is_open) if self.is_practice() => self.crab.answers.open = Answer::Given(is_open),
            None if self.is_practice() => {}
            said => self.rules.say_season(self.date(), said),
        }
    }

    /// That a crab is of size by the gauge was said of one limit, and a reading of one distance: where another holds
    /// now, for the water, the day, the kind, the sex or the shell, it says nothing. Until the rules are read nobody knows
    /// what holds.
    fn doubt_gauge(&mut self, is_new: bool) {
        let Some(reading) = self.crab.gauge.filter(|_| !self.is_ended()) else { return };
        let Some(now) = self.gauged_against() else { return };
        let then = self.crab.gauged_against.as_ref();
        let holds = match reading {
            GaugeReading::Reads(_) => then.is_some_and(|then| then.points == now.points),
            GaugeReading::OfSize | GaugeReading::NotOfSize => then == Some(&now),
        };
        if is_new {
            self.crab.gauged_against = Some(now);
        } else if !holds {
            self.crab.gauge = None;
            self.crab.gauged_against = None;
            self.crab.let_go = None;
        }
    }

    /// To the verdict where it is settled, otherwise to the next check.
    pub(super) fn go_on(&mut self) {
        let is_settled = self.outcome().is_some_and(|outcome| outcome.verdict().is_some());
        self.screen = if is_settled { Screen::Verdict } else { Screen::Checks };
    }

    /// Looks the rule up anew for the kind that was answered, and tells the photo what it measures.
    pub(super) fn follow_rule(&mut self) {
        let kind = self.crab.answers.kind.given().cloned();
        self.rules.enforce(kind.as_deref());
        let height_share = match &self.rules.in_force {
            Some(rule) => {
                rule.species_info.as_ref().map(|info| info.height_prior()).map(|prior| (prior.k, prior.u))
            }
            // The pack is not read yet: what it said of this kind before a reload still holds.
            None => self.photo.height_share.filter(|_| self.photo.species == kind),
        };
        let dimension = self.with_case(photo_dimension).flatten().unwrap_or(self.photo.dimension);
        self.photo.set_shell(dimension, kind, height_share);
    }
}
