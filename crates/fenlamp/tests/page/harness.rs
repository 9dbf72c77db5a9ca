//! A server of its own for each test, and a browser.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder, Locator};
use serde_json::{Value, json};

/// A small plan that runs in a moment.
pub const SMALL: &str = r#"# A comment that must stay.
[plan]
name = "Small Yard"
about = "Invented, for tests."
start = 2026-05-01
length = "120 days"
worlds = 16

[place]
name = "Small Yard"
latitude = "50 °N"

[weather]
high = "5 6 10 14 19 22 24 24 19 14 9 6 °C"
low = "0 0 2 5 9 12 14 14 10 7 3 1 °C"
sun = "0.7 1.3 2.5 3.8 4.8 5.2 5.1 4.4 3.1 1.8 0.9 0.6 kWh/m2/day"
wind = "3 3 3 3 3 3 3 3 3 3 3 3 m/s"

[vessel]
kind = "drum"
volume = "200 L"   # the blue one
stands = "greenhouse"

[[waste]]
feedstock = "cow_dung"
amount = "2 kg/day"

[feeding]
from = "day 10"
ramp = "20 days"
water = "to 8 % solids"

[seed]
kind = "digestate"
volume = "40 L"
grown_at = "30 °C"

[store]
kind = "soft tubes"
count = 2
ring = "90 cm"
girth = "75 cm"
weight = "60 kg"

[[use]]
kind = "kettle"
per_day = 1
"#;

/// A running page with a folder of its own.
pub struct Server {
    child: Child,
    /// Its folder of plans.
    pub folder: tempfile::TempDir,
    /// Its port.
    pub port: u16,
    /// Secret of the printed address.
    pub key: String,
    /// The code to type.
    pub code: String,
}

impl Server {
    /// Starts with the small plan in its folder.
    pub fn start() -> Self {
        Self::start_with(&[])
    }

    /// Starts with more words of the command.
    pub fn start_with(more: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("small-yard.toml"), SMALL).expect("a plan");
        Self::in_folder(folder, more)
    }

    fn in_folder(folder: tempfile::TempDir, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_fenlamp"))
            .args(["page", "--no-browser", "--port", "0"])
            .args(more)
            .arg(folder.path().join("small-yard.toml"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let (mut address, mut code) = (None, String::new());
        let share = more.contains(&"--share");
        while let Some(Ok(line)) = lines.next() {
            if let Some(at) = line.trim().strip_prefix("http://127.0.0.1:")
                && let Some((port, key)) = at.split_once("/open/")
            {
                address = Some((port.parse().expect("a port"), key.to_owned()));
            }
            if let Some(digits) = line.strip_prefix("The code is ") {
                code = digits.to_owned();
            }
            if address.is_some() && (!share || !code.is_empty()) {
                break;
            }
        }
        let (port, key) = address.expect("the address is printed");
        // What is printed later must not block the program.
        std::thread::spawn(move || for _ in lines {});
        let server = Server {
            child,
            folder,
            port,
            key,
            code,
        };
        server.wait();
        server
    }

    fn wait(&self) {
        for _ in 0..200 {
            if TcpStream::connect(("127.0.0.1", self.port)).is_ok() {
                return;
            }
            std::thread::sleep(Duration::from_millis(25));
        }
        panic!("the server does not answer");
    }

    /// An address of it.
    pub fn at(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// The file of the small plan.
    pub fn file(&self) -> PathBuf {
        self.folder.path().join("small-yard.toml")
    }

    /// Its text just now.
    pub fn text(&self) -> String {
        std::fs::read_to_string(self.file()).expect("the plan is there")
    }

    /// A raw request: nothing is added to it. The status and the whole answer.
    pub fn raw(&self, request: &str) -> (u16, String) {
        self.raw_bytes(request.as_bytes())
    }

    /// As [`Server::raw`].
    pub fn raw_bytes(&self, request: &[u8]) -> (u16, String) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connected");
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .expect("a limit");
        // A server that has refused already may close before all is sent.
        let _ = stream.write_all(request);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let status = answer
            .split(' ')
            .nth(1)
            .and_then(|s| s.parse().ok())
            .unwrap_or(0);
        (status, answer)
    }

    /// Pairs as a browser would and gives the cookie.
    pub fn cookie(&self) -> String {
        let (status, answer) = self.raw(&format!(
            "GET /open/{} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            self.key, self.port
        ));
        assert_eq!(status, 303, "{answer}");
        answer
            .lines()
            .find_map(|l| {
                let (name, value) = l.split_once(": ")?;
                name.eq_ignore_ascii_case("set-cookie").then_some(value)
            })
            .and_then(|v| v.split(';').next())
            .expect("a cookie")
            .to_owned()
    }

    /// A request of a paired program.
    pub fn get(&self, cookie: &str, path: &str, accept: &str) -> (u16, String) {
        self.raw(&format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nCookie: {cookie}\r\nAccept: {accept}\r\nConnection: close\r\n\r\n",
            self.port
        ))
    }

    /// A form of a paired page.
    pub fn post(&self, cookie: &str, path: &str, body: &str) -> (u16, String) {
        self.raw(&format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nOrigin: http://127.0.0.1:{0}\r\nCookie: {cookie}\r\nAccept: application/json\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {1}\r\nConnection: close\r\n\r\n{body}",
            self.port,
            body.len()
        ))
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The JSON of an answer.
pub fn json_of(answer: &str) -> Value {
    let (head, body) = answer.split_once("\r\n\r\n").expect("a head and a body");
    assert!(!head.contains("chunked"), "not sent in pieces: {head}");
    serde_json::from_str(body).unwrap_or_else(|e| panic!("{e}: {body:.200}"))
}

/// The driver of the browser: one for all tests, each in its own session.
fn driver() -> &'static str {
    static DRIVER: OnceLock<(String, DriverProcess)> = OnceLock::new();
    &DRIVER
        .get_or_init(|| {
            let mut child = Command::new("chromedriver")
                .arg("--port=0")
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .expect("chromedriver is installed by ./test");
            let lines = BufReader::new(child.stdout.take().expect("its output")).lines();
            let mut port = None;
            for line in lines.map_while(Result::ok) {
                if let Some(at) = line.split("on port ").nth(1)
                    && line.contains("success")
                {
                    port = at.trim_end_matches('.').parse::<u16>().ok();
                    break;
                }
            }
            let port = port.expect("the driver says its port");
            (format!("http://127.0.0.1:{port}"), DriverProcess(child))
        })
        .0
}

