use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::grid::{Measure, Period};
use super::month::{Limit, Program, Setting, Tightness};
use super::recipe::propose_for_tests as propose;
use super::solve::{self, Goal};
use super::stream::Stream;
use super::wish::{Want, Wish};

fn wish(text: &str) -> Wish {
    Wish::parse(text).unwrap_or_else(|e| panic!("{e}"))
}

fn months(on: &[usize]) -> [bool; 12] {
    let mut out = [false; 12];
    on.iter().for_each(|m| out[m - 1] = true);
    out
}

#[test]
fn wishes_are_read_as_people_write_them() {
    let summer = months(&[4, 5, 6, 7, 8, 9, 10]);
    for text in [
        "2 kettles/day Apr-Oct",
        "2 kettles a day from April to October",
        "two kettles daily in apr - oct",
        "2 Kettles each day Apr–Oct",
    ] {
        let got = wish(text);
        assert_eq!(
            (got.want, got.months),
            (Want::Kettles(2.0), summer),
            "{text}"
        );
    }
    let all = [true; 12];
    for (text, want) in [
        ("1 hour of cooking/day", Want::CookingHours(1.0)),
        ("an hour of cooking a day all year", Want::CookingHours(1.0)),
        ("half an hour of cooking a day", Want::CookingHours(0.5)),
        ("1 1/2 hours of stove a day", Want::CookingHours(1.5)),
        ("90 minutes of cooking per day", Want::CookingHours(1.5)),
        ("3 lamp hours/day", Want::LampHours(3.0)),
        ("2.5 kWh of heat a day", Want::HeatKwh(2.5)),
        ("1/2 kWh of electricity a day", Want::ElectricityKwh(0.5)),
        ("all of it", Want::Everything),
        ("as much as possible", Want::Everything),
    ] {
        let got = wish(text);
        assert_eq!((got.want, got.months), (want, all), "{text}");
    }
    assert_eq!(
        wish("1 kettle a day Nov to Feb").months,
        months(&[11, 12, 1, 2])
    );
    assert_eq!(wish("all of it Jun, Jul").months, months(&[6, 7]));
}

#[test]
fn what_is_no_wish_is_refused() {
    for text in [
        "",
        "kettles",
        "2",
        "two",
        "0 kettles/day",
        "-1 kettle/day",
        "nan kettles/day",
        "inf kettles/day",
        "1e9 kettles/day",
        "2 cakes/day",
        "2 kettles/day Foo-Bar",
        "1/0 kettles a day",
        "2 hours of kettle",
        "3 of it",
        // Which months a season is depends on the hemisphere.
        "1 kettle a day in winter",
    ] {
        assert!(
            Wish::parse(text).is_err(),
            "{text}: {:?}",
            Wish::parse(text)
        );
    }
}

#[test]
fn a_wish_takes_the_methane_that_gives_it() {
    for text in [
        "2 kettles/day",
        "1 hour of cooking/day",
        "3 lamp hours/day",
        "2 kWh of heat a day",
    ] {
        let wish = wish(text);
        let litres = wish.methane_l_per_day().expect("a definite wish");
        let (got, _) = wish.counted(litres);
        let asked = match wish.want {
            Want::Kettles(n) | Want::CookingHours(n) | Want::LampHours(n) | Want::HeatKwh(n) => n,
            other => panic!("{other:?}"),
        };
        assert!((got - asked).abs() < 1e-9, "{text}: {got}");
    }
    assert_eq!(wish("all of it").methane_l_per_day(), None);
    assert_eq!(
        wish("2 kettles/day Apr-Oct").words(),
        "2 kettles a day from April to October"
    );
}

#[test]
fn buckets_are_told_in_plain_parts() {
    let measure = |parts| Measure {
        bucket_l: 10.0,
        parts,
        per: Period::Week,
    };
    for (parts, n, words) in [
        (1, 1, "1 bucket"),
        (1, 3, "3 buckets"),
        (2, 1, "half a bucket"),
        (2, 3, "1 1/2 buckets"),
        (4, 2, "half a bucket"),
        (4, 1, "a quarter of a bucket"),
        (8, 3, "3/8 of a bucket"),
        (16, 18, "1 1/8 buckets"),
    ] {
        assert_eq!(measure(parts).words(n), words);
    }
    // A large plant is told in buckets a day, a small one in parts a week.
    let fit = |room, streams: &[f64]| {
        let m = Measure::fitting(10.0, room, streams);
        (m.parts, m.per)
    };
    assert_eq!(fit(250.0, &[150.0]), (1, Period::Day));
    assert_eq!(fit(20.0, &[10.0]), (1, Period::Week));
    assert_eq!(fit(2.0, &[0.4]), (8, Period::Week));
    assert_eq!(fit(20.0, &[10.0, 0.4]), (4, Period::Week));
    assert_eq!(fit(0.001, &[0.0]), (16, Period::Week));
}

