//! Shore and swimming crabs: five teeth or nine on each side, some with paddles or long spines.

use super::cancrids::CANCRID;
use super::{Flap, Kind, Shape, Tips, colour, sources, told};

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

/// *Carcinus maenas*.
pub const GREEN: Kind = Kind {
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
    back: told(colour([82, 92, 58], "dark mottled green"), sources::SPIT),
    also: &[colour([150, 84, 44], "orange-red"), colour([150, 134, 74], "yellowish")],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: None,
    teeth: told("five pointed teeth behind each eye", sources::SPIT),
    front: told(
        "three rounded lobes between the eyes",
        "Project Noah, after the Washington Department of Fish and Wildlife page on Carcinus maenas",
    ),
    claw_size: 0.95,
    paddles: told(
        false,
        "Project Noah, after the Washington Department of Fish and Wildlife page on Carcinus maenas",
    ),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told(
        "Five teeth behind each eye. Colour does not tell: it may be green, yellow or orange.",
        sources::WDFW,
    ),
    look_alikes: &["velvet", "brown"],
    covers: &[],
    usual_mm: 65.0,
};

/// *Necora puber*.
pub const VELVET: Kind = Kind {
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
    back: told(colour([74, 76, 92], "dark grey-blue, velvety, with brown"), sources::COMMON),
    also: &[colour([104, 78, 60], "brown where the fur is on")],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: None,
    teeth: told("five sharp teeth behind each eye", sources::COMMON),
    front: told("ten narrow teeth between the eyes", sources::ALDERNEY),
    claw_size: 1.0,
    paddles: told(true, "Charmouth Heritage Coast Centre, velvet swimming crab"),
    eyes: Some(told(colour([196, 38, 28], "red"), sources::ALDERNEY)),
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Red eyes, ten narrow teeth between them, last legs flat as paddles.", sources::ALDERNEY),
    look_alikes: &["green"],
    covers: &[],
    usual_mm: 75.0,
};

/// *Callinectes sapidus*.
pub const BLUE: Kind = Kind {
    id: "blue",
    shape: Shape { front_pointed: false, ..SPINED },
    back: told(colour([92, 108, 92], "olive to bluish green"), sources::COMMON),
    also: &[colour([104, 100, 78], "brownish green")],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: Some(told(
        [colour([58, 104, 178], "blue"), colour([206, 74, 44], "orange-red")],
        sources::FWC,
    )),
    teeth: told("eight teeth and a long sharp spine on each side", sources::FWC),
    front: told("four low blunt teeth between the eyes", sources::FWC),
    claw_size: 1.0,
    paddles: told(true, sources::COMMON),
    eyes: None,
    flap: told(Flap::Tee, sources::SAPIDUS),
    tell: told("A long spine on each side, and paddles.", sources::COMMON),
    look_alikes: &["green"],
    covers: &[],
    usual_mm: 140.0,
};

/// *Portunus armatus*.
pub const BLUE_SWIMMER: Kind = Kind {
    id: "blue-swimmer",
    shape: Shape { front_lobes: 4, eye_forward: 0.5, back_at: 0.56, ..SPINED },
    back: told(colour([88, 112, 138], "blue with white mottling, or dull green-brown"), sources::COMMON),
    also: &[colour([112, 112, 84], "dull green-brown")],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: None,
    teeth: told("eight teeth and a long spine on each side", sources::QUEENSLAND),
    front: told("four sharp teeth between the eyes", sources::COMMON),
    claw_size: 1.2,
    paddles: told(true, sources::QUEENSLAND),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("A long spine on each side, long slender claws, paddles.", sources::QUEENSLAND),
    look_alikes: &["sand", "mud"],
    covers: &[],
    usual_mm: 140.0,
};

/// *Scylla*.
pub const MUD: Kind = Kind {
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
    back: told(colour([80, 84, 62], "dark green-brown"), sources::COMMON),
    also: &[],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: None,
    teeth: told("nine equal teeth on each side, no long spine", sources::FAO),
    front: told("four lobes between the eyes", sources::FAO),
    claw_size: 1.4,
    paddles: told(true, sources::FAO),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Nine equal teeth on each side, and no long spine.", sources::FAO),
    look_alikes: &["blue-swimmer"],
    covers: &[],
    usual_mm: 160.0,
};

/// *Ovalipes australiensis*.
pub const SAND: Kind = Kind {
    id: "sand",
    shape: Shape {
        teeth: 5,
        tooth_depth: 0.45,
        notch_of_tips: 0.93,
        eye_at: 0.42,
        eye_forward: 0.66,
        front_lobes: 4,
        front_forward: 0.04,
        front_depth: 0.05,
        back_at: 0.98,
        back_half: 0.36,
        back_bulge: 0.16,
        ..CANCRID
    },
    back: told(
        colour([168, 158, 140], "pale brown to blue-grey with two large dark red spots near the back"),
        "Museums Victoria, Port Phillip Bay, after Poore 2004",
    ),
    also: &[],
    tips: told(Tips::AsTheClaw, sources::COMMON),
    tips_by_sex: None,
    teeth: told("five teeth on each side", "Museums Victoria, Port Phillip Bay, after Poore 2004"),
    front: told(
        "two small teeth between the eyes, a triangular one beside each eye",
        "Museums Victoria, Port Phillip Bay, after Poore 2004",
    ),
    claw_size: 0.9,
    paddles: told(true, "Museums Victoria, Port Phillip Bay, after Poore 2004"),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told(
        "Two large spots near the back of the shell, five teeth on each side.",
        "Museums Victoria, Port Phillip Bay, after Poore 2004",
    ),
    look_alikes: &["blue-swimmer"],
    covers: &[],
    usual_mm: 90.0,
};
