//! The smallest size that passes: a coarse look over all sizes, then halving.

use std::sync::atomic::Ordering;

use serde::Serialize;

use fenlamp_model::forecast::runs::Control;
use fenlamp_model::world::WorldError;

/// A size tried.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tried {
    /// The size.
    pub size: f64,
    /// Share of the worlds that have the wish at it.
    pub met_share: f64,
}

/// What a search found; sizes are factors.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub smallest: Option<f64>,
    /// The size with the largest share.
    pub best: f64,
    /// Smallest first.
    pub tried: Vec<Tried>,
}

impl Found {
    pub fn share_at(&self, size: f64) -> f64 {
        self.tried
            .iter()
            .find(|t| t.size == size)
            .map_or(0.0, |t| t.met_share)
    }
}

/// Sizes of the coarse look: steps of three quarters more, in which the share of
/// worlds hardly rises and falls again.
const LOOKS: usize = 9;
/// How near the answer must be, as a ratio.
const NEAR: f64 = 1.01;

/// Between `from` and `to`, the smallest size that `chance` of the worlds have the
/// wish at.
pub(super) fn smallest(
    from: f64,
    to: f64,
    chance: f64,
    met: &dyn Fn(f64) -> Result<f64, WorldError>,
    control: &Control,
) -> Result<Found, WorldError> {
    let step = (to / from).powf(1.0 / (LOOKS - 1) as f64);
    let halvings = (step.ln() / NEAR.ln()).log2().ceil().max(0.0) as usize;
    let mut look = Look {
        met,
        control,
        tried: Vec::new(),
        of: LOOKS + halvings,
    };
    let passes = |share: f64| share + 1e-9 >= chance;
    let mut below = None;
    let mut above = None;
    for i in 0..LOOKS {
        let size = from * step.powi(i as i32);
        if passes(look.at(size)?) {
            above = Some(size);
            break;
        }
        below = Some(size);
    }
    if let (Some(mut low), Some(mut high)) = (below, above) {
        while high / low > NEAR {
            let middle = (low * high).sqrt();
            if passes(look.at(middle)?) {
                high = middle;
            } else {
                low = middle;
            }
        }
        above = Some(high);
    }
    Ok(look.found(above))
}

/// As [`smallest`], beginning at a size that is thought to be near.
pub(super) fn near(
    guess: f64,
    from: f64,
    to: f64,
    chance: f64,
    met: &dyn Fn(f64) -> Result<f64, WorldError>,
    control: &Control,
) -> Result<Found, WorldError> {
    let mut look = Look {
        met,
        control,
        tried: Vec::new(),
        of: 9,
    };
    let passes = |share: f64| share + 1e-9 >= chance;
    let mut size = guess.clamp(from, to);
    let first = passes(look.at(size)?);
    let mut step: f64 = if first { 1.0 / 1.3 } else { 1.3 };
    // Outwards in growing steps until the answer is between two sizes.
    let mut last = size;
    loop {
        let next = (last * step).clamp(from, to);
        if next == last {
            let all_pass = first.then_some(last);
            return Ok(look.found(all_pass));
        }
        if passes(look.at(next)?) != first {
            size = next;
            break;
        }
        last = next;
        step = step.powf(1.5);
    }
    let (mut low, mut high) = if first { (size, last) } else { (last, size) };
    while high / low > NEAR {
        let middle = (low * high).sqrt();
        if passes(look.at(middle)?) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(look.found(Some(high)))
}

struct Look<'a> {
    met: &'a dyn Fn(f64) -> Result<f64, WorldError>,
    control: &'a Control<'a>,
    tried: Vec<Tried>,
    /// Trials expected, for the bar.
    of: usize,
}

impl Look<'_> {
    fn at(&mut self, size: f64) -> Result<f64, WorldError> {
        if self.control.cancelled.load(Ordering::Relaxed) {
            return Err(WorldError::Cancelled);
        }
        let met_share = (self.met)(size)?;
        self.tried.push(Tried { size, met_share });
        (self.control.progress)(self.tried.len().min(self.of), self.of);
        Ok(met_share)
    }

    fn found(mut self, smallest: Option<f64>) -> Found {
        self.tried.sort_by(|a, b| a.size.total_cmp(&b.size));
        let best = self
            .tried
            .iter()
            .max_by(|a, b| {
                a.met_share
                    .total_cmp(&b.met_share)
                    .then(b.size.total_cmp(&a.size))
            })
            .map_or(f64::NAN, |t| t.size);
        Found {
            smallest,
            best,
            tried: self.tried,
        }
    }
}
