//! Sizes that shops keep, in both systems (common practice, no source).

/// Hose bores kept by shops: mm and the inch size sold for it.
const HOSES: [(f64, &str); 9] = [
    (6.0, "1/4"),
    (8.0, "5/16"),
    (10.0, "3/8"),
    (13.0, "1/2"),
    (16.0, "5/8"),
    (19.0, "3/4"),
    (25.0, "1"),
    (32.0, "1 1/4"),
    (40.0, "1 1/2"),
];

/// Pipe threads by the hose bore that they carry: bore up to mm, thread, hole to cut mm.
const THREADS: [(f64, &str, f64); 4] = [
    (10.0, "3/8", 17.0),
    (14.0, "1/2", 21.0),
    (20.0, "3/4", 27.0),
    (41.0, "1", 34.0),
];

/// The hose that is not narrower than a bore, but for the rounding between mm and
/// inches: its mm and inches.
pub fn hose_mm(bore_mm: f64) -> (f64, &'static str) {
    let fits = |h: &&(f64, &'static str)| h.0 >= bore_mm * 0.98 - 0.1;
    *HOSES.iter().find(fits).unwrap_or(&HOSES[HOSES.len() - 1])
}

/// "13 mm (1/2 in)".
pub(super) fn hose_words(bore_mm: f64) -> String {
    let (mm, inch) = hose_mm(bore_mm);
    format!("{mm} mm ({inch} in)")
}

/// The pipe thread that carries a hose, and the hole its fitting wants, mm.
pub(super) fn thread(bore_mm: f64) -> (&'static str, f64) {
    let fits = |t: &&(f64, &'static str, f64)| t.0 >= bore_mm;
    let t = THREADS
        .iter()
        .find(fits)
        .unwrap_or(&THREADS[THREADS.len() - 1]);
    (t.1, t.2)
}

/// A length in mm as "12 mm (1/2 in)", inches to the nearest sixteenth.
pub fn inches(mm: f64) -> String {
    let sixteenths = (mm / 25.4 * 16.0).round().max(1.0) as u32;
    let whole = crate::plant::fraction(sixteenths, 16);
    let mm = if mm < 10.0 {
        fenlamp_quantity::format_number(mm, 2)
    } else {
        format!("{mm:.0}")
    };
    format!("{mm} mm ({whole} in)")
}

/// A volume of a jar as "2 L (2 qt)": the next size up that shops keep.
pub(super) fn jar(volume_m3: f64) -> String {
    const JARS: [(f64, &str); 10] = [
        (0.25, "1/2 pt"),
        (0.5, "1 pt"),
        (1.0, "1 qt"),
        (2.0, "1/2 gal"),
        (3.0, "3 qt"),
        (5.0, "1 1/4 gal"),
        (10.0, "2 1/2 gal"),
        (20.0, "5 gal"),
        (30.0, "8 gal"),
        (60.0, "15 gal"),
    ];
    let litres = volume_m3 * 1000.0;
    let (l, us) = JARS
        .iter()
        .find(|j| j.0 >= litres * 0.97)
        .unwrap_or(&JARS[JARS.len() - 1]);
    format!("{l} L ({us})")
}

pub(super) fn clamp(bore_mm: f64) -> String {
    // A clamp goes round the hose: bore and two walls of about 3 mm.
    inches(hose_mm(bore_mm).0 + 6.0)
}

pub(super) fn tail(bore_mm: f64) -> String {
    format!("{} in, {}", thread(bore_mm).0, hose_words(bore_mm))
}

pub(super) fn size_mm(diameter_m: f64, height_m: f64) -> String {
    let (d, h) = (inches(diameter_m * 1000.0), inches(height_m * 1000.0));
    format!("{d} x {h}")
}

pub(super) fn mesh_words(gap_mm: f64) -> String {
    format!(
        "{} mm ({} in)",
        fenlamp_quantity::format_number(gap_mm, 2),
        fenlamp_quantity::format_number(gap_mm / 25.4, 2)
    )
}
