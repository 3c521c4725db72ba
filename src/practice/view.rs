//! What is to be shown, block by block: the page draws these without knowing what they are about.

use serde::{Deserialize, Serialize};

use super::course::{Act, Course, InHand, Sheet};
use super::crab::{Crab, Firmness};
use super::draw::{Look, draw};
use super::judge::{Mark, Truth, Why};
use super::score_sheet::{certificate, score};
use super::water::{Ground, Grounds, Water};
use crate::decide::words::NOT_LEGAL_ADVICE;
use crate::decide::{Call, Reason};
use crate::terms::Dimension;

/// One piece of the screen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Block {
    /// The heading.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A paragraph that must not be missed: whether the answer was right.
    Mark {
        /// It was all right.
        is_right: bool,
        /// The words.
        words: String,
    },
    /// A drawing, as SVG with its title.
    Drawing(String),
    /// More, for who asks.
    Fold {
        /// What it is about.
        summary: String,
        /// The words.
        words: Vec<String>,
    },
    /// Buttons.
    Choices {
        /// What is chosen.
        legend: String,
        /// The buttons.
        buttons: Vec<Choice>,
    },
    /// A word or number to be typed.
    Ask {
        /// Id.
        id: String,
        /// What is asked.
        label: String,
        /// What stands there.
        value: String,
        /// The button's words.
        button: String,
        /// What goes before the typed word, as the act.
        act: String,
    },
    /// A table: a heading for the rows, and figures.
    Table {
        /// What it shows.
        caption: String,
        /// The rows.
        rows: Vec<[String; 2]>,
    },
    /// A page to be printed.
    Certificate(Vec<String>),
    /// The lesson of this name tells what was missed.
    Lesson(String),
    /// The water is still to be chosen, or another one.
    ChooseWater,
}

/// A button.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Choice {
    /// Id.
    pub id: String,
    /// Its words.
    pub words: String,
    /// Chosen.
    pub pressed: bool,
    /// The way on.
    pub is_main: bool,
    /// What it does, as [`Act::text`].
    pub act: String,
}

fn choice(id: impl Into<String>, words: impl Into<String>, act: Act) -> Choice {
    Choice { id: id.into(), words: words.into(), pressed: false, is_main: false, act: act.text() }
}

pub(super) fn main_choice(id: &str, words: &str, act: Act) -> Choice {
    Choice { is_main: true, ..choice(id, words, act) }
}

/// What is shown where the learner stands.
pub fn blocks(course: &Course, grounds: &Grounds, water: &Water) -> Vec<Block> {
    match &course.sheet {
        Sheet::Score => return score(course),
        Sheet::Certificate(name) => return certificate(course, grounds, water, name),
        Sheet::Crab => {}
    }
    let in_hand = course.now.as_ref().zip(course.crab(grounds));
    let Some((now, (crab, truth))) = in_hand else {
        return vec![
            Block::Heading("Practice".into()),
            Block::Words(
                "The rule of this water is not known well enough to practise with, or measures what cannot be drawn. \
                 Choose another water."
                    .into(),
            ),
            Block::ChooseWater,
        ];
    };
    let again = if now.again { ", once more" } else { "" };
    let mut blocks = vec![Block::Heading(format!("Practice crab {}-{}{again}", course.seed, crab.number))];
    if let Some((_, mark)) = &now.judged {
        blocks.extend(explained(course, grounds, &crab, &truth, mark));
        blocks.extend(looks(now, grounds, &crab));
        return blocks;
    }
    if course.tally.crabs == 0 {
        blocks.push(Block::Words(FIRST.into()));
    }
    blocks.extend(looks(now, grounds, &crab));
    let kinds = grounds.all().map(|ground| Choice {
        pressed: now.kind.as_deref() == Some(ground.kind.id),
        ..choice(format!("practice-kind-{}", ground.kind.id), name(ground), Act::Kind(ground.kind.id.into()))
    });
    blocks.push(Block::Choices { legend: "Which kind is it?".into(), buttons: kinds.collect() });
    if now.kind.is_some() {
        let buttons = vec![
            choice("practice-keep", "Keep", Act::Say(None)),
            Choice { pressed: now.goes_back, ..choice("practice-release", "Let it go", Act::Release) },
        ];
        blocks.push(Block::Choices { legend: "Keep it?".into(), buttons });
    }
    if now.goes_back {
        let buttons = Why::ALL.map(|why| {
            choice(format!("practice-why-{}", short(why)), reason_words(why), Act::Say(Some(why)))
        });
        blocks.push(Block::Choices { legend: "Why does it go back?".into(), buttons: buttons.into() });
    }
    blocks.push(more(course));
    blocks
}

