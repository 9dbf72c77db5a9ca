//! [first_fill], [[seed]], [[additive]] and [gas].

use super::feeding::whole_days;
use super::feedstocks::Feedstocks;
use super::waste::weighed_by_mass;
use super::{Section, shorten};
use crate::plan::how_known::OF_AMOUNT;
use crate::plan::section::{behind, plain_words};
use crate::plan::{Additive, AdditiveKind, DoseTime, FirstFill, GasOutlet, Seed, SeedKind};
use fenlamp_quantity::{
    EitherMass, Mass, Pressure, Quantity, Ratio, ThermodynamicTemperature, Time, Volume,
    mass_or_volume, read,
};
use uom::si::pressure::centimeter_of_water;
use uom::si::ratio::percent;
use uom::si::thermodynamic_temperature::degree_celsius;

/// Density of water put in by the bucket, kg/m3, to the precision of a bucket.
const WATER_KG_M3: f64 = 1000.0;
/// Back-pressure of jar, trap, line and store when the plan does not say. Judgement.
const BACK_PRESSURE_CM: f64 = 8.0;
/// Days a seed is on its way when the plan does not say. Judgement.
const SEED_AGE_DAYS: f64 = 1.0;

pub(super) fn first_fill(root: &Section<'_>, feedstocks: &mut Feedstocks) -> Option<FirstFill> {
    let seeds = seeds(root);
    let Some(s) = root.section("first_fill") else {
        if root.has("first_fill") {
            return None;
        }
        return Some(FirstFill {
            feed: Vec::new(),
            seeds: seeds?,
            water: None,
        });
    };
    let sections = s.sections("feed");
    let mut feed = Vec::new();
    for f in &sections {
        if !f.has("feedstock") {
            f.missing("feedstock", "write feedstock = \"goat_manure\" or another");
        }
        let index = feedstocks.index(f, "feedstock");
        if !f.has("amount") {
            f.missing("amount", "write amount = \"80 kg\" or \"3 buckets\"");
        }
        // The first filling is taken as stated, so the word changes no band here.
        let amount = f.known_by("amount", "80 kg", OF_AMOUNT, mass_or_volume);
        let amount = amount.filter(|(amount, known)| {
            weighed_by_mass(f, "amount", *known, matches!(amount, EitherMass::Volume(_)))
        });
        f.finish();
        let (Some(index), Some(amount)) = (index, amount) else {
            continue;
        };
        let density = feedstocks
            .used
            .get(index)
            .map_or(f64::NAN, |f| f.bulk_density_kg_m3);
        let kg = mass_kg(amount.0, density);
        if kg > 0.0 {
            feed.push((index, Mass::from_si(kg)));
        } else {
            f.fault(
                "amount",
                "the amount is zero",
                "write how much there is, or leave this part out",
            );
        }
    }
    let water = if s.has("water") {
        s.quantity_by("water", "500 L", mass_or_volume)
            .map(|w| Some(Mass::from_si(mass_kg(w.value, WATER_KG_M3))))
    } else {
        Some(None)
    };
    s.finish();
    (feed.len() == sections.len()).then_some(())?;
    Some(FirstFill {
        feed,
        seeds: seeds?,
        water: water?,
    })
}

fn mass_kg(amount: EitherMass, density_kg_m3: f64) -> f64 {
    match amount {
        EitherMass::Mass(m) => m.to_si(),
        EitherMass::Volume(v) => v.to_si() * density_kg_m3,
    }
}

/// Every [[seed]]; a single [seed] is one.
fn seeds(root: &Section<'_>) -> Option<Vec<Seed>> {
    let sections = root.sections("seed");
    let seeds: Vec<Option<Seed>> = sections
        .iter()
        .map(|s| {
            let seed = seed(s);
            s.finish();
            seed
        })
        .collect();
    seeds.into_iter().collect()
}

