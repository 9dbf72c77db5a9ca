use super::*;
use crate::demos::DEMOS;

struct Yard {
    folder: tempfile::TempDir,
    shelf: Shelf,
}

impl Yard {
    fn new(text: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("yard.toml"), text).expect("written");
        let shelf = Shelf::new(folder.path());
        Yard { folder, shelf }
    }

    fn desk(&self) -> Desk {
        let entry = self.shelf.find("yard").expect("the plan");
        Desk::open(&self.shelf, &entry).expect("it opens")
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("yard.toml")
    }

    /// Writes the file as an editor would, a moment later.
    fn edited(&self, text: &str) {
        std::thread::sleep(std::time::Duration::from_millis(15));
        std::fs::write(self.file(), text).expect("written");
    }
}

const TEXT: &str =
    "# mine\n[plan]\nname = \"Yard\"\n\n[vessel]\nvolume = \"1000 L\" # blue\nslurry = \"800 L\"\n";

fn set(desk: &mut Desk, yard: &Yard, path: &str, value: &str) -> Result<(), DeskError> {
    let saw = vec![(path.to_owned(), place(desk.trial(), path))];
    desk.change(
        &yard.shelf,
        format!("{path} {value}"),
        vec![Edit::text(path, value)],
        &saw,
        false,
    )
}

#[test]
fn changes_are_tried_undone_and_done_again() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    set(&mut desk, &yard, "vessel.slurry", "700 L").expect("tried");
    assert!(
        desk.trial().contains("900 L\"  # blue") && desk.trial().contains("700 L"),
        "{}",
        desk.trial()
    );
    assert!(desk.undo(&yard.shelf).expect("undone"));
    assert!(desk.trial().contains("900 L") && desk.trial().contains("800 L"));
    assert!(desk.redo(&yard.shelf).expect("done again"));
    assert!(desk.trial().contains("700 L"));
    assert!(desk.drop_all(&yard.shelf).expect("dropped"));
    assert_eq!(desk.trial(), TEXT);
    assert_eq!(desk.undone().len(), 2, "each can be done again");
    assert!(!desk.undo(&yard.shelf).expect("nothing to undo"));
    assert_eq!(
        std::fs::read_to_string(yard.file()).expect("read"),
        TEXT,
        "never kept unasked"
    );
}

#[test]
fn what_is_kept_is_written_and_what_was_becomes_a_version() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    desk.keep(&yard.shelf).expect("kept");
    let now = std::fs::read_to_string(yard.file()).expect("read");
    assert!(now.contains("900 L") && now.starts_with("# mine\n") && now.contains("# blue"));
    assert!(desk.changes().is_empty());
    let versions = yard.shelf.versions("yard");
    assert_eq!(
        yard.shelf.version_text("yard", &versions[0].id).as_deref(),
        Some(TEXT)
    );
    assert_eq!(desk.refresh(), Ok(false), "its own writing is no news");
}

#[test]
fn what_is_tried_outlives_the_program() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    desk.undo(&yard.shelf).expect("undone");
    drop(desk);
    let mut again = yard.desk();
    assert_eq!((again.changes().len(), again.undone().len()), (0, 1));
    again.redo(&yard.shelf).expect("done again");
    drop(again);
    assert!(yard.desk().trial().contains("900 L"));
}

#[test]
fn a_change_elsewhere_in_the_file_is_taken_over_beneath_the_trial() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    yard.edited(&TEXT.replace("\"Yard\"", "\"Our Yard\""));
    assert_eq!(desk.refresh(), Ok(true));
    assert!(desk.trial().contains("Our Yard") && desk.trial().contains("900 L"));
    assert!(desk.clashes().is_empty());
}

#[test]
fn a_change_of_the_same_place_is_a_clash_that_is_settled_either_way() {
    for mine in [true, false] {
        let yard = Yard::new(TEXT);
        let mut desk = yard.desk();
        set(&mut desk, &yard, "vessel.slurry", "700 L").expect("tried");
        set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
        yard.edited(&TEXT.replace("1000 L", "1100 L"));
        assert_eq!(desk.refresh(), Ok(true));
        let clash = desk.clashes()[0].clone();
        assert_eq!(
            (clash.now.as_deref(), clash.wants.as_deref(), clash.change),
            (Some("\"1100 L\""), Some("\"900 L\""), Some(1))
        );
        assert!(
            matches!(desk.keep(&yard.shelf), Err(DeskError::Clash(_))),
            "not before it is settled"
        );
        assert!(desk.settle(&yard.shelf, 1, mine).expect("settled"));
        assert!(desk.clashes().is_empty());
        let stands = if mine { "900 L" } else { "1100 L" };
        assert!(
            desk.trial().contains(stands) && desk.trial().contains("700 L"),
            "{}",
            desk.trial()
        );
        desk.keep(&yard.shelf).expect("kept");
    }
}

