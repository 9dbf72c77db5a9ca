//! Leaks into rooms, and flames without a flue.

use clap::{Args, ValueEnum};
use fenlamp_model::gas::Mixture;
use fenlamp_model::gas::flammability::LimitTable;
use fenlamp_model::gas::jet::leak_l_h;
use fenlamp_model::gas::properties::{State, density_kg_m3, dry_normal_factor};
use fenlamp_model::gas::room::{self as air, Flame, For, Room};
use fenlamp_model::reference::gas_value;
use fenlamp_quantity::{
    Frequency, Length, Pressure, Ratio, Time, Volume, VolumeRate, format_number,
};

use super::ask::{Say, maybe, number, refuse};
use super::sheet::Sheet;
use crate::failure::Failure;

/// Unwashed gas unless said otherwise: the middle of what is found in raw gas.
const RAW_H2S: &str = "2000 ppm";

/// A room and its air.
#[derive(Debug, Args)]
pub struct RoomSize {
    /// Volume of the room
    #[arg(long, allow_hyphen_values = true)]
    room: String,
    /// How often its air changes: a shut room 0.2 to 0.5, a draughty one 1 to 2 per hour
    #[arg(long, allow_hyphen_values = true)]
    air_changes: String,
}

impl RoomSize {
    fn room(&self) -> Result<Room, Failure> {
        let volume = number::<Volume>("--room", &self.room)?;
        let changes = 3600.0 * number::<Frequency>("--air-changes", &self.air_changes)?;
        Room::new(volume, changes).map_err(refuse)
    }
}

/// Gas as it comes, unwashed by default.
#[derive(Debug, Args)]
pub struct RawGas {
    /// Methane in the dry gas
    #[arg(long, default_value = "60 %", allow_hyphen_values = true)]
    methane: String,
    /// Hydrogen sulfide in the dry gas; the default is unwashed gas
    #[arg(long, default_value = RAW_H2S, allow_hyphen_values = true)]
    h2s: String,
}

impl RawGas {
    fn gas(&self) -> Result<Mixture, Failure> {
        let methane = number::<Ratio>("--methane", &self.methane)?;
        let h2s = number::<Ratio>("--h2s", &self.h2s)?;
        Mixture::biogas_with_h2s(methane, 1e6 * h2s).map_err(refuse)
    }
}

/// Options of `leak`.
#[derive(Debug, Args)]
pub struct Leak {
    /// Gas that leaks
    #[arg(
        long,
        allow_hyphen_values = true,
        required_unless_present = "hole",
        conflicts_with = "hole"
    )]
    gas: Option<String>,
    /// Or the hole it leaks from
    #[arg(long, allow_hyphen_values = true, requires = "pressure")]
    hole: Option<String>,
    /// Pressure behind the hole
    #[arg(long, allow_hyphen_values = true)]
    pressure: Option<String>,
    #[command(flatten)]
    size: RoomSize,
    #[command(flatten)]
    mix: RawGas,
}

