//! Instruments: a real broker (Debian's mosquitto) on loopback, and a folder.
//!
//! `FENLAMP_MANY=1000000` makes the broker's test as long as one wishes.

use std::fs;
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use fenlamp_diary::{Diary, Quantity};
use jiff::Timestamp;
use rumqttc::{Client, Event, Incoming, MqttOptions, QoS};

use super::{command, printed, refused};

/// A child that does not outlive its test.
struct Guarded(Child);

impl Drop for Guarded {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

impl Guarded {
    /// Asks it to end and waits.
    fn end(mut self) {
        let pid = self.0.id().to_string();
        let asked = Command::new("kill").arg(pid).status().expect("kill runs");
        assert!(asked.success());
        self.0.wait().expect("it ends");
    }
}

fn broker(folder: &Path, port: u16) -> Guarded {
    let kept = folder.join("kept");
    fs::create_dir_all(&kept).expect("a folder");
    let settings = folder.join("broker.conf");
    fs::write(
        &settings,
        format!(
            "listener {port} 127.0.0.1\nallow_anonymous true\npersistence true\n\
             persistence_location {}/\nmax_inflight_messages 0\nmax_queued_messages 0\nuser root\n",
            kept.display()
        ),
    )
    .expect("written");
    let program = ["/usr/sbin/mosquitto", "/usr/bin/mosquitto"]
        .into_iter()
        .find(|p| Path::new(p).exists())
        .expect("mosquitto is installed by ./test");
    let child = Command::new(program)
        .arg("-c")
        .arg(settings)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the broker starts");
    let until = Instant::now() + Duration::from_secs(10);
    while std::net::TcpStream::connect(("127.0.0.1", port)).is_err() {
        assert!(Instant::now() < until, "the broker does not answer");
        std::thread::sleep(Duration::from_millis(20));
    }
    Guarded(child)
}

fn free_port() -> u16 {
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    taken.local_addr().expect("an address").port()
}

/// The program at its work, and what it says.
fn listener(plan: &str, port: u16) -> (Guarded, Receiver<String>) {
    let mut child = command(&["listen", plan, "--mqtt", &format!("127.0.0.1:{port}")])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let (send, said) = channel();
    let err = child.stderr.take().expect("piped");
    std::thread::spawn(move || {
        for line in BufReader::new(err).lines().map_while(Result::ok) {
            if send.send(line).is_err() {
                break;
            }
        }
    });
    (Guarded(child), said)
}

fn wait_for(said: &Receiver<String>, word: &str) {
    let until = Instant::now() + Duration::from_secs(20);
    loop {
        let left = until.saturating_duration_since(Instant::now());
        match said.recv_timeout(left) {
            Ok(line) if line.contains(word) => return,
            Ok(_) => {}
            Err(_) => panic!("never said \"{word}\""),
        }
    }
}

fn plan_and_key() -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = folder.path().join("plan.toml");
    fs::write(&plan, printed(&["demo", "hollin-croft"])).expect("written");
    let plan = plan.display().to_string();
    let said = printed(&["diary", &plan, "device", "probe"]);
    let key = said.lines().nth(1).expect("a key").to_owned();
    (folder, plan, key)
}

const START_S: i64 = 1_600_000_000;

fn message(key: &str, n: u64) -> String {
    // A value of its own for each moment, in believable steps.
    let value = 18.0 + (n % 50) as f64 * 0.01;
    let at = START_S + 60 * n as i64;
    format!(
        "{{\"key\":\"{key}\",\"readings\":[{{\"quantity\":\"slurry_temperature\",\"value\":{value},\"unit\":\"°C\",\"at\":{at}}}]}}"
    )
}

/// Sends all and waits until the broker has them, over restarts of the broker.
fn publish(port: u16, name: &str, messages: Vec<String>) -> std::thread::JoinHandle<()> {
    let mut options = MqttOptions::new(name, "127.0.0.1", port);
    options.set_clean_session(false);
    options.set_inflight(200);
    options.set_keep_alive(Duration::from_secs(10));
    std::thread::spawn(move || {
        let (client, mut connection) = Client::new(options, 100);
        let wanted = messages.len();
        let sender = std::thread::spawn(move || {
            for m in messages {
                client
                    .publish("fenlamp/probe/readings", QoS::AtLeastOnce, false, m)
                    .expect("queued");
            }
            client
        });
        let mut acknowledged = 0;
        let until = Instant::now() + Duration::from_secs(3600);
        while acknowledged < wanted && Instant::now() < until {
            match connection.recv_timeout(Duration::from_secs(1)) {
                Ok(Ok(Event::Incoming(Incoming::PubAck(_)))) => acknowledged += 1,
                Ok(Err(_)) => std::thread::sleep(Duration::from_millis(100)),
                _ => {}
            }
        }
        drop(sender.join().expect("sent"));
        assert_eq!(acknowledged, wanted);
    })
}

fn kept(plan: &str) -> Vec<(i64, f64)> {
    let path = PathBuf::from(plan).with_extension("diary.sqlite");
    let diary = Diary::open_existing(&path).expect("a diary");
    let all = diary
        .readings(Quantity::SlurryTemperature, Timestamp::MIN, Timestamp::MAX)
        .expect("readings");
    all.iter()
        .map(|r| (r.reading.at.as_second(), r.reading.value - 273.15))
        .collect()
}

