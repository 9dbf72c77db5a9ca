//! Every rule with a case that sets it off and one that does not.

mod gas_side;
mod page;

use super::*;
use fenlamp_model::forecast::ensemble::summarise;
use fenlamp_model::plan::{
    Additive, AdditiveKind, DoseTime, NoFiles, SlurryTemperature, VesselMode, read,
};
use fenlamp_model::world::DayRow;
use fenlamp_model::world::Matter;
use fenlamp_model::world::Warm;
use fenlamp_model::world::calendar::month_ranges;
use fenlamp_model::world::draw::latin_hypercube;
use uom::si::f64::{Mass, Ratio, ThermodynamicTemperature, Volume};
use uom::si::mass::kilogram;
use uom::si::ratio::{percent, ratio};
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::liter;

/// A plan with nothing to remark: an invented warm place, cow dung and straw.
const CALM: &str = r#"
[plan]
name = "Test yard"
start = 2026-01-01
length = "300 days"
[place]
name = "invented"
latitude = "10 °N"
altitude = "0 m"
[weather]
high = "31 31 31 31 31 31 31 31 31 31 31 31 °C"
low = "25 25 25 25 25 25 25 25 25 25 25 25 °C"
sun = "5 5 5 5 5 5 5 5 5 5 5 5 kWh/m2/day"
wind = "2 2 2 2 2 2 2 2 2 2 2 2 m/s"
[vessel]
kind = "tote"
volume = "1000 L"
slurry = "850 L"
[[waste]]
feedstock = "cow_dung"
amount = "4 kg/day"
[[waste]]
feedstock = "wheat_straw"
amount = "100 g/day"
[feeding]
water = "to 7 % solids"
[[first_fill.feed]]
feedstock = "cow_dung"
amount = "60 kg"
[seed]
kind = "digestate"
volume = "150 L"
grown_at = "28 °C"
"#;

struct Bench {
    plan: Plan,
    rows: Vec<Vec<DayRow>>,
    warmth: Option<Warm>,
}

fn calm_day() -> DayRow {
    DayRow {
        slurry_c: 28.0,
        fed_kg: 10.0,
        loading_kg_vs_m3_d: 0.7,
        slurry_l: 850.0,
        gas_dry_l: 200.0,
        gas_wet_l: 230.0,
        methane_l: 120.0,
        methane_share: 0.6,
        co2_share: 0.39,
        h2s_ppm: 60.0,
        ph: 7.3,
        ammonium_mg_n_l: 800.0,
        free_ammonia_mg_n_l: 15.0,
        ..DayRow::default()
    }
}

/// The calm plan with ten calm worlds; `change` spoils what it wants.
fn bench(change: impl Fn(&mut Bench)) -> Vec<Finding> {
    let plan = read(CALM, "calm.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
    let rows = vec![vec![calm_day(); plan.days as usize]; 10];
    let mut bench = Bench {
        plan,
        rows,
        warmth: None,
    };
    change(&mut bench);
    let runs: Vec<WorldRun> = bench
        .rows
        .into_iter()
        .map(|days| WorldRun {
            ran_out: ran_out(&bench.plan, &days),
            days,
            warmth: bench.warmth,
            ..WorldRun::default()
        })
        .collect();
    let draws = latin_hypercube(&bench.plan, runs.len(), 1);
    let forecast = summarise(&bench.plan, &draws, &runs);
    let found = findings(&bench.plan, &forecast, &runs);
    found.iter().for_each(keeps_to_its_row);
    found
}

/// What runs out by the month, 2 g of nitrogen in a litre.
fn ran_out(plan: &Plan, days: &[DayRow]) -> Vec<Matter> {
    let dates: Vec<_> = (0..plan.days)
        .map(|d| plan.start.saturating_add(jiff::ToSpan::days(i64::from(d))))
        .collect();
    let month = |range: std::ops::Range<usize>| {
        let litres = days[range].iter().map(|d| d.ran_out_l).sum();
        Matter {
            litres,
            nitrogen_kg: 0.002 * litres,
            ..Matter::default()
        }
    };
    month_ranges(&dates).into_iter().map(month).collect()
}

/// A finding is no graver than its row in the list, cites only what the row
/// cites, and has numbers that JSON can hold.
fn keeps_to_its_row(f: &Finding) {
    assert!(f.evidence.iter().all(|e| e.value.is_finite()), "{f:?}");
    let Some(rule) = RULES.iter().find(|r| r.id == f.id) else {
        assert!(f.always, "{}", f.id);
        return;
    };
    assert!(
        f.severity >= rule.severity,
        "{} is graver than its row",
        f.id
    );
    let listed = doc::keys(rule);
    // Rules about feedstocks cite the feedstocks' own rows.
    if !listed.is_empty() {
        for s in &f.sources {
            assert!(
                listed.contains(&s.key),
                "{}: {} is not in its row",
                f.id,
                s.key
            );
        }
    }
}

/// The same change to every day of every world.
fn each_day(b: &mut Bench, change: impl Fn(usize, &mut DayRow)) {
    for world in &mut b.rows {
        world
            .iter_mut()
            .enumerate()
            .for_each(|(day, row)| change(day, row));
    }
}

fn get<'a>(found: &'a [Finding], id: &str) -> Option<&'a Finding> {
    found.iter().find(|f| f.id == id)
}

