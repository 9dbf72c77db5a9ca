use crate::*;
use proptest::prelude::*;

fn cx() -> Context {
    Context::default()
}

fn si<Q: Quantity>(text: &str) -> f64 {
    match read::<Q>(text, &cx()) {
        Ok(q) => q.to_si(),
        Err(e) => panic!("{text}: {e}; {}", e.help()),
    }
}

fn fault<Q: Quantity + std::fmt::Debug>(text: &str) -> Fault {
    read::<Q>(text, &cx()).unwrap_err().fault
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-6 * b.abs().max(1e-9), "{a} is not {b}");
}

/// Conversion factors: NIST Special Publication 811 (2008), appendix B.
#[test]
fn reads_what_people_write() {
    let gal = 3.785_411_784e-3;
    let foot3 = 0.028_316_846_592;
    for (text, want) in [
        ("55 gal", 55.0 * gal),
        ("55gal", 55.0 * gal),
        ("55 Gal", 55.0 * gal),
        ("1,100.5 gal", 1100.5 * gal),
        ("1,100 gal", 1100.0 * gal),
        ("1 1/2 cu ft", 1.5 * foot3),
        ("1-1/2 cu. ft.", 1.5 * foot3),
        ("1½ ft³", 1.5 * foot3),
        ("208 L", 0.208),
        ("208 l", 0.208),
        ("208,5 L", 0.2085),
        ("0,125 m3", 0.125),
        ("1 100 L", 1.1),
        ("1'100.5 L", 1.1005),
        ("1e3 L", 1.0),
        ("3 buckets", 0.03),
        (" 6 m³ ", 6.0),
        ("10 UK gal", 0.045_460_9),
    ] {
        near(si::<Volume>(text), want);
    }
    near(
        si::<ThermodynamicTemperature>("98 °F"),
        (98.0 - 32.0) / 1.8 + 273.15,
    );
    near(
        si::<ThermodynamicTemperature>("98 F"),
        (98.0 - 32.0) / 1.8 + 273.15,
    );
    near(si::<ThermodynamicTemperature>("36,6 °C"), 309.75);
    near(si::<ThermodynamicTemperature>("−4 °C"), 269.15);
    near(si::<TemperatureInterval>("9 °F"), 5.0);
    near(si::<Pressure>("6 in wc"), 6.0 * 249.0889);
    near(si::<Pressure>("10 cm wc"), 980.665);
    near(si::<Pressure>("10 mm H₂O"), 98.0665);
    near(si::<Pressure>("1 psi"), 6894.757);
    near(si::<Pressure>("20 mbar"), 2000.0);
    near(si::<VolumeRate>("2 cu ft/day"), 2.0 * foot3 / 86_400.0);
    near(si::<VolumeRate>("1/2 gal per hr"), 0.5 * gal / 3600.0);
    near(si::<VolumeRate>("3 buckets/week"), 0.03 / 604_800.0);
    near(si::<VolumeRate>("2 buckets a week"), 0.02 / 604_800.0);
    near(si::<MassRate>("2 kg/day"), 2.0 / 86_400.0);
    near(si::<MassRate>("2 kg daily"), 2.0 / 86_400.0);
    near(si::<MassRate>("7 lb/week"), 0.453_592_37 / 86_400.0);
    near(si::<Ratio>("16 %"), 0.16);
    near(si::<Ratio>("1:1"), 1.0);
    near(si::<Ratio>("1 kg/kg"), 1.0);
    near(si::<Time>("30 days"), 30.0 * 86_400.0);
    near(si::<Time>("6 weeks"), 42.0 * 86_400.0);
    near(si::<Time>("2 h 30 min"), 9000.0);
    near(si::<Length>("2.5 cm"), 0.025);
    near(si::<Length>("4 in"), 0.1016);
    near(si::<Length>("1 ft 6 in"), 0.4572);
    near(si::<Length>("5'6\""), 1.6764);
    near(si::<Length>("3/4 in"), 0.01905);
    near(si::<Power>("1.5 kW"), 1500.0);
    near(si::<ThermalInsulance>("2 m² K/W"), 2.0);
    near(si::<ThermalInsulance>("2 m2·K/W"), 2.0);
    near(si::<MassDensity>("25 lb/cu ft"), 25.0 * 16.018_46);
    near(si::<HeatFluxDensity>("24 kWh/m2/day"), 1000.0);
    near(si::<HeatFluxDensity>("86.4 MJ/(m2 day)"), 1000.0);
    near(si::<Velocity>("10 mph"), 4.4704);
    near(si::<Velocity>("36 km/h"), 10.0);
    near(si::<SpecificVolume>("210 L/kg"), 0.21);
    near(si::<Frequency>("0.0864 per day"), 1e-6);
    near(si::<Frequency>("0.0864 1/d"), 1e-6);
    for (text, want) in [
        ("57.2 °N", 57.2),
        ("57.2 N", 57.2),
        ("33 S", -33.0),
        ("57.2° N", 57.2),
        ("57° 12' N", 57.2),
        ("33° 30' S", -33.5),
        ("-33.5°", -33.5),
    ] {
        near(latitude(text).unwrap(), want);
    }
    let us = Context::of(Units::Us);
    near(read::<Volume>("3 buckets", &us).unwrap().value, 15.0 * gal);
    assert!(matches!(
        mass_or_volume_rate("2 buckets/week", &cx()),
        Ok(EitherRate::Volume(_))
    ));
    assert!(matches!(
        mass_or_volume("80 kg", &cx()),
        Ok(EitherMass::Mass(_))
    ));
}

