//! Lessons: which one is open, at which screen, and where it was opened from.

use super::{Screen, Session};

/// A lesson that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenLesson {
    /// Its file is `NAME.json`.
    pub name: String,
    /// Which of its screens, from 0.
    pub at: usize,
    /// Where it was opened.
    pub from: Screen,
}

/// What is done with lessons.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LearnAct {
    /// Opens the lesson of this name at its first screen.
    Open(String),
    /// To another of its screens.
    Turn(usize),
    /// Back to where it was opened.
    Leave,
}

impl Session {
    /// Shows `screen`. Whoever chooses the water for practice or for a group is led back there.
    pub(super) fn show(&mut self, screen: Screen) {
        self.water_for = match (screen, self.screen) {
            (Screen::Rules, Screen::Practice | Screen::Guide) => Some(self.screen),
            (Screen::Rules, Screen::Rules) => self.water_for,
            _ => None,
        };
        self.screen = screen;
    }

    /// The session after `act`; what was answered of the crab in hand stays as it is.
    pub(super) fn learn(&mut self, act: LearnAct) {
        match act {
            LearnAct::Open(name) => {
                let from = match (self.screen, &self.lesson) {
                    (Screen::Lesson, Some(open)) => open.from,
                    (Screen::Lesson, None) => Screen::Learn,
                    (screen, _) => screen,
                };
                self.lesson = Some(OpenLesson { name, at: 0, from });
                self.screen = Screen::Lesson;
            }
            LearnAct::Turn(at) => {
                if let Some(open) = &mut self.lesson {
                    open.at = at;
                }
            }
            LearnAct::Leave => {
                self.screen = self.lesson.as_ref().map_or(Screen::Learn, |open| open.from);
            }
        }
    }

    /// The screen that a reload brings back: a lesson is not kept, the place where it was opened is.
    pub(super) fn screen_to_keep(&self) -> Screen {
        let screen = match (self.screen, &self.lesson) {
            (Screen::Lesson, Some(open)) => open.from,
            (screen, _) => screen,
        };
        match screen {
            Screen::Learn | Screen::Lesson | Screen::Guide => Screen::Day,
            screen => screen,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::Check;
    use crate::rules::when::Sex;
    use crate::session::{Action, Reply, SavedCrab};

    fn at_a_check() -> Session {
        let session = Session::new(jiff::civil::date(2026, 7, 15));
        // A crab of which only the kind is said is not in hand yet.
        let said = [Reply::Kind("dungeness".into()), Reply::Sex(Sex::Male)].map(Action::Reply);
        said.into_iter().fold(session, |session, act| session.apply(act)).apply(Action::LookAt(Check::Shell))
    }

    #[test]
    fn a_lesson_leads_back_to_the_check_with_nothing_lost() {
        let before = at_a_check();
        let reading = before.apply(Action::Learn(LearnAct::Open("hard-or-soft".into())));
        assert_eq!(reading.screen, Screen::Lesson);
        let turned = reading.apply(Action::Learn(LearnAct::Turn(3)));
        assert_eq!(turned.lesson.as_ref().map(|open| open.at), Some(3));
        let after = turned.apply(Action::Learn(LearnAct::Leave));
        assert_eq!((after.screen, after.shown_check()), (Screen::Checks, Some(Check::Shell)));
        assert_eq!(after.crab, before.crab);
    }

    #[test]
    fn another_lesson_opened_from_a_lesson_leads_back_to_the_first_place() {
        let reading = at_a_check().apply(Action::Learn(LearnAct::Open("claws".into())));
        let other = reading.apply(Action::Learn(LearnAct::Open("gauge".into())));
        assert_eq!(other.lesson.map(|open| (open.name, open.from)), Some(("gauge".into(), Screen::Checks)));
    }

    #[test]
    fn who_chooses_the_water_for_practice_is_led_back_there() {
        let day = Session::new(jiff::civil::date(2026, 7, 15));
        for from in [Screen::Practice, Screen::Guide] {
            let choosing = day.apply(Action::Show(from)).apply(Action::Show(Screen::Rules));
            assert_eq!(choosing.water_for, Some(from));
            assert_eq!(choosing.apply(Action::Show(Screen::Rules)).water_for, Some(from));
            assert_eq!(choosing.apply(Action::Show(from)).water_for, None);
        }
        assert_eq!(day.apply(Action::Show(Screen::Rules)).water_for, None);
    }

    #[test]
    fn a_reload_within_a_lesson_brings_the_check_back() {
        let reading = at_a_check().apply(Action::Learn(LearnAct::Open("hard-or-soft".into())));
        let bytes = reading.saved().expect("a crab in hand").encode();
        let saved = SavedCrab::decode(&bytes).expect("the same build");
        let back = Session::new(reading.today).apply(Action::RestoreCrab(Box::new(saved)));
        assert_eq!((back.screen, back.shown_check()), (Screen::Checks, Some(Check::Shell)));
        let learning = at_a_check().apply(Action::Show(Screen::Learn));
        assert_eq!(learning.screen_to_keep(), Screen::Day);
        let from_list = learning.apply(Action::Learn(LearnAct::Open("claws".into())));
        assert_eq!(from_list.screen_to_keep(), Screen::Day);
    }
}