struct DriverProcess(Child);

impl Drop for DriverProcess {
    fn drop(&mut self) {
        let _ = self.0.kill();
    }
}

/// What kind of screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Screen {
    /// A laptop, light.
    Wide,
    /// A laptop in dark mode.
    WideDark,
    /// A phone of this width, with touch.
    Phone(u32),
    /// A phone in dark mode.
    PhoneDark(u32),
}

impl Screen {
    fn dark(self) -> bool {
        matches!(self, Screen::WideDark | Screen::PhoneDark(_))
    }
}

/// A browser that has opened the printed address.
pub async fn browser(server: &Server, screen: Screen) -> (Client, tempfile::TempDir) {
    let profile = tempfile::tempdir().expect("a folder");
    let mut args: Vec<String> = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--window-size=1280,900",
        "--hide-scrollbars",
    ]
    .map(str::to_owned)
    .to_vec();
    args.push(format!("--user-data-dir={}", profile.path().display()));
    let mut options = json!({ "binary": "/usr/bin/chromium", "args": args });
    if let Screen::Phone(width) | Screen::PhoneDark(width) = screen {
        options["mobileEmulation"] = json!({
            "deviceMetrics": { "width": width, "height": 844, "pixelRatio": 2.0, "touch": true }
        });
    }
    let mut caps = Capabilities::new();
    caps.insert("goog:chromeOptions".to_owned(), options);
    caps.insert("goog:loggingPrefs".to_owned(), json!({ "browser": "ALL" }));
    let http = hyper_util::client::legacy::connect::HttpConnector::new();
    let client = ClientBuilder::new(http)
        .capabilities(caps)
        .connect(driver())
        .await
        .expect("a session of the browser");
    if screen.dark() {
        devtools(
            &client,
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": "prefers-color-scheme", "value": "dark" }] }),
        )
        .await;
    }
    client
        .goto(&server.at(&format!("/open/{}", server.key)))
        .await
        .expect("the page opens");
    ready(&client).await;
    (client, profile)
}

