//! Who may ask: pairing, cookies, where a request comes from, how often.
//!
//! A page on a loopback address is open to every program of the machine and, by
//! way of a name that resolves to it, to every page in the browser. So each request
//! must name this server (Host), carry the cookie of a paired browser, and, where
//! it changes something, come from this server's own page (Origin).

use std::collections::HashSet;
use std::net::{IpAddr, SocketAddr};
use std::num::NonZeroU32;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};
use sha2::{Digest, Sha256};

use super::view::layout;

/// Name of the cookie.
const COOKIE: &str = "fenlamp";
/// Requests a second from one address, and in one burst: a page asks for four or five.
const A_SECOND: u32 = 100;
const AT_ONCE: u32 = 300;
/// Wrong codes a minute from one address.
const WRONG_A_MINUTE: u32 = 5;
/// Wrong codes after which a new one is made.
const WRONG_IN_ALL: u32 = 20;
/// No script, style, picture or frame but our own; no form that goes elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'; manifest-src 'self'";

/// Who may ask.
pub struct Door {
    /// `host:port` as browsers write it, of every address this server has.
    hosts: Vec<String>,
    /// Secret in the address that is printed; pairs whoever has it.
    key: String,
    /// SHA-256 of the cookies given out.
    paired: Mutex<HashSet<[u8; 32]>>,
    code: Mutex<Code>,
    requests: DefaultKeyedRateLimiter<IpAddr>,
    wrong: DefaultKeyedRateLimiter<IpAddr>,
    /// Told a new code when one is made.
    tell: Box<dyn Fn(&str) + Send + Sync>,
}

struct Code {
    code: String,
    wrong: u32,
}

/// Random bytes from the system.
fn random<const N: usize>() -> std::io::Result<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|e| std::io::Error::other(e.to_string()))?;
    Ok(bytes)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// Eight digits in two groups.
fn new_code() -> std::io::Result<String> {
    let n = u64::from_le_bytes(random::<8>()?) % 100_000_000;
    Ok(format!("{:04} {:04}", n / 10_000, n % 10_000))
}

fn per(quota: Quota, burst: u32) -> DefaultKeyedRateLimiter<IpAddr> {
    let burst = NonZeroU32::new(burst).unwrap_or(NonZeroU32::MIN);
    RateLimiter::keyed(quota.allow_burst(burst))
}

impl Door {
    /// A door for a server that answers at `hosts`.
    ///
    /// # Errors
    /// A system without random numbers.
    pub fn new(
        hosts: Vec<String>,
        tell: impl Fn(&str) + Send + Sync + 'static,
    ) -> std::io::Result<Self> {
        let often = NonZeroU32::new(A_SECOND).unwrap_or(NonZeroU32::MIN);
        let seldom = NonZeroU32::new(WRONG_A_MINUTE).unwrap_or(NonZeroU32::MIN);
        Ok(Door {
            hosts,
            key: hex(&random::<16>()?),
            paired: Mutex::default(),
            code: Mutex::new(Code {
                code: new_code()?,
                wrong: 0,
            }),
            requests: per(Quota::per_second(often), AT_ONCE),
            wrong: per(Quota::per_minute(seldom), WRONG_A_MINUTE),
            tell: Box::new(tell),
        })
    }

    /// Secret of the printed address.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The code in force, as it is shown.
    pub fn code(&self) -> String {
        self.locked().code.clone()
    }

    fn locked(&self) -> std::sync::MutexGuard<'_, Code> {
        self.code.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn is_paired(&self, headers: &HeaderMap) -> bool {
        let Some(cookie) = cookie(headers) else {
            return false;
        };
        let digest: [u8; 32] = Sha256::digest(cookie.as_bytes()).into();
        let paired = self.paired.lock().unwrap_or_else(PoisonError::into_inner);
        paired.contains(&digest)
    }

    /// A new cookie for a browser that has shown it may.
    ///
    /// # Errors
    /// A system without random numbers.
    fn pair(&self) -> std::io::Result<HeaderValue> {
        let secret = hex(&random::<32>()?);
        let digest: [u8; 32] = Sha256::digest(secret.as_bytes()).into();
        self.paired
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(digest);
        // Session cookie: it ends with the browser, and with this run of the program.
        let text = format!("{COOKIE}={secret}; HttpOnly; SameSite=Strict; Path=/");
        HeaderValue::from_str(&text).map_err(std::io::Error::other)
    }

    /// Whether this is the code, counting wrong ones.
    fn fits(&self, typed: &str, from: IpAddr) -> Fits {
        let digits = |t: &str| t.chars().filter(char::is_ascii_digit).collect::<String>();
        let mut code = self.locked();
        let right = same(digits(typed).as_bytes(), digits(&code.code).as_bytes());
        // The allowance is spent by right and wrong alike: nobody learns by the difference.
        if self.wrong.check_key(&from).is_err() {
            return Fits::TooOften;
        }
        if right {
            code.wrong = 0;
            return Fits::Yes;
        }
        code.wrong += 1;
        if code.wrong >= WRONG_IN_ALL
            && let Ok(next) = new_code()
        {
            *code = Code {
                code: next,
                wrong: 0,
            };
            (self.tell)(&code.code);
        }
        Fits::No
    }
}

enum Fits {
    Yes,
    No,
    TooOften,
}

/// Compares in a time that does not tell where they differ.
fn same(a: &[u8], b: &[u8]) -> bool {
    Sha256::digest(a) == Sha256::digest(b)
}