/// What a learner reads above the first crab.
const FIRST: &str = "Sort it as on deck: look, turn it over, press it. Say the kind: then its gauge lies ready. Keep it, or \
                     let it go and say why.";

/// Where a gauge is held: the points, their name in ids, the words.
const HELD: [(Dimension, &str, &str); 3] = [
    (Dimension::Notch, "notch", "in the notches"),
    (Dimension::Tips, "tips", "at the tips"),
    (Dimension::Widest, "widest", "at the widest place"),
];

/// The drawing and the ways to look at it.
fn looks(now: &InHand, grounds: &Grounds, crab: &Crab) -> Vec<Block> {
    let drawn = draw(crab, now.look);
    let way = |id: &str, words: &str, look: Look| Choice {
        pressed: now.look == look,
        ..choice(format!("look-{id}"), words, Act::Look(look))
    };
    let mut buttons = vec![
        way("top", "From above", Look::Top),
        way("belly", "Turn it over", Look::Belly),
        way("edge", "Edge, close", Look::Edge),
        way("claw", "Claw, close", Look::Claw),
        way("joint", "Press by the claw's joint", Look::PressJoint),
        way("back", "Press the back", Look::PressBack),
    ];
    // The gauge is set by the kind that was said: by a wrong one it misleads, as on deck.
    let said = now.kind.as_deref().and_then(|id| grounds.of(id));
    let limits = || said.iter().flat_map(|ground| &ground.limits);
    let mut gaps: Vec<(f64, &str)> = Vec::new();
    for limit in limits() {
        if !gaps.iter().any(|(mm, _)| *mm == limit.mm) {
            gaps.push((limit.mm, &limit.words));
        }
    }
    // Notches and tips are always there to be mistaken for each other; the widest place where a rule names it.
    let has_widest = limits().any(|limit| limit.dimension == Dimension::Widest);
    for (place, (gap_mm, words)) in gaps.into_iter().enumerate() {
        let figure = words.replace(' ', "\u{a0}");
        for (at, id, held) in HELD {
            if at == Dimension::Widest && !has_widest {
                continue;
            }
            let id = format!("gauge-{place}-{id}");
            buttons.push(way(&id, &format!("Gauge {figure}: {held}"), Look::Gauge { gap_mm, at }));
        }
    }
    buttons.push(choice("practice-photo", "Photo beside a card", Act::Photo));
    vec![
        Block::Drawing(drawn.svg),
        Block::Fold { summary: "What is seen, in words".into(), words: vec![drawn.words] },
        Block::Choices { legend: "Look, press, gauge".into(), buttons },
    ]
}

/// What was right, and the rule.
fn explained(course: &Course, grounds: &Grounds, crab: &Crab, truth: &Truth, mark: &Mark) -> Vec<Block> {
    let Some(ground) = grounds.of(crab.kind.id) else { return Vec::new() };
    let true_word = if truth.call == Call::Keep { "It may be kept." } else { "It goes back." };
    let judged = match (mark.is_call_right, mark.is_why_right, mark.is_kind_right) {
        (true, true, true) => format!("Right. {true_word}"),
        (true, true, false) => format!("{true_word} But it is another kind: {}.", name(ground)),
        (true, false, _) => format!("{true_word} But not for that reason."),
        (false, ..) => format!("Wrong. {true_word}"),
    };
    let mut blocks = vec![Block::Mark { is_right: mark.is_right(), words: judged }];
    if truth.call == Call::Keep {
        // The season is no part of the drawing: a crab that may be kept then goes back while the water is closed.
        blocks.push(Block::Words(format!(
            "Judged as on {}, with the water open. While it is closed every crab goes back: look it up.",
            ground.date
        )));
    }
    // The deciding reason stands in sight, the others and the sources in the fold.
    let shown = if truth.call == Call::Keep { 1 } else { truth.reasons.len() };
    for reason in truth.reasons.iter().take(shown) {
        blocks.push(Block::Words(reason.sentence()));
    }
    blocks.extend(traps(ground, crab, mark).into_iter().map(Block::Words));
    let mut sources: Vec<String> = truth.reasons.iter().filter_map(rule_words).collect();
    sources.dedup();
    sources.push(format!("{}: {} ({})", name(ground), crab.kind.tell.value, crab.kind.tell.source));
    if !ground.taken.is_empty() {
        sources.push(format!(
            "Known from memory only, taken as read for practice: {}. Read the official rule.",
            ground.taken.join("; ")
        ));
    }
    sources.push(NOT_LEGAL_ADVICE.to_owned());
    blocks.push(Block::Fold { summary: "The rule and its source".into(), words: sources });
    let next = main_choice("practice-next", "Next crab", Act::Next);
    blocks.push(Block::Choices { legend: "Go on".into(), buttons: vec![next, sheet_choice(course)] });
    if let Some(why) = missed(truth, mark) {
        blocks.push(Block::Lesson(lesson(why).into()));
    }
    blocks
}

