//! Money and carbon, with the user's own prices.

use rayon::prelude::*;
use serde::Serialize;

use super::check;
use crate::advice::said::Said;
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::chances::fraction;
use fenlamp_model::forecast::gas_train;
use fenlamp_model::gas::uses::methane_mj_per_m3;
use fenlamp_model::plan::Plan;
use fenlamp_model::reference::{Fuel, fuels, gas_value};
use fenlamp_model::say;
use fenlamp_model::say::number_band;
use fenlamp_model::world::WorldRun;
use fenlamp_model::world::draw::WorldDraw;

/// What the user pays.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Prices {
    /// Parts of the plant, in the user's money.
    pub parts: f64,
    /// Upkeep a year (washes, repairs), in the same money.
    pub upkeep_per_year: f64,
    /// Id of the fuel that the gas stands for (`fuels.csv`).
    pub fuel: String,
    /// Price of one unit of it.
    pub fuel_price: f64,
    /// Name of the money, as the user writes it; may be empty.
    pub money: String,
    /// The fuel's carbon dioxide, kg/GJ, when not the table's.
    pub fuel_carbon_kg_per_gj: Option<f64>,
}

/// Why there is no reckoning.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PaybackError {
    /// No such fuel.
    #[error("there is no fuel \"{0}\"")]
    NoSuchFuel(String),
    /// A price that cannot be.
    #[error("{0} must be a number of zero or more")]
    BadPrice(&'static str),
}

/// What the plant saves and spares in a year like the forecast's last.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Payback {
    /// The answer in sentences.
    pub words: Vec<Said>,
    /// The prices.
    pub prices: Prices,
    /// The fuel.
    pub fuel: Fuel,
    /// Worlds counted.
    pub worlds: u32,
    /// Fuel saved a year, in its unit.
    pub fuel_saved_per_year: Quantiles,
    /// Money saved a year, upkeep taken off.
    pub saved_per_year: Quantiles,
    /// Years until the parts are paid; `None` where they never are.
    pub payback_years_p10: Option<f64>,
    /// The middle world.
    pub payback_years_p50: Option<f64>,
    /// One world in ten takes longer.
    pub payback_years_p90: Option<f64>,
    /// Share of the worlds in which the parts are never paid.
    pub never_share_of_worlds: f64,
    /// Carbon dioxide of the fuel not burned, kg a year.
    pub displaced_kg_co2_per_year: Quantiles,
    /// Methane let go or leaked, share of what is made; nothing is known without a store.
    pub lost_share: Option<Quantiles>,
    /// Carbon dioxide that the lost methane counts for over 100 years, kg a year.
    pub lost_kg_co2e_per_year: Quantiles,
    /// Share of the methane from whose loss on the plant does more harm than good,
    /// over 100 years.
    pub break_even_loss_share: f64,
    /// The same over 20 years.
    pub break_even_loss_share_20_years: f64,
}

/// A world's year.
struct Year {
    fuel: f64,
    displaced_kg: f64,
    lost_kg_co2e: f64,
    lost_share: f64,
}

/// Reckons for `runs`, the worlds of `plan`.
///
/// # Errors
/// [`PaybackError`].
pub fn payback(
    plan: &Plan,
    draws: &[WorldDraw],
    runs: &[WorldRun],
    prices: &Prices,
) -> Result<Payback, PaybackError> {
    let fuel = fuels()
        .iter()
        .find(|f| f.id == prices.fuel)
        .ok_or_else(|| PaybackError::NoSuchFuel(prices.fuel.clone()))?;
    for (price, name) in [
        (prices.parts, "the price of the parts"),
        (prices.upkeep_per_year, "the upkeep"),
        (prices.fuel_price, "the price of the fuel"),
        (
            prices.fuel_carbon_kg_per_gj.unwrap_or(0.0),
            "the fuel's carbon",
        ),
    ] {
        if !(price.is_finite() && price >= 0.0) {
            return Err(PaybackError::BadPrice(name));
        }
    }
    let carbon_kg_mj = prices.fuel_carbon_kg_per_gj.unwrap_or(fuel.co2_kg_per_gj) / 1000.0;
    let stove = gas_value("eff_stove_is8749") / fuel.stove_efficiency_pct;
    let gas_side = !plan.gas_side.uses.is_empty();
    let shares: Vec<(f64, f64)> = if gas_side {
        gas_train::service(plan, draws, runs)
            .iter()
            .map(|s| (s.burned_share, s.lost_share))
            .collect()
    } else {
        vec![(1.0, 0.0); runs.len()]
    };
    let days: Vec<usize> = check::days_by_month(plan).concat();
    let to_year = 365.0 / days.len().max(1) as f64;
    let density = gas_value("rho_ch4_0");
    let gwp = gas_value("gwp100_ch4_nonfossil");
    let years: Vec<Year> = runs
        .par_iter()
        .zip(&shares)
        .map(|(run, &(burned, lost))| {
            let methane_m3 =
                check::mean(run, &days, |d| d.methane_l) * days.len() as f64 * to_year / 1000.0;
            let fuel_mj = methane_m3 * burned * methane_mj_per_m3() * stove;
            Year {
                fuel: fuel_mj / fuel.mj_per_unit,
                displaced_kg: fuel_mj * carbon_kg_mj,
                lost_kg_co2e: methane_m3 * lost * density * gwp,
                lost_share: lost,
            }
        })
        .collect();
    // Per cubic metre burned and per cubic metre lost.
    let spared = methane_mj_per_m3() * stove * carbon_kg_mj;
    let break_even = |gwp: f64| spared / (spared + density * gwp);
    let over = |f: fn(&Year) -> f64| Quantiles::of(&mut years.iter().map(f).collect::<Vec<_>>());
    let mut saved: Vec<f64> = years
        .iter()
        .map(|y| y.fuel * prices.fuel_price - prices.upkeep_per_year)
        .collect();
    let saved_per_year = Quantiles::of(&mut saved);
    let takes = |saved: f64| (saved > 0.0).then(|| prices.parts / saved);
    let mut out = Payback {
        words: Vec::new(),
        prices: prices.clone(),
        fuel: fuel.clone(),
        worlds: runs.len() as u32,
        fuel_saved_per_year: over(|y| y.fuel),
        payback_years_p10: takes(saved_per_year.p90),
        payback_years_p50: takes(saved_per_year.p50),
        payback_years_p90: takes(saved_per_year.p10),
        never_share_of_worlds: saved.iter().filter(|s| **s <= 0.0).count() as f64
            / saved.len().max(1) as f64,
        saved_per_year,
        displaced_kg_co2_per_year: over(|y| y.displaced_kg),
        lost_share: gas_side.then(|| over(|y| y.lost_share)),
        lost_kg_co2e_per_year: over(|y| y.lost_kg_co2e),
        break_even_loss_share: break_even(gwp),
        break_even_loss_share_20_years: break_even(gas_value("gwp20_ch4_nonfossil")),
    };
    out.words = words(&out);
    Ok(out)
}

