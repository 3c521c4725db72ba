//! Where the device is: asked of the browser once, on a tap, and handed over.

use js_sys::{Promise, Reflect};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::PositionOptions;

use crate::rules::pack::Place;

/// A browser that has not answered by then is taken for one that cannot.
const LONGEST_WAIT_MS: u32 = 20_000;
/// A boat does not leave a state in ten minutes: an old position is good enough, and costs no battery.
const OLDEST_MS: u32 = 600_000;
/// A drifting boat goes some metres in this time.
const OLDEST_FINE_MS: u32 = 5_000;

/// How well the place has to be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// In which water.
    Coarse,
    /// Where a buoy lies.
    Fine,
}

/// Why there is no position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPosition {
    /// The person or the browser refused.
    Refused,
    /// The device does not know.
    Unavailable,
    /// It took too long.
    TooLong,
}

impl NoPosition {
    /// What it means where a pot's place was asked for.
    pub fn words_of_pot(self) -> &'static str {
        match self {
            Self::Refused => "This browser may not tell where you are. Write the place on paper.",
            Self::Unavailable | Self::TooLong => {
                "This device does not know where it is just now. Try again under open sky."
            }
        }
    }

    /// What it means, and what to do.
    pub fn words(self) -> &'static str {
        match self {
            Self::Refused => {
                "This browser may not tell where you are. Nothing is lost: choose the water from the list."
            }
            Self::Unavailable => {
                "This device does not know where it is just now. Choose the water from the list, or try again \
                 under open sky."
            }
            Self::TooLong => "The position took too long. Choose the water from the list, or try again.",
        }
    }
}

/// Asks the browser for the device's position.
pub async fn ask_position(need: Need) -> Result<Place, NoPosition> {
    let geolocation = gloo::utils::window().navigator().geolocation().map_err(|_| NoPosition::Unavailable)?;
    let options = PositionOptions::new();
    options.set_enable_high_accuracy(need == Need::Fine);
    options.set_timeout(LONGEST_WAIT_MS);
    options.set_maximum_age(if need == Need::Fine { OLDEST_FINE_MS } else { OLDEST_MS });
    let asked = Promise::new(&mut |found, failed| {
        let called =
            geolocation.get_current_position_with_error_callback_and_options(&found, Some(&failed), &options);
        if called.is_err() {
            // Where this fails too, the promise stays open and nothing was suggested.
            let _ = failed.call0(&JsValue::UNDEFINED);
        }
    });
    match JsFuture::from(asked).await {
        Ok(position) => place_of(&position).ok_or(NoPosition::Unavailable),
        // Codes of the standard (W3C Geolocation): 1 permission denied, 2 unavailable, 3 timeout.
        Err(error) => Err(match number(&error, "code") {
            Some(1.0) => NoPosition::Refused,
            Some(3.0) => NoPosition::TooLong,
            _ => NoPosition::Unavailable,
        }),
    }
}

fn place_of(position: &JsValue) -> Option<Place> {
    let coords = Reflect::get(position, &"coords".into()).ok()?;
    Some(Place { latitude_deg: number(&coords, "latitude")?, longitude_deg: number(&coords, "longitude")? })
}

fn number(of: &JsValue, name: &str) -> Option<f64> {
    if of.is_object() { Reflect::get(of, &name.into()).ok()?.as_f64() } else { None }
}
