//! The words for what the measuring core refuses, warns of and advises. A refusal says what was seen and
//! what to do.

use crate::doubts::Warning;
use crate::photo::PhotoError;
use crate::refusal::Refusal;
use crate::terms::Placement;
use crate::width::{Apart, RemedyAct};

/// A stable code, what was seen, and the next step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// Kebab-case, never changes.
    pub code: &'static str,
    /// One sentence: what was seen.
    pub seen: String,
    /// One sentence: what to do.
    pub next_step: String,
}

fn notice(code: &'static str, seen: impl Into<String>, next_step: impl Into<String>) -> Notice {
    Notice { code, seen: seen.into(), next_step: next_step.into() }
}

/// The words of a refusal.
pub fn refusal(refusal: Refusal) -> Notice {
    match refusal {
        Refusal::NoCard => notice(
            "no-card",
            "No card of bank-card size is seen in this photo.",
            "Lay the card flat beside the crab, whole and clear of fingers, legs and weed, and take another; or tap on the card if it is there.",
        ),
        Refusal::CardCut => notice(
            "card-cut",
            "A corner of the card is outside the picture.",
            "Step back a little, so that the whole card is in view.",
        ),
        Refusal::TwoCards => notice(
            "two-cards",
            "Two cards are seen.",
            "Tap on the one that is bank-card size, or take the other away.",
        ),
        Refusal::NoShell => notice(
            "no-shell",
            "The card is found, but the edge of the shell is not clear enough to propose the measuring points.",
            "Place the two points yourself, or tap on the middle of the shell.",
        ),
        Refusal::Underside => notice(
            "underside",
            "The crab seems to lie on its back.",
            "Turn it over, shell up, and take another photo; or place the two points yourself.",
        ),
        Refusal::Blurred => notice(
            "blurred",
            "The picture is too blurred to find an edge.",
            "Wipe the lens, hold still and take another photo.",
        ),
        Refusal::TooDark => notice(
            "too-dark",
            "The picture is too dark.",
            "Put a light on the crab and the card, and take another photo.",
        ),
        Refusal::Tilt => notice(
            "tilt",
            "The phone was tilted more than 45 degrees against the card.",
            "Hold it more from above, 10 to 20 degrees from straight down.",
        ),
        Refusal::TooFar => notice(
            "too-far",
            "The card is too small in the picture for a useful width.",
            "Come closer, or take the photo at the camera's full size.",
        ),
        Refusal::PointsOutside => notice(
            "points-outside",
            "A measuring point lies far outside the picture.",
            "Place both points on the shell in the picture.",
        ),
    }
}

/// The codes of [`photo_error`].
pub const PHOTO_ERRORS: [&str; 5] =
    ["not-a-photo", "unsupported-format", "damaged", "too-large", "too-small"];

/// The words of a file that is no usable photo.
pub fn photo_error(error: &PhotoError) -> Notice {
    match error {
        PhotoError::Empty => {
            notice("not-a-photo", "The file is empty.", "Choose another photo, or take a new one.")
        }
        PhotoError::NotAPhoto => {
            notice("not-a-photo", "The file is not a photo.", "Choose a photo in JPEG, PNG or WebP format.")
        }
        PhotoError::UnsupportedFormat { format } => notice(
            "unsupported-format",
            format!("This kind of file cannot be read here: {format}."),
            "Set the camera to JPEG (on some phones called Most Compatible), or share the photo as JPEG.",
        ),
        PhotoError::Damaged { .. } => notice(
            "damaged",
            "The photo is damaged: it ends early or is broken inside.",
            "Copy it again from the phone, or take a new one.",
        ),
        PhotoError::TooLarge { megapixels } if *megapixels > 1_000_000 => notice(
            "too-large",
            "The photo claims an absurd size.",
            "Choose another photo, or take a new one.",
        ),
        PhotoError::TooLarge { megapixels } => notice(
            "too-large",
            format!("The photo claims {megapixels} megapixels; 54 is the most that is read here."),
            "Set the camera to a smaller size: 12 megapixels are plenty.",
        ),
        PhotoError::TooLong { side, most } => notice(
            "too-large",
            format!("The photo claims a side of {side} pixels; {most} is the most that is read here."),
            "A panorama cannot be measured: take a plain photo.",
        ),
        PhotoError::TooSmall { width, height } => notice(
            "too-small",
            format!("The picture has only {width} x {height} pixels."),
            "Use the camera's own photo, not a preview of it.",
        ),
    }
}

