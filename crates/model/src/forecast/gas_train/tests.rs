use super::*;
use crate::forecast::bands::Forecast;
use crate::forecast::ensemble;
use crate::plan::{NoFiles, read};
use crate::world::pressures::back_pressure;

const DRUM: &str = include_str!("../../../../../examples/high-larch-farm.toml");
const TOTE: &str = include_str!("../../../../../examples/hollin-croft.toml");

fn forecast(text: &str, worlds: u32) -> Forecast {
    let mut plan = read(text, "demo", &NoFiles).expect("the demo is read");
    plan.worlds = worlds;
    ensemble::run(&plan).expect("the demo runs").0
}

fn train(text: &str) -> GasTrain {
    forecast(text, 6)
        .gas_train
        .expect("the demo has a gas side")
}

#[test]
fn the_drum_demo_boils_its_kettle_and_spends_its_lye() {
    let t = train(DRUM);
    // Two pounds of ash a month are a polish: gone sooner, the better the contact.
    let lye = &t.washes[0];
    assert!(lye.spent_share_of_worlds > 0.6, "{lye:?}");
    let gas = lye.gas_per_filling_l.expect("it is spent");
    assert!(gas.p10 > 5.0 && gas.p50 < 1000.0, "{gas:?}");
    assert!(lye.spent_share_of_days.p90 > 0.3, "{lye:?}");
    let kettle = &t.uses[0];
    assert_eq!((kettle.unit, kettle.wanted), ("kettles", 153.0));
    assert!(kettle.covered_share.p90 > 0.5, "{kettle:?}");
    let both = kettle.covered.p50 + kettle.missed.p50;
    assert!((both - kettle.wanted).abs() < 1e-6, "{kettle:?}");
    // Jar of 2 in of water, and planks.
    assert!(t.back_pressure.worked_out);
    assert!((t.back_pressure.jars_pa - 497.3).abs() < 0.1);
    assert!(t.trap.expect("it has a trap").freezing_days_per_year.p50 > 60.0);
}

#[test]
fn months_add_up_to_the_whole() {
    let t = train(TOTE);
    let days: u32 = t.months.iter().map(|m| m.days).sum();
    assert_eq!(days, 730);
    let wanted: f64 = t.months.iter().map(|m| m.uses[0].wanted).sum();
    assert!((wanted - t.uses[0].wanted).abs() < 1e-6);
    // Cold months make nothing worth a kettle.
    let january = t.months.iter().find(|m| m.month == 1).expect("a January");
    assert!(january.uses[0].covered.p90 < 0.9 * january.uses[0].wanted);
    assert!((t.back_pressure.store_pa - 768.6).abs() < 0.1);
    let smallest = t.store.smallest_l.expect("it has uses");
    assert!(smallest.p10 > 1.0 && smallest.p90 < 5000.0, "{smallest:?}");
}

#[test]
fn a_plan_without_a_gas_side_has_no_train_and_keeps_its_back_pressure() {
    let cut = DRUM.find("[[wash]]").expect("a wash");
    let text = format!("{}\n[gas]\nback_pressure = \"3 in wc\"\n", &DRUM[..cut]);
    let plan = read(&text, "demo", &NoFiles).expect("read");
    let found = back_pressure(&plan);
    assert!(
        !found.worked_out && (found.total_pa - 747.3).abs() < 2.0,
        "{found:?}"
    );
    assert_eq!(forecast(&text, 2).gas_train, None);
}
