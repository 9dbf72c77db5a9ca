//! The changes the forecast offers, as changes of the plan's text: what "try it"
//! does. A test runs each both ways and holds them to the same plan.

use fenlamp_model::feed::Group;
use fenlamp_model::reference;
use fenlamp_quantity::format_number;
use toml_edit::{DocumentMut, Item};

use crate::plan_edit::Edit;

/// The edits of a change; `None` when it cannot be told in the plan's own words.
pub fn edits(id: &str, text: &str) -> Option<Vec<Edit>> {
    let plan: DocumentMut = text.parse().ok()?;
    let plan = plan.as_item();
    let out = match id {
        "more_insulation" => list(plan, "insulation")
            .iter()
            .enumerate()
            .map(|(i, layer)| scaled(layer, "thickness", &format!("insulation[{i}]"), 4.0 / 3.0))
            .collect::<Option<Vec<_>>>()?,
        "straw_bales" => vec![Edit::Append {
            array: "insulation".to_owned(),
            fields: pairs(&[
                ("on", "\"all\""),
                ("material", "\"straw bale\""),
                ("thickness", "\"36 cm\""),
            ]),
        }],
        "larger_heap" => vec![scaled(plan.get("heap")?, "volume", "heap", 1.5)?],
        "greenhouse" => vec![Edit::text("vessel.stands", "greenhouse")],
        "more_manure" => fed(plan, 4.0 / 3.0, |g| g == Group::Manure)?,
        "less_feed" => fed(plan, 2.0 / 3.0, |_| true)?,
        "watered" => vec![Edit::text("feeding.water", "to 8 % solids")],
        "more_seed" => list(plan, "seed")
            .iter()
            .enumerate()
            .map(|(i, seed)| scaled(seed, "volume", &format!("seed[{i}]"), 2.0))
            .collect::<Option<Vec<_>>>()?,
        "seeded" => seeded(plan)?,
        "chopped_finer" => chopped(plan)?,
        _ => return None,
    };
    (!out.is_empty()).then_some(out)
}

fn pairs(of: &[(&str, &str)]) -> Vec<(String, String)> {
    of.iter()
        .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
        .collect()
}

fn list<'a>(plan: &'a Item, key: &str) -> Vec<&'a dyn toml_edit::TableLike> {
    let mut here = Some(plan);
    for step in key.split('.') {
        here = here.and_then(|i| i.get(step));
    }
    match here {
        Some(Item::ArrayOfTables(tables)) => tables
            .iter()
            .map(|t| t as &dyn toml_edit::TableLike)
            .collect(),
        Some(Item::Value(toml_edit::Value::Array(values))) => values
            .iter()
            .filter_map(|v| v.as_inline_table())
            .map(|t| t as &dyn toml_edit::TableLike)
            .collect(),
        // A single table is a list of one.
        Some(item) => item.as_table_like().into_iter().collect(),
        _ => Vec::new(),
    }
}

/// Things that hold texts under keys.
trait Texts {
    fn text(&self, key: &str) -> Option<&str>;
}

impl Texts for Item {
    fn text(&self, key: &str) -> Option<&str> {
        self.get(key)?.as_str()
    }
}

impl Texts for &dyn toml_edit::TableLike {
    fn text(&self, key: &str) -> Option<&str> {
        self.get(key)?.as_str()
    }
}

fn scaled(table: &(impl Texts + ?Sized), key: &str, path: &str, factor: f64) -> Option<Edit> {
    Some(Edit::text(
        format!("{path}.{key}"),
        &times(table.text(key)?, factor)?,
    ))
}

/// Every number of a text times a factor, units as they stand: "1 1/2 kg/day",
/// "70 70 20 kg/week". `None` without a number.
pub fn times(text: &str, factor: f64) -> Option<String> {
    let mut out = Vec::new();
    let mut words = text.split(' ').peekable();
    let mut found = false;
    while let Some(word) = words.next() {
        let end = word
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/')))
            .unwrap_or(word.len());
        let (number, unit) = word.split_at(end);
        let Some(mut value) = number_of(number) else {
            out.push(word.to_owned());
            continue;
        };
        if unit.is_empty()
            && let Some(part) = words
                .peek()
                .filter(|w| w.contains('/'))
                .and_then(|w| number_of(w))
        {
            value += part;
            words.next();
        }
        found = true;
        out.push(format!("{}{unit}", format_number(value * factor, 4)));
    }
    found.then(|| out.join(" "))
}

/// The amounts of steps times a factor, their days as they stand.
fn steps_times(text: &str, factor: f64) -> Option<String> {
    let step = |part: &str| {
        let at = part.to_ascii_lowercase().find(" from ")?;
        Some(times(&part[..at], factor)? + &part[at..])
    };
    let parts = text.split([';', '\n']).flat_map(|t| t.split(", "));
    let scaled: Option<Vec<String>> = parts.map(|p| step(p.trim())).collect();
    Some(scaled?.join(", "))
}