/// The check that was missed, if one was: the kind before what follows from it.
fn missed(truth: &Truth, mark: &Mark) -> Option<Why> {
    if mark.is_right() {
        return None;
    }
    if !mark.is_kind_right {
        return Some(Why::Kind);
    }
    let made_wrongly = mark.checks.iter().find(|(_, is_right)| !is_right).map(|(why, _)| *why);
    // What was overlooked teaches more than what was named instead of it.
    truth.fails.first().copied().or(made_wrongly)
}

/// The lesson that teaches a check, by its file.
pub fn lesson(why: Why) -> &'static str {
    match why {
        Why::Kind => "kinds",
        Why::Sex | Why::Eggs => "sex-and-eggs",
        Why::Shell => "hard-or-soft",
        Why::Size => "where-to-measure",
    }
}

/// What the crab's trap was, where one was there.
fn traps(ground: &Ground, crab: &Crab, mark: &Mark) -> Vec<String> {
    let mut words = Vec::new();
    if !mark.is_kind_right {
        words.push(format!("{} Look at claw tips and teeth before colour.", crab.kind.tell.value));
    }
    if crab.firmness == Firmness::Springy {
        words.push("Its shell gives way beside the claw's joint only: the back alone does not tell.".into());
    }
    for limit in ground.limits_of(crab).iter().filter(|limit| limit.is_min) {
        let (notch, tips) = (crab.width_mm(Dimension::Notch), crab.width_mm(Dimension::Tips));
        let between = match limit.dimension {
            Dimension::Notch => "between the notches",
            Dimension::Tips => "between the tips",
            Dimension::Widest => "at the widest place",
        };
        words.push(format!(
            "{between}: {}. The rule: {}.",
            in_unit_of(crab.width_mm(limit.dimension), &limit.words),
            limit.words
        ));
        if limit.dimension == Dimension::Notch && notch < limit.mm && tips >= limit.mm {
            words.push(format!(
                "Between the tips it is {}: the points are left out by this rule.",
                in_unit_of(tips, &limit.words)
            ));
        }
    }
    words.into_iter().map(capital).collect()
}

/// A width as the rule writes its figure, down to a hundredth of an inch or a tenth of a mm: never wider than it is.
fn in_unit_of(mm: f64, rule: &str) -> String {
    if rule.ends_with(" in") {
        format!("{:.2} in", (mm / 25.4 * 100.0).floor() / 100.0)
    } else {
        format!("{:.1} mm", (mm * 10.0).floor() / 10.0)
    }
}

fn capital(text: String) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn rule_words(reason: &Reason) -> Option<String> {
    let rule = reason.rule.as_ref()?;
    Some(format!("{}: {}. {}.", rule.area, rule.words, rule.citation()))
}

fn name(ground: &Ground) -> String {
    let name = &ground.rule.species_name;
    // A look-alike without a rule of its own has no name but its id.
    if name.contains("crab") { name.clone() } else { format!("{} crab", name.replace('-', " ")) }
}

fn short(why: Why) -> &'static str {
    match why {
        Why::Kind => "kind",
        Why::Sex => "sex",
        Why::Eggs => "eggs",
        Why::Shell => "shell",
        Why::Size => "size",
    }
}

fn reason_words(why: Why) -> &'static str {
    match why {
        Why::Kind => "This kind may not be kept",
        Why::Sex => "Its sex",
        Why::Eggs => "It carries eggs",
        Why::Shell => "Its shell is soft",
        Why::Size => "It is not of size",
    }
}

fn sheet_choice(course: &Course) -> Choice {
    choice(
        "practice-sheet",
        format!("Score: {} of {} right", course.tally.right, course.tally.crabs),
        Act::Sheet,
    )
}

fn more(course: &Course) -> Block {
    Block::Choices { legend: "Score".into(), buttons: vec![sheet_choice(course)] }
}

#[cfg(test)]
mod tests {
    use super::in_unit_of;

    /// A crab of 158.74 mm is short of 6 1/4 in (158.75 mm, the international inch of 25.4 mm): it must not read 6.25.
    #[test]
    fn a_width_reads_in_the_rule_s_unit_and_never_wider_than_it_is() {
        assert_eq!(in_unit_of(158.74, "at least 6 1/4 in"), "6.24 in");
        assert_eq!(in_unit_of(158.76, "at least 6 1/4 in"), "6.25 in");
        assert_eq!(in_unit_of(139.96, "at least 140 mm"), "139.9 mm");
    }
}
