//! Prints the checks of one group, to try a change without the whole report:
//! `cargo run --profile fit -p fenlamp-validation --example group -- everyday`.

use fenlamp_validation::groups::ALL;

fn main() {
    let name = std::env::args().nth(1).unwrap_or_default();
    let Some((_, group)) = ALL.iter().find(|(n, _)| *n == name) else {
        let names: Vec<&str> = ALL.iter().map(|(n, _)| *n).collect();
        eprintln!("no group {name:?}; there are: {}", names.join(", "));
        std::process::exit(2);
    };
    for c in group().checks {
        println!(
            "{:?}\t{}\t{:?}\t{:.4}\t{:?}\t{}",
            c.verdict(),
            c.what,
            c.published,
            c.ours,
            c.band,
            c.unit
        );
    }
}
