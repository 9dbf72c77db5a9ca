//! The drawing: strata, ties, batches, names.

use super::*;
use crate::forecast::levers::spearman;
use crate::plan::{NoFiles, read};

const CROFT: &str = include_str!("../../../../../examples/hollin-croft.toml");

fn croft() -> Plan {
    read(CROFT, "hollin-croft.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"))
}

fn axis(draws: &[WorldDraw], axis: usize) -> Vec<f64> {
    draws.iter().map(|d| d.unit[axis]).collect()
}

#[test]
fn every_axis_of_every_batch_is_a_latin_hypercube_also_where_it_is_tied() {
    let plan = croft();
    for (batch, size) in latin_hypercube(&plan, 2 * BATCH + 7, 3)
        .chunks(BATCH)
        .zip([BATCH, BATCH, 7])
    {
        assert_eq!(batch.len(), size);
        for a in 0..WorldDraw::dimensions(&plan) {
            let mut strata: Vec<usize> = axis(batch, a)
                .iter()
                .map(|u| (u * size as f64) as usize)
                .collect();
            strata.sort_unstable();
            assert_eq!(strata, (0..size).collect::<Vec<_>>(), "axis {a}");
        }
    }
}

#[test]
fn ties_are_met_and_nothing_else_is_tied() {
    let plan = croft();
    let inputs = inputs(&plan);
    let tied = inputs::ties(&inputs);
    // Five feedstocks with a rate each, three wastes with an amount each.
    assert_eq!(tied.len(), plan.feedstocks.len() + plan.waste.len());
    let place = |axis: usize| {
        let rows = reference::inferred();
        rows.iter().position(|row| row.id == inputs[axis].id)
    };
    for seed in 1..5 {
        let draws = latin_hypercube(&plan, BATCH, seed);
        for a in 0..inputs.len() {
            for b in a + 1..inputs.len() {
                let rho = spearman(&axis(&draws, a), &axis(&draws, b)).expect("they vary");
                let wanted = tied.iter().find(|t| (t.0, t.1) == (a, b)).map(|t| t.2);
                let chance = 4.0 / 59f64.sqrt();
                // A tie is met closely; chance stays within four standard errors, also
                // about the correlation of two inferred constants.
                let (aim, room) = match (wanted, place(a), place(b)) {
                    (Some(tie), ..) => (tie, 0.12),
                    (_, Some(row), Some(column)) => {
                        (reference::inferred()[row].correlation[column], chance)
                    }
                    _ => (0.0, chance),
                };
                let pair = (&inputs[a].id, &inputs[b].id);
                assert!((rho - aim).abs() < room, "{pair:?}: {rho} for {aim}");
            }
        }
    }
}

#[test]
fn no_tie_makes_a_parent_of_a_child() {
    for t in inputs::TIES {
        assert!(inputs::TIES.iter().all(|o| o.parent != t.child));
        let children = inputs::TIES.iter().filter(|o| o.child == t.child).count();
        assert_eq!(children, 1);
        assert!(t.why.contains("judgement"));
    }
}

#[test]
fn more_worlds_never_change_the_first_batch() {
    let plan = croft();
    let few = latin_hypercube(&plan, BATCH, 9);
    let many = latin_hypercube(&plan, 3 * BATCH, 9);
    assert_eq!(format!("{few:?}"), format!("{:?}", &many[..BATCH]));
    assert_ne!(many[0].unit, many[BATCH].unit);
    let second = batch(&plan, BATCH, 9, 1);
    assert_eq!(
        format!("{second:?}"),
        format!("{:?}", &many[BATCH..2 * BATCH])
    );
}

#[test]
fn every_input_has_a_name_a_coordinate_and_a_value() {
    let plan = croft();
    let inputs = inputs(&plan);
    let draw = &latin_hypercube(&plan, 4, 1)[2];
    assert_eq!(draw.unit.len(), inputs.len());
    assert_eq!(draw.values.len(), inputs.len());
    let at = |id: &str| {
        let found = inputs.iter().position(|i| i.id == id);
        found.unwrap_or_else(|| panic!("no {id}"))
    };
    assert_eq!(draw.values[at("seed")], draw.seed_acetoclasts[0]);
    assert_eq!(draw.values[at("year_warmth")], draw.weather.air_offset_k);
    assert_eq!(draw.values[at("amount_2")], draw.amount[1]);
    let goat = plan.feedstocks.iter().position(|f| f.id == "goat_manure");
    let goat = goat.expect("goats");
    assert_eq!(
        draw.values[at("rate_goat_manure")],
        draw.hydrolysis_per_d[goat]
    );
    assert_eq!(
        draw.values[at("heap_conductivity")],
        draw.warmth.heap.conductivity_factor
    );
    assert_eq!(
        draw.values[at("carbon_goat_manure")],
        draw.feed[goat].carbon
    );
    // Last of all, so that a world keeps its other coordinates.
    let last = &inputs[inputs.len() - plan.feedstocks.len()..];
    assert!(last.iter().all(|i| i.kind == InputKind::Carbon));
    let mut ids: Vec<&str> = inputs.iter().map(|i| i.id.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), inputs.len());
    // What burns in the heap only does not act on the slurry.
    assert!(!inputs[at("rate_wood_chips_hardwood")].acts);
    assert!(inputs[at("rate_goat_manure")].acts && inputs[at("heap_heat")].acts);
}