fn cookie(headers: &HeaderMap) -> Option<&str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|v| v.to_str().ok())
        .flat_map(|v| v.split(';'))
        .find_map(|c| c.trim().strip_prefix(COOKIE)?.strip_prefix('='))
}

/// Whether a request that changes something comes from our own page.
fn is_own(headers: &HeaderMap, host: &str) -> bool {
    let text = |name| {
        headers
            .get(name)
            .and_then(|v: &HeaderValue| v.to_str().ok())
    };
    match text(header::ORIGIN) {
        Some(origin) => origin == format!("http://{host}"),
        // Browsers that leave Origin out of a form of the same page say so here.
        None => text(header::HeaderName::from_static("sec-fetch-site")) == Some("same-origin"),
    }
}

/// A refusal in words, as a page or as JSON, whichever was asked for.
pub fn refuse(status: StatusCode, words: &str, headers: &HeaderMap) -> Response {
    let wants_json = headers
        .get(header::ACCEPT)
        .and_then(|v| v.to_str().ok())
        .is_some_and(|a| a.contains("application/json"));
    if wants_json {
        (status, axum::Json(serde_json::json!({ "error": words }))).into_response()
    } else {
        (status, layout::plain("Not like this", words)).into_response()
    }
}

/// Every request comes through here first.
pub async fn guard(
    State(door): State<Arc<Door>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = judge(&door, from.ip(), request, next).await;
    let headers = response.headers_mut();
    let mut put = |name, value| headers.insert(name, HeaderValue::from_static(value));
    put(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    put(header::X_FRAME_OPTIONS, "DENY");
    put(header::REFERRER_POLICY, "same-origin");
    put(
        header::HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    put(
        header::HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    // The booklet has a policy of its own.
    if !headers.contains_key(header::CONTENT_SECURITY_POLICY) {
        let policy = HeaderValue::from_static(POLICY);
        headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    if !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    response
}

async fn judge(door: &Arc<Door>, from: IpAddr, request: Request, next: Next) -> Response {
    let headers = request.headers();
    if door.requests.check_key(&from).is_err() {
        let mut response = refuse(
            StatusCode::TOO_MANY_REQUESTS,
            "Too many requests at once. Wait a second and load the page again.",
            headers,
        );
        let wait = HeaderValue::from_static("1");
        response.headers_mut().insert(header::RETRY_AFTER, wait);
        return response;
    }
    let host = headers.get(header::HOST).and_then(|v| v.to_str().ok());
    let Some(host) = host.filter(|h| door.hosts.iter().any(|own| own.eq_ignore_ascii_case(h)))
    else {
        return refuse(
            StatusCode::MISDIRECTED_REQUEST,
            "This page answers only at the address that Fenlamp printed when it started.",
            headers,
        );
    };
    // An instrument has no page and no cookie: its key is looked at where it writes.
    let path = request.uri().path();
    if *request.method() == Method::POST
        && path.starts_with("/plans/")
        && path.ends_with("/readings")
        && headers.contains_key(header::AUTHORIZATION)
    {
        return next.run(request).await;
    }
    // So has a calendar: its address carries a secret, which is looked at where it asks.
    if *request.method() == Method::GET && path.contains("/calendar/") && path.ends_with(".ics") {
        return next.run(request).await;
    }
    let safe = matches!(*request.method(), Method::GET | Method::HEAD);
    if !safe && !is_own(headers, host) {
        return refuse(
            StatusCode::FORBIDDEN,
            "This came from another page, so nothing was done.",
            headers,
        );
    }
    let path = request.uri().path();
    if let Some(key) = path.strip_prefix("/open/") {
        return if same(key.as_bytes(), door.key.as_bytes()) {
            let_in(door, "/")
        } else {
            refuse(
                StatusCode::FORBIDDEN,
                "This address is of an earlier run. Use the one that Fenlamp printed last.",
                headers,
            )
        };
    }
    if path == "/pair" || path.starts_with("/a/") || door.is_paired(headers) {
        return next.run(request).await;
    }
    if headers
        .get(header::ACCEPT)
        .and_then(|v| v.to_str().ok())
        .is_some_and(|a| a.contains("text/html"))
        && safe
    {
        return (StatusCode::UNAUTHORIZED, layout::pair(None, "")).into_response();
    }
    refuse(
        StatusCode::UNAUTHORIZED,
        "This browser is not paired. Open the address that Fenlamp printed, or type its code.",
        headers,
    )
}

fn let_in(door: &Door, to: &str) -> Response {
    match door.pair() {
        Ok(cookie) => {
            let mut response = Redirect::to(to).into_response();
            response.headers_mut().insert(header::SET_COOKIE, cookie);
            response
        }
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// A code typed in.
#[derive(Debug, serde::Deserialize)]
pub struct Typed {
    /// The code.
    #[serde(default)]
    code: String,
}

/// `GET /pair`: the form; the code of a picture that was scanned stands in it.
pub async fn pair_form(axum::extract::Query(typed): axum::extract::Query<Typed>) -> Response {
    layout::pair(None, &typed.code).into_response()
}

/// `POST /pair`.
pub async fn pair(
    State(door): State<Arc<Door>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    axum::Form(typed): axum::Form<Typed>,
) -> Response {
    let said = match door.fits(&typed.code, from.ip()) {
        Fits::Yes => return let_in(&door, "/"),
        Fits::No => "That is not the code. It stands in the window where Fenlamp was started.",
        Fits::TooOften => "Too many tries. Wait a minute.",
    };
    // Guessing is slow even where many ask at once.
    tokio::time::sleep(Duration::from_millis(300)).await;
    (StatusCode::FORBIDDEN, layout::pair(Some(said), "")).into_response()
}
