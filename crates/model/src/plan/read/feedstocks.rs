//! [[feedstock]]: the user's own materials; and finding a feedstock by name.

use super::Section;
use crate::band::Band;
use crate::feed::{Feedstock, How, Origin};
use crate::plan::HowKnown;
use crate::plan::lookup;
use crate::plan::section::plain_words;
use fenlamp_quantity::{Frequency, MassDensity, Quantity, Ratio, SpecificVolume};

/// Feedstocks of the plan: the user's own, and those used so far.
pub(super) struct Feedstocks {
    own: Vec<Feedstock>,
    /// Those the plan uses, in the order of their first use.
    pub used: Vec<Feedstock>,
}

impl Feedstocks {
    /// Reads the user's own materials.
    pub fn read(root: &Section<'_>) -> Self {
        let mut own: Vec<Feedstock> = Vec::new();
        for s in root.sections("feedstock") {
            let read = one(&s);
            s.finish();
            let Some(feedstock) = read else { continue };
            if own.iter().any(|f| f.id == feedstock.id) {
                s.fault(
                    "id",
                    format!("\"{}\" is described twice", feedstock.id),
                    "give each material its own id",
                );
            } else {
                own.push(feedstock);
            }
        }
        Self {
            own,
            used: Vec::new(),
        }
    }

    /// Index in `used` of the feedstock a key names.
    pub fn index(&mut self, s: &Section<'_>, key: &'static str) -> Option<usize> {
        let given = s.text(key)?.value;
        let found = self.find(given);
        if found.is_none() {
            unknown(s, key, given, &self.own);
        }
        Some(self.place(found?))
    }

    /// Index in `used` of a feedstock by its id, if there is one.
    pub fn index_of(&mut self, id: &str) -> Option<usize> {
        let found = self.find(id)?;
        Some(self.place(found))
    }

    fn find(&self, given: &str) -> Option<Feedstock> {
        let id = plain_words(given).replace(' ', "_");
        let own = self.own.iter().find(|f| f.id == given || f.id == id);
        own.or_else(|| lookup::feedstock(given))
            .or_else(|| lookup::feedstock(&id))
            .cloned()
    }

    fn place(&mut self, found: Feedstock) -> usize {
        self.used
            .iter()
            .position(|f| f.id == found.id)
            .unwrap_or_else(|| {
                self.used.push(found);
                self.used.len() - 1
            })
    }
}

fn unknown(s: &Section<'_>, key: &'static str, given: &str, own: &[Feedstock]) {
    let id = plain_words(given).replace(' ', "_");
    let own_ids = own.iter().map(|f| f.id.as_str());
    let nearest = fenlamp_quantity::nearest_word(&id, own_ids.clone())
        .map(str::to_owned)
        .or_else(|| lookup::nearest_feedstock(&id));
    let mut allowed: Vec<String> = own_ids.map(str::to_owned).collect();
    allowed.extend(lookup::feedstock_ids());
    s.unknown_near(key, given, "feedstock", allowed, nearest);
}

fn one(s: &Section<'_>) -> Option<Feedstock> {
    let id = match s.text("id") {
        Some(t) if is_id(t.value) => Some(t.value.to_owned()),
        Some(_) => {
            s.fault(
                "id",
                "an id has small letters, digits and underscores only",
                "write it like \"pond_scrapings\"",
            );
            None
        }
        None => {
            if !s.has("id") {
                s.missing("id", "write an id of your own, like \"pond_scrapings\"");
            }
            None
        }
    };
    if let Some(id) = &id
        && lookup::feedstock(id).is_some()
    {
        s.fault(
            "id",
            format!("\"{id}\" is the id of a published feedstock"),
            "choose another id, so that the two are not mistaken for each other",
        );
    }
    if !s.has("like") {
        s.missing("like", "name the published feedstock it is most like; what you do not state is taken from there");
    }
    let base = s.text("like").and_then(|like| {
        let id = plain_words(like.value).replace(' ', "_");
        let found = lookup::feedstock(&id);
        if found.is_none() {
            unknown(s, "like", like.value, &[]);
        }
        found.cloned()
    });
    let name = s.text("name").map(|t| t.value.to_owned());
    // Fields are read into a stand-in when the base is unknown, so that their faults are told too.
    let mut f = base
        .clone()
        .or_else(|| lookup::feedstock("grass_clippings").cloned())?;
    overrides(s, &mut f);
    base?;
    f.id = id?;
    f.name = name.unwrap_or_else(|| f.id.replace('_', " "));
    Some(f)
}

fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

