//! From what people say to an [`Entry`], and back.

use fenlamp_quantity::{
    Context, EitherMass, Mass, Quantity, QuantityError, ThermodynamicTemperature, Time, Units,
    Volume, VolumeRate, format_number, mass_or_volume, nearest_word, print, print_gas, read,
};

use super::{Entry, Flame, Foam, GasBy, KINDS, PhBy, Smell, StoreLevel, Titration};
use fenlamp_model::feed::Feedstock;
use fenlamp_model::plan::Plan;
use fenlamp_model::reference;

/// Words that are no entry: what is wrong, and what to write.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct WordsError {
    /// What is wrong.
    pub message: String,
    /// What is allowed and what is nearest.
    pub help: String,
}

impl WordsError {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        WordsError {
            message: message.into(),
            help: help.into(),
        }
    }
}

impl From<QuantityError> for WordsError {
    fn from(e: QuantityError) -> Self {
        WordsError::new(e.to_string(), e.help())
    }
}

/// What reading needs to know of the plant.
#[derive(Debug, Clone, Copy)]
pub struct Speech<'a> {
    /// Feedstocks of the plan, looked through before the reference rows.
    pub feedstocks: &'a [Feedstock],
    /// Units of the person: they decide what a bucket holds.
    pub units: Units,
}

impl<'a> Speech<'a> {
    /// As the plan speaks.
    pub fn of(plan: &'a Plan) -> Self {
        Speech {
            feedstocks: &plan.feedstocks,
            units: plan.units.into(),
        }
    }

    fn context(&self) -> Context {
        Context::of(self.units)
    }
}

/// Longest note, characters.
pub const LONGEST_NOTE: usize = 4000;