fn number_of(text: &str) -> Option<f64> {
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    // As plans are read: a comma before three digits parts thousands, any other is decimal.
    let thousands = text
        .split(',')
        .skip(1)
        .all(|digits| digits.split('.').next().is_some_and(|d| d.len() == 3));
    let text = text.replace(',', if thousands { "" } else { "." });
    match text.split_once('/') {
        Some((a, b)) => {
            let (a, b): (f64, f64) = (a.parse().ok()?, b.parse().ok()?);
            (b > 0.0).then_some(a / b)
        }
        None => text.parse().ok(),
    }
}

/// The feedstock of a waste, by itself or by its animal.
fn feedstock_of(waste: &dyn toml_edit::TableLike) -> Option<String> {
    let named = waste.get("feedstock").and_then(Item::as_str);
    let plain = |t: &str| t.trim().to_lowercase().replace([' ', '-'], "_");
    match named {
        Some(id) => Some(plain(id)),
        None => {
            let animal = plain(waste.get("animal")?.as_str()?);
            let row = reference::animal(&animal)
                .or_else(|| reference::animal(animal.strip_suffix('s')?))?;
            Some(row.feedstock_id.clone())
        }
    }
}

/// The published feedstock, or the one that the plan's own is like.
fn book<'a>(plan: &Item, id: &str) -> Option<&'a fenlamp_model::feed::Feedstock> {
    reference::feedstock(id).or_else(|| {
        let own = list(plan, "feedstock");
        let own = own
            .iter()
            .find(|f| f.get("id").and_then(Item::as_str) == Some(id))?;
        reference::feedstock(own.get("like")?.as_str()?)
    })
}

fn fed(plan: &Item, factor: f64, which: impl Fn(Group) -> bool) -> Option<Vec<Edit>> {
    let mut out = Vec::new();
    for (i, waste) in list(plan, "waste").iter().enumerate() {
        let group = book(plan, &feedstock_of(*waste)?)?.group;
        if !which(group) {
            continue;
        }
        let path = format!("waste[{i}]");
        let key = ["amount", "by_month", "steps"]
            .into_iter()
            .find(|k| waste.contains_key(k))
            .filter(|k| *k != "steps" || !waste.contains_key("animal"));
        out.push(match key {
            Some("steps") => Edit::text(
                format!("{path}.steps"),
                &steps_times(waste.text("steps")?, factor)?,
            ),
            Some(key) => scaled(waste, key, &path, factor)?,
            None => {
                let collected = waste.text("collected")?;
                let share = collected.trim_end_matches(['%', ' ']).parse::<f64>().ok()?;
                if share * factor <= 100.0 {
                    scaled(waste, "collected", &path, factor)?
                } else {
                    // All is gathered already: it takes more animals.
                    let head = waste.get("head")?;
                    let head = head
                        .as_float()
                        .or_else(|| Some(head.as_integer()? as f64))?;
                    Edit::Set {
                        path: format!("{path}.head"),
                        value: format!("{:?}", (head * factor * 1000.0).round() / 1000.0),
                    }
                }
            }
        });
    }
    Some(out)
}

/// A tenth of the slurry as seed from a working vessel.
fn seeded(plan: &Item) -> Option<Vec<Edit>> {
    let vessel = plan.get("vessel")?;
    let volume = match vessel.text("slurry") {
        Some(slurry) => times(slurry, 0.1)?,
        // 80 % of the volume, as the reader has it.
        None => times(vessel.text("volume")?, 0.08)?,
    };
    let volume = crate::plan_edit::quoted(&volume);
    Some(vec![Edit::Append {
        array: "seed".to_owned(),
        fields: pairs(&[
            ("kind", "\"digestate\""),
            ("volume", &volume),
            ("grown_at", "\"30 °C\""),
            ("age", "\"1 day\""),
        ]),
    }])
}

