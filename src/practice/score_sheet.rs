//! The score sheet and the certificate of practice, as blocks.

use super::course::{Act, Course, NAME, SEED};
use super::judge::Why;
use super::view::{Block, main_choice};
use super::water::{Grounds, Water};

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

/// The score sheet, the costly errors first.
pub(super) fn score(course: &Course) -> Vec<Block> {
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
            "The season is left out: the water is taken as open, on the next day on which it is.".into(),
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

/// One page, without a claim to be a licence.
pub(super) fn certificate(course: &Course, grounds: &Grounds, water: &Water, name: &str) -> Vec<Block> {
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