/// Reads "fed 2 bucket goat_manure": the kind, then its words.
///
/// # Errors
/// As [`read_kind`].
pub fn read_line(line: &str, speech: &Speech) -> Result<Entry, WordsError> {
    let line = line.trim();
    let (kind, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    read_kind(kind, rest, speech)
}

/// Reads the words of an entry of a kind (see [`KINDS`]).
///
/// # Errors
/// [`WordsError`]: what is wrong, what is allowed and the nearest.
pub fn read_kind(kind: &str, text: &str, speech: &Speech) -> Result<Entry, WordsError> {
    let cx = speech.context();
    let text = text.trim();
    let kind = kind.trim().trim_end_matches(':').to_lowercase();
    if text.chars().count() > LONGEST_NOTE {
        return Err(WordsError::new(
            format!("an entry of {} characters", text.chars().count()),
            format!("at most {LONGEST_NOTE}"),
        ));
    }
    match kind.as_str() {
        "fed" => fed(text, speech),
        "drawn-off" | "drawn_off" | "drawn" => Ok(Entry::DrawnOff {
            m3: positive::<Volume>(text, &cx)?,
        }),
        "slurry" => Ok(Entry::SlurryTemperature {
            kelvin: temperature(text, &cx, SLURRY_C)?,
        }),
        "air" => Ok(Entry::AirTemperature {
            kelvin: temperature(text, &cx, AIR_C)?,
        }),
        "gas" => gas(text, &cx),
        "meter" => Ok(Entry::Meter {
            m3: read::<Volume>(text, &cx)?.to_si(),
        }),
        "burned" | "burnt" => burned(text, &cx),
        "bag" | "store" | "drum" => level(text),
        "flame" => Ok(Entry::Flame {
            looks: one_of(text, "flame", &FLAMES)?,
        }),
        "ph" => ph(text),
        "titration" => titration(text, &cx),
        "h2s" | "sulfide" => sulfide(text),
        "smell" => Ok(Entry::Smell {
            smell: one_of(text, "smell", &SMELLS)?,
        }),
        "foam" => Ok(Entry::Foam {
            foam: one_of(text, "foam", &FOAMS)?,
        }),
        "leak" => Ok(Entry::LeakTest {
            tight: one_of(text, "leak", &LEAKS)?,
        }),
        "wash" => {
            let number = text.trim_end_matches("changed").trim();
            let wash = if number.is_empty() {
                Some(1)
            } else {
                number.parse().ok().filter(|n| (1..=9).contains(n))
            };
            wash.map(|wash| Entry::WashChanged { wash }).ok_or_else(|| {
                WordsError::new(
                    format!("\"{}\" is no number of a wash", short(text)),
                    "write which was changed, counted from the vessel: wash 1",
                )
            })
        }
        "trap" => Ok(Entry::TrapEmptied {
            m3: match text {
                "" | "emptied" => None,
                text => Some(read::<Volume>(text.trim_end_matches("emptied"), &cx)?.to_si()),
            },
        }),
        "added" => added(text, &cx),
        "note" if text.is_empty() => Err(WordsError::new("an empty note", "write what it says")),
        "note" => Ok(Entry::Note {}),
        "photo" => photo(text),
        _ => {
            let names = || KINDS.iter().map(|(name, _)| *name);
            let near = nearest_word(&kind, names())
                .map(|n| format!("did you mean \"{n}\"? "))
                .unwrap_or_default();
            let all: Vec<_> = names().collect();
            Err(WordsError::new(
                format!("\"{}\" is no kind of entry", short(&kind)),
                format!("{near}There are: {}", all.join(", ")),
            ))
        }
    }
}

/// Slurry that flows and lives, degC (judgement, wide).
const SLURRY_C: (f64, f64) = (-5.0, 90.0);
/// Air, degC (the span of weather records, rounded; from memory).
const AIR_C: (f64, f64) = (-70.0, 60.0);

const FLAMES: [(&str, Flame); 4] = [
    ("none", Flame::None),
    ("goes out", Flame::GoesOut),
    ("blue", Flame::Blue),
    ("yellow", Flame::Yellow),
];
const SMELLS: [(&str, Smell); 4] = [
    ("usual", Smell::Usual),
    ("sour", Smell::Sour),
    ("eggs", Smell::Eggs),
    ("ammonia", Smell::Ammonia),
];
const FOAMS: [(&str, Foam); 3] = [
    ("none", Foam::None),
    ("some", Foam::Some),
    ("much", Foam::Much),
];
const LEAKS: [(&str, bool); 2] = [("tight", true), ("leaks", false)];
const LEVELS: [(&str, StoreLevel); 5] = [
    ("empty", StoreLevel::Empty),
    ("quarter", StoreLevel::Quarter),
    ("half", StoreLevel::Half),
    ("three quarters", StoreLevel::ThreeQuarters),
    ("full", StoreLevel::Full),
];
/// Names of additives, as the plan file has them.
const ADDITIVES: [&str; 4] = ["wood_ash", "slaked_lime", "bicarbonate", "iron_chloride"];

fn one_of<T: Copy>(text: &str, what: &str, words: &[(&str, T)]) -> Result<T, WordsError> {
    let wanted = text.to_lowercase().replace(['-', '_'], " ");
    if let Some((_, value)) = words.iter().find(|(name, _)| *name == wanted) {
        return Ok(*value);
    }
    let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
    let near = nearest_word(&wanted, names.iter().copied())
        .map(|n| format!("did you mean \"{n}\"? "))
        .unwrap_or_default();
    Err(WordsError::new(
        format!("\"{}\" is no word for {what}", short(text)),
        format!("{near}Write {}", listed(&names)),
    ))
}

fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn short(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    match clean.char_indices().nth(60) {
        Some((at, _)) => format!("{}...", &clean[..at]),
        None => clean,
    }
}

fn positive<Q: Quantity>(text: &str, cx: &Context) -> Result<f64, WordsError> {
    let value = read::<Q>(text, cx)?.to_si();
    if value > 0.0 {
        return Ok(value);
    }
    Err(WordsError::new(
        format!("\"{}\" is nothing", short(text)),
        format!("write it like \"{}\"", Q::KIND.example()),
    ))
}

fn temperature(text: &str, cx: &Context, (low, high): (f64, f64)) -> Result<f64, WordsError> {
    let kelvin = read::<ThermodynamicTemperature>(text, cx)?.to_si();
    if (low..=high).contains(&(kelvin - 273.15)) {
        return Ok(kelvin);
    }
    Err(WordsError::new(
        format!("\"{}\" is out of range here", short(text)),
        format!("from {low} °C to {high} °C"),
    ))
}

/// "2 bucket goat_manure", "1.5 kg of grass_clippings with 4 L water".
fn fed(text: &str, speech: &Speech) -> Result<Entry, WordsError> {
    const HOW: &str =
        "write it like \"2 bucket goat_manure\" or \"1.5 kg grass_clippings with 4 L water\"";
    let cx = speech.context();
    let (head, water_kg) = match text.split_once(" with ") {
        None => (text, None),
        Some((head, water)) => {
            let water = water.trim();
            let amount = water
                .strip_suffix("water")
                .ok_or_else(|| WordsError::new("only water goes with the feed", HOW))?;
            let kg = match mass_or_volume(amount.trim().trim_end_matches("of").trim(), &cx)? {
                EitherMass::Mass(m) => m.to_si(),
                // A litre of water weighs a kilogram.
                EitherMass::Volume(v) => v.to_si() * 1000.0,
            };
            (head, Some(kg))
        }
    };
    let words: Vec<&str> = head.split_whitespace().filter(|w| *w != "of").collect();
    // The longest tail that names a feedstock; the rest is the amount.
    let mut near = None;
    for split in 1..words.len() {
        let name = words[split..].join("_").to_lowercase();
        if let Some(stock) = named(&name, speech) {
            let kg = match mass_or_volume(&words[..split].join(" "), &cx)? {
                EitherMass::Mass(m) => m.to_si(),
                EitherMass::Volume(v) => v.to_si() * stock.bulk_density_kg_m3,
            };
            if kg <= 0.0 {
                return Err(WordsError::new("nothing was fed", HOW));
            }
            return Ok(Entry::Fed {
                feedstock: stock.id.clone(),
                kg,
                water_kg,
            });
        }
        near = near.or_else(|| nearest(&name, speech));
    }
    Err(match near {
        Some(near) => WordsError::new(
            format!("\"{}\" names no feedstock that is known", short(head)),
            format!("did you mean \"{near}\"? `fenlamp feedstocks WORDS` looks them up"),
        ),
        None => WordsError::new(
            format!("\"{}\" does not say how much of what was fed", short(head)),
            HOW,
        ),
    })
}

fn named<'a>(id: &str, speech: &Speech<'a>) -> Option<&'a Feedstock> {
    let same = |f: &&Feedstock| f.id == id || f.name.to_lowercase().replace([' ', ','], "_") == id;
    speech
        .feedstocks
        .iter()
        .find(same)
        .or_else(|| reference::feedstock(id))
}

