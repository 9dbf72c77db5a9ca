use std::collections::{BTreeMap, BTreeSet};

use super::*;

fn blanks(text: &str) -> BTreeSet<&str> {
    text.split('{')
        .skip(1)
        .filter_map(|part| part.split_once('}').map(|(name, _)| name))
        .collect()
}

#[test]
fn every_file_is_read() {
    for language in Language::ALL {
        let table: Result<toml::Table, _> = toml::from_str(language.text());
        assert!(table.is_ok(), "{}: {:?}", language.tag(), table.err());
        assert_eq!(Language::of_tag(language.tag()), Some(language));
    }
}

#[test]
fn every_language_has_the_same_keys_and_blanks() {
    let english: BTreeMap<&str, &str> = Words::of(Language::English).all().collect();
    for language in Language::ALL {
        let other: BTreeMap<&str, &str> = Words::of(language).all().collect();
        let keys = |t: &BTreeMap<&'static str, &'static str>| -> BTreeSet<&str> {
            t.keys()
                .filter(|k| !k.starts_with("unit.") && !k.starts_with("finding."))
                .copied()
                .collect()
        };
        let (a, b) = (keys(&english), keys(&other));
        assert_eq!(a, b, "{}", language.tag());
        for key in a {
            assert_eq!(
                blanks(english[key]),
                blanks(other[key]),
                "{key} in {}",
                language.tag()
            );
            assert!(
                !other[key].is_empty(),
                "{key} in {} is empty",
                language.tag()
            );
        }
    }
}

#[test]
fn blanks_are_filled_once() {
    let w = Words {
        language: Language::English,
        table: [("a".to_owned(), "{x} and {y}, {z".to_owned())].into(),
    };
    assert_eq!(w.fill("a", &[("x", "{y}"), ("y", "2")]), "{y} and 2, {z");
    assert_eq!(w.say("b"), "[[b]]");
}

#[test]
fn german_figures_have_a_comma() {
    let w = Words::of(Language::German);
    assert_eq!(w.figure("1.5 L"), "1,5 L");
    assert_eq!(w.figure("12 to 18 °C"), "12 bis 18 °C");
    assert_eq!(w.figure("15 cm wc"), "15 cm WS");
    assert_eq!(w.figure("No. 5."), "No. 5.");
    assert_eq!(Words::of(Language::English).figure("1.5 L"), "1.5 L");
}
