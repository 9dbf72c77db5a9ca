use super::*;
use crate::weather::Weather;
use fenlamp_quantity::{Quantity, Ratio};
use proptest::prelude::*;

const BASE: &str = r#"
[plan]
name = "Trial yard"
about = "Invented."
start = 2026-04-01

[place]
latitude = "33 S"

[weather]
high = "5 6 8 11 14 17 18 18 15 12 8 6 °C"
low = "0 0 1 3 5 8 10 10 8 5 2 0 °C"
sun = "0.4 1.0 2.1 3.6 4.7 4.9 4.6 3.7 2.5 1.3 0.6 0.3 kWh/m2/day"
wind = "5 5 5 4 4 4 4 4 4 5 5 5 m/s"

[feeding]
water = "1 kg/kg"

[[waste]]
feedstock = "goat manure"
amount = "5 kg/day"

[vessel]
kind = "tote"
volume = "1000 L"
"#;

/// A year of days from the plan's start, 4.5 degC throughout.
fn a_year_of_air() -> Vec<u8> {
    let mut day = jiff::civil::date(2026, 1, 1);
    let mut text = String::from("date,air_c\n");
    for _ in 0..365 {
        text.push_str(&format!("{day},4.5\n"));
        day = day.tomorrow().expect("a near day");
    }
    text.into_bytes()
}

struct Shelf;

impl Files for Shelf {
    fn get(&self, relative: &str) -> Result<Vec<u8>, String> {
        match relative {
            "air.csv" => Ok(a_year_of_air()),
            "probe.csv" => Ok(b"date,temperature_c\n2026-01-01,30\n2026-01-02,31.5\n".to_vec()),
            "picture.csv" => Ok(vec![0xff, 0xd8]),
            _ => Err("no such file".to_owned()),
        }
    }
}

