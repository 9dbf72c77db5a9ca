//! Cautions beside their steps: every point of `reference/safety_cautions.md`
//! (by section and place), when it applies, and the step it stands beside.

use fenlamp_model::gas::appliances::Appliance;
use fenlamp_model::gas::store::{Shape, Standing};
use fenlamp_model::plan::{
    AdditiveKind, JarAlkali, Plan, Siting, VesselKind, VesselMode, WashKind,
};
use fenlamp_model::weather::Weather;
use fenlamp_report::hazard::Severity;
use fenlamp_report::hazard::Severity::{Care, Stop};
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use crate::answer::Answer;

/// A step of the booklet that cautions stand beside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The first page.
    First,
    /// Where it stands.
    Site,
    /// Putting it together.
    Build,
    /// Handling lye, ash and lime.
    Caustic,
    /// The store.
    Store,
    /// The burner.
    Burner,
    /// The leak test.
    LeakTest,
    /// The first filling and every feeding.
    Fill,
    /// The first gas.
    FirstGas,
    /// The flame.
    Flame,
    /// Days and weeks.
    Routine,
    /// Wash and trap.
    Service,
    /// Winter.
    Winter,
    /// Emptying.
    Empty,
    /// What is left.
    Digestate,
}

impl Step {
    /// Id in the page.
    pub fn id(self) -> &'static str {
        match self {
            Step::First => "first",
            Step::Site => "site",
            Step::Build => "build",
            Step::Caustic => "caustic",
            Step::Store => "store",
            Step::Burner => "burner",
            Step::LeakTest => "leak-test",
            Step::Fill => "fill",
            Step::FirstGas => "first-gas",
            Step::Flame => "flame",
            Step::Routine => "routine",
            Step::Service => "service",
            Step::Winter => "winter",
            Step::Empty => "empty",
            Step::Digestate => "digestate",
        }
    }
}

/// When a caution applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum When {
    Always,
    Uses,
    Line,
    GasSide,
    Store,
    StoreOutdoors,
    Tubes,
    Weight,
    Sulfur,
    Caustic,
    Ash,
    Lye,
    AshBed,
    Iron,
    Air,
    Enterable,
    Drum,
    Rigid,
    NoFlue,
    GreenhouseUse,
    Housed,
    HeapHoused,
    Lamp,
    Engine,
    Bought,
    Barred,
    RunsOut,
    Frost,
    FrostLine,
    Cold,
}

/// A caution.
#[derive(Debug, Clone, Copy)]
pub struct Caution {
    /// Section and place in `reference/safety_cautions.md`; its words are under
    /// `caution` of the catalogue.
    pub at: &'static str,
    /// How grave.
    pub severity: Severity,
    /// Where it stands.
    pub step: Step,
    when: When,
    /// Keys into the sources.
    pub keys: &'static [&'static str],
}

const fn c(
    at: &'static str,
    severity: Severity,
    step: Step,
    when: When,
    keys: &'static [&'static str],
) -> Caution {
    Caution {
        at,
        severity,
        step,
        when,
        keys,
    }
}

