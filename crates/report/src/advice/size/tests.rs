use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::search::{near, smallest};
use super::*;
use fenlamp_model::plan::{NoFiles, read};

#[test]
fn the_search_finds_the_edge_of_what_passes() {
    for edge in [0.11, 0.5, 0.93, 1.0, 3.3, 9.7] {
        let met = |size: f64| Ok(if size >= edge { 0.9 } else { 0.3 });
        let found = smallest(0.1, 10.0, 0.8, &met, &Control::none()).expect("no engine");
        let got = found.smallest.expect("an answer");
        assert!((1.0..1.02).contains(&(got / edge)), "{edge}: {got}");
        assert_eq!(found.share_at(got), 0.9);
        for guess in [0.1, 0.7, edge, 10.0] {
            let found = near(guess, 0.1, 10.0, 0.8, &met, &Control::none()).expect("no engine");
            let got = found.smallest.expect("an answer");
            assert!(
                (1.0..1.02).contains(&(got / edge)),
                "{edge} from {guess}: {got}"
            );
        }
    }
}

#[test]
fn a_search_without_an_answer_says_the_best_it_saw() {
    let met = |size: f64| Ok(0.5 - 0.01 * (size - 1.0_f64).abs());
    let found = smallest(0.1, 10.0, 0.8, &met, &Control::none()).expect("no engine");
    assert_eq!(found.smallest, None);
    assert!((found.best - 1.0).abs() < 0.01, "{}", found.best);
    let found = near(3.0, 0.1, 10.0, 0.8, &met, &Control::none()).expect("no engine");
    assert_eq!(found.smallest, None);
    let all = |_: f64| Ok(1.0);
    let found = near(3.0, 0.1, 10.0, 0.8, &all, &Control::none()).expect("no engine");
    assert_eq!(found.smallest, Some(0.1));
}

#[test]
fn a_search_stops_when_asked() {
    let stop = std::sync::atomic::AtomicBool::new(true);
    let control = Control {
        progress: &|_, _| {},
        cancelled: &stop,
    };
    let met = |_: f64| Ok(1.0);
    assert_eq!(
        smallest(0.1, 10.0, 0.8, &met, &control),
        Err(WorldError::Cancelled)
    );
}

/// A small invented plan, held warm so that a trial is quick.
fn plan(rng: &mut impl Rng) -> Plan {
    let (kg, litres) = (rng.random_range(1.0..4.0), rng.random_range(150.0..400.0));
    let (warm, seed) = (rng.random_range(24.0..36.0), 0.3 * litres);
    let feedstock = ["cow_dung", "goat_manure", "horse_manure"][rng.random_range(0..3)];
    let text = format!(
        "[plan]\nname = \"invented\"\nstart = 2026-01-01\nlength = \"40 days\"\n\
         [place]\nname = \"invented\"\nlatitude = \"50 °N\"\n\
         [slurry]\ntemperature = \"{warm:.1} °C\"\n\
         [vessel]\nkind = \"drum\"\nvolume = \"{litres:.0} L\"\nstands = \"room\"\n\
         room_temperature = \"20 °C\"\nrun = \"overflow\"\n\
         [[waste]]\nfeedstock = \"{feedstock}\"\namount = \"{kg:.2} kg/day\"\n\
         [feeding]\nfrom = \"day 0\"\nramp = \"0 days\"\nwater = \"to 8 % solids\"\n\
         [seed]\nkind = \"digestate\"\nvolume = \"{seed:.0} L\"\ngrown_at = \"32 °C\"\n"
    );
    read(&text, "invented", &NoFiles).unwrap_or_else(|e| panic!("{e:?}\n{text}"))
}

#[test]
fn twenty_sizes_equal_a_fine_grid_search() {
    let settings = SizeSettings {
        chance: 0.75,
        worlds: 4,
    };
    let control = Control::none();
    let mut found = 0;
    for seed in 0..20 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let plan = plan(&mut rng);
        let mut wish = Wish::parse("1 kettle a day in February").expect("a wish");
        let worlds = Worlds::new(&plan, &wish, &settings, Part::Vessel, &control).expect("worlds");
        // A part of what the plan itself gives in its middle world.
        let runs = run(&plan, &worlds.draws, &control).expect("it runs");
        let days = settled(&plan);
        let mut gives: Vec<f64> = runs
            .iter()
            .map(|r| check::mean(r, &days[1], |d| d.methane_l))
            .collect();
        gives.sort_by(f64::total_cmp);
        let kettles =
            fenlamp_model::gas::uses::of_methane(gives[2] * rng.random_range(0.5..0.95)).kettles;
        wish.want = crate::advice::Want::Kettles(kettles);

        let sized = size(&plan, &wish, &settings, Part::Vessel, &control).expect("it runs");
        let worlds = Worlds::new(&plan, &wish, &settings, Part::Vessel, &control).expect("worlds");
        let passes = |factor: f64| {
            let share = worlds
                .met_share(&Part::Vessel.scaled(&plan, factor))
                .expect("it runs");
            share + 1e-9 >= settings.chance
        };
        let Some(litres) = sized.smallest else {
            continue;
        };
        found += 1;
        let factor = litres / sized.now;
        assert!(passes(factor), "{seed}: {factor} does not pass");
        // A grid of 2 % near the size, and a coarser one below.
        let fine = (1..)
            .map(|i| factor * 0.75 * 1.02_f64.powi(i))
            .take_while(|f| *f < factor / 1.02);
        let coarse = (0..)
            .map(|i| FROM * 1.3_f64.powi(i))
            .take_while(|f| *f < 0.75 * factor);
        for smaller in coarse.chain(fine) {
            assert!(!passes(smaller), "{seed}: {smaller} passes below {factor}");
        }
    }
    assert!(found >= 15, "only {found} of 20 wishes have a size");
}

#[test]
fn a_scaled_part_is_as_much_larger_and_nothing_else_is() {
    let text = include_str!("../../../../../examples/mango-yard-school.toml");
    let plan = read(text, "school", &NoFiles).expect("a plan");
    let text = include_str!("../../../../../examples/hollin-croft.toml");
    let goats = read(text, "goats", &NoFiles).expect("a plan");
    for plan in [plan, goats] {
        for part in Part::ALL {
            let Some(now) = part.of(&plan) else {
                continue;
            };
            let scaled = part.scaled(&plan, 1.7);
            let then = part.of(&scaled).expect("still there");
            // A bag's closed ends are no power of its length: within a tenth.
            let near = if part == Part::Store { 0.1 } else { 1e-9 };
            assert!(
                (then / now / 1.7 - 1.0).abs() < near,
                "{part:?}: {now} to {then}"
            );
            for other in Part::ALL.into_iter().filter(|o| *o != part) {
                assert_eq!(
                    other.of(&scaled),
                    other.of(&plan),
                    "{part:?} moves {other:?}"
                );
            }
        }
    }
    let text = include_str!("../../../../../examples/laboratory-batch.toml");
    let bench = read(text, "bench", &NoFiles).expect("a plan");
    assert_eq!(Part::Heap.of(&bench), None);
    let wish = Wish::everything();
    let get = |part| {
        size(
            &bench,
            &wish,
            &SizeSettings::default(),
            part,
            &Control::none(),
        )
    };
    assert!(matches!(
        get(Part::Heap),
        Err(SizeError::NoSuchPart("heap"))
    ));
    assert!(matches!(get(Part::Vessel), Err(SizeError::NoAmount)));
}