/// An invented waste within what wastes are.
fn stream(rng: &mut impl Rng, n: usize) -> Stream {
    let solids = rng.random_range(0.08..0.45);
    let volatile = solids * rng.random_range(0.6..0.95);
    let nitrogen = solids * rng.random_range(0.006..0.05);
    let ammonium_n = nitrogen * rng.random_range(0.3..0.9);
    Stream {
        name: format!("waste {n}"),
        at_hand_kg_d: [rng.random_range(0.3..6.0); 12],
        kg_per_l: rng.random_range(0.3..1.0),
        solids,
        volatile,
        potential_l: 1000.0 * volatile * rng.random_range(0.15..0.45),
        hydrolysis_per_d: rng.random_range(0.03..0.3),
        ammonium_n,
        nitrogen,
        carbon: solids * rng.random_range(0.35..0.5),
        free_sulfur: solids * rng.random_range(0.0..0.006),
        alkalinity_eq: 1000.0 * ammonium_n / 14.0 + solids * rng.random_range(0.0..1.0),
        fibrous: n == 1,
        woody: false,
    }
}

fn setting<'a>(rng: &mut impl Rng, streams: &'a [Stream]) -> Setting<'a> {
    let slurry_l = rng.random_range(300.0..3000.0);
    let slurry_c: f64 = rng.random_range(9.0..38.0);
    Setting {
        streams,
        measure: Measure {
            bucket_l: 10.0,
            parts: if slurry_l > 1000.0 { 1 } else { 2 },
            per: Period::Week,
        },
        slurry_l,
        slurry_c: [Some(slurry_c); 12],
        every_days: f64::from(rng.random_range(1..4u32)),
        thinned_to: 0.1,
        tightness: Tightness::default(),
    }
}

/// Every point of the bucket grid.
fn grid(most: &[u32]) -> Vec<Vec<f64>> {
    most.iter().fold(vec![Vec::new()], |so_far, &m| {
        so_far
            .into_iter()
            .flat_map(|point: Vec<f64>| {
                (0..=m).map(move |p| {
                    let mut point = point.clone();
                    point.push(f64::from(p));
                    point
                })
            })
            .collect()
    })
}

/// The best of all points: most methane, or the least to carry that gives enough.
fn by_search(program: &Program, goal: Goal) -> Option<Vec<f64>> {
    let points = grid(&program.most)
        .into_iter()
        .filter(|p| program.allows(p));
    match goal {
        Goal::Most => points.max_by(|a, b| program.methane(a).total_cmp(&program.methane(b))),
        Goal::Enough(litres) => points
            .filter(|p| program.methane(p) >= litres)
            .min_by(|a, b| program.carried(a).total_cmp(&program.carried(b))),
    }
}

#[test]
fn twenty_recipes_equal_an_exhaustive_search_of_the_grid() {
    let mut fed = 0;
    for seed in 0..20 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let streams: Vec<Stream> = (0..3).map(|n| stream(&mut rng, n)).collect();
        let setting = setting(&mut rng, &streams);
        let wish = wish("all of it Jun");
        let got = propose(&setting, &wish, &[None; 12]).expect("it solves");
        // The search has every thickness to choose from too.
        let best = (5..=10)
            .filter_map(|solids| {
                let mut setting = setting.clone();
                setting.thinned_to = f64::from(solids) / 100.0;
                let program = setting.program(5)?;
                let parts = by_search(&program, Goal::Most)?;
                Some(program.methane(&parts))
            })
            .fold(0.0, f64::max);
        let program = got.programs[5].as_ref().expect("a month");
        let parts = got.parts_of(5);
        assert!(program.allows(&parts), "{seed}: {parts:?}");
        let one = program.methane_l.iter().copied().fold(0.0, f64::max);
        let methane = program.methane(&parts);
        // Ties within the worth of carrying less; never a bucket apart.
        assert!(
            best - methane < 0.02 * one,
            "{seed}: {methane} of {best}, {one} each"
        );
        fed += usize::from(methane > 0.0);

        let ask = 0.6 * methane;
        if ask > 0.0 {
            let goal = Goal::Enough(ask);
            let lp = solve::best(program, goal, true)
                .expect("it solves")
                .expect("enough");
            let search = by_search(program, goal).expect("enough");
            let spare = program.carried(&lp) - program.carried(&search);
            assert!(spare.abs() < 1e-6, "{seed}: {spare} L more to carry");
        }
    }
    assert!(fed >= 15, "only {fed} of 20 problems feed anything");
}

