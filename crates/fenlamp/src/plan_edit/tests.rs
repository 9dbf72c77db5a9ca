use fenlamp_model::plan;

use super::*;
use crate::demos::DEMOS;

fn set(path: &str, value: &str) -> Edit {
    Edit::Set {
        path: path.to_owned(),
        value: value.to_owned(),
    }
}

fn goats() -> &'static str {
    DEMOS[0].text
}

/// The lines of `after` that are not in `before` and the other way round.
fn changed<'a>(before: &'a str, after: &'a str) -> (Vec<&'a str>, Vec<&'a str>) {
    let only = |a: &'a str, b: &str| {
        let b: Vec<&str> = b.lines().collect();
        a.lines().filter(|l| !b.contains(l)).collect::<Vec<_>>()
    };
    (only(before, after), only(after, before))
}

#[test]
fn no_edit_changes_no_byte_of_any_demo() {
    for demo in DEMOS {
        assert_eq!(apply(demo.text, &[]).as_deref(), Ok(demo.text));
        let windows = demo.text.replace('\n', "\r\n");
        assert_eq!(apply(&windows, &[]), Ok(windows));
    }
    let marked = format!("\u{feff}{}", goats());
    assert_eq!(apply(&marked, &[]), Ok(marked));
}

#[test]
fn a_value_is_set_where_it_stands_and_its_comment_stays() {
    let got = apply(goats(), &[set("vessel.slurry", "\"1200 L\"")]).expect("a place");
    let (gone, come) = changed(goats(), &got);
    assert_eq!(
        gone,
        ["slurry = \"850 L\"             # to the overflow; the rest is room for gas and foam"]
    );
    assert_eq!(
        come,
        ["slurry = \"1200 L\"            # to the overflow; the rest is room for gas and foam"]
    );
}

#[test]
fn a_long_value_pushes_its_comment_no_further_than_it_must() {
    let got = apply("a = 1   # one\n", &[set("a", "\"quite a long text\"")]);
    assert_eq!(got.as_deref(), Ok("a = \"quite a long text\" # one\n"));
}

#[test]
fn items_of_lists_are_counted_from_nought() {
    let got = apply(goats(), &[Edit::text("waste[1].amount", "2 buckets/week")]).expect("a place");
    let (gone, come) = changed(goats(), &got);
    assert_eq!(gone, ["amount = \"1 bucket/week\""]);
    assert_eq!(come, ["amount = \"2 buckets/week\""]);
    assert_eq!(
        apply(goats(), &[set("waste[3].amount", "1")]),
        Err(EditError::NoSuchPlace("waste[3].amount".to_owned()))
    );
}

#[test]
fn a_new_key_goes_to_the_end_of_its_table() {
    let got = apply(
        goats(),
        &[Edit::text("vessel.kind", "drum"), set("vessel.stages", "2")],
    );
    let got = got.expect("a place");
    assert!(
        got.contains("run = \"overflow\"\nstages = 2\n\n[[insulation]]"),
        "{got}"
    );
}

#[test]
fn a_missing_table_is_made() {
    let got = apply(
        "[plan]\nname = \"x\"\n",
        &[Edit::text("heap.volume", "3 m3")],
    );
    assert_eq!(
        got.as_deref(),
        Ok("[plan]\nname = \"x\"\n\n[heap]\nvolume = \"3 m3\"\n")
    );
    let got = apply(goats(), &[Edit::text("first_fill.water", "100 L")]).expect("a place");
    assert!(got.contains("[first_fill]\nwater = \"100 L\"\n"), "{got}");
    assert_eq!(got.matches("[[first_fill.feed]]").count(), 1);
}

#[test]
fn inside_an_inline_table() {
    let school = DEMOS[1].text;
    let got = apply(school, &[Edit::text("use[0].room.volume", "80 m3")]).expect("a place");
    assert!(
        got.contains("room = { volume = \"80 m3\", air_changes = 6 }"),
        "{got}"
    );
}

#[test]
fn tables_are_appended_after_their_like() {
    let fields = vec![
        ("feedstock".to_owned(), quoted("hen_manure")),
        ("amount".to_owned(), quoted("1 kg/day")),
    ];
    let edit = Edit::Append {
        array: "waste".to_owned(),
        fields,
    };
    let got = apply(goats(), std::slice::from_ref(&edit)).expect("a place");
    let at = |what: &str| got.find(what).expect("it stands there");
    assert!(at("vegetable_peelings") < at("hen_manure"));
    assert!(at("hen_manure") < at("[feeding]"), "{got}");
    let got = apply("", &[edit]).expect("a place");
    assert!(got.ends_with("[[waste]]\nfeedstock = \"hen_manure\"\namount = \"1 kg/day\"\n"));
}