/// Asserts that `change` sets off `id`, and returns the finding.
fn fires(id: &str, change: impl Fn(&mut Bench)) -> Finding {
    let found = bench(change);
    let ids: Vec<&str> = found.iter().map(|f| f.id).collect();
    get(&found, id)
        .cloned()
        .unwrap_or_else(|| panic!("{id} is not among {ids:?}"))
}

fn silent(id: &str, change: impl Fn(&mut Bench)) {
    if let Some(f) = get(&bench(change), id) {
        panic!("{id}: {}", f.words);
    }
}

/// The value of one number behind a finding.
fn value(f: &Finding, name: &str) -> f64 {
    f.evidence
        .iter()
        .find(|e| e.name == name)
        .unwrap_or_else(|| panic!("{name}"))
        .value
}

#[test]
fn a_calm_plan_gets_its_air_warning_and_the_standing_cautions_only() {
    let found = bench(|_| {});
    let ids: Vec<&str> = found.iter().filter(|f| !f.always).map(|f| f.id).collect();
    // Air stands in every headspace at first.
    assert_eq!(ids, ["headspace-air", "purge-volume", "gas-side-not-told"]);
    let always: Vec<&str> = found.iter().filter(|f| f.always).map(|f| f.id).collect();
    assert_eq!(always.len(), standing::CAUTIONS.len());
    assert!(always.contains(&"always-first-gas") && always.contains(&"always-codes"));
}

#[test]
fn every_source_key_leads_to_a_citation_and_every_id_is_its_own() {
    let mut ids: Vec<&str> = RULES.iter().map(|r| r.id).collect();
    ids.extend(standing::CAUTIONS.iter().map(|c| c.id));
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
    for caution in standing::CAUTIONS {
        for key in caution.found().source_keys {
            assert!(source(&key).is_some(), "{}: {key}", caution.id);
        }
    }
    // Every key written in the rules, found in their text.
    let texts = [
        include_str!("chemistry.rs"),
        include_str!("feed.rs"),
        include_str!("headspace.rs"),
        include_str!("hygiene.rs"),
        include_str!("recipe.rs"),
        include_str!("warmth.rs"),
        include_str!("fumes.rs"),
        include_str!("heap.rs"),
        include_str!("leak.rs"),
        include_str!("line.rs"),
        include_str!("vessel.rs"),
        include_str!("wash.rs"),
    ];
    let mut seen = 0;
    for word in texts.iter().flat_map(|t| t.split('"')) {
        let looks = word.len() > 4
            && word
                .chars()
                .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-' || c == 'Q')
            && word.chars().any(|c| c.is_ascii_uppercase());
        if looks {
            assert!(source(word).is_some(), "{word}");
            seen += 1;
        }
    }
    assert!(seen > 15, "{seen}");
}

#[test]
fn the_gravest_comes_first() {
    let found = bench(|b| each_day(b, |_, d| (d.slurry_c, d.ph) = (3.0, 5.0)));
    let severities: Vec<Severity> = found
        .iter()
        .filter(|f| !f.always)
        .map(|f| f.severity)
        .collect();
    assert!(severities.is_sorted(), "{severities:?}");
}

#[test]
fn souring_counts_worlds() {
    let sour = |b: &mut Bench, worlds: usize| {
        for world in b.rows.iter_mut().take(worlds) {
            world[50..80].iter_mut().for_each(|d| d.ph = 5.0);
        }
    };
    let f = fires("souring", |b| sour(b, 7));
    assert_eq!(
        (f.severity, value(&f, "share_of_worlds")),
        (Severity::Stop, 0.7)
    );
    assert!(
        f.words.contains("7 of 10 worlds") && f.words.contains("5.0"),
        "{}",
        f.words
    );
    assert_eq!(fires("souring", |b| sour(b, 2)).severity, Severity::Care);
    silent("souring", |_| {});
}

