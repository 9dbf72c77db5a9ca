//! What a person reads.

use crate::{DEMOS, fits, in_units, printed};

#[test]
fn every_forecast_fits_the_page_in_both_unit_systems() {
    let folder = tempfile::tempdir().expect("a folder");
    for (demo, _) in DEMOS {
        for units in ["metric", "us"] {
            let path = folder.path().join(format!("{demo}-{units}.toml"));
            // A bucket is another size in other units; that may change feed, not the page.
            std::fs::write(&path, in_units(demo, units)).expect("written");
            let path = path.to_str().expect("a plain path");
            let text = printed(&["forecast", path, "--worlds", "8"]);
            fits(&text);
            assert!(
                text.contains("What stands out") && text.contains("Always\n"),
                "{demo}"
            );
            assert!(text.contains("Never light the first gas"), "{demo}");
            let (own, other) = if units == "us" {
                ("°F", "°C")
            } else {
                ("°C", "°F")
            };
            assert!(text.contains(own), "{demo} {units}");
            // Only the standard state of the bench's gas is named in °C always.
            let foreign = text
                .replace("dry at 0 °C", "")
                .replace("from 15 °C", "")
                .contains(other);
            assert!(!foreign, "{demo} {units}");
            fits(&printed(&["check", path]));
        }
    }
}

#[test]
fn words_come_before_the_table_and_the_table_before_the_findings() {
    let text = printed(&["forecast", "demo:hollin-croft", "--worlds", "8"]);
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("{what}"));
    assert!(text.starts_with("Hollin Croft\n\n"));
    assert!(at("First steady flame") < at("What would change it most"));
    assert!(at("What would change it most") < at("Chances\n"));
    assert!(at("Chances\n") < at("month  "));
    assert!(at("month ") < at("What stands out"));
    assert!(at("What stands out") < at("Always\n"));
    assert!(at("STOP ") < at("note "));
}

/// Alone the program serves its page: it prints the address, then the answer of the
/// invented demo, and ends by Ctrl-C.
#[test]
fn alone_it_serves_an_invented_demo_and_says_its_answer() {
    use std::io::{BufRead, BufReader};
    let folder = tempfile::tempdir().expect("a folder");
    let mut child = crate::command(&[])
        .current_dir(folder.path())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut said = String::new();
    let lines = BufReader::new(child.stdout.take().expect("its output")).lines();
    for line in lines.map_while(Result::ok) {
        said += &line;
        said.push('\n');
        if line.contains("a day (middle") || said.lines().count() > 30 {
            break;
        }
    }
    let sent = std::process::Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.expect("kill is there").success());
    let ended = child.wait().expect("it ends");
    assert_eq!(ended.code(), Some(0), "{said}");
    assert!(said.contains("http://127.0.0.1:"), "{said}");
    assert!(said.contains("Invented demo"), "{said}");
    assert!(said.contains("L of gas"), "{said}");
    crate::fits(&said);
    assert_eq!(
        std::fs::read_dir(folder.path()).expect("listed").count(),
        0,
        "nothing is written unasked"
    );
}

