//! What `shellspan measure` is told.

use std::path::PathBuf;

use clap::Args;
use jiff::civil::Date;
use shellspan::rules::built_in_species;
use shellspan::terms::{Dimension, Placement};
use shellspan::units::{MM_PER_INCH, PhotoPoint};

/// What to measure, and how.
#[derive(Args)]
pub struct MeasureArgs {
    /// Photos (JPEG, PNG or WebP).
    #[arg(required = true)]
    pub photos: Vec<PathBuf>,
    /// Where the card lies: deck, level (with the measuring points) or back (of the crab).
    #[arg(long, default_value = "deck", value_parser = placement)]
    pub card_placement: Placement,
    /// One measuring point, upright pixels: X,Y.
    #[arg(long, value_parser = point, requires = "right", allow_hyphen_values = true)]
    pub left: Option<PhotoPoint>,
    /// The other measuring point.
    #[arg(long, value_parser = point, requires = "left", allow_hyphen_values = true)]
    pub right: Option<PhotoPoint>,
    /// Which distance the rule names: notch, tips or widest.
    #[arg(long, value_parser = dimension)]
    pub dimension: Option<Dimension>,
    /// Kind of crab: dungeness, red-rock, blue, brown, green, or one of the rule pack.
    #[arg(long, value_parser = kind)]
    pub species: Option<String>,
    /// Least legal width in mm; the answer then has conformity and verdict, by size alone.
    #[arg(long, value_parser = limit, allow_negative_numbers = true)]
    pub limit: Option<f64>,
    /// Rule pack (JSON): the answer then has what its rule says, of the size alone where other checks are open.
    #[arg(long, value_name = "FILE", requires_all = ["area", "date", "species"], conflicts_with = "limit")]
    pub rules: Option<PathBuf>,
    /// Area of the rule pack.
    #[arg(long, value_name = "ID", requires = "rules")]
    pub area: Option<String>,
    /// Day of the catch.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date, requires = "rules")]
    pub date: Option<Date>,
    /// A point on the card, where it is not found by itself: X,Y.
    #[arg(long, value_parser = point, allow_hyphen_values = true)]
    pub card_near: Option<PhotoPoint>,
    /// A point on the middle of the shell: X,Y.
    #[arg(long, value_parser = point, allow_hyphen_values = true)]
    pub shell_near: Option<PhotoPoint>,
    /// All photos show one still crab and card, from different sides: one width from all of them.
    #[arg(long)]
    pub same_crab: bool,
    /// Measuring points by photo, JSON: {"a.jpg": {"left_px": [x, y], "right_px": [x, y]}}.
    #[arg(long, value_name = "FILE", conflicts_with = "left")]
    pub points: Option<PathBuf>,
    /// The photo with the measurement drawn in, as PNG: of one photo.
    #[arg(long, value_name = "OUT.png", conflicts_with = "same_crab")]
    pub picture: Option<PathBuf>,
    /// One JSON object a line.
    #[arg(long)]
    pub json: bool,
}

/// Two points nearer to each other are one, in px.
const ONE_POINT_PX: f64 = 1.0;
/// Limits for a crab's width lie above it in mm, and below it in inches and centimetres (the packs have 63.5 to
/// 177.8 mm).
const LEAST_LIMIT_MM: f64 = 25.0;
/// No crab is wider, in mm.
const MOST_LIMIT_MM: f64 = 1000.0;

impl MeasureArgs {
    /// What cannot be told from one value alone.
    ///
    /// # Errors
    /// The mistake, for the person.
    pub fn check(&self) -> Result<(), String> {
        if let Some((left, right)) = self.left.zip(self.right)
            && left.distance_px(right) < ONE_POINT_PX
        {
            return Err("--left and --right are the same point.".into());
        }
        if self.picture.is_some() && self.photos.len() > 1 {
            return Err("--picture takes one photo: with several each would overwrite the one before.".into());
        }
        if self.same_crab && self.left.is_some() {
            return Err(
                "--left and --right name one photo's points; give those of several in a file: --points."
                    .into(),
            );
        }
        // A rule pack may bring kinds of its own: then it is asked. Without, a mistyped kind would be measured
        // between other points than its rule names.
        if let (Some(kind), None) = (&self.species, &self.rules)
            && shellspan::rules::species(kind).is_none()
        {
            let known: Vec<String> = built_in_species().into_iter().map(|info| info.id).collect();
            return Err(format!("No kind is called `{kind}`. One of: {}.", known.join(", ")));
        }
        Ok(())
    }
}

fn point(text: &str) -> Result<PhotoPoint, String> {
    let (x, y) = text.split_once(',').ok_or("two numbers with a comma, like 812.5,1044")?;
    let number = |text: &str| match text.trim().parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(format!("{text:?} is no number of pixels")),
    };
    Ok(PhotoPoint::new(number(x)?, number(y)?))
}

/// A kind by its short name, however that is written, or by a name people use.
fn kind(text: &str) -> Result<String, String> {
    let short = text.trim().to_lowercase().replace(['_', ' '], "-");
    let called = |name: &String| name.to_lowercase() == text.trim().to_lowercase();
    let by_name = built_in_species().into_iter().find(|info| info.names.iter().any(called));
    Ok(by_name.map_or(short, |info| info.id))
}

fn limit(text: &str) -> Result<f64, String> {
    let range = format!("a length in mm, from {LEAST_LIMIT_MM} to {MOST_LIMIT_MM}");
    match text.trim().parse::<f64>() {
        Ok(value) if (LEAST_LIMIT_MM..=MOST_LIMIT_MM).contains(&value) => Ok(value),
        Ok(value) if value > 1.0 && value < LEAST_LIMIT_MM => Err(format!(
            "{range}; {value} in are {:.2} mm, {value} cm are {} mm",
            MM_PER_INCH * value,
            10.0 * value
        )),
        _ => Err(range),
    }
}

fn placement(text: &str) -> Result<Placement, String> {
    match text {
        "deck" => Ok(Placement::Deck),
        "level" => Ok(Placement::Level),
        "back" => Ok(Placement::Back),
        _ => Err("deck, level or back".into()),
    }
}

fn dimension(text: &str) -> Result<Dimension, String> {
    match text {
        "notch" => Ok(Dimension::Notch),
        "tips" => Ok(Dimension::Tips),
        "widest" => Ok(Dimension::Widest),
        _ => Err("notch, tips or widest".into()),
    }
}

fn date(text: &str) -> Result<Date, String> {
    // Longer and shorter forms, with hours and other eras, are dates too, and never meant.
    let plain = Some(text).filter(|text| text.len() == 10);
    plain.and_then(|text| text.parse().ok()).ok_or_else(|| "a day like 2026-11-25".to_owned())
}
