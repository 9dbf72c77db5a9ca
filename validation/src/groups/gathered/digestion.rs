//! Stores and vessels.

use fenlamp_adm1::biology::RateFactors;
use fenlamp_model::band::Quantiles;
use fenlamp_model::reference::feedstock;
use fenlamp_model::world::DayRow;
use fenlamp_model::world::seed::guild_shares;

use super::gathered;
use crate::Check;
use crate::bench::{
    Fed, MANY_DRAWS, Ran, SLURRY_VS_KG, as_metered, batch, draws, measured_slurry, run,
    strong_slurry,
};
use crate::groups::BIOLOGY;

pub(super) fn checks() -> Vec<Check> {
    let mut out = unseeded();
    out.extend(farm_slurry());
    out.extend(cold());
    out.extend(warm());
    out.extend(ammonia());
    out
}

/// Fresh slurry of two temperatures that no constant was fitted on.
fn unseeded() -> Vec<Check> {
    let mut out = Vec::new();
    for t_c in [10.0, 20.0] {
        let ran = run(&measured_slurry(t_c, 86));
        let inputs = "the slurry of DALBY23 as its constituents were measured";
        for day in [29usize, 57, 85] {
            let made = ran.band(|world| {
                world.days[..day].iter().map(|d| d.methane_l).sum::<f64>() / SLURRY_VS_KG
            });
            out.push(gathered(&format!("start-dalby-{t_c}-{day}"), made, inputs));
        }
        let on = |day: usize, of: fn(&DayRow) -> f64| ran.band(|world| of(&world.days[day]));
        if t_c < 15.0 {
            out.push(gathered("start-dalby-10-ph20", on(20, |d| d.ph), inputs));
            out.push(gathered("start-dalby-10-ph85", on(85, |d| d.ph), inputs));
            let acids = on(14, |d| d.acids_mg_l / 1000.0);
            out.push(gathered("start-dalby-10-vfa14", acids, inputs));
        } else {
            out.push(gathered("start-dalby-20-phmin", on(7, |d| d.ph), inputs));
            let acids = on(7, |d| d.acids_mg_l / 1000.0);
            out.push(gathered("start-dalby-20-vfa7", acids, inputs));
        }
    }
    out
}

/// Slurry from the farm, with what it carries.
fn farm_slurry() -> Vec<Check> {
    let row = feedstock("pig_slurry").expect("a row of feedstocks.csv");
    let per = 100.0 * row.total_solids.mid * row.volatile_of_ts * 1000.0 * row.bmp.mid / 100.0;
    [20.0, 25.0]
        .map(|t_c| {
            let ran = run(&batch(&[("pig_slurry", 100.0)], 0.0, None, t_c, 90, 115.0));
            gathered(
                &format!("start-hilgert-{t_c}"),
                ran.total(per, |d| d.methane_l),
                "pig slurry of the tables, its middle potential",
            )
        })
        .into()
}

/// Degrees at which the covered store in Quebec lay through its years (memory: 8 to 20).
const STORE_C: f64 = 12.0;

fn cold() -> Vec<Check> {
    let at = |t_c: f64| {
        let mut each: Vec<f64> = draws(&measured_slurry(STORE_C, 30), MANY_DRAWS)
            .iter()
            .map(|draw| {
                let thermal = draw.inferred.thermal();
                let shares = guild_shares(&thermal, STORE_C);
                let rate = |t_c: f64| -> f64 {
                    let guild = RateFactors::at(&thermal, t_c + 273.15).guild;
                    shares.iter().zip(guild).map(|(s, g)| s * g).sum()
                };
                rate(t_c) / rate(35.0)
            })
            .collect();
        Quantiles::of(&mut each)
    };
    let tube = Fed {
        every_d: 1,
        feedstock: "cow_dung",
        t_c: 16.0,
        retention_d: 100.0,
        solids: 0.26 * 0.1 / 0.8,
    };
    vec![
        gathered("cold-king-18", at(18.0), "a culture grown at 12 degC"),
        gathered("cold-king-8", at(8.0), "a culture grown at 12 degC"),
        gathered(
            "cold-mart14",
            tube.run()
                .measured(tube.volatile_kg_d() / as_metered(20.0), |d| d.gas_dry_l),
            "100 d of stay and a mixed vessel are ours",
        ),
    ]
}

fn fed(feedstock: &'static str, t_c: f64, retention_d: f64, solids: f64) -> Fed {
    Fed {
        every_d: 1,
        feedstock,
        t_c,
        retention_d,
        solids,
    }
}

