use super::acid_base;
use super::state::*;
use super::system::*;
use super::*;
use crate::published::steady_state;
use crate::solver::dual::Dual;

fn table() -> Vec<(String, Option<f64>, f64)> {
    steady_state()
        .iter()
        .map(|row| (row.symbol.clone(), row.influent, row.steady_state))
        .collect()
}

fn lund_conditions(pools: usize) -> Conditions {
    Conditions {
        temperature_k: 308.15,
        liquid_m3: 3400.0,
        gas_m3: 300.0,
        p_out_bar: 1.013,
        outlet_per_d_bar: 5e4 / 3400.0,
        k_l_a_per_d: 200.0,
        dilution_per_d: 170.0 / 3400.0,
        world: WorldFactors::none(pools),
        ammonia_tolerance: 1.0,
    }
}

/// Runs the Lund case to rest; returns state and protons.
fn lund_steady(model: &Digestion) -> (Vec<f64>, f64) {
    let n = model.states();
    let (mut influent, mut y) = (vec![0.0; n], vec![0.0; n]);
    for (symbol, inlet, steady) in table() {
        if let Some(i) = place(&symbol) {
            influent[i] = inlet.unwrap_or(0.0);
            // Start well off the answer.
            y[i] = 0.7 * steady;
        }
    }
    let conditions = lund_conditions(model.pools.len());
    let mut running = Running::new(model, &conditions, Some(&influent), 1e-7);
    let mut stepper = model.stepper();
    stepper
        .advance(&mut running, &mut y, 2000.0, &model.tolerance(1e-10))
        .unwrap();
    (y, running.h)
}

#[test]
fn the_lund_steady_state_is_met_to_six_digits() {
    let model = Digestion::plain();
    let (y, h) = lund_steady(&model);
    let conditions = lund_conditions(model.pools.len());
    let running = Running::<f64>::new(&model, &conditions, None, h);
    let k = running.coefficients();
    let ion = |i: usize, ka: f64| acid_base::dissociated(y[i], ka, h).value;
    let p: f64 = kinetics::total_pressure(k, &y);
    let ours = |symbol: &str| match symbol {
        "S_va_ion" => ion(S_VA, k.acid.va),
        "S_bu_ion" => ion(S_BU, k.acid.bu),
        "S_pro_ion" => ion(S_PRO, k.acid.pro),
        "S_ac_ion" => ion(S_AC, k.acid.ac),
        "S_hco3_ion" => ion(S_IC, k.acid.co2),
        "S_nh3" => ion(S_IN, k.acid.nitrogen),
        "pH" => -h.log10(),
        "q_gas" => running.outflow_m3_per_d(&y) * p / 1.013,
        "p_gas_h2" => k.pressure[0] * y[G_H2],
        "p_gas_ch4" => k.pressure[1] * y[G_CH4],
        "p_gas_co2" => k.pressure[2] * y[G_CO2],
        "p_gas_total" => p,
        s => y[place(s).unwrap_or_else(|| panic!("unknown symbol {s}"))],
    };
    let mut worst = (0.0, String::new());
    for (symbol, _, published) in table() {
        let relative = (ours(&symbol) / published - 1.0).abs();
        if relative > worst.0 {
            worst = (relative, symbol.clone());
        }
    }
    assert!(worst.0 < 5e-7, "worst relative difference {worst:?}");
}

/// A deterministic scatter of plausible states.
fn scattered(n: usize, seed: u64) -> Vec<f64> {
    let mut s = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut next = || {
        s ^= s << 13;
        s ^= s >> 7;
        s ^= s << 17;
        (s >> 11) as f64 / (1u64 << 53) as f64
    };
    (0..n)
        .map(|i| {
            let u: f64 = next();
            match i {
                S_H2 => 1e-8 + 1e-6 * u,
                G_H2 => 1e-5 * u,
                S_IC | S_IN => 0.01 + 0.2 * u,
                S_CAT => 0.05 + 0.1 * u,
                S_AN => 0.02 * u,
                S_SO4 | S_IS | S_FE | X_FES | X_S0 => 0.01 * u,
                G_H2S => 1e-4 * u,
                G_CO2 | G_N2 | G_O2 => 0.02 * u,
                G_CH4 => 2.0 * u,
                _ => 0.001 + 2.0 * u,
            }
        })
        .collect()
}

