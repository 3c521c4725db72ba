//! What tells a kind from others, in a few words: the rest is one tap away.

/// A list of kinds is read at a glance: a chosen budget.
const MOST_WORDS: usize = 15;

/// The first marks that fit a glance, at the least one.
pub fn marks_in_short(marks: &[String]) -> &[String] {
    let mut words = 0;
    let fits = |mark: &&String| {
        words += mark.split_whitespace().count();
        words <= MOST_WORDS
    };
    let count = marks.iter().take_while(fits).count();
    &marks[..count.max(1).min(marks.len())]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::built_in_species;

    /// What sets a Dungeness crab apart from those it is taken for stays in sight (Plate Watch leaflet, in the table of
    /// species): the tips of the claws, and where the shell is widest.
    #[test]
    fn every_kind_is_told_in_a_few_words() {
        for info in built_in_species() {
            let marks: Vec<String> = info.tell_tales.iter().map(|tell| tell.value.clone()).collect();
            let shown = marks_in_short(&marks);
            let words = shown.join(" ").split_whitespace().count();
            assert!(shown.len() == 1 || words <= MOST_WORDS, "{}: {words} words", info.id);
            assert_eq!(shown.is_empty(), marks.is_empty(), "{}", info.id);
            if info.id == "dungeness" {
                let told = shown.join(" ");
                assert!(told.contains("white, not black") && told.contains("tenth, last tooth"), "{told}");
            }
        }
        assert!(marks_in_short(&[]).is_empty());
    }
}
