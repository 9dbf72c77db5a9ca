//! A proposal for every month with one thickness of feed for the year.

use crate::advice::check::CheckedMonth;
use crate::advice::month::{Program, Setting};
use crate::advice::solve::{self, Goal, Unsolved};
use crate::advice::wish::Wish;
use crate::hazard::limit;
use fenlamp_model::reference::LimitState;

/// What is proposed.
#[derive(Debug, Clone)]
pub(in crate::advice) struct Proposal {
    pub thinned_to: f64,
    /// The programs of the months inside the forecast.
    pub programs: [Option<Program>; 12],
    /// Parts of each waste, month by month.
    pub parts: [Vec<u32>; 12],
    /// Months in which the program gives less than is asked of it.
    pub short: [bool; 12],
}

/// Solids tried, kg/kg, thickest first: what pours and mixes (`feed_total_solids`).
fn thicknesses() -> Vec<f64> {
    let (low, high) = limit("feed_total_solids", LimitState::Good, |_| true)
        .and_then(|l| Some((l.low?, l.high?)))
        .unwrap_or((5.0, 10.0));
    let steps = (high - low).round().max(0.0) as u32;
    (0..=steps).map(|i| (high - f64::from(i)) / 100.0).collect()
}

/// The best proposal.
pub(in crate::advice) fn propose(
    setting: &Setting<'_>,
    wish: &Wish,
    need: &[Option<f64>; 12],
) -> Result<Proposal, Unsolved> {
    let mut best: Option<((f64, f64), Proposal)> = None;
    for thinned_to in thicknesses() {
        let mut setting = setting.clone();
        setting.thinned_to = thinned_to;
        let proposal = at(&setting, wish, need)?;
        let worth = proposal.worth(need);
        // A thinner feed must earn its water.
        let better = best.as_ref().is_none_or(|(b, _)| {
            worth.0 > b.0 * (1.0 + 1e-6) + 1e-9
                || (worth.0 >= b.0 * (1.0 - 1e-6) - 1e-9 && worth.1 < b.1 - 1e-6)
        });
        if better {
            best = Some((worth, proposal));
        }
    }
    best.map(|b| b.1)
        .ok_or_else(|| Unsolved("no thickness of feed to try".to_owned()))
}

fn at(setting: &Setting<'_>, wish: &Wish, need: &[Option<f64>; 12]) -> Result<Proposal, Unsolved> {
    let none = || vec![0; setting.streams.len()];
    let mut out = Proposal {
        thinned_to: setting.thinned_to,
        programs: std::array::from_fn(|m| setting.program(m)),
        parts: std::array::from_fn(|_| none()),
        short: [false; 12],
    };
    for m in (0..12).filter(|m| wish.months[*m]) {
        let Some(program) = &out.programs[m] else {
            continue;
        };
        let whole = |goal| solve::best(program, goal, true);
        let enough = match need[m] {
            Some(litres) => whole(Goal::Enough(litres))?,
            None => None,
        };
        out.short[m] = need[m].is_some() && enough.is_none();
        let parts = match enough {
            Some(parts) => Some(parts),
            None => whole(Goal::Most)?,
        };
        out.parts[m] = parts
            .map(|p| p.iter().map(|v| *v as u32).collect())
            .unwrap_or_else(none);
    }
    Ok(out)
}

impl Proposal {
    /// A month's parts as the program counts.
    pub fn parts_of(&self, m: usize) -> Vec<f64> {
        self.parts[m].iter().map(|p| f64::from(*p)).collect()
    }

    /// Methane that counts (no more than is asked), and litres to carry; sums over the months.
    fn worth(&self, need: &[Option<f64>; 12]) -> (f64, f64) {
        let (mut methane, mut carried) = (0.0, 0.0);
        for (m, program) in self.programs.iter().enumerate() {
            let Some(program) = program else { continue };
            let parts = self.parts_of(m);
            methane += program
                .methane(&parts)
                .min(need[m].unwrap_or(f64::INFINITY));
            carried += program.carried(&parts);
        }
        (methane, carried)
    }

    /// Months in which something is fed.
    pub fn fed_months(&self) -> Vec<usize> {
        (0..12)
            .filter(|m| self.parts[*m].iter().any(|p| *p > 0))
            .collect()
    }

    /// Gas as a bag shows it for the program's methane, by the worlds' middle.
    pub fn gas_per_methane(&self, checked: &crate::advice::Checked) -> f64 {
        let fed = self.fed_months();
        let said: f64 = fed
            .iter()
            .filter_map(|m| Some(self.programs[*m].as_ref()?.methane(&self.parts_of(*m))))
            .sum();
        let got: f64 = checked
            .months
            .iter()
            .filter(|c: &&CheckedMonth| fed.contains(&(c.month as usize - 1)))
            .map(|c| c.gas_wet_l_per_day.p50)
            .sum();
        if said > 0.0 { got / said } else { 0.0 }
    }
}