/// Every caution, in the order of the file.
#[rustfmt::skip]
pub const CAUTIONS: [Caution; 75] = [
    c("0.1", Stop, Step::First, When::Always, &["PSU", "GTZ1989"]),
    c("0.2", Stop, Step::First, When::Always, &["H2SREVIEW2017", "EPA-IRIS-H2S", "ARNOTT1985"]),
    c("0.3", Care, Step::FirstGas, When::Always, &["OSHA-PRCS", "H2SREVIEW2017"]),
    c("0.4", Stop, Step::FirstGas, When::Always, &["ZABETAKIS1965"]),
    c("0.5", Stop, Step::FirstGas, When::Always, &["HARRIS", "SANIHUB"]),
    c("0.6", Stop, Step::Flame, When::Uses, &["ARNOTT1985"]),
    c("0.7", Stop, Step::Site, When::Always, &["FAO1984"]),
    c("0.8", Care, Step::Site, When::Always, &["PSU", "SANIHUB", "GTZ-DIGEST"]),
    c("0.9", Stop, Step::Build, When::Uses, &["GTZ1989"]),
    c("1.1", Stop, Step::LeakTest, When::Always, &["GTZ1989"]),
    c("1.2", Care, Step::Fill, When::Always, &["GTZ-DIGEST"]),
    c("1.3", Stop, Step::Fill, When::Always, &["IA-FACE"]),
    c("1.4", Care, Step::Fill, When::Always, &["GTZ1989"]),
    c("1.5", Care, Step::Fill, When::Always, &["HARRIS"]),
    c("1.6", Care, Step::Fill, When::Sulfur, &["GTZ1985"]),
    c("2.1", Stop, Step::FirstGas, When::Always, &["FAO1984"]),
    c("2.2", Stop, Step::FirstGas, When::Store, &["FAO1984"]),
    c("2.3", Stop, Step::FirstGas, When::Always, &["SASSE1988Q"]),
    c("2.4", Stop, Step::FirstGas, When::Always, &[]),
    c("2.5", Care, Step::FirstGas, When::Always, &[]),
    c("2.6", Stop, Step::FirstGas, When::Always, &["COWARD1952"]),
    c("2.7", Stop, Step::FirstGas, When::Always, &["HARRIS"]),
    c("2.8", Stop, Step::FirstGas, When::Always, &["ARNOTT1985"]),
    c("3.1", Stop, Step::Caustic, When::Caustic, &["COOL1996"]),
    c("3.2", Stop, Step::Caustic, When::Caustic, &["NJ-KOH"]),
    c("3.3", Stop, Step::Caustic, When::Ash, &["OSHA-NAOH", "WIKIASH"]),
    c("3.4", Care, Step::Caustic, When::Ash, &[]),
    c("3.5", Stop, Step::Caustic, When::Lye, &["LIBERTY"]),
    c("3.6", Stop, Step::Service, When::Lye, &["PHREEQC"]),
    c("3.7", Care, Step::Service, When::Lye, &[]),
    c("3.8", Care, Step::Service, When::Lye, &[]),
    c("3.9", Stop, Step::Service, When::Iron, &["KOHL1997"]),
    c("3.10", Stop, Step::Service, When::Air, &["ZICARI2003"]),
    c("3.11", Stop, Step::Service, When::AshBed, &["WIKIASH", "OSHA-NAOH"]),
    c("4.1", Stop, Step::Empty, When::Always, &["NIOSH-90-103"]),
    c("4.2", Stop, Step::Empty, When::Always, &["FACE-9228", "IA-FACE"]),
    c("4.3", Stop, Step::Empty, When::Enterable, &["OSHA-PRCS", "NIOSH-90-103"]),
    c("4.4", Stop, Step::Empty, When::Always, &["PSU"]),
    c("4.5", Stop, Step::Empty, When::Drum, &[]),
    c("5.1", Stop, Step::Build, When::Uses, &["CODES"]),
    c("5.2", Stop, Step::Flame, When::Uses, &["GTZ1989", "SANIHUB"]),
    c("5.3", Care, Step::Build, When::Line, &["GTZ1989", "FAO1984", "GTZ-DIGEST"]),
    c("5.4", Stop, Step::Flame, When::Uses, &["WHO2000Q", "WHO2010"]),
    c("5.5", Stop, Step::Flame, When::Uses, &["ARNOTT1985"]),
    c("5.6", Stop, Step::Flame, When::NoFlue, &["NIOSH-SO2"]),
    c("5.7", Stop, Step::Flame, When::GreenhouseUse, &["OMAFRA2002", "OSHA-CO2", "CO2-BMET", "MANITOBA"]),
    c("5.8", Care, Step::Flame, When::GreenhouseUse, &[]),
    c("5.9", Stop, Step::Site, When::Housed, &[]),
    c("6.1", Stop, Step::Flame, When::Uses, &["GTZ1989"]),
    c("6.2", Care, Step::Flame, When::Uses, &["FAO1984"]),
    c("6.3", Stop, Step::Flame, When::Uses, &["ARNOTT1985"]),
    c("6.4", Stop, Step::Burner, When::Uses, &["FULFORD1996", "LEWIS1987", "AHMADU2021"]),
    c("6.5", Care, Step::Flame, When::Uses, &["GTZ-DIGEST"]),
    c("6.6", Care, Step::Flame, When::Lamp, &["GTZ-DIGEST"]),
    c("6.7", Stop, Step::Burner, When::Engine, &["PSU", "EEER1242"]),
    c("6.8", Stop, Step::Burner, When::Bought, &["CODES"]),
    c("7.1", Stop, Step::Store, When::Store, &["GTZ-DIGEST"]),
    c("7.2", Stop, Step::Build, When::Always, &["GTZ1989"]),
    c("7.3", Stop, Step::Build, When::Rigid, &[]),
    c("7.4", Care, Step::Store, When::Tubes, &[]),
    c("7.5", Care, Step::Store, When::Weight, &[]),
    c("7.6", Care, Step::Build, When::GasSide, &["GTZ-DIGEST", "PSU"]),
    c("7.7", Care, Step::Store, When::StoreOutdoors, &[]),
    c("8.1", Care, Step::Digestate, When::Always, &["HOHENHEIM2022"]),
    c("8.2", Stop, Step::Digestate, When::Always, &["USDA-NOP"]),
    c("8.3", Stop, Step::Digestate, When::Barred, &["EU142-2011"]),
    c("8.4", Care, Step::Digestate, When::Always, &["HARRIS"]),
    c("8.5", Stop, Step::Digestate, When::RunsOut, &["PSU"]),
    c("9.1", Stop, Step::Winter, When::FrostLine, &[]),
    c("9.2", Stop, Step::Winter, When::FrostLine, &[]),
    c("9.3", Stop, Step::Winter, When::Frost, &[]),
    c("9.4", Care, Step::Winter, When::Cold, &["FAO1984"]),
    c("9.5", Stop, Step::Site, When::HeapHoused, &[]),
    c("9.6", Care, Step::Winter, When::Frost, &[]),
    c("9.7", Stop, Step::Winter, When::Frost, &["FAO1984"]),
];

