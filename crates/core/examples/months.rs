//! Prints the months of a plan's ensemble, bare, with the time it took.
//!
//! `cargo run --release -p fenlamp-core --example months -- PLAN.toml [WORLDS]`

use fenlamp_core::forecast::ensemble;
use fenlamp_core::plan::{Files, read_bytes};

struct Beside(std::path::PathBuf);
impl Files for Beside {
    fn get(&self, relative: &str) -> Result<Vec<u8>, String> {
        std::fs::read(self.0.join(relative)).map_err(|e| e.to_string())
    }
}

fn main() {
    let path = std::path::PathBuf::from(std::env::args().nth(1).expect("a plan file"));
    let bytes = std::fs::read(&path).expect("a readable file");
    let folder = path
        .parent()
        .map(std::path::Path::to_path_buf)
        .unwrap_or_default();
    let mut plan = match read_bytes(&bytes, &path.display().to_string(), &Beside(folder)) {
        Ok(plan) => plan,
        Err(errors) => {
            eprintln!("{errors}");
            std::process::exit(2);
        }
    };
    if let Some(n) = std::env::args().nth(2).and_then(|n| n.parse().ok()) {
        plan.worlds = n;
    }
    let t = std::time::Instant::now();
    let (f, runs) = ensemble::run(&plan).expect("the worlds run");
    let seconds = t.elapsed().as_secs_f64();
    let steps: u64 = runs.iter().map(|r| r.effort.steps).sum();
    let rejected: u64 = runs.iter().map(|r| r.effort.rejected).sum();
    println!(
        "{}: {} worlds of {} days in {seconds:.2} s; {} steps, {} rejected a world",
        plan.name,
        f.worlds,
        plan.days,
        steps / u64::from(f.worlds),
        rejected / u64::from(f.worlds)
    );
    println!(
        "flame {:?} sour {:.2} yield {:?} loading {:?}",
        f.first_flame,
        f.sour_share_of_worlds,
        f.whole.methane_l_per_kg_vs,
        f.whole.loading_kg_vs_m3_d
    );
    for m in &f.months {
        let last = f
            .days
            .iter()
            .rfind(|d| d.date.month() == m.month && d.date.year() == m.year)
            .expect("a month has days");
        println!(
            "{}-{:02} T {:5.1} {:5.1} {:5.1} | wet L/d {:6.0} {:6.0} {:6.0} | CH4 {:.2} {:.2} | kettles {:4.1} | pH {:.2} {:.2} {:.2} acids {:6.0} {:6.0} N {:5.0} H2S {:5.0} fed {:4.1} O2 {:.3}",
            m.year,
            m.month,
            m.slurry_temperature_c.p10,
            m.slurry_temperature_c.p50,
            m.slurry_temperature_c.p90,
            m.gas_wet_l_per_day.p10,
            m.gas_wet_l_per_day.p50,
            m.gas_wet_l_per_day.p90,
            m.methane_share.p10,
            m.methane_share.p50,
            m.uses_per_day.kettles.p50,
            last.ph.p10,
            last.ph.p50,
            last.ph.p90,
            last.acids_mg_l.p50,
            last.acids_mg_l.p90,
            last.ammonium_mg_n_l.p50,
            last.h2s_ppm.p50,
            m.fed_kg_per_day.p50,
            last.headspace_oxygen_share.p50
        );
    }
}