fn overrides(s: &Section<'_>, f: &mut Feedstock) {
    let mut own: Vec<(&str, HowKnown)> = Vec::new();
    let mut set = |slot: &mut f64, key: &'static str, field: &'static str| {
        if let Some((x, known)) = s.composition::<Ratio>(key, "0 %", "100 %") {
            *slot = x.to_si();
            own.push((field, known));
        }
    };
    set(&mut f.volatile_of_ts, "volatile_solids", "volatile_of_ts");
    set(&mut f.nitrogen_of_ts, "nitrogen", "nitrogen_of_ts");
    set(&mut f.ammonium_share, "ammonium_share", "ammonium_share");
    set(&mut f.sulfur_of_ts, "sulfur", "sulfur_of_ts");
    set(&mut f.iron_of_ts, "iron", "iron_of_ts");
    set(&mut f.lignin_of_ts, "lignin", "lignin_of_ts");
    set(
        &mut f.carbohydrate_of_ts,
        "carbohydrate",
        "carbohydrate_of_ts",
    );
    set(&mut f.protein_of_ts, "protein", "protein_of_ts");
    set(&mut f.fat_of_ts, "fat", "fat_of_ts");
    set(&mut f.acids_of_ts, "acids", "acids_of_ts");
    set(&mut f.soluble_share, "soluble_share", "soluble_share");
    let parts = f.lignin_of_ts + f.carbohydrate_of_ts + f.protein_of_ts + f.fat_of_ts;
    let stated = ["lignin", "carbohydrate", "protein", "fat"]
        .iter()
        .find(|k| s.has(k));
    if let Some(key) = stated
        && parts > 1.05
    {
        s.fault(
            key,
            format!(
                "lignin, carbohydrate, protein and fat add up to {:.0} % of the solids",
                100.0 * parts
            ),
            "what you do not state is taken from the feedstock it is like; state all four",
        );
    }
    if let Some((x, known)) = s.composition::<MassDensity>("bulk_density", "20 kg/m3", "2000 kg/m3")
    {
        f.bulk_density_kg_m3 = x.to_si();
        own.push(("bulk_density_kg_m3", known));
    }
    if let Some((x, known)) = s.known_number("ph", "pH", 2.0..=12.0) {
        f.fresh_ph = x;
        own.push(("fresh_ph", known));
    }
    if let Some((b, known)) = band::<Ratio>(
        s,
        f.total_solids,
        "total_solids_measured",
        ["total_solids", "total_solids_low", "total_solids_high"],
        ["0.1 %", "100 %"],
        1.0,
    ) {
        f.total_solids = Band {
            high: b.high.min(1.0),
            ..b
        };
        own.push(("total_solids", known));
    }
    if let Some((b, known)) = band::<SpecificVolume>(
        s,
        f.bmp,
        "bmp_measured",
        ["methane", "methane_low", "methane_high"],
        ["0 L/kg", "1100 L/kg"],
        1.0,
    ) {
        f.bmp = b;
        own.push(("bmp", known));
    }
    if let Some((b, known)) = band::<Frequency>(
        s,
        f.hydrolysis_per_d,
        "hydrolysis_per_d_measured",
        ["hydrolysis", "hydrolysis_low", "hydrolysis_high"],
        ["0.001 per day", "20 per day"],
        86_400.0,
    ) {
        f.hydrolysis_per_d = b;
        own.push(("hydrolysis_per_d", known));
    }
    let is_own = |field: &str| own.iter().any(|(f, _)| *f == field);
    if is_own("nitrogen_of_ts") {
        f.c_to_n = None; // the ratio of the feedstock it is like no longer holds
    }
    f.origins.retain(|o| !is_own(&o.field));
    f.origins.extend(own.iter().map(|(field, known)| Origin {
        field: (*field).to_owned(),
        keys: Vec::new(),
        how: match known {
            HowKnown::Stated => How::Own,
            HowKnown::Measured | HowKnown::Weighed => How::Measured,
        },
    }));
}

/// The user's middle figure with their own ends; else with the spread of its measurement
/// where it is measured (and that is closer); else with the ends of the base in proportion. `per` makes the
/// field's unit of SI.
fn band<Q: Quantity>(
    s: &Section<'_>,
    base: Band,
    measured: &str,
    [mid_key, low_key, high_key]: [&'static str; 3],
    [least, most]: [&str; 2],
    per: f64,
) -> Option<(Band, HowKnown)> {
    let end = |key| s.quantity::<Q>(key, least, most).map(|q| q.to_si() * per);
    let mid = s.composition::<Q>(mid_key, least, most);
    let (low, high) = (end(low_key), end(high_key));
    let Some((mid, known)) = mid.map(|(q, known)| (q.to_si() * per, known)) else {
        if !s.has(mid_key) {
            for key in [low_key, high_key] {
                if s.has(key) {
                    s.fault(
                        key,
                        format!("\"{key}\" needs \"{mid_key}\" beside it"),
                        format!("write {mid_key} = \"...\" too"),
                    );
                }
            }
        }
        return None;
    };
    let stated = match base.mid > 0.0 {
        true => base.scaled(mid / base.mid),
        false => base,
    };
    let usual = match known {
        HowKnown::Stated => stated,
        // A measurement never opens an end that the book holds closer.
        HowKnown::Measured | HowKnown::Weighed => {
            let own = lookup::spread(measured).scaled(mid);
            Band {
                low: own.low.max(stated.low),
                mid,
                high: own.high.min(stated.high),
            }
        }
    };
    let band = Band {
        low: low.unwrap_or(usual.low.min(mid)),
        mid,
        high: high.unwrap_or(usual.high.max(mid)),
    };
    if !(band.low <= band.mid && band.mid <= band.high) {
        s.fault(
            mid_key,
            "the low, middle and high figures are not in order",
            format!("{low_key} is the least, {high_key} the greatest"),
        );
        return None;
    }
    Some((band, known))
}
