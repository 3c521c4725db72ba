//! Whose a limit is that holds for those with a licence only, or for those without.

use super::case::{CatchSoFar, LicenceWord};
use crate::rules::facts::{CountAboard, LicenceAsked, Limit};

/// Whether a limit is the person's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// It is: it holds for everybody, or what was said makes it theirs.
    Theirs,
    /// What was said makes it another's.
    NotTheirs,
    /// A word on licences would tell.
    ToSay,
    /// Nobody here knows.
    NotKnown,
}

/// Whose a limit is, by what is said of licences. A limit that may be the person's is never set aside.
pub fn whose(limit: &Limit, catch: &CatchSoFar) -> Whose {
    if limit.condition.is_none() {
        return Whose::Theirs;
    }
    let Some(by) = limit.by_licence else { return Whose::NotKnown };
    let of_licence = match by.aboard {
        None => of_all(&[catch.licence], by.licence),
        Some(asked) => match of_all(&catch.aboard, by.licence) {
            Whose::Theirs if (catch.aboard.len() == 1) != (asked == CountAboard::One) => Whose::NotTheirs,
            whose => whose,
        },
    };
    if of_licence == Whose::Theirs && by.and_more { Whose::NotKnown } else { of_licence }
}

/// Whether all of `words` meet what is asked. Of some with and some without a licence the rules say nothing.
fn of_all(words: &[LicenceWord], asked: LicenceAsked) -> Whose {
    let (meets, fails) = match asked {
        LicenceAsked::Held => (LicenceWord::Held, LicenceWord::NotHeld),
        LicenceAsked::NotHeld => (LicenceWord::NotHeld, LicenceWord::Held),
    };
    let all = |word: LicenceWord| !words.is_empty() && words.iter().all(|said| *said == word);
    if all(meets) {
        Whose::Theirs
    } else if all(fails) {
        Whose::NotTheirs
    } else if words.contains(&LicenceWord::NotSaid) {
        Whose::ToSay
    } else {
        Whose::NotKnown
    }
}