fn household() -> Digestion {
    let c = Constants::reference();
    let pool = Pool {
        rate: 0.07,
        carbon: 0.031,
        nitrogen: 0.004,
        sulfur: 1e-4,
        products: vec![(S_SU, 0.70), (S_AA, 0.2), (S_FA, 0.1 - 64.0 * 1e-4)],
    };
    let second = Pool {
        rate: 0.3,
        ..pool.clone()
    };
    Digestion::new(c, vec![pool, second])
}

fn thermal() -> biology::ThermalBiology {
    let guilds = biology::GuildTemperatures {
        cold_speed: 0.25,
        cold_opt_c: 18.0,
        cold_span_k: 25.0,
        mid_min_c: 7.0,
        mid_opt_c: 39.0,
    };
    biology::ThermalBiology::new(&guilds, 60_000.0, 40_000.0, 1.5)
}

/// Every addition at a strength that is felt in [`scattered`] states.
fn strong() -> Biology {
    Biology {
        thermal: Some(thermal()),
        terms: Terms {
            hydrolyser_time: 2.0,
            hydrolysis_protons: 1e6,
            acids_on_hydrolysis: 0.3,
            acetic_on_fermenters: 0.5,
            acetic_on_methanogens: 3.0,
            acetoclasts_half_ph: Some(6.1),
            ammonia_linear: 0.2,
            ammonia_square: 200.0,
            ammonia_on_others: 0.6,
            homoacetogens: 8.0,
            lactic_half_ph: Some(6.5),
        },
    }
}

fn household_factors(model: &Digestion) -> WorldFactors {
    WorldFactors {
        biology: std::sync::Arc::new(strong()),
        feed_carbon: vec![0.004, -0.003],
        ..WorldFactors::none(model.pools.len())
    }
}

fn household_conditions(model: &Digestion, t_c: f64) -> Conditions {
    Conditions {
        temperature_k: t_c + 273.15,
        liquid_m3: 0.85,
        gas_m3: 0.15,
        p_out_bar: 1.02,
        outlet_per_d_bar: 100.0,
        k_l_a_per_d: 100.0,
        dilution_per_d: 0.0,
        world: household_factors(model),
        ammonia_tolerance: 1.0,
    }
}

#[test]
fn the_jacobian_equals_the_dual_one() {
    let model = household();
    let n = model.states();
    for seed in 1..=25 {
        let y = scattered(n, seed);
        let conditions = household_conditions(&model, 8.0 + seed as f64 * 1.5);
        let mut running = Running::<f64>::new(&model, &conditions, None, 1e-7);
        let exact = model.dense_jacobian(&mut running, &y);
        for b in 0..n {
            let mut dual: Vec<Dual> = y.iter().map(|&v| Dual { re: v, eps: 0.0 }).collect();
            dual[b].eps = 1.0;
            let mut running =
                Running::<Dual>::new(&model, &conditions, None, Dual { re: 1e-7, eps: 0.0 });
            let mut f = vec![Dual { re: 0.0, eps: 0.0 }; n];
            running.derivatives(&dual, &mut f);
            for a in 0..n {
                let scale = exact[a].iter().fold(1e-6f64, |m, v| m.max(v.abs()));
                let difference = (f[a].eps - exact[a][b]).abs();
                assert!(
                    difference <= 1e-10 * scale,
                    "row {a} column {b} seed {seed}: dual {} written {}",
                    f[a].eps,
                    exact[a][b]
                );
            }
        }
    }
}