#[test]
fn refuses_with_reasons() {
    for text in ["NaN L", "inf L", "-inf L", "∞ L", "1e400 L", "1/0 L"] {
        assert_eq!(fault::<Volume>(text), Fault::NotFinite, "{text}");
    }
    assert_eq!(
        fault::<Volume>("208"),
        Fault::Bare {
            write: "208 L".into()
        }
    );
    assert_eq!(
        fault::<ThermodynamicTemperature>("98"),
        Fault::Bare {
            write: "98 °C".into()
        }
    );
    assert_eq!(fault::<Volume>("-3 gal"), Fault::Negative);
    assert!(matches!(
        fault::<Volume>("1e9 m3"),
        Fault::OutOfRange { .. }
    ));
    assert!(matches!(
        fault::<ThermodynamicTemperature>("-300 °C"),
        Fault::OutOfRange { .. }
    ));
    assert_eq!(
        fault::<Volume>("1.234,5 L"),
        Fault::Ambiguous { write: vec![] }
    );
    assert_eq!(
        fault::<Volume>("1,100 L"),
        Fault::Ambiguous {
            write: vec!["1100 L".into(), "1.1 L".into()]
        }
    );
    assert_eq!(fault::<Volume>(""), Fault::Empty);
    assert_eq!(fault::<Volume>("some L"), Fault::NoNumber);
    assert_eq!(fault::<Volume>(&"9".repeat(200)), Fault::TooLong);
    assert_eq!(fault::<Volume>("5-10 L"), Fault::Range);
    assert_eq!(fault::<Volume>("5 to 10 L"), Fault::Range);
    assert!(matches!(
        fault::<Volume>("20 kg"),
        Fault::WrongKind {
            measures: Kind::Mass,
            ..
        }
    ));
    assert!(matches!(
        fault::<MassRate>("20 kg"),
        Fault::WrongKind {
            measures: Kind::Mass,
            ..
        }
    ));
    assert_eq!(fault::<Angle>("12 °E"), Fault::Longitude);
    assert!(matches!(fault::<Angle>("95 °N"), Fault::OutOfRange { .. }));
    let e = read::<Volume>("55 gall0ns", &cx()).unwrap_err();
    assert_eq!(e.nearest(), Some("gallons"));
    assert_eq!(e.at, Some(3..10));
    assert_eq!(e.to_string(), "unknown unit \"gall0ns\" for a volume");
    assert!(
        e.help()
            .starts_with("did you mean \"gallons\"? Units: L, m3,"),
        "{}",
        e.help()
    );
    let e = read::<VolumeRate>("2 galons/dya", &cx()).unwrap_err();
    assert_eq!(e.nearest(), Some("gallons/day"));
    // Whichever reading knows the unit better gives the reason.
    assert_eq!(
        mass_or_volume_rate("3 buckts/week", &cx())
            .unwrap_err()
            .nearest(),
        Some("buckets/week")
    );
    assert_eq!(
        mass_or_volume_rate("-3 buckets/week", &cx())
            .unwrap_err()
            .fault,
        Fault::Negative
    );
}

#[test]
fn reads_rows() {
    let row: [ThermodynamicTemperature; 3] = read_row("5.2 -5,4 7 °C", &cx()).unwrap();
    near(row[1].value, 273.15 - 5.4);
    let row: [ThermodynamicTemperature; 3] = read_row("5.2, 5.4, 7°C", &cx()).unwrap();
    near(row[2].value, 280.15);
    let wrong = |t: &str| read_row::<ThermodynamicTemperature, 12>(t, &cx()).unwrap_err();
    assert_eq!(
        wrong("1 2 3 4 5 6 7 8 9 10 11 °C").fault,
        Fault::Count {
            wanted: 12,
            given: 11
        }
    );
    assert_eq!(
        wrong("1 2 3 4 5 6 7 8 9 10 11 12 13 °C").to_string(),
        "13 numbers where 12 are needed"
    );
    assert_eq!(
        wrong("1 2 NaN 4 5 6 7 8 9 10 11 12 °C").fault,
        Fault::NotFinite
    );
    assert!(matches!(
        wrong("1 2 3 4 5 6 7 8 9 10 11 12").fault,
        Fault::Bare { .. }
    ));
    assert!(matches!(
        wrong("1 2 3 4 5 6 7 8 9 10 11 12 kg").fault,
        Fault::WrongKind { .. }
    ));
}