#[test]
fn a_headspace_with_methane_and_air_can_explode() {
    let f = fires("headspace-flammable", |b| {
        each_day(b, |day, d| {
            (d.headspace_oxygen, d.headspace_methane) = match day {
                0 => (0.15, 0.08),
                1 => (0.13, 0.10),
                _ => (0.0, 0.60),
            };
        });
    });
    assert_eq!(f.severity, Severity::Stop);
    // The third day starts with more oxygen than the limit.
    assert_eq!(value(&f, "days_flammable_p50"), 3.0);
    assert!(f.words.contains("1 January to 3 January"), "{}", f.words);
    assert!((value(&f, "limit_methane_share") - 0.044).abs() < 1e-9);
    silent("headspace-flammable", |b| {
        each_day(b, |_, d| d.headspace_methane = 0.02)
    });
}

#[test]
fn air_is_counted_out_by_the_gas_made() {
    // 230 L of gas through 150 L of space in a day is over one and a half volumes,
    // which leaves about 5 % (exp(-1.43) of air); the day of the fill counts nothing.
    let f = fires("headspace-air", |_| {});
    assert_eq!(value(&f, "days_until_below_p50"), 2.0);
    let slow = fires("headspace-air", |b| each_day(b, |_, d| d.gas_wet_l = 1.0));
    assert!(value(&slow, "days_until_below_p50") > 200.0);
}

#[test]
fn poor_gas_and_air_doses() {
    fires("gas-holds-no-flame", |b| {
        each_day(b, |_, d| d.methane_share = 0.3)
    });
    silent("gas-holds-no-flame", |b| {
        each_day(b, |day, d| {
            d.methane_share = if day < 20 { 0.3 } else { 0.6 }
        });
    });
    let dose =
        |share: f64| move |b: &mut Bench| b.plan.gas_outlet.air_dose = Ratio::new::<percent>(share);
    assert_eq!(fires("air-dose", dose(4.0)).severity, Severity::Care);
    assert_eq!(fires("air-dose", dose(8.0)).severity, Severity::Stop);
    silent("air-dose", dose(0.0));
}

#[test]
fn hydrogen_sulfide_is_told_for_metal_and_for_people() {
    let ppm = |v: f64| move |b: &mut Bench| each_day(b, |_, d| d.h2s_ppm = v);
    let f = fires("h2s", ppm(3000.0));
    assert!(
        f.words.contains("quickly") && f.words.contains("100 ppm"),
        "{}",
        f.words
    );
    let small = fires("h2s", ppm(150.0));
    assert_eq!(small.severity, Severity::Note);
    assert!(!small.words.contains("First choice"), "{}", small.words);
    silent("h2s", ppm(60.0));
}

/// Air comes before iron, and never without its limit.
#[test]
fn against_sulfide_air_is_proposed_first_with_its_limit() {
    let f = fires("h2s", |b: &mut Bench| {
        each_day(b, |_, d| d.h2s_ppm = 1500.0)
    });
    let at = |what: &str| {
        f.words
            .find(what)
            .unwrap_or_else(|| panic!("{what}: {}", f.words))
    };
    assert!(at("air let into the room for gas") < at("iron"));
    let most = fenlamp_model::reference::gas_value("air_dose_hi");
    for words in [
        format!("to {most} % of the gas made, never more"),
        "explode".to_owned(),
        "stops when the gas stops".to_owned(),
        "local codes".to_owned(),
    ] {
        at(&words);
    }
    assert!(f.sources.iter().any(|s| s.key == "RAJAGOPAL24"));
}

#[test]
fn cold_hot_and_frozen_days() {
    let slurry = |from: usize, c: f64| {
        move |b: &mut Bench| {
            each_day(b, |day, d| {
                if day >= from {
                    d.slurry_c = c;
                }
            });
        }
    };
    let f = fires("slurry-cold", slurry(100, 12.0));
    assert_eq!(value(&f, "days_below_p50"), 200.0);
    assert!(
        f.words.contains("15 °C") && f.words.contains("200 days of 300"),
        "{}",
        f.words
    );
    silent("slurry-cold", slurry(0, 15.5));
    assert_eq!(
        fires("slurry-hot", slurry(0, 47.0)).severity,
        Severity::Stop
    );
    silent("slurry-hot", slurry(0, 44.0));
    assert_eq!(
        fires("slurry-frozen", slurry(250, -0.5)).severity,
        Severity::Stop
    );
    silent("slurry-frozen", slurry(250, 1.0));
}