#[test]
fn a_writer_who_saw_something_else_is_told_and_nothing_is_written() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    let saw = [("vessel.volume".to_owned(), Some("\"1000 L\"".to_owned()))];
    let other = desk.change(
        &yard.shelf,
        "x".to_owned(),
        vec![Edit::text("vessel.volume", "500 L")],
        &saw,
        false,
    );
    assert!(matches!(other, Err(DeskError::Clash(c)) if c[0].now.as_deref() == Some("\"900 L\"")));
    assert!(desk.trial().contains("900 L"));
    // Who wants what stands there already has nothing to settle.
    let same = desk.change(
        &yard.shelf,
        "x".to_owned(),
        vec![Edit::text("vessel.volume", "900 L")],
        &saw,
        false,
    );
    assert_eq!(same, Ok(()));
}

#[test]
fn one_stroke_of_a_slider_is_one_change() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    for litres in [900, 800, 700] {
        let edit = vec![Edit::text("vessel.volume", &format!("{litres} L"))];
        desk.change(&yard.shelf, format!("{litres}"), edit, &[], true)
            .expect("tried");
    }
    assert_eq!(desk.changes().len(), 1);
    desk.undo(&yard.shelf).expect("undone");
    assert_eq!(desk.trial(), TEXT);
}

#[test]
fn a_text_rewritten_over_another_is_a_clash() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    let saw = crate::web::shelf::sha256(desk.trial());
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    let late = desk.rewrite(&yard.shelf, "x".to_owned(), "[plan]\n".to_owned(), &saw);
    assert!(matches!(late, Err(DeskError::Clash(_))));
    let saw = crate::web::shelf::sha256(desk.trial());
    desk.rewrite(
        &yard.shelf,
        "x".to_owned(),
        "[plan]\nname = \"New\"\n".to_owned(),
        &saw,
    )
    .expect("written");
    assert!(desk.trial().contains("New"));
    desk.undo(&yard.shelf).expect("undone");
    assert!(desk.trial().contains("900 L"));
}

#[test]
fn a_file_that_is_gone_leaves_the_desk_as_it_was() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    set(&mut desk, &yard, "vessel.volume", "900 L").expect("tried");
    std::fs::remove_file(yard.file()).expect("removed");
    assert!(matches!(desk.refresh(), Err(DeskError::Disk(_))));
    assert!(desk.trial().contains("900 L") && desk.trial().contains("# mine"));
}

#[test]
fn a_demo_gets_a_file_of_its_own_when_a_change_is_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let shelf = Shelf::new(folder.path());
    let entry = shelf.find(DEMOS[0].name).expect("a demo");
    let mut desk = Desk::open(&shelf, &entry).expect("it opens");
    desk.change(
        &shelf,
        "x".to_owned(),
        vec![Edit::text("vessel.slurry", "800 L")],
        &[],
        false,
    )
    .expect("tried");
    let file = desk.keep(&shelf).expect("kept");
    assert_eq!(file, folder.path().join("hollin-croft.toml"));
    assert!(shelf.find(DEMOS[0].name).is_some_and(|e| e.file.is_some()));
}

#[test]
fn many_changes_are_folded_and_none_is_lost() {
    let yard = Yard::new(TEXT);
    let mut desk = yard.desk();
    for i in 0..(MOST_CHANGES + 5) {
        let edit = vec![Edit::text("plan.about", &format!("step {i}"))];
        desk.change(&yard.shelf, format!("{i}"), edit, &[], false)
            .expect("tried");
    }
    assert_eq!(desk.changes().len(), MOST_CHANGES);
    let last = format!("step {}", MOST_CHANGES + 4);
    assert!(desk.trial().contains(&last));
    drop(desk);
    assert!(
        yard.desk().trial().contains(&last),
        "laid again from what was remembered"
    );
}