#[test]
fn prints_as_people_think() {
    let l = |x: f64| Volume::from_si(x / 1000.0);
    assert_eq!(print(l(208.2), Units::Metric), "208 L");
    assert_eq!(print(l(6000.0), Units::Metric), "6 m3");
    assert_eq!(print(l(208.198), Units::Us), "55 gal");
    assert_eq!(print_gas(l(100.0), Units::Us), "3.53 cu ft");
    assert_eq!(print_band(l(61.0), l(138.0), Units::Metric), "61 to 140 L");
    assert_eq!(print_band(l(0.3), l(138.0), Units::Metric), "0 to 140 L");
    assert_eq!(
        print_gas_band(l(61.0), l(138.0), Units::Us),
        "2.2 to 4.9 cu ft"
    );
    assert_eq!(
        print(
            read::<ThermodynamicTemperature>("35 °C", &cx()).unwrap(),
            Units::Us
        ),
        "95 °F"
    );
    assert_eq!(
        print(read::<Angle>("33 S", &cx()).unwrap(), Units::Us),
        "33 °S"
    );
    assert_eq!(
        print(read::<Length>("36 cm", &cx()).unwrap(), Units::Metric),
        "36 cm"
    );
    assert_eq!(format_number(1234.5, 3), "1230");
    assert_eq!(format_number(0.0, 3), "0");
}

/// Every printed unit is one that is read, in both systems and at every size.
#[test]
fn printed_units_are_known() {
    fn both<Q: Quantity>() {
        let (low, high) = Q::KIND.range();
        for units in [Units::Metric, Units::Us] {
            for e in -9..9 {
                let v = 10f64.powi(e).clamp(low, 0.99 * high);
                for text in [print(Q::from_si(v), units), print_gas(Q::from_si(v), units)] {
                    let back = si::<Q>(&text);
                    let slack = if Q::KIND == Kind::Temperature {
                        0.06
                    } else {
                        0.0051 * v
                    };
                    assert!(
                        (back - v).abs() <= slack + 1e-12 || v < 1e-5 && back < 0.06,
                        "{v} printed {text} read {back}"
                    );
                }
            }
        }
    }
    both::<Volume>();
    both::<Mass>();
    both::<Length>();
    both::<ThermodynamicTemperature>();
    both::<Pressure>();
    both::<Power>();
    both::<Energy>();
    both::<Time>();
    both::<VolumeRate>();
    both::<MassRate>();
    both::<Ratio>();
    both::<MassDensity>();
    both::<ThermalInsulance>();
    both::<ThermalConductivity>();
    both::<HeatFluxDensity>();
    both::<Velocity>();
    both::<SpecificVolume>();
    both::<Frequency>();
    both::<Angle>();
}

proptest! {
    #[test]
    fn printed_volume_reads_back(litres in 0.2f64..50_000.0, us in any::<bool>(), gas in any::<bool>()) {
        let units = if us { Units::Us } else { Units::Metric };
        let v = Volume::from_si(litres / 1000.0);
        let text = if gas { print_gas(v, units) } else { print(v, units) };
        let back = read::<Volume>(&text, &cx()).unwrap();
        prop_assert!((back.value - v.value).abs() <= 0.0051 * v.value, "{} {}", litres, text);
    }

    #[test]
    fn printed_temperature_reads_back(c in -60f64..200.0, us in any::<bool>()) {
        let units = if us { Units::Us } else { Units::Metric };
        let t = ThermodynamicTemperature::from_si(c + 273.15);
        let back: ThermodynamicTemperature = read(&print(t, units), &cx()).unwrap();
        prop_assert!((back.value - t.value).abs() < 0.051);
    }

    #[test]
    fn never_panics(text in any::<String>()) {
        everything(&text);
    }

    #[test]
    fn never_panics_on_near_misses(text in "[-+−0-9.,/' ½°:NSinf]{0,12}[ a-zA-Z°²³/%\"']{0,12}[0-9]{0,3}") {
        everything(&text);
    }

    /// A sum of parts is the sum of the readings.
    #[test]
    fn feet_and_inches_add(ft in 0u32..100, inch in 0u32..12) {
        let whole = si::<Length>(&format!("{ft} ft {inch} in"));
        prop_assert!((whole - (f64::from(ft) * 0.3048 + f64::from(inch) * 0.0254)).abs() < 1e-9);
    }
}

fn everything(text: &str) {
    let cx = cx();
    fn check<Q: Quantity>(text: &str, cx: &Context) {
        match read::<Q>(text, cx) {
            Ok(q) => assert!(q.to_si().is_finite()),
            Err(e) => {
                assert!(!e.to_string().is_empty() && !e.help().is_empty());
                if let Some(at) = e.at {
                    assert!(text.get(at).is_some(), "span on a character boundary");
                }
            }
        }
    }
    check::<Volume>(text, &cx);
    check::<ThermodynamicTemperature>(text, &cx);
    check::<Length>(text, &cx);
    check::<Angle>(text, &cx);
    check::<Ratio>(text, &cx);
    check::<VolumeRate>(text, &cx);
    check::<Frequency>(text, &cx);
    if let Err(e) = read_row::<Pressure, 12>(text, &cx) {
        assert!(e.at.is_none_or(|at| text.get(at).is_some()));
    }
    let _ = mass_or_volume_rate_row::<12>(text, &cx);
}
