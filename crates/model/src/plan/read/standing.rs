//! Where the vessel of [vessel] stands, and what stands over it.

use super::Section;
use crate::plan::{Roof, Shape, Siting, Top, VesselKind};
use fenlamp_quantity::{Length, ThermodynamicTemperature};
use uom::si::length::meter;

/// Cover of soil over a sunken tank, m, when no depth is given. Judgement.
const SOIL_COVER_M: f64 = 0.3;
/// Share of its height that stands in the ground when no measure is given. The name says half.
const HALF: f64 = 0.5;

#[derive(Clone, Copy, PartialEq)]
enum Stands {
    Outdoors,
    Shed,
    Room,
    Greenhouse,
    InGround,
    HalfBuried,
}

pub(super) fn siting(
    s: &Section<'_>,
    kind: Option<VesselKind>,
    shape: Option<Shape>,
) -> Option<Siting> {
    let word = s.word(
        "stands",
        &[
            ("outdoors", Stands::Outdoors),
            ("shed", Stands::Shed),
            ("room", Stands::Room),
            ("greenhouse", Stands::Greenhouse),
            ("in ground", Stands::InGround),
            ("half buried", Stands::HalfBuried),
        ],
    );
    let sunken = kind == Some(VesselKind::SunkenTank);
    let stands = word.unwrap_or(if sunken {
        Stands::InGround
    } else {
        Stands::Outdoors
    });
    let room = s.quantity::<ThermodynamicTemperature>("room_temperature", "0 °C", "45 °C");
    let depth = s.quantity::<Length>("depth", "10 cm", "10 m");
    let buried = s.quantity::<Length>("buried", "5 cm", "10 m");
    let only = |key: &'static str, wanted: Stands, message: &str, help: &str| {
        if s.has(key) && stands != wanted {
            s.fault(key, message, help);
        }
    };
    only(
        "room_temperature",
        Stands::Room,
        "only a vessel in a room has a room temperature",
        "write stands = \"room\"",
    );
    only(
        "depth",
        Stands::InGround,
        "only a vessel in the ground has a depth",
        "write stands = \"in ground\"",
    );
    only(
        "buried",
        Stands::HalfBuried,
        "only a vessel that stands partly in the ground has a buried height",
        "write stands = \"half buried\"",
    );
    if sunken && !matches!(stands, Stands::InGround | Stands::HalfBuried) {
        s.fault(
            "stands",
            "a sunken tank stands in the ground",
            "leave this out, or write kind = \"tank\"",
        );
    }
    match stands {
        Stands::Outdoors => Some(Siting::Outdoors),
        Stands::Shed => Some(Siting::Shed),
        Stands::Greenhouse => Some(Siting::Greenhouse),
        Stands::Room => {
            if !s.has("room_temperature") {
                s.missing(
                    "room_temperature",
                    "write how warm the room is kept, like \"20 °C\"",
                );
            }
            room.map(Siting::Room)
        }
        Stands::InGround => {
            let depth = depth.unwrap_or(height(shape?) / 2.0 + Length::new::<meter>(SOIL_COVER_M));
            Some(Siting::InGround { depth })
        }
        Stands::HalfBuried => {
            let height = height(shape?);
            let buried = buried.unwrap_or(HALF * height);
            if buried > height {
                s.fault(
                    "buried",
                    "more is buried than the vessel is high",
                    "write stands = \"in ground\" and the depth of its middle",
                );
                return None;
            }
            Some(Siting::InGround {
                depth: buried - height / 2.0,
            })
        }
    }
}

fn height(shape: Shape) -> Length {
    match shape {
        Shape::StandingCylinder { height, .. } | Shape::Box { height, .. } => height,
        Shape::LyingCylinder { diameter, .. } => diameter,
    }
}

pub(super) fn roof(s: &Section<'_>, siting: Option<Siting>) -> Roof {
    let roof = s
        .word(
            "roof",
            &[
                ("none", Roof::None),
                ("tent", Roof::Tent),
                ("lean to", Roof::LeanTo),
            ],
        )
        .unwrap_or(Roof::None);
    let indoors = matches!(
        siting,
        Some(Siting::Shed | Siting::Room(_) | Siting::Greenhouse)
    );
    if roof != Roof::None && indoors {
        s.fault(
            "roof",
            "a vessel that stands in a shed, room or greenhouse has its roof",
            "leave this out, or write stands = \"outdoors\"",
        );
    }
    roof
}

