//! What each kind of crab looks like: the features that tell it, each with its source or "common practice".

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

const COMMON: &str = "common practice";
const CDFW: &str =
    "California Department of Fish and Wildlife, Dungeness crab of California and its close relatives";
const PLATE_WATCH: &str = "Plate Watch leaflet, native decapods";
const SALISH: &str = "Walla Walla University, Invertebrates of the Salish Sea";
const WDFW: &str = "Washington Department of Fish and Wildlife, European green crab identification";
const SPIT: &str =
    "Birds on the Bay, British Columbia, after the Pacific Salmon Foundation poster on green crabs";
const PAGURUS: &str = "Wikipedia, Cancer pagurus";
const BOTTOM: &str = "njscuba.net, Bottom crabs";
const IRRORATUS: &str = "Wikipedia, Cancer irroratus";
const SAPIDUS: &str = "Wikipedia, Callinectes sapidus";
const QUEENSLAND: &str = "Queensland Department of Agriculture and Fisheries, crab identification";
const FAO: &str = "FAO species identification guide, Western Central Pacific, volume 2";
const VELVET: &str = "Alderney Wildlife Trust, velvet swimming crab";

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
    /// Teeth of the edge, in words.
    pub teeth: Told<&'static str>,
    /// The front between the eyes, in words.
    pub front: Told<&'static str>,
    /// The size of the claws: 1 is a Dungeness crab's.
    pub claw_size: f64,
    /// The last legs are flat as paddles.
    pub paddles: Told<bool>,
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

/// A cancrid: ten teeth, the last the widest.
const CANCRID: Shape = Shape {
    teeth: 10,
    tooth: Tooth::Pointed,
    tooth_depth: 0.38,
    notch_of_tips: 0.9333,
    tip_forward: 0.03,
    small_tooth_behind: false,
    eye_at: 0.3,
    eye_forward: 0.66,
    front_lobes: 5,
    front_pointed: true,
    front_forward: 0.03,
    front_depth: 0.035,
    back_at: 0.62,
    back_half: 0.36,
    back_bulge: 0.1,
};

/// A swimming crab with a long spine on each side.
const SPINED: Shape = Shape {
    teeth: 9,
    tooth_depth: 0.45,
    notch_of_tips: 0.78,
    tip_forward: -0.02,
    eye_at: 0.34,
    eye_forward: 0.46,
    front_lobes: 4,
    front_forward: 0.02,
    front_depth: 0.04,
    back_at: 0.6,
    back_half: 0.42,
    back_bulge: 0.12,
    ..CANCRID
};