#[test]
fn quick_changes_of_temperature() {
    let swing = |k: f64| {
        move |b: &mut Bench| {
            each_day(b, |day, d| {
                d.slurry_c = 28.0 + k * f64::from(u8::from(day % 2 == 0))
            });
        }
    };
    assert_eq!(
        fires("temperature-change", swing(2.5)).severity,
        Severity::Care
    );
    assert_eq!(
        fires("temperature-change", swing(1.5)).severity,
        Severity::Note
    );
    silent("temperature-change", swing(0.9));
    // A vessel that is held has no such days.
    silent("temperature-change", |b| {
        swing(2.5)(b);
        let t = ThermodynamicTemperature::new::<degree_celsius>(28.0);
        b.plan.slurry_temperature = SlurryTemperature::Fixed(t);
    });
}

#[test]
fn a_hot_heap_is_told_even_while_the_slurry_is_right() {
    let heap = |c: f64| {
        move |b: &mut Bench| {
            let croft = include_str!("../../../../examples/hollin-croft.toml");
            let croft = read(croft, "croft", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
            b.plan.heap = croft.heap;
            b.warmth = Some(Warm {
                frozen_days: 0,
                heap_hottest_c: Some(c),
            });
        }
    };
    fires("heap-overheats", heap(66.0));
    silent("heap-overheats", heap(50.0));
}

#[test]
fn people_and_germs() {
    use fenlamp_model::plan::Siting;
    fires("vessel-indoors", |b| {
        b.plan.vessel.siting = Siting::Greenhouse
    });
    silent("vessel-indoors", |b| b.plan.vessel.siting = Siting::Shed);
    let with = |id: &'static str| {
        move |b: &mut Bench| {
            b.plan.feedstocks[0] = fenlamp_model::reference::feedstock(id)
                .unwrap_or_else(|| panic!("{id}"))
                .clone();
        }
    };
    assert_eq!(
        fires("human-or-pet-waste", with("human_faeces")).severity,
        Severity::Stop
    );
    fires("human-or-pet-waste", with("human_excreta"));
    let sludge = fires("human-or-pet-waste", |b| {
        b.plan.first_fill.seeds[0].kind = fenlamp_model::plan::SeedKind::SewageSludge;
    });
    assert!(
        sludge.words.starts_with("Sewage sludge"),
        "{}",
        sludge.words
    );
    silent("human-or-pet-waste", with("pig_dung"));
    fires("pig-manure", with("pig_slurry_sow"));
    silent("human-or-pet-waste", with("buffalo_dung"));
    fires("pig-manure", with("pig_dung"));
    silent("pig-manure", with("cow_slurry"));
}

#[test]
fn additives_that_burn_or_poison() {
    let with = |kind: AdditiveKind| {
        move |b: &mut Bench| {
            b.plan.additives.push(Additive {
                kind,
                dose: Mass::new::<kilogram>(1.0),
                when: DoseTime::AtFill,
            });
        }
    };
    fires("caustic-additive", with(AdditiveKind::SlakedLime));
    silent("caustic-additive", with(AdditiveKind::Bicarbonate));
    fires("sulfate-additive", with(AdditiveKind::Gypsum));
    silent("sulfate-additive", with(AdditiveKind::IronChloride));
}

#[test]
fn loading_goes_by_the_slurry_temperature() {
    // At 28 degC 0.7 kg VS/(m3 d) is safe (1.5); at 12 degC it is too much (0.5).
    let f = fires("loading", |b| each_day(b, |_, d| d.slurry_c = 12.0));
    assert_eq!(f.severity, Severity::Care);
    assert_eq!(value(&f, "worst_safe_loading_kg_vs_m3_d"), 0.2);
    assert_eq!(
        fires("loading", |b| each_day(b, |_, d| d.loading_kg_vs_m3_d =
            2.0))
        .severity,
        Severity::Note
    );
    // Colder and hotter than the table still has a row.
    fires("loading", |b| each_day(b, |_, d| d.slurry_c = 2.0));
    silent("loading", |b| {
        each_day(b, |_, d| (d.slurry_c, d.loading_kg_vs_m3_d) = (50.0, 2.0))
    });
}

#[test]
fn retention_and_slugs() {
    let fed = |kg: f64| move |b: &mut Bench| each_day(b, |_, d| d.fed_kg = kg);
    let f = fires("retention-time", fed(50.0));
    assert!((value(&f, "shortest_retention_days") - 17.0).abs() < 1e-9);
    assert_eq!(value(&f, "needed_retention_days"), 30.0);
    silent("retention-time", fed(20.0));
    silent("retention-time", |b| {
        fed(50.0)(b);
        b.plan.vessel.mode = VesselMode::TopUp;
    });
    fires("feed-slug", fed(30.0));
    silent("feed-slug", fed(20.0));
    fires("feed-refused", |b| {
        each_day(b, |day, d| d.refused_kg = f64::from(day > 200) * 5.0)
    });
    silent("feed-refused", |_| {});
}

