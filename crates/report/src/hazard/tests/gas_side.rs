//! Rules on the gas side, on heaps, pits and what runs out.

use super::*;
use fenlamp_model::gas::room::{Flame, For, Room, fresh_air_needs, fumes};

/// A gas side with nothing to remark: all of it out of doors.
const CAREFUL: &str = r#"
[line]
bore = "20 mm"
length = "10 m"
low_point_drained = true
[store]
kind = "bag"
length = "2 m"
girth = "2 m"
stands = "in the shade"
[relief]
depth = "15 cm wc"
[flash_back]
kind = "water seal"
depth = "5 cm"
[[use]]
kind = "stove"
times = "17:00 to 19:00"
"#;

/// The bench with the gas side of `text`.
fn with(text: &str, change: impl Fn(&mut Bench)) -> Vec<Finding> {
    let side = read(&format!("{CALM}{text}"), "calm.toml", &NoFiles)
        .unwrap_or_else(|e| panic!("{e}"))
        .gas_side;
    bench(|b| {
        b.plan.gas_side = side.clone();
        change(b);
    })
}

fn told(id: &str, text: &str) -> Finding {
    let found = with(text, |_| {});
    let ids: Vec<&str> = found.iter().map(|f| f.id).collect();
    get(&found, id)
        .cloned()
        .unwrap_or_else(|| panic!("{id} is not among {ids:?}"))
}

fn untold(id: &str, text: &str) {
    if let Some(f) = get(&with(text, |_| {}), id) {
        panic!("{id}: {}", f.words);
    }
}

fn but(from: &str, to: &str) -> String {
    assert!(CAREFUL.contains(from), "{from}");
    CAREFUL.replace(from, to)
}

/// The plan of [`CAREFUL`] with a stove in a room.
fn stove_in(room: &str) -> String {
    format!("{CAREFUL}{room}")
}

#[test]
fn a_careful_gas_side_has_nothing_to_remark() {
    let found = with(CAREFUL, |_| {});
    let ids: Vec<&str> = found.iter().filter(|f| !f.always).map(|f| f.id).collect();
    assert_eq!(ids, ["headspace-air", "purge-volume"]);
}

#[test]
fn what_is_not_told_is_not_called_safe() {
    let f = fires("gas-side-not-told", |_| {});
    assert!(f.words.contains("does not make them safe"), "{}", f.words);
    untold("gas-side-not-told", CAREFUL);
}

#[test]
fn the_purge_is_told_in_litres_and_by_a_date() {
    // 150 L above the slurry, ln(20.95 / 5) = 1.433 volumes (worked example 11).
    let f = fires("purge-volume", |_| {});
    assert!(
        (value(&f, "purge_l_p50") - 215.0).abs() < 1.0,
        "{}",
        f.words
    );
    assert!(
        f.words.contains("1.4 times") && f.words.contains("1 January"),
        "{}",
        f.words
    );
    // With 10 m of line of 20 mm: 3.1 L more, 4.5 L more to let go.
    let with_line = told("purge-volume", CAREFUL);
    assert!((value(&with_line, "purge_l_p50") - value(&f, "purge_l_p50") - 4.5).abs() < 0.1);
    silent("purge-volume", |b| each_day(b, |_, d| d.gas_wet_l = 0.0));
    let slow = fires("purge-volume", |b| each_day(b, |_, d| d.gas_wet_l = 0.1));
    assert!(
        slow.words.contains("does not make that much"),
        "{}",
        slow.words
    );
}

#[test]
fn a_gas_side_needs_its_relief_out_of_doors() {
    let none = but("[relief]\ndepth = \"15 cm wc\"\n", "");
    let f = told("no-relief", &none);
    assert_eq!(
        (f.severity, value(&f, "best_day_l")),
        (Severity::Stop, 230.0)
    );
    let inside = but(
        "depth = \"15 cm wc\"",
        "depth = \"15 cm wc\"\nstands = \"indoors\"",
    );
    assert!(
        told("no-relief", &inside)
            .words
            .contains("lets gas out indoors")
    );
    untold("no-relief", CAREFUL);
}

#[test]
fn a_rigid_vessel_shut_tight_bursts() {
    let f = told(
        "sealed-rigid-space",
        "[line]\nbore = \"20 mm\"\nlength = \"10 m\"\n",
    );
    // p / T at 20 degC: 3.46 mbar/K (worked_examples_gas.md gives 3.5).
    assert!((value(&f, "mbar_per_k") - 3.456).abs() < 0.01);
    untold("sealed-rigid-space", CAREFUL);
}

