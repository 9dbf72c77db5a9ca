//! Numbers, dates and lists as sentences carry them.

use fenlamp_quantity::{ThermodynamicTemperature, Units, format_number, print_band};
use jiff::civil::Date;
use uom::si::thermodynamic_temperature::degree_celsius;

use crate::band::Quantiles;

pub use crate::plan::MONTHS;

/// Name of a month, 1 = January; empty for anything else.
pub fn month(number: i8) -> &'static str {
    usize::try_from(number)
        .ok()
        .and_then(|n| n.checked_sub(1))
        .and_then(|n| MONTHS.get(n))
        .unwrap_or(&"")
}

/// "3 June", with the year when it is not that of `start`.
pub fn date(date: Date, start: Date) -> String {
    let short = format!("{} {}", date.day(), month(date.month()));
    if date.year() == start.year() {
        short
    } else {
        format!("{short} {}", date.year())
    }
}

/// Litres of one cubic foot (exact from the foot).
pub const L_PER_CU_FT: f64 = 28.316_846_592;

/// A band of gas volumes: "60 to 140 L", "2.1 to 4.9 cu ft", "1.2 to 2.4 m3".
pub fn gas_band(low_l: f64, high_l: f64, units: Units) -> String {
    let (unit, l) = gas_unit(high_l, units);
    format!("{} {unit}", number_band(low_l / l, high_l / l))
}

/// A band with its middle, all in one unit: "60 to 140 L of gas a day (middle 95)".
pub fn gas_a_day(q: Quantiles, units: Units) -> String {
    let (unit, l) = gas_unit(q.p90, units);
    let band = number_band(q.p10 / l, q.p90 / l);
    format!(
        "{band} {unit} of gas a day (middle {})",
        number_band(q.p50 / l, q.p50 / l)
    )
}

/// The unit for gas volumes up to `high_l`, and its litres.
fn gas_unit(high_l: f64, units: Units) -> (&'static str, f64) {
    match units {
        Units::Us => ("cu ft", L_PER_CU_FT),
        Units::Metric if high_l >= 2000.0 => ("m3", 1000.0),
        Units::Metric => ("L", 1.0),
    }
}

/// One gas volume with two figures: "95 L".
pub fn gas(l: f64, units: Units) -> String {
    gas_band(l, l, units)
}

/// A band with its middle: "1.2 to 2.6 (middle 1.9)".
pub fn with_middle(q: Quantiles) -> String {
    let (band, middle) = (number_band(q.p10, q.p90), number_band(q.p50, q.p50));
    if band == middle {
        band
    } else {
        format!("{band} (middle {middle})")
    }
}

/// A band of temperatures in whole degrees: "4 to 7 °C".
pub fn temperature_band(low_c: f64, high_c: f64, units: Units) -> String {
    let t = ThermodynamicTemperature::new::<degree_celsius>;
    print_band(t(low_c), t(high_c), units)
}

/// One temperature in whole degrees: "15 °C", "59 °F".
pub fn temperature(c: f64, units: Units) -> String {
    temperature_band(c, c, units)
}

/// A band of plain numbers, two figures and at most two decimals: "1.2 to 2.6";
/// one number when both print alike.
pub fn number_band(low: f64, high: f64) -> String {
    // The low end gets no finer decimals than the high end shows.
    let finest = |x: f64| match x.abs() {
        x if x >= 9.95 => 0,
        x if x >= 0.995 => 1,
        _ => 2,
    };
    let number = |x: f64| {
        let unit = 10f64.powi(finest(high));
        format_number((x * unit).round() / unit, 2)
    };
    let (bottom, top) = (number(low), number(high));
    if top == bottom {
        top
    } else {
        format!("{bottom} to {top}")
    }
}

/// "one" to "ten", then figures.
pub fn count_word(n: f64) -> String {
    const WORDS: [&str; 11] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    let n = n.round().max(0.0);
    if n <= 10.0 {
        WORDS[n as usize].to_owned()
    } else {
        format_number(n, 2)
    }
}

/// "1 day", "365 days".
pub fn days_word(days: f64) -> String {
    let n = days.round();
    if n == 1.0 {
        "1 day".to_owned()
    } else {
        format!("{n:.0} days")
    }
}

/// A band of whole days: "12 to 30 days".
pub fn days_band(low: f64, high: f64) -> String {
    let (a, b) = (low.round(), high.round());
    if a == b {
        days_word(a)
    } else {
        format!("{a:.0} to {b:.0} days")
    }
}

/// A share of the worlds: "7 of 10 worlds", or "1 of 60 worlds" when tenths would hide it.
pub fn worlds_of(share: f64, worlds: u32) -> String {
    let whole = f64::from(worlds);
    let count = (share * whole).round();
    if worlds == 1 {
        return "the one world run".to_owned();
    }
    if count >= whole {
        return format!("all {worlds} worlds");
    }
    let tenths = (share * 10.0).round();
    if worlds > 10 && (1.0..=9.0).contains(&tenths) && (share * 10.0 - tenths).abs() < 0.35 {
        format!("{tenths} of 10 worlds")
    } else {
        format!("{count:.0} of {worlds} worlds")
    }
}

/// "a", "a and b", "a, b and c"; with semicolons where a part has a comma of its own.
pub fn list<S: AsRef<str>>(parts: &[S]) -> String {
    let parts: Vec<&str> = parts.iter().map(AsRef::as_ref).collect();
    let inner = parts.iter().any(|p| p.contains(','));
    let (comma, and) = if inner {
        ("; ", "; and ")
    } else {
        (", ", " and ")
    };
    match parts.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{}{and}{last}", first.join(comma)),
    }
}

/// With a capital first letter.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
