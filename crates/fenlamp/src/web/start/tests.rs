use super::*;
use proptest::prelude::*;

fn answers(of: &[(&str, &str)]) -> Answers {
    Answers(
        of.iter()
            .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
            .collect(),
    )
}

fn today() -> jiff::civil::Date {
    jiff::civil::date(2026, 5, 1)
}

fn hill() -> Vec<(&'static str, &'static str)> {
    vec![
        ("name", "Our \"yard\""),
        ("latitude", "52"),
        ("half", "north"),
        ("warm_high", "22"),
        ("warm_low", "12"),
        ("cold_high", "5"),
        ("cold_low", "-1"),
        ("goats", "4"),
        ("kitchen", "1"),
        ("vessel", "tote"),
        ("heap", "yes"),
        ("seed", "old slurry"),
        ("kettles", "2"),
    ]
}

#[test]
fn a_few_answers_make_a_plan_that_reads() {
    let text = plan(&answers(&hill()), today()).expect("answers that fit");
    let made = fenlamp_model::plan::read(&text, "made", &fenlamp_model::plan::NoFiles)
        .unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert_eq!(made.name, "Our \"yard\"");
    assert!(text.matches("# guess").count() >= 8, "{text}");
    // Feed with its water stays fifty days at the peak.
    let kg: f64 = made.waste.iter().map(|w| w.fresh[6].value * 86_400.0).sum();
    assert!(kg > 0.5 && kg < 16.0, "{kg}");
}

#[test]
fn wrong_answers_are_told_all_at_once_by_their_field() {
    let mut bad = hill();
    bad.retain(|(k, _)| !["latitude", "goats", "kitchen"].contains(k));
    bad.push(("latitude", "abc"));
    bad.push(("goats", "-3"));
    bad.push(("warm_low", "x"));
    bad.retain(|(k, v)| *k != "warm_low" || *v == "x");
    let wrong = plan(&answers(&bad), today()).expect_err("three faults");
    let fields: Vec<&str> = wrong.iter().map(|w| w.field.as_str()).collect();
    assert_eq!(fields, ["latitude", "warm_low", "goats"]);
}

#[test]
fn the_sun_outside_is_that_of_the_paper() {
    // FAO 56, example 8: 20 degrees south, 3 September: 32.2 MJ/m2/day (from memory).
    let september = 3.6 * sun_outside(-20.0)[8];
    assert!((september - 33.5).abs() < 1.5, "{september}");
    assert!(sun_outside(70.0)[11] < 0.1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]
    #[test]
    fn any_honest_answers_make_a_plan_that_reads(
        latitude in 0u32..66, south: bool, us: bool,
        cold in -25i32..25, swing in 0i32..22, range in 0i32..12,
        animal in 0usize..8, head in 1u32..40, kitchen in 0u32..30,
        vessel in 0usize..4, litres in 100u32..20_000, heap: bool, insulated: bool,
        stands in 0usize..3, seed in 0usize..5, hours in 0u32..160, lamp in 0u32..80,
    ) {
        let t = |c: i32| if us { format!("{:.0} °F", 1.8 * f64::from(c) + 32.0) } else { format!("{c}") };
        let yes = |b: bool| if b { "yes" } else { "no" }.to_owned();
        let of = vec![
            ("units", if us { "us" } else { "metric" }.to_owned()),
            ("latitude", latitude.to_string()),
            ("half", if south { "south" } else { "north" }.to_owned()),
            ("warm_high", t(cold + swing + range)), ("warm_low", t(cold + swing)),
            ("cold_high", t(cold + range)), ("cold_low", t(cold)),
            (ANIMALS[animal].0, head.to_string()), ("kitchen", kitchen.to_string()),
            ("vessel", VESSELS[vessel].0.to_owned()), ("volume", format!("{litres} L")),
            ("heap", yes(heap)), ("insulated", yes(insulated)),
            ("stands", ["outdoors", "shed", "greenhouse"][stands].to_owned()),
            ("seed", SEEDS[seed].0.to_owned()),
            ("stove", format!("{}", f64::from(hours) / 10.0)), ("lamp", format!("{}", f64::from(lamp) / 10.0)),
            ("kettles", "1.5".to_owned()),
        ];
        let a = Answers(of.into_iter().map(|(k, v)| (k.to_owned(), v)).collect());
        let text = plan(&a, today()).expect("honest answers");
        let read = fenlamp_model::plan::read(&text, "made", &fenlamp_model::plan::NoFiles);
        prop_assert!(read.is_ok(), "{}\n{text}", read.unwrap_err());
    }
}
