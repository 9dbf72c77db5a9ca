//! [[feedstock]]: the user's own materials; and finding a feedstock by name.

use super::Section;
use crate::feed::{Feedstock, How, Origin};
use crate::plan::lookup;
use crate::plan::section::plain_words;
use crate::reference::Band;
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
    let share = |key, high| s.quantity::<Ratio>(key, "0 %", high).map(Quantity::to_si);
    let mut own: Vec<&str> = Vec::new();
    let mut set = |slot: &mut f64, key: &'static str, field: &'static str| {
        if let Some(x) = share(key, "100 %") {
            *slot = x;
            own.push(field);
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
    if let Some(x) = s.quantity::<MassDensity>("bulk_density", "20 kg/m3", "2000 kg/m3") {
        f.bulk_density_kg_m3 = x.to_si();
        own.push("bulk_density_kg_m3");
    }
    if let Some(x) = s.number("ph", "pH", 2.0..=12.0) {
        f.fresh_ph = x;
        own.push("fresh_ph");
    }
    let ts = |key| {
        s.quantity::<Ratio>(key, "0.1 %", "100 %")
            .map(Quantity::to_si)
    };
    if let Some(b) = band(
        s,
        f.total_solids,
        ["total_solids", "total_solids_low", "total_solids_high"],
        ts,
    ) {
        f.total_solids = Band {
            high: b.high.min(1.0),
            ..b
        };
        own.push("total_solids");
    }
    let bmp = |key| {
        s.quantity::<SpecificVolume>(key, "0 L/kg", "1100 L/kg")
            .map(Quantity::to_si)
    };
    if let Some(b) = band(s, f.bmp, ["methane", "methane_low", "methane_high"], bmp) {
        f.bmp = b;
        own.push("bmp");
    }
    let rate = |key| {
        s.quantity::<Frequency>(key, "0.001 per day", "20 per day")
            .map(|r| r.to_si() * 86_400.0)
    };
    if let Some(b) = band(
        s,
        f.hydrolysis_per_d,
        ["hydrolysis", "hydrolysis_low", "hydrolysis_high"],
        rate,
    ) {
        f.hydrolysis_per_d = b;
        own.push("hydrolysis_per_d");
    }
    if own.contains(&"nitrogen_of_ts") {
        f.c_to_n = None; // the ratio of the feedstock it is like no longer holds
    }
    f.origins.retain(|o| !own.contains(&o.field.as_str()));
    f.origins.extend(own.iter().map(|field| Origin {
        field: (*field).to_owned(),
        keys: Vec::new(),
        how: How::Own,
    }));
}

/// The user's middle figure with their own ends, or with the ends of the base in proportion.
fn band(
    s: &Section<'_>,
    base: Band,
    [mid_key, low_key, high_key]: [&'static str; 3],
    take: impl Fn(&'static str) -> Option<f64>,
) -> Option<Band> {
    let (mid, low, high) = (take(mid_key), take(low_key), take(high_key));
    let Some(mid) = mid else {
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
    let share = if base.mid > 0.0 { mid / base.mid } else { 1.0 };
    let band = Band {
        low: low.unwrap_or((base.low * share).min(mid)),
        mid,
        high: high.unwrap_or((base.high * share).max(mid)),
    };
    if !(band.low <= band.mid && band.mid <= band.high) {
        s.fault(
            mid_key,
            "the low, middle and high figures are not in order",
            format!("{low_key} is the least, {high_key} the greatest"),
        );
        return None;
    }
    Some(band)
}
