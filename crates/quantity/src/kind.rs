//! Kinds of quantity and the range in which each makes sense.

use std::marker::PhantomData;
use uom::si::f64 as si;

/// Thermal resistance of an area (R-value), m2 K/W; `uom` has no name for it.
pub type ThermalInsulance = uom::si::Quantity<
    uom::si::ISQ<
        uom::typenum::Z0,
        uom::typenum::N1,
        uom::typenum::P3,
        uom::typenum::Z0,
        uom::typenum::P1,
        uom::typenum::Z0,
        uom::typenum::Z0,
    >,
    uom::si::SI<f64>,
    f64,
>;

/// What a piece of text is supposed to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// m3.
    Volume,
    /// kg.
    Mass,
    /// m.
    Length,
    /// A temperature on a scale, K inside.
    Temperature,
    /// A difference between two temperatures, K.
    TemperatureDifference,
    /// Pa, above or below the surrounding air.
    Pressure,
    /// W.
    Power,
    /// J.
    Energy,
    /// s.
    Time,
    /// m3/s.
    VolumeRate,
    /// kg/s.
    MassRate,
    /// Share, 1 = the whole.
    Ratio,
    /// kg/m3.
    Density,
    /// m2 K/W.
    ThermalInsulance,
    /// W/(m K).
    Conductivity,
    /// Sunshine on an area, W/m2 (a day's sum is its mean).
    Sunshine,
    /// m/s.
    Speed,
    /// Gas from a mass, m3/kg.
    SpecificVolume,
    /// First-order rate, 1/s.
    Rate,
    /// Degrees north of the equator, rad inside.
    Latitude,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 20] = [
        Kind::Volume,
        Kind::Mass,
        Kind::Length,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::Pressure,
        Kind::Power,
        Kind::Energy,
        Kind::Time,
        Kind::VolumeRate,
        Kind::MassRate,
        Kind::Ratio,
        Kind::Density,
        Kind::ThermalInsulance,
        Kind::Conductivity,
        Kind::Sunshine,
        Kind::Speed,
        Kind::SpecificVolume,
        Kind::Rate,
        Kind::Latitude,
    ];

    /// With its article: "a volume".
    pub fn name(self) -> &'static str {
        match self {
            Kind::Volume => "a volume",
            Kind::Mass => "a mass",
            Kind::Length => "a length",
            Kind::Temperature => "a temperature",
            Kind::TemperatureDifference => "a temperature difference",
            Kind::Pressure => "a pressure",
            Kind::Power => "a power",
            Kind::Energy => "an energy",
            Kind::Time => "a length of time",
            Kind::VolumeRate => "a volume per time",
            Kind::MassRate => "a mass per time",
            Kind::Ratio => "a share",
            Kind::Density => "a density",
            Kind::ThermalInsulance => "a thermal resistance",
            Kind::Conductivity => "a thermal conductivity",
            Kind::Sunshine => "sunshine on an area",
            Kind::Speed => "a speed",
            Kind::SpecificVolume => "a volume per mass",
            Kind::Rate => "a rate",
            Kind::Latitude => "a latitude",
        }
    }

    /// A well-written example.
    pub fn example(self) -> &'static str {
        match self {
            Kind::Volume => "208 L",
            Kind::Mass => "80 kg",
            Kind::Length => "57 cm",
            Kind::Temperature => "35 °C",
            Kind::TemperatureDifference => "2 K",
            Kind::Pressure => "8 cm wc",
            Kind::Power => "100 W",
            Kind::Energy => "2 kWh",
            Kind::Time => "30 days",
            Kind::VolumeRate => "2 L/day",
            Kind::MassRate => "2 kg/day",
            Kind::Ratio => "50 %",
            Kind::Density => "400 kg/m3",
            Kind::ThermalInsulance => "2 m2 K/W",
            Kind::Conductivity => "0.04 W/m K",
            Kind::Sunshine => "3.2 kWh/m2/day",
            Kind::Speed => "4 m/s",
            Kind::SpecificVolume => "210 L/kg",
            Kind::Rate => "0.1 per day",
            Kind::Latitude => "56.5 °N",
        }
    }

    /// Widest range that can be meant, SI. It catches slips of the pen (and of
    /// units); a reader with a narrower range in mind checks that itself.
    /// Judgement, except for the poles, the zero of shares and absolute zero.
    pub fn range(self) -> (f64, f64) {
        match self {
            Kind::Volume => (0.0, 1e5),
            Kind::Mass => (0.0, 1e8),
            Kind::Length => (-500.0, 1e6),
            Kind::Temperature => (173.15, 2273.15),
            Kind::TemperatureDifference => (-500.0, 2000.0),
            Kind::Pressure => (-101_325.0, 1e7),
            Kind::Power => (0.0, 1e7),
            Kind::Energy => (0.0, 1e13),
            Kind::Time => (0.0, 100.0 * 365.0 * 86_400.0),
            Kind::VolumeRate => (0.0, 10.0),
            Kind::MassRate => (0.0, 1e3),
            Kind::Ratio => (0.0, 1000.0),
            Kind::Density => (0.0, 25_000.0),
            Kind::ThermalInsulance => (0.0, 100.0),
            Kind::Conductivity => (0.0, 1000.0),
            Kind::Sunshine => (0.0, 1500.0),
            Kind::Speed => (0.0, 150.0),
            Kind::SpecificVolume => (0.0, 10.0),
            Kind::Rate => (0.0, 10.0),
            Kind::Latitude => (-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2),
        }
    }
}

/// A `uom` type this crate can read and print.
pub trait Quantity: Copy {
    /// Its kind.
    const KIND: Kind;
    /// From the SI base value.
    fn from_si(value: f64) -> Self;
    /// To the SI base value.
    fn to_si(self) -> f64;
}

macro_rules! quantity {
    ($($ty:ty => $kind:ident),* $(,)?) => {$(
        impl Quantity for $ty {
            const KIND: Kind = Kind::$kind;
            fn from_si(value: f64) -> Self {
                Self { dimension: PhantomData, units: PhantomData, value }
            }
            fn to_si(self) -> f64 {
                self.value
            }
        }
    )*};
}

quantity! {
    si::Volume => Volume,
    si::Mass => Mass,
    si::Length => Length,
    si::ThermodynamicTemperature => Temperature,
    si::TemperatureInterval => TemperatureDifference,
    si::Pressure => Pressure,
    si::Power => Power,
    si::Energy => Energy,
    si::Time => Time,
    si::VolumeRate => VolumeRate,
    si::MassRate => MassRate,
    si::Ratio => Ratio,
    si::MassDensity => Density,
    ThermalInsulance => ThermalInsulance,
    si::ThermalConductivity => Conductivity,
    si::HeatFluxDensity => Sunshine,
    si::Velocity => Speed,
    si::SpecificVolume => SpecificVolume,
    si::Frequency => Rate,
    si::Angle => Latitude,
}