#[test]
fn check_says_what_is_understood() {
    let text = printed(&["check", "demo:hollin-croft"]);
    for part in [
        "no faults",
        "tote of 1000 L, 850 L slurry",
        "stays days",
        "solids %",
        "kg VS/m3",
        "by mass balance",
        "6 head of goat",
        "goat_manure",
        "read TS",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    let text = printed(&["check", "demo:laboratory-batch"]);
    assert!(
        text.contains("held at 35 °C") && text.contains("yours TS VS CH4"),
        "{text}"
    );
}

/// A bed of ash instead of the jar of lye: it is reckoned, drawn and cautioned.
#[test]
fn a_bed_of_ash_runs_through_forecast_and_booklet() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = printed(&["demo", "high-larch-farm"]);
    let jar = "kind = \"lye jar\"\nalkali = \"wood ash\"\nmass = \"2 lb\"\nliquor = \"1 gal\"\n\
               bubble_depth = \"2 in\"\n";
    let text = demo.replace(jar, "kind = \"ash bed\"\nmass = \"20 lb\"\n");
    assert_ne!(text, demo);
    let path = folder.path().join("ash.toml");
    std::fs::write(&path, text).expect("written");
    let path = path.to_str().expect("a plain path");
    let said = printed(&["forecast", path, "--worlds", "8"]);
    fits(&said);
    let plain = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(plain.contains("Ash dust is caustic"), "{said}");
    assert!(!plain.contains("The wash is lye"), "{said}");
    let json: serde_json::Value =
        serde_json::from_str(&printed(&["forecast", path, "--worlds", "8", "--json"]))
            .expect("it is JSON");
    let wash = &json["gas_train"]["washes"][0];
    assert!(
        wash["label"]
            .as_str()
            .is_some_and(|l| l.contains("moist wood ash")),
        "{wash}"
    );
    let file = folder.path().join("b.html");
    let file = file.to_str().expect("a plain path");
    for (language, bed) in [
        ("en", "bed of moist ash"),
        ("de", "bett aus feuchter asche"),
    ] {
        let words = [
            "booklet",
            path,
            "-o",
            file,
            "--worlds",
            "8",
            "--language",
            language,
        ];
        printed(&words);
        let html = std::fs::read_to_string(file)
            .expect("it is written")
            .to_lowercase();
        assert!(
            html.contains(bed) && html.contains("data-caution=\"3.11\""),
            "{language}"
        );
        assert!(!html.contains("[["), "{language}: a word is missing");
    }
}

#[test]
fn feedstocks_are_found_listed_and_opened() {
    let all = printed(&["feedstocks"]);
    fits(&all);
    assert!(all.lines().count() > 60);
    let straw = printed(&["feedstocks", "straw"]);
    assert!(straw.contains("wheat_straw") && !straw.contains("goat_manure"));
    // Every one of them opens, with a source in full behind each key.
    for id in all
        .lines()
        .skip(2)
        .filter_map(|l| l.split_whitespace().next())
    {
        if !id.contains('_') || id == "Every" {
            continue;
        }
        let one = printed(&["feedstocks", id]);
        fits(&one);
        assert!(
            one.contains("methane potential") && one.contains("\n["),
            "{id}"
        );
    }
    let typo = printed(&["feedstocks", "goat", "manuer"]);
    assert!(typo.contains("goat_manure"), "{typo}");
}

#[test]
fn sources_open_by_key_with_or_without_brackets() {
    let one = printed(&["sources", "GTZ89"]);
    assert_eq!(one, printed(&["sources", "[gtz89]"]));
    assert!(one.starts_with("[GTZ89] Werner"), "{one}");
    assert!(printed(&["sources"]).matches("\n[").count() > 200);
}

#[test]
fn every_demo_is_printed_as_it_stands_and_says_it_is_invented() {
    let list = printed(&["demo"]);
    fits(&list);
    for (demo, _) in DEMOS {
        assert!(list.contains(demo));
        let text = printed(&["demo", demo]);
        assert!(text.contains("nvented demo"), "{demo}");
        assert_eq!(text, printed(&["demo", &format!("demo:{demo}")]));
    }
}

#[test]
fn help_fits_the_page() {
    for args in [
        &["--help"][..],
        &["page", "--help"],
        &["forecast", "--help"],
        &["check", "--help"],
        &["feedstocks", "--help"],
        &["sources", "--help"],
        &["demo", "--help"],
    ] {
        let out = crate::run(args);
        assert_eq!(out.status.code(), Some(0), "{args:?}");
        fits(&String::from_utf8_lossy(&[out.stdout, out.stderr].concat()));
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_stops_a_long_run_with_its_code_and_no_half_answer() {
    use std::process::{Command, Stdio};
    let child = crate::command(&["forecast", "demo:hollin-croft", "--worlds", "5000"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.expect("kill is there").success());
    let out = child.wait_with_output().expect("it ends");
    assert_eq!(out.status.code(), Some(130));
    assert!(out.stdout.is_empty());
    assert_eq!(String::from_utf8_lossy(&out.stderr), "fenlamp: stopped\n");
}