/// Every kind that practice can draw.
pub const KINDS: &[Kind] = &[
    Kind {
        id: "dungeness",
        shape: CANCRID,
        back: told(colour([139, 92, 74], "light reddish brown, with a purplish wash in front"), PLATE_WATCH),
        also: &[colour([128, 108, 88], "grey-brown")],
        tips: told(Tips::White, CDFW),
        teeth: told("ten small teeth behind each eye, the tenth the widest", PLATE_WATCH),
        front: told("five small teeth between the eyes", SALISH),
        claw_size: 1.0,
        paddles: told(false, COMMON),
        flap: told(Flap::RoundedTip, PLATE_WATCH),
        tell: told("White claw tips, widest at the tenth tooth.", PLATE_WATCH),
        look_alikes: &["graceful", "red-rock", "green"],
        covers: &[],
        usual_mm: 170.0,
    },
    Kind {
        id: "red-rock",
        shape: Shape {
            teeth: 9,
            tooth: Tooth::Smooth,
            tooth_depth: 0.3,
            notch_of_tips: 0.95,
            eye_at: 0.34,
            eye_forward: 0.74,
            front_lobes: 5,
            front_pointed: false,
            front_forward: 0.12,
            front_depth: 0.05,
            back_at: 0.56,
            back_half: 0.3,
            back_bulge: 0.05,
            ..CANCRID
        },
        back: told(colour([142, 46, 38], "brick red"), COMMON),
        also: &[colour([120, 66, 48], "brown-red, blotched")],
        tips: told(Tips::Black, CDFW),
        teeth: told("nine broad teeth behind each eye", COMMON),
        front: told("five even teeth between the eyes, drawn out to the front", SALISH),
        claw_size: 1.25,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Black claw tips.", CDFW),
        look_alikes: &["dungeness"],
        covers: &[],
        usual_mm: 135.0,
    },
    Kind {
        id: "graceful",
        shape: Shape {
            teeth: 9,
            notch_of_tips: 0.94,
            small_tooth_behind: true,
            eye_forward: 0.7,
            back_bulge: 0.12,
            ..CANCRID
        },
        back: told(colour([133, 99, 78], "olive brown"), COMMON),
        also: &[],
        tips: told(Tips::White, CDFW),
        teeth: told("nine teeth behind each eye to the widest place, a tiny tenth behind it", SALISH),
        front: told("five small teeth between the eyes", SALISH),
        claw_size: 0.8,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, PLATE_WATCH),
        tell: told("White claw tips too, but widest at the ninth tooth, and a pointed flap.", PLATE_WATCH),
        look_alikes: &["dungeness"],
        covers: &[],
        usual_mm: 75.0,
    },
    Kind {
        // The rule of California names red, yellow, brown and slender rock crabs together.
        id: "rock",
        shape: Shape {
            teeth: 9,
            tooth: Tooth::Smooth,
            tooth_depth: 0.32,
            notch_of_tips: 0.95,
            eye_forward: 0.7,
            ..CANCRID
        },
        back: told(colour([126, 70, 52], "brown to dark red"), CDFW),
        also: &[colour([164, 122, 66], "yellow-brown")],
        tips: told(Tips::Black, CDFW),
        teeth: told("nine teeth behind each eye, the edge sawtoothed", CDFW),
        front: told("five small teeth between the eyes", SALISH),
        claw_size: 1.25,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Black claw tips.", CDFW),
        look_alikes: &["dungeness"],
        covers: &["red-rock", "graceful"],
        usual_mm: 130.0,
    },
    Kind {
        id: "green",
        shape: Shape {
            teeth: 5,
            tooth_depth: 0.42,
            notch_of_tips: 0.93,
            tip_forward: 0.06,
            eye_at: 0.42,
            eye_forward: 0.52,
            front_lobes: 3,
            front_pointed: false,
            front_forward: 0.08,
            front_depth: 0.05,
            back_at: 0.84,
            back_half: 0.42,
            back_bulge: 0.06,
            ..CANCRID
        },
        back: told(colour([82, 92, 58], "dark mottled green"), SPIT),
        also: &[colour([150, 84, 44], "orange-red"), colour([150, 134, 74], "yellowish")],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("five pointed teeth behind each eye", SPIT),
        front: told(
            "three rounded lobes between the eyes",
            "Project Noah, after the WDFW page on Carcinus maenas",
        ),
        claw_size: 0.95,
        paddles: told(false, "Project Noah, after the WDFW page on Carcinus maenas"),
        flap: told(Flap::PointedTip, COMMON),
        tell: told(
            "Five teeth behind each eye. Colour does not tell: it may be green, yellow or orange.",
            WDFW,
        ),
        look_alikes: &["velvet", "brown"],
        covers: &[],
        usual_mm: 65.0,
    },
    Kind {
        id: "brown",
        shape: Shape {
            teeth: 9,
            tooth: Tooth::Lobe,
            tooth_depth: 0.16,
            notch_of_tips: 0.985,
            tip_forward: 0.02,
            eye_at: 0.26,
            eye_forward: 0.6,
            front_lobes: 3,
            front_pointed: false,
            front_forward: 0.02,
            front_depth: 0.02,
            back_at: 0.6,
            back_half: 0.4,
            back_bulge: 0.17,
            ..CANCRID
        },
        back: told(colour([152, 84, 54], "reddish brown"), PAGURUS),
        also: &[colour([112, 72, 74], "purple-brown")],
        tips: told(Tips::Black, PAGURUS),
        teeth: told("nine rounded lobes behind each eye, as on the crust of a pie", PAGURUS),
        front: told("three low lobes between the eyes", COMMON),
        claw_size: 1.45,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Pie-crust edge without spines, black claw tips.", PAGURUS),
        look_alikes: &["green", "velvet"],
        covers: &[],
        usual_mm: 150.0,
    },
    Kind {
        id: "velvet",
        shape: Shape {
            teeth: 5,
            tooth_depth: 0.5,
            notch_of_tips: 0.92,
            tip_forward: 0.03,
            eye_at: 0.45,
            eye_forward: 0.5,
            front_lobes: 10,
            front_forward: 0.05,
            front_depth: 0.04,
            back_at: 0.74,
            back_half: 0.42,
            back_bulge: 0.08,
            ..CANCRID
        },
        back: told(colour([74, 76, 92], "dark grey-blue, velvety, with brown"), COMMON),
        also: &[colour([104, 78, 60], "brown where the fur is on")],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("five sharp teeth behind each eye", COMMON),
        front: told("ten narrow teeth between the eyes", VELVET),
        claw_size: 1.0,
        paddles: told(true, "Charmouth Heritage Coast Centre, velvet swimming crab"),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Ten narrow teeth between the eyes, last legs flat as paddles.", VELVET),
        look_alikes: &["green"],
        covers: &[],
        usual_mm: 75.0,
    },
    Kind {
        id: "jonah",
        shape: Shape {
            teeth: 9,
            tooth: Tooth::Rough,
            tooth_depth: 0.34,
            notch_of_tips: 0.95,
            eye_forward: 0.68,
            ..CANCRID
        },
        back: told(colour([150, 72, 60], "brick red to purplish"), COMMON),
        also: &[],
        tips: told(Tips::Black, COMMON),
        teeth: told("nine rough, jagged teeth behind each eye", BOTTOM),
        front: told("small teeth between the eyes", COMMON),
        claw_size: 1.35,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Rough teeth; those of the rock crab are smooth.", BOTTOM),
        look_alikes: &["atlantic-rock", "green"],
        covers: &[],
        usual_mm: 130.0,
    },
    Kind {
        id: "atlantic-rock",
        shape: Shape {
            teeth: 9,
            tooth: Tooth::Smooth,
            tooth_depth: 0.26,
            notch_of_tips: 0.95,
            eye_forward: 0.68,
            ..CANCRID
        },
        back: told(colour([158, 98, 74], "yellowish to reddish brown"), COMMON),
        also: &[],
        tips: told(Tips::Black, COMMON),
        teeth: told("nine smooth, wide teeth behind each eye", IRRORATUS),
        front: told("small teeth between the eyes", COMMON),
        claw_size: 1.0,
        paddles: told(false, COMMON),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Smooth teeth; those of the Jonah crab are rough.", BOTTOM),
        look_alikes: &["jonah", "green"],
        covers: &[],
        usual_mm: 110.0,
    },
    Kind {
        id: "blue",
        shape: SPINED,
        back: told(colour([92, 108, 92], "olive to bluish green"), COMMON),
        also: &[colour([104, 100, 78], "brownish green")],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("eight teeth and a long sharp spine on each side", COMMON),
        front: told("low teeth between the eyes", COMMON),
        claw_size: 1.0,
        paddles: told(true, COMMON),
        flap: told(Flap::Tee, SAPIDUS),
        tell: told("A long spine on each side, and paddles.", COMMON),
        look_alikes: &["green"],
        covers: &[],
        usual_mm: 140.0,
    },
    Kind {
        id: "blue-swimmer",
        shape: Shape { front_lobes: 4, eye_forward: 0.5, back_at: 0.56, ..SPINED },
        back: told(colour([88, 112, 138], "blue with white mottling, or dull green-brown"), COMMON),
        also: &[colour([112, 112, 84], "dull green-brown")],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("eight teeth and a long spine on each side", QUEENSLAND),
        front: told("four sharp teeth between the eyes", COMMON),
        claw_size: 1.2,
        paddles: told(true, QUEENSLAND),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("A long spine on each side, long slender claws, paddles.", QUEENSLAND),
        look_alikes: &["sand", "mud"],
        covers: &[],
        usual_mm: 140.0,
    },
    Kind {
        id: "mud",
        shape: Shape {
            teeth: 9,
            tooth_depth: 0.4,
            notch_of_tips: 0.955,
            tip_forward: 0.02,
            eye_at: 0.4,
            eye_forward: 0.56,
            front_lobes: 4,
            front_pointed: false,
            front_forward: 0.05,
            front_depth: 0.05,
            back_at: 0.66,
            back_half: 0.44,
            back_bulge: 0.14,
            ..CANCRID
        },
        back: told(colour([80, 84, 62], "dark green-brown"), COMMON),
        also: &[],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("nine equal teeth on each side, no long spine", FAO),
        front: told("four lobes between the eyes", FAO),
        claw_size: 1.4,
        paddles: told(true, FAO),
        flap: told(Flap::PointedTip, COMMON),
        tell: told("Nine equal teeth on each side, and no long spine.", FAO),
        look_alikes: &["blue-swimmer"],
        covers: &[],
        usual_mm: 160.0,
    },
    Kind {
        id: "sand",
        shape: Shape {
            teeth: 5,
            tooth_depth: 0.45,
            notch_of_tips: 0.93,
            eye_at: 0.42,
            eye_forward: 0.5,
            front_lobes: 8,
            front_forward: 0.05,
            front_depth: 0.035,
            back_at: 0.7,
            back_half: 0.42,
            back_bulge: 0.1,
            ..CANCRID
        },
        back: told(
            colour([168, 158, 132], "sandy grey with two large dark spots near the back"),
            "Museums Victoria, Port Phillip Bay, after Poore 2004",
        ),
        also: &[],
        tips: told(Tips::AsTheClaw, COMMON),
        teeth: told("five teeth on each side", "Museums Victoria, Port Phillip Bay, after Poore 2004"),
        front: told("narrow teeth between the eyes", COMMON),
        claw_size: 0.9,
        paddles: told(true, "Museums Victoria, Port Phillip Bay, after Poore 2004"),
        flap: told(Flap::PointedTip, COMMON),
        tell: told(
            "Two large spots near the back of the shell, five teeth on each side.",
            "Museums Victoria, Port Phillip Bay, after Poore 2004",
        ),
        look_alikes: &["blue-swimmer"],
        covers: &[],
        usual_mm: 90.0,
    },
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
            assert!(sources.iter().all(|source| source.len() > 8), "{}", kind.id);
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
