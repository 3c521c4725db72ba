//! One crab of practice: what it is, drawn from a seed and its number. The same on every machine.

use super::judge::{Truth, Why, truth};
use super::kinds::{Colour, Kind};
use super::outline::Outline;
use super::random::Random;
use super::sizes;
use super::water::{Ground, Grounds, SizeLimit};
use crate::decide::{Call, Eggs};
use crate::rules::when::{Maturity, Sex, Stage};
use crate::terms::Dimension;

/// So often a crab is one of the kinds that the rule lets be kept, and not one that looks like it.
const SHARE_OF_SOUGHT: f64 = 0.72;
/// Shells that give way all over, and that give way beside the claw's joint only: more than in a catch, so that the
/// press is learned.
const SHARE_SOFT: f64 = 0.10;
const SHARE_SPRINGY: f64 = 0.14;
/// Mature females that carry eggs, and of these the dark ones.
const SHARE_WITH_EGGS: f64 = 0.3;
const SHARE_DARK: f64 = 0.4;
/// Crabs that lack a claw, have a small new one, or lack a leg.
const SHARE_ONE_CLAW: f64 = 0.10;
const SHARE_SMALL_CLAW: f64 = 0.06;
const SHARE_LEG: f64 = 0.12;
/// Draws of the traits until the rule tells keep from release.
const TRIES: usize = 40;

/// How firm the shell is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Firmness {
    /// It does not move.
    Hard,
    /// It gives way beside the claw's joint and springs back; the middle of the back holds.
    Springy,
    /// It gives way all over.
    Soft,
}

/// What the shell looks like: a hint of its age only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coat {
    /// Clean and bright.
    Bright,
    /// A few scratches.
    Plain,
    /// Dull, scratched, with barnacles.
    Worn,
}

/// The claws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claws {
    /// Both.
    Both,
    /// One is gone: the right one where true.
    OneGone(bool),
    /// One is small, growing anew: the right one where true.
    OneSmall(bool),
}

/// One crab.
#[derive(Debug, Clone, PartialEq)]
pub struct Crab {
    /// Its number under the seed.
    pub number: u32,
    /// Kind.
    pub kind: &'static Kind,
    /// Its colour.
    pub colour: Colour,
    /// Sex.
    pub sex: Sex,
    /// Maturity.
    pub maturity: Maturity,
    /// Eggs.
    pub eggs: Eggs,
    /// Shell.
    pub firmness: Firmness,
    /// How the shell looks.
    pub coat: Coat,
    /// Claws.
    pub claws: Claws,
    /// The place of a lost leg, 0 to 7: the first four on the right.
    pub lost_leg: Option<u8>,
    /// The outline.
    pub outline: Outline,
    /// How it lies, in degrees anticlockwise from front up.
    pub turn_deg: f64,
    /// What draws its spots and scratches.
    pub marks: u64,
}

impl Crab {
    /// The crab `number` of `seed` at a water. `None` where nothing can be practised there.
    pub fn of(seed: u64, number: u32, grounds: &Grounds) -> Option<(Self, Truth)> {
        let mut random = Random::of_part(seed, u64::from(number));
        // The place in the catch is drawn once: what is drawn anew below leaves the sizes as they were caught.
        let share = random.share();
        let mut last = None;
        for _ in 0..TRIES {
            let crab = Self::draw(number, share, grounds, &mut random)?;
            let truth = truth(grounds.of(crab.kind.id)?, &crab);
            let is_told = matches!(truth.call, Call::Keep | Call::Release);
            last = Some((crab, truth));
            if is_told {
                break;
            }
        }
        last
    }

    /// The stage as a rule has it.
    pub fn stage(&self) -> Stage {
        if self.firmness == Firmness::Hard { Stage::Hard } else { Stage::Soft }
    }

    /// The colour of the claws' tips, where it goes by sex.
    pub fn tip_colour(&self) -> Option<Colour> {
        let [male, female] = self.kind.tips_by_sex?.value;
        Some(if self.sex == Sex::Male { male } else { female })
    }

    /// The width in mm.
    pub fn width_mm(&self, dimension: Dimension) -> f64 {
        self.outline.width_mm(dimension)
    }