#[test]
fn items_and_tables_go_with_what_belongs_to_them() {
    let item = |path: &str| Edit::RemoveItem {
        path: path.to_owned(),
    };
    let got = apply(goats(), &[item("waste[1]")]).expect("an item");
    assert!(!got.contains("grass_clippings") && got.contains("vegetable_peelings"));
    // Places are those that the edits before have left.
    let got = apply(
        goats(),
        &[item("waste[0]"), item("waste[0]"), item("waste[0]")],
    );
    assert!(!got.expect("three items").contains("[[waste]]"));
    let heap = Edit::Remove {
        path: "heap".to_owned(),
    };
    let got = apply(goats(), std::slice::from_ref(&heap)).expect("a table");
    assert!(
        !got.contains("heap]") && !got.contains("heap.part"),
        "{got}"
    );
    assert_eq!(apply(&got, &[heap]), Ok(got));
}

#[test]
fn what_cannot_be_done_is_said_and_nothing_is_done() {
    let err = |edit: Edit| apply(goats(), &[edit]).expect_err("no such place");
    let bad = |path: &str| EditError::BadPath(path.to_owned());
    for path in [
        "",
        "vessel.",
        "waste[x].amount",
        "waste[1",
        "a b",
        "waste[-1].a",
    ] {
        assert_eq!(err(set(path, "1")), bad(path));
    }
    assert_eq!(err(set("waste[0]", "1")), bad("waste[0]"));
    assert_eq!(
        err(set("vessel", "1")),
        EditError::NoSuchPlace("vessel".to_owned())
    );
    assert!(matches!(
        err(set("vessel.volume", "1000 L")),
        EditError::BadValue { .. }
    ));
    assert!(matches!(
        err(set("vessel.volume", "1 }\n[x]")),
        EditError::BadValue { .. }
    ));
    assert!(matches!(
        apply("a = = 1", &[]),
        Err(EditError::Unreadable(_))
    ));
}

#[test]
fn an_edited_demo_is_still_a_plan() {
    let edits = [
        Edit::text("vessel.volume", "1500 L"),
        Edit::text("vessel.slurry", "1200 L"),
        Edit::text("insulation[0].thickness", "50 cm"),
        Edit::Remove {
            path: "waste[0].animal".to_owned(),
        },
        Edit::Remove {
            path: "waste[0].head".to_owned(),
        },
        Edit::Remove {
            path: "waste[0].collected".to_owned(),
        },
        Edit::text("waste[0].amount", "2 buckets/week"),
    ];
    let got = apply(goats(), &edits).expect("places");
    let plan = plan::read(&got, "edited", &plan::NoFiles).expect("a plan");
    assert!(plan.waste[0].label.contains("2 buckets/week"));
}

#[test]
fn a_single_table_is_the_first_of_its_list() {
    let seed = "seed[0].volume";
    assert_eq!(
        value_at(goats(), seed).ok().flatten().as_deref(),
        Some("\"300 L\"")
    );
    assert_eq!(value_at(goats(), "seed[1].volume"), Ok(None));
    let got = apply(goats(), &[Edit::text(seed, "200 L")]).expect("a place");
    assert_eq!(changed(goats(), &got).1, ["volume = \"200 L\""]);
    assert!(apply(goats(), &[Edit::text("seed[1].volume", "1 L")]).is_err());
    // A second makes a list of it, in its place and with its words.
    let more = Edit::Append {
        array: "seed".to_owned(),
        fields: [("kind", "\"rumen\""), ("volume", "\"20 L\"")]
            .map(|(k, v)| (k.to_owned(), v.to_owned()))
            .to_vec(),
    };
    let got = apply(goats(), &[more]).expect("it fits");
    let (gone, come) = changed(goats(), &got);
    assert_eq!(gone, ["[seed]"]);
    assert_eq!(
        come,
        [
            "[[seed]]",
            "[[seed]]",
            "kind = \"rumen\"",
            "volume = \"20 L\""
        ]
    );
    let read = plan::read(&got, "x", &plan::NoFiles).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read.first_fill.seeds.len(), 2);
    let last = Edit::RemoveItem {
        path: "seed[1]".to_owned(),
    };
    let first = Edit::RemoveItem {
        path: "seed[0]".to_owned(),
    };
    let back = apply(&got, &[last]).expect("it is there");
    let read = plan::read(&back, "x", &plan::NoFiles).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read.first_fill.seeds.len(), 1);
    let none = apply(goats(), &[first]).expect("it is there");
    let read = plan::read(&none, "x", &plan::NoFiles).unwrap_or_else(|e| panic!("{e}"));
    assert!(read.first_fill.seeds.is_empty());
}
