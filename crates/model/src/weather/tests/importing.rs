//! Every fault of a record is found, with its line.

use jiff::civil::date;
use proptest::prelude::*;

use super::super::*;

fn fault(text: &str) -> (usize, String) {
    let error = import_csv(text).unwrap_err();
    (error.line, error.message)
}

#[test]
fn reads_daily_and_hourly() {
    let daily = import_csv(
        "# a station of our own\ndate,air_c,sun_w_m2\n2031-01-01,-1.5,20\n2031-01-02,0.25,-3\n",
    )
    .unwrap();
    assert_eq!((daily.first, daily.step_hours), (date(2031, 1, 1), 24));
    assert_eq!(daily.air_c, [-1.5, 0.25]);
    assert_eq!(daily.sun_w_m2, [20.0, 0.0]);
    assert!(daily.wind_m_s.is_empty());

    let mut text = "\u{feff}Time, Air_C , wind_m_s\r\n".to_owned();
    for hour in 0..48 {
        text.push_str(&format!(
            "2031-02-{:02}T{:02}:00,{hour},1\r\n",
            27 + hour / 24,
            hour % 24
        ));
    }
    let hourly = import_csv(&text).unwrap();
    assert_eq!((hourly.first, hourly.step_hours), (date(2031, 2, 27), 1));
    assert_eq!(hourly.air_c.len(), 48);
}

#[test]
fn names_each_fault_and_its_line() {
    for (text, line, words) in [
        ("", 1, "date"),
        ("date,air_c\n", 1, "no rows"),
        ("date,air\n2031-01-01,1\n", 1, "unknown column"),
        ("date;air_c\n2031-01-01;1\n", 1, "commas"),
        ("date,air_c,air_c\n2031-01-01,1,1\n", 1, "twice"),
        (
            "date,time,air_c\n2031-01-01,2031-01-01 00:00,1\n",
            1,
            "not both",
        ),
        ("date,wind_m_s\n2031-01-01,1\n", 1, "air_c"),
        (
            "date,air_c\n2031-01-01,1\n2031-01-03,1\n",
            3,
            "1 day(s) missing",
        ),
        ("date,air_c\n2031-01-01,1\n2031-01-01,1\n", 3, "twice"),
        (
            "date,air_c\n2031-01-02,1\n2031-01-01,1\n",
            3,
            "out of order",
        ),
        ("date,air_c\n2031-01-01,NaN\n", 2, "not a number"),
        ("date,air_c\n2031-01-01,inf\n", 2, "not a number"),
        ("date,air_c\n2031-01-01,\n", 2, "no air temperature"),
        ("date,air_c\n2031-01-01,\"1,5\"\n", 2, "point"),
        ("date,air_c\n2031-01-01,99.9\n", 2, "outside"),
        ("date,air_c,wind_m_s\n2031-01-01,1,-2\n", 2, "outside"),
        ("date,air_c,sun_w_m2\n2031-01-01,1,9999\n", 2, "outside"),
        ("date,air_c\n2031-02-30,1\n", 2, "not a date"),
        ("date,air_c\n01/02/2031,1\n", 2, "not a date"),
        ("date,air_c\n2031-01-01,1,5\n", 2, "3 values"),
        ("time,air_c\n2031-01-01,1\n", 2, "not a time"),
        ("time,air_c\n2031-01-01 05:00,1\n", 2, "starts at 00:00"),
        (
            "time,air_c\n2031-01-01 00:00,1\n2031-01-01 00:30,1\n",
            3,
            "full hour",
        ),
        (
            "time,air_c\n2031-01-01 00:00,1\n2031-01-01 02:00,1\n",
            3,
            "1 hour(s) missing",
        ),
        (
            "time,air_c\n2031-01-01 00:00,1\n2031-01-01 01:00,1\n",
            3,
            "2 of 24 hours",
        ),
    ] {
        let (at, message) = fault(text);
        assert!(message.contains(words), "{text:?}: {message}");
        assert_eq!(at, line, "{text:?}: {message}");
    }
}

#[test]
fn daily_slurry_temperature() {
    let text = "date,temperature_c\n2031-05-01,20.5\n2031-05-02,21\n";
    assert_eq!(import_daily_temperature(text).unwrap(), [20.5, 21.0]);
    let gap = import_daily_temperature("date,temperature_c\n2031-05-01,2\n2031-05-04,2\n");
    assert_eq!(gap.unwrap_err().line, 3);
    let hot = import_daily_temperature("date,temperature_c\n2031-05-01,120\n");
    assert!(hot.unwrap_err().message.contains("outside"));
    assert!(import_daily_temperature("date,air_c\n2031-05-01,1\n").is_err());
}