fn good(text: &str) -> Plan {
    read(text, "yard.toml", &Shelf).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

fn bad(text: &str) -> PlanErrors {
    read(text, "yard.toml", &Shelf).expect_err("refused")
}

/// The base plan with one piece replaced.
fn with(from: &str, to: &str) -> String {
    assert!(BASE.contains(from), "{from}");
    BASE.replacen(from, to, 1)
}

#[test]
fn what_is_left_out_gets_its_usual_value() {
    let p = good(BASE);
    assert_eq!((p.days, p.worlds, p.seed), (365, 60, 1));
    assert_eq!(p.units, UnitSystem::Metric);
    assert!((p.place.latitude_deg + 33.0).abs() < 1e-9);
    assert_eq!(p.vessel.mode, VesselMode::Overflow);
    assert!((p.vessel.liquid.value - 0.8).abs() < 1e-12);
    assert_eq!(p.vessel.wall_material, "k_hdpe");
    assert_eq!(p.vessel.siting, Siting::Outdoors);
    assert!(p.heap.is_none() && p.heater.is_none() && p.first_fill.seeds.is_empty());
    assert!(matches!(
        p.slurry_temperature,
        SlurryTemperature::HeatBalance
    ));
    assert_eq!(p.feedstocks[p.waste[0].feedstock].id, "goat_manure");
}

#[test]
fn a_fault_points_at_its_bytes() {
    let text = with("volume = \"1000 L\"", "volume = \"1000 gall0ns\"");
    let e = &bad(&text).errors[0];
    assert_eq!(&text[e.span.clone()], "gall0ns");
    assert_eq!((e.line, e.column), (25, 16));
    assert_eq!(e.key, "vessel.volume");
    assert_eq!(e.given.as_deref(), Some("1000 gall0ns"));
    assert_eq!(e.nearest.as_deref(), Some("gallons"));
    assert!(e.allowed.iter().any(|u| u == "m3"));
    // An escape moves the bytes: then the whole text is pointed at.
    let text = with("volume = \"1000 L\"", "volume = \"1000 g\\u0061ll0ns\"");
    let e = &bad(&text).errors[0];
    assert_eq!(&text[e.span.clone()], "\"1000 g\\u0061ll0ns\"");
}

#[test]
fn shapes_hold_their_volume() {
    for kind in ["drum", "tote", "tank", "sunken tank", "long bag"] {
        for volume in [200.0, 1000.0, 6000.0] {
            let vessel = format!("kind = \"{kind}\"\nvolume = \"{volume} L\"");
            let text =
                with("kind = \"tote\"\nvolume = \"1000 L\"", &vessel).replace("5 kg", "1 kg");
            let p = good(&text);
            let inside = match p.vessel.shape {
                Shape::StandingCylinder {
                    diameter: d,
                    height: l,
                }
                | Shape::LyingCylinder {
                    diameter: d,
                    length: l,
                } => std::f64::consts::FRAC_PI_4 * d.value * d.value * l.value,
                Shape::Box {
                    length,
                    width,
                    height,
                } => length.value * width.value * height.value,
            };
            assert!((inside * 1000.0 / volume - 1.0).abs() < 1e-9, "{kind}");
            assert_eq!(p.vessel.stages, if kind == "long bag" { 3 } else { 1 });
            if kind == "sunken tank" {
                assert!(matches!(p.vessel.siting, Siting::InGround { .. }));
            }
        }
    }
    // One dimension given, the other makes up the volume.
    let p = good(&with(
        "kind = \"tote\"",
        "kind = \"tank\"\ndiameter = \"1 m\"",
    ));
    let Shape::StandingCylinder { height, .. } = p.vessel.shape else {
        panic!("a tank stands")
    };
    assert!((height.value - 4.0 / std::f64::consts::PI).abs() < 1e-9);
}

#[test]
fn ways_of_running() {
    let run = |lines: &str| with("kind = \"tote\"", &format!("kind = \"tote\"\n{lines}"));
    assert_eq!(
        good(&run("run = \"topped up\"")).vessel.mode,
        VesselMode::TopUp
    );
    let p = good(&run(
        "run = \"draw-off\"\ndraw_off_every = \"4 weeks\"\ndraw_off_leaves = \"60 %\"",
    ));
    let VesselMode::DrawOff { every_days, leave } = p.vessel.mode else {
        panic!("drawn off")
    };
    assert_eq!(every_days, 28);
    assert!((leave.value - 0.6).abs() < 1e-12);
    assert_eq!(
        bad(&run("run = \"draw-off\"")).errors[0].key,
        "vessel.draw_off_every"
    );
    assert_eq!(bad(&run("depth = \"1 m\"")).errors[0].key, "vessel.depth");
    assert_eq!(
        bad(&run("stands = \"room\"")).errors[0].key,
        "vessel.room_temperature"
    );
}

#[test]
fn months_by_name() {
    let on = |words: &str| {
        let p = good(&with(
            "amount = \"5 kg/day\"",
            &format!("amount = \"5 kg/day\"\nmonths = \"{words}\""),
        ));
        p.waste[0].fresh.map(|f| u8::from(f.value > 0.0))
    };
    assert_eq!(on("Apr-Oct"), [0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 0, 0]);
    assert_eq!(
        on("November to February"),
        [1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1]
    );
    assert_eq!(on("Jun, Jul, Sept."), [0, 0, 0, 0, 0, 1, 1, 0, 1, 0, 0, 0]);
    assert_eq!(on("all year"), [1; 12]);
}

/// The base plan's waste in steps.
fn in_steps(lines: &str) -> String {
    with("amount = \"5 kg/day\"", lines)
}

#[test]
fn an_amount_rises_in_steps() {
    let kg_day = |p: &Plan, day: u32| {
        let w = &p.waste[0];
        let share = w.step_share(day).expect("in steps");
        w.fresh[5].value * 86_400.0 * share
    };
    let shares = good(&in_steps(
        "amount = \"5 kg/day\"\nsteps = \"half from day 1, all from 2026-05-01\"",
    ));
    let amounts = good(&in_steps(
        "steps = \"2,5 kg/day from day 1; 5 kg/day From day 30\"",
    ));
    for p in [&shares, &amounts] {
        for (day, kg) in [(0, 0.0), (1, 2.5), (29, 2.5), (30, 5.0), (300, 5.0)] {
            assert!((kg_day(p, day) - kg).abs() < 1e-9, "day {day}");
        }
        assert_eq!((p.first_feed_day(), p.full_feed_day()), (1, 30));
    }
    // Above the whole, and down again.
    let p = good(&in_steps(
        "amount = \"5 kg/day\"\nsteps = \"120 % from day 3, none from day 90\"",
    ));
    assert!((kg_day(&p, 3) - 6.0).abs() < 1e-9);
    assert_eq!(kg_day(&p, 90), 0.0);
    assert_eq!((p.first_feed_day(), p.full_feed_day()), (3, 3));
    // Shares of what the months and the animals say.
    let p = good(&in_steps(
        "by_month = \"0 0 0 0 0 7 0 0 0 0 0 0 kg/day\"\nsteps = \"50 % from day 2\"",
    ));
    assert!((kg_day(&p, 2) - 3.5).abs() < 1e-9);
    assert_eq!(p.waste[0].fresh[0].value, 0.0);
}

#[test]
fn faulty_steps_are_told() {
    let amount = "amount = \"5 kg/day\"\n";
    for (lines, says) in [
        ("steps = \"half\"", "does not say from when"),
        ("steps = \"half from Tuesday\"", "neither a day nor a date"),
        ("steps = \"half from day 9999\"", "not a day"),
        ("steps = \"half from day -1\"", "not a day"),
        (
            "steps = \"half from 2026-03-31\"",
            "before the plan's start",
        ),
        (
            "steps = \"half from day 9, all from day 9\"",
            "not after day 9",
        ),
        ("steps = \"hlf from day 1\"", "is no share"),
        ("steps = \"2000 % from day 1\"", "out of range"),
        ("steps = \"2 kg/day from day 1\"", "given already"),
        ("steps = \"none from day 1\"", "no step feeds anything"),
        ("steps = \"half from day 1,all from day 30\"", "not a day"),
        ("steps = \"\"", "does not say from when"),
        ("steps = 5", "cannot stand here"),
    ] {
        let e = bad(&in_steps(&format!("{amount}{lines}")));
        assert_eq!(e.errors.len(), 1, "{lines}: {e}");
        assert_eq!(e.errors[0].key, "waste[1].steps", "{lines}");
        assert!(e.errors[0].message.contains(says), "{lines}: {e}");
        assert_eq!(e.errors[0].line, 22, "{lines}");
    }
    let e = bad(&in_steps(&format!("{amount}steps = \"hlf from day 1\"")));
    let e = &e.errors[0];
    assert_eq!(e.given.as_deref(), Some("hlf"));
    assert_eq!(e.nearest.as_deref(), Some("half"));
    assert_eq!(e.allowed, ["all", "half", "none"]);
    // Alone they say amounts.
    for lines in ["steps = \"half from day 1\"", "steps = \"50 % from day 1\""] {
        let e = bad(&in_steps(lines));
        assert!(
            e.to_string()
                .contains("a share of an amount that is not given"),
            "{e}"
        );
    }
    let e = bad(&in_steps("steps = \"2 kgs/dy from day 1\""));
    assert!(e.errors[0].allowed.iter().any(|u| u.contains("kg")), "{e}");
    let e = bad(&in_steps("steps = \"0 kg/day from day 1\""));
    assert!(e.to_string().contains("the amount is zero"), "{e}");
    // The start of feeding that is written holds against the steps, and a ramp needs a taker.
    let with_feeding = |line: &str| {
        in_steps(&format!(
            "{amount}steps = \"half from day 1, all from day 30\""
        ))
        .replace("[feeding]", &format!("[feeding]\n{line}"))
    };
    let e = bad(&with_feeding("from = \"day 14\""));
    assert!(e.to_string().contains("feeding begins on day 14"), "{e}");
    let e = bad(&with_feeding("ramp = \"20 days\""));
    assert_eq!(e.errors[0].key, "feeding.ramp");
    good(&with_feeding("from = \"day 1\"\nramp = \"0 days\""));
}

#[test]
fn water_with_the_feed() {
    let water = |words: &str| {
        good(&with("\"1 kg/kg\"", &format!("\"{words}\"")))
            .feeding
            .water
    };
    assert_eq!(water("none"), Dilution::None);
    assert_eq!(water("1 kg/kg"), Dilution::PerFeed(1.0));
    assert_eq!(water("3:2"), Dilution::PerFeed(1.5));
    assert!(
        matches!(water("to 8 % solids"), Dilution::ToSolids(r) if (r.to_si() - 0.08).abs() < 1e-12)
    );
    assert!(matches!(water("to 8 %"), Dilution::ToSolids(_)));
    for wrong in [
        "some",
        "to 90 % solids",
        "to 0 % solids",
        "100 kg/kg",
        "-1 kg/kg",
        "NaN kg/kg",
    ] {
        assert_eq!(
            bad(&with("\"1 kg/kg\"", &format!("\"{wrong}\""))).errors[0].key,
            "feeding.water",
            "{wrong}"
        );
    }
}

#[test]
fn files_come_from_the_shell() {
    let i = BASE.find("high =").unwrap();
    let j = BASE.find("\n[feeding]").unwrap();
    let text = |file: &str| format!("{}file = \"{file}\"\n{}", &BASE[..i], &BASE[j..]);
    let Weather::Series(series) = good(&text("air.csv")).weather else {
        panic!("a series")
    };
    assert_eq!((series.air_c.len(), series.air_c[0]), (365, 4.5));
    assert_eq!(series.origin, "air.csv");
    assert!(
        bad(&text("picture.csv"))
            .to_string()
            .contains("not UTF-8 text from byte 1 on")
    );
    for outside in [
        "/etc/air.csv",
        "../air.csv",
        "a/../../air.csv",
        "C:\\air.csv",
        "",
    ] {
        let text = text(&outside.replace('\\', "\\\\"));
        assert!(
            bad(&text)
                .to_string()
                .contains("not a file beside the plan"),
            "{outside}"
        );
    }
    let probe = format!("{BASE}\n[slurry]\nfile = \"probe.csv\"\n");
    let SlurryTemperature::Series { daily_c, origin } = good(&probe).slurry_temperature else {
        panic!("a series")
    };
    assert_eq!(
        (daily_c.as_slice(), origin.as_str()),
        ([30.0, 31.5].as_slice(), "probe.csv")
    );
}

#[test]
fn heap_parts_and_cover() {
    let heap = "[heap]\nvolume = \"12 m3\"\nbuilt = 2026-03-20\ncover = \"loose straw\"\ncover_thickness = \"24 cm\"\n[[heap.part]]\nfeedstock = \"wood_chips_hardwood\"\n";
    let h = good(&format!("{BASE}\n{heap}")).heap.unwrap();
    assert_eq!(h.parts.len(), 1);
    assert!((h.parts[0].1.value - 1.0).abs() < 1e-12);
    // 0.24 m of the row k_bulking_light, 0.12 W/(m K).
    assert!((h.cover_r_m2k_w - 2.0).abs() < 1e-9);
    assert!((h.moisture.value - 0.55).abs() < 1e-9);
    let far = heap.replace("2026-03-20", "2016-03-20");
    assert!(
        bad(&format!("{BASE}\n{far}"))
            .to_string()
            .contains("more than two years")
    );
}

#[test]
fn doses_and_seeds() {
    let more = "[seed]\nkind = \"rumen\"\nvolume = \"10 L\"\n[[additive]]\nkind = \"wood ash\"\ndose = \"1 lb\"\nwhen = \"every 2 weeks\"\n[[additive]]\nkind = \"slaked lime\"\ndose = \"50 g\"\nwhen = \"day 30\"\n";
    let p = good(&format!("{BASE}\n{more}"));
    assert_eq!(p.additives[0].when, DoseTime::Every(14));
    assert_eq!(p.additives[1].when, DoseTime::OnDay(30));
    assert!((p.additives[0].dose.value - 0.453_592_37).abs() < 1e-6);
    let seed = &p.first_fill.seeds[0];
    assert!((seed.grown_at.value - 312.15).abs() < 1e-9);
    assert_eq!(seed.age_days, 1.0);
}

/// A minus is not read over.
#[test]
fn days_before_the_fill_are_refused() {
    for (lines, key) in [
        (
            "[[additive]]\nkind = \"wood ash\"\ndose = \"1 kg\"\nwhen = \"day -3\"",
            "additive[1].when",
        ),
        (
            "[[additive]]\nkind = \"wood ash\"\ndose = \"1 kg\"\nwhen = \"every -3 days\"",
            "additive[1].when",
        ),
    ] {
        assert_eq!(
            bad(&format!("{BASE}\n{lines}\n")).errors[0].key,
            key,
            "{lines}"
        );
    }
    let e = bad(&with("[feeding]", "[feeding]\nfrom = \"day -14\""));
    assert_eq!(e.errors[0].key, "feeding.from");
    assert_eq!(
        good(&with("[feeding]", "[feeding]\nfrom = \" Day  9 \""))
            .feeding
            .first_day,
        9
    );
}

#[test]
fn several_seeds_each_have_their_own_figures() {
    let more = "[[seed]]\nkind = \"sewage sludge\"\nvolume = \"60 L\"\n[[seed]]\nkind = \"digestate\"\nvolume = \"2 buckets\"\ngrown_at = \"22 °C\"\nage = \"5 days\"\n";
    let fill = good(&format!("{BASE}\n{more}")).first_fill;
    let kinds: Vec<SeedKind> = fill.seeds.iter().map(|s| s.kind).collect();
    assert_eq!(kinds, [SeedKind::SewageSludge, SeedKind::Digestate]);
    assert!((fill.seed_volume().value - 0.080).abs() < 1e-9);
    assert!((fill.seeds[0].grown_at.value - 309.15).abs() < 1e-9);
    assert!((fill.seeds[1].grown_at.value - 295.15).abs() < 1e-9);
    assert_eq!(fill.seeds[1].age_days, 5.0);
    assert!(fill.has_human_seed());
    // Each is told its own fault, and together they must fit.
    let e = bad(&format!(
        "{BASE}\n{}",
        more.replace("\"digestate\"", "\"digestat\"")
    ));
    assert_eq!(e.errors[0].key, "seed[2].kind");
    assert_eq!(e.errors[0].nearest.as_deref(), Some("digestate"));
    let e = bad(&format!("{BASE}\n{}", more.replace("60 L", "790 L")));
    assert!(e.to_string().contains("the first fill takes"), "{e}");
    // What is not of a kind with a usual temperature must tell its own.
    let e = bad(&format!(
        "{BASE}\n{}",
        more.replace("grown_at = \"22 °C\"\n", "")
    ));
    assert_eq!(e.errors[0].key, "seed[2].grown_at");
}

#[test]
fn a_band_follows_its_middle() {
    let own = with_own;
    let base = crate::reference::feedstock("goat_manure").unwrap();
    let p = good(&own("methane = \"100 L/kg\""));
    let mine = &p.feedstocks[0];
    assert!((mine.bmp.mid - 0.1).abs() < 1e-12);
    assert!((mine.bmp.low / mine.bmp.mid - base.bmp.low / base.bmp.mid).abs() < 1e-9);
    assert_eq!(mine.total_solids, base.total_solids);
    assert_eq!(
        bad(&own("methane_low = \"100 L/kg\"")).errors[0].key,
        "feedstock[1].methane_low"
    );
    let e = bad(&own("methane = \"100 L/kg\"\nmethane_low = \"200 L/kg\""));
    assert!(e.to_string().contains("not in order"), "{e}");
}

/// The base plan with a feedstock of one's own.
fn with_own(lines: &str) -> String {
    let text = BASE.replace("goat manure", "mine");
    format!("{text}\n[[feedstock]]\nid = \"mine\"\nlike = \"goat_manure\"\n{lines}\n")
}

#[test]
fn what_is_measured_keeps_its_value_and_narrows_its_band() {
    use crate::feed::How;
    use crate::reference::spread;
    // Every field of a composition takes the word; the value is the same with it.
    for (key, value, field) in [
        ("total_solids", "30 %", "total_solids"),
        ("volatile_solids", "82 %", "volatile_of_ts"),
        ("methane", "170 L/kg", "bmp"),
        ("hydrolysis", "0.06 per day", "hydrolysis_per_d"),
        ("nitrogen", "3 %", "nitrogen_of_ts"),
        ("ammonium_share", "9 %", "ammonium_share"),
        ("sulfur", "0.4 %", "sulfur_of_ts"),
        ("iron", "0.1 %", "iron_of_ts"),
        ("carbohydrate", "50 %", "carbohydrate_of_ts"),
        ("protein", "16 %", "protein_of_ts"),
        ("fat", "4 %", "fat_of_ts"),
        ("lignin", "14 %", "lignin_of_ts"),
        ("acids", "1 %", "acids_of_ts"),
        ("soluble_share", "6 %", "soluble_share"),
        ("bulk_density", "580 kg/m3", "bulk_density_kg_m3"),
    ] {
        let stated = &good(&with_own(&format!("{key} = \"{value}\""))).feedstocks[0];
        let text = with_own(&format!("{key} = \"{value}, measured\""));
        let measured = &good(&text).feedstocks[0];
        let how = |f: &crate::feed::Feedstock| f.origin(field).map(|o| o.how);
        assert_eq!(how(stated), Some(How::Own), "{key}");
        assert_eq!(how(measured), Some(How::Measured), "{key}");
        let figures = |f: &crate::feed::Feedstock| {
            let middles = [f.total_solids.mid, f.bmp.mid, f.hydrolysis_per_d.mid];
            (
                middles,
                f.volatile_of_ts,
                f.nitrogen_of_ts,
                f.sulfur_of_ts,
                f.bulk_density_kg_m3,
            )
        };
        assert_eq!(figures(stated), figures(measured), "{key}");
    }
    let text = "total_solids = \"30 %, measured\"\nmethane = \"170 L/kg , Measured\"\nph = \"7.4, measured\"";
    let mine = &good(&with_own(text)).feedstocks[0];
    for (band, row, mid) in [
        (mine.total_solids, "total_solids_measured", 0.30),
        (mine.bmp, "bmp_measured", 0.170),
    ] {
        let row = spread(row);
        assert!((band.mid - mid).abs() < 1e-12);
        assert!((band.low - mid * row.low).abs() < 1e-12);
        assert!((band.high - mid * row.high).abs() < 1e-12);
    }
    assert_eq!(mine.fresh_ph, 7.4);
    assert_eq!(mine.origin("fresh_ph").map(|o| o.how), Some(How::Measured));
    // Ends of one's own outrank those of the instrument.
    let text = "total_solids = \"30 %, measured\"\ntotal_solids_low = \"20 %\"";
    let band = good(&with_own(text)).feedstocks[0].total_solids;
    assert!((band.low - 0.20).abs() < 1e-12 && band.high < 0.33);
}

#[test]
fn amounts_are_known_as_they_were_got() {
    use crate::reference::spread;
    let of = |text: &str| good(text).waste[0].spread;
    let stated = of(BASE);
    assert_eq!(stated, spread("amount_stated"));
    // A mass that is measured was weighed.
    for amount in [
        "5 kg/day, weighed",
        "5 kg/day, measured",
        "11 lb/day,weighed",
    ] {
        assert_eq!(
            of(&with("5 kg/day", amount)),
            spread("amount_weighed"),
            "{amount}"
        );
    }
    let twelve = "by_month = \"1 2 3 4 5 6 6 5 4 3 2 1 kg/day, weighed\"";
    let p = good(&with("amount = \"5 kg/day\"", twelve));
    assert_eq!(p.waste[0].spread, spread("amount_weighed"));
    assert!((p.waste[0].fresh[2].value * 86_400.0 - 3.0).abs() < 1e-9);
    // Loose dung: its density stays open until a filled bucket is weighed.
    let loose = of(&with("5 kg/day", "8 L/day, measured"));
    let own =
        with_own("bulk_density = \"600 kg/m3, measured\"").replace("5 kg/day", "8 L/day, measured");
    let known = of(&own);
    let pours = of(&with("goat manure", "cheese_whey").replace("5 kg/day", "8 L/day, measured"));
    assert_eq!(pours, spread("amount_by_volume"));
    assert!(pours.high < known.high && known.high < loose.high && loose.high < stated.high);
    assert!(pours.low > known.low && known.low > loose.low && loose.low > stated.low);
    // The first filling takes the word too.
    good(&format!(
        "{BASE}\n[[first_fill.feed]]\nfeedstock = \"cow_dung\"\namount = \"80 kg, weighed\"\n"
    ));
}

#[test]
fn a_bed_of_ash_is_as_large_as_its_ash_unless_told() {
    let bed = |more: &str| {
        let text = format!("{BASE}\n[[wash]]\nkind = \"ash bed\"\nmass = \"6 kg\"\n{more}\n");
        match good(&text).gas_side.washes[0].kind {
            WashKind::AshBed { bed } => bed.value,
            other => panic!("{other:?}"),
        }
    };
    assert!((bed("") - 0.010).abs() < 1e-12);
    assert!((bed("bed = \"15 L\"") - 0.015).abs() < 1e-12);
    let e = bad(&format!(
        "{BASE}\n[[wash]]\nkind = \"ash bedd\"\nmass = \"6 kg\"\n"
    ));
    assert_eq!(e.errors[0].nearest.as_deref(), Some("ash bed"));
    let e = bad(&format!(
        "{BASE}\n[[wash]]\nkind = \"ash bed\"\nmass = \"6 kg\"\nliquor = \"2 L\"\n"
    ));
    assert_eq!(e.errors[0].key, "wash[1].liquor");
}

#[test]
fn a_word_that_does_not_belong_is_told_with_its_place() {
    let at = |text: &str| {
        let e = bad(text).errors;
        assert_eq!(e.len(), 1, "{e:?}");
        let e = e.into_iter().next().unwrap();
        (text[e.span.clone()].to_owned(), e)
    };
    let (there, e) = at(&with("5 kg/day", "5 kg/day, weihged"));
    assert_eq!(
        (there.as_str(), e.key.as_str(), e.line),
        ("weihged", "waste[1].amount", 21)
    );
    assert_eq!(e.given.as_deref(), Some("5 kg/day, weihged"));
    assert_eq!(e.allowed, ["weighed", "measured"]);
    assert_eq!(e.nearest.as_deref(), Some("weighed"));
    // A composition is not weighed, a volume neither.
    let (there, e) = at(&with_own("total_solids = \"30 %, weighed\""));
    assert_eq!(
        (there.as_str(), e.allowed),
        ("weighed", vec!["measured".to_owned()])
    );
    let (_, e) = at(&with("5 kg/day", "8 L/day, weighed"));
    assert!(e.message.contains("a volume is not weighed"), "{e}");
    // Without the comma; and where no band is drawn from it.
    let (there, e) = at(&with("5 kg/day", "5 kg/day weighed"));
    assert_eq!(
        (there.as_str(), e.nearest.as_deref()),
        ("weighed", Some("5 kg/day, weighed"))
    );
    let (there, e) = at(&with("\"1000 L\"", "\"1000 L, measured\""));
    assert_eq!(
        (there.as_str(), e.nearest.as_deref()),
        ("measured", Some("1000 L"))
    );
    assert_eq!(e.key, "vessel.volume");
    // The number and unit are told first.
    let (there, e) = at(&with("5 kg/day", "5 kgg/day, weighed"));
    assert!(there.starts_with("kgg"), "{there}");
    assert_eq!(e.nearest.as_deref(), Some("kg/day"));
    for wrong in ["\"7.4, mesured\"", "\"15, measured\"", "\"acid, measured\""] {
        let (_, e) = at(&with_own(&format!("ph = {wrong}")));
        assert_eq!(e.key, "feedstock[1].ph", "{wrong}");
    }
    // An end is no measurement.
    bad(&with_own(
        "methane = \"170 L/kg\"\nmethane_low = \"150 L/kg, measured\"",
    ));
}

#[test]
fn buckets_may_be_of_another_size() {
    let text = with("start =", "bucket = \"12 L\"\nstart =").replace("5 kg/day", "7 buckets/week");
    let p = good(&text);
    let density = p.feedstocks[0].bulk_density_kg_m3;
    assert!((p.waste[0].fresh[0].value * 86_400.0 - 0.012 * density).abs() < 1e-9);
}

/// As some editors save it: a byte-order mark, and carriage returns.
#[test]
fn other_line_ends_are_read() {
    good(&format!("\u{feff}{}", BASE.trim_start()));
    let text = with("\"1000 L\"", "\"1000\"").replace('\n', "\r\n");
    assert_eq!(bad(&text).errors[0].line, 25);
}

#[test]
fn every_fault_is_told_even_from_an_empty_table() {
    let e = bad("[plan]\n[place]\n[weather]\n[vessel]\n[[waste]]\n[feeding]\n");
    let keys: Vec<&str> = e.errors.iter().map(|e| e.key.as_str()).collect();
    for key in [
        "plan.name",
        "plan.start",
        "place.latitude",
        "weather.high",
        "weather.wind",
        "vessel.kind",
        "vessel.volume",
        "waste[1].feedstock",
        "feeding.water",
    ] {
        assert!(keys.contains(&key), "{key} in {keys:?}");
    }
}

#[test]
fn wrong_types_are_told_not_skipped() {
    for (from, to) in [
        ("name = \"Trial yard\"", "name = 5"),
        ("[vessel]\nkind", "[[vessel]]\nkind"),
        ("[[waste]]\nfeedstock", "[waste.deep]\nfeedstock"),
        ("kind = \"tote\"", "kind = true"),
        ("start = 2026-04-01", "start = 12:30:00"),
        ("high = \"5", "high = 5 #"),
    ] {
        bad(&with(from, to));
    }
    let e = bad(
        "plan = 1\nplace = 2\nweather = 3\nvessel = 4\nwaste = 5\nheap = 6\nseed = [1]\nslurry = ''\ngas = 1.5\nheater = 1\nfeeding = 1\nfirst_fill = 1\nadditive = [1]\ninsulation = 1\nfeedstock = 1\n",
    );
    assert_eq!(e.errors.len(), 15, "{e}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What is written is what is read, whatever the unit.
    #[test]
    fn amounts_are_read_to_the_unit(kg in 0.5f64..9.0, weeks in any::<bool>()) {
        let amount = if weeks { format!("{} kg/week", 7.0 * kg) } else { format!("{kg} kg/day") };
        let p = good(&with("5 kg/day", &amount));
        prop_assert!((p.waste[0].fresh[6].value * 86_400.0 - kg).abs() < 1e-9);
    }

    /// Steps as written are steps as read, and any text at all is read or refused.
    #[test]
    fn steps_are_read_as_written(days in prop::collection::btree_set(0u32..3000, 1..6), shares in prop::collection::vec(1u32..300, 6)) {
        let written: Vec<String> = days.iter().zip(&shares).map(|(d, s)| format!("{s} % from day {d}")).collect();
        let p = good(&in_steps(&format!("amount = \"1 kg/day\"\nsteps = \"{}\"", written.join(", "))));
        let w = &p.waste[0];
        for (day, share) in days.iter().zip(&shares) {
            let kg = w.fresh[0].value * 86_400.0 * w.step_share(*day).unwrap();
            prop_assert!((kg - f64::from(*share) / 100.0).abs() < 1e-9);
        }
    }

    #[test]
    fn no_steps_make_the_reader_panic(text in "[a-z0-9 ,;%/.-]{0,40}") {
        let _ = read(&in_steps(&format!("amount = \"1 kg/day\"\nsteps = \"{text}\"")), "yard.toml", &Shelf);
    }

    /// Whatever stands behind the comma, the reader takes it for what it is or tells it,
    /// and never reads another value.
    #[test]
    fn a_word_behind_an_amount_never_changes_it(kg in 0.5f64..9.0, word in "[a-z ]{0,12}|weighed|measured") {
        let text = with("5 kg/day", &format!("{kg} kg/day, {word}"));
        match read(&text, "yard.toml", &Shelf) {
            Ok(p) => {
                prop_assert!(matches!(word.trim(), "weighed" | "measured"), "{word:?}");
                prop_assert!((p.waste[0].fresh[6].value * 86_400.0 - kg).abs() < 1e-9);
            }
            Err(e) => prop_assert_eq!(e.errors.len(), 1),
        }
    }

    /// The sum of the heap's shares is one after reading.
    #[test]
    fn heap_shares_sum_to_one(first in 1u32..99) {
        let heap = format!("[heap]\nvolume = \"12 m3\"\nbuilt = 2026-03-20\n[[heap.part]]\nfeedstock = \"wood_chips_hardwood\"\nshare = \"{first} %\"\n[[heap.part]]\nfeedstock = \"horse_manure\"\nshare = \"{} %\"\n", 100 - first);
        let h = good(&format!("{BASE}\n{heap}")).heap.unwrap();
        let sum: Ratio = h.parts.iter().map(|p| p.1).sum();
        prop_assert!((sum.to_si() - 1.0).abs() < 1e-12);
    }
}