#[test]
fn the_mix_is_judged_by_solids_wood_and_carbon() {
    use fenlamp_model::plan::Dilution;
    let water = |dilution: Dilution| move |b: &mut Bench| b.plan.feeding.water = dilution;
    assert_eq!(
        fires("feed-solids", water(Dilution::None)).severity,
        Severity::Care
    );
    assert_eq!(
        fires("feed-solids", water(Dilution::PerFeed(6.0))).severity,
        Severity::Note
    );
    silent("feed-solids", |_| {});
    let second = |id: &'static str| {
        move |b: &mut Bench| {
            b.plan.feedstocks[1] = fenlamp_model::reference::feedstock(id)
                .unwrap_or_else(|| panic!("{id}"))
                .clone();
        }
    };
    fires("wood-in-the-digester", second("sawdust"));
    silent("wood-in-the-digester", second("rice_straw"));
    // Droppings alone are rich in nitrogen; that is a note while the ammonia is low.
    let rich = |b: &mut Bench| {
        b.plan.feedstocks[0] = fenlamp_model::reference::feedstock("chicken_layer_droppings")
            .unwrap_or_else(|| panic!("droppings"))
            .clone();
        b.plan.waste.truncate(1);
    };
    let f = fires("carbon-to-nitrogen", rich);
    assert_eq!(f.severity, Severity::Note);
    assert!(
        f.words.contains("by nature") && f.words.contains("800 mg"),
        "{}",
        f.words
    );
    let f = fires("carbon-to-nitrogen", |b| {
        rich(b);
        each_day(b, |_, d| d.ammonium_mg_n_l = 5000.0);
    });
    assert_eq!(f.severity, Severity::Care);
    silent("carbon-to-nitrogen", |_| {});
}

#[test]
fn seed_that_is_missing_or_small() {
    assert_eq!(
        fires("seed", |b| b.plan.first_fill.seeds.clear()).severity,
        Severity::Care
    );
    let litres = |l: f64| {
        move |b: &mut Bench| {
            for seed in &mut b.plan.first_fill.seeds {
                seed.volume = Volume::new::<liter>(l);
            }
        }
    };
    assert_eq!(fires("seed", litres(40.0)).severity, Severity::Note);
    silent("seed", litres(90.0));
}

#[test]
fn ammonia_in_its_two_forms() {
    let total = |mg: f64| move |b: &mut Bench| each_day(b, |_, d| d.ammonium_mg_n_l = mg);
    assert_eq!(
        fires("ammonia-total", total(2000.0)).severity,
        Severity::Note
    );
    assert_eq!(
        fires("ammonia-total", total(3500.0)).severity,
        Severity::Care
    );
    silent("ammonia-total", total(1400.0));
    let free = |mg: f64| move |b: &mut Bench| each_day(b, |_, d| d.free_ammonia_mg_n_l = mg);
    assert_eq!(fires("ammonia-free", free(200.0)).severity, Severity::Care);
    silent("ammonia-free", free(40.0));
}

#[test]
fn figures_that_cannot_be_or_are_not_known() {
    fires("methane-potential-capped", |b| {
        b.plan.feedstocks[0].bmp.mid = 0.9
    });
    silent("methane-potential-capped", |_| {});
    fires("weak-figures", |b| b.plan.feedstocks[0].bmp.high = 0.9);
    fires("weak-figures", |b| {
        for o in &mut b.plan.feedstocks[0].origins {
            o.how = fenlamp_model::feed::How::Judgement;
        }
    });
    silent("weak-figures", |_| {});
}

#[test]
fn filler_leaves_less_room_for_the_air() {
    let f = fires("headspace-air", |b| {
        b.plan.vessel.filler = Ratio::new::<ratio>(0.1);
        each_day(b, |_, d| d.gas_wet_l = 10.0);
    });
    // 915 L less 850 L of slurry: 65 L of room, 1.43 volumes on the tenth day of gas.
    assert_eq!(value(&f, "days_until_below_p50"), 11.0);
}

#[test]
fn us_plans_are_told_in_us_units() {
    let found = bench(|b| {
        b.plan.units = fenlamp_model::plan::UnitSystem::Us;
        each_day(b, |_, d| d.slurry_c = 10.0);
    });
    for f in found.iter().filter(|f| !f.always) {
        assert!(
            !f.words.contains("°C") && !f.words.contains("per m3"),
            "{}",
            f.words
        );
    }
    assert!(get(&found, "slurry-cold").is_some_and(|f| f.words.contains("59 °F")));
}
