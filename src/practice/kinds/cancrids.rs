//! Rock crabs and their kin: oval shells, nine or ten teeth on each side.

use super::{Flap, Kind, Shape, Tips, Tooth, colour, sources, told};

/// A cancrid: ten teeth, the last the widest.
pub const CANCRID: Shape = Shape {
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

/// *Metacarcinus magister*.
pub const DUNGENESS: Kind = Kind {
    id: "dungeness",
    shape: CANCRID,
    back: told(
        colour([139, 92, 74], "light reddish brown, with a purplish wash in front"),
        sources::PLATE_WATCH,
    ),
    also: &[colour([128, 108, 88], "grey-brown")],
    tips: told(Tips::White, sources::CDFW),
    tips_by_sex: None,
    teeth: told("ten small teeth behind each eye, the tenth the widest", sources::PLATE_WATCH),
    front: told("five small teeth between the eyes", sources::SALISH),
    claw_size: 1.0,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::RoundedTip, sources::PLATE_WATCH),
    tell: told("White claw tips, widest at the tenth tooth.", sources::PLATE_WATCH),
    look_alikes: &["graceful", "red-rock", "green"],
    covers: &[],
    usual_mm: 170.0,
};

/// *Cancer productus*.
pub const RED_ROCK: Kind = Kind {
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
    back: told(colour([142, 46, 38], "brick red"), sources::COMMON),
    also: &[colour([120, 66, 48], "brown-red, blotched")],
    tips: told(Tips::Black, sources::CDFW),
    tips_by_sex: None,
    teeth: told("nine broad teeth behind each eye", sources::COMMON),
    front: told("five even teeth between the eyes, drawn out to the front", sources::SALISH),
    claw_size: 1.25,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Black claw tips.", sources::CDFW),
    look_alikes: &["dungeness"],
    covers: &[],
    usual_mm: 135.0,
};

/// *Metacarcinus gracilis*.
pub const GRACEFUL: Kind = Kind {
    id: "graceful",
    shape: Shape {
        teeth: 9,
        notch_of_tips: 0.94,
        small_tooth_behind: true,
        eye_forward: 0.7,
        back_bulge: 0.12,
        ..CANCRID
    },
    back: told(colour([133, 99, 78], "olive brown"), sources::COMMON),
    also: &[],
    tips: told(Tips::White, sources::CDFW),
    tips_by_sex: None,
    teeth: told("nine teeth behind each eye to the widest place, a tiny tenth behind it", sources::SALISH),
    front: told("five small teeth between the eyes", sources::SALISH),
    claw_size: 0.8,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::PLATE_WATCH),
    tell: told(
        "White claw tips too, but widest at the ninth tooth, and a pointed flap.",
        sources::PLATE_WATCH,
    ),
    look_alikes: &["dungeness"],
    covers: &[],
    usual_mm: 75.0,
};

/// Rock crabs of California, which one rule names together.
pub const ROCK: Kind = Kind {
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
    back: told(colour([126, 70, 52], "brown to dark red"), sources::CDFW),
    also: &[colour([164, 122, 66], "yellow-brown")],
    tips: told(Tips::Black, sources::CDFW),
    tips_by_sex: None,
    teeth: told("nine teeth behind each eye, the edge sawtoothed", sources::CDFW),
    front: told("five small teeth between the eyes", sources::SALISH),
    claw_size: 1.25,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Black claw tips.", sources::CDFW),
    look_alikes: &["dungeness"],
    covers: &["red-rock", "graceful"],
    usual_mm: 130.0,
};

/// *Cancer pagurus*.
pub const BROWN: Kind = Kind {
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
    back: told(colour([152, 84, 54], "reddish brown"), sources::PAGURUS),
    also: &[colour([112, 72, 74], "purple-brown")],
    tips: told(Tips::Black, sources::PAGURUS),
    tips_by_sex: None,
    teeth: told("nine rounded lobes behind each eye, as on the crust of a pie", sources::PAGURUS),
    front: told("three low lobes between the eyes", sources::COMMON),
    claw_size: 1.45,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Pie-crust edge without spines, black claw tips.", sources::PAGURUS),
    look_alikes: &["green", "velvet"],
    covers: &[],
    usual_mm: 150.0,
};

/// *Cancer borealis*.
pub const JONAH: Kind = Kind {
    id: "jonah",
    shape: Shape {
        teeth: 9,
        tooth: Tooth::Rough,
        tooth_depth: 0.34,
        notch_of_tips: 0.95,
        eye_forward: 0.68,
        ..CANCRID
    },
    back: told(colour([150, 72, 60], "brick red, with yellow spots"), sources::IRRORATUS),
    also: &[],
    tips: told(Tips::Black, sources::COMMON),
    tips_by_sex: None,
    teeth: told("nine rough, jagged teeth behind each eye", sources::BOTTOM),
    front: told("small teeth between the eyes", sources::COMMON),
    claw_size: 1.35,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Rough teeth; those of the rock crab are smooth.", sources::BOTTOM),
    look_alikes: &["atlantic-rock", "green"],
    covers: &[],
    usual_mm: 130.0,
};

/// *Cancer irroratus*.
pub const ATLANTIC_ROCK: Kind = Kind {
    id: "atlantic-rock",
    shape: Shape {
        teeth: 9,
        tooth: Tooth::Smooth,
        tooth_depth: 0.26,
        notch_of_tips: 0.95,
        eye_forward: 0.68,
        ..CANCRID
    },
    back: told(
        colour([184, 138, 92], "yellowish, closely dotted with dark purplish brown"),
        sources::FAO_ATLANTIC,
    ),
    also: &[],
    tips: told(Tips::Black, sources::COMMON),
    tips_by_sex: None,
    teeth: told("nine smooth, wide teeth behind each eye", sources::IRRORATUS),
    front: told("small teeth between the eyes", sources::COMMON),
    claw_size: 1.0,
    paddles: told(false, sources::COMMON),
    eyes: None,
    flap: told(Flap::PointedTip, sources::COMMON),
    tell: told("Smooth teeth; those of the Jonah crab are rough.", sources::BOTTOM),
    look_alikes: &["jonah", "green"],
    covers: &[],
    usual_mm: 110.0,
};
