//! Our own line drawings, by their files in `www/drawings`; a folder for each thing they tell about. Each is fetched
//! when it is first shown. The marks of the verdicts are part of the program, since a verdict waits for nothing.
//! Drawings that only lessons show lie in `www/lessons`, by the same rules; the build sets them into the lessons.
//!
//! Each is one `<svg>` with `viewBox` (240 x 180; marks 120 x 120), `role="img"` and a `<title>` in plain
//! words, without styles, scripts, ids or text, so that a strict Content-Security-Policy holds, many
//! can stand on one page, and every language can caption them. No line is thinner than 2.5 units.
//! What is pointed out differs by a thicker line, arrows, dots or dashes, never by colour alone.
//!
//! The page's style may set these; each drawing reads without them on a light ground:
//!
//! | property | paints | unset | by night |
//! |---|---|---|---|
//! | `color` | lines | inherited | light |
//! | `--drawing-mark` | what is pointed out | line colour | a second light colour |
//! | `--drawing-fill` | shell, limbs, hand | none | a middle tone: black must stand out on it |
//! | `--drawing-black` | black claw tips, dark eggs | line colour | black; **must be set on a dark ground**, or the tips read as white |
//! | `--drawing-white` | white claw tips | none | the line colour |
//!
//! What they show: where the width is taken, after the California and British Columbia rules; the claw,
//! after the stone crab rules of Florida and North Carolina; the length, after New South Wales; flaps,
//! after the California agency's page (narrow and broad) and the common T, triangle and dome of blue
//! crabs; the place to press, after a British Columbia survey of soft shells ("beside the claw joint");
//! tilt and distance, from simulation. Outlines of the kinds are from memory, checked against the
//! tell-tales named at each. How to hold a crab and let it go is common practice.
//! Heights above the deck are about true for a shell (edge at 0.23 of its width); the phone, the card
//! and the distance are not to one scale.

// Kinds, from above, the front of the crab up.

