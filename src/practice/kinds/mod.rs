//! What each kind of crab looks like: the features that tell it, each with its source or "common practice".

mod cancrids;
mod sources;
mod swimmers;

/// A fact with where it was read; "common practice" where nowhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told<T> {
    /// The fact.
    pub value: T,
    /// Its source.
    pub source: &'static str,
}

const fn told<T: Copy>(value: T, source: &'static str) -> Told<T> {
    Told { value, source }
}

/// A colour as it is drawn, and in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour {
    /// Red, green, blue.
    pub rgb: [u8; 3],
    /// In words.
    pub words: &'static str,
}

const fn colour(rgb: [u8; 3], words: &'static str) -> Colour {
    Colour { rgb, words }
}

/// The tips of the claws' fingers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tips {
    /// White or light.
    White,
    /// Black or dark brown.
    Black,
    /// As the rest of the claw.
    AsTheClaw,
}

/// The form of a tooth of the front edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tooth {
    /// A single point.
    Pointed,
    /// Jagged.
    Rough,
    /// Broad and smooth.
    Smooth,
    /// A rounded lobe with a fine slit to the next.
    Lobe,
}

/// The flap of the male.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flap {
    /// A narrow triangle, the tip rounded.
    RoundedTip,
    /// A narrow triangle, the tip pointed.
    PointedTip,
    /// Like a T standing on its head; the immature female's a triangle.
    Tee,
}

/// The outline, in shares of half the width of the arc of teeth, as [`super::outline`] draws it. Set by eye after the
/// field guides' words; the numbers of teeth and the share of the notches are theirs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Teeth from the eye to the widest place, on each side.
    pub teeth: u8,
    /// Their form.
    pub tooth: Tooth,
    /// How far they stand out, in shares of their length along the edge.
    pub tooth_depth: f64,
    /// Width between the notches as a share of that between the tips.
    pub notch_of_tips: f64,
    /// How far the widest tip lies in front of the end of the arc.
    pub tip_forward: f64,
    /// A small tooth stands behind the widest.
    pub small_tooth_behind: bool,
    /// The outer end of the eye's socket: beside the middle, and in front of the widest place.
    pub eye_at: f64,
    /// As above.
    pub eye_forward: f64,
    /// Lobes or teeth between the eyes.
    pub front_lobes: u8,
    /// They are pointed, not rounded.
    pub front_pointed: bool,
    /// How far the front stands before the eyes.
    pub front_forward: f64,
    /// How deep the cuts between its lobes are.
    pub front_depth: f64,
    /// How far back the back edge lies.
    pub back_at: f64,
    /// Half its width.
    pub back_half: f64,
    /// How far the side behind the widest tooth bulges.
    pub back_bulge: f64,
}

/// One kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kind {
    /// Species id, as packs have it.
    pub id: &'static str,
    /// Outline.
    pub shape: Shape,
    /// The back.
    pub back: Told<Colour>,
    /// Other colours that it comes in: a trap.
    pub also: &'static [Colour],
    /// The claws' tips.
    pub tips: Told<Tips>,
    /// The colours of the tips of a male's and a female's claws, where they differ.
    pub tips_by_sex: Option<Told<[Colour; 2]>>,
    /// Teeth of the edge, in words.
    pub teeth: Told<&'static str>,
    /// The front between the eyes, in words.
    pub front: Told<&'static str>,
    /// The size of the claws: 1 is a Dungeness crab's.
    pub claw_size: f64,
    /// The last legs are flat as paddles.
    pub paddles: Told<bool>,
    /// The eyes, where they are not black.
    pub eyes: Option<Told<Colour>>,
    /// The male's flap.
    pub flap: Told<Flap>,
    /// What tells it: said when the answer is explained.
    pub tell: Told<&'static str>,
    /// Kinds that it is taken for.
    pub look_alikes: &'static [&'static str],
    /// Kinds that a rule for it holds for too.
    pub covers: &'static [&'static str],
    /// A width in mm between the tips that is usual where it is caught (common practice): for where a rule names none.
    pub usual_mm: f64,
}

impl Kind {
    /// The kind named `id`, where it can be drawn.
    pub fn of(id: &str) -> Option<&'static Self> {
        KINDS.iter().find(|kind| kind.id == id)
    }

    /// True when the immature female's flap tells her from the mature one.
    pub fn flap_tells_maturity(&self) -> bool {
        self.flap.value == Flap::Tee
    }
}

/// Every kind that practice can draw.
pub const KINDS: &[Kind] = &[
    cancrids::DUNGENESS,
    cancrids::RED_ROCK,
    cancrids::GRACEFUL,
    cancrids::ROCK,
    swimmers::GREEN,
    cancrids::BROWN,
    swimmers::VELVET,
    cancrids::JONAH,
    cancrids::ATLANTIC_ROCK,
    swimmers::BLUE,
    swimmers::BLUE_SWIMMER,
    swimmers::MUD,
    swimmers::SAND,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_feature_names_its_source() {
        for kind in KINDS {
            let sources = [
                kind.back.source,
                kind.tips.source,
                kind.teeth.source,
                kind.front.source,
                kind.paddles.source,
                kind.flap.source,
                kind.tell.source,
            ];
            let sources = sources.into_iter().chain(kind.tips_by_sex.map(|told| told.source));
            let sources = sources.chain(kind.eyes.map(|told| told.source));
            assert!(sources.into_iter().all(|source| source.len() > 8), "{}", kind.id);
            assert!(kind.look_alikes.iter().all(|id| Kind::of(id).is_some()), "{}", kind.id);
        }
    }

    /// Source: California Department of Fish and Wildlife, page as named above: of that state's crabs of the genus Cancer
    /// all have black-tipped pincers but the Dungeness and the slender crab, which have white ones.
    #[test]
    fn tips_are_as_the_agency_tells_them() {
        let tips = |id| Kind::of(id).map(|kind| kind.tips.value);
        assert_eq!(tips("dungeness"), Some(Tips::White));
        assert_eq!(tips("graceful"), Some(Tips::White));
        assert_eq!(tips("red-rock"), Some(Tips::Black));
        assert_eq!(tips("rock"), Some(Tips::Black));
    }

    /// Source: Florida Fish and Wildlife Conservation Commission, blue crab: females have red on their claws, males not.
    #[test]
    fn a_female_blue_crab_has_red_tips() {
        for kind in KINDS {
            let words = kind.tips_by_sex.map(|told| told.value.map(|colour| colour.words));
            assert_eq!(words, (kind.id == "blue").then_some(["blue", "orange-red"]), "{}", kind.id);
        }
    }

    /// The numbers of teeth in words and in the outline agree, and with the built-in species table.
    #[test]
    fn drawn_and_told_teeth_agree() {
        let numbers = [(5, "five"), (9, "nine"), (10, "ten")];
        for kind in KINDS {
            let word = numbers.iter().find(|(count, _)| *count == kind.shape.teeth).map(|(_, word)| *word);
            let with_spine = kind.teeth.value.starts_with("eight teeth and a long");
            assert!(
                word.is_some_and(|word| kind.teeth.value.starts_with(word))
                    || (with_spine && kind.shape.teeth == 9),
                "{}",
                kind.id
            );
            if let Some(info) = crate::rules::species(kind.id).and_then(|info| info.teeth) {
                assert_eq!(info.value, kind.shape.teeth, "{}", kind.id);
            }
        }
    }
}
