//! Pieces of photos inside JSON: two hexadecimal digits a byte, where a list of numbers takes about four characters.

use std::rc::Rc;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::measure::SameSpots;
use crate::worker::protocol::{decode, encode};

pub(super) fn serialize<S: Serializer>(
    spots: &Option<Rc<SameSpots>>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let digit = |value: u8| char::from_digit(u32::from(value), 16).unwrap_or('0');
    let text = spots.as_ref().map(|spots| {
        encode(&**spots).into_iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect::<String>()
    });
    text.serialize(serializer)
}

/// Without them the points are proposed on another photo as on a first one: what cannot be read is left out.
pub(super) fn deserialize<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Option<Rc<SameSpots>>, D::Error> {
    let text = Option::<String>::deserialize(deserializer)?;
    Ok(text.and_then(|text| decode(&bytes_of(&text)?)).map(Rc::new))
}

fn bytes_of(text: &str) -> Option<Vec<u8>> {
    let digits: Vec<u8> = text
        .chars()
        .map(|letter| letter.to_digit(16).and_then(|digit| u8::try_from(digit).ok()))
        .collect::<Option<_>>()?;
    Some(digits.chunks_exact(2).map(|pair| pair[0] << 4 | pair[1]).collect())
}
