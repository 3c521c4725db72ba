//! A book of 10,000 crabs: milliseconds of what the page asks for, and its memory. `cargo bench --bench day`.

#![expect(clippy::disallowed_methods, reason = "it times, and never runs in the browser")]

#[path = "../it/many_crabs.rs"]
mod many_crabs;

use std::time::Instant;

use shellspan::day::book::Names;
use shellspan::day::copies::backup::read_copy;
use shellspan::day::told::list::{Order, Wanted};
use shellspan::day::{Book, StepName, What};

use many_crabs::{LAST, rows};

const MANY: usize = 10_000;
const RUNS: usize = 7;

fn main() {
    let before = resident_mib();
    let mut book = Book::default();
    let all = rows(MANY);
    let started = Instant::now();
    book.merge(all);
    println!("{:<40}{:>10.2} ms", "rows of the disk taken in", started.elapsed().as_secs_f64() * 1e3);
    if let (Some(before), Some(after)) = (before, resident_mib()) {
        println!("{:<40}{:>10.1} MiB", "memory of the book", after - before);
    }
    let mut names = Names { seed: 1, given: 0 };
    time("15 days double-checked", || {
        for back in 0..15 {
            let day = LAST.checked_sub(jiff::Span::new().days(back)).unwrap_or(LAST);
            std::hint::black_box(book.double_check(day, &|_| None, &|_, _| None));
        }
    });
    for (words, wanted) in [
        ("list, the last first", Wanted::default()),
        ("list, the widest first", Wanted { order: Order::Widest, ..Wanted::default() }),
        ("list, by kind", Wanted { order: Order::Kind, ..Wanted::default() }),
        ("list, one pot", Wanted { pot: Some("A".into()), ..Wanted::default() }),
        ("list, one day", Wanted { day: Some(LAST), ..Wanted::default() }),
    ] {
        time(words, || drop(std::hint::black_box(book.list(&wanted))));
    }
    time("what to choose from", || drop(std::hint::black_box(book.choices())));
    time("totals", || drop(std::hint::black_box(book.totals())));
    time("sizes", || drop(std::hint::black_box(book.sizes())));
    time("book compared with a copy of itself", || {
        let same = book.clone();
        assert!(std::hint::black_box(&same) == &book);
    });
    time("table (CSV)", || drop(std::hint::black_box(book.crabs_as_csv())));
    time("copy of all", || drop(std::hint::black_box(book.as_copy())));
    let copy = book.as_copy().unwrap_or_default();
    time("copy read", || drop(std::hint::black_box(read_copy(copy.as_bytes()))));
    let mut shared = std::rc::Rc::new(book);
    time("a crab changed, as the page does it", || {
        // The page still draws the book before: the change makes a copy.
        let drawn = shared.clone();
        let crab = drawn.crabs_on(LAST).next().map(|(id, crab)| (id.clone(), crab.clone()));
        if let Some((id, crab)) = crab {
            let book = std::rc::Rc::make_mut(&mut shared);
            book.step(&mut names, StepName::Kept, LAST, vec![(id, What::Crab(Box::new(crab)))]);
        }
    });
}

/// Prints the median of the runs, and the range.
fn time(words: &str, mut work: impl FnMut()) {
    let mut runs: Vec<f64> = (0..RUNS)
        .map(|_| {
            let started = Instant::now();
            work();
            started.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    runs.sort_by(f64::total_cmp);
    if let (Some(least), Some(median), Some(most)) = (runs.first(), runs.get(RUNS / 2), runs.last()) {
        println!("{words:<40}{median:>10.2} ms ({least:.2}-{most:.2})");
    }
}

/// Memory of this process, where the system tells (Linux, proc(5): the second number of statm, in pages of 4 KiB).
fn resident_mib() -> Option<f64> {
    let told = std::fs::read_to_string("/proc/self/statm").ok()?;
    let pages: f64 = told.split_whitespace().nth(1)?.parse().ok()?;
    Some(pages * 4096.0 / f64::from(1 << 20))
}