fn words(p: &Payback) -> Vec<Said> {
    let money = |v: f64| {
        let sign = if v < 0.0 { "-" } else { "" };
        format!("{sign}{} {}", number_band(v.abs(), v.abs()), p.prices.money)
            .trim_end()
            .to_owned()
    };
    let band = |q: Quantiles| say::with_middle(q);
    let n = p.worlds as usize;
    let years = |y: Option<f64>| y.map_or("never".to_owned(), |y| number_band(y, y));
    let mut first = format!(
        "The parts, {}, are paid back in {} years in the middle world ({} to {})",
        money(p.prices.parts),
        years(p.payback_years_p50),
        years(p.payback_years_p10),
        years(p.payback_years_p90)
    );
    if p.payback_years_p50.is_none() {
        first = format!(
            "The parts, {}, are not paid back in the middle world: upkeep takes what the fuel saves",
            money(p.prices.parts)
        );
    }
    if p.never_share_of_worlds > 0.0 && p.payback_years_p50.is_some() {
        let never = (p.never_share_of_worlds * n as f64).round() as usize;
        first += &format!("; never in {}", fraction(never, n));
    }
    let saving = format!(
        "A year saves {} {} of {}: {} after upkeep.",
        band(p.fuel_saved_per_year),
        p.fuel.unit,
        lower(&p.fuel.name),
        format!("{} {}", band(p.saved_per_year), p.prices.money).trim_end()
    );
    let lost = match p.lost_share {
        Some(q) => format!(
            "Of the methane made, {} % is let go, leaks or dissolves",
            band(q.map(|v| 100.0 * v))
        ),
        None => {
            "The plan names no uses, so all gas was counted as burned and none as lost".to_owned()
        }
    };
    let harm = p.lost_share.map_or(0.0, |q| q.p50) > p.break_even_loss_share;
    let verdict = if p.break_even_loss_share <= 0.0 {
        "the fuel spared counts as free of carbon, so every leak is a harm".to_owned()
    } else {
        format!(
            "from {:.0} % of it lost, the plant warms the air more than it spares over 100 years \
             ({:.0} % over 20 years)",
            100.0 * p.break_even_loss_share,
            100.0 * p.break_even_loss_share_20_years
        )
    };
    let carbon = format!(
        "{} kg of carbon dioxide a year are not made by burning {}. {lost}, which counts for {} kg; \
         {verdict}. {}",
        band(p.displaced_kg_co2_per_year),
        lower(&p.fuel.name),
        band(p.lost_kg_co2e_per_year),
        if harm {
            "That is so here: burn what is left over in a flare or lamp, mend leaks, feed less."
        } else {
            "Dung left in a heap or pit gives off methane too; that spared is not counted, for it \
             depends on how it lay."
        }
    );
    [
        ("payback", first + "."),
        ("saving", saving),
        ("carbon", carbon),
        (
            "doubt",
            format!(
                "Counted over {n} worlds of the plan in its last year, with your prices; work and \
                 the worth of the digestate are not in it. The stove on gas is taken at {:.0} % and \
                 that on {} at {:.0} %.",
                gas_value("eff_stove_is8749"),
                lower(&p.fuel.name),
                p.fuel.stove_efficiency_pct
            ),
        ),
    ]
    .map(|(about, words)| Said { about, words })
    .into()
}

fn lower(name: &str) -> String {
    fenlamp_model::world::draw::inputs::short(name)
}
