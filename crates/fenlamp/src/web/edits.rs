//! From a filled-in form to changes of the plan's text.

use toml_edit::{DocumentMut, Item, Value};

use super::fields::{self, Kind, Table};
use crate::plan_edit::{Edit, quoted};
use crate::plan_paths::stands;

/// A form as it was sent: names and values in their order.
pub type Form = Vec<(String, String)>;

/// What a form changes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Changes {
    /// In words, for the list of what is tried.
    pub words: Vec<String>,
    /// The edits.
    pub edits: Vec<Edit>,
    /// What its writer saw at the places it changes.
    pub saw: Vec<(String, Option<String>)>,
}

/// A value by name.
pub fn get<'a>(form: &'a Form, name: &str) -> Option<&'a str> {
    form.iter()
        .find(|(k, _)| k == name)
        .map(|(_, v)| v.as_str())
}

/// What a literal says to a person.
fn text_of(literal: &str) -> String {
    literal
        .parse::<Value>()
        .ok()
        .and_then(|v| v.as_str().map(str::to_owned))
        .unwrap_or_else(|| literal.to_owned())
}

/// How TOML writes what was typed into a field.
fn literal(kind: Kind, typed: &str) -> String {
    let bare = |ok: bool| if ok { typed.to_owned() } else { quoted(typed) };
    match kind {
        Kind::Number => {
            let plain = typed.replace(',', ".");
            match plain.parse::<f64>() {
                Ok(v) if v.is_finite() && plain.parse::<Value>().is_ok() => plain,
                // The reader says what is the matter with it.
                _ => quoted(typed),
            }
        }
        Kind::Date => bare(typed.parse::<jiff::civil::Date>().is_ok()),
        Kind::Yes => bare(matches!(typed, "true" | "false")),
        _ => quoted(typed),
    }
}

/// Changes of the fields of a form; fields left as they were change nothing.
pub fn of_fields(text: &str, form: &Form) -> Changes {
    let mut out = Changes::default();
    let plan: DocumentMut = text.parse().unwrap_or_default();
    for (name, typed) in form {
        let Some(path) = name.strip_prefix("v:") else {
            continue;
        };
        let Some((_, table, field)) = fields::find(path) else {
            continue;
        };
        let typed = typed.replace("\r\n", " ").replace('\n', " ");
        let typed = typed.trim();
        let now = stands(plan.as_item(), path).literal;
        let saw = get(form, &format!("w:{path}")).unwrap_or(&now);
        if typed == text_of(saw).trim() {
            continue;
        }
        out.saw
            .push((path.to_owned(), (!saw.is_empty()).then(|| saw.to_owned())));
        let was = text_of(saw);
        let label = format!("{}: {}", table.title, field.label.to_lowercase());
        if typed.is_empty() {
            out.words.push(format!("{label}, {was} taken out"));
            out.edits.push(Edit::Remove {
                path: path.to_owned(),
            });
        } else {
            out.words.push(if was.is_empty() {
                format!("{label} {typed}")
            } else {
                format!("{label} {typed} in place of {was}")
            });
            out.edits.push(Edit::Set {
                path: path.to_owned(),
                value: literal(field.kind, typed),
            });
        }
        if let Some((here, _)) = path.rsplit_once('.') {
            drop_what_no_longer_belongs(plan.as_item(), here, table, field.key, typed, &mut out);
        }
    }
    out
}

/// A bag that becomes a drum has no girth any more.
fn drop_what_no_longer_belongs(
    plan: &Item,
    here: &str,
    table: &Table,
    key: &str,
    says: &str,
    out: &mut Changes,
) {
    let plain = says.to_lowercase().replace('-', " ");
    for other in table.fields {
        let Some((decides, with)) = other.only else {
            continue;
        };
        let path = format!("{here}.{}", other.key);
        let stays = decides != key || with.contains(&plain.as_str());
        if !stays && !stands(plan, &path).literal.is_empty() {
            out.edits.push(Edit::Remove { path });
        }
    }
}

/// A new table or item with what it usually begins with.
pub fn add(text: &str, path: &str, us: bool, today: jiff::civil::Date) -> Option<Changes> {
    let (_, table) = fields::table(path)?;
    let mut edits = first_of(text, table, us, today);
    if path == "heap" {
        let (_, part) = fields::table("heap.part")?;
        edits.extend(first_of(text, part, us, today));
    }
    Some(Changes {
        words: vec![format!("{} added", table.title)],
        edits,
        saw: Vec::new(),
    })
}