/// Each seed is strong or weak by itself; a plan without seed has the axis of one that
/// it may be given.
#[test]
fn each_seed_has_an_axis() {
    use crate::plan::SeedKind;
    let mut plan = croft();
    let axes = |plan: &Plan| {
        let all = inputs(plan);
        let of = all.iter().filter(|i| i.kind == InputKind::Seed);
        of.map(|i| (i.id.clone(), i.acts)).collect::<Vec<_>>()
    };
    assert_eq!(axes(&plan), [("seed".to_owned(), true)]);
    let mut sludge = plan.first_fill.seeds[0].clone();
    sludge.kind = SeedKind::SewageSludge;
    plan.first_fill.seeds.push(sludge);
    let two = [("seed_1".to_owned(), true), ("seed_2".to_owned(), true)];
    assert_eq!(axes(&plan), two);
    let draws = latin_hypercube(&plan, BATCH, 3);
    let of = |i: usize| draws.iter().map(move |d| d.seed_acetoclasts[i]);
    for (i, seed) in plan.first_fill.seeds.iter().enumerate() {
        let band = crate::world::seed::acetoclasts(seed.kind);
        let below = of(i).filter(|v| *v < band.mid).count();
        assert_eq!(below, BATCH / 2);
    }
    let together = of(0)
        .zip(of(1))
        .filter(|(a, b)| (a < &0.003) == (b < &0.024));
    let together = together.count();
    assert!(
        (BATCH / 4..=3 * BATCH / 4).contains(&together),
        "{together}"
    );
    plan.first_fill.seeds.clear();
    assert_eq!(axes(&plan), [("seed".to_owned(), false)]);
}

#[test]
fn measured_figures_draw_a_narrower_band_about_the_value() {
    let text = |word: &str, amount: &str| {
        format!(
            "{CROFT}\n[[feedstock]]\nid = \"mine\"\nlike = \"goat_manure\"\n\
             total_solids = \"15 %{word}\"\nmethane = \"210 L/kg{word}\"\n\
             hydrolysis = \"0.06 per day{word}\"\nsulfur = \"0.5 %{word}\"\niron = \"0.1 %{word}\"\n\
             [[waste]]\nfeedstock = \"mine\"\namount = \"500 g/day{amount}\"\n"
        )
    };
    let drawn = |word: &str, amount: &str| {
        let text = text(word, amount);
        let plan = read(&text, "mine.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
        let last = plan.waste.len();
        let inputs = inputs(&plan);
        let draws = latin_hypercube(&plan, BATCH, 5);
        [
            "solids_mine",
            "potential_mine",
            "rate_mine",
            "sulfur_mine",
            "iron_mine",
        ]
        .map(str::to_owned)
        .into_iter()
        .chain([format!("amount_{last}")])
        .map(|id| {
            let at = inputs.iter().position(|i| i.id == id).expect("an input");
            let mut v: Vec<f64> = draws.iter().map(|d| d.values[at]).collect();
            v.sort_by(f64::total_cmp);
            (v[0], 0.5 * (v[BATCH / 2 - 1] + v[BATCH / 2]), v[BATCH - 1])
        })
        .collect::<Vec<_>>()
    };
    let stated = drawn("", "");
    let measured = drawn(", measured", ", weighed");
    let middles = [0.15, 0.210, 0.06, 1.0, 1.0, 1.0];
    for ((wide, narrow), middle) in stated.iter().zip(&measured).zip(middles) {
        assert!(
            (narrow.1 / middle - 1.0).abs() < 0.02,
            "{narrow:?} {middle}"
        );
        assert!(
            narrow.0 > wide.0 && narrow.2 < wide.2,
            "{wide:?} {narrow:?}"
        );
        assert!(
            narrow.2 - narrow.0 < 0.75 * (wide.2 - wide.0),
            "{wide:?} {narrow:?}"
        );
    }
}

/// As long as the liquid is an answer too, and not the want of one.
#[test]
fn a_stated_stay_of_solids_is_not_drawn() {
    let stays = |text: &str| {
        let plan = read(text, "stay.toml", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
        let draws = latin_hypercube(&plan, 8, 2);
        draws.iter().map(|d| d.solids_stay).collect::<Vec<f64>>()
    };
    let vessel = "kind = \"tote\"";
    assert!(CROFT.contains(vessel) && !CROFT.contains("solids_stay"));
    for stated in [1.0, 1.5] {
        let text = CROFT.replace(vessel, &format!("{vessel}\nsolids_stay = {stated:?}"));
        assert_eq!(stays(&text), [stated; 8]);
    }
    let drawn = stays(CROFT);
    assert!(drawn.iter().any(|s| *s != drawn[0]), "{drawn:?}");
}

#[test]
fn an_unchanged_plan_draws_the_same_worlds_again() {
    let plan = croft();
    for draw in latin_hypercube(&plan, 5, 4) {
        assert_eq!(format!("{draw:?}"), format!("{:?}", draw.again(&plan)));
    }
}

#[test]
fn names_read_as_in_a_sentence() {
    assert_eq!(
        inputs::short("Vegetable peelings, no meat"),
        "vegetable peelings"
    );
    assert_eq!(inputs::short("EPDM dust (none)"), "EPDM dust");
}
