//! Rules of thumb that go round among households, against published figures.

use fenlamp_model::reference::{animal, feedstock};

use super::Group;
use crate::Check;

/// Gas rules count warm (60 degF) dry cubic feet; our volumes are at 0 degC.
const FT3_60F_PER_L_AT_0C: f64 = (288.706 / 273.15) / 28.316_85;
/// Gross heat of methane per such cubic foot (ISO 6976, memory).
const BTU_PER_FT3_CH4: f64 = 1010.0;
const METHANE_SHARE: f64 = 0.60;

const RULE: &str = "common practice, no source";

/// The group.
pub fn group() -> Group {
    Group {
        title: "Household rules of thumb",
        about: "Figures in circulation without a source, against volatile solids times methane \
                potential of `animals.csv` at 60 % methane: the ultimate yield of all excreta. \
                They are not targets; the table says where they mislead.",
        checks: checks(),
    }
}

/// Checks of the group.
pub fn checks() -> Vec<Check> {
    let mut out = vec![];
    for rule in rules() {
        out.push(
            Check::new(
                &format!("rule_{}", rule.id),
                &format!("gas of one {} a day", rule.name),
                rule.ft3,
                gas_ft3(rule.id),
                "ft3",
            )
            .relative(0.05)
            .inputs("all excreta, fully digested, 60 degF, dry")
            .source(RULE)
            .explained(rule.gas_between, rule.why),
        );
        out.push(
            Check::new(
                &format!("rule_btu_{}", rule.id),
                &format!("heat of one {}'s gas a day", rule.name),
                rule.btu,
                heat_btu(rule.id),
                "BTU",
            )
            .relative(0.05)
            .inputs("gross")
            .source(RULE)
            .explained(rule.heat_between, "as the gas above"),
        );
    }
    out.extend(worked_rows());
    out
}

struct Rule {
    id: &'static str,
    name: &'static str,
    ft3: f64,
    btu: f64,
    gas_between: (f64, f64),
    heat_between: (f64, f64),
    why: &'static str,
}

fn rules() -> [Rule; 4] {
    [
        Rule {
            id: "human",
            name: "person",
            ft3: 1.0,
            btu: 600.0,
            gas_between: (0.49, 0.51),
            heat_between: (295.0, 310.0),
            why: "twice the low-fibre case; right only for high-fibre diets and full digestion (UPM19 cites 0.7 to 1.1 ft3)",
        },
        Rule {
            id: "layer_hen",
            name: "hen",
            ft3: 0.5,
            btu: 300.0,
            gas_between: (0.43, 0.45),
            heat_between: (260.0, 270.0),
            why: "1.15 times the inventory ceiling, 1.7 times a tested yield",
        },
        Rule {
            id: "cow_dairy",
            name: "cow",
            ft3: 8.25,
            btu: 4800.0,
            gas_between: (75.0, 77.5),
            heat_between: (45_500.0, 46_700.0),
            why: "about nine times too low for a housed 600 kg cow; it fits the 5 kg/d of dung collected from a small zebu",
        },
        Rule {
            id: "grower_pig",
            name: "pig",
            ft3: 9.0,
            btu: 5400.0,
            gas_between: (9.9, 10.3),
            heat_between: (6000.0, 6200.0),
            why: "between the inventory ceiling and tests (7.2 ft3). The rules rank a pig above a cow: the two lines come from different kinds of animal and housing",
        },
    ]
}

fn methane_l(id: &str) -> f64 {
    animal(id).map_or(f64::NAN, |row| 1000.0 * row.vs_kg_d * row.bo.mid)
}

fn gas_ft3(id: &str) -> f64 {
    methane_l(id) / METHANE_SHARE * FT3_60F_PER_L_AT_0C
}

fn heat_btu(id: &str) -> f64 {
    methane_l(id) * FT3_60F_PER_L_AT_0C * BTU_PER_FT3_CH4
}

fn worked_rows() -> Vec<Check> {
    let dung = feedstock("cow_dung").expect("a reference row");
    let litres = |kg: f64| {
        1000.0 * kg * dung.total_solids.mid * dung.volatile_of_ts * dung.bmp.mid / METHANE_SHARE
    };
    let zebu = animal("cow_zebu_smallholder").expect("a reference row");
    let zebu_ft3 = 1000.0 * zebu.vs_kg_d * dung.bmp.mid / METHANE_SHARE * FT3_60F_PER_L_AT_0C;
    vec![
        Check::new("rule_zebu", "gas of a small zebu's collected dung, against the cow rule", 8.25, zebu_ft3, "ft3")
            .relative(0.05)
            .inputs("0.64 kg VS at 222 L CH4/kg")
            .source(RULE)
            .explained((8.5, 9.2), "7 % more than the rule: our potential is a test's, 222 where the rule fits 200"),
        Check::new("rule_pound", "gas of 1 lb fresh cow dung at 82 degF", 1.0, litres(0.453_592) * FT3_60F_PER_L_AT_0C, "ft3")
            .relative(0.10)
            .inputs("16 % solids, 80 % volatile, 222 L CH4/kg VS")
            .source(RULE)
            .explained((0.70, 0.84), "a quarter too high even for full digestion; and 1 ft3 runs one burner of 0.3 m3/h for 6 minutes, not a day's meals"),
        Check::new("rule_btu_gas", "heat of biogas", 600.0, METHANE_SHARE * BTU_PER_FT3_CH4, "BTU/ft3")
            .relative(0.02)
            .inputs("60 % CH4, gross, dry, 60 degF")
            .source(RULE)
            .note("net (water stays vapour) it is 545"),
        Check::within("rule_c_to_n_slurry", "C:N of cattle slurry, which digests well, against the rule 20 to 30", (20.0, 30.0), feedstock("cow_slurry").and_then(|row| row.c_to_n).unwrap_or(f64::NAN), "")
            .source(RULE)
            .explained((15.0, 17.0), "a fair target, not a gate: GTZ89-P20 calls excreta at 9 to 25 normal, YUAN19 finds 11 to 30 workable"),
    ]
}
