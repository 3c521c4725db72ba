//! Practice: a worker of its own for as long as the screen is open, and what is kept of it.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use super::kept::remembered::{recall, remember};
use super::worker::Running;
use crate::practice::course::OPEN;
use crate::practice::desk::{Made, Question, Told, WaterText};
use crate::practice::view::Block;
use crate::session::RuleBook;
use crate::worker::protocol::{Ask, Body, Question as Asked};

/// Where practice is kept: a key of its own, apart from the day's book.
const KEPT: &str = "practice";

/// What practice shows.
#[derive(Clone, PartialEq)]
pub enum Shown {
    /// The worker is on its way.
    Waiting,
    /// These blocks.
    Blocks(Rc<Vec<Block>>),
    /// It broke.
    Broken,
}

/// Practice at the chosen water: what is shown, and what to call with what the learner did. `made` gets a photo.
#[hook]
pub fn use_practice(rules: &RuleBook, today: Date, made: Callback<Made>) -> (Shown, Callback<String>) {
    let shown = use_state_eq(|| Shown::Waiting);
    let worker = use_mut_ref(|| None::<Running>);
    let number = use_mut_ref(|| 0_u64);
    let last = use_memo((), |()| Cell::new(0_u64));
    let ask: Callback<String> = {
        let (shown, worker, rules) = (shown.clone(), worker.clone(), rules.clone());
        Callback::from(move |act: String| {
            let number = next(&number);
            last.set(number);
            let mut running = worker.borrow_mut();
            if running.is_none() {
                *running = start(&shown, &worker, &last, &made);
            }
            let question = Question { water: water_text(&rules), kept: recall(KEPT), act, today };
            let ask = Ask { number, question: Asked::Practice(Box::new(question)) };
            if !running.as_ref().is_some_and(|running| running.ask(&ask)) {
                shown.set(Shown::Broken);
            }
        })
    };
    {
        let ask = ask.clone();
        let choice = rules.choice.clone();
        // Packs may come after the screen: the water is then asked for again.
        let is_there = water_is_there(rules);
        use_effect_with((choice, is_there, today), move |_| {
            ask.emit(format!("{OPEN}{}", (js_sys::Math::random() * 10_000.0) as u32));
        });
    }
    {
        let worker = worker.clone();
        use_effect_with((), move |()| move || drop(worker.take()));
    }
    ((*shown).clone(), ask)
}

fn next(number: &Rc<RefCell<u64>>) -> u64 {
    let mut number = number.borrow_mut();
    *number += 1;
    *number
}

fn start(
    shown: &UseStateHandle<Shown>,
    worker: &Rc<RefCell<Option<Running>>>,
    last: &Rc<Cell<u64>>,
    made: &Callback<Made>,
) -> Option<Running> {
    let hear = {
        let (shown, last, made) = (shown.clone(), last.clone(), made.clone());
        Callback::from(move |answer: crate::worker::protocol::Answer| match answer.body {
            Body::Practice(told) if answer.number == last.get() => {
                let Told { keep, blocks, photo } = *told;
                if let Some(keep) = keep {
                    remember(KEPT, &keep);
                }
                shown.set(Shown::Blocks(Rc::new(blocks)));
                if let Some(photo) = photo {
                    made.emit(photo);
                }
            }
            Body::Stopped(_) => shown.set(Shown::Broken),
            _ => {}
        })
    };
    let broke = {
        let (shown, worker) = (shown.clone(), worker.clone());
        Callback::from(move |()| {
            worker.take();
            shown.set(Shown::Broken);
        })
    };
    Running::start(hear, broke)
}

fn water_is_there(rules: &RuleBook) -> bool {
    rules.choice.as_ref().is_some_and(|choice| rules.pack(&choice.pack).is_some())
}

fn water_text(rules: &RuleBook) -> Option<WaterText> {
    let choice = rules.choice.as_ref()?;
    let pack = rules.pack(&choice.pack)?;
    Some(WaterText {
        pack: crate::rules::write_pack(pack),
        area: choice.area.clone(),
        confirmations: serde_json::to_string(&*rules.confirmations).unwrap_or_default(),
    })
}