/// *Metacarcinus magister*: oval shell, widest at the tenth and last tooth; claws dotted, their white tips clear.
/// Arrows at both tell-tales. Source: Plate Watch leaflet; Walla Walla University, *Invertebrates of the Salish Sea*.
pub const KIND_DUNGENESS: &str = "kinds/kind_dungeness.svg";
/// *Cancer productus*: fan-shaped shell, five even teeth between the eyes; black claw tips. Arrows at front and tips.
pub const KIND_RED_ROCK: &str = "kinds/kind_red_rock.svg";
/// *Callinectes sapidus*: two broad triangular teeth in the middle of the front and a small one beside each eye, nine
/// teeth on each side of which the last is a long spine, slender claws, paddles on the last legs. Arrows at front and
/// spines. Source: FAO species catalogues, page on the species (two broad front teeth, nine teeth); Texas A&M University,
/// Texas marine species (four with those of the eyes' sockets).
pub const KIND_BLUE: &str = "kinds/kind_blue.svg";
/// *Cancer pagurus*: oval, pie-crust edge (a thick line follows it), heavy claws with black tips (arrows).
pub const KIND_BROWN: &str = "kinds/kind_brown.svg";
/// *Carcinus maenas*: five-cornered, five teeth each side behind the eye, a dot at each.
pub const KIND_GREEN: &str = "kinds/kind_green.svg";
/// *Chionoecetes*: shell nearly round, two short horns, long thin legs (arrows), slender claws.
pub const KIND_TANNER: &str = "kinds/kind_tanner.svg";
/// *Metacarcinus gracilis*: drawn smaller; widest at the ninth tooth, a tiny tenth behind it (arrows); slender smooth
/// claws, dotted, their white tips clear. Source: Walla Walla University, *Invertebrates of the Salish Sea*, page on the species.
pub const KIND_GRACEFUL: &str = "kinds/kind_graceful.svg";
/// Rock crabs of California, *Cancer* other than Dungeness: broad oval saw-toothed shell, black claw tips (arrows); the
/// slender crab among them has white ones and is `KIND_GRACEFUL`. Source: California Department of Fish and Wildlife,
/// page on the Dungeness crab and its relatives.
pub const KIND_ROCK: &str = "kinds/kind_rock.svg";
/// *Cancer borealis*: oval shell, each tooth of the edge rough and jagged (arrows), stout claws with black tips. Source:
/// *Bottom crabs* of njscuba.net (rough teeth here, smooth teeth on the Atlantic rock crab); outline from memory.
pub const KIND_JONAH: &str = "kinds/kind_jonah.svg";
/// *Cancer irroratus*: the same oval, nine smooth wide teeth on each side (arrows), slimmer claws. Source: as for
/// `KIND_JONAH`; black claw tips from memory.
pub const KIND_ATLANTIC_ROCK: &str = "kinds/kind_atlantic_rock.svg";
/// *Necora puber*: ten narrow teeth between the eyes (arrow), red eyes (arrows), five sharp teeth on each side, last legs
/// flat as paddles (arrows). Source: Alderney Wildlife Trust (teeth, eyes), Charmouth Heritage Coast Centre (paddles).
pub const KIND_VELVET: &str = "kinds/kind_velvet.svg";
/// *Maja brachydactyla*: spiny shell the shape of a pear, two horns in front (arrows), large spines along the sides, long
/// legs, slender claws. From memory; spines and horns as in published descriptions.
pub const KIND_SPIDER: &str = "kinds/kind_spider.svg";
/// *Paralithodes camtschaticus*: spiny heart-shaped shell, six large spines in the middle of its back, three pairs of
/// walking legs (a dot at each), right claw the larger. Source: Alaska Department of Fish and Game, Prince William Sound
/// field guide to king crab identification, 2008 (spines); NOAA's picture text (legs, claws); outline from memory.
pub const KIND_KING: &str = "kinds/kind_king.svg";
/// *Paralithodes platypus*: the same with four large spines in the middle. Source: as for `KIND_KING`.
pub const KIND_BLUE_KING: &str = "kinds/kind_blue_king.svg";
/// *Lithodes aequispinus*: the same with five to nine spines in the middle, seven drawn. Source: as for `KIND_KING`.
pub const KIND_GOLDEN_KING: &str = "kinds/kind_golden_king.svg";
/// *Menippe*: smooth oval shell with low lobes at the edge, very heavy claws of unequal size, black tips (arrows).
/// Source: Wikipedia, *Florida stone crab* (claws); outline from memory. Which side bears the larger claw varies.
pub const KIND_STONE: &str = "kinds/kind_stone.svg";
/// *Scylla*: smooth shell, four blunt lobes in line between the eyes, nine equal teeth on each side, paddles (arrows), very
/// heavy claws. Source: FAO species identification guide, Western Central Pacific, volume 2, and FAO species catalogues.
pub const KIND_MUD: &str = "kinds/kind_mud.svg";
/// *Portunus armatus*: a long spine on each side, long slender claws, paddles; sharp teeth between the eyes. Arrows at
/// spines and front. Source: Queensland Department of Agriculture and Fisheries (spines, claws, paddles); the four front
/// teeth from memory.
pub const KIND_BLUE_SWIMMER: &str = "kinds/kind_blue_swimmer.svg";
/// *Ranina ranina*: shell longer than wide, broad in front; claws with fingers bent across (arrows). Source: FAO guide as
/// for `KIND_MUD` (shell lengthwise oval, fingers strongly bent); outline from memory.
pub const KIND_SPANNER: &str = "kinds/kind_spanner.svg";
/// *Ovalipes australiensis*: two large spots near the back of the shell, five teeth on each side, paddles (arrows).
/// Source: Museums Victoria, Port Phillip Bay species page, after Poore 2004.
pub const KIND_SAND: &str = "kinds/kind_sand.svg";
/// Another kind, or not sure: a dashed outline with a question mark.
pub const KIND_OTHER: &str = "kinds/kind_other.svg";

// Where the rule measures.

