//! Every trial that the constants are fitted on.

mod ammonia;
mod batches;
mod cultures;
mod drums;
mod fed;
mod practice;
mod slurry;

pub use slurry::methane_until;

use crate::trial::Trial;

/// All of them, in the order of the report.
pub fn all() -> Vec<Trial> {
    let mut out = cultures::trials();
    out.extend(slurry::trials());
    out.extend(batches::trials());
    out.extend(drums::trials());
    out.extend(fed::trials());
    out.extend(ammonia::trials());
    out.extend(practice::trials());
    out
}