#[test]
fn every_process_conserves_cod_carbon_nitrogen_and_sulfur() {
    let model = household();
    let n = model.states();
    for seed in 1..=50 {
        let y = scattered(n, seed);
        let conditions = household_conditions(&model, seed as f64);
        let mut running = Running::<f64>::new(&model, &conditions, None, 1e-7);
        let mut f = vec![0.0; n];
        running.derivatives(&y, &mut f);
        let volume = |i: usize| match phase(i) {
            Phase::Headspace => conditions.gas_m3,
            Phase::Left => 1.0,
            _ => conditions.liquid_m3,
        };
        for (name, content) in [
            ("COD", &model.content.cod),
            ("carbon", &conditions.world.carbon(&model.content)),
            ("nitrogen", &model.content.nitrogen),
            ("sulfur", &model.content.sulfur),
        ] {
            let parts: Vec<f64> = (0..n).map(|i| f[i] * volume(i) * content[i]).collect();
            let sum: f64 = parts.iter().sum();
            let scale: f64 = parts.iter().map(|v| v.abs()).sum();
            assert!(
                sum.abs() <= 1e-12 * scale,
                "{name} drifts by {sum} of {scale}, seed {seed}"
            );
        }
    }
}

#[test]
fn additions_at_zero_strength_change_nothing() {
    let plain = Digestion::plain();
    // Thermal biology at 35 degC with the plain decay, a feed pool that stays empty, no
    // sulfur, no air.
    let full = household();
    let (n, m) = (plain.states(), full.states());
    let mut y = vec![0.0; m];
    for (symbol, _, steady) in table() {
        if let Some(i) = place(&symbol) {
            y[i] = steady;
        }
    }
    let conditions = lund_conditions(plain.pools.len());
    let mut wide = conditions.clone();
    wide.world = WorldFactors {
        biology: std::sync::Arc::new(Biology {
            thermal: Some(biology::ThermalBiology {
                decay: 1.0,
                ..thermal()
            }),
            terms: Terms::PLAIN,
        }),
        ..WorldFactors::none(full.pools.len())
    };
    let (mut f, mut g) = (vec![0.0; n], vec![0.0; m]);
    Running::<f64>::new(&plain, &conditions, None, 1e-7).derivatives(&y[..n], &mut f);
    Running::<f64>::new(&full, &wide, None, 1e-7).derivatives(&y, &mut g);
    for i in 0..n {
        let scale = f.iter().fold(0.0f64, |a, v| a.max(v.abs()));
        assert!(
            (f[i] - g[i]).abs() <= 1e-12 * scale,
            "state {i}: {} against {}",
            f[i],
            g[i]
        );
    }
    assert_eq!(g[n..], [0.0, 0.0]);
}

#[test]
fn guilds_answer_to_their_temperatures() {
    let b = thermal();
    let at = |t: f64| biology::RateFactors::at(&b, t + 273.15);
    let guild = at(35.0).guild;
    assert!((guild[MID] - 1.0).abs() < 1e-12, "{guild:?}");
    assert!(guild[0] < 0.2, "the cold guild is beaten at 35");
    assert!(at(10.0).guild[0] > 5.0 * at(10.0).guild[MID]);
    assert!(at(50.0).guild[2] > 1.0 && at(50.0).guild[MID] == 0.0);
    let death = at(42.0).guild_death;
    assert!(
        (death[0] - 0.3).abs() < 1e-9 && death[1..] == [0.0, 0.0],
        "{death:?}"
    );
    assert!(at(50.0).guild_death[MID] > 0.0);
    assert_eq!(at(35.0).hydrogen_users, 1.0);
    assert!(at(10.0).hydrogen_users < 0.5);
}

/// The form has a pole where the best temperature lies below the middle of the ends.
#[test]
fn every_curve_rises_to_its_best_and_falls() {
    for (cold_opt_c, cold_span_k) in [(12.0, 45.0), (18.0, 22.0), (28.0, 14.0), (60.0, 10.0)] {
        let b = biology::ThermalBiology::new(
            &biology::GuildTemperatures {
                cold_opt_c,
                cold_span_k,
                cold_speed: 0.2,
                mid_min_c: 1.0,
                mid_opt_c: 36.0,
            },
            60_000.0,
            40_000.0,
            1.5,
        );
        for curve in b.guild.iter().chain([&b.acidogens, &b.syntrophs]) {
            let steps = 40;
            let rise = (0..=steps).map(|k| {
                curve.relative(curve.min_c + (curve.opt_c - curve.min_c) * f64::from(k) / 40.0)
            });
            let rise: Vec<f64> = rise.collect();
            assert!(rise.is_sorted() && rise[0] == 0.0, "{curve:?} {rise:?}");
            assert!((rise[40] - 1.0).abs() < 1e-12);
            let half = 0.5 * (curve.opt_c + curve.max_c);
            assert!((0.0..1.0).contains(&curve.relative(half)));
        }
    }
}

