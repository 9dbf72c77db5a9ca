//! Plans that practice knows to work, and plans it knows to fail.

use super::{BIOLOGY, Group};
use fenlamp_model::world::WorldRun;

use crate::Check;
use crate::bench::{Ran, batch, run_worlds};

/// Worlds of a plan: of a share near 0.85, one standard deviation is 0.02.
const MANY: u32 = 240;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Everyday plans",
        about: "Plans that everybody's neighbour runs, and plans that everybody's neighbour regrets. \
                Common practice, no source: a forecast may not doom the first nor promise the second. \
                Share of 240 worlds that stay healthy (pH not below 6.2 for a fortnight).",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = vec![];
    for (id, words, text) in works() {
        let ran = run_worlds(&text, MANY);
        let check = Check::within(id, words, (0.85, 1.0), healthy(&ran), "of worlds healthy");
        let check = match id {
            "every_two_pigs" => check.explained(
                (0.65, 0.85),
                "too fearful still: slurry of few solids, much that ferments at once and few own methane makers sours at the start, and is fed from day 30 on, whether it burns or not",
            ),
            _ => check,
        };
        out.push(check.source("common practice, no source").fitted(BIOLOGY));
    }
    for (id, words, text) in fails() {
        let ran = run_worlds(&text, MANY);
        out.push(
            Check::within(
                id,
                words,
                (0.0, 0.3),
                burning(&ran),
                "of worlds healthy and burning",
            )
            .source("common practice, no source"),
        );
    }
    out.push(january());
    out
}

/// A tote fed all year out of doors where January's slurry is at 4 to 8 degC: in worlds
/// that make gas in July.
fn january() -> Check {
    let ran = run_worlds(&all_year(250, 80), MANY);
    let share = ran.band_where(|world| {
        let july = month(world, JULY);
        (july >= LEAST_GAS_L).then(|| month(world, JANUARY) / july)
    });
    let slurry = ran.band(|world| {
        let days = &world.days[JANUARY..JANUARY + 31];
        days.iter().map(|d| d.slurry_c).sum::<f64>() / 31.0
    });
    Check::within(
        "every_january",
        "methane of January, fed all year, over that of July, where July makes any",
        (0.0, 0.2),
        share.p50,
        "",
    )
    .inputs(format!(
        "cattle dung in a tote out of doors; slurry of January {:.0} degC",
        slurry.p50
    ))
    .fitted(BIOLOGY)
    .source("common practice, no source; ELSGAARD16 (read): 0.1 to 0.2 from culture to culture")
}

/// Mean methane of the 31 days from `first`, L/d.
fn month(world: &WorldRun, first: usize) -> f64 {
    let days = &world.days[first..first + 31];
    days.iter().map(|d| d.methane_l).sum::<f64>() / 31.0
}

/// Methane of January over that of July in a world of [`all_year`]; one where neither
/// makes any.
pub fn january_over_july(world: &WorldRun) -> f64 {
    (month(world, JANUARY) + NOTHING_L) / (month(world, JULY) + NOTHING_L)
}

/// Methane a day that counts as none: two percent of what the dung could give, L.
const NOTHING_L: f64 = 4.0;

/// First days of January and July from 1 May of the year before.
const JANUARY: usize = 245;
const JULY: usize = 426;

/// Its plan, first filled with so much dung, kg, and old slurry, L.
pub fn all_year(dung_kg: u32, old_slurry_l: u32) -> String {
    format!(
        r#"
[plan]
name = "Everyday"
about = "Invented: common practice."
start = 2030-05-01
length = "460 days"
[place]
name = "an invented yard"
latitude = "50 °N"
[weather]
high = "7 8 11 15 19 23 25 25 20 15 10 7 °C"
low = "1 1 3 5 9 12 14 14 11 7 4 2 °C"
sun = "0.8 1.5 2.7 4.1 5.2 5.6 5.4 4.6 3.2 1.9 1.0 0.6 kWh/m2/day"
wind = "3 3 3 3 3 3 3 3 3 3 3 3 m/s"
[vessel]
kind = "tote"
volume = "1000 L"
slurry = "850 L"
stands = "outdoors"
wind = "sheltered"
run = "overflow"
[[waste]]
feedstock = "cow_dung"
amount = "7 kg/day"
[feeding]
every = "1 day"
from = "30 days"
ramp = "20 days"
water = "1 kg/kg"
[[first_fill.feed]]
feedstock = "cow_dung"
amount = "{dung_kg} kg"
[seed]
kind = "old slurry"
volume = "{old_slurry_l} L"
grown_at = "15 °C"
"#
    )
}

fn healthy(ran: &Ran) -> f64 {
    1.0 - ran.forecast.sour_share_of_worlds
}

/// Share of worlds that are not sour and make gas that burns in the last month.
fn burning(ran: &Ran) -> f64 {
    let lives = ran.band_mean(|world| {
        let last = &world.days[world.days.len() - 30..];
        let gas = last.iter().map(|d| d.gas_dry_l).sum::<f64>() / 30.0;
        let methane = last.iter().map(|d| d.methane_l).sum::<f64>() / 30.0;
        let sour = last.iter().any(|d| d.ph < 6.2);
        f64::from(u8::from(
            !sour && gas >= LEAST_GAS_L && methane >= 0.5 * gas,
        ))
    });
    lives.min(healthy(ran))
}