/// Feed solids for a load of volatile solids, kg/(m3 d).
fn solids_for(feedstock_id: &str, load: f64, retention_d: f64) -> f64 {
    let row = feedstock(feedstock_id).expect("a row of feedstocks.csv");
    load * retention_d / 1000.0 / row.volatile_of_ts
}

fn warm() -> Vec<Check> {
    let arikan = |t_c: f64| {
        let solids = solids_for("cow_slurry", 2.0, 17.0);
        fed("cow_slurry", t_c, 17.0, solids).run()
    };
    let at_35 = arikan(35.0);
    let mean = |days: &[DayRow]| {
        days[days.len() - 42..]
            .iter()
            .map(|d| d.methane_l)
            .sum::<f64>()
    };
    let ratio = |ran: &Ran| ran.ratio(&at_35, |world| mean(&world.days));
    let of_volume = |feedstock: &'static str, t_c, retention_d, load: f64| {
        let solids = solids_for(feedstock, load, retention_d);
        fed(feedstock, t_c, retention_d, solids).run()
    };
    let metered = |ran: &Ran| ran.measured(1000.0 / as_metered(20.0), |d| d.gas_dry_l);
    let share = |ran: &Ran| ran.measured(1.0, |d| 100.0 * d.methane_share);
    let hens = fed("chicken_layer_droppings", 36.0, 25.0, 0.052).run();
    let bedded = fed("cattle_manure_straw", 37.0, 40.0, 0.22);
    let scraps = fed("kitchen_waste_mixed", 37.0, 46.0, 0.24);
    let pigs = fed("pig_slurry", 27.0, 40.0, 0.05).run();
    vec![
        gathered(
            "warm-arikan-22",
            ratio(&arikan(22.0)),
            "2 kg VS/(m3 d) between the two loads",
        ),
        gathered(
            "warm-arikan-28",
            ratio(&arikan(28.0)),
            "2 kg VS/(m3 d) between the two loads",
        ),
        gathered(
            "warm-rico-20",
            metered(&of_volume("cow_slurry", 37.0, 20.0, 2.0)),
            "cattle slurry for its screened liquid",
        ),
        gathered(
            "warm-rico-10",
            metered(&of_volume("cow_slurry", 37.0, 10.0, 4.5)),
            "cattle slurry for its screened liquid",
        ),
        gathered(
            "warm-patin",
            bedded
                .run()
                .measured(bedded.volatile_kg_d(), |d| d.methane_l),
            "as published",
        ),
        gathered(
            "warm-banks",
            scraps
                .run()
                .measured(scraps.volatile_kg_d() / as_metered(0.0), |d| d.gas_dry_l),
            "46 d of stay; our model has no want of trace elements, which these had not",
        ),
        gathered(
            "warm-glivin",
            share(&fed("kitchen_waste_mixed", 28.0, 40.0, 0.05).run()),
            "40 d of stay, 5 % solids",
        ),
        gathered("warm-roubik", share(&pigs), "40 d of stay, 5 % solids"),
        gathered(
            "warm-bothi",
            share(&fed("cow_slurry", 38.0, 25.0, 0.08).run()),
            "25 d of stay, 8 % solids",
        ),
        gathered("warm-pei-share", share(&hens), "25 d of stay"),
        gathered("warm-pei-rate", metered(&hens), "25 d of stay"),
        gathered(
            "sulfide-su",
            pigs.measured(1.0, |d| d.h2s_ppm),
            "27 degC, 40 d of stay, 5 % solids",
        ),
    ]
}

fn ammonia() -> Vec<Check> {
    let inputs = "pig slurry of 6 % solids, 11.3 % nitrogen, 300 L CH4/kg VS";
    let mut out: Vec<Check> = [
        ("ammonia-hansen-37", 37.0, 15.0),
        ("ammonia-hansen-45", 45.0, 15.0),
        ("ammonia-hansen-55", 55.0, 15.0),
        ("ammonia-hans99-30", 55.0, 30.0),
    ]
    .map(|(id, t_c, retention_d)| {
        let (text, per) = strong_slurry(t_c, retention_d);
        let check = gathered(id, run(&text).measured(per, |d| d.methane_l), inputs);
        if id.contains("hansen") {
            check.fitted(BIOLOGY)
        } else {
            check
        }
    })
    .into();
    let acids = run(&strong_slurry(55.0, 15.0).0).measured(1.0, |d| d.acids_mg_l / 1000.0);
    out.push(gathered("ammonia-hans99-acids", acids, inputs));
    out
}