/// Shuffled and every seventh sent twice; the program killed (-9) in the middle, the
/// broker restarted: every message stands once, with its own value.
#[test]
fn nothing_is_lost_and_nothing_counts_twice() {
    let many: u64 = std::env::var("FENLAMP_MANY")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(30_000);
    let (folder, plan, key) = plan_and_key();
    let port = free_port();
    let at_work = broker(folder.path(), port);
    let (first, said) = listener(&plan, port);
    wait_for(&said, "listening");
    // A stride that has no common factor with the count shuffles them.
    let mut order: Vec<u64> = (0..many).map(|n| n * 7919 % many).collect();
    let twice: Vec<u64> = order.iter().copied().step_by(7).collect();
    order.extend(twice);
    let messages: Vec<String> = order.iter().map(|n| message(&key, *n)).collect();
    let third = messages.len() / 3;
    let parts: Vec<Vec<String>> = messages.chunks(third + 1).map(<[String]>::to_vec).collect();
    let mut parts = parts.into_iter();
    let started = Instant::now();

    let sending = publish(port, "one", parts.next().expect("a third"));
    std::thread::sleep(Duration::from_millis(300));
    drop(first); // kill -9
    sending.join().expect("sent");
    // While nobody listens, the broker keeps them.
    publish(port, "two", parts.next().expect("a third"))
        .join()
        .expect("sent");
    let (second, said) = listener(&plan, port);
    wait_for(&said, "listening");
    let sending = publish(port, "three", parts.next().expect("a third"));
    std::thread::sleep(Duration::from_millis(200));
    at_work.end();
    std::thread::sleep(Duration::from_millis(300));
    let again = broker(folder.path(), port);
    sending.join().expect("sent");

    let patience = Duration::from_secs(60 + many / 500);
    let until = Instant::now() + patience;
    while (kept(&plan).len() as u64) < many && Instant::now() < until {
        std::thread::sleep(Duration::from_millis(300));
    }
    second.end();
    let all = kept(&plan);
    eprintln!(
        "{} messages, {many} of them different, in {:.1} s",
        messages.len(),
        started.elapsed().as_secs_f64()
    );
    assert_eq!(all.len() as u64, many, "each once");
    for (i, (at, value)) in all.iter().enumerate() {
        assert_eq!(*at, START_S + 60 * i as i64);
        assert!((value - (18.0 + (i % 50) as f64 * 0.01)).abs() < 1e-9);
    }
    drop(again);
}

#[test]
fn strangers_and_nonsense_are_refused_and_do_not_block_the_way() {
    let (folder, plan, key) = plan_and_key();
    let port = free_port();
    let _at_work = broker(folder.path(), port);
    let (listening, said) = listener(&plan, port);
    wait_for(&said, "listening");
    let messages = vec![
        "no json".to_owned(),
        message("0000", 1),
        message(&key, 2).replace("°C", "kg"),
        message(&key, 3),
    ];
    publish(port, "one", messages).join().expect("sent");
    let until = Instant::now() + Duration::from_secs(20);
    while kept(&plan).is_empty() && Instant::now() < until {
        std::thread::sleep(Duration::from_millis(100));
    }
    listening.end();
    assert_eq!(kept(&plan).len(), 1);
    let heard: Vec<String> = said.try_iter().collect();
    assert!(!heard.is_empty(), "it says what was refused");
}

#[test]
fn a_loggers_folder_is_read_and_read_again() {
    let (folder, plan, _key) = plan_and_key();
    let files = folder.path().join("logger");
    fs::create_dir(&files).expect("a folder");
    let file = files.join("probe.csv");
    let head = "at,quantity,value,unit\n";
    let line = |n: u64, v: &str| format!("2026-06-01T{n:02}:00:00Z,slurry_temperature,{v},°C\n");
    fs::write(
        &file,
        format!("{head}{}{}", line(1, "18.0"), line(2, "18.1")),
    )
    .expect("written");
    let look = || {
        let args = [
            "listen",
            &plan,
            "--folder",
            &files.display().to_string(),
            "--once",
        ];
        let out = command(&args).output().expect("it runs");
        assert!(out.status.success());
        String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr)
    };
    assert!(look().starts_with("2 readings written down"));
    // It grows; the last line is not whole yet.
    let grown = format!(
        "{head}{}{}{}2026-06-01T04",
        line(1, "18.0"),
        line(2, "18.1"),
        line(3, "85")
    );
    fs::write(&file, grown).expect("written");
    let said = look();
    assert!(
        said.starts_with("1 readings written down (1 not believed), 2 known"),
        "{said}"
    );
    fs::write(
        files.join("stranger.csv"),
        format!("{head}{}", line(1, "5")),
    )
    .expect("written");
    let said = look();
    assert!(said.contains("no device \"stranger\""), "{said}");
    assert_eq!(kept(&plan).len(), 3);
    let bad = refused(&["listen", &plan, "--mqtt", "nowhere"]);
    assert!(bad.contains("localhost:1883"), "{bad}");
}