/// The words of a warning.
pub fn warning(warning: Warning) -> Notice {
    match warning {
        Warning::NoFocalLength => notice(
            "no-focal-length",
            "The file does not say which lens took it, so the width is less sure.",
            "Use the camera's own file, not one that came through a messenger.",
        ),
        Warning::CroppedOrResized => notice(
            "cropped-or-resized",
            "The picture was cropped or resized, so the width is less sure.",
            "Use the camera's own file, uncropped.",
        ),
        Warning::DigitalZoom => notice(
            "digital-zoom",
            "The photo was taken with digital zoom, so the width is less sure.",
            "Take it without zoom, from 50 to 80 cm.",
        ),
        Warning::FlipOpen => notice(
            "flip-open",
            "Seen from so straight above, the card's tilt can be read two ways.",
            "Tilt the phone 10 to 20 degrees and take another photo.",
        ),
        Warning::UnsureEdge => notice(
            "unsure-edge",
            "One edge of the card is partly hidden or faint.",
            "Check the outline of the card, or lay the card on a plain spot.",
        ),
        Warning::ForeignDecoder => notice(
            "foreign-decoder",
            "The browser read this photo, not the program itself; the same photo may read a little otherwise elsewhere.",
            "Set the camera to JPEG for the surest reading.",
        ),
        Warning::Blur => notice(
            "blur",
            "The picture is blurred, so the width is less sure.",
            "Hold still, and take another.",
        ),
        Warning::Glare => notice(
            "glare",
            "Light is blown out at a measuring point or along an edge of the card, so it cannot be read there.",
            "Shade the crab and the card with your body, or turn the phone, and take another.",
        ),
        Warning::FarFromCard => notice(
            "far-from-card",
            "The shell is far from the card, so the width is less sure.",
            "Lay the card closer to the crab.",
        ),
        Warning::UnlikelyWidth => notice(
            "unlikely-width",
            "No crab of this kind is known to be of this width.",
            "Check the kind and both points.",
        ),
        Warning::PointsOutside => notice(
            "points-outside",
            "A measuring point lies outside the picture.",
            "Take a photo with the whole shell in view.",
        ),
        Warning::CardOnShell => notice(
            "card-on-shell",
            "In the photo the card lies on the crab, not beside it.",
            "Say where it lies, or place both points anew: until they agree this width keeps nothing.",
        ),
        Warning::CardBesideShell => notice(
            "card-beside-shell",
            "In the photo the card lies beside the crab, not on its back.",
            "Say where it lies, or place both points anew: until they agree this width keeps nothing.",
        ),
    }
}

/// The words of photos that were not joined.
pub fn apart(apart: Apart) -> Notice {
    match apart {
        Apart::Moved => notice(
            "moved",
            "The crab or the card moved between the photos: they do not fit.",
            "The surest photo stands alone. Take both again with the crab held still, or lay the card on its back, where \
             it moves with the crab.",
        ),
        Apart::TooAlike => notice(
            "too-alike",
            "The photos were taken from nearly the same side.",
            "The surest photo stands alone. Take another from the other side of the crab.",
        ),
        Apart::OneLeft => notice(
            "one-left",
            "Only one of the photos can be used.",
            "It stands alone. Take another photo of the same crab and card.",
        ),
    }
}

/// Where the card lies.
pub fn card_lies(placement: Placement) -> &'static str {
    match placement {
        Placement::Deck => "on the deck",
        Placement::Level => "level with the edge of the shell",
        Placement::Back => "on the crab's back",
    }
}

/// The words where several photos show the card elsewhere than it was said to lie.
pub fn card_elsewhere(seen: Placement) -> Notice {
    let place = card_lies(seen);
    notice(
        "card-elsewhere",
        format!("The photos together show the card {place}."),
        "Say where it lies. If it lies where you said, the crab moved: take the photos again.",
    )
}

/// One line that says what would make the width surer.
pub fn remedy(act: RemedyAct) -> &'static str {
    match act {
        RemedyAct::RaiseTheCard => "Put the card level with the edge of the shell, on a block or a bait box",
        RemedyAct::TiltALittle => "Tilt the phone 10 to 20 degrees from straight down",
        RemedyAct::ComeCloser => {
            "Have the card larger in the picture: come closer, or use the photo at full size"
        }
        RemedyAct::StepBack => "Step back to 60 cm or more",
        RemedyAct::PlaceThePoints => "Place both points again with the magnifier",
        RemedyAct::KeepTheOriginal => "Use the camera's own file, uncropped, so that the lens is known",
    }
}