fn seed(s: &Section<'_>) -> Option<Seed> {
    let kinds = &[
        ("digestate", SeedKind::Digestate),
        ("old slurry", SeedKind::OldSlurry),
        ("rumen", SeedKind::Rumen),
        ("pond mud", SeedKind::PondMud),
        ("sewage sludge", SeedKind::SewageSludge),
    ];
    if !s.has("kind") {
        s.missing(
            "kind",
            "write kind = \"digestate\", \"old slurry\", \"rumen\", \"pond mud\" or \"sewage sludge\"",
        );
    }
    let kind = s.word("kind", kinds);
    let volume = s.need::<Volume>("volume", "0.1 L", "1000 m3");
    let grown = s.quantity::<ThermodynamicTemperature>("grown_at", "2 °C", "65 °C");
    let volatile_solids = s.quantity::<Ratio>("volatile_solids", "0.1 %", "30 %");
    let age = s.quantity::<Time>("age", "0 days", "3 years");
    let usual = kind.and_then(usual_growth_c);
    if kind.is_some() && usual.is_none() && !s.has("grown_at") {
        s.missing(
            "grown_at",
            "write how warm the digester was that it came from, like \"35 °C\"",
        );
    }
    let grown_at = grown.or(usual.map(ThermodynamicTemperature::new::<degree_celsius>));
    Some(Seed {
        kind: kind?,
        volume: volume?,
        grown_at: grown_at?,
        volatile_solids,
        age_days: age.map_or(SEED_AGE_DAYS, |t| t.to_si() / 86_400.0),
    })
}

/// Temperature a kind of seed has grown at, degC: body heat of cattle and the usual
/// heated digester of a sewage works (both from memory), else the ground's (judgement).
/// A household digester's must be told.
fn usual_growth_c(kind: SeedKind) -> Option<f64> {
    match kind {
        SeedKind::Digestate => None,
        SeedKind::Rumen => Some(39.0),
        SeedKind::OldSlurry => Some(15.0),
        SeedKind::PondMud => Some(12.0),
        SeedKind::SewageSludge => Some(36.0),
    }
}

pub(super) fn additives(root: &Section<'_>) -> Option<Vec<Additive>> {
    let kinds = &[
        ("wood ash", AdditiveKind::WoodAsh),
        ("slaked lime", AdditiveKind::SlakedLime),
        ("bicarbonate", AdditiveKind::Bicarbonate),
        ("iron chloride", AdditiveKind::IronChloride),
        ("gypsum", AdditiveKind::Gypsum),
    ];
    let sections = root.sections("additive");
    let mut out = Vec::new();
    for s in &sections {
        if !s.has("kind") {
            s.missing("kind", "write kind = \"wood ash\", \"slaked lime\", \"bicarbonate\", \"iron chloride\" or \"gypsum\"");
        }
        let kind = s.word("kind", kinds);
        let dose = s.need::<Mass>("dose", "0.1 g", "1000 kg");
        let when = if s.has("when") {
            dose_time(s)
        } else {
            Some(DoseTime::AtFill)
        };
        s.finish();
        if let (Some(kind), Some(dose), Some(when)) = (kind, dose, when) {
            out.push(Additive { kind, dose, when });
        }
    }
    (out.len() == sections.len()).then_some(out)
}

/// "at fill", "day 30", "every 30 days".
fn dose_time(s: &Section<'_>) -> Option<DoseTime> {
    let text = s.text("when")?.value;
    let words = plain_words(text);
    if words == "at fill" {
        return Some(DoseTime::AtFill);
    }
    let day = behind(text, "day").and_then(|n| n.parse::<u32>().ok());
    if let Some(day) = day.filter(|d| *d <= 3650) {
        return Some(DoseTime::OnDay(day));
    }
    let every = match words.as_str() {
        "every day" | "daily" => Some(1),
        "every week" | "weekly" => Some(7),
        _ => behind(text, "every")
            .and_then(|t| read::<Time>(t, &s.cx).ok())
            .map(whole_days)
            .filter(|d| (1..=3650).contains(d)),
    };
    if every.is_none() {
        s.fault(
            "when",
            format!("\"{}\" is not a time of dosing", shorten(text)),
            "write \"at fill\", \"day 30\" or \"every 30 days\"",
        );
    }
    every.map(DoseTime::Every)
}

pub(super) fn gas_outlet(root: &Section<'_>) -> Option<GasOutlet> {
    let usual = Pressure::new::<centimeter_of_water>(BACK_PRESSURE_CM);
    let none = Ratio::new::<percent>(0.0);
    let Some(s) = root.section("gas") else {
        return (!root.has("gas")).then_some(GasOutlet {
            back_pressure: usual,
            air_dose: none,
        });
    };
    // Household vessels and bags are not pressure vessels: half a metre of water is the most taken here.
    let back_pressure = s
        .quantity("back_pressure", "0 cm wc", "50 cm wc")
        .unwrap_or(usual);
    // Upper end of the published practice, 6 % (`air_dose_hi` in gas_constants.csv).
    let air_dose = s.quantity("air_dose", "0 %", "6 %").unwrap_or(none);
    s.finish();
    Some(GasOutlet {
        back_pressure,
        air_dose,
    })
}
