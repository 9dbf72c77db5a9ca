//! What stands above the slurry: air, methane, and when the mix can explode.

use super::case::{Case, found, number, safety};
use super::{Found, Severity};
use fenlamp_model::band::Quantiles;
use fenlamp_model::gas::flammability::purge_volumes;
use fenlamp_model::reference::gas_constant;
use fenlamp_model::say;
use fenlamp_model::say::days_band;
use fenlamp_model::world::outcome::FLAME_METHANE_SHARE;
use fenlamp_model::world::{DayRow, WorldRun};
use jiff::ToSpan;
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

const BIOGAS: &str = "methane and biogas";
/// Oxygen of dry air, mole share (0.20946; from memory of the standard atmosphere).
const AIR_OXYGEN: f64 = 0.20946;
/// Oxygen below which a purged headspace may be tried, mole share: "5 % O2 or
/// less before any flame" of `safety_cautions.md` section 2 (COWARD1952).
const PURGED_OXYGEN: f64 = 0.05;

/// The limits of a methane headspace, shares.
struct Limits {
    lower: f64,
    lower_key: &'static str,
    oxygen: f64,
    oxygen_key: &'static str,
    /// Methane share of the air-free gas below which no mix with air burns.
    nose: f64,
    nose_key: &'static str,
}

fn limits() -> Option<Limits> {
    // The stricter of two published lower limits, and the lower limiting oxygen.
    let (lower, lower_key) = safety(BIOGAS, "CH4 lower flammable limit (IEC)")?;
    let (oxygen, oxygen_key) = safety(BIOGAS, "limiting oxygen with N2")?;
    let nose = gas_constant("ch4_min_flammable")?;
    Some(Limits {
        lower: lower / 100.0,
        lower_key,
        oxygen: oxygen / 100.0,
        oxygen_key,
        nose: nose.value? / 100.0,
        nose_key: &nose.source_key,
    })
}

impl Limits {
    /// Whether the headspace burns as it stands at some time of the day: fuel in
    /// range at its end, oxygen at its start. Hydrogen counts as fuel. Both are on
    /// the safe side.
    fn burns(&self, d: &DayRow, oxygen: f64) -> bool {
        d.headspace_methane + d.headspace_hydrogen >= self.lower && oxygen >= self.oxygen
    }

    /// Whether it burns once air is mixed in: what is not air holds fuel enough.
    fn burns_with_air(&self, d: &DayRow) -> bool {
        let own = (1.0 - d.headspace_oxygen / AIR_OXYGEN).max(1e-9);
        let fuel = d.headspace_methane + d.headspace_hydrogen;
        fuel >= self.lower && fuel / own >= self.nose
    }
}

/// Oxygen of the headspace at the start of each day and after the last, on the
/// safe side: what the forecast has, or what is left when the gas made only thins
/// the air out and nothing takes up oxygen, whichever is more. It falls as
/// exp(-volumes) (`safety_cautions.md` section 2). The day of the fill counts for
/// nothing: what leaves then is mostly air that the slurry pushes out of the open
/// lid, which thins nothing.
fn oxygen(case: &Case<'_>, run: &WorldRun) -> Vec<f64> {
    let vessel = &case.plan.vessel;
    let filler = vessel.filler.get::<ratio>() * vessel.liquid.get::<cubic_meter>();
    let space_l = 1000.0 * (vessel.volume.get::<cubic_meter>() - filler);
    let mut volumes = 0.0;
    let ends = run.days.iter().enumerate().map(|(day, d)| {
        if day > 0 {
            volumes += d.gas_wet_l / (space_l - d.slurry_l).max(0.01 * space_l);
        }
        d.headspace_oxygen.max(AIR_OXYGEN * (-volumes).exp())
    });
    std::iter::once(AIR_OXYGEN).chain(ends).collect()
}

