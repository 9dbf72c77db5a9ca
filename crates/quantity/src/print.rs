//! Printing in the unit a person thinks in, with no more digits than are meant.

use crate::context::{Context, Units};
use crate::kind::{Kind, Quantity};
use crate::resolve::resolve;

/// Prints a quantity with three figures: "208 L", "98 °F".
pub fn print<Q: Quantity>(quantity: Q, units: Units) -> String {
    print_si(Q::KIND, quantity.to_si(), units, false)
}

/// Prints a volume (or flow) of gas: litres and m3, or cu ft.
pub fn print_gas<Q: Quantity>(quantity: Q, units: Units) -> String {
    print_si(Q::KIND, quantity.to_si(), units, true)
}

/// Prints a band with one unit and two figures: "60 to 140 L".
pub fn print_band<Q: Quantity>(low: Q, high: Q, units: Units) -> String {
    band(Q::KIND, low.to_si(), high.to_si(), units, false)
}

/// Prints a band of gas volumes or flows: "2.1 to 4.9 cu ft".
pub fn print_gas_band<Q: Quantity>(low: Q, high: Q, units: Units) -> String {
    band(Q::KIND, low.to_si(), high.to_si(), units, true)
}

pub(crate) fn print_si(kind: Kind, si: f64, units: Units, gas: bool) -> String {
    if kind == Kind::Latitude {
        let side = if si < 0.0 { 'S' } else { 'N' };
        return format!("{} °{side}", format_number(si.to_degrees().abs(), 3));
    }
    let (unit, x) = in_unit(kind, si, si, units, gas);
    format!("{} {unit}", number(kind, x, 3))
}

fn band(kind: Kind, low: f64, high: f64, units: Units, gas: bool) -> String {
    let (unit, top) = in_unit(kind, high, high, units, gas);
    let (_, bottom) = in_unit(kind, low, high, units, gas);
    // The low end gets no finer decimals than the high end shows.
    let decimals = decimals(top, 2).clamp(0, if is_scale(kind) { 0 } else { 9 });
    let bottom = if bottom.abs() < top.abs() && self::decimals(bottom, 2) > decimals {
        fixed(bottom, decimals)
    } else {
        number(kind, bottom, 2)
    };
    let top = number(kind, top, 2);
    if bottom == top {
        format!("{top} {unit}")
    } else {
        format!("{bottom} to {top} {unit}")
    }
}

/// Temperatures and shares: figures after the point are what counts.
fn is_scale(kind: Kind) -> bool {
    matches!(kind, Kind::Temperature | Kind::TemperatureDifference)
}

fn number(kind: Kind, x: f64, figures: i32) -> String {
    if is_scale(kind) {
        return fixed(x, if figures > 2 { 1 } else { 0 });
    }
    format_number(x, figures)
}

/// The unit by the size of `reference`, and `si` in it.
fn in_unit(kind: Kind, si: f64, reference: f64, units: Units, gas: bool) -> (&'static str, f64) {
    let unit = choose(kind, reference.abs(), units, gas);
    let Some(r) = resolve(kind, unit, &Context::default()) else {
        return ("", si); // every label of `choose` is in the tables; a test holds this
    };
    (unit, (si - r.offset) / r.scale)
}

fn choose(kind: Kind, si: f64, units: Units, gas: bool) -> &'static str {
    // Largest unit in which the number is not below its threshold.
    fn step(x: f64, steps: &[(f64, &'static str)]) -> &'static str {
        steps
            .iter()
            .rev()
            .find(|s| x >= s.0)
            .or(steps.first())
            .map_or("", |s| s.1)
    }
    const DAY: f64 = 86_400.0;
    match (kind, units) {
        (Kind::Volume, Units::Metric) => step(si, &[(0.0, "mL"), (1e-4, "L"), (2.0, "m3")]),
        (Kind::Volume, Units::Us) if gas => "cu ft",
        (Kind::Volume, Units::Us) => step(si, &[(0.0, "cup"), (9e-4, "gal")]),
        (Kind::VolumeRate, Units::Metric) => step(si * DAY, &[(0.0, "L/day"), (2.0, "m3/day")]),
        (Kind::VolumeRate, Units::Us) if gas => "cu ft/day",
        (Kind::VolumeRate, Units::Us) => "gal/day",
        (Kind::Mass, Units::Metric) => step(si, &[(0.0, "g"), (1.0, "kg"), (2000.0, "t")]),
        (Kind::Mass, Units::Us) => step(si, &[(0.0, "oz"), (0.4, "lb")]),
        (Kind::MassRate, Units::Metric) => step(si * DAY, &[(0.0, "g/day"), (0.2, "kg/day")]),
        (Kind::MassRate, Units::Us) => "lb/day",
        (Kind::Length, Units::Metric) => step(si, &[(0.0, "mm"), (0.02, "cm"), (2.0, "m")]),
        (Kind::Length, Units::Us) => step(si, &[(0.0, "in"), (1.83, "ft")]),
        (Kind::Temperature | Kind::TemperatureDifference, Units::Metric) => "°C",
        (Kind::Temperature | Kind::TemperatureDifference, Units::Us) => "°F",
        (Kind::Pressure, Units::Metric) => step(si, &[(0.0, "cm wc"), (1e4, "kPa"), (2e5, "bar")]),
        (Kind::Pressure, Units::Us) => step(si, &[(0.0, "in wc"), (6894.0, "psi")]),
        (Kind::Power, _) => step(si, &[(0.0, "W"), (2000.0, "kW")]),
        (Kind::Energy, Units::Metric) => step(si, &[(0.0, "kJ"), (1e6, "kWh")]),
        (Kind::Energy, Units::Us) => step(si, &[(0.0, "Btu"), (1e7, "kWh")]),
        (Kind::Time, _) => step(
            si,
            &[
                (0.0, "s"),
                (120.0, "min"),
                (7200.0, "hours"),
                (2.0 * DAY, "days"),
                (800.0 * DAY, "years"),
            ],
        ),
        (Kind::Ratio, _) => "%",
        (Kind::Density, Units::Metric) => "kg/m3",
        (Kind::Density, Units::Us) => "lb/cu ft",
        (Kind::ThermalInsulance, Units::Metric) => "m2 K/W",
        (Kind::ThermalInsulance, Units::Us) => "h ft2 °F/Btu",
        (Kind::Conductivity, _) => "W/m K",
        (Kind::Sunshine, _) => "kWh/m2/day",
        (Kind::Speed, Units::Metric) => "m/s",
        (Kind::Speed, Units::Us) => "mph",
        (Kind::SpecificVolume, Units::Metric) => "L/kg",
        (Kind::SpecificVolume, Units::Us) => "cu ft/lb",
        (Kind::Rate, _) => "per day",
        (Kind::Latitude, _) => "°",
    }
}

/// Decimals that leave `figures` significant ones.
fn decimals(x: f64, figures: i32) -> i32 {
    if x == 0.0 || !x.is_finite() {
        return 0;
    }
    figures - 1 - x.abs().log10().floor() as i32
}

/// Rounded to significant figures, without needless zeros and never in powers of ten.
pub fn format_number(x: f64, figures: i32) -> String {
    fixed(x, decimals(x, figures))
}

fn fixed(x: f64, decimals: i32) -> String {
    let text = if decimals > 0 {
        let text = format!("{x:.*}", decimals.min(300) as usize);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        let unit = 10f64.powi((-decimals).min(300));
        format!("{:.0}", (x / unit).round() * unit)
    };
    if text == "-0" { "0".to_owned() } else { text }
}