/// `shape` and `siting` tell whether soil lies over the vessel; `root`, whether gas is used.
pub(super) fn top(
    s: &Section<'_>,
    root: &Section<'_>,
    shape: Option<Shape>,
    siting: Option<Siting>,
) -> Top {
    let top = s
        .word(
            "top",
            &[
                ("lid", Top::Lid),
                ("open", Top::Open),
                ("floating film", Top::Film { wet: false }),
                ("wet floating film", Top::Film { wet: true }),
            ],
        )
        .unwrap_or(Top::Lid);
    if top == Top::Lid {
        return top;
    }
    if let (Some(shape), Some(Siting::InGround { depth })) = (shape, siting)
        && depth > height(shape) / 2.0
    {
        s.fault(
            "top",
            "a vessel with soil over it has a lid",
            "leave this out, or write a depth of no more than half its height",
        );
    }
    let gas = ["use", "store", "wash"].into_iter().find(|k| root.has(k));
    if let (Top::Open, Some(gas)) = (top, gas) {
        s.fault(
            "top",
            format!("the gas of an open vessel is lost, but the plan has [{gas}]"),
            "write top = \"lid\" or \"floating film\", or leave out what works with the gas",
        );
    }
    top
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{NoFiles, Plan, PlanErrors, read};
    use uom::si::ratio::percent;
    use uom::si::thermodynamic_temperature::degree_celsius;

    /// An invented plan without gas uses, with lines more under [vessel].
    fn plan(lines: &str, more: &str) -> Result<Plan, PlanErrors> {
        let text = format!(
            "[plan]\nname = \"Trial\"\nabout = \"Invented.\"\nstart = 2026-04-01\n\
             [place]\nlatitude = \"33 S\"\n\
             [weather]\nhigh = \"5 6 8 11 14 17 18 18 15 12 8 6 °C\"\n\
             low = \"0 0 1 3 5 8 10 10 8 5 2 0 °C\"\n\
             sun = \"1 1 2 3 4 4 4 3 2 2 1 1 kWh/m2/day\"\n\
             wind = \"5 5 5 4 4 4 4 4 4 5 5 5 m/s\"\n\
             [feeding]\nwater = \"1 kg/kg\"\n\
             [[waste]]\nfeedstock = \"goat manure\"\namount = \"5 kg/day\"\n\
             [vessel]\nkind = \"tank\"\nvolume = \"1000 L\"\nheight = \"1 m\"\n{lines}\n{more}"
        );
        read(&text, "trial.toml", &NoFiles)
    }

    fn good(lines: &str) -> crate::plan::Vessel {
        plan(lines, "")
            .unwrap_or_else(|e| panic!("{e}\n{lines}"))
            .vessel
    }

    fn fault_at(lines: &str, more: &str, key: &str) {
        let errors = plan(lines, more).expect_err(lines);
        assert!(
            errors.errors.iter().any(|e| e.key == key),
            "{lines}: {errors}"
        );
    }

    #[test]
    fn partly_in_the_ground() {
        let depth = |lines: &str| match good(lines).siting {
            Siting::InGround { depth } => depth.get::<meter>(),
            other => panic!("{other:?}"),
        };
        assert!(depth("stands = \"half buried\"").abs() < 1e-12);
        let a_third = depth("stands = \"half buried\"\nburied = \"30 cm\"");
        assert!((a_third + 0.2).abs() < 1e-12);
        fault_at(
            "stands = \"half buried\"\nburied = \"2 m\"",
            "",
            "vessel.buried",
        );
        fault_at("buried = \"20 cm\"", "", "vessel.buried");
    }

    #[test]
    fn roof_top_bank_and_first_temperature() {
        let usual = good("");
        assert_eq!((usual.roof, usual.top), (Roof::None, Top::Lid));
        assert!(usual.fill_temperature.is_none() && usual.earth_bank.get::<percent>() == 0.0);
        let v = good(
            "roof = \"lean-to\"\ntop = \"wet floating film\"\nearth_bank = \"25 %\"\n\
             fill_temperature = \"30 °C\"",
        );
        assert_eq!((v.roof, v.top), (Roof::LeanTo, Top::Film { wet: true }));
        assert!((v.earth_bank.get::<percent>() - 25.0).abs() < 1e-9);
        let fill = v.fill_temperature.expect("given").get::<degree_celsius>();
        assert!((fill - 30.0).abs() < 1e-9);
        fault_at("stands = \"shed\"\nroof = \"tent\"", "", "vessel.roof");
        fault_at(
            "stands = \"in ground\"\ndepth = \"1 m\"\ntop = \"open\"",
            "",
            "vessel.top",
        );
    }

    /// An open store may be foretold, but not with a stove on it.
    #[test]
    fn an_open_store_has_no_stove() {
        assert_eq!(good("top = \"open\"").top, Top::Open);
        let stove = "[[use]]\nappliance = \"stove\"\nwanted = \"1 h/day\"";
        fault_at("top = \"open\"", stove, "vessel.top");
    }
}