fn nearest(id: &str, speech: &Speech) -> Option<String> {
    let own = speech.feedstocks.iter().map(|f| f.id.as_str());
    nearest_word(id, own)
        .map(str::to_owned)
        .or_else(|| reference::nearest_feedstock(id).map(|f| f.id.clone()))
}

/// "120 L", "120 L by meter", "300 L in 2 days".
fn gas(text: &str, cx: &Context) -> Result<Entry, WordsError> {
    let (text, by) = match text.split_once(" by ") {
        None => (text, GasBy::Rise),
        Some((head, by)) => (
            head,
            one_of(
                by.trim(),
                "how gas was judged",
                &[
                    ("bag", GasBy::Rise),
                    ("rise", GasBy::Rise),
                    ("meter", GasBy::Meter),
                    ("burning", GasBy::Burning),
                ],
            )?,
        ),
    };
    let (text, days) = match text.split_once(" in ") {
        None => (text, 1.0),
        Some((head, time)) => (head, positive::<Time>(time, cx)? / 86_400.0),
    };
    if !(0.02..=31.0).contains(&days) {
        return Err(WordsError::new(
            "gas is counted over half an hour to a month",
            "write it like \"300 L in 2 days\"",
        ));
    }
    Ok(Entry::Gas {
        m3: read::<Volume>(text, cx)?.to_si(),
        days,
        by,
    })
}

/// "35 min", "35 min at 0.3 m3/h".
fn burned(text: &str, cx: &Context) -> Result<Entry, WordsError> {
    let (time, flow) = match text.split_once(" at ") {
        None => (text, None),
        Some((time, flow)) => (time, Some(positive::<VolumeRate>(flow, cx)?)),
    };
    let seconds = positive::<Time>(time, cx)?;
    if seconds > 86_400.0 {
        return Err(WordsError::new(
            "more than a day of burning in one entry",
            "write one entry a day, like \"35 min\"",
        ));
    }
    Ok(Entry::Burned {
        seconds,
        m3_s: flow,
    })
}