/// An EPW text of some days of an invented place; `edit` may change a row's fields.
fn epw(days: u32, year: i16, edit: impl Fn(usize, &mut Vec<String>)) -> String {
    let mut text = "LOCATION,Invented,Nowhere,NON,made up,000000,50.0,0.0,0.0,100.0\n".to_owned();
    for name in [
        "DESIGN CONDITIONS",
        "TYPICAL",
        "GROUND",
        "HOLIDAYS",
        "C1",
        "C2",
        "DATA PERIODS",
    ] {
        text.push_str(name);
        text.push('\n');
    }
    let first = date(2031, 1, 1);
    for index in 0..days as usize * 24 {
        let day = days_after(first, (index / 24) as i64);
        let mut row: Vec<String> = vec!["0".into(); 35];
        row[0] = year.to_string();
        row[1] = day.month().to_string();
        row[2] = day.day().to_string();
        row[3] = (index % 24 + 1).to_string();
        row[4] = "60".into();
        row[6] = format!("{:.1}", index as f64 * 0.1 % 20.0);
        row[13] = "100".into();
        row[21] = "3.5".into();
        edit(index, &mut row);
        text.push_str(&row.join(","));
        text.push('\n');
    }
    text
}

#[test]
fn epw_reads_fields() {
    let series = import_epw(&epw(365, 2031, |_, _| {})).unwrap();
    assert_eq!((series.first, series.step_hours), (date(2031, 1, 1), 1));
    assert_eq!(series.air_c.len(), 8760);
    assert_eq!(
        (series.air_c[5], series.sun_w_m2[5], series.wind_m_s[5]),
        (0.5, 100.0, 3.5)
    );
    assert!(series.origin.starts_with("Invented") && !series.origin.contains("filled"));
    // A typical year printed under a leap year has no 29 February and must not slip by a day.
    let leap = import_epw(&epw(365, 2032, |_, _| {})).unwrap();
    assert_eq!(leap.first, date(2031, 1, 1));
}

#[test]
fn epw_fills_short_gaps_and_says_so() {
    let text = epw(2, 2031, |index, row| {
        if (10..13).contains(&index) {
            row[6] = "99.9".into();
        }
    });
    let series = import_epw(&text).unwrap();
    assert!((series.air_c[11] - 1.1).abs() < 1e-9);
    assert!(
        series.origin.contains("3 missing values filled"),
        "{}",
        series.origin
    );
    let long = epw(2, 2031, |index, row| {
        if (10..14).contains(&index) {
            row[13] = "9999".into();
        }
    });
    let error = import_epw(&long).unwrap_err();
    assert_eq!(error.line, 8 + 11);
    assert!(error.message.contains("4 h"), "{error}");
    let end = epw(1, 2031, |index, row| {
        if index == 23 {
            row[21] = "999".into();
        }
    });
    assert!(
        import_epw(&end)
            .unwrap_err()
            .message
            .contains("end of the record")
    );
}

#[test]
fn epw_faults() {
    let line = |text: &str| import_epw(text).unwrap_err();
    assert!(line("LOCATION,x\n").message.contains("header"));
    assert_eq!(
        line(&epw(1, 2031, |_, _| {}).replacen("LOCATION", "PLACE", 1)).line,
        1
    );
    assert!(line(&epw(0, 2031, |_, _| {})).message.contains("no rows"));
    let skipped = epw(2, 2031, |index, row| {
        if index >= 7 {
            row[3] = ((index + 1) % 24 + 1).to_string();
        }
    });
    assert_eq!(line(&skipped).line, 8 + 8);
    let doubled = epw(1, 2031, |index, row| {
        if index == 7 {
            row[3] = "7".into();
        }
    });
    assert!(line(&doubled).message.contains("twice"));
    let wild = epw(1, 2031, |index, row| {
        if index == 3 {
            row[6] = "75".into();
        }
    });
    assert_eq!(line(&wild).line, 12);
    let short = epw(1, 2031, |_, row| row.truncate(10));
    assert!(line(&short).message.contains("fields"));
    let part = epw(1, 2031, |_, _| {});
    let cut: Vec<&str> = part.lines().take(8 + 20).collect();
    assert!(line(&cut.join("\n")).message.contains("20 of 24"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// No text makes an importer panic.
    #[test]
    fn importers_never_panic(text in "(?s)[ -~\n\r,;\u{fe}]{0,300}", head in 0..4usize) {
        let heads = ["", "date,air_c\n", "time,air_c,wind_m_s\n", "LOCATION,a,b,c\n\n\n\n\n\n\n\n"];
        let text = format!("{}{text}", heads[head]);
        let _ = import_csv(&text);
        let _ = import_epw(&text);
        let _ = import_daily_temperature(&text);
    }

    /// What is written is read back.
    #[test]
    fn daily_round_trip(values in prop::collection::vec(-60.0..50.0f64, 1..80)) {
        let mut text = "date,air_c\n".to_owned();
        for (index, value) in values.iter().enumerate() {
            text.push_str(&format!("{},{value}\n", days_after(date(2031, 1, 1), index as i64)));
        }
        prop_assert_eq!(import_csv(&text).unwrap().air_c, values);
    }
}
