//! Where a learner stands: the crab in hand, the mistakes that come back, the score. Pure: an act gives the next state.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::crab::{Crab, difficulty};
use super::draw::Look;
use super::judge::{Mark, Said, Truth, Why, mark};
use super::schedule::{Grade, Item};
use super::score::Tally;
use super::water::Grounds;

/// Another form of what is kept is put away unread.
const VERSION: u32 = 1;
/// Fresh crabs of a round; then the mistakes of the day come again, as step 7 of SM-2 has it after each session.
pub const ROUND: u32 = 10;
/// Seeds are short, so that a class can say them aloud.
const SEEDS: u64 = 10_000;
/// Answers that the level looks back on.
const RECENT: usize = 6;
/// Numbers that are looked through for a crab of the level.
const SCAN: u32 = 120;

/// The screen was opened; a seed follows for who has none yet.
pub const OPEN: &str = "open ";
/// The crabs of the seed that follows.
pub const SEED: &str = "seed ";
/// The certificate for the name that follows.
pub const NAME: &str = "name ";
/// A photo of the crab in hand.
pub const PHOTO: &str = "photo";

/// What a learner can do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Act {
    /// The screen was opened. The number names the crabs where none were begun.
    Open(u64),
    /// Look at it in this way.
    Look(Look),
    /// It is of this kind.
    Kind(String),
    /// It goes back: why is still to be said.
    Release,
    /// Keep it, or let it go for this reason.
    Say(Option<Why>),
    /// The next crab.
    Next,
    /// Begin with the crabs of this seed.
    Seed(String),
    /// Show the score sheet.
    Sheet,
    /// Show the certificate for this name.
    Certificate(String),
    /// Back to the crabs.
    Sort,
    /// Make a photo of the crab in hand.
    Photo,
}

impl Act {
    /// An act as the page sends it: what a button carried, or one of [`OPEN`], [`SEED`], [`NAME`] and [`PHOTO`] with
    /// what was typed behind it.
    pub fn of(text: &str) -> Option<Self> {
        let after = |start: &str| text.strip_prefix(start);
        if let Some(seed) = after(OPEN) {
            return Some(Self::Open(seed.parse().unwrap_or(0)));
        }
        if let Some(seed) = after(SEED) {
            return Some(Self::Seed(seed.to_owned()));
        }
        if let Some(name) = after(NAME) {
            return Some(Self::Certificate(name.to_owned()));
        }
        if text == PHOTO {
            return Some(Self::Photo);
        }
        serde_json::from_str(text).ok()
    }

    /// The text that a button carries: the page need not know what it means.
    pub fn text(&self) -> String {
        if *self == Self::Photo { PHOTO.to_owned() } else { serde_json::to_string(self).unwrap_or_default() }
    }
}

/// What is shown.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Sheet {
    /// The crab in hand.
    #[default]
    Crab,
    /// The score.
    Score,
    /// The certificate, for this name.
    Certificate(String),
}

/// The crab in hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct InHand {
    /// Its number.
    pub number: u32,
    /// It was judged wrongly before.
    pub again: bool,
    /// How it is looked at.
    pub look: Look,
    /// The kind that was said.
    pub kind: Option<String>,
    /// It is to go back, why is not said yet.
    pub goes_back: bool,
    /// What was said, and how it stands to the truth.
    pub judged: Option<(Said, Mark)>,
}

/// Where a learner stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Course {
    version: u32,
    /// The crabs' seed.
    pub seed: u64,
    /// The water that they are judged by.
    place: String,
    /// The next number to look at, for each level.
    next: [u32; 3],
    /// Fresh crabs answered in this round.
    round: u32,
    /// The last answers: all right or not.
    recent: Vec<bool>,
    /// Crabs that were judged wrongly, by number.
    pub items: Vec<(u32, Item)>,
    /// The score.
    pub tally: Tally,
    /// The crab in hand.
    pub now: Option<InHand>,
    /// What is shown.
    pub sheet: Sheet,
}

impl Course {
    /// A course from nothing.
    pub fn new(seed: u64, place: &str) -> Self {
        Self {
            version: VERSION,
            seed: seed % SEEDS,
            place: place.to_owned(),
            next: [0; 3],
            round: 0,
            recent: Vec::new(),
            items: Vec::new(),
            tally: Tally::default(),
            now: None,
            sheet: Sheet::Crab,
        }
    }

    /// A course as it was kept; `None` for what this build cannot read, or for another water.
    pub fn read(text: &str, place: &str) -> Option<Self> {
        let course: Self = serde_json::from_str(text).ok()?;
        (course.version == VERSION && course.place == place).then_some(course)
    }