fn level(text: &str) -> Result<Entry, WordsError> {
    if let Some(number) = text.strip_suffix('%') {
        let share = number.trim().parse::<f64>().ok().map(|p| p / 100.0);
        return match share.filter(|s| (0.0..=1.0).contains(s)) {
            Some(s) => Ok(Entry::Store {
                level: StoreLevel::Share(s),
            }),
            None => Err(WordsError::new(
                format!("\"{}\" is no share of a store", short(text)),
                "from 0 % to 100 %",
            )),
        };
    }
    Ok(Entry::Store {
        level: one_of(text, "how full a store is", &LEVELS)?,
    })
}

/// "6.8", "7.12 by meter".
fn ph(text: &str) -> Result<Entry, WordsError> {
    let (number, by) = match text.split_once(" by ") {
        None => (text, PhBy::Strip),
        Some((number, by)) => (
            number,
            one_of(
                by.trim(),
                "how pH was measured",
                &[("strip", PhBy::Strip), ("meter", PhBy::Meter)],
            )?,
        ),
    };
    let ph = plain_number(number).filter(|v| (0.0..=14.0).contains(v));
    ph.map(|ph| Entry::Ph { ph, by }).ok_or_else(|| {
        WordsError::new(
            format!("\"{}\" is no pH", short(number)),
            "write a number from 0 to 14, like \"6.8\" or \"7.12 by meter\"",
        )
    })
}

fn plain_number(text: &str) -> Option<f64> {
    let value: f64 = text.trim().replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

fn sulfide(text: &str) -> Result<Entry, WordsError> {
    let number = text.trim().trim_end_matches("ppm");
    plain_number(number)
        .filter(|v| (0.0..=100_000.0).contains(v))
        .map(|ppm| Entry::Sulfide { ppm })
        .ok_or_else(|| {
            WordsError::new(
                format!("\"{}\" is no reading of hydrogen sulfide", short(text)),
                "write it like \"1500 ppm\"",
            )
        })
}

/// Sample, strength of the acid, acid to pH 5.0, acid to pH 4.4 from the start.
fn titration(text: &str, cx: &Context) -> Result<Entry, WordsError> {
    const HOW: &str = "write sample, acid, acid to pH 5.0 and acid to pH 4.4 from the start: \"20 mL, 0.1 N, 12.5 mL, 15 mL\"";
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    let [sample, strength, first, second] = parts[..] else {
        return Err(WordsError::new("a titration has four figures", HOW));
    };
    let acid_eq_l = strength
        .strip_suffix(['N', 'n'])
        .and_then(plain_number)
        .filter(|n| (0.001..=2.0).contains(n))
        .ok_or_else(|| {
            WordsError::new(
                format!("\"{}\" is no strength of an acid", short(strength)),
                HOW,
            )
        })?;
    let titration = Titration {
        sample_m3: positive::<Volume>(sample, cx)?,
        acid_eq_l,
        to_ph_5_m3: positive::<Volume>(first, cx)?,
        to_ph_4_4_m3: positive::<Volume>(second, cx)?,
    };
    if titration.to_ph_4_4_m3 < titration.to_ph_5_m3 {
        return Err(WordsError::new(
            "the acid to pH 4.4 is less than that to pH 5.0",
            HOW,
        ));
    }
    Ok(Entry::Titration(titration))
}

fn added(text: &str, cx: &Context) -> Result<Entry, WordsError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    for split in 1..words.len() {
        let name = words[split..].join("_").to_lowercase();
        if let Some(what) = ADDITIVES.iter().find(|a| **a == name) {
            return Ok(Entry::Added {
                what: (*what).to_owned(),
                kg: positive::<Mass>(&words[..split].join(" "), cx)?,
            });
        }
    }
    Err(WordsError::new(
        format!(
            "\"{}\" does not say how much of what was added",
            short(text)
        ),
        format!(
            "write it like \"200 g bicarbonate\"; there are: {}",
            ADDITIVES.join(", ")
        ),
    ))
}

