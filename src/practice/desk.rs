//! The whole of practice behind one question and one answer: what was kept and what the learner did go in, what is to be
//! kept and shown comes out. The rules of the water are read once and stay.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::course::{Act, Course};
use super::scene::photograph;
use super::view::{Block, blocks};
use super::water::{Grounds, Water};
use crate::rules::{Confirmation, Pack};
use crate::terms::Dimension;
use crate::units::PhotoPoint;

/// What the page asks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// The chosen water; none: not chosen yet.
    pub water: Option<WaterText>,
    /// What was kept; none: nothing.
    pub kept: Option<String>,
    /// What the learner did, as [`Act::of`] reads it.
    pub act: String,
    /// The day.
    pub today: Date,
}

/// The chosen water, as texts: the page has them at hand, and only the worker reads them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WaterText {
    /// The pack as JSON.
    pub pack: String,
    /// The area.
    pub area: String,
    /// What persons confirmed, as JSON.
    pub confirmations: String,
}

/// What is answered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// What is to be kept; none: it stays as it was.
    pub keep: Option<String>,
    /// What is to be shown.
    pub blocks: Vec<Block>,
    /// A photo, where one was asked for.
    pub photo: Option<Made>,
}

/// A photo that was made, with its truth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Made {
    /// The file: PNG.
    pub png: Vec<u8>,
    /// The crab's widths in mm between the notches and between the tips.
    pub widths_mm: [f64; 2],
    /// Where these points are seen, in px of the photo, the crab's own left first.
    pub points: [[PhotoPoint; 2]; 2],
}

/// What the worker holds between questions.
#[derive(Debug, Default)]
pub struct Desk {
    read: Option<(WaterText, Date, Water, Grounds)>,
}

impl Desk {
    /// Answers a question.
    pub fn answer(&mut self, question: &Question) -> Told {
        let Some((water, grounds)) = self.read(question) else {
            let words = "Choose the water first: its rule decides.";
            let blocks =
                vec![Block::Heading("Practice".into()), Block::Words(words.into()), Block::ChooseWater];
            return Told { keep: None, blocks, photo: None };
        };
        let place = format!("{}/{}", water.pack.id, water.area);
        let kept = question.kept.as_deref().and_then(|text| Course::read(text, &place));
        let act = Act::of(&question.act).unwrap_or(Act::Sort);
        let seed = if let Act::Open(seed) = act { seed } else { 0 };
        let mut course = kept.unwrap_or_else(|| Course::new(seed, &place));
        course.act(&act, grounds, question.today);
        let photo = (act == Act::Photo).then(|| course.crab(grounds)).flatten().and_then(|(crab, _)| {
            let scene = photograph(&crab, course.seed);
            let dimensions = [Dimension::Notch, Dimension::Tips];
            let [notches, tips] = dimensions.map(|dimension| scene.points(&crab, dimension));
            Some(Made {
                png: scene.png(),
                widths_mm: dimensions.map(|dimension| crab.width_mm(dimension)),
                points: [notches?, tips?],
            })
        });
        let blocks = blocks(&course, grounds, water);
        Told { keep: Some(course.write()).filter(|text| Some(text) != question.kept.as_ref()), blocks, photo }
    }

    fn read(&mut self, question: &Question) -> Option<(&Water, &Grounds)> {
        let text = question.water.as_ref()?;
        let is_same = |(known, today, ..): &(WaterText, Date, Water, Grounds)| {
            known == text && *today == question.today
        };
        if !self.read.as_ref().is_some_and(is_same) {
            let pack: Pack = serde_json::from_str(&text.pack).ok()?;
            let confirmations: Vec<Confirmation> =
                serde_json::from_str(&text.confirmations).unwrap_or_default();
            let water = Water { pack, area: text.area.clone(), date: question.today, confirmations };
            let grounds = Grounds::at(&water);
            self.read = Some((text.clone(), question.today, water, grounds));
        }
        self.read.as_ref().map(|(.., water, grounds)| (water, grounds))
    }
}
