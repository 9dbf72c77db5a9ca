//! The `fenlamp` program.
fn main() {}
