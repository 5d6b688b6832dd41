//! How many questions it takes at the bench, over every office-year whose letter is known: a count,
//! not a timing.

use puncheon_tests::questions::measure;

fn main() {
    // `cargo test --benches` only asks whether it runs.
    let every = if std::env::args().any(|a| a == "--bench") { 1 } else { 101 };
    println!("questions to all that the marks can settle (aim: 3 on average from the town mark)");
    for (from_town, what) in [(true, "the town mark"), (false, "nothing")] {
        for (styled, how) in [(true, "with its style"), (false, "bare")] {
            let c = measure(every, from_town, styled);
            println!(
                "from {what}, the letter typed {how}: {:.2} on average, {} at worst; {:.2} office-years are left",
                c.average, c.worst, c.left
            );
        }
    }
}
