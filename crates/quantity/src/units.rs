//! Units by kind: the names people write and the conversion, taken from `uom`.

use crate::kind::{Kind, Quantity};
use uom::si::f64 as si;

/// One unit.
#[derive(Debug)]
pub(crate) struct Unit {
    /// Names; the first is the one printed.
    pub names: &'static [&'static str],
    /// Number in this unit to SI.
    pub to_si: fn(f64) -> f64,
    /// US customary: a comma before three digits parts thousands.
    pub us: bool,
    /// A bucket, whose size the reader states.
    pub bucket: bool,
}

macro_rules! table {
    ($ty:ty, $module:ident: $($tag:ident $unit:ident $($name:literal)+;)*) => {
        &[$(Unit {
            names: &[$($name),+],
            to_si: |x| <$ty>::new::<uom::si::$module::$unit>(x).to_si(),
            us: table!(@us $tag),
            bucket: false,
        }),*]
    };
    (@us us) => { true };
    (@us si) => { false };
}

const fn plain(names: &'static [&'static str], to_si: fn(f64) -> f64, us: bool) -> Unit {
    Unit {
        names,
        to_si,
        us,
        bucket: false,
    }
}

static VOLUME: &[Unit] = table! { si::Volume, volume:
    si liter "L" "litre" "litres" "liter" "liters" "ltr" "dm3";
    si cubic_meter "m3" "cubic metre" "cubic metres" "cubic meter" "cubic meters" "cu m" "cbm";
    si milliliter "mL" "millilitre" "millilitres" "milliliter" "milliliters" "cm3" "cc";
    us gallon "gal" "gallon" "gallons" "US gal" "gals" "gal (US)" "US gallons";
    us cubic_foot "cu ft" "ft3" "cubic foot" "cubic feet" "cuft" "cf";
    us cubic_yard "cu yd" "yd3" "cubic yard" "cubic yards";
    us cubic_inch "cu in" "in3" "cubic inch" "cubic inches";
    us quart_liquid "qt" "quart" "quarts";
    us pint_liquid "pt" "pint" "pints" "US pint";
    us cup "cup" "cups";
    us bushel "bu" "bushel" "bushels";
    si gallon_imperial "gal (UK)" "UK gal" "imp gal" "imperial gallon" "imperial gallons" "gal (imp)";
};
/// Stands in the list of volumes; its size comes from the context.
static BUCKET: [Unit; 1] = [Unit {
    names: &["bucket", "buckets", "pail", "pails"],
    to_si: |x| x,
    us: true,
    bucket: true,
}];
static MASS: &[Unit] = table! { si::Mass, mass:
    si kilogram "kg" "kilo" "kilos" "kilogram" "kilograms" "kgs";
    si gram "g" "gram" "grams" "gm";
    si ton "t" "tonne" "tonnes" "metric ton" "metric tons";
    us pound "lb" "lbs" "pound" "pounds";
    us ounce "oz" "ounce" "ounces";
    us ton_short "short ton" "short tons" "US ton" "US tons";
};
static LENGTH: &[Unit] = table! { si::Length, length:
    si meter "m" "metre" "metres" "meter" "meters";
    si centimeter "cm" "centimetre" "centimetres" "centimeter" "centimeters";
    si millimeter "mm" "millimetre" "millimetres" "millimeter" "millimeters";
    si kilometer "km" "kilometre" "kilometres" "kilometer" "kilometers";
    us inch "in" "inch" "inches" "\"" "″";
    us foot "ft" "foot" "feet" "'" "′";
    us yard "yd" "yard" "yards";
    us mile "mi" "mile" "miles";
};
static TEMPERATURE: &[Unit] = table! { si::ThermodynamicTemperature, thermodynamic_temperature:
    si degree_celsius "°C" "C" "deg C" "degrees C" "degree Celsius" "degrees Celsius" "Celsius" "℃";
    us degree_fahrenheit "°F" "F" "deg F" "degrees F" "degree Fahrenheit" "degrees Fahrenheit" "Fahrenheit" "℉";
    si kelvin "K" "kelvin";
};
static DIFFERENCE: &[Unit] = table! { si::TemperatureInterval, temperature_interval:
    si kelvin "K" "kelvin";
    si degree_celsius "°C" "C" "deg C" "degrees C" "degrees Celsius" "℃";
    us degree_fahrenheit "°F" "F" "deg F" "degrees F" "degrees Fahrenheit" "℉";
};
static PRESSURE: &[Unit] = table! { si::Pressure, pressure:
    si pascal "Pa" "pascal" "pascals";
    si hectopascal "hPa" "hectopascal";
    si kilopascal "kPa" "kilopascal";
    si millibar "mbar" "millibar" "millibars";
    si bar "bar" "bars";
    si centimeter_of_water "cm wc" "cm wg" "cm H2O" "cm water" "cm of water" "cm water column" "cm WS";
    si millimeter_of_water "mm wc" "mm wg" "mm H2O" "mm water" "mm of water" "mm water column" "mm WS";
    us inch_of_water "in wc" "in wg" "in H2O" "in water" "in of water" "inch of water" "inches of water" "inches wc" "inch wc" "in water column" "\"wc" "iwc";
    us psi "psi" "psig" "lb/sq in" "lb/in2";
};
static POWER: &[Unit] = &[
    plain(&["W", "watt", "watts"], |x| x, false),
    plain(&["kW", "kilowatt", "kilowatts"], |x| 1000.0 * x, false),
    plain(
        &["hp", "horsepower"],
        |x| si::Power::new::<uom::si::power::horsepower>(x).to_si(),
        true,
    ),
    plain(
        &["Btu/h", "Btu/hr", "Btu/hour"],
        |x| si::Energy::new::<uom::si::energy::btu_it>(x).to_si() / 3600.0,
        true,
    ),
];
static ENERGY: &[Unit] = table! { si::Energy, energy:
    si kilowatt_hour "kWh" "kilowatt hour" "kilowatt hours";
    si watt_hour "Wh" "watt hour" "watt hours";
    si megajoule "MJ" "megajoule" "megajoules";
    si kilojoule "kJ" "kilojoule" "kilojoules";
    us btu_it "Btu";
};
// A month is a twelfth of the year of 365 days.
static TIME: &[Unit] = &[
    plain(
        &["days", "d", "day"],
        |x| si::Time::new::<uom::si::time::day>(x).to_si(),
        false,
    ),
    plain(
        &["weeks", "wk", "week", "wks", "w"],
        |x| 7.0 * si::Time::new::<uom::si::time::day>(x).to_si(),
        false,
    ),
    plain(
        &["hours", "h", "hr", "hrs", "hour"],
        |x| si::Time::new::<uom::si::time::hour>(x).to_si(),
        false,
    ),
    plain(
        &["min", "minute", "minutes", "mins"],
        |x| si::Time::new::<uom::si::time::minute>(x).to_si(),
        false,
    ),
    plain(&["s", "sec", "second", "seconds", "secs"], |x| x, false),
    plain(
        &["months", "month", "mo"],
        |x| si::Time::new::<uom::si::time::year>(x).to_si() / 12.0,
        false,
    ),
    plain(
        &["years", "year", "yr", "yrs", "a"],
        |x| si::Time::new::<uom::si::time::year>(x).to_si(),
        false,
    ),
];
static RATIO: &[Unit] = &[
    plain(
        &["%", "percent", "per cent", "pct", "parts per hundred"],
        |x| x / 100.0,
        false,
    ),
    plain(&["‰", "per mille"], |x| x / 1000.0, false),
    plain(&["ppm", "parts per million"], |x| x * 1e-6, false),
    plain(&["kg/kg", "g/g", "t/t"], |x| x, false),
    plain(&["L/L", "m3/m3"], |x| x, false),
    plain(&["lb/lb"], |x| x, true),
];
static DENSITY: &[Unit] = table! { si::MassDensity, mass_density:
    si kilogram_per_cubic_meter "kg/m3" "kilograms per cubic metre" "g/L";
    si gram_per_cubic_centimeter "kg/L" "t/m3" "g/cm3" "g/mL";
    us pound_per_cubic_foot "lb/cu ft" "lb/ft3" "lbs/cu ft" "lb per cubic foot";
    us pound_per_cubic_yard "lb/cu yd" "lb/yd3" "lbs/cu yd";
    us pound_per_gallon "lb/gal" "lbs/gal";
};
// 1 h ft2 °F/Btu = 1 / (5.678 W/m2 K), the figure of `uom` for Btu(IT).
static INSULANCE: &[Unit] = &[
    plain(&["m2 K/W", "K m2/W", "m2 °C/W", "m2 C/W"], |x| x, false),
    plain(
        &[
            "h ft2 °F/Btu",
            "ft2 °F h/Btu",
            "ft2 h °F/Btu",
            "hr ft2 °F/Btu",
            "sq ft °F h/Btu",
        ],
        |x| {
            x / si::HeatTransfer::new::<
                uom::si::heat_transfer::btu_it_per_hour_square_foot_degree_fahrenheit,
            >(1.0)
            .value
        },
        true,
    ),
];
static CONDUCTIVITY: &[Unit] = &[plain(
    &["W/m K", "W/(m K)", "W/m/K", "W/m °C", "W/mK"],
    |x| x,
    false,
)];
// A day's sum is kept as its mean over 24 h.
static SUNSHINE: &[Unit] = &[
    plain(
        &[
            "kWh/m2/day",
            "kWh/m2/d",
            "kWh/m2 day",
            "kWh/m2 d",
            "kWh/sq m/day",
        ],
        |x| x * 1000.0 / 24.0,
        false,
    ),
    plain(
        &[
            "MJ/m2/day",
            "MJ/m2/d",
            "MJ/m2 day",
            "MJ/m2 d",
            "MJ/sq m/day",
        ],
        |x| x * 1e6 / 86_400.0,
        false,
    ),
    plain(
        &["Wh/m2/day", "Wh/m2/d", "Wh/m2 day", "Wh/m2 d"],
        |x| x / 24.0,
        false,
    ),
    plain(&["W/m2", "W/sq m"], |x| x, false),
];
static SPEED: &[Unit] = table! { si::Velocity, velocity:
    si meter_per_second "m/s" "metres per second" "meters per second" "m/sec";
    si kilometer_per_hour "km/h" "kph" "km/hr" "kmh";
    us mile_per_hour "mph" "miles/hour" "mi/h";
    us foot_per_second "ft/s" "ft/sec" "feet per second";
    si knot "knots" "kn" "kt" "knot";
};
static SPECIFIC_VOLUME: &[Unit] = &[
    plain(
        &["L/kg", "litres per kg", "liters per kg", "mL/g", "NL/kg"],
        |x| x / 1000.0,
        false,
    ),
    plain(&["m3/kg", "L/g", "Nm3/kg"], |x| x, false),
    plain(&["m3/t"], |x| x / 1000.0, false),
    plain(
        &["cu ft/lb", "ft3/lb"],
        |x| si::SpecificVolume::new::<uom::si::specific_volume::cubic_foot_per_pound>(x).to_si(),
        true,
    ),
];
static RATE: &[Unit] = &[
    plain(
        &["per day", "/d", "1/day", "1/d", "d-1", "day-1"],
        |x| x / 86_400.0,
        false,
    ),
    plain(
        &["per hour", "/h", "1/hour", "1/h", "h-1"],
        |x| x / 3600.0,
        false,
    ),
    plain(&["per second", "/s", "1/s", "s-1"], |x| x, false),
    plain(&["per week"], |x| x / 604_800.0, false),
];
static LATITUDE: &[Unit] = &[
    plain(
        &[
            "°N",
            "N",
            "° N",
            "deg N",
            "degrees N",
            "north",
            "degrees north",
        ],
        |x| x.to_radians(),
        false,
    ),
    plain(
        &[
            "°S",
            "S",
            "° S",
            "deg S",
            "degrees S",
            "south",
            "degrees south",
        ],
        |x| (-x).to_radians(),
        false,
    ),
    plain(&["°", "deg", "degrees"], |x| x.to_radians(), false),
];

