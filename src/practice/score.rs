//! The score sheet: how often each check was made rightly, and the costly errors.

use serde::{Deserialize, Serialize};

use super::judge::{Mark, Why};

/// What a learner did so far.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Tally {
    /// Crabs that were answered for the first time.
    pub crabs: u32,
    /// Of these, all right: kind, keep or release, and why.
    pub right: u32,
    /// Of these, keep or release right.
    pub calls_right: u32,
    /// Each check, in the order of [`Why::ALL`]: rightly made, and put to the test.
    pub checks: [(u32, u32); 5],
    /// Crabs that were kept although this check forbade it, in the same order: the costly errors.
    pub kept: [u32; 5],
    /// Good ones that were let go.
    pub released: u32,
    /// Mistakes that came back.
    pub repeated: u32,
    /// Of these, right.
    pub repeated_right: u32,
}

impl Tally {
    /// Counts an answer to a crab that was met for the first time.
    pub fn count(&mut self, mark: &Mark) {
        self.crabs += 1;
        self.right += u32::from(mark.is_right());
        self.calls_right += u32::from(mark.is_call_right);
        self.released += u32::from(mark.wrongly_released);
        for (why, is_right) in &mark.checks {
            let (right, asked) = &mut self.checks[place(*why)];
            *asked += 1;
            *right += u32::from(*is_right);
        }
        for why in &mark.wrongly_kept {
            self.kept[place(*why)] += 1;
        }
    }

    /// Counts an answer to one that came back.
    pub fn count_repeated(&mut self, mark: &Mark) {
        self.repeated += 1;
        self.repeated_right += u32::from(mark.is_right());
    }

    /// Crabs that were kept and should not have been. One that fails two checks counts once here.
    pub fn wrongly_kept(&self) -> u32 {
        self.crabs - self.calls_right - self.released
    }

    /// The costly errors that were made, the costliest first: (check, how many).
    pub fn costly(&self) -> Vec<(Why, u32)> {
        // A short one, a female and a soft one are what the fishery pays for; the order is ours.
        const ORDER: [Why; 5] = [Why::Size, Why::Sex, Why::Shell, Why::Eggs, Why::Kind];
        ORDER.into_iter().map(|why| (why, self.kept[place(why)])).filter(|(_, count)| *count > 0).collect()
    }

    /// A check: rightly made, and put to the test.
    pub fn check(&self, why: Why) -> (u32, u32) {
        self.checks[place(why)]
    }
}

fn place(why: Why) -> usize {
    Why::ALL.iter().position(|known| *known == why).unwrap_or_default()
}
