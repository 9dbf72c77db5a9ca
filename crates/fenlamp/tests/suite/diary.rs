//! The diary by the command line: write, look, correct, carry, keep safe.

use std::fs;
use std::path::PathBuf;

use super::{fits, printed, refused};

/// A plan of one's own in a folder of its own.
fn croft() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = folder.path().join("plan.toml");
    fs::write(&plan, printed(&["demo", "hollin-croft"])).expect("written");
    (folder, plan.display().to_string())
}

fn diary(plan: &str, args: &[&str]) -> String {
    let mut all = vec!["diary", plan];
    all.extend(args);
    let text = printed(&all);
    fits(&text);
    text
}

/// As [`diary`], for answers that name files: a path may be long.
fn names_files(plan: &str, args: &[&str]) -> String {
    let mut all = vec!["diary", plan];
    all.extend(args);
    printed(&all)
}

#[test]
fn a_day_is_written_down_shown_and_corrected() {
    let (_folder, plan) = croft();
    let kept = diary(
        &plan,
        &["add", "fed", "2 bucket goat_manure", "--on", "2026-06-01"],
    );
    assert!(kept.starts_with("2026-06-01 fed: "), "{kept}");
    assert!(kept.contains("kg goat_manure"), "{kept}");
    diary(
        &plan,
        &[
            "add",
            "gas",
            "120",
            "L",
            "--on",
            "2026-06-01",
            "--at",
            "18:30",
        ],
    );
    diary(&plan, &["add", "bag", "half", "--on", "2026-06-02"]);
    diary(&plan, &["add", "slurry", "18 °C", "--on", "2026-06-02"]);
    let ph = diary(&plan, &["add", "ph", "6.8", "--on", "2026-06-02"]);
    let name = &ph[ph.find('[').expect("a name") + 1..ph.len() - 2];
    let shown = diary(&plan, &["show"]);
    assert_eq!(shown.matches("2026-06-0").count(), 2, "{shown}");
    for word in ["18:30", "120 L", "half", "18 °C", "6.8 by strip"] {
        assert!(shown.contains(word), "{word}: {shown}");
    }
    diary(&plan, &["correct", name, "ph", "7.1 by meter"]);
    let shown = diary(&plan, &["show", "--from", "2026-06-02", "--names"]);
    assert!(
        shown.contains("7.1 by meter") && !shown.contains("6.8"),
        "{shown}"
    );
    let history = diary(&plan, &["show", "--history", name]);
    assert!(
        history.contains("stands") && history.contains("6.8 by strip"),
        "{history}"
    );
    let again = refused(&["diary", &plan, "correct", name, "ph", "7"]);
    assert!(again.contains("corrected already"), "{again}");
}

#[test]
fn slips_are_answered() {
    let (_folder, plan) = croft();
    for (args, says) in [
        (
            ["add", "fed", "2 bucket goat_manur"],
            "did you mean \"goat_manure\"?",
        ),
        (["add", "gsa", "120 L"], "did you mean \"gas\"?"),
        (["add", "gas", "120"], "120 L"),
        (["add", "bag", "hlaf"], "did you mean \"half\"?"),
        (["add", "ph", "acid"], "0 to 14"),
    ] {
        let mut all = vec!["diary", &plan];
        all.extend(args);
        let said = refused(&all);
        assert!(said.contains(says), "{args:?}: {said}");
    }
    let ahead = refused(&["diary", &plan, "add", "note", "x", "--on", "2199-01-01"]);
    assert!(ahead.contains("not come yet"), "{ahead}");
    let none = refused(&["diary", &plan, "show"]);
    assert!(none.contains("no diary yet"), "{none}");
    let demo = refused(&["diary", "demo:hollin-croft", "show"]);
    assert!(demo.contains("keeps no diary"), "{demo}");
    assert!(!PathBuf::from(&plan).with_extension("diary.sqlite").exists());
}

#[test]
fn what_hurts_is_said_beside_the_entry() {
    let (_folder, plan) = croft();
    let leak = diary(&plan, &["add", "leak", "leaks", "--on", "2026-06-01"]);
    assert!(leak.contains("explodes"), "{leak}");
    let eggs = diary(&plan, &["add", "smell", "eggs", "--on", "2026-06-01"]);
    assert!(eggs.contains("poison"), "{eggs}");
}

#[test]
fn a_diary_is_carried_and_brought_back() {
    let (folder, plan) = croft();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let table = at("old.csv");
    fs::write(
        &table,
        "date,words\n2026-06-01,gas 120 L\n2026-06-02,\"ph 6,9\"\n",
    )
    .expect("written");
    assert!(diary(&plan, &["import", &table]).starts_with("2 entries taken in"));
    assert!(diary(&plan, &["import", &table]).starts_with("0 entries taken in, 2 known"));
    names_files(&plan, &["export", "--json", "-o", &at("all.json")]);
    let csv = printed(&["diary", &plan, "export"]);
    fs::write(at("all.csv"), &csv).expect("written");
    names_files(&plan, &["backup", &at("kept.sqlite")]);
    diary(&plan, &["add", "gas", "1 L", "--on", "2026-06-03"]);
    names_files(&plan, &["restore", &at("kept.sqlite")]);
    assert_eq!(printed(&["diary", &plan, "export"]), csv);
    // Another copy of the plan takes the same diary in by either form.
    for form in ["all.json", "all.csv"] {
        let (_other, second) = croft();
        diary(&second, &["import", &at(form)]);
        assert_eq!(printed(&["diary", &second, "export"]), csv);
    }
    let over = refused(&["diary", &plan, "backup", &at("kept.sqlite")]);
    assert!(over.contains("name a new one"), "{over}");
    let bad = at("bad.csv");
    fs::write(&bad, "date,words\n2026-06-01,gass 1 L\n").expect("written");
    let said = refused(&["diary", &plan, "import", &bad]);
    assert!(said.contains("did you mean \"gas\""), "{said}");
}

#[test]
fn a_damaged_diary_is_said_and_a_backup_helps() {
    let (folder, plan) = croft();
    let kept = folder.path().join("kept.sqlite").display().to_string();
    diary(&plan, &["add", "gas", "120 L", "--on", "2026-06-01"]);
    names_files(&plan, &["backup", &kept]);
    let file = folder.path().join("plan.diary.sqlite");
    let mut bytes = fs::read(&file).expect("read");
    for page in bytes.chunks_mut(4096).skip(1) {
        page[..200].fill(0xa5);
    }
    fs::write(&file, bytes).expect("written");
    let said = refused(&["diary", &plan, "show"]);
    assert!(
        said.contains("damaged") && said.contains("restore"),
        "{said}"
    );
    names_files(&plan, &["restore", &kept]);
    assert!(diary(&plan, &["show"]).contains("120 L"));
}

#[test]
fn an_instrument_gets_its_key_once() {
    let (_folder, plan) = croft();
    let first = diary(&plan, &["device", "slurry probe"]);
    let key = first.lines().nth(1).expect("a key");
    assert_eq!(key.len(), 64);
    let again = refused(&["diary", &plan, "device", "slurry probe"]);
    assert!(again.contains("already"), "{again}");
    let renewed = diary(&plan, &["device", "slurry probe", "--renew"]);
    assert!(!renewed.contains(key));
    assert!(diary(&plan, &["device"]).starts_with("slurry probe, since "));
}