/// Gas that comes back through the outlet brings no trace that is less than nothing.
#[test]
fn a_trace_below_zero_does_not_grow_when_gas_comes_back() {
    let model = household();
    let n = model.states();
    let mut y = scattered(n, 3);
    for g in G_H2..=G_O2 {
        y[g] *= 1e-3;
    }
    y[G_N2] = -1e-9;
    let conditions = household_conditions(&model, 25.0);
    let mut f = vec![0.0; n];
    Running::<f64>::new(&model, &conditions, None, 1e-7).derivatives(&y, &mut f);
    assert_eq!(f[G_N2], 0.0);
    // The others do come back.
    assert!(f[G_CH4] > 0.0, "{}", f[G_CH4]);
}

#[test]
fn the_matrix_stays_sparse() {
    // Entries, entries with fill, multiplications of one factorisation: a change
    // of structure that costs speed shows here.
    assert_eq!(Digestion::plain().matrix_size(), (364, 431, 778));
    // Two pools of feed and every addition: the factor that the pools share is an unknown.
    let (_, filled, multiplications) = household().matrix_size();
    assert!(
        filled < 480 && multiplications < 955,
        "{filled} {multiplications}"
    );
}

#[test]
fn what_rests_is_left_out_and_nothing_else_changes() {
    let model = household();
    let n = model.states();
    for seed in 1..=10 {
        let mut y = scattered(n, seed);
        // No cold or warm guilds, no sulfur, no iron, no air; ions and inerts stay.
        for i in [
            X_AC,
            X_AC + 2,
            X_H2,
            X_H2 + 2,
            X_SRB,
            S_SO4,
            S_IS,
            S_FE,
            G_H2S,
            G_N2,
            G_O2,
            X_FES,
            X_S0,
        ] {
            y[i] = 0.0;
        }
        // The feed's own pools would free sulfide.
        y[n - 2..].fill(0.0);
        let present: Vec<bool> = y.iter().map(|&v| v != 0.0).collect();
        let layout = model.layout(&present);
        let (_, filled, multiplications) = layout.matrix_size();
        assert!(
            filled < 276 && multiplications < 515,
            "{filled} {multiplications}"
        );
        let conditions = household_conditions(&model, 8.0 + 3.0 * seed as f64);
        let h = 1e-7;
        let (mut whole, mut part) = (vec![0.0; n], vec![0.0; n]);
        Running::<f64>::new(&model, &conditions, None, h).derivatives(&y, &mut whole);
        Running::<f64>::together(
            &model,
            &layout,
            std::slice::from_ref(&conditions),
            h,
            model.rates(),
        )
        .derivatives(&y, &mut part);
        assert_eq!(whole, part);
        // A tenth of a day of it, with the same steps.
        let tolerance = model.tolerance(1e-4);
        let (mut a, mut b) = (y.clone(), y.clone());
        let mut running = Running::<f64>::new(&model, &conditions, None, h);
        let mut stepper = model.stepper();
        stepper
            .advance(&mut running, &mut a, 0.1, &tolerance)
            .unwrap();
        let mut running =
            Running::<f64>::together(&model, &layout, &[conditions], h, model.rates());
        let mut short = model.stepper_for(&layout);
        short
            .advance(&mut running, &mut b, 0.1, &tolerance)
            .unwrap();
        assert_eq!(stepper.effort, short.effort);
        for i in 0..n {
            let off = (a[i] - b[i]).abs();
            assert!(
                off <= 1e-11 * a[i].abs().max(1e-3),
                "state {i}: {} {}",
                a[i],
                b[i]
            );
        }
    }
    // Reducers and sulfate make the sulfide that is not there yet.
    let mut present = vec![true; n];
    present[S_IS] = false;
    present[G_H2S] = false;
    let all = model.layout(&present).matrix_size();
    // The strong ions aside, everything moves.
    assert!(all.0 > 340, "{all:?}");
}