/// Units a value of this kind may be written in, rates excepted.
pub(crate) fn of(kind: Kind) -> impl Iterator<Item = &'static Unit> {
    let buckets: &[Unit] = if kind == Kind::Volume { &BUCKET } else { &[] };
    listed(kind).iter().chain(buckets)
}

fn listed(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Volume => VOLUME,
        Kind::Mass => MASS,
        Kind::Length => LENGTH,
        Kind::Temperature => TEMPERATURE,
        Kind::TemperatureDifference => DIFFERENCE,
        Kind::Pressure => PRESSURE,
        Kind::Power => POWER,
        Kind::Energy => ENERGY,
        Kind::Time => TIME,
        Kind::VolumeRate | Kind::MassRate => &[],
        Kind::Ratio => RATIO,
        Kind::Density => DENSITY,
        Kind::ThermalInsulance => INSULANCE,
        Kind::Conductivity => CONDUCTIVITY,
        Kind::Sunshine => SUNSHINE,
        Kind::Speed => SPEED,
        Kind::SpecificVolume => SPECIFIC_VOLUME,
        Kind::Rate => RATE,
        Kind::Latitude => LATITUDE,
    }
}

/// For a rate, the kind of what flows.
pub(crate) fn flowing(kind: Kind) -> Option<Kind> {
    match kind {
        Kind::VolumeRate => Some(Kind::Volume),
        Kind::MassRate => Some(Kind::Mass),
        _ => None,
    }
}