/// A plain name of a file: no folders, for the diary keeps it beside itself.
fn photo(text: &str) -> Result<Entry, WordsError> {
    let bad = text.is_empty()
        || text.len() > 200
        || text.starts_with('.')
        || text.contains(['/', '\\', ':'])
        || text.chars().any(char::is_control);
    if bad {
        return Err(WordsError::new(
            format!("\"{}\" is no name of a picture", short(text)),
            "write the file's name alone, like \"flame.jpg\"",
        ));
    }
    Ok(Entry::Photo {
        file: text.to_owned(),
    })
}

/// An entry in a person's units: "8.5 kg goat_manure".
pub fn say(entry: &Entry, units: Units) -> String {
    let volume = |m3: f64| print(Volume::from_si(m3), units);
    let gas = |m3: f64| print_gas(Volume::from_si(m3), units);
    let kelvin = |k: f64| print(ThermodynamicTemperature::from_si(k), units);
    let mass = |kg: f64| print(Mass::from_si(kg), units);
    match entry {
        Entry::Fed {
            feedstock,
            kg,
            water_kg,
        } => {
            let water = water_kg
                .map(|w| format!(" with {} water", mass(w)))
                .unwrap_or_default();
            format!("{} {feedstock}{water}", mass(*kg))
        }
        Entry::DrawnOff { m3 } => volume(*m3),
        Entry::SlurryTemperature { kelvin: k } | Entry::AirTemperature { kelvin: k } => kelvin(*k),
        Entry::Gas { m3, days, by } => {
            let over = if (*days - 1.0).abs() < 1e-9 {
                String::new()
            } else {
                format!(" in {}", print(Time::from_si(days * 86_400.0), units))
            };
            let by = match by {
                GasBy::Rise => "by the store's rise",
                GasBy::Meter => "by meter",
                GasBy::Burning => "by burning",
            };
            format!("{}{over} {by}", gas(*m3))
        }
        Entry::Meter { m3 } => format!("at {}", gas(*m3)),
        Entry::Burned { seconds, m3_s } => {
            let at = m3_s
                .map(|q| format!(" at {}", print_gas(VolumeRate::from_si(q), units)))
                .unwrap_or_default();
            format!("{}{at}", print(Time::from_si(*seconds), units))
        }
        Entry::Store { level } => match LEVELS.iter().find(|(_, l)| l == level) {
            Some((name, _)) => (*name).to_owned(),
            None => format!("{} % full", format_number(100.0 * level.share(), 2)),
        },
        Entry::Flame { looks } => named_as(&FLAMES, *looks),
        Entry::Ph { ph, by } => {
            let by = match by {
                PhBy::Strip => "strip",
                PhBy::Meter => "meter",
            };
            format!("{} by {by}", format_number(*ph, 3))
        }
        Entry::Titration(t) => format!(
            "acids {} mg/L, buffer {} mg CaCO3/L, FOS/TAC {}",
            format_number(t.acids_mg_l(), 2),
            format_number(t.buffer_mg_caco3_l(), 2),
            t.ratio().map_or("none".to_owned(), |r| format_number(r, 2)),
        ),
        Entry::Sulfide { ppm } => format!("{} ppm", format_number(*ppm, 2)),
        Entry::Smell { smell } => named_as(&SMELLS, *smell),
        Entry::Foam { foam } => named_as(&FOAMS, *foam),
        Entry::LeakTest { tight } => named_as(&LEAKS, *tight),
        Entry::WashChanged { wash } => format!("{wash} changed"),
        Entry::TrapEmptied { m3: Some(m3) } => format!("{} emptied", volume(*m3)),
        Entry::TrapEmptied { m3: None } => "emptied".to_owned(),
        Entry::Added { what, kg } => format!("{} {what}", mass(*kg)),
        Entry::Note {} => String::new(),
        Entry::Photo { file } => file.clone(),
        Entry::Withdrawn {} => "taken back".to_owned(),
    }
}

fn named_as<T: PartialEq>(words: &[(&str, T)], value: T) -> String {
    words
        .iter()
        .find(|(_, v)| *v == value)
        .map_or(String::new(), |(n, _)| (*n).to_owned())
}
