//! Every screen but the day.

use std::rc::Rc;

use yew::prelude::*;

use super::Around;
use crate::day::Book;
use crate::decide::{Notice, checks};
use crate::page::app::{in_hand, kind_answered};
use crate::page::parts::check_card::KnownKind;
use crate::page::screens::aboard::AboardScreen;
use crate::page::screens::checks::ChecksScreen;
use crate::page::screens::crabs::CrabsScreen;
use crate::page::screens::guide::GuideScreen;
use crate::page::screens::learn::LearnScreen;
use crate::page::screens::lesson::LessonScreen;
use crate::page::screens::measure::MeasureScreen;
use crate::page::screens::practice::PracticeScreen;
use crate::page::screens::record::RecordScreen;
use crate::page::screens::rules::RulesScreen;
use crate::page::screens::start::StartScreen;
use crate::page::screens::verdict::VerdictScreen;
use crate::rules::SpeciesInfo;
use crate::rules::pack::ANY_CRAB;
use crate::session::words::practice_truth;
use crate::session::{Screen, Session};
use crate::text::{card_lies, where_to_look_up};

/// The screen of the moment; nothing for the day, which the first program draws.
pub fn screen(session: &Session, around: &Around) -> Html {
    let Around { counts, is_without_disk, photo, files, take, act, .. } = around.clone();
    match session.screen {
        Screen::Day => Html::default(),
        Screen::Record => html! {
            <RecordScreen book={session.book.clone()} days={session.double_check()} date={session.date()}
                boat_over={session.boat_over()} {is_without_disk} kinds={kind_names(session)} act={act.clone()} />
        },
        Screen::Aboard => html! {
            <AboardScreen book={session.book.clone()} rule={session.rules.rule_of(ANY_CRAB).map(Rc::new)} now={session.now()} today={session.today} act={act.clone()} />
        },
        Screen::Crabs => html! {
            <CrabsScreen book={session.book.clone()} sizes={session.sizes_shown()} kinds={kind_names(session)}
                copy_in_question={session.copy_in_question.as_deref().map(Book::crabs_of_its_user)} act={act.clone()} />
        },
        Screen::Measure => html! {
            <MeasureScreen work={session.photo.clone()} file={photo} limits={session.limits_in_force()}
                width={session.width()} joined={session.joined.clone()} strip={session.strip()}
                files={session.strip().iter().filter_map(|photo| files.get(photo.serial)).collect::<Vec<_>>()}
                compared={session.compared()} is_confirmed={session.is_width_confirmed()} may_add={session.may_add_photo()}
                is_settled={is_settled(session)} {take} act={act.clone()} />
        },
        Screen::Checks => html! {
            <ChecksScreen told={told_at_checks(session)} times={session.season().map(|(_, words)| words).unwrap_or_default()}
                look_up={look_up(session)} water={session.rules.water()} states={session.with_case(checks).unwrap_or_default()} shown={session.shown_check()}
                kinds={Rc::new(known_kinds(session))} look_alikes={Rc::new(look_alikes(session))} kind={session.crab.answers.kind.given().cloned()}
                gauge_limits={session.gauge_limits()} has_photo={session.photo.in_hand.is_some()} is_settled={is_settled(session)}
                act={act.clone()} />
        },
        Screen::Verdict => html! {
            <VerdictScreen outcome={session.outcome().map(Rc::new)} kind={judged_as(session)} kept={counts.map(|counts| counts.lines).unwrap_or_default()} let_go={session.let_go_by_choice()}
                keepers={session.keepers()} may_be_recorded={session.may_be_recorded()} is_ended={session.is_ended()}
                is_saved={!session.book.has_unsaved()} {is_without_disk} vibration={session.settings.vibration} width={session.width()}
                may_add={session.may_add_photo()} {take} is_practice={session.is_practice()}
                truth={practice_truth(&session.photo)}
                act={act.clone()} />
        },
        Screen::Rules => html! {
            <RulesScreen book={session.rules.clone()} date={session.date()} today={session.today}
                kind={session.last_kind.clone()} seasons={session.seasons()} water_for={session.water_for} act={act.clone()} />
        },
        Screen::Practice => html! {
            <PracticeScreen rules={session.rules.clone()} today={session.today}
                is_in_hand={session.is_in_hand() && !session.is_practice() && !session.is_ended()} {take} act={act.clone()} />
        },
        Screen::Learn => html! { <LearnScreen act={act.clone()} /> },
        Screen::Lesson => html! { <LessonScreen open={session.lesson.clone()} act={act.clone()} /> },
        Screen::Guide => html! {
            <GuideScreen book={session.rules.clone()} kind={session.last_kind.clone()} date={session.date()} today={session.today}
                act={act.clone()} />
        },
        Screen::Start => {
            html! { <StartScreen in_hand={in_hand(session).filter(|_| session.stays_for_a_photo() && !session.is_practice())} notice={session.photo.notice.clone()} {take} act={act.clone()} /> }
        }
    }
}

/// What the crab in hand is judged as: its kind, and where the card lay where a photo measured it.
fn judged_as(session: &Session) -> Option<String> {
    let kind = kind_answered(session)?;
    let card = session.measured().map(|_| card_lies(session.photo.placement));
    Some(card.map_or_else(|| kind.clone(), |place| format!("{kind}; card {place}")))
}

/// Names of the kinds of the chosen water, by their ids.
fn kind_names(session: &Session) -> Vec<(String, String)> {
    let name = |kind: String| Some((kind.clone(), session.rules.rule_of(&kind)?.species_name));
    session.rules.kinds().into_iter().filter_map(name).collect()
}

/// The kinds of the chosen water, each with what tells it.
fn known_kinds(session: &Session) -> Vec<KnownKind> {
    let known = |id: String| {
        let rule = session.rules.rule_of(&id)?;
        let marks = rule.species_info.into_iter().flat_map(|info| info.tell_tales).map(|tell| tell.value);
        Some(KnownKind { id, name: rule.species_name, marks: marks.collect() })
    };
    session.rules.kinds().into_iter().filter_map(known).collect()
}

/// Kinds that are taken for one of the chosen water, and that its rules do not name.
fn look_alikes(session: &Session) -> Vec<KnownKind> {
    let known = |info: SpeciesInfo| KnownKind {
        name: info.name().to_owned(),
        marks: info.tell_tales.into_iter().map(|tell| tell.value).collect(),
        id: info.id,
    };
    session.rules.look_alikes().into_iter().map(known).collect()
}

/// What is said beside the question: answers that contradict each other.
fn told_at_checks(session: &Session) -> Vec<String> {
    session.notices().iter().filter(|notice| **notice == Notice::MaleWithEggs).map(Notice::sentence).collect()
}

/// Where the season of the rule in force can be looked up.
fn look_up(session: &Session) -> Vec<String> {
    session.rules.in_force.as_deref().map(where_to_look_up).unwrap_or_default()
}

fn is_settled(session: &Session) -> bool {
    session.outcome().is_some_and(|outcome| outcome.verdict().is_some())
}
