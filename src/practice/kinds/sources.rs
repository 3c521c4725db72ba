//! Where the features of kinds were read.

/// Told on decks; read nowhere.
pub const COMMON: &str = "common practice";
/// Claw tips, tooth edge and flap of the crabs of the genus Cancer.
pub const CDFW: &str =
    "California Department of Fish and Wildlife, Dungeness crab of California and its close relatives";
/// Dungeness, graceful and red rock crab side by side.
pub const PLATE_WATCH: &str = "Plate Watch leaflet, native decapods";
/// Teeth of the crabs of the genus Cancer.
pub const SALISH: &str = "Walla Walla University, Invertebrates of the Salish Sea";
/// Colours of the green crab.
pub const WDFW: &str = "Washington Department of Fish and Wildlife, European green crab identification";
/// Teeth and colours of the green crab.
pub const SPIT: &str =
    "Birds on the Bay, British Columbia, after the Pacific Salmon Foundation poster on green crabs";
/// Rim, colour and claw tips of the brown crab.
pub const PAGURUS: &str = "Wikipedia, Cancer pagurus";
/// Rough teeth of the Jonah crab, smooth ones of the rock crab.
pub const BOTTOM: &str = "njscuba.net, Bottom crabs";
/// Teeth and spots of the Atlantic rock crab and the Jonah crab.
pub const IRRORATUS: &str = "Wikipedia, Cancer irroratus";
/// Flaps of the blue crab.
pub const SAPIDUS: &str = "Wikipedia, Callinectes sapidus";
/// Claw tips, spines and front of the blue crab.
pub const FWC: &str = "Florida Fish and Wildlife Conservation Commission, blue crab";
/// Spines, claws and paddles of the blue swimmer crab.
pub const QUEENSLAND: &str = "Queensland Department of Agriculture and Fisheries, crab identification";
/// Colour of the Atlantic rock crab.
pub const FAO_ATLANTIC: &str = "FAO species identification guide, Western Central Atlantic, volume 1";
/// Lobes, teeth and paddles of mud crabs.
pub const FAO: &str = "FAO species identification guide, Western Central Pacific, volume 2";
/// Teeth and eyes of the velvet crab.
pub const ALDERNEY: &str = "Alderney Wildlife Trust, velvet swimming crab";