/// Notch to notch: straight across, between the bottoms of the notches just in front of the last teeth.
pub const MEASURE_NOTCH: &str = "points/measure_notch.svg";
/// Tip to tip: straight across, the side spines included.
pub const MEASURE_TIPS: &str = "points/measure_tips.svg";
/// Widest part of a shell without side spines, straight across.
pub const MEASURE_WIDEST: &str = "points/measure_widest.svg";
/// Shell length: along the midline, from the notch between the two foremost front teeth to the middle of the rear edge.
pub const MEASURE_LENGTH: &str = "points/measure_length.svg";
/// Claw length, as for stone crab: elbow to the tip of the lower finger, the one that does not move.
pub const MEASURE_CLAW: &str = "points/measure_claw.svg";
/// The notch: a whole crab, eyes in front and an arrow to the front, with a frame at the last tooth; beside it the close up (shell dotted), a ring and dot at the bottom of the notch in front of the last tooth, crosses at two wrong places, the tip and behind the tooth.
pub const NOTCH_PLACE: &str = "points/notch_place.svg";

// Sex and eggs, from below, the front up: eyes (dots on stalks), mouth parts and claws stay readable 160 px wide.

/// Male: a narrow flap.
pub const SEX_MALE: &str = "belly/sex_male.svg";
/// Female: a broad rounded flap.
pub const SEX_FEMALE: &str = "belly/sex_female.svg";
/// Male blue crab: a T standing on its head.
pub const SEX_BLUE_MALE: &str = "belly/sex_blue_male.svg";
/// Immature female blue crab: a triangle.
pub const SEX_BLUE_IMMATURE_FEMALE: &str = "belly/sex_blue_immature_female.svg";
/// Mature female blue crab: a broad round dome.
pub const SEX_BLUE_FEMALE: &str = "belly/sex_blue_female.svg";
/// Female with eggs: a sponge (dotted) bulging out around the flap.
pub const EGGS_SPONGE: &str = "belly/eggs_sponge.svg";
/// The same before they hatch: the eggs dark and close.
pub const EGGS_DARK: &str = "belly/eggs_dark.svg";

// Hardness of the shell.

/// Where to press: the underside of the shell beside the claw's joint, a target on one side, a thumb on the other.
pub const SHELL_PRESS: &str = "shell/shell_press.svg";
/// Soft: a cut through the shell, thin, giving way under the thumb; dots where it was.
pub const SHELL_FLEXES: &str = "shell/shell_flexes.svg";
/// Hard: a cut through the shell (hatched), which does not move; the tip of the thumb goes flat.
pub const SHELL_RIGID: &str = "shell/shell_rigid.svg";

// Claws and legs.

/// What is kept: the whole crab, solid, in a tub.
pub const CLAWS_KEEP_WHOLE: &str = "claws/claws_keep_whole.svg";
/// What is kept: the right claw, solid, an arrow into a tub; the crab in outline stays out. From above, the front up, so right is right.
pub const CLAWS_KEEP_RIGHT: &str = "claws/claws_keep_right.svg";
/// What is kept: the left claw, solid, an arrow into a tub, and the right one too if the dashes are followed.
pub const CLAWS_KEEP_LEFT: &str = "claws/claws_keep_left.svg";

// Handling and letting go.

/// The hold: from behind, fingers over the back of the shell, thumb below.
pub const HOLD_FROM_BEHIND: &str = "handling/hold_from_behind.svg";
/// Letting go: right way up, low over the water, the back end first.
pub const RELEASE_LOW: &str = "handling/release_low.svg";
/// Not so: thrown, from high up, upside down; crossed out.
pub const RELEASE_NOT_THROWN: &str = "handling/release_not_thrown.svg";

// A day on deck, from memory and not to scale, but for the buoy line: it is equally long at both tides.

/// Line against depth: on the left high water, where the line still reaches aslant; on the right low water, where the same line hangs slack.
pub const DECK_LINE_SLACK: &str = "deck/deck_line_slack.svg";

// Marks of the three verdicts, 120 x 120.

/// Keep: a solid pot hung on its bridle.
pub const VERDICT_KEEP: &str = include_str!("verdicts/verdict_keep.svg");
/// Release: a crab, an arrow down from it into water. Told from the other two at 48 px in grey.
pub const VERDICT_RELEASE: &str = include_str!("verdicts/verdict_release.svg");
/// Gauge by hand: two jaws and a ruled beam around a shell in outline.
pub const VERDICT_GAUGE: &str = include_str!("verdicts/verdict_gauge.svg");
