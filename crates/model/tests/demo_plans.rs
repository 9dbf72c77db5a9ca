//! The demo plans in `examples/` are read without fault, and as they are meant.

use fenlamp_model::gas::store::Shape as StoreShape;
use fenlamp_model::plan::{
    Dilution, NoFiles, Plan, SeedKind, Shape, SlurryTemperature, UnitSystem, VesselMode, read,
};
use fenlamp_model::weather::Weather;

const DEMOS: [(&str, &str); 4] = [
    (
        "hollin-croft.toml",
        include_str!("../../../examples/hollin-croft.toml"),
    ),
    (
        "mango-yard-school.toml",
        include_str!("../../../examples/mango-yard-school.toml"),
    ),
    (
        "high-larch-farm.toml",
        include_str!("../../../examples/high-larch-farm.toml"),
    ),
    (
        "laboratory-batch.toml",
        include_str!("../../../examples/laboratory-batch.toml"),
    ),
];

fn demo(name: &str) -> Plan {
    let (name, text) = DEMOS
        .iter()
        .find(|d| d.0 == name)
        .expect("a demo of this name");
    read(text, name, &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn every_demo_is_read_and_says_it_is_invented() {
    for (name, text) in DEMOS {
        let plan = demo(name);
        assert!(
            plan.about.contains("nvented") && text.contains("invented"),
            "{name}"
        );
    }
}

#[test]
fn hollin_croft_is_read_as_written() {
    let p = demo("hollin-croft.toml");
    assert_eq!(p.days, 730);
    assert_eq!(p.vessel.mode, VesselMode::Overflow);
    assert!((p.vessel.liquid.value - 0.85).abs() < 1e-9);
    // Six goats, 2.05 kg a day each (D384.1 row of animals.csv), a quarter of it gathered.
    let kg_day = p.waste[0].fresh[4].value * 86_400.0;
    assert!((kg_day - 6.0 * 2.05 * 0.25).abs() < 1e-6, "{kg_day}");
    // A bucket of 10 L a week, by the bulk density of the row, from May to October.
    let grass = &p.waste[1];
    let density = p.feedstocks[grass.feedstock].bulk_density_kg_m3;
    assert_eq!(grass.fresh[3].value, 0.0);
    assert!((grass.fresh[4].value * 604_800.0 - 0.01 * density).abs() < 1e-9);
    assert!(grass.fresh[9].value > 0.0 && grass.fresh[10].value == 0.0);
    assert!(matches!(p.feeding.water, Dilution::ToSolids(r) if (r.value - 0.08).abs() < 1e-12));
    let heap = p.heap.unwrap();
    assert_eq!(heap.parts.len(), 2);
    assert!(heap.cover_r_m2k_w > 0.5);
    let Weather::Normals(w) = p.weather else {
        panic!("normals")
    };
    assert!((w.high_c[6] - 18.0).abs() < 1e-9 && (w.sun_kwh_m2_day[5] - 4.9).abs() < 1e-9);
}

#[test]
fn us_units_and_buckets_are_us() {
    let p = demo("high-larch-farm.toml");
    assert_eq!(p.units, UnitSystem::Us);
    // 3 buckets of 5 US gallons (NIST SP 811).
    assert!((p.first_fill.seeds[0].volume.value - 15.0 * 3.785_411_784e-3).abs() < 1e-7);
    assert!((p.place.altitude.value - 1650.0 * 0.3048).abs() < 1e-9);
    let Shape::StandingCylinder { diameter, height } = p.vessel.shape else {
        panic!("a drum stands")
    };
    let inside = std::f64::consts::PI / 4.0 * diameter.value.powi(2) * height.value;
    assert!((inside - p.vessel.volume.value).abs() < 1e-9);
}

#[test]
fn laboratory_plan_needs_no_weather() {
    let p = demo("laboratory-batch.toml");
    assert!(
        matches!(p.slurry_temperature, SlurryTemperature::Fixed(t) if (t.value - 308.15).abs() < 1e-9)
    );
    assert_eq!(p.vessel.mode, VesselMode::Batch);
    assert_eq!(p.first_fill.seeds[0].kind, SeedKind::Digestate);
    let hay = &p.feedstocks[p.first_fill.feed[0].0];
    assert_eq!(hay.id, "meadow_hay");
    assert_eq!((hay.bmp.low, hay.bmp.mid, hay.bmp.high), (0.25, 0.28, 0.31));
    assert!((hay.volatile_of_ts - 0.92).abs() < 1e-12);
    assert!(
        hay.origins
            .iter()
            .any(|o| o.field == "bmp" && o.how == fenlamp_model::feed::How::Own)
    );
}

#[test]
fn warm_school_keeps_its_holidays() {
    let p = demo("mango-yard-school.toml");
    assert_eq!(p.vessel.stages, 3);
    let kitchen = p.waste[1].fresh.map(|f| f.value * 604_800.0);
    assert!((kitchen[3] - 20.0).abs() < 1e-9 && (kitchen[4] - 70.0).abs() < 1e-9);
}

#[test]
fn each_demo_has_the_gas_side_it_speaks_of() {
    let sides = [
        "hollin-croft.toml",
        "mango-yard-school.toml",
        "high-larch-farm.toml",
    ]
    .map(|name| demo(name).gas_side);
    let forms = sides
        .each_ref()
        .map(|s| s.store.as_ref().expect("a store").shape);
    assert!(matches!(forms[0], StoreShape::Drum { .. }));
    assert!(matches!(forms[1], StoreShape::Bag { .. }));
    assert!(matches!(forms[2], StoreShape::Tubes { count, .. } if (count - 4.0).abs() < 1e-12));
    for side in &sides {
        assert!(side.relief.is_some() && side.flash_back.is_some() && side.trap.is_some());
        assert!(!side.uses.is_empty() && !side.washes.is_empty());
    }
    // Half past six to half past seven, and an hour in the afternoon.
    let kettle = &sides[0].uses[0];
    assert!((kettle.hours[6] - 0.5).abs() < 1e-12 && (kettle.hours[16] - 1.0).abs() < 1e-12);
    assert!((kettle.hours_per_day() - 2.0).abs() < 1e-12);
    assert!(demo("laboratory-batch.toml").gas_side.is_empty());
}