/// Answers `leak`.
///
/// # Errors
/// [`Failure::Input`].
pub fn leak(q: &Leak, say: Say) -> Result<Sheet, Failure> {
    let room = q.size.room()?;
    let gas = q.mix.gas()?;
    let flow = match (
        maybe::<VolumeRate>("--gas", q.gas.as_deref())?,
        q.hole.as_deref(),
        q.pressure.as_deref(),
    ) {
        (Some(m3_s), _, _) => 3600.0 * m3_s,
        (None, Some(hole), Some(pressure)) => {
            let mm = 1000.0 * number::<Length>("--hole", hole)?;
            let pa = number::<Pressure>("--pressure", pressure)?;
            let rho = density_kg_m3(&gas, State::AT_20).map_err(refuse)?;
            leak_l_h(mm, pa, rho).map_err(refuse)? / 1000.0
        }
        _ => return Err(Failure::input("give --gas, or --hole with --pressure", "")),
    };
    let found = air::leak(&room, &gas, flow, LimitTable::Iec60079).map_err(refuse)?;
    let when = match found.hours_to_quarter {
        Some(h) => format!(
            "After {} the mixed air of the room is at a quarter of the lower explosive limit",
            say.any::<Time>(3600.0 * h)
        ),
        None => "The mixed air of the room never reaches a quarter of the lower explosive limit"
            .to_owned(),
    };
    let h2s_limit = h2s_stel();
    let poison = if found.h2s_ppm > h2s_limit {
        format!(
            "; hydrogen sulfide settles at {} ppm, over the {h2s_limit} ppm short-term limit",
            format_number(found.h2s_ppm, 2)
        )
    } else {
        String::new()
    };
    let mut sheet = Sheet::new(
        "leak",
        format!("{when}{poison}."),
        "one mixed room: share = leak / (V n) (1 - exp(-n t)); hole by Q = Cd A sqrt(2 dp / density)",
    );
    sheet.figure("leak", flow, "m3/h", say.flow(flow));
    sheet.figure(
        "methane at last",
        100.0 * found.methane_share,
        "%",
        say.share(found.methane_share),
    );
    sheet.figure(
        "of the lower limit",
        100.0 * found.of_lower_limit,
        "%",
        say.share(found.of_lower_limit),
    );
    sheet.figure(
        "hydrogen sulfide at last",
        found.h2s_ppm,
        "ppm",
        format!("{} ppm", format_number(found.h2s_ppm, 2)),
    );
    if let Some(h) = found.hours_to_quarter {
        sheet.figure(
            "to a quarter of the limit",
            h,
            "h",
            say.any::<Time>(3600.0 * h),
        );
    }
    sheet.figure(
        "fresh air for a tenth",
        found.fresh_air_m3_h,
        "m3/h",
        format!(
            "{} keeps it at a tenth, where people leave",
            say.flow(found.fresh_air_m3_h)
        ),
    );
    sheet.caution(
        "A mixed-room sum never clears a room: leaks lie in layers and are explosive near the hole. The nose is \
         no detector: smell fails at about 100 ppm of hydrogen sulfide.",
    );
    sheet.caution("Smell gas: no switch, no flame; open up, shut the valve outside, get out. Store gas out of doors.");
    sheet.taken(format!(
        "{} methane, {} hydrogen sulfide",
        q.mix.methane, q.mix.h2s
    ));
    for key in ["IEC60079-20-1", "H2SREVIEW2017", "OSHA-PRCS"] {
        sheet.source(key);
    }
    Ok(sheet)
}

/// Short-term limit of hydrogen sulfide for people, ppm.
fn h2s_stel() -> f64 {
    fenlamp_model::reference::safety_limits()
        .iter()
        .find(|row| row.hazard == "hydrogen sulfide" && row.name == "TLV-STEL")
        .and_then(|row| row.value)
        .unwrap_or(0.0)
}

/// How the flame burns.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Burns {
    Blue,
    Yellow,
}

/// Options of `room`.
#[derive(Debug, Args)]
pub struct RoomOptions {
    /// Gas burned in it without a flue, as it comes from the store
    #[arg(long, allow_hyphen_values = true)]
    gas: String,
    #[command(flatten)]
    size: RoomSize,
    /// How the flame burns
    #[arg(long, value_enum, default_value = "blue")]
    flame: Burns,
    /// A greenhouse with nobody inside
    #[arg(long)]
    plants: bool,
    /// How long it burns; without it, until the air settles
    #[arg(long = "for", value_name = "TIME", allow_hyphen_values = true)]
    burns_for: Option<String>,
    #[command(flatten)]
    mix: RawGas,
}

