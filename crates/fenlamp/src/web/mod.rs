//! The page: a small server on this machine, for the browser of whoever sits at it.

mod access;
mod advice;
mod advice_routes;
mod desk;
mod diary_routes;
mod edits;
mod fields;
mod levers;
mod negotiate;
mod openapi;
mod photo_routes;
mod plan_routes;
mod routes;
mod run;
mod shelf;
mod start;
mod view;
mod write_routes;

use std::collections::{HashMap, VecDeque};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use fenlamp_model::forecast::runs::Control;
use tokio::net::TcpListener;
use tokio::sync::broadcast;

use crate::demos::DEMOS;
use crate::failure::Failure;
use access::Door;
use desk::Desk;
use run::{Progress, Runner};
use shelf::Shelf;

/// What the command line asks of the page.
#[derive(Debug, Clone)]
pub struct Asked {
    /// A plan to open: a file, or `demo:NAME`.
    pub plan: Option<PathBuf>,
    /// Folder of plans, in place of the plan's own or the current one.
    pub folder: Option<PathBuf>,
    /// Port; another free one when it is taken and was not asked for.
    pub port: Option<u16>,
    /// Serve the local network too.
    pub share: bool,
    /// Open a browser where there is one.
    pub browser: bool,
}

/// The port taken when none is asked for.
const PORT: u16 = 7341;

/// Something a page wants to know.
#[derive(Debug, Clone, serde::Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Event {
    /// A run goes on.
    Progress {
        /// Name of the plan.
        plan: String,
        /// How far.
        #[serde(flatten)]
        progress: Progress,
    },
    /// The plan is not what it was.
    Changed {
        /// Name of the plan.
        plan: String,
        /// Its number of steps.
        rev: u64,
    },
}

/// What all requests share.
pub struct App {
    shelf: Shelf,
    runner: Runner,
    desks: Mutex<HashMap<String, Arc<Mutex<Desk>>>>,
    advice: Mutex<VecDeque<(String, Arc<advice::Advice>)>>,
    events: broadcast::Sender<Event>,
    first: String,
}

impl App {
    /// The desk of a plan; `None` when there is no plan of this name.
    ///
    /// # Errors
    /// A file that cannot be read.
    fn desk(&self, name: &str) -> Result<Option<Arc<Mutex<Desk>>>, desk::DeskError> {
        let mut desks = self.desks.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(desk) = desks.get(name) {
            return Ok(Some(Arc::clone(desk)));
        }
        let Some(entry) = self.shelf.find(name) else {
            return Ok(None);
        };
        let desk = Arc::new(Mutex::new(Desk::open(&self.shelf, &entry)?));
        desks.insert(name.to_owned(), Arc::clone(&desk));
        Ok(Some(desk))
    }

    /// Does `work`, and tells whoever looks at `plan` how far it is.
    fn watched<T>(&self, plan: &str, work: impl FnOnce(&Control) -> T) -> T {
        work(&Control {
            progress: &|done, of| {
                self.tell(Event::Progress {
                    plan: plan.to_owned(),
                    progress: Progress { done, of },
                });
            },
            cancelled: &AtomicBool::new(false),
        })
    }

    fn tell(&self, event: Event) {
        // Nobody listening is no fault.
        let _ = self.events.send(event);
    }
}

/// Serves the page until Ctrl-C.
///
/// # Errors
/// A plan that is not there, a port that is taken, a system without a network.
pub fn serve(asked: &Asked) -> Result<String, Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| Failure::Internal(format!("the page could not start: {e}")))?;
    runtime.block_on(run_server(asked))
}

/// The folder of plans and the plan to open first.
fn shelf_of(asked: &Asked) -> Result<(Shelf, String), Failure> {
    let here = || asked.folder.clone().unwrap_or_else(|| PathBuf::from("."));
    let Some(plan) = &asked.plan else {
        return Ok((Shelf::new(here()), DEMOS[0].name.to_owned()));
    };
    if let Some(demo) = plan.to_str().and_then(|p| p.strip_prefix("demo:")) {
        if crate::demos::demo(demo).is_none() {
            return Err(Failure::input(
                format!("there is no demo \"{demo}\""),
                format!("there are: {}", crate::demos::names()),
            ));
        }
        return Ok((Shelf::new(here()), demo.to_owned()));
    }
    let folder = plan
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .map_or_else(|| PathBuf::from("."), Path::to_path_buf);
    let shelf = Shelf::new(folder);
    match shelf.entry_of(plan) {
        Some(entry) => Ok((shelf, entry.name)),
        // What is wrong with it is told as for every other command.
        None => match crate::plan_file::open(plan) {
            Err(failure) => Err(failure),
            Ok(_) => Err(Failure::input(
                format!("{} has not the name of a plan", plan.display()),
                "give it the ending .toml",
            )),
        },
    }
}

async fn listen(ip: IpAddr, asked: Option<u16>) -> Result<TcpListener, Failure> {
    let wanted = SocketAddr::new(ip, asked.unwrap_or(PORT));
    match TcpListener::bind(wanted).await {
        Ok(listener) => Ok(listener),
        Err(_) if asked.is_none() => TcpListener::bind(SocketAddr::new(ip, 0))
            .await
            .map_err(|e| Failure::input(format!("no port is free: {e}"), "")),
        Err(e) => Err(Failure::input(
            format!("port {} cannot be had: {e}", wanted.port()),
            "choose another with --port, or leave it out",
        )),
    }
}