/// Days on which the headspace itself, or with air, can explode.
pub(super) fn flammable(case: &Case<'_>) -> Option<Found> {
    let limits = limits()?;
    let burning: Vec<Vec<usize>> = case
        .runs
        .iter()
        .map(|run| {
            let oxygen = oxygen(case, run);
            let days = run.days.iter().zip(oxygen).enumerate();
            days.filter(|(_, (d, o))| limits.burns(d, *o))
                .map(|(day, _)| day)
                .collect()
        })
        .collect();
    let itself = Quantiles::of(&mut burning.iter().map(|d| d.len() as f64).collect::<Vec<_>>());
    let with_air = case.days(|d| limits.burns_with_air(d));
    let share =
        burning.iter().filter(|d| !d.is_empty()).count() as f64 / burning.len().max(1) as f64;
    if with_air.p90 < 1.0 && share <= 0.0 {
        return None;
    }
    let mut words = String::new();
    let first = burning.iter().filter_map(|d| d.first()).min();
    let last = burning.iter().filter_map(|d| d.last()).max();
    if let (Some(&first), Some(&last)) = (first, last) {
        let (from, to) = (date(case, first as f64), date(case, last as f64));
        let span = if first == last {
            format!("on {from}")
        } else {
            format!("{from} to {to}")
        };
        words = format!(
            "The first gas is an explosive mixture: in {} the headspace holds methane and air \
             both in the flammable range ({span}), if nothing but the gas itself drives the air \
             out. ",
            say::worlds_of(share, case.forecast.worlds),
        );
    }
    words += &format!(
        "On {} of {:.0} the headspace would burn or explode where air gets to it. Push the first \
         gas out of doors with no flame about, and keep the vessel gas-tight.",
        days_band(with_air.p10, with_air.p90),
        case.length()
    );
    let evidence = vec![
        number("limit_methane_share", limits.lower),
        number("limit_oxygen_share", limits.oxygen),
        number("limit_air_free_methane_share", limits.nose),
        number("share_of_worlds_flammable", share),
        number("days_flammable_p10", itself.p10),
        number("days_flammable_p50", itself.p50),
        number("days_flammable_p90", itself.p90),
        number("days_flammable_with_air_p50", with_air.p50),
    ];
    let keys = [
        limits.lower_key,
        limits.oxygen_key,
        limits.nose_key,
        "FAO1984",
    ];
    found(Severity::Stop, words, evidence, &keys)
}

/// The date of a day of the forecast.
fn date(case: &Case<'_>, day: f64) -> String {
    say::date(
        case.plan.start.saturating_add((day.round() as i64).days()),
        case.plan.start,
    )
}

/// How long air stays above the slurry if nobody purges.
pub(super) fn air_left(case: &Case<'_>) -> Option<Found> {
    let days = case.over(|run| {
        let last = oxygen(case, run).iter().rposition(|o| *o > PURGED_OXYGEN);
        last.map_or(0.0, |d| d as f64 + 1.0).min(case.length())
    });
    if days.p90 < 1.0 {
        return None;
    }
    let until = if days.p90.round() >= case.length() {
        "in some worlds to the end of the forecast".to_owned()
    } else {
        format!("in one world of ten beyond {}", date(case, days.p90))
    };
    let words = format!(
        "Without a purge the headspace may hold more than {:.0} % oxygen for {}, {until}. No \
         flame before a meter shows less than that, whatever the gas looks like.",
        100.0 * PURGED_OXYGEN,
        days_band(days.p10, days.p90)
    );
    let evidence = vec![
        number("limit_oxygen_share", PURGED_OXYGEN),
        number("days_until_below_p10", days.p10),
        number("days_until_below_p50", days.p50),
        number("days_until_below_p90", days.p90),
    ];
    found(Severity::Stop, words, evidence, &["COWARD1952", "HARRIS"])
}

