//! What is to be shown, block by block: the page draws these without knowing what they are about.

use serde::{Deserialize, Serialize};

use super::course::{Act, Course, InHand, NAME, SEED, Sheet};
use super::crab::{Crab, Firmness};
use super::draw::{Look, draw};
use super::judge::{Mark, Truth, Why};
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

fn main_choice(id: &str, words: &str, act: Act) -> Choice {
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
    let mut gaps: Vec<(f64, &str)> = Vec::new();
    for limit in said.iter().flat_map(|ground| &ground.limits) {
        if !gaps.iter().any(|(mm, _)| *mm == limit.mm) {
            gaps.push((limit.mm, &limit.words));
        }
    }
    for (place, (gap_mm, words)) in gaps.into_iter().enumerate() {
        for (at, held) in [(Dimension::Notch, "in the notches"), (Dimension::Tips, "at the tips")] {
            let id = format!("gauge-{place}-{}", if at == Dimension::Notch { "notch" } else { "tips" });
            buttons.push(way(&id, &format!("Gauge {words}, {held}"), Look::Gauge { gap_mm, at }));
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
    sources.push(format!("Judged as on {}, the water taken as open. {NOT_LEGAL_ADVICE}", ground.date));
    blocks.push(Block::Fold { summary: "The rule and its source".into(), words: sources });
    let next = main_choice("practice-next", "Next crab", Act::Next);
    blocks.push(Block::Choices { legend: "Go on".into(), buttons: vec![next, sheet_choice(course)] });
    blocks
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
            "{between}: {:.1} mm. The rule: {}.",
            crab.width_mm(limit.dimension),
            limit.words
        ));
        if limit.dimension == Dimension::Notch && notch < limit.mm && tips >= limit.mm {
            words.push(format!("Between the tips it is {tips:.1} mm: the points are left out by this rule."));
        }
    }
    words.into_iter().map(capital).collect()
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
    ground.rule.species_name.clone()
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

fn check_words(why: Why) -> &'static str {
    match why {
        Why::Kind => "Kind",
        Why::Sex => "Male or female",
        Why::Eggs => "Eggs",
        Why::Shell => "Hard or soft",
        Why::Size => "Size",
    }
}

fn kept_words(why: Why) -> &'static str {
    match why {
        Why::Kind => "Kept a kind that may not be kept",
        Why::Sex => "Kept one whose sex forbids it",
        Why::Eggs => "Kept one with eggs",
        Why::Shell => "Kept a soft one",
        Why::Size => "Kept one that is not of size",
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

/// The score sheet, the costly errors first.
fn score(course: &Course) -> Vec<Block> {
    let tally = &course.tally;
    let mut blocks = vec![Block::Heading("Score sheet".into())];
    let mut costly: Vec<[String; 2]> =
        tally.costly().into_iter().map(|(why, count)| [kept_words(why).into(), count.to_string()]).collect();
    if costly.is_empty() {
        costly.push(["Kept what should go back".into(), "none".into()]);
    }
    if tally.released > 0 {
        costly.push(["Good ones let go".into(), tally.released.to_string()]);
    }
    blocks.push(Block::Table { caption: "Costly errors first".into(), rows: costly });
    let rows = Why::ALL.map(|why| {
        let (right, asked) = tally.check(why);
        [check_words(why).to_owned(), format!("{right} of {asked}")]
    });
    blocks.push(Block::Table { caption: "Right, by check".into(), rows: rows.into() });
    let waiting = course.items.iter().filter(|(_, item)| item.again_today).count();
    let all = vec![
        ["All right".to_owned(), format!("{} of {}", tally.right, tally.crabs)],
        [
            "Mistakes that came back, right".to_owned(),
            format!("{} of {}", tally.repeated_right, tally.repeated),
        ],
        ["Still to come again today".to_owned(), waiting.to_string()],
        ["Level".to_owned(), format!("{} of 3", course.level())],
    ];
    blocks.push(Block::Table { caption: "So far".into(), rows: all });
    blocks.push(Block::Choices {
        legend: "Go on".into(),
        buttons: vec![main_choice("practice-sort", "Back to the crabs", Act::Sort)],
    });
    blocks.push(Block::Ask {
        id: "practice-name".into(),
        label: "Certificate of practice for (name)".into(),
        value: String::new(),
        button: "Show it".into(),
        act: NAME.into(),
    });
    blocks.push(Block::Words("The same number gives a class the same crabs. A new one begins anew.".into()));
    blocks.push(Block::Ask {
        id: "practice-seed".into(),
        label: "Number of the crabs, 0 to 9999".into(),
        value: course.seed.to_string(),
        button: "Begin anew with it".into(),
        act: SEED.into(),
    });
    blocks.push(Block::Fold {
        summary: "How it works".into(),
        words: vec![
            "Mistakes come back after each ten crabs until they are right, then after 1, 6 and more days: the schedule SM-2 \
             (Wozniak 1990)."
                .into(),
            "Widths are spread as in research pots off Oregon, 2010 to 2020; of other kinds than the Dungeness crab as \
             theirs stand to the limit."
                .into(),
        ],
    });
    blocks
}

fn certificate(course: &Course, grounds: &Grounds, water: &Water, name: &str) -> Vec<Block> {
    let tally = &course.tally;
    let kinds: Vec<String> = grounds.sought.iter().map(|ground| ground.rule.species_name.clone()).collect();
    let area = grounds.sought.first().map(|ground| ground.rule.area_name.clone()).unwrap_or_default();
    let who = if name.is_empty() { "the learner" } else { name };
    let costly = match tally.wrongly_kept() {
        0 => "none kept that should go back".to_owned(),
        1 => "1 kept that should go back".to_owned(),
        many => format!("{many} kept that should go back"),
    };
    let lines = vec![
        "Certificate of practice".to_owned(),
        format!("{who} sorted {} drawn crabs on {}.", tally.crabs, water.date),
        format!("All right: {} of {}; {costly}.", tally.right, tally.crabs),
        format!("By the rule of {}, {area}, as this program had it on {}: {}.", water.pack.name, water.pack.checked, kinds.join(", ")),
        format!("Crabs of the number {}.", course.seed),
        "This is no licence and gives no right to fish. The official rule, the agency and a physical gauge decide.".to_owned(),
    ];
    let buttons = vec![main_choice("practice-back", "Back to the score", Act::Sheet)];
    vec![Block::Certificate(lines), Block::Choices { legend: "Go on".into(), buttons }]
}