#[test]
fn a_flame_needs_a_stop() {
    let seal = "kind = \"water seal\"\ndepth = \"5 cm\"";
    let none = but(&format!("[flash_back]\n{seal}\n"), "");
    assert_eq!(told("no-flash-back-stop", &none).severity, Severity::Stop);
    let mesh = |gap: &str| but(seal, &format!("kind = \"mesh\"\ngap = \"{gap}\""));
    // The safe gap of methane is 1.14 mm (IEC 60079-20-1).
    assert_eq!(
        told("no-flash-back-stop", &mesh("3 mm")).severity,
        Severity::Stop
    );
    assert_eq!(
        told("no-flash-back-stop", &mesh("0.5 mm")).severity,
        Severity::Care
    );
    untold("no-flash-back-stop", CAREFUL);
    // Nothing burns: nothing runs back.
    untold("no-flash-back-stop", "[relief]\ndepth = \"15 cm wc\"\n");
}

#[test]
fn a_store_indoors_is_told_with_its_hours() {
    let indoors = |room: &str| {
        but(
            "stands = \"in the shade\"",
            &format!("stands = \"indoors\"\n{room}"),
        )
    };
    let f = told(
        "store-indoors",
        &indoors("room = { volume = \"20 m3\", air_changes = 0.1 }"),
    );
    assert_eq!((f.severity, value(&f, "room_m3")), (Severity::Stop, 20.0));
    // 230 L a day is 9.6 L/h into 2 m3/h of air: 0.48 % at last. A quarter of the
    // lower limit of 60 % methane (4.4 / 0.6 / 4 = 1.8 %) is never reached when mixed.
    assert!(
        !f.evidence
            .iter()
            .any(|e| e.name == "hours_to_quarter_of_lower_limit")
    );
    assert!(f.words.contains("explosive at once"), "{}", f.words);
    // A tight closet: 9.58 L/h into 1 m3 at 0.1 per hour settles at 9.6 %; t = -ln(1 - 1.83/9.58)/0.1.
    let f = told(
        "store-indoors",
        &indoors("room = { volume = \"1 m3\", air_changes = 0.1 }"),
    );
    assert!(
        (value(&f, "hours_to_quarter_of_lower_limit") - 2.12).abs() < 0.05,
        "{}",
        f.words
    );
    untold("store-indoors", CAREFUL);
    // Nothing told of the room: ours, and said to be assumed.
    assert!(
        told("store-indoors", &indoors(""))
            .words
            .contains("(assumed)")
    );
}

#[test]
fn a_line_or_vessel_indoors_is_told() {
    let f = told(
        "line-indoors",
        &but("length = \"10 m\"", "length = \"10 m\"\nruns = \"indoors\""),
    );
    assert_eq!(f.severity, Severity::Care);
    untold("line-indoors", CAREFUL);
    // 3000 ppm and a shut room: the poison is named.
    let f = fires("vessel-indoors", |b| {
        b.plan.vessel.siting = fenlamp_model::plan::Siting::Greenhouse;
        each_day(b, |_, d| (d.gas_wet_l, d.h2s_ppm) = (2300.0, 3000.0));
    });
    assert!(
        value(&f, "h2s_ppm_at_last") > 10.0 && f.words.contains("people must leave at 10"),
        "{}",
        f.words
    );
}