/// Fibrous feed under ids of its own, broken down 1.3 times as fast.
fn chopped(plan: &Item) -> Option<Vec<Edit>> {
    let mut out = Vec::new();
    let mut made: Vec<String> = Vec::new();
    for key in ["waste", "first_fill.feed"] {
        for (i, of) in list(plan, key).iter().enumerate() {
            let id = feedstock_of(*of)?;
            let fibrous = matches!(
                book(plan, &id)?.group,
                Group::Crop | Group::Garden | Group::Woody | Group::Byproduct
            );
            if !fibrous {
                continue;
            }
            // One of the plan's own has its own figures: they are for its writer to change.
            let row = reference::feedstock(&id)?;
            if !made.contains(&id) {
                let rate = |v: f64| format!("\"{} per day\"", format_number(1.3 * v, 6));
                out.push(Edit::Append {
                    array: "feedstock".to_owned(),
                    fields: vec![
                        ("id".to_owned(), format!("\"chopped_{id}\"")),
                        (
                            "name".to_owned(),
                            format!("\"{}, chopped finer\"", row.name),
                        ),
                        ("like".to_owned(), format!("\"{id}\"")),
                        ("hydrolysis".to_owned(), rate(row.hydrolysis_per_d.mid)),
                        ("hydrolysis_low".to_owned(), rate(row.hydrolysis_per_d.low)),
                        (
                            "hydrolysis_high".to_owned(),
                            rate(row.hydrolysis_per_d.high),
                        ),
                    ],
                });
                made.push(id.clone());
            }
            out.push(Edit::text(
                format!("{key}[{i}].feedstock"),
                &format!("chopped_{id}"),
            ));
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demos::DEMOS;
    use crate::plan_edit;
    use fenlamp_model::forecast::what_if::candidates;
    use fenlamp_model::plan::{NoFiles, Plan, read};

    /// What of a plan the changes touch, as numbers.
    fn numbers(plan: &Plan) -> Vec<f64> {
        let mut out: Vec<f64> = plan.insulation.iter().map(|l| l.thickness.value).collect();
        out.extend(plan.heap.iter().map(|h| h.volume.value));
        out.push(match plan.vessel.siting {
            fenlamp_model::plan::Siting::Greenhouse => 1.0,
            _ => 0.0,
        });
        for w in &plan.waste {
            out.extend(w.fresh.iter().map(|m| m.value * 86_400.0));
            let f = &plan.feedstocks[w.feedstock];
            let r = f.hydrolysis_per_d;
            out.extend([r.low, r.mid, r.high, f.bmp.mid, f.total_solids.mid]);
        }
        for s in &plan.first_fill.seeds {
            out.extend([s.volume.value, s.grown_at.value, s.age_days]);
        }
        out.push(match plan.feeding.water {
            fenlamp_model::plan::Dilution::ToSolids(r) => r.value,
            fenlamp_model::plan::Dilution::PerFeed(r) => 100.0 + r,
            fenlamp_model::plan::Dilution::None => -1.0,
        });
        out
    }

    #[test]
    fn trying_a_change_makes_the_plan_that_was_run() {
        let mut tried = 0;
        for demo in DEMOS {
            let plan = read(demo.text, demo.name, &NoFiles).expect("a demo");
            for change in candidates(&plan) {
                let edits = edits(change.id, demo.text)
                    .unwrap_or_else(|| panic!("{}: no edits for {}", demo.name, change.id));
                let text = plan_edit::apply(demo.text, &edits).expect("the edits fit");
                let made = read(&text, demo.name, &NoFiles)
                    .unwrap_or_else(|e| panic!("{} {}: {e}", demo.name, change.id));
                let (want, got) = (numbers(&change.plan), numbers(&made));
                assert_eq!(want.len(), got.len(), "{} {}", demo.name, change.id);
                for (w, g) in want.iter().zip(&got) {
                    let off = (w - g).abs() / w.abs().max(1e-9);
                    assert!(off < 2e-3, "{} {}: {w} {g}", demo.name, change.id);
                }
                tried += 1;
            }
        }
        assert!(tried > 8, "{tried}");
    }

    #[test]
    fn steps_are_multiplied_and_their_days_stay() {
        for lines in [
            "amount = \"9 kg/week\"\nsteps = \"half from day 60, all from day 90\"",
            "steps = \"1 kg/day from day 60, 2.1 kg/day from day 90\"",
        ] {
            let text = DEMOS[0]
                .text
                .replacen("amount = \"1 bucket/week\"", lines, 1);
            assert_ne!(text, DEMOS[0].text);
            let plan = read(&text, "x", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
            let edits = edits("less_feed", &text).expect("it is fed");
            let text = plan_edit::apply(&text, &edits).expect("the edits fit");
            let less = read(&text, "x", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
            for (was, is) in plan.waste.iter().zip(&less.waste) {
                let share = is.fresh[5].value / was.fresh[5].value;
                assert!((share - 2.0 / 3.0).abs() < 2e-3, "{share}");
                assert_eq!(was.steps.len(), is.steps.len());
                for (a, b) in was.steps.iter().zip(&is.steps) {
                    assert_eq!(a.from_day, b.from_day);
                    assert!((a.share - b.share).abs() < 2e-3, "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn numbers_of_a_text_are_multiplied_and_units_stay() {
        assert_eq!(times("36 cm", 4.0 / 3.0).as_deref(), Some("48 cm"));
        assert_eq!(times("1 1/2 lb/day", 2.0).as_deref(), Some("3 lb/day"));
        assert_eq!(
            times("1/8 bucket per week", 2.0).as_deref(),
            Some("0.25 bucket per week")
        );
        assert_eq!(
            times("10 20 0 kg/week", 0.5).as_deref(),
            Some("5 10 0 kg/week")
        );
        assert_eq!(times("1000L", 0.1).as_deref(), Some("100L"));
        assert_eq!(times("2,5 kg/day", 2.0).as_deref(), Some("5 kg/day"));
        assert_eq!(times("1,100.5 L", 2.0).as_deref(), Some("2201 L"));
        assert_eq!(times("none", 2.0), None);
    }
}