/// Less gas than this a day does nothing for anybody: a tenth of an hour of a stove
/// (judgement, as for the first flame).
const LEAST_GAS_L: f64 = 15.0;

/// A fed vessel at one temperature.
fn fed(t_c: f64, vessel: &str, fill: &str, waste: &str, feeding: &str) -> String {
    format!(
        r#"
[plan]
name = "Everyday"
about = "Invented: common practice."
start = 2030-01-01
length = "240 days"
[place]
name = "an invented yard"
latitude = "10 °N"
[slurry]
temperature = "{t_c} °C"
[vessel]
{vessel}
stands = "shed"
run = "overflow"
[feeding]
{feeding}
{fill}
{waste}
"#
    )
}

const DRUM: &str = "kind = \"drum\"\nvolume = \"230 L\"\nslurry = \"200 L\"";
const TOTE: &str = "kind = \"tote\"\nvolume = \"1000 L\"\nslurry = \"800 L\"";

/// Those that work: id, words and text.
pub fn works() -> Vec<(&'static str, &'static str, String)> {
    let unseeded = |dung: &str, t_c: f64| batch(&[(dung, 80.0)], 80.0, None, t_c, 90, 200.0);
    let seeded = |dung: &str, t_c: f64| {
        batch(
            &[(dung, 80.0)],
            80.0,
            Some(("old slurry", 16.0, 20.0)),
            t_c,
            90,
            200.0,
        )
    };
    vec![
        (
            "every_cow_25",
            "cattle dung and water one to one, no seed, 25 degC",
            unseeded("cow_dung", 25.0),
        ),
        (
            "every_cow_30",
            "cattle dung and water one to one, no seed, 30 degC",
            unseeded("cow_dung", 30.0),
        ),
        (
            "every_goat",
            "goat dung and water one to one, a tenth of old slurry, 28 degC",
            seeded("goat_manure", 28.0),
        ),
        (
            "every_pig",
            "pig dung and water one to one, a tenth of old slurry, 28 degC",
            seeded("pig_dung", 28.0),
        ),
        (
            "every_kitchen",
            "a school kitchen in the tropics at 0.75 kg VS/(m3 d) after a start on cattle dung",
            fed(
                29.0,
                TOTE,
                "[[first_fill.feed]]\nfeedstock = \"cow_dung\"\namount = \"300 kg\"",
                "[[waste]]\nfeedstock = \"kitchen_waste_mixed\"\namount = \"2.5 kg/day\"",
                "every = \"1 day\"\nfrom = \"30 days\"\nramp = \"30 days\"\nwater = \"1 kg/kg\"",
            ),
        ),
        (
            "every_two_pigs",
            "two pigs' slurry in 800 L at 18 degC and 60 days",
            fed(
                18.0,
                TOTE,
                "[[first_fill.feed]]\nfeedstock = \"pig_slurry\"\namount = \"400 kg\"\n[seed]\nkind = \"old slurry\"\nvolume = \"80 L\"\ngrown_at = \"15 °C\"",
                "[[waste]]\nfeedstock = \"pig_slurry\"\namount = \"9 kg/day\"",
                "every = \"1 day\"\nfrom = \"30 days\"\nramp = \"30 days\"\nwater = \"0.5 kg/kg\"",
            ),
        ),
        (
            "every_drum",
            "a 200 L drum at 22 degC fed a fortieth of its volume of cattle dung and water a day",
            fed(
                22.0,
                DRUM,
                "[[first_fill.feed]]\nfeedstock = \"cow_dung\"\namount = \"80 kg\"",
                "[[waste]]\nfeedstock = \"cow_dung\"\namount = \"2.5 kg/day\"",
                "every = \"1 day\"\nfrom = \"21 days\"\nramp = \"14 days\"\nwater = \"1 kg/kg\"",
            ),
        ),
    ]
}

fn fails() -> Vec<(&'static str, &'static str, String)> {
    let raw = |feedstock: &str, kg: f64, water: f64| {
        batch(&[(feedstock, kg)], water, None, 25.0, 90, 200.0)
    };
    vec![
        (
            "every_grass",
            "grass and water alone, no seed, 25 degC",
            raw("grass_clippings", 60.0, 100.0),
        ),
        (
            "every_scraps",
            "kitchen waste and water alone, no seed, 25 degC",
            raw("kitchen_waste_mixed", 40.0, 120.0),
        ),
        (
            "every_hens",
            "hen droppings alone, as they fall, 25 degC",
            raw("chicken_layer_droppings", 150.0, 10.0),
        ),
        (
            "every_cold",
            "a drum at 6 degC fed on as in summer",
            fed(
                6.0,
                DRUM,
                "[[first_fill.feed]]\nfeedstock = \"cow_dung\"\namount = \"80 kg\"\n[seed]\nkind = \"old slurry\"\nvolume = \"20 L\"\ngrown_at = \"15 °C\"",
                "[[waste]]\nfeedstock = \"cow_dung\"\namount = \"2.5 kg/day\"",
                "every = \"1 day\"\nfrom = \"0 days\"\nramp = \"0 days\"\nwater = \"1 kg/kg\"",
            ),
        ),
    ]
}
