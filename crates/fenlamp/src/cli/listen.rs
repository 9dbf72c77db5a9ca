//! `fenlamp listen`: instruments write in the diary by themselves.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use clap::Args;
use fenlamp_diary::Diary;
use signal_hook::consts::{SIGINT, SIGTERM};

use super::diary;
use crate::failure::Failure;
use crate::listen::{Broker, Folder, Tally, hear};
use crate::plan_file::open;

/// Arguments of `listen`.
#[derive(Debug, Args)]
#[command(after_help = "A message is JSON:\n  \
    {\"key\": \"...\", \"readings\": [{\"quantity\": \"slurry_temperature\",\n   \
    \"value\": 18.2, \"unit\": \"°C\", \"at\": \"2026-06-01T08:30:00Z\"}]}\n\
    A file is CSV with the columns at,quantity,value,unit and the device's name.\n\
    Quantities: slurry_temperature, air_temperature, gas_counter, store_fill,\n\
    gas_pressure, ph, methane_share, sulfide_ppm. Keys: fenlamp diary PLAN device NAME")]
pub struct ListenArgs {
    /// The plan in whose diary to write
    pub plan: PathBuf,
    /// An MQTT broker
    #[arg(long, value_name = "HOST:PORT", required_unless_present = "folder")]
    pub mqtt: Option<String>,
    /// Topic to hear
    #[arg(long, default_value = "fenlamp/+/readings")]
    pub topic: String,
    /// Name under which the broker keeps messages while this program is away
    #[arg(long, value_name = "NAME", default_value = "fenlamp")]
    pub name: String,
    /// User at the broker; the password is read from FENLAMP_MQTT_PASSWORD
    #[arg(long)]
    pub user: Option<String>,
    /// A folder with files DEVICE.csv, looked at every few seconds
    #[arg(long, value_name = "FOLDER", conflicts_with = "mqtt")]
    pub folder: Option<PathBuf>,
    /// Take in what is in the folder now and end
    #[arg(long, requires = "folder")]
    pub once: bool,
}

/// Between two looks at a folder.
const LOOK_EVERY: Duration = Duration::from_secs(3);

/// Listens until Ctrl-C.
///
/// # Errors
/// The plan's faults, an address that is none, or the diary's file.
pub fn run(args: &ListenArgs) -> Result<String, Failure> {
    open(&args.plan)?;
    let path = diary::file_of(&args.plan)?;
    let stop = Arc::new(AtomicBool::new(false));
    for signal in [SIGINT, SIGTERM] {
        // A second signal ends the program at once.
        let _ = signal_hook::flag::register_conditional_shutdown(signal, 130, Arc::clone(&stop));
        let _ = signal_hook::flag::register(signal, Arc::clone(&stop));
    }
    let mut last = Tally::default();
    let mut said = String::new();
    let mut tell = |tally: &Tally, wrong: Option<&str>| {
        last = *tally;
        match wrong {
            // The same trouble is told once.
            Some(why) if why != said => {
                eprintln!("fenlamp: {why}");
                why.clone_into(&mut said);
            }
            Some(_) => {}
            None if said != LISTENING => {
                eprintln!("{LISTENING}");
                LISTENING.clone_into(&mut said);
            }
            None => {}
        }
    };
    let tally = if let Some(folder) = &args.folder {
        let mut diary = Diary::open(&path).map_err(crate::view_model::diary::failed)?;
        let mut folder = Folder::new(folder);
        let mut tally = Tally::default();
        while !stop.load(Ordering::Relaxed) {
            folder
                .look(&mut diary, &mut tally, &mut tell)
                .map_err(crate::view_model::diary::failed)?;
            if args.once {
                break;
            }
            for _ in 0..LOOK_EVERY.as_millis() / 100 {
                if stop.load(Ordering::Relaxed) {
                    break;
                }
                std::thread::sleep(Duration::from_millis(100));
            }
        }
        tally
    } else {
        let broker = broker(args)?;
        hear(&path, &broker, &stop, &mut tell).map_err(crate::view_model::diary::failed)?
    };
    Ok(format!(
        "{} readings written down ({} not believed), {} known already, {} refused\n",
        tally.new, tally.doubted, tally.again, tally.refused
    ))
}

/// Said once the instruments are heard.
const LISTENING: &str = "listening";

fn broker(args: &ListenArgs) -> Result<Broker, Failure> {
    let address = args.mqtt.as_deref().unwrap_or_default();
    let bad = || {
        Failure::input(
            format!("\"{address}\" is no address of a broker"),
            "write it like localhost:1883",
        )
    };
    let (host, port) = address.rsplit_once(':').ok_or_else(bad)?;
    let port = port.parse().map_err(|_| bad())?;
    if host.is_empty() {
        return Err(bad());
    }
    Ok(Broker {
        host: host.to_owned(),
        port,
        topic: args.topic.clone(),
        name: args.name.clone(),
        login: args.user.clone().map(|user| {
            let password = std::env::var("FENLAMP_MQTT_PASSWORD").unwrap_or_default();
            (user, password)
        }),
    })
}
