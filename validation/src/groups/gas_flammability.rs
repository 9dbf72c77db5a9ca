//! When biogas can burn in air.

use fenlamp_model::gas::flammability::{
    LimitTable, could_become_flammable_when_mixed_with_air, is_flammable, limits, purge_volumes,
};
use fenlamp_model::gas::{Mixture, Shares};
use fenlamp_model::reference::gas_value;

use super::{Group, biogas, or_nan};
use crate::Check;
use crate::oracle::oracle;

/// The group.
pub fn group() -> Group {
    Group {
        title: "Gas: when it can burn",
        about: "Worked example 11. Lower limits ignore the carbon dioxide, the safe side. Upper ends \
                of guides that call gas above 12 % safe are rejected: the real end is at 20 % or more.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let of = |gas: &Mixture, table| limits(gas, table);
    let sixty = biogas(60.0);
    let nfpa = of(&sixty, LimitTable::Nfpa497);
    let iec = of(&sixty, LimitTable::Iec60079);
    let percent = |x: f64| 100.0 * x;
    let lower = or_nan(nfpa.as_ref().map(|l| percent(l.lower)));
    let lower_iec = or_nan(iec.as_ref().map(|l| percent(l.lower)));
    let safe = or_nan(nfpa.as_ref().map(|l| percent(l.upper_safe)));
    let envelope = nfpa
        .as_ref()
        .ok()
        .and_then(|l| l.upper_envelope)
        .map_or(f64::NAN, percent);
    let sulfide =
        Mixture::biogas_with_h2s(0.60, 4000.0).and_then(|gas| limits(&gas, LimitTable::Nfpa497));
    let in_air = |share| {
        Mixture::air()
            .mixed_with(&sixty, share)
            .is_ok_and(|gas| is_flammable(&gas))
    };
    let yes = |b: bool| f64::from(u8::from(b));
    let unit = "% biogas";
    let mut out = vec![
        Check::new("g11_lower", "lower limit of 60/40 gas", 8.33, lower, unit)
            .source("NFPA497 (read)"),
        Check::new(
            "g11_lower_iec",
            "the same by the lower table",
            7.33,
            lower_iec,
            unit,
        )
        .source("IEC60079-20-1 (read)"),
        Check::new(
            "g11_sulfide",
            "lower limit with 0.4 % H2S, Le Chatelier",
            8.264,
            or_nan(sulfide.map(|l| percent(l.lower))),
            unit,
        )
        .source("NFPA497 (read)"),
        Check::new(
            "g11_upper",
            "upper limit along the envelope",
            20.6,
            envelope,
            unit,
        )
        .source("ZABETAKIS1965 (memory)"),
        Check::new(
            "g11_upper_methane",
            "the same as methane",
            12.36,
            0.6 * envelope,
            "% CH4",
        )
        .source("ZABETAKIS1965 (memory)"),
        Check::new(
            "g11_upper_safe",
            "upper limit, carbon dioxide ignored",
            25.0,
            safe,
            unit,
        )
        .source("NFPA497 (read)"),
        Check::new(
            "g11_ten",
            "10 % of 60/40 gas in air can burn",
            1.0,
            yes(in_air(0.10)),
            "",
        )
        .source("COWARD1952 (memory)"),
        Check::new(
            "g11_weak",
            "least methane that can burn with air",
            gas_value("ch4_min_flammable"),
            weakest(),
            "% CH4",
        )
        .absolute(0.2)
        .source("ZABETAKIS1965 (memory)"),
        Check::new(
            "g11_read_upper",
            "upper limit of 60/40 gas, handbook",
            gas_value("ufl_bg60_gtz"),
            envelope,
            unit,
        )
        .source("GTZ1989 (read)")
        .explained(
            (20.5, 20.7),
            "rejected handbook value: too low, and must not be read as a safe side",
        ),
        Check::new(
            "g11_read_upper_guide",
            "upper limit, guide",
            gas_value("ufl_bg_sanihub"),
            envelope,
            unit,
        )
        .source("SANIHUB (read)")
        .explained((20.5, 20.7), "rejected: as above"),
        Check::new(
            "g11_read_rich",
            "one part in 8 of air, rich end",
            100.0 / 9.0,
            envelope,
            unit,
        )
        .source("ARNOTT1985 (read)")
        .explained((20.5, 20.7), "rejected: as above"),
        Check::new(
            "g11_read_lower",
            "lower limit of 60/40 gas, handbook",
            gas_value("lfl_bg60_gtz"),
            lower_iec,
            unit,
        )
        .source("GTZ1989 (read)")
        .explained(
            (7.3, 7.4),
            "its lower end errs to the safe side of both standards",
        ),
    ];
    for (o2, n) in [(10.0, 0.740), (5.0, 1.433), (2.0, 2.349), (1.0, 3.042)] {
        out.push(
            Check::new(
                &format!("g11_purge_{o2}"),
                &format!("headspace volumes to bring air down to {o2} % oxygen"),
                n,
                or_nan(purge_volumes(0.2095, o2 / 100.0)),
                "volumes",
            )
            .source("ARITH (computed)"),
        );
    }
    for (dose, o2, n2, ch4) in [(0.05, 0.998, 3.72, 57.14), (0.12, 2.24, f64::NAN, f64::NAN)] {
        // The dose is per volume of gas.
        let mixed = sixty.mixed_with(&Mixture::air(), dose / (1.0 + dose));
        let share =
            |f: fn(Shares) -> f64| or_nan(mixed.as_ref().map(|gas| 100.0 * f(gas.shares())));
        let at = format!("{} % air into 60/40 gas", 100.0 * dose);
        let mut of = |id: &str, what: &str, published: f64, ours| {
            if published.is_finite() {
                out.push(
                    Check::new(&format!("g11_dose_{dose}_{id}"), what, published, ours, "%")
                        .relative(if id == "n2" { 0.015 } else { 0.003 })
                        .inputs(&*at)
                        .source("ARITH (computed)")
                        .note("ours counts the argon of air as nitrogen"),
                );
            }
        };
        of("o2", "oxygen after an air dose", o2, share(|x| x.o2));
        of("ch4", "methane after an air dose", ch4, share(|x| x.ch4));
        of("n2", "nitrogen after an air dose", n2, share(|x| x.n2));
    }
    for (percent, allowed) in [
        (50, (-0.35, 0.0)),
        (60, (-0.2, 0.0)),
        (65, (-0.15, 0.0)),
        (70, (-0.15, 0.0)),
    ] {
        // The flame-temperature rule counts the carbon dioxide; ours must lie below it.
        let theirs = oracle(&format!("lean_limit_{percent}"));
        let ours =
            or_nan(limits(&biogas(f64::from(percent)), LimitTable::Nfpa497).map(|l| l.lower));
        let off = 100.0 * (ours - theirs.value);
        out.push(
            Check::within(
                &format!("g11_lean_{percent}"),
                &format!("ours under the equal-flame-temperature limit at {percent} % methane"),
                allowed,
                off,
                "% biogas",
            )
            .source(theirs.origin())
            .note("the safe side ignores the carbon dioxide"),
        );
    }
    out
}

/// Least methane, %, of a methane and carbon dioxide gas that some air makes flammable.
fn weakest() -> f64 {
    (100..500)
        .map(|tenths| f64::from(tenths) / 10.0)
        .find(|percent| could_become_flammable_when_mixed_with_air(&biogas(*percent)))
        .unwrap_or(f64::NAN)
}