    fn draw(number: u32, share: f64, grounds: &Grounds, random: &mut Random) -> Option<Self> {
        let (sought, others) = (&grounds.sought, &grounds.look_alikes);
        let ground = if others.is_empty() || random.is(SHARE_OF_SOUGHT) {
            sought.get(random.below(sought.len()))?
        } else {
            &others[random.below(others.len())]
        };
        let kind = ground.kind;
        let sex = if random.is(sizes::share_of_males()) { Sex::Male } else { Sex::Female };
        let (dimension, scale) = ground.scale();
        let outline = Outline::new(&kind.shape, dimension, sizes::width_mm(sex, share) * scale);
        // Where the flap tells, the smaller females are the immature ones: the lower third (common practice).
        let is_immature = sex == Sex::Female && kind.flap_tells_maturity() && share < 1.0 / 3.0;
        let maturity = if is_immature { Maturity::Immature } else { Maturity::Mature };
        let has_eggs = sex == Sex::Female && !is_immature && random.is(SHARE_WITH_EGGS);
        let eggs = match has_eggs {
            true if random.is(SHARE_DARK) => Eggs::Dark,
            true => Eggs::Light,
            false => Eggs::None,
        };
        let firmness = match random.share() {
            // A female moults before the eggs come: with eggs her shell is hard (common practice).
            _ if has_eggs => Firmness::Hard,
            draw if draw < SHARE_SOFT => Firmness::Soft,
            draw if draw < SHARE_SOFT + SHARE_SPRINGY => Firmness::Springy,
            _ => Firmness::Hard,
        };
        let right = random.is(0.5);
        let claws = match random.share() {
            draw if draw < SHARE_ONE_CLAW => Claws::OneGone(right),
            draw if draw < SHARE_ONE_CLAW + SHARE_SMALL_CLAW => Claws::OneSmall(right),
            _ => Claws::Both,
        };
        let lost_leg = random.is(SHARE_LEG).then(|| random.below(8) as u8);
        let colours = 1 + kind.also.len();
        let colour = match random.below(2 * colours) {
            other if other < kind.also.len() => kind.also[other],
            _ => kind.back.value,
        };
        Some(Self {
            number,
            kind,
            colour,
            sex,
            maturity,
            eggs,
            firmness,
            coat: coat(firmness, random),
            claws,
            lost_leg,
            outline,
            turn_deg: random.between(-14.0, 14.0),
            marks: random.whole(),
        })
    }
}

/// What a shell of this firmness looks like: a clean one may be hard, and a scratched one is hardly ever soft (common
/// practice).
fn coat(firmness: Firmness, random: &mut Random) -> Coat {
    let (bright, plain) = match firmness {
        Firmness::Hard => (0.25, 0.7),
        Firmness::Springy => (0.65, 0.95),
        Firmness::Soft => (0.9, 1.0),
    };
    match random.share() {
        draw if draw < bright => Coat::Bright,
        draw if draw < plain => Coat::Plain,
        _ => Coat::Worn,
    }
}

/// How hard a crab is to judge, 1 to 3. The hardest: a width near the limit where nothing else decides, and a shell that
/// gives way in one place only. Then: a width not far from it, and a kind that looks like another.
pub fn difficulty(crab: &Crab, ground: &Ground, truth: &Truth) -> u8 {
    /// Within these shares of the limit the eye is often, and sometimes, wrong (common practice).
    const NEAR: f64 = 0.03;
    const NOT_FAR: f64 = 0.08;
    let only = |why: Why| truth.fails.iter().all(|fails| *fails == why);
    let off = |limit: &SizeLimit| (crab.width_mm(limit.dimension) - limit.mm).abs() / limit.mm;
    let off = ground.limits_of(crab).iter().map(off).fold(f64::MAX, f64::min);
    let is_springy = crab.firmness == Firmness::Springy && truth.fails == [Why::Shell];
    if (only(Why::Size) && off < NEAR) || is_springy {
        3
    } else if (only(Why::Size) && off < NOT_FAR) || truth.fails == [Why::Kind] {
        2
    } else {
        1
    }
}