/// The step beside which a finding stands.
pub fn step_of(finding: &str) -> Step {
    match finding {
        "headspace-flammable"
        | "headspace-air"
        | "purge-volume"
        | "always-first-gas"
        | "always-nose" => Step::FirstGas,
        "no-relief"
        | "sealed-rigid-space"
        | "always-relief"
        | "line-without-trap"
        | "jar-deeper-than-relief"
        | "line-indoors" => Step::Build,
        "store-indoors" => Step::Store,
        "no-flash-back-stop" => Step::Burner,
        "gas-holds-no-flame"
        | "burning-indoors"
        | "sulfur-dioxide-indoors"
        | "always-burning"
        | "h2s"
        | "h2s-for-the-appliance" => Step::Flame,
        "vessel-indoors" | "heap-in-shed" | "always-codes" => Step::Site,
        "pit-or-large-vessel" | "always-confined-space" => Step::Empty,
        "slurry-frozen" | "trap-or-line-frozen" | "slurry-cold" => Step::Winter,
        "lye-jar" | "ash-bed" | "iron-packing" | "wash-spent" | "air-dose" => Step::Service,
        "caustic-additive" => Step::Caustic,
        "human-or-pet-waste"
        | "meat-or-mixed-kitchen-waste"
        | "pig-manure"
        | "poultry-manure"
        | "always-hands"
        | "seed"
        | "sulfate-additive"
        | "feed-solids"
        | "wood-in-the-digester"
        | "carbon-to-nitrogen" => Step::Fill,
        "digestate-on-food" => Step::Digestate,
        _ => Step::Routine,
    }
}