/// Waits until the page has drawn its last stage.
pub async fn ready(client: &Client) {
    client
        .wait()
        .at_most(Duration::from_secs(90))
        .for_element(Locator::Css("body[data-ready]"))
        .await
        .expect("the page is drawn to the end");
}

/// Waits until a script gives true.
pub async fn until(client: &Client, script: &str) {
    for _ in 0..900 {
        let got = client
            .execute(&format!("return !!({script})"), vec![])
            .await;
        if got.is_ok_and(|v| v == Value::Bool(true)) {
            return;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    let html = client.source().await.unwrap_or_default();
    panic!("it never came true: {script}\n{html:.4000}");
}

/// Does something that makes the answer new, and waits for the new one in full.
pub async fn anew(client: &Client, rev: u64) {
    until(
        client,
        &format!("document.body.dataset.ready === '{rev}' && document.getElementById('live').dataset.rev === '{rev}' && !document.getElementById('live').dataset.next"),
    )
    .await;
}

/// Text of an element.
pub async fn text(client: &Client, css: &str) -> String {
    client
        .find(Locator::Css(css))
        .await
        .unwrap_or_else(|e| panic!("{css}: {e}"))
        .text()
        .await
        .expect("its text")
}

/// Types a new text into a field and leaves it.
pub async fn fill(client: &Client, css: &str, value: &str) {
    let field = client
        .find(Locator::Css(css))
        .await
        .unwrap_or_else(|e| panic!("{css}: {e}"));
    type_over(&field, value).await;
    field.send_keys("\t").await.expect("left");
}

/// Types over what stands in a field, as people do: a driver's own way to clear a
/// field would leave it once, empty.
pub async fn type_over(field: &fantoccini::elements::Element, value: &str) {
    field
        .send_keys("\u{e009}a\u{e000}")
        .await
        .expect("all of it marked");
    field.send_keys(value).await.expect("typed");
}

/// Sets a field at once and tells the page, as a slider's stroke would.
pub async fn set(client: &Client, css: &str, value: &str, event: &str) {
    client
        .execute(
            "const e = document.querySelector(arguments[0]); e.value = arguments[1]; e.dispatchEvent(new Event(arguments[2], { bubbles: true }));",
            vec![json!(css), json!(value), json!(event)],
        )
        .await
        .expect("set");
}

/// Presses the first thing that matches; where the page has just drawn it anew, the
/// new one.
pub async fn press(client: &Client, css: &str) {
    let mut told = String::new();
    for _ in 0..5 {
        let button = client.find(Locator::Css(css)).await;
        let button = button.unwrap_or_else(|e| panic!("{css}: {e}"));
        match button.click().await {
            Ok(()) => return,
            Err(e) => told = e.to_string(),
        }
        assert!(told.contains("stale"), "{css}: {told}");
    }
    panic!("{css}: {told}");
}

/// Fails when the browser has complained.
pub async fn no_complaint(client: &Client) {
    let bad = complaints(client).await;
    assert!(bad.is_empty(), "{bad:?}");
}

/// What the browser has complained of since it was last asked.
pub async fn complaints(client: &Client) -> Vec<Value> {
    let log = client
        .issue_cmd(Driver {
            path: "se/log",
            body: json!({ "type": "browser" }),
        })
        .await
        .expect("the browser's log");
    log.as_array()
        .into_iter()
        .flatten()
        .filter(|l| l["level"] == "SEVERE" || l["level"] == "WARNING")
        .cloned()
        .collect()
}

/// A command of the browser's own tools.
pub async fn devtools(client: &Client, command: &str, params: Value) -> Value {
    client
        .issue_cmd(Driver {
            path: "goog/cdp/execute",
            body: json!({ "cmd": command, "params": params }),
        })
        .await
        .unwrap_or_else(|e| panic!("{command}: {e}"))
}

/// A command of the driver that the library has no name for.
#[derive(Debug)]
struct Driver {
    path: &'static str,
    body: Value,
}

impl fantoccini::wd::WebDriverCompatibleCommand for Driver {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/{}",
            session.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}

/// Where pictures of failed or wanted pages go.
pub fn repository() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}
