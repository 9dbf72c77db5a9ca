use super::*;
use crate::demos::DEMOS;

fn leaves(value: &toml_edit::Item, here: &str, out: &mut Vec<String>) {
    if let Some(table) = value.as_table_like() {
        for (key, v) in table.iter() {
            let dot = if here.is_empty() { "" } else { "." };
            leaves(v, &format!("{here}{dot}{key}"), out);
        }
    } else if let Some(list) = value.as_array_of_tables() {
        for table in list {
            leaves(&toml_edit::Item::Table(table.clone()), here, out);
        }
    } else {
        out.push(here.to_owned());
    }
}

#[test]
fn every_key_of_the_demos_has_a_field() {
    for demo in DEMOS {
        let text: toml_edit::DocumentMut = demo.text.parse().expect("a demo is TOML");
        let mut paths = Vec::new();
        leaves(text.as_item(), "", &mut paths);
        assert!(paths.len() > 10);
        for path in paths {
            assert!(find(&path).is_some(), "{}: no field for {path}", demo.name);
        }
    }
}

/// Each field is written into a table of its own, with a value that nobody
/// would; the reader may find fault with the value but must know the key.
#[test]
fn the_reader_knows_every_field() {
    for part in PARTS {
        for table in part.tables {
            for field in table.fields {
                let head = if table.list {
                    format!("[[{}]]", table.path)
                } else {
                    format!("[{}]", table.path)
                };
                let kind = match field.only {
                    Some((key, says)) => format!("{key} = \"{}\"\n", says[0]),
                    None => String::new(),
                };
                let text = format!("{head}\n{kind}{} = \"?\"\n", field.key);
                let errors = fenlamp_model::plan::read(&text, "x", &fenlamp_model::plan::NoFiles)
                    .expect_err("no plan");
                let leaf = field.key.rsplit('.').next().expect("a key");
                for e in &errors.errors {
                    let unknown = e.message.contains("unknown key")
                        && e.message.contains(&format!("\"{leaf}\""));
                    assert!(!unknown, "{}: {e}", table.path);
                }
            }
        }
    }
}

#[test]
fn a_slider_stands_where_one_number_does() {
    let s = slide("to 8 % solids").expect("one number");
    assert_eq!(
        (s.before.as_str(), s.number, s.after.as_str()),
        ("to ", 8.0, " % solids")
    );
    assert_eq!(slide("1000 L").map(|s| s.ends), Some((50.0, 3000.0, 50.0)));
    assert_eq!(slide("12 m3").map(|s| s.number), Some(12.0));
    for text in [
        "1/2 lb/day",
        "1,650 ft",
        "5 6 8 °C",
        "none",
        "-4 °C",
        "06:00 to 07:00",
        "0 L",
    ] {
        assert_eq!(slide(text), None, "{text}");
    }
}

#[test]
fn paths_with_numbers_find_their_field() {
    let (part, table, field) = find("heap.part[1].share").expect("a field");
    assert_eq!(
        (part.id, table.path, field.key),
        ("warmth", "heap.part", "share")
    );
    assert!(find("use[0].room.volume").is_some());
    assert!(find("vessel.nonsense").is_none());
}