impl Caution {
    /// Whether it applies to a plan.
    pub fn applies(&self, plan: &Plan, answer: &Answer) -> bool {
        let side = &plan.gas_side;
        let uses = &side.uses;
        let store = side.store.as_ref();
        let wash = |f: fn(&WashKind) -> bool| side.washes.iter().any(|w| f(&w.kind));
        let added = |f: fn(AdditiveKind) -> bool| plan.additives.iter().any(|a| f(a.kind));
        let ash_jar = wash(|k| {
            matches!(
                k,
                WashKind::AshBed { .. }
                    | WashKind::LyeJar {
                        alkali: JarAlkali::WoodAsh,
                        ..
                    }
            )
        });
        let burns = |f: fn(Appliance) -> bool| uses.iter().any(|u| f(u.appliance));
        let housed = !matches!(
            plan.vessel.siting,
            Siting::Outdoors | Siting::InGround { .. }
        );
        match self.when {
            When::Always => true,
            When::Uses => !uses.is_empty(),
            When::Line => side.line.is_some(),
            When::GasSide => !side.is_empty(),
            When::Store => store.is_some(),
            When::StoreOutdoors => store.is_some_and(|s| s.stands != Standing::Indoors),
            When::Tubes => store.is_some_and(|s| matches!(s.shape, Shape::Tubes { .. })),
            When::Weight => store
                .is_some_and(|s| s.weight.value > 0.0 && !matches!(s.shape, Shape::Drum { .. })),
            When::Sulfur => {
                added(|k| k == AdditiveKind::Gypsum) || fed(plan, &["kitchen", "meat", "poultry"])
            }
            When::Caustic => {
                wash(|k| matches!(k, WashKind::LyeJar { .. } | WashKind::AshBed { .. }))
                    || added(|k| matches!(k, AdditiveKind::WoodAsh | AdditiveKind::SlakedLime))
            }
            When::Ash => ash_jar || added(|k| k == AdditiveKind::WoodAsh),
            When::AshBed => wash(|k| matches!(k, WashKind::AshBed { .. })),
            When::Lye => wash(|k| matches!(k, WashKind::LyeJar { .. })),
            When::Iron => wash(|k| matches!(k, WashKind::IronPacking { .. })),
            When::Air => plan.gas_outlet.air_dose.get::<ratio>() > 0.0,
            When::Enterable => {
                plan.vessel.volume.get::<cubic_meter>() >= 1.0
                    || matches!(plan.vessel.siting, Siting::InGround { .. })
            }
            When::Drum => {
                plan.vessel.kind == VesselKind::Drum
                    || store.is_some_and(|s| matches!(s.shape, Shape::Drum { .. }))
            }
            When::Rigid => plan.vessel.kind != VesselKind::LongBag,
            When::NoFlue => uses.iter().any(|u| !u.flue),
            When::GreenhouseUse => uses.iter().any(|u| u.room.is_some_and(|r| r.greenhouse)),
            When::Housed => housed || store.is_some_and(|s| s.stands == Standing::Indoors),
            When::HeapHoused => housed && plan.heap.is_some(),
            When::Lamp => burns(|a| a == Appliance::Lamp),
            When::Engine => burns(|a| {
                matches!(
                    a,
                    Appliance::Generator
                        | Appliance::WaterHeater
                        | Appliance::SpaceHeater
                        | Appliance::YoungStockHeater
                )
            }),
            When::Bought => burns(|a| !matches!(a, Appliance::Kettle | Appliance::PasteurisingPot)),
            When::Barred => fed(
                plan,
                &[
                    "human",
                    "dog",
                    "cat",
                    "pet",
                    "meat",
                    "slaughter",
                    "blood",
                    "kitchen",
                ],
            ),
            When::RunsOut => !matches!(plan.vessel.mode, VesselMode::Batch | VesselMode::TopUp),
            When::Frost => frost(plan),
            When::FrostLine => frost(plan) && side.line.is_some(),
            When::Cold => answer
                .months
                .iter()
                .any(|m| m.slurry_temperature_c.p10 < 15.0),
        }
    }
}

/// Whether something of those names goes into the vessel.
fn fed(plan: &Plan, words: &[&str]) -> bool {
    let fill = plan.first_fill.feed.iter().map(|f| f.0);
    let all = plan.waste.iter().map(|w| w.feedstock).chain(fill);
    let mut ids = all
        .filter_map(|i| plan.feedstocks.get(i))
        .map(|f| f.id.as_str());
    ids.any(|id| id.split('_').any(|part| words.contains(&part)))
}

/// Whether it freezes at the place, by the plan's own weather.
pub fn frost(plan: &Plan) -> bool {
    if let Siting::Room(_) = plan.vessel.siting
        && plan.gas_side.is_empty()
    {
        return false;
    }
    match &plan.weather {
        Weather::Normals(n) => n.low_c.iter().any(|c| *c < 1.0),
        Weather::Series(s) => s.air_c.iter().any(|c| *c < 0.0),
    }
}

/// Metres of the altitude, for the first page.
pub fn altitude_m(plan: &Plan) -> f64 {
    plan.place.altitude.get::<meter>()
}