#[test]
fn burning_in_a_shut_room() {
    let f = told(
        "burning-indoors",
        &stove_in("room = { volume = \"20 m3\", air_changes = 0.5 }\n"),
    );
    assert_eq!(f.severity, Severity::Stop);
    assert!(
        value(&f, "co2_ppm") > 5000.0 && value(&f, "needed_air_changes_per_h") > 1.0,
        "{}",
        f.words
    );
    // The same sums as the gas room's, whose worked examples are published.
    let room = Room::new(20.0, 0.5).unwrap();
    let gas = fenlamp_model::gas::Mixture::biogas_with_h2s(0.6, 60.0).unwrap();
    let flow = read(&format!("{CALM}{CAREFUL}"), "c", &NoFiles)
        .unwrap()
        .gas_side
        .uses[0]
        .flow
        .value
        * 3600.0;
    let made = fumes(&gas, flow, Flame::Yellow, &room).unwrap();
    let needs = fresh_air_needs(&room, &made, For::People).unwrap();
    let most = needs
        .iter()
        .filter(|n| n.of != "sulfur dioxide")
        .map(|n| n.air_changes_per_h)
        .fold(0.0, f64::max);
    assert!((most / value(&f, "needed_air_changes_per_h") - 1.0).abs() < 0.02);
    // Enough air, told: silent. Not told: a care at least.
    untold(
        "burning-indoors",
        &stove_in("room = { volume = \"60 m3\", air_changes = 30 }\n"),
    );
    untold(
        "burning-indoors",
        &stove_in("flue = true\nroom = { volume = \"20 m3\", air_changes = 0.5 }\n"),
    );
    told(
        "burning-indoors",
        &stove_in("room = { volume = \"300 m3\" }\n"),
    );
    // A room said to have no air change at all is not passed over.
    told(
        "burning-indoors",
        &stove_in("room = { volume = \"20 m3\", air_changes = 0 }\n"),
    );
    untold("burning-indoors", CAREFUL);
    let green = stove_in("room = { volume = \"40 m3\", air_changes = 0.5, greenhouse = true }\n");
    assert!(told("burning-indoors", &green).words.contains("1000 ppm"));
}

#[test]
fn sulfur_dioxide_of_unwashed_gas() {
    let text = stove_in("room = { volume = \"30 m3\", air_changes = 1 }\n");
    let found = |ppm: f64| with(&text, move |b| each_day(b, |_, d| d.h2s_ppm = ppm));
    let f = get(&found(2000.0), "sulfur-dioxide-indoors")
        .cloned()
        .expect("fires");
    assert!(
        f.severity == Severity::Stop && value(&f, "so2_ppm") > 5.0,
        "{}",
        f.words
    );
    assert!(get(&found(5.0), "sulfur-dioxide-indoors").is_none());
}

#[test]
fn an_engine_wants_clean_gas() {
    let engine = but("kind = \"stove\"", "kind = \"engine\"");
    let found = |text: &str, ppm: f64| with(text, move |b| each_day(b, |_, d| d.h2s_ppm = ppm));
    let f = get(&found(&engine, 800.0), "h2s-for-the-appliance")
        .cloned()
        .expect("fires");
    assert_eq!(value(&f, "limit_h2s_ppm"), 100.0);
    assert!(get(&found(&engine, 50.0), "h2s-for-the-appliance").is_none());
    assert!(get(&found(CAREFUL, 800.0), "h2s-for-the-appliance").is_none());
}

#[test]
fn frost_on_relief_line_and_trap() {
    let cold = |text: &str, low: f64| {
        with(text, move |b| {
            if let fenlamp_model::weather::Weather::Normals(n) = &mut b.plan.weather {
                n.low_c[0] = low;
            }
        })
    };
    let f = get(&cold(CAREFUL, -4.0), "trap-or-line-frozen")
        .cloned()
        .expect("fires");
    assert!(
        f.severity == Severity::Stop && f.words.contains("January"),
        "{}",
        f.words
    );
    assert!(get(&cold(CAREFUL, 3.0), "trap-or-line-frozen").is_none());
    let line_only = "[line]\nbore = \"20 mm\"\nlength = \"10 m\"\n";
    assert_eq!(
        get(&cold(line_only, -4.0), "trap-or-line-frozen").map(|f| f.severity),
        Some(Severity::Care)
    );
}

#[test]
fn water_must_have_somewhere_to_go() {
    told("line-without-trap", &but("low_point_drained = true\n", ""));
    untold("line-without-trap", CAREFUL);
}

const JAR: &str = r#"
[[wash]]
kind = "lye jar"
alkali = "wood ash"
mass = "1 kg"
liquor = "4 L"
bubble_depth = "5 cm"
"#;

#[test]
fn washes_carry_their_cautions() {
    let jar = format!("{JAR}{CAREFUL}");
    assert!(told("lye-jar", &jar).words.contains("30 minutes"));
    untold("lye-jar", CAREFUL);
    // One kilogram of ash against 230 L a day for 300 days: soon spent.
    let spent = told("wash-spent", &jar);
    assert!(
        value(&spent, "spent_share_of_days_p50") > 0.5,
        "{}",
        spent.words
    );
    untold("wash-spent", CAREFUL);
    let iron = format!(
        "[[wash]]\nkind = \"iron packing\"\niron = \"steel wool\"\nmass = \"20 kg\"\n{CAREFUL}"
    );
    told("iron-packing", &iron);
    let bed = format!("[[wash]]\nkind = \"ash bed\"\nmass = \"20 kg\"\n{CAREFUL}");
    told("ash-bed", &bed);
    untold("ash-bed", &jar);
    untold("lye-jar", &bed);
    untold("iron-packing", &jar);
    let deep = jar.replace("bubble_depth = \"5 cm\"", "bubble_depth = \"20 cm\"");
    told("jar-deeper-than-relief", &deep);
    untold("jar-deeper-than-relief", &jar);
}