/// Answers `room`.
///
/// # Errors
/// [`Failure::Input`].
pub fn room(q: &RoomOptions, say: Say) -> Result<Sheet, Failure> {
    let room = q.size.room()?;
    let gas = q.mix.gas()?;
    let flow = 3600.0 * number::<VolumeRate>("--gas", &q.gas)?;
    // Counted wet in the store at 20 degC.
    let dry = dry_normal_factor(20.0, 0.0, gas_value("p_normal")).map_err(refuse)?;
    let flame = match q.flame {
        Burns::Blue => Flame::Blue,
        Burns::Yellow => Flame::Yellow,
    };
    let hours = maybe::<Time>("--for", q.burns_for.as_deref())?.map(|s| s / 3600.0);
    let made = air::fumes(&gas, flow * dry, flame, &room).map_err(refuse)?;
    let then = air::air_after(&room, &made, hours).map_err(refuse)?;
    let whom = if q.plants { For::Plants } else { For::People };
    let needs = air::fresh_air_needs(&room, &made, whom).map_err(refuse)?;
    let worst = needs
        .first()
        .ok_or_else(|| Failure::Internal("no limit was found".to_owned()))?;
    let who = if q.plants { "plants" } else { "people" };
    let answer = if worst.air_changes_per_h > room.air_changes_per_h {
        format!(
            "Not fit for {who} without a flue: {} needs {} air changes an hour, the room has {}.",
            worst.of,
            format_number(worst.air_changes_per_h, 2),
            format_number(room.air_changes_per_h, 2)
        )
    } else {
        format!(
            "Within the limits for {who} while {} air changes an hour hold; {} asks the most.",
            format_number(worst.air_changes_per_h, 2),
            worst.of
        )
    };
    let mut sheet = Sheet::new(
        "room",
        answer,
        "one mixed room: rise = made / (V n) (1 - exp(-n t)); a volume of biogas makes a volume of carbon dioxide",
    );
    let ppm = |v: f64| format!("{} ppm", format_number(v, 3));
    let end = if hours.is_some() { "then" } else { "at last" };
    sheet.figure(
        format!("carbon dioxide {end}"),
        then.co2_ppm,
        "ppm",
        ppm(then.co2_ppm),
    );
    sheet.figure(
        format!("carbon monoxide {end}"),
        then.co_ppm,
        "ppm",
        ppm(then.co_ppm),
    );
    sheet.figure(
        format!("sulfur dioxide {end}"),
        then.so2_ppm,
        "ppm",
        ppm(then.so2_ppm),
    );
    sheet.figure(
        format!("oxygen {end}"),
        then.oxygen_pct,
        "%",
        format!("{} %", format_number(then.oxygen_pct, 3)),
    );
    sheet.figure(
        "water made",
        made.water_kg_h,
        "kg/h",
        say.any::<fenlamp_quantity::MassRate>(made.water_kg_h / 3600.0),
    );
    sheet.figure("heat", made.heat_kw, "kW", say.power(made.heat_kw));
    for need in &needs {
        sheet.figure(
            format!("air for {}", need.of),
            need.air_changes_per_h,
            "changes/h",
            format!(
                "{} changes an hour for {} {}",
                format_number(need.air_changes_per_h, 2),
                format_number(need.limit, 3),
                need.unit
            ),
        );
    }
    sheet.caution("Fit alarms for carbon monoxide and gas. Headache in more than one person: out, and get help.");
    if q.plants {
        sheet.caution(
            "Daylight only, nobody inside, vents that cannot all be shut; ethylene of a yellow flame hurts crops \
             at 0.05 ppm and is not worked out here.",
        );
    }
    sheet.taken(match flame {
        Flame::Blue => "a blue flame at the carbon monoxide ceiling of a stove standard [GBT3606]",
        Flame::Yellow => "a yellow flame with ten times that carbon monoxide (judgement)",
    });
    sheet.taken(format!("{} hydrogen sulfide in the gas", q.mix.h2s));
    for need in &needs {
        if let Some(s) = fenlamp_model::reference::source(&need.source_key) {
            sheet.source(s.key.as_str());
        }
    }
    Ok(sheet)
}