/// Addresses of this machine in its local networks.
fn own_addresses() -> Vec<IpAddr> {
    let mut all: Vec<IpAddr> = if_addrs::get_if_addrs()
        .unwrap_or_default()
        .into_iter()
        .map(|i| i.ip())
        .filter(|ip| match ip {
            IpAddr::V4(v4) => v4.is_private(),
            IpAddr::V6(_) => false,
        })
        .collect();
    all.sort();
    all.dedup();
    all
}

async fn run_server(asked: &Asked) -> Result<String, Failure> {
    let (shelf, first) = shelf_of(asked)?;
    let ip = if asked.share {
        IpAddr::V4(Ipv4Addr::UNSPECIFIED)
    } else {
        IpAddr::V4(Ipv4Addr::LOCALHOST)
    };
    let listener = listen(ip, asked.port).await?;
    let port = listener
        .local_addr()
        .map_err(|e| Failure::Internal(e.to_string()))?
        .port();
    let shared = if asked.share {
        own_addresses()
    } else {
        Vec::new()
    };
    let mut hosts = vec![format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    hosts.extend(shared.iter().map(|ip| format!("{ip}:{port}")));
    let door = Door::new(hosts, |code| {
        println!("Too many wrong codes; the code is now {code}");
    })
    .map_err(|e| Failure::Internal(format!("no random numbers: {e}")))?;
    let door = Arc::new(door);
    let app = Arc::new(App {
        shelf,
        runner: Runner::default(),
        desks: Mutex::default(),
        advice: Mutex::default(),
        events: broadcast::channel(256).0,
        first,
    });
    let address = format!("http://127.0.0.1:{port}/open/{}", door.key());
    say(&address, &door, &shared, port, asked);
    tokio::spawn(watch(Arc::clone(&app)));
    tokio::task::spawn_blocking({
        let app = Arc::clone(&app);
        move || say_first(&app)
    });
    let router = routes::router(Arc::clone(&app), Arc::clone(&door));
    if asked.browser && has_screen() {
        // Without a browser the printed address is there.
        let _ = open::that_detached(&address);
    }
    let (down, mut told) = tokio::sync::watch::channel(false);
    let served = axum::serve(
        listener,
        router.into_make_service_with_connect_info::<SocketAddr>(),
    )
    .with_graceful_shutdown(async move {
        let _ = told.changed().await;
    });
    tokio::select! {
        result = async { served.await } => result
            .map(|()| String::new())
            .map_err(|e| Failure::Internal(format!("the page stopped: {e}"))),
        // Open event streams never end by themselves: what is kept is on the disk already.
        _ = tokio::signal::ctrl_c() => {
            let _ = down.send(true);
            Ok("\n".to_owned())
        }
    }
}

/// Whether a browser can be shown at all.
fn has_screen() -> bool {
    let set = |name| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    cfg!(any(target_os = "macos", windows)) || set("DISPLAY") || set("WAYLAND_DISPLAY")
}

fn say(address: &str, door: &Door, shared: &[IpAddr], port: u16, asked: &Asked) {
    println!("The page is at\n  {address}\nCtrl-C ends it.");
    if !asked.share {
        return;
    }
    println!(
        "\nShared with the local network: whoever has the code can read and change the plans."
    );
    println!("The code is {}", door.code());
    for ip in shared {
        let digits: String = door.code().chars().filter(char::is_ascii_digit).collect();
        let link = format!("http://{ip}:{port}/pair?code={digits}");
        println!("  http://{ip}:{port}");
        if let Ok(code) = qrcode::QrCode::new(&link) {
            let picture = code
                .render::<qrcode::render::unicode::Dense1x2>()
                .quiet_zone(true)
                .build();
            println!("{picture}");
        }
    }
    if shared.is_empty() {
        println!("This machine has no address in a local network just now.");
    }
}

/// The answer to the first plan in a few lines: who never opens the page has it too,
/// and who does finds it worked out.
fn say_first(app: &App) {
    let Ok(Some(desk)) = app.desk(&app.first) else {
        return;
    };
    let look = plan_routes::look(app, &desk);
    let Ok(plan_routes::Answers {
        shown: Some(told), ..
    }) = plan_routes::answers(app, &look, run::Stage::Full)
    else {
        return;
    };
    let words: Vec<&str> = told
        .answer
        .words
        .iter()
        .take(2)
        .map(|s| s.words.as_str())
        .collect();
    let about = &told.opened.plan.about;
    println!(
        "\n{}\n{}\n{}",
        look.name,
        crate::page::wrap(about, "", "").trim_end(),
        crate::page::wrap(&words.join(" "), "", "").trim_end()
    );
}

/// Looks every second whether an editor has changed a plan that lies on a desk.
async fn watch(app: Arc<App>) {
    let mut tick = tokio::time::interval(Duration::from_secs(1));
    loop {
        tick.tick().await;
        if app.events.receiver_count() == 0 {
            continue;
        }
        let app = Arc::clone(&app);
        let look = tokio::task::spawn_blocking(move || {
            let desks: Vec<_> = {
                let desks = app.desks.lock().unwrap_or_else(PoisonError::into_inner);
                desks.values().cloned().collect()
            };
            for desk in desks {
                let mut desk = desk.lock().unwrap_or_else(PoisonError::into_inner);
                if desk.refresh() == Ok(true) {
                    app.tell(Event::Changed {
                        plan: desk.name.clone(),
                        rev: desk.rev(),
                    });
                }
            }
        });
        // A look that failed is made again in a second.
        let _ = look.await;
    }
}
