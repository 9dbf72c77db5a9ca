//! The sentences, on forecasts made by hand.

use jiff::civil::date;

use super::*;
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::bands::{DayBand, MonthBand, UseBands, Whole};
use fenlamp_model::plan::{NoFiles, UnitSystem, read};
use fenlamp_quantity::Units;

const CROFT: &str = include_str!("../../../../examples/hollin-croft.toml");
const BENCH: &str = include_str!("../../../../examples/laboratory-batch.toml");

fn plan(text: &str) -> Plan {
    read(text, "demo.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

fn q(p10: f64, p50: f64, p90: f64) -> Quantiles {
    Quantiles { p10, p50, p90 }
}

fn same(v: f64) -> Quantiles {
    q(v, v, v)
}

/// A month with `gas` in the middle world, 60 % below and 150 % above, at `slurry_c`.
fn month(year: i16, number: i8, gas: f64, slurry_c: f64) -> MonthBand {
    let gas = q(0.6 * gas, gas, 1.5 * gas);
    let methane = gas.map(|v| 0.55 * v);
    MonthBand {
        year,
        month: number,
        days: 30,
        slurry_temperature_c: q(slurry_c - 1.0, slurry_c, slurry_c + 1.0),
        fed_kg_per_day: same(10.0),
        gas_dry_normal_l_per_day: gas.map(|v| 0.9 * v),
        gas_wet_l_per_day: gas,
        methane_dry_normal_l_per_day: methane,
        methane_share: same(0.6),
        methane_total_dry_normal_l: methane.map(|v| 30.0 * v),
        vs_fed_kg: same(60.0),
        methane_l_per_kg_vs: Some(methane.map(|v| 30.0 * v / 60.0)),
        vs_removed_share: Some(q(0.4, 0.5, 0.6)),
        uses_per_day: UseBands::of(methane),
    }
}

/// A year by the middle gas of its months, January first; below 60 L it is cold.
fn year(year: i16, gas: [f64; 12]) -> Vec<MonthBand> {
    (1..=12)
        .zip(gas)
        .map(|(m, gas)| month(year, m, gas, if gas < 60.0 { 6.0 } else { 24.0 }))
        .collect()
}

fn forecast(months: Vec<MonthBand>) -> Forecast {
    let day = DayBand {
        date: date(2026, 4, 1),
        day: 0,
        slurry_temperature_c: same(20.0),
        fed_kg: same(10.0),
        gas_dry_normal_l: same(80.0),
        gas_wet_l: same(90.0),
        methane_dry_normal_l: same(50.0),
        methane_total_dry_normal_l: same(50.0),
        methane_share: same(0.6),
        h2s_ppm: same(500.0),
        ph: same(7.2),
        acids_mg_l: same(300.0),
        ammonium_mg_n_l: same(500.0),
        headspace_oxygen_share: same(0.0),
        headspace_methane_share: same(0.6),
    };
    Forecast {
        worlds: 60,
        seed: 1,
        days: (0..365)
            .map(|d| DayBand {
                day: d,
                ..day.clone()
            })
            .collect(),
        months,
        whole: Whole {
            gas_dry_normal_l: q(70.0, 80.0, 90.0),
            methane_dry_normal_l: q(40.0, 45.0, 50.0),
            methane_l_per_kg_vs: Some(q(260.0, 290.0, 330.0)),
            vs_removed_share: Some(q(0.4, 0.5, 0.6)),
            loading_kg_vs_m3_d: same(1.0),
            uses: UseBands::of(same(45.0)),
        },
        first_flame: FirstFlame {
            share_of_worlds: 1.0,
            day: Some(q(10.0, 20.0, 40.0)),
            dates: Some([date(2025, 12, 3), date(2025, 12, 14), date(2025, 12, 30)]),
        },
        sour_share_of_worlds: 0.0,
        heap: None,
        gas_train: None,
        digestate: fenlamp_model::digestate::Digestate::default(),
    }
}

fn text(plan: &Plan, f: &Forecast) -> String {
    words(plan, f)
        .into_iter()
        .map(|s| s.words)
        .collect::<Vec<_>>()
        .join(" ")
}

fn first(plan: &Plan, f: &Forecast) -> String {
    words(plan, f)
        .first()
        .map(|s| s.words.clone())
        .unwrap_or_default()
}

const HILL: [f64; 12] = [
    2.0, 2.0, 5.0, 40.0, 100.0, 110.0, 120.0, 120.0, 110.0, 100.0, 40.0, 4.0,
];

#[test]
fn the_answer_comes_first_and_winter_is_told_plainly() {
    let said = text(&plan(CROFT), &forecast(year(2026, HILL)));
    assert!(
        said.starts_with("From May to October expect 66 to 170 L of gas a day (middle 110): "),
        "{said}"
    );
    assert!(
        said.contains("kettles of 1.5 L brought to the boil"),
        "{said}"
    );
    assert!(
        said.contains("In April and in November it is less: "),
        "{said}"
    );
    // December meets January.
    assert!(
        said.contains("From December to March it is too cold to count on: in January 1.2 to 3 L"),
        "{said}"
    );
    assert!(said.contains("with the slurry at 5 to 7 °C"), "{said}");
    assert!(
        said.contains("Here is what would change that: a warmer slurry"),
        "{said}"
    );
    assert!(said.contains("A whole year gives"), "{said}");
}

#[test]
fn us_plans_speak_of_cubic_feet_and_fahrenheit() {
    let mut p = plan(CROFT);
    p.units = UnitSystem::Us;
    let said = text(&p, &forecast(year(2026, HILL)));
    assert!(
        said.starts_with("From May to October expect 2.3 to 5.8 cu ft of gas a day"),
        "{said}"
    );
    assert!(said.contains("°F") && !said.contains("°C"), "{said}");
    assert!(!said.contains(" L of gas"), "{said}");
}

#[test]
fn a_warm_place_is_alike_all_year() {
    let said = text(&plan(CROFT), &forecast(year(2026, [1900.0; 12])));
    assert!(
        said.starts_with("All year round expect 1.1 to 2.9 m3 of gas a day (middle 1.9)"),
        "{said}"
    );
    assert!(
        !said.contains("it is less") && !said.contains("what would change"),
        "{said}"
    );
}

#[test]
fn the_second_year_speaks_and_the_first_is_a_start() {
    let mut months = year(2026, HILL.map(|v| 0.5 * v));
    months.extend(year(2027, HILL));
    let said = text(&plan(CROFT), &forecast(months));
    assert!(
        said.starts_with("Once the start is behind it, from May to October expect 66 to"),
        "{said}"
    );
    assert!(
        said.contains("Until December 2026 it is still starting and gives less: in August 2026"),
        "{said}"
    );
    // A first year that shines and fades is told too.
    let mut months = year(2026, HILL.map(|v| 1.5 * v));
    months.extend(year(2027, HILL));
    let said = text(&plan(CROFT), &forecast(months));
    assert!(said.contains("gives more, which does not last"), "{said}");
}

#[test]
fn the_start_of_a_short_plan_is_not_taken_for_its_yield() {
    let mut f = forecast(year(
        2026,
        [
            5.0, 5.0, 60.0, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0,
        ],
    ));
    f.first_flame.dates = Some([date(2026, 3, 1), date(2026, 3, 14), date(2026, 3, 30)]);
    let said = text(&plan(CROFT), &f);
    assert!(
        said.starts_with("From April to December expect 60 to 150 L"),
        "{said}"
    );
    assert!(said.contains("The 9 months after the start give"), "{said}");
}

#[test]
fn a_sour_start_is_said_before_all_else() {
    let mut f = forecast(year(2026, HILL));
    f.sour_share_of_worlds = 0.7;
    for d in &mut f.days {
        d.ph = same(5.5);
    }
    let said = first(&plan(CROFT), &f);
    assert!(
        said.starts_with("This start turns sour in 7 of 10 worlds"),
        "{said}"
    );
    assert_eq!(words(&plan(CROFT), &f)[1].topic, Topic::Change);
    // Late souring names its time.
    for d in f.days.iter_mut().take(200) {
        d.ph = same(7.0);
    }
    f.days[200].date = date(2026, 10, 18);
    let said = first(&plan(CROFT), &f);
    assert!(
        said.starts_with("From about 18 October this turns sour in 7 of 10 worlds"),
        "{said}"
    );
    // A few sour worlds come after the answer.
    f.sour_share_of_worlds = 0.1;
    assert!(first(&plan(CROFT), &f).starts_with("From May to October"));
    assert!(text(&plan(CROFT), &f).contains("In 1 of 10 worlds this start turns sour"));
}

#[test]
fn nothing_is_called_nothing() {
    let mut f = forecast(year(2026, [1.0; 12]));
    f.first_flame = FirstFlame {
        share_of_worlds: 0.0,
        day: None,
        dates: None,
    };
    let said = text(&plan(CROFT), &f);
    assert!(
        said.starts_with("This makes no gas to count on in its 365 days"),
        "{said}"
    );
    assert!(said.contains("Here is what would change that: "), "{said}");
    assert!(said.contains("in none of the 60 worlds"), "{said}");
    assert!(!said.contains("kettles"), "{said}");
}

#[test]
fn gas_without_methane_is_not_sold_as_gas() {
    let mut f = forecast(year(2026, [100.0; 12]));
    for m in &mut f.months {
        m.methane_share = q(0.02, 0.58, 0.6);
    }
    let said = first(&plan(CROFT), &f);
    assert!(
        said.contains("holds 2 % methane or less and does not burn"),
        "{said}"
    );
    for m in &mut f.months {
        m.methane_share = q(0.02, 0.3, 0.6);
    }
    let said = first(&plan(CROFT), &f);
    assert!(
        said.contains("But it holds only 30 % methane in the middle world"),
        "{said}"
    );
}

#[test]
fn the_first_flame_carries_its_doubt_and_its_caution() {
    let mut f = forecast(year(2026, HILL));
    f.first_flame = FirstFlame {
        share_of_worlds: 0.9,
        day: Some(q(63.0, 80.0, 102.0)),
        dates: Some([date(2026, 6, 3), date(2026, 6, 20), date(2027, 7, 12)]),
    };
    let said = text(&plan(CROFT), &f);
    assert!(
        said.contains(
            "First steady flame: between 3 June and 12 July 2027, most likely near 20 June; in 1 \
             of 10 worlds none within this time. Until then"
        ),
        "{said}"
    );
    assert!(
        said.contains("purged out of doors, no flame at all"),
        "{said}"
    );
}

#[test]
fn a_bench_speaks_of_the_run_and_of_the_yield() {
    let mut p = plan(BENCH);
    let said = text(&p, &forecast(year(2026, [3.0; 12])));
    assert!(
        said.starts_with("Over the 60 days held at 35 °C expect 70 to 90 L of gas (middle 80 L)"),
        "{said}"
    );
    assert!(
        said.contains("260 to 330 L of methane per kg of volatile solids"),
        "{said}"
    );
    assert!(!said.contains("kettle"), "{said}");
    p.units = UnitSystem::Us;
    // 290 L/kg is 4.65 cu ft/lb.
    let said = text(&p, &forecast(year(2026, [3.0; 12])));
    assert!(
        said.contains("4.2 to 5.3 cu ft of methane per lb"),
        "{said}"
    );
}

#[test]
fn kettles_are_never_rounded_up_from_nothing() {
    let of = |k| household::kettles(k, Units::Metric);
    assert_eq!(
        of(q(0.1, 0.3, 0.6)),
        "0.1 to 0.6 of a kettle of 1.5 L brought to the boil"
    );
    assert_eq!(
        of(q(0.9, 1.0, 1.2)),
        "about one kettle of 1.5 L brought to the boil"
    );
    assert_eq!(
        of(q(1.1, 2.0, 2.9)),
        "one to three kettles of 1.5 L brought to the boil"
    );
    assert_eq!(
        of(q(0.0, 35.0, 42.0)),
        "none to 42 kettles of 1.5 L brought to the boil (middle 35)"
    );
    assert_eq!(
        household::kettles(q(0.9, 1.0, 1.2), Units::Us),
        "about one kettle of 1.6 qt brought to the boil"
    );
    // The words' kettle is the sums' kettle; 1 L is 1.0567 US quarts (NIST SP 811).
    let kettle_l = fenlamp_model::gas::uses::KETTLE_L;
    assert_eq!(
        format!("{kettle_l} L and {:.1} qt", kettle_l * 1.0567),
        "1.5 L and 1.6 qt"
    );
}

#[test]
fn numbers_are_said_with_the_digits_they_bear() {
    assert_eq!(say::number_band(0.0061, 0.321), "0.01 to 0.32");
    assert_eq!(say::number_band(0.43, 4.91), "0.4 to 4.9");
    assert_eq!(say::number_band(58.7, 189.0), "59 to 190");
    assert_eq!(say::number_band(0.0, 0.001), "0");
    assert_eq!(say::gas_band(60.0, 140.0, Units::Metric), "60 to 140 L");
    assert_eq!(
        say::gas_band(1100.0, 2300.0, Units::Metric),
        "1.1 to 2.3 m3"
    );
    assert_eq!(say::worlds_of(0.7, 60), "7 of 10 worlds");
    assert_eq!(say::worlds_of(1.0 / 60.0, 60), "1 of 60 worlds");
    assert_eq!(say::worlds_of(1.0, 60), "all 60 worlds");
    assert_eq!(say::list(&["a", "b", "c"]), "a, b and c");
    assert_eq!(say::month(13), "");
}

#[test]
fn odd_forecasts_do_not_break_the_sentences() {
    let p = plan(CROFT);
    // No months, one stub of a month, figures that are no numbers.
    text(&p, &forecast(Vec::new()));
    let mut stub = year(2026, HILL);
    stub.truncate(1);
    stub[0].days = 3;
    text(&p, &forecast(stub));
    let mut none = forecast(year(2026, [f64::NAN; 12]));
    none.worlds = 0;
    none.days.clear();
    text(&p, &none);
}

#[test]
fn a_blank_is_called_one() {
    let (before, rest) = BENCH.split_once("[[first_fill.feed]]").expect("a fill");
    let (_, seed) = rest.split_once("[seed]").expect("a seed");
    let mut plan = plan(&format!("{before}[seed]{seed}"));
    plan.worlds = 2;
    let (forecast, _) =
        fenlamp_model::forecast::ensemble::run(&plan).unwrap_or_else(|e| panic!("{e}"));
    let said = words(&plan, &forecast);
    assert!(said[0].words.contains("this is a blank"), "{said:?}");
}