/// Printed names of the units of a kind, for messages.
pub(crate) fn names(kind: Kind) -> Vec<String> {
    match flowing(kind) {
        Some(amount) => of(amount).map(|u| format!("{}/day", u.names[0])).collect(),
        None => of(kind).map(|u| u.names[0].to_owned()).collect(),
    }
}

/// Spellings that mean the same get the same key: blanks, dots, carets, round
/// brackets and middle dots go; superscripts become digits.
pub(crate) fn key(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.replace(" per ", "/").chars() {
        match c {
            '²' => out.push('2'),
            '³' => out.push('3'),
            '₂' => out.push('2'),
            'º' | '˚' => out.push('°'),
            '“' | '”' => out.push('"'),
            '’' => out.push('\''),
            c if c.is_whitespace() || matches!(c, '.' | '^' | '·' | '⋅' | '(' | ')') => {}
            c => out.push(c),
        }
    }
    out
}

/// Finds a unit by name: exact case first, then without case.
pub(crate) fn find(kind: Kind, name: &str) -> Option<&'static Unit> {
    let wanted = key(name);
    if wanted.is_empty() {
        return None;
    }
    let by = |same: &dyn Fn(&str) -> bool| of(kind).find(|u| u.names.iter().any(|n| same(n)));
    by(&|n| key(n) == wanted).or_else(|| {
        let wanted = wanted.to_lowercase();
        by(&|n| key(n).to_lowercase() == wanted)
    })
}