    /// The text to keep.
    pub fn write(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The crab in hand with the truth about it.
    pub fn crab(&self, grounds: &Grounds) -> Option<(Crab, Truth)> {
        let (mut crab, truth) = Crab::of(self.seed, self.now.as_ref()?.number, grounds)?;
        if self.now.as_ref()?.again {
            // It lies otherwise than before: the crab is to be known again, not the picture.
            crab.turn_deg = -crab.turn_deg;
        }
        Some((crab, truth))
    }

    /// Does what the learner did.
    pub fn act(&mut self, act: &Act, grounds: &Grounds, today: Date) {
        match act {
            Act::Open(_) | Act::Photo => {}
            Act::Sort => self.sheet = Sheet::Crab,
            Act::Sheet => self.sheet = Sheet::Score,
            Act::Certificate(name) => {
                self.sheet = Sheet::Certificate(name.trim().chars().take(60).collect());
            }
            Act::Seed(text) => {
                let digits: String = text.chars().filter(char::is_ascii_digit).take(4).collect();
                if let Ok(seed) = digits.parse() {
                    *self = Self::new(seed, &self.place.clone());
                }
            }
            Act::Look(look) => self.in_hand(|now| now.look = *look),
            Act::Kind(kind) => self.in_hand(|now| {
                if now.judged.is_none() {
                    now.kind = Some(kind.clone());
                }
            }),
            Act::Release => self.in_hand(|now| now.goes_back = now.judged.is_none()),
            Act::Say(why) => self.say(*why, grounds, today),
            Act::Next => self.now = None,
        }
        if self.now.is_none() {
            self.now = self.next_crab(grounds, today);
        }
    }

    fn in_hand(&mut self, change: impl FnOnce(&mut InHand)) {
        if let Some(now) = &mut self.now {
            change(now);
        }
    }

    /// Marks the answer, counts it, and plans when it comes back.
    fn say(&mut self, why: Option<Why>, grounds: &Grounds, today: Date) {
        let Some((crab, truth)) = self.crab(grounds) else { return };
        let Some(now) = self.now.as_mut().filter(|now| now.judged.is_none()) else { return };
        let Some(kind) = now.kind.clone() else { return };
        let said = Said { kind, why };
        let mark = mark(&crab, &truth, &said);
        now.judged = Some((said, mark.clone()));
        now.look = Look::Top;
        let (number, again) = (now.number, now.again);
        let grade = grade(&mark);
        let known = self.items.iter_mut().find(|(of, _)| *of == number);
        match known {
            Some((_, item)) => *item = item.answered(grade, today),
            None if mark.is_right() => {}
            None => self.items.push((number, Item::new(today).answered(grade, today))),
        }
        if again {
            self.tally.count_repeated(&mark);
            return;
        }
        self.tally.count(&mark);
        self.round += 1;
        self.recent.push(mark.is_right());
        if self.recent.len() > RECENT {
            self.recent.remove(0);
        }
    }

    /// The level, 1 to 3: it rises while all is right and falls with two mistakes.
    pub fn level(&self) -> u8 {
        let wrong = self.recent.iter().filter(|is_right| !**is_right).count();
        match (self.recent.len(), wrong) {
            (0..3, _) | (_, 2..) => 1,
            (RECENT.., 0) => 3,
            _ => 2,
        }
    }

    /// What was judged wrongly on an earlier day and is due comes first, then a round of fresh ones, then what was judged
    /// wrongly today until it is right.
    fn next_crab(&mut self, grounds: &Grounds, today: Date) -> Option<InHand> {
        let from_before = self.items.iter().find(|(_, item)| !item.again_today && item.is_due(today));
        let of_today = self.items.iter().filter(|(_, item)| item.again_today);
        let round_is_over = self.round >= ROUND;
        let due =
            from_before.or_else(|| of_today.filter(|_| round_is_over).min_by_key(|(number, _)| *number));
        if let Some(&(number, _)) = due {
            return Some(in_hand(number, true));
        }
        if round_is_over {
            self.round = 0;
        }
        let level = self.level();
        let start = self.next[usize::from(level - 1)];
        for number in start..start + SCAN {
            let (crab, truth) = Crab::of(self.seed, number, grounds)?;
            if difficulty(&crab, grounds.of(crab.kind.id)?, &truth) == level {
                self.next[usize::from(level - 1)] = number + 1;
                return Some(in_hand(number, false));
            }
        }
        // A water that has no crabs of this level: the next of any level.
        let number = self.next.iter().copied().max().unwrap_or(0).max(start);
        self.next = [number + 1; 3];
        Crab::of(self.seed, number, grounds).map(|_| in_hand(number, false))
    }
}

fn in_hand(number: u32, again: bool) -> InHand {
    InHand { number, again, look: Look::Top, kind: None, goes_back: false, judged: None }
}

/// The grade of SM-2: 5 all right; 3 the call right, but not the kind or the reason; 2 a good one let go; 1 one kept that
/// goes back. How answers are graded is ours; what follows from a grade is SM-2's.
fn grade(mark: &Mark) -> Grade {
    match (mark.is_right(), mark.is_call_right, mark.wrongly_released) {
        (true, ..) => 5,
        (false, true, _) => 3,
        (false, false, true) => 2,
        (false, false, false) => 1,
    }
}