#[test]
fn an_impossible_month_names_what_binds() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let mut one = stream(&mut rng, 0);
    // A plain manure in a small warm vessel, plenty of it.
    one.solids = 0.16;
    one.volatile = 0.13;
    one.ammonium_n = 0.002;
    one.nitrogen = 0.004;
    one.carbon = 0.08;
    one.free_sulfur = 0.0;
    one.alkalinity_eq = 0.3;
    one.at_hand_kg_d = [100.0; 12];
    let streams = [one];
    let mut setting = setting(&mut rng, &streams);
    setting.slurry_l = 800.0;
    setting.slurry_c = [Some(18.0); 12];
    let program = setting.program(5).expect("a month");
    let most = solve::best(&program, Goal::Most, true)
        .expect("solves")
        .expect("some");
    let twice = 2.0 * program.methane(&most);
    let load = |found: Vec<(Limit, f64)>| found.into_iter().map(|f| f.0).collect::<Vec<_>>();
    let found = load(solve::slack(&program, twice).expect("solves"));
    assert!(found.contains(&Limit::Load), "{found:?}");
    // With hardly any waste it is the waste.
    let mut poor = streams.clone();
    poor[0].at_hand_kg_d = [4.0; 12];
    setting.streams = &poor;
    setting.slurry_l = 5000.0;
    let program = setting.program(5).expect("a month");
    let most = program.methane(&[f64::from(program.most[0])]);
    let found = load(solve::slack(&program, 1.5 * most).expect("solves"));
    assert_eq!(found, [Limit::AtHand(0)]);
}

/// A demo's plan.
fn demo(text: &str) -> fenlamp_model::plan::Plan {
    fenlamp_model::plan::read(text, "demo", &fenlamp_model::plan::NoFiles)
        .expect("a demo is a plan")
}

const GOATS: &str = include_str!("../../../../examples/hollin-croft.toml");
const SCHOOL: &str = include_str!("../../../../examples/mango-yard-school.toml");

#[test]
fn the_ceiling_says_early_what_no_vessel_can_give() {
    let plan = demo(GOATS);
    let poor = super::Ceiling::of(&plan, &wish("50 kettles/day May-Oct"));
    assert!(!poor.may_be_met);
    assert!(
        poor.words.contains("no vessel, however large or warm"),
        "{}",
        poor.words
    );
    let rich = super::Ceiling::of(&plan, &wish("1 kettle/day May-Oct"));
    assert!(rich.may_be_met && rich.words.contains("within what the waste can give"));
    // By hand: 6 goats' dung at a quarter, kg/day, times its potential.
    let cow = fenlamp_model::reference::feedstock("cow_dung").expect("a row");
    let ceiling = super::Ceiling::of_waste(&[(cow, 10.0)], &Wish::everything());
    let by_hand = 10.0 * 0.16 * 0.80 * 222.0;
    assert!((ceiling.methane_dry_normal_l_per_day[0] - by_hand).abs() < 1e-6);
}

#[test]
fn what_not_to_feed_goes_with_the_waste() {
    let ids = |text: &str| -> Vec<String> {
        super::keep_out(&demo(text))
            .into_iter()
            .map(|k| k.id)
            .collect()
    };
    let (goats, school) = (ids(GOATS), ids(SCHOOL));
    // Garden and kitchen waste in one, dung in both, no garden at the school.
    assert!(goats.contains(&"sprayed".to_owned()) && !school.contains(&"sprayed".to_owned()));
    for id in ["medicine", "citrus", "disinfectant", "salt"] {
        assert!(
            goats.contains(&id.to_owned()) && school.contains(&id.to_owned()),
            "{id}"
        );
    }
    for row in super::keep_out(&demo(GOATS)) {
        assert!(!row.words.contains("digestion_limits"), "{}", row.words);
    }
}

#[test]
fn nobody_feeds_while_away_and_nothing_is_made_up_for() {
    let mut plan = demo(SCHOOL);
    plan.feeding.ramp_days = 0;
    let solids = vec![0.2; plan.waste.len()];
    let before = fenlamp_model::world::calendar::daily_feed(&plan, &solids);
    plan.feeding.away.push(fenlamp_model::plan::Away {
        from_day: 100,
        days: 14,
    });
    let after = fenlamp_model::world::calendar::daily_feed(&plan, &solids);
    for day in 0..200 {
        if (100..114).contains(&day) {
            assert_eq!(after[day].total_kg(), 0.0);
        } else {
            assert_eq!(after[day], before[day], "{day}");
        }
    }
}