fn croft_heap(b: &mut Bench) {
    let croft = include_str!("../../../../../examples/hollin-croft.toml");
    b.plan.heap = read(croft, "croft", &NoFiles)
        .unwrap_or_else(|e| panic!("{e}"))
        .heap;
}

#[test]
fn heaps_in_sheds_and_in_the_rain() {
    let f = fires("heap-in-shed", |b| {
        croft_heap(b);
        b.plan.vessel.siting = fenlamp_model::plan::Siting::Shed;
    });
    assert_eq!(f.severity, Severity::Stop);
    silent("heap-in-shed", croft_heap);
    assert_eq!(
        fires("heap-in-wet-weather", croft_heap).severity,
        Severity::Note
    );
    let wet = fires("heap-in-wet-weather", |b| {
        croft_heap(b);
        b.plan.heap.as_mut().expect("a heap").moisture = Ratio::new::<percent>(70.0);
    });
    assert_eq!(wet.severity, Severity::Care);
    silent("heap-in-wet-weather", |_| {});
}

#[test]
fn pits_and_large_vessels_are_not_entered() {
    fires("pit-or-large-vessel", |b| {
        b.plan.vessel.volume = Volume::new::<liter>(3000.0)
    });
    fires("pit-or-large-vessel", |b| {
        b.plan.vessel.kind = fenlamp_model::plan::VesselKind::SunkenTank
    });
    silent("pit-or-large-vessel", |b| {
        b.plan.vessel.volume = Volume::new::<liter>(208.0)
    });
}

#[test]
fn germs_follow_what_goes_in() {
    let feed = |id: &'static str| {
        move |b: &mut Bench| {
            b.plan.feedstocks[0] = fenlamp_model::reference::feedstock(id)
                .expect("a row")
                .clone();
        }
    };
    fires("poultry-manure", feed("chicken_layer_droppings"));
    silent("poultry-manure", feed("kitchen_waste_mixed"));
    fires("meat-or-mixed-kitchen-waste", feed("kitchen_waste_mixed"));
    fires("meat-or-mixed-kitchen-waste", feed("meat_scraps"));
    silent("meat-or-mixed-kitchen-waste", feed("vegetable_peelings"));
    silent("human-or-pet-waste", feed("cow_dung"));
    let pet = fires("human-or-pet-waste", |b| {
        let f = &mut b.plan.feedstocks[0];
        (f.id, f.name) = ("own".to_owned(), "Dog dirt".to_owned());
    });
    assert!(pet.words.contains("septic tank"), "{}", pet.words);
}

/// A vessel of 850 L that takes 10 L a day at `slurry_c` and lets as much go.
fn running_over(slurry_c: f64) -> impl Fn(&mut Bench) {
    move |b: &mut Bench| {
        each_day(b, |_, d| {
            d.slurry_c = slurry_c;
            d.ran_out_l = 10.0;
        });
    }
}

#[test]
fn what_runs_out_is_judged_by_its_warmth() {
    let cool = fires("digestate-on-food", running_over(18.0));
    assert_eq!(cool.severity, Severity::Care);
    assert!(
        cool.words.contains("120 days") && cool.words.contains("90"),
        "{}",
        cool.words
    );
    // The first months' slurry has not had its time yet, however warm.
    let warm = fires("digestate-on-food", running_over(30.0));
    assert!(warm.words.contains("of 10 months"), "{}", warm.words);
    silent("digestate-on-food", |_| {});
}

#[test]
fn no_rule_speaks_twice_or_past_its_page() {
    let found = with(JAR, |b| {
        croft_heap(b);
        running_over(3.0)(b);
    });
    let mut ids: Vec<&str> = found.iter().map(|f| f.id).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
    for f in &found {
        // A caution that is not read saves no one.
        assert!(f.words.len() < 900, "{}: {} letters", f.id, f.words.len());
        assert!(
            !f.words.contains("  ") && f.words.ends_with('.'),
            "{}",
            f.words
        );
    }
}
