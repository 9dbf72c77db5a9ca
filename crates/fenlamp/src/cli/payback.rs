//! `fenlamp payback`: money and carbon with the user's own prices.

use std::path::PathBuf;

use clap::Args;
use fenlamp_model::forecast::ensemble::{self, Worlds};
use fenlamp_model::world::WorldError;
use fenlamp_report::advice::{Payback, Prices, payback};

use super::as_json;
use crate::failure::Failure;
use crate::page::wrap;
use crate::plan_file::{Opened, open};
use crate::progress::while_watched;
use crate::view_model::refusal;

/// Arguments of `payback`.
#[derive(Debug, Args)]
#[command(
    next_line_help = true,
    override_usage = "fenlamp payback [OPTIONS] <PLAN> --parts <AMOUNT> --fuel <FUEL>\n\
                      \x20                     --price <AMOUNT>"
)]
pub struct PaybackArgs {
    /// The plan: a file, or demo:NAME
    pub plan: PathBuf,
    /// What the parts cost, in your money
    #[arg(long, value_name = "AMOUNT")]
    pub parts: f64,
    /// The fuel that the gas stands for, like propane or kerosene
    #[arg(long, value_name = "FUEL")]
    pub fuel: String,
    /// What a unit of that fuel costs (a kilogram, litre or kWh)
    #[arg(long, value_name = "AMOUNT")]
    pub price: f64,
    /// Upkeep a year: wash fillings, hoses, repairs
    #[arg(long, value_name = "AMOUNT", default_value_t = 0.0)]
    pub upkeep: f64,
    /// Name of your money
    #[arg(long, value_name = "NAME", default_value = "")]
    pub money: String,
    /// Carbon dioxide of the fuel, kg per GJ, when you know better
    #[arg(long, value_name = "KG")]
    pub fuel_carbon: Option<f64>,
    /// Everything as JSON (docs/advice-json.md)
    #[arg(long)]
    pub json: bool,
}

/// The reckoning.
///
/// # Errors
/// The plan's faults, a fuel or price that cannot be, or a failure of ours.
pub fn run(args: &PaybackArgs) -> Result<String, Failure> {
    let opened = open(&args.plan)?;
    let prices = Prices {
        parts: args.parts,
        upkeep_per_year: args.upkeep,
        fuel: args.fuel.trim().to_lowercase(),
        fuel_price: args.price,
        money: args.money.trim().to_owned(),
        fuel_carbon_kg_per_gj: args.fuel_carbon,
    };
    let what = format!("Running {} worlds", opened.plan.worlds);
    let outcome = while_watched(&what, |control| {
        ensemble::run_with(&opened.plan, Worlds::OfPlan, control)
    })
    .map_err(|e| match e {
        WorldError::Cancelled => Failure::Stopped,
        e => Failure::Internal(format!("{}: {e}", opened.name)),
    })?;
    let found = payback(&opened.plan, &outcome.draws, &outcome.runs, &prices)
        .map_err(refusal::of_payback)?;
    if args.json {
        return as_json("fenlamp-payback-1", &opened, &found);
    }
    Ok(text(&opened, &found))
}

fn text(opened: &Opened, found: &Payback) -> String {
    let mut out = format!("{}\n\n", opened.plan.name);
    for said in &found.words {
        out += &wrap(&said.words, "", "");
        out.push('\n');
    }
    out += &wrap(
        &format!(
            "Figures of {}: [{}], {}",
            found.fuel.name, found.fuel.source_key, found.fuel.note
        ),
        "",
        "",
    );
    out
}