#[test]
fn gas_pays_and_spares_as_the_sum_says() {
    use super::payback::{PaybackError, Prices, payback};
    use fenlamp_model::world::draw;
    use fenlamp_model::world::{DayRow, WorldRun};
    let mut plan = demo(SCHOOL);
    plan.gas_side = Default::default();
    // Two worlds of 1000 and 2000 L of methane a day.
    let runs: Vec<WorldRun> = [1000.0, 2000.0]
        .map(|methane_l| WorldRun {
            days: vec![
                DayRow {
                    methane_l,
                    ..DayRow::default()
                };
                plan.days as usize
            ],
            ..WorldRun::default()
        })
        .into();
    let draws = draw::latin_hypercube(&plan, 2, 1);
    let mut prices = Prices {
        parts: 300.0,
        upkeep_per_year: 10.0,
        fuel: "propane".to_owned(),
        fuel_price: 2.0,
        money: "crowns".to_owned(),
        fuel_carbon_kg_per_gj: None,
    };
    let got = payback(&plan, &draws, &runs, &prices).expect("a reckoning");
    // By hand: 365 m3 at 35.8 MJ, the same stove on either, 47.3 MJ/kg.
    let kg = 365.0 * fenlamp_model::gas::uses::methane_mj_per_m3() / 47.3;
    let middle = 1.5 * kg;
    assert!((got.fuel_saved_per_year.p50 / middle - 1.0).abs() < 1e-6);
    let years = 300.0 / (middle * 2.0 - 10.0);
    assert!((got.payback_years_p50.expect("it pays") / years - 1.0).abs() < 1e-6);
    assert!(got.payback_years_p10 < got.payback_years_p90);
    let co2 = middle * 47.3 * 63.1e-3;
    assert!((got.displaced_kg_co2_per_year.p50 / co2 - 1.0).abs() < 1e-6);
    // Per kg of methane: 50 MJ spare 3.15 kg; lost it counts 27.
    let share = 3.15 / (3.15 + 27.0);
    assert!(
        (got.break_even_loss_share - share).abs() < 0.003,
        "{}",
        got.break_even_loss_share
    );
    assert!(got.lost_share.is_none());

    prices.upkeep_per_year = 1e6;
    let never = payback(&plan, &draws, &runs, &prices).expect("a reckoning");
    assert_eq!(never.payback_years_p50, None);
    assert_eq!(never.never_share_of_worlds, 1.0);
    prices.fuel = "peat".to_owned();
    let err = payback(&plan, &draws, &runs, &prices).expect_err("no such fuel");
    assert_eq!(err, PaybackError::NoSuchFuel("peat".to_owned()));
    prices.fuel = "kerosene".to_owned();
    prices.parts = f64::NAN;
    assert!(payback(&plan, &draws, &runs, &prices).is_err());
}

#[test]
fn a_recipe_keeps_its_chance_where_the_same_waste_fed_naively_does_not() {
    use super::{Settings, all_at_hand, naive, recipe};
    use fenlamp_model::forecast::runs::{Control, run_worlds};
    use fenlamp_model::world::Shared;
    use fenlamp_model::world::draw;
    use fenlamp_model::world::outcome::soured;
    // All the kitchen's leftovers are at hand: a wise share of them must be left out.
    let plan = all_at_hand(&demo(SCHOOL));
    let settings = Settings {
        worlds: 40,
        with_away: false,
        ..Settings::default()
    };
    let got = recipe(&plan, &Wish::everything(), &settings, &Control::none()).expect("a recipe");
    assert!(got.passed, "{:?}", got.checked);
    assert!(got.checked.sour_share() <= settings.sour_chance);
    let sour = |plan: &fenlamp_model::plan::Plan| {
        // Other worlds than those it was checked in.
        let draws = draw::latin_hypercube(plan, 40, 77);
        let runs = run_worlds(plan, &Shared::new(plan), &draws).expect("it runs");
        runs.iter().filter(|r| soured(&r.days)).count()
    };
    let (advised, naive) = (sour(&got.plan), sour(&naive(&plan)));
    assert!(advised <= 6, "{advised} of 40 sour");
    assert!(naive > advised, "{naive} against {advised} of 40 sour");
}