fn first_of(text: &str, table: &Table, us: bool, today: jiff::civil::Date) -> Vec<Edit> {
    let value = |metric: &str, in_us: &str| {
        let value = if us { in_us } else { metric };
        match value {
            "TODAY" => today.to_string(),
            "\"my_waste\"" => quoted(&free_id(text)),
            value => value.to_owned(),
        }
    };
    if table.list {
        return vec![Edit::Append {
            array: table.path.to_owned(),
            fields: table
                .first
                .iter()
                .map(|(k, m, u)| ((*k).to_owned(), value(m, u)))
                .collect(),
        }];
    }
    table
        .first
        .iter()
        .map(|(k, m, u)| Edit::Set {
            path: format!("{}.{k}", table.path),
            value: value(m, u),
        })
        .collect()
}

fn free_id(text: &str) -> String {
    let mut id = "my_waste".to_owned();
    let mut n = 2;
    while text.contains(&format!("\"{id}\"")) {
        id = format!("my_waste_{n}");
        n += 1;
    }
    id
}

/// A table or item taken out.
pub fn remove(text: &str, path: &str) -> Option<Changes> {
    let (_, table) = fields::table(&fields::without_numbers(path))?;
    let plan: DocumentMut = text.parse().ok()?;
    let is_list = path.ends_with(']')
        && matches!(
            item_at(plan.as_item(), table.path),
            Some(Item::ArrayOfTables(_) | Item::Value(Value::Array(_)))
        );
    let edit = if is_list {
        Edit::RemoveItem {
            path: path.to_owned(),
        }
    } else {
        Edit::Remove {
            path: table.path.to_owned(),
        }
    };
    Some(Changes {
        words: vec![format!("{} taken out", table.title)],
        edits: vec![edit],
        saw: Vec::new(),
    })
}

fn item_at<'a>(plan: &'a Item, path: &str) -> Option<&'a Item> {
    path.split('.').try_fold(plan, |here, key| here.get(key))
}

