//! Packs of the person's own: a water that no pack has, and files from others.

use std::collections::BTreeMap;

use crate::rules::pack::{Area, OwnNote, PACK_FORMAT, Pack};
use crate::rules::{Mistake, read_pack};

/// A new pack of the person's own, with one area and no rules yet.
pub fn own_pack(id: &str, name: &str, area_name: &str, note: &OwnNote) -> Pack {
    Pack {
        format: PACK_FORMAT,
        id: id.to_owned(),
        country: "own rules".to_owned(),
        jurisdiction: "own".to_owned(),
        name: name.to_owned(),
        checked: note.when,
        season: None,
        extent: None,
        own: Some(note.clone()),
        notes: Vec::new(),
        sources: BTreeMap::new(),
        species: Vec::new(),
        areas: vec![Area {
            id: "here".to_owned(),
            name: area_name.to_owned(),
            water: area_name.to_owned(),
            also_called: Vec::new(),
            places: Vec::new(),
            within: None,
            place: None,
            rules: Vec::new(),
        }],
    }
}

/// The pack in `text`, marked by `note` as somebody's own where it does not say whose it is: no file can pass
/// for the rules that come with the program. On failure every mistake.
pub fn read_imported(text: &str, note: &OwnNote) -> Result<Pack, Vec<Mistake>> {
    let mut pack = read_pack(text)?;
    pack.own.get_or_insert_with(|| note.clone());
    Ok(pack)
}

/// `packs` with `new` put in, in place of one of the same id.
pub fn with_pack(packs: &[Pack], new: Pack) -> Vec<Pack> {
    let mut packs = packs.to_vec();
    match packs.iter_mut().find(|pack| pack.id == new.id) {
        Some(known) => *known = new,
        None => packs.push(new),
    }
    packs
}

/// A name for a new pack, made from the water's, that none of `packs` has.
pub fn free_pack_id(packs: &[Pack], water: &str) -> String {
    let words = water.to_lowercase();
    let plain: Vec<&str> = words
        .split(|c: char| !c.is_ascii_lowercase() && !c.is_ascii_digit())
        .filter(|word| !word.is_empty())
        .collect();
    // Short enough to be an id with a number behind it.
    let mut stem: String = format!("own-{}", plain.join("-")).chars().take(50).collect();
    stem = stem.trim_end_matches('-').to_owned();
    let mut id = stem.clone();
    let mut number = 2_usize;
    while packs.iter().any(|pack| pack.id == id) {
        id = format!("{stem}-{number}");
        number += 1;
    }
    id
}