/// What to let go out of doors before any flame.
pub(super) fn purge(case: &Case<'_>) -> Option<Found> {
    let (vessel, side) = (&case.plan.vessel, &case.plan.gas_side);
    let filler = vessel.filler.get::<ratio>() * vessel.liquid.get::<cubic_meter>();
    let space_l = 1000.0 * (vessel.volume.get::<cubic_meter>() - filler);
    let line_l = side.line.as_ref().map_or(0.0, |l| {
        let (bore, length) = (l.bore.get::<meter>(), l.length.get::<meter>());
        250.0 * std::f64::consts::PI * bore * bore * length
    });
    let volumes = purge_volumes(AIR_OXYGEN, PURGED_OXYGEN).ok()?;
    let litres = case.over(|r| {
        let slurry = r.days.first().map_or(0.0, |d| d.slurry_l);
        volumes * ((space_l - slurry).max(0.0) + line_l)
    });
    // The day on which the vessel has made that much.
    let day = case.over(|r| {
        let mut made = 0.0;
        let wanted = litres.p90;
        let made_by = r.days.iter().position(|d| {
            made += d.gas_wet_l;
            made >= wanted
        });
        made_by.map_or(case.length(), |d| d as f64)
    });
    if litres.p50 < 0.1 || case.best_day_l() <= 0.0 {
        return None;
    }
    let by = if day.p50 >= case.length() {
        "the vessel does not make that much in this time".to_owned()
    } else if day.p90 >= case.length() {
        format!(
            "the vessel has made it near {}, in some worlds never",
            date(case, day.p50)
        )
    } else {
        format!("the vessel has made it by {}", date(case, day.p90))
    };
    let words = format!(
        "Before the first flame let {} of gas go, high and out of doors: {volumes:.1} times the room above \
         the slurry{}, for each volume that passes leaves a third of the air behind; {by}. A soft store is \
         pressed flat and filled anew besides, and three to five days' gas is the least to throw away. \
         Then test a small sample well off. The same after every opening.",
        say::gas(litres.p90, case.units),
        if line_l > 0.0 { " and in the line" } else { "" }
    );
    let evidence = vec![
        number("limit_oxygen_share", PURGED_OXYGEN),
        number("purge_volumes", volumes),
        number("purge_l_p50", litres.p50),
        number("purge_l_p90", litres.p90),
        number("purged_on_day_p50", day.p50),
        number("purged_on_day_p90", day.p90),
    ];
    found(
        Severity::Care,
        words,
        evidence,
        &["COWARD1952", "FAO1984", "SASSE1988Q", "ARNOTT1985"],
    )
}

/// Gas that comes but holds no flame.
pub(super) fn weak_gas(case: &Case<'_>) -> Option<Found> {
    let row = gas_constant("ch4_min_flame")?;
    let gassing = |d: &DayRow| d.gas_dry_l > 0.0;
    let days = case.days(|d| gassing(d) && d.methane_share < FLAME_METHANE_SHARE);
    let all = case.days(gassing);
    // A start always has some such days; a quarter of the gas days is no start any more.
    if all.p50 < 1.0 || days.p50 < (0.25 * all.p50).max(14.0) {
        return None;
    }
    let words = format!(
        "On {} gas comes with less than {:.0} % methane: too poor to hold a flame, and no safer \
         for that, since such gas can still explode with air. Vent it high and out of doors.",
        days_band(days.p10, days.p90),
        100.0 * FLAME_METHANE_SHARE
    );
    let evidence = vec![
        number("limit_methane_share", FLAME_METHANE_SHARE),
        number("days_below_p10", days.p10),
        number("days_below_p50", days.p50),
        number("days_below_p90", days.p90),
    ];
    found(
        Severity::Care,
        words,
        evidence,
        &[&row.source_key, "ZABETAKIS1965"],
    )
}

/// Air dosed against hydrogen sulfide.
pub(super) fn air_dose(case: &Case<'_>) -> Option<Found> {
    let row = gas_constant("air_dose_hi")?;
    let most = row.value? / 100.0;
    let dose = case.plan.gas_outlet.air_dose.get::<ratio>();
    if dose <= 0.0 {
        return None;
    }
    let severity = if dose > most {
        Severity::Stop
    } else {
        Severity::Care
    };
    let over = if dose > most {
        format!(
            "Air at {:.1} % of the gas is above the {:.0} % that is used. ",
            100.0 * dose,
            100.0 * most
        )
    } else {
        String::new()
    };
    let words = format!(
        "{over}Never more than {:.0} % air of the gas made: above it the store can explode. Air goes \
         in only by a small steady pump that stops when the gas stops, never from a compressor or a \
         valve left open; a stuck pump makes an explosive store. Watch the oxygen with a meter. Some \
         codes forbid it in a home-made plant, others want a licensed fitter: ask first.",
        100.0 * most
    );
    let evidence = vec![number("limit_share", most), number("air_dose_share", dose)];
    found(severity, words, evidence, &[&row.source_key, "CODES"])
}