/// A waste of the book made one's own: a table of its own, and every place that
/// named the book's names it.
pub fn own(text: &str, id: &str) -> Option<Changes> {
    let book = fenlamp_model::reference::feedstock(id)?;
    let own = format!("my_{id}");
    if text.contains(&format!("\"{own}\"")) {
        return None;
    }
    let mut edits = vec![Edit::Append {
        array: "feedstock".to_owned(),
        fields: vec![
            ("id".to_owned(), quoted(&own)),
            (
                "name".to_owned(),
                quoted(&format!("My {}", book.name.to_lowercase())),
            ),
            ("like".to_owned(), quoted(id)),
            (
                "methane".to_owned(),
                quoted(&format!("{:.0} L/kg", 1000.0 * book.bmp.mid)),
            ),
        ],
    }];
    let plan: DocumentMut = text.parse().ok()?;
    for list in ["waste", "first_fill.feed", "heap.part"] {
        for i in 0..crate::plan_paths::count(plan.as_item(), list) {
            let path = format!("{list}[{i}].feedstock");
            let named = stands(plan.as_item(), &path).text;
            let by_animal = list == "waste"
                && named.is_empty()
                && fenlamp_model::reference::animal(
                    &stands(plan.as_item(), &format!("waste[{i}].animal")).text,
                )
                .is_some_and(|a| a.feedstock_id == id);
            if named
                .trim()
                .replace([' ', '-'], "_")
                .eq_ignore_ascii_case(id)
                || by_animal
            {
                edits.push(Edit::text(path, &own));
            }
        }
    }
    Some(Changes {
        words: vec![format!("{} made your own", book.name)],
        edits,
        saw: Vec::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demos::DEMOS;
    use crate::plan_edit::apply;
    use fenlamp_model::plan::{NoFiles, read};

    fn form(of: &[(&str, &str)]) -> Form {
        of.iter()
            .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
            .collect()
    }

    #[test]
    fn only_what_differs_is_changed() {
        let text = DEMOS[0].text;
        let got = of_fields(
            text,
            &form(&[
                ("v:vessel.volume", "900 L"),
                ("w:vessel.volume", "\"1000 L\""),
                ("v:vessel.slurry", "850 L"),
                ("w:vessel.slurry", "\"850 L\""),
                ("v:vessel.nonsense", "1"),
                ("v:waste[0].head", "7"),
                ("w:waste[0].head", "6"),
            ]),
        );
        assert_eq!(
            got.edits,
            [
                Edit::text("vessel.volume", "900 L"),
                Edit::Set {
                    path: "waste[0].head".to_owned(),
                    value: "7".to_owned()
                },
            ]
        );
        assert_eq!(
            got.saw[0],
            ("vessel.volume".to_owned(), Some("\"1000 L\"".to_owned()))
        );
        assert!(got.words[0].contains("900 L in place of 1000 L"));
    }

    #[test]
    fn a_number_that_is_none_reaches_the_reader_as_it_was_typed() {
        let got = of_fields(
            DEMOS[0].text,
            &form(&[("v:waste[0].head", "six"), ("w:waste[0].head", "6")]),
        );
        assert_eq!(got.edits, [Edit::text("waste[0].head", "six")]);
    }

    /// The word behind a value is kept, and shown again as it was typed.
    #[test]
    fn how_a_figure_is_known_survives_the_form() {
        let lines = "\n[[feedstock]]\nid = \"mine\"\nlike = \"goat_manure\"\nph = 7\n\
                     [[waste]]\nfeedstock = \"mine\"\namount = \"1 kg/day\"\n";
        let text = format!("{}{lines}", DEMOS[0].text);
        let last = text.matches("[[waste]]").count() - 1;
        let amount = format!("waste[{last}].amount");
        let typed = [
            (amount.as_str(), "12 kg/day, weighed"),
            ("feedstock[0].total_solids", "31 %, measured"),
            ("feedstock[0].ph", "7.4, measured"),
        ];
        let fields: Vec<(String, String)> = typed
            .iter()
            .map(|(path, says)| (format!("v:{path}"), (*says).to_owned()))
            .collect();
        let got = of_fields(&text, &fields);
        let kept = apply(&text, &got.edits).expect("they fit");
        let again: DocumentMut = kept.parse().expect("TOML");
        for (path, says) in typed {
            assert_eq!(stands(again.as_item(), path).text, says);
        }
        let plan = read(&kept, "x", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
        let mine = plan
            .feedstocks
            .iter()
            .find(|f| f.id == "mine")
            .expect("used");
        assert!((mine.total_solids.mid - 0.31).abs() < 1e-12 && mine.fresh_ph == 7.4);
        // A second sending of the same form changes nothing.
        assert!(of_fields(&kept, &fields).edits.is_empty());
    }

    #[test]
    fn a_store_of_another_kind_loses_what_belonged_to_the_old() {
        let got = of_fields(
            DEMOS[0].text,
            &form(&[
                ("v:store.kind", "bag"),
                ("w:store.kind", "\"floating drum\""),
            ]),
        );
        let paths: Vec<String> = got
            .edits
            .iter()
            .filter_map(|e| match e {
                Edit::Remove { path } => Some(path.clone()),
                _ => None,
            })
            .collect();
        assert_eq!(paths, ["store.diameter", "store.travel"]);
    }

    #[test]
    fn whatever_is_added_reads_and_can_be_taken_out() {
        let today = jiff::civil::date(2026, 5, 1);
        for demo in &DEMOS[..3] {
            for part in fields::PARTS {
                for table in part
                    .tables
                    .iter()
                    .filter(|t| t.optional && !t.first.is_empty())
                {
                    // A second single table, or a heap's part beyond 100 %, is no addition.
                    let there = demo.text.contains(&format!("[{}]", table.path));
                    if table.path == "slurry"
                        || table.path == "heap.part"
                        || table.path == "gas"
                        || (there && !table.list)
                    {
                        continue;
                    }
                    for us in [false, true] {
                        let added = add(demo.text, table.path, us, today).expect("a table");
                        let text = apply(demo.text, &added.edits).expect("it fits");
                        let made = read(&text, demo.name, &NoFiles);
                        // The fill of the small drum may overflow: that is the reader's to say.
                        if let Err(e) = &made {
                            let full = table.path == "seed" || table.path == "first_fill.feed";
                            let animal = table.path == "heap";
                            assert!(full || animal, "{} {}: {e}", demo.name, table.path);
                        }
                        let n = crate::plan_paths::count(
                            text.parse::<DocumentMut>().expect("TOML").as_item(),
                            table.path,
                        );
                        let path = if table.list {
                            format!("{}[{}]", table.path, n - 1)
                        } else {
                            table.path.to_owned()
                        };
                        let out = remove(&text, &path).expect("it is there");
                        let back = apply(&text, &out.edits).expect("it comes out");
                        assert!(
                            read(&back, demo.name, &NoFiles).is_ok(),
                            "{} {}",
                            demo.name,
                            table.path
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn a_waste_of_the_book_becomes_ones_own_everywhere() {
        let got = own(DEMOS[0].text, "goat_manure").expect("it is in the plan");
        let text = apply(DEMOS[0].text, &got.edits).expect("it fits");
        let plan = read(&text, "x", &NoFiles).unwrap_or_else(|e| panic!("{e}"));
        assert!(plan.feedstocks.iter().any(|f| f.id == "my_goat_manure"));
        assert!(plan.feedstocks.iter().all(|f| f.id != "goat_manure"));
        assert!(own(&text, "goat_manure").is_none(), "once is enough");
    }
}
