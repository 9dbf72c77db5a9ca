//! Those who should be kept out, and those who ask too much.

use crate::harness::*;

fn request(server: &Server, head: &str) -> (u16, String) {
    server.raw(&format!("{head}\r\nConnection: close\r\n\r\n"))
}

fn host(server: &Server) -> String {
    format!("Host: 127.0.0.1:{}", server.port)
}

#[test]
fn without_the_cookie_nothing_is_told_and_nothing_done() {
    let server = Server::start();
    let before = server.text();
    for path in [
        "/",
        "/plans",
        "/plans/small-yard",
        "/plans/small-yard/days.csv",
        "/plans/small-yard/events",
        "/openapi.json",
        "/sources",
        "/nothing",
    ] {
        let (status, answer) = request(
            &server,
            &format!("GET {path} HTTP/1.1\r\n{}", host(&server)),
        );
        assert_eq!(status, 401, "{path}");
        assert!(!answer.contains("Small Yard"), "{path}");
    }
    let (status, _) = request(
        &server,
        &format!(
            "GET /plans HTTP/1.1\r\n{}\r\nCookie: fenlamp=00",
            host(&server)
        ),
    );
    assert_eq!(status, 401);
    let (status, _) = server.post("fenlamp=1", "/plans/small-yard/desk", "do=drop&rev=1");
    assert_eq!(status, 401);
    assert_eq!(server.text(), before);
}

#[test]
fn a_wrong_key_or_code_pairs_nobody() {
    let server = Server::start_with(&["--share"]);
    let (status, answer) = request(
        &server,
        &format!("GET /open/{} HTTP/1.1\r\n{}", "0".repeat(32), host(&server)),
    );
    assert_eq!(status, 403);
    assert!(!answer.to_lowercase().contains("set-cookie"));
    let pair = |code: &str| {
        let body = format!("code={code}");
        server.raw(&format!(
            "POST /pair HTTP/1.1\r\n{0}\r\nOrigin: http://127.0.0.1:{1}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {2}\r\nConnection: close\r\n\r\n{body}",
            host(&server), server.port, body.len()
        ))
    };
    let right = server.code.replace(' ', "");
    assert_eq!(right.len(), 8, "{right}");
    let wrong = if right == "00000000" {
        "11111111"
    } else {
        "00000000"
    };
    for _ in 0..4 {
        let (status, answer) = pair(wrong);
        assert_eq!(status, 403, "{answer}");
        assert!(!answer.to_lowercase().contains("set-cookie"));
    }
    let (status, answer) = pair(&right);
    assert_eq!(status, 303, "{answer}");
    // The allowance of the minute is spent now, even for the right code.
    let (status, answer) = pair(&right);
    assert_eq!(status, 403);
    assert!(answer.contains("Too many tries"), "{answer}");
}

#[test]
fn another_host_is_not_answered() {
    let server = Server::start();
    let cookie = server.cookie();
    for name in [
        "evil.example",
        "evil.example:80",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost.evil.example:7341",
        "",
    ] {
        let (status, answer) = request(
            &server,
            &format!("GET /plans HTTP/1.1\r\nHost: {name}\r\nCookie: {cookie}"),
        );
        assert!(status == 421 || status == 400, "{name}: {status}");
        assert!(!answer.contains("small-yard"), "{name}");
    }
    let (status, _) = request(
        &server,
        &format!(
            "GET /plans HTTP/1.1\r\nHost: localhost:{}\r\nCookie: {cookie}",
            server.port
        ),
    );
    assert_eq!(status, 200);
}

#[test]
fn a_form_of_another_page_does_nothing() {
    let server = Server::start();
    let cookie = server.cookie();
    let body = "do=set&rev=1&v%3Avessel.volume=150+L&w%3Avessel.volume=%22200+L%22";
    let send = |extra: &str| {
        server.raw(&format!(
            "POST /plans/small-yard/parts/vessel HTTP/1.1\r\n{}\r\nCookie: {cookie}\r\n{extra}Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            host(&server), body.len()
        ))
    };
    for extra in [
        "Origin: http://evil.example\r\n",
        "Origin: null\r\n",
        "Origin: https://127.0.0.1\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        "",
    ] {
        let (status, answer) = send(extra);
        assert_eq!(status, 403, "{extra}: {answer}");
    }
    let (_, answer) = server.get(&cookie, "/plans/small-yard/text", "application/json");
    assert_eq!(
        json_of(&answer)["changes"].as_array().map(Vec::len),
        Some(0)
    );
    // From its own page it is done.
    let (status, _) = send(&format!("Origin: http://127.0.0.1:{}\r\n", server.port));
    assert_eq!(status, 303);
}

#[test]
fn no_name_leads_out_of_the_folder() {
    let server = Server::start();
    let outside = server
        .folder
        .path()
        .parent()
        .expect("a parent")
        .join("fenlamp-outside.toml");
    std::fs::write(&outside, "[plan]\nname = \"secret\"\n").expect("written");
    let cookie = server.cookie();
    for path in [
        "/plans/../fenlamp-outside",
        "/plans/..%2ffenlamp-outside",
        "/plans/%2e%2e%2ffenlamp-outside",
        "/plans/..%5cfenlamp-outside",
        "/plans/%00",
        "/plans/.fenlamp",
        "/plans/small-yard/versions/..%2f..%2f..%2fsmall-yard",
        "/a/..%2fpage.css",
        "/a/%2fetc%2fpasswd",
        "/sources/..%2f..",
    ] {
        let (status, answer) = server.get(&cookie, path, "text/html");
        assert!((400..500).contains(&status), "{path}: {status}");
        assert!(
            !answer.contains("secret") && !answer.contains("root:"),
            "{path}"
        );
    }
    let (status, _) = server.post(&cookie, "/start", "name=..%2f..%2fx&latitude=50");
    assert_eq!(status, 422);
    std::fs::remove_file(outside).expect("removed");
}

#[test]
fn a_form_of_ten_megabytes_is_refused_and_nothing_lost() {
    let server = Server::start();
    let cookie = server.cookie();
    let body = "x".repeat(10 << 20);
    let (status, _) = server.post(&cookie, "/plans/small-yard/text", &format!("text={body}"));
    assert_eq!(status, 413);
    let (status, _) = server.get(&cookie, "/plans/small-yard/text", "application/json");
    assert_eq!(status, 200, "it goes on");
    assert_eq!(server.text(), SMALL);
}

#[test]
fn odd_requests_are_answered_and_never_end_the_program() {
    let server = Server::start();
    let cookie = server.cookie();
    for (path, body) in [
        (
            "/plans/small-yard/parts/vessel",
            "do=set&v%3Avessel.volume=%00%ff",
        ),
        ("/plans/small-yard/parts/vessel", "do=add%3Anonsense"),
        (
            "/plans/small-yard/parts/vessel",
            "do=remove%3Awaste%5B99%5D&rev=1",
        ),
        ("/plans/small-yard/parts/vessel", "do=remove%3A%5B%5D"),
        ("/plans/small-yard/parts/nonsense", "do=set"),
        ("/plans/small-yard/desk", "do=keep&rev=99"),
        ("/plans/small-yard/desk", "do=mine&rev=1&change=99"),
        ("/plans/small-yard/desk", "do=try&rev=1&lever=nonsense"),
        ("/plans/small-yard/desk", "do=version&rev=1&version=..%2f.."),
        ("/plans/small-yard/desk", "%%%"),
        ("/plans/small-yard/text", "text=%5B%5B%5B&saw=x"),
        ("/plans/nonsense/desk", "do=undo&rev=1"),
    ] {
        let (status, answer) = server.post(&cookie, path, body);
        assert!(
            (200..500).contains(&status),
            "{path} {body}: {status} {answer}"
        );
    }
    for path in [
        "/plans/small-yard?w=NaN",
        "/plans/small-yard?w=-1e308",
        "/plans/small-yard/plot?from=9999-12-31&to=0001-01-01&w=1e9",
        "/plans/small-yard/plot?from=yesterday",
        "/plans/small-yard/figures/gas?month=99-99-99",
        "/plans/small-yard/figures/nonsense",
        "/plans/small-yard/live?stage=nonsense&on=nonsense",
    ] {
        let (status, _) = server.get(&cookie, path, "text/html");
        assert!((200..500).contains(&status), "{path}: {status}");
    }
    let (status, _) = server.raw("\0\0\0\r\n\r\n");
    assert!(status == 400 || status == 0);
    assert_eq!(server.get(&cookie, "/plans", "text/html").0, 200);
    assert_eq!(server.text(), SMALL, "the file is untouched");
}

#[test]
fn a_thousand_at_once_are_served_or_told_to_wait() {
    let server = Server::start();
    let cookie = server.cookie();
    assert_eq!(server.get(&cookie, "/plans/small-yard", "text/html").0, 200);
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..1000)
            .map(|i| {
                let (server, cookie) = (&server, &cookie);
                std::thread::Builder::new()
                    .stack_size(128 << 10)
                    .spawn_scoped(scope, move || {
                        let path = if i % 3 == 0 {
                            "/plans/small-yard"
                        } else {
                            "/plans/small-yard/text"
                        };
                        server.get(cookie, path, "text/html").0
                    })
                    .expect("a thread")
            })
            .collect();
        all.into_iter().map(|t| t.join().expect("joined")).collect()
    });
    let count = |s: u16| statuses.iter().filter(|x| **x == s).count();
    assert_eq!(
        count(200) + count(429),
        1000,
        "200: {}, 429: {}, others: {:?}",
        count(200),
        count(429),
        statuses
            .iter()
            .filter(|s| **s != 200 && **s != 429)
            .take(5)
            .collect::<Vec<_>>()
    );
    assert!(count(200) >= 100, "{}", count(200));
    std::thread::sleep(std::time::Duration::from_secs(1));
    assert_eq!(
        server.get(&cookie, "/plans/small-yard", "text/html").0,
        200,
        "it goes on"
    );
    assert_eq!(server.text(), SMALL);
}

#[test]
fn changes_from_many_at_once_are_all_there() {
    let server = Server::start();
    let cookie = server.cookie();
    // Each adds an additive of its own: none may take another's place.
    let fine = std::thread::scope(|scope| {
        let all: Vec<_> = (0..20)
            .map(|_| {
                let (server, cookie) = (&server, &cookie);
                scope.spawn(move || {
                    server
                        .post(
                            cookie,
                            "/plans/small-yard/parts/feeding",
                            "do=add%3Aadditive&rev=1",
                        )
                        .0
                })
            })
            .collect();
        all.into_iter()
            .map(|t| t.join().expect("joined"))
            .filter(|s| *s == 200)
            .count()
    });
    assert_eq!(fine, 20);
    let (_, answer) = server.get(&cookie, "/plans/small-yard/text", "application/json");
    let text = json_of(&answer)["text"]
        .as_str()
        .expect("a text")
        .to_owned();
    assert_eq!(text.matches("[[additive]]").count(), 20);
    assert_eq!(server.text(), SMALL, "nothing is kept unasked");
}

#[test]
fn what_is_tried_is_remembered_beside_the_plan() {
    let server = Server::start();
    let cookie = server.cookie();
    server.post(
        &cookie,
        "/plans/small-yard/parts/vessel",
        "do=set&rev=1&v%3Avessel.volume=150+L&w%3Avessel.volume=%22200+L%22",
    );
    let remembered = std::fs::read_to_string(
        server
            .folder
            .path()
            .join(".fenlamp/small-yard/changes.json"),
    )
    .expect("remembered");
    assert!(remembered.contains("150 L"), "{remembered}");
}

#[test]
fn every_described_address_is_there_in_json() {
    let server = Server::start();
    let cookie = server.cookie();
    let (status, answer) = server.get(&cookie, "/openapi.json", "application/json");
    assert_eq!(status, 200);
    let described = json_of(&answer);
    let paths = described["paths"].as_object().expect("paths");
    assert!(paths.len() > 12);
    for (path, methods) in paths {
        if methods.get("get").is_none() || path.ends_with("/events") {
            continue;
        }
        let real = path
            .replace("{plan}", "small-yard")
            .replace("{part}", "vessel")
            .replace("{figure}", "gas")
            .replace("{id}", "goat_manure")
            .replace("{key}", "GTZ1989");
        if real.contains("{version}") || real.contains("/photos/") || real.contains("/calendar/") {
            continue;
        }
        let (status, answer) = server.get(&cookie, &real, "application/json");
        if real.ends_with("/diary/today") || real.ends_with("/diary/learned") {
            // Nothing is written down yet: that is said, as JSON too.
            assert_eq!(status, 422, "{answer}");
            assert!(
                json_of(&answer)["error"]
                    .as_str()
                    .is_some_and(|e| e.contains("no diary yet"))
            );
            continue;
        }
        assert_eq!(status, 200, "{real}: {answer:.300}");
        let json = methods["get"]["responses"]["200"]["content"]
            .get("application/json")
            .is_some();
        if json {
            json_of(&answer);
        }
    }
    // The whole answer is that of the command line.
    let (_, answer) = server.get(&cookie, "/plans/small-yard", "application/json");
    assert_eq!(json_of(&answer)["format"], "fenlamp-forecast-1");
}

#[test]
fn an_instrument_writes_with_its_own_key_and_nobody_else() {
    let server = Server::start();
    let fenlamp = |args: &[&str]| {
        let out = std::process::Command::new(env!("CARGO_BIN_EXE_fenlamp"))
            .arg("diary")
            .arg(server.file())
            .args(args)
            .output()
            .expect("the program runs");
        String::from_utf8_lossy(&out.stdout).into_owned()
    };
    fenlamp(&["add", "note", "begun"]);
    let told = fenlamp(&["device", "probe"]);
    let key = told
        .split_whitespace()
        .find(|w| w.len() == 64 && w.chars().all(|c| c.is_ascii_hexdigit()))
        .unwrap_or_else(|| panic!("a key in {told}"));
    let body = r#"{"quantity": "slurry_temperature", "value": 18.2, "unit": "°C", "at": "2026-06-01T08:30:00Z"}"#;
    let send = |key: &str, body: &str| {
        server.raw(&format!(
            "POST /plans/small-yard/readings HTTP/1.1\r\n{}\r\nAuthorization: Bearer {key}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            host(&server), body.len()
        ))
    };
    let (status, answer) = send(key, body);
    assert_eq!(status, 200, "{answer}");
    assert_eq!(send(key, body).0, 200, "sent again");
    assert_eq!(send(&"0".repeat(64), body).0, 401);
    assert_eq!(send("", body).0, 401);
    let (status, answer) = send(
        key,
        r#"{"quantity": "slurry_temperature", "value": "warm"}"#,
    );
    assert_eq!(status, 422, "{answer}");
    // It counts once.
    let readings = fenlamp(&["export", "--readings"]);
    assert_eq!(
        readings.matches("probe,slurry_temperature").count(),
        1,
        "{readings}"
    );
    // The key opens nothing else.
    let (status, _) = request(
        &server,
        &format!(
            "GET /plans/small-yard/diary HTTP/1.1\r\n{}\r\nAuthorization: Bearer {key}",
            host(&server)
        ),
    );
    assert_eq!(status, 401);
}

#[test]
fn a_calendar_is_read_by_its_secret_address_alone() {
    let server = Server::start();
    let cookie = server.cookie();
    let (_, page) = server.get(&cookie, "/plans/small-yard/diary", "text/html");
    let at = page
        .split("href=\"")
        .filter_map(|p| p.split('"').next())
        .find(|p| p.ends_with(".ics"))
        .expect("the address of the calendar");
    let ask = |path: &str| {
        request(
            &server,
            &format!("GET {path} HTTP/1.1\r\n{}", host(&server)),
        )
    };
    let (status, answer) = ask(at);
    assert_eq!(status, 200, "{answer}");
    assert!(answer.contains("BEGIN:VCALENDAR") && answer.contains("END:VCALENDAR"));
    assert!(answer.contains("text/calendar"));
    let wrong = format!("/plans/small-yard/calendar/{}.ics", "0".repeat(32));
    assert_eq!(ask(&wrong).0, 404);
    assert_eq!(ask("/plans/nothing/calendar/0.ics").0, 404);
    // The same address after the page is asked again.
    assert!(
        server
            .get(&cookie, "/plans/small-yard/diary", "text/html")
            .1
            .contains(at)
    );
}

#[test]
fn a_photo_is_kept_and_named_and_nothing_else_is() {
    let server = Server::start();
    let cookie = server.cookie();
    let send = |bytes: &[u8]| {
        let mut request = format!(
            "POST /plans/small-yard/photos HTTP/1.1\r\n{0}\r\nOrigin: http://127.0.0.1:{1}\r\nCookie: {cookie}\r\nAccept: application/json\r\nContent-Type: image/jpeg\r\nContent-Length: {2}\r\nConnection: close\r\n\r\n",
            host(&server), server.port, bytes.len()
        )
        .into_bytes();
        request.extend_from_slice(bytes);
        server.raw_bytes(&request)
    };
    let mut photo = vec![0xff, 0xd8, 0xff, 0xe0];
    photo.resize(1 << 20, 7);
    let (status, answer) = send(&photo);
    assert_eq!(status, 200, "{answer}");
    let file = json_of(&answer)["file"]
        .as_str()
        .expect("a name")
        .to_owned();
    let kept = server
        .folder
        .path()
        .join(".fenlamp/small-yard/photos")
        .join(&file);
    assert_eq!(std::fs::read(kept).expect("on the disk"), photo);
    let (_, page) = server.get(&cookie, "/plans/small-yard/diary", "text/html");
    assert!(page.contains(&file));
    let (status, answer) = server.get(&cookie, &format!("/plans/small-yard/photos/{file}"), "*/*");
    assert!(status == 200 && answer.contains("image/jpeg"));
    assert_eq!(
        server
            .get(&cookie, "/plans/small-yard/photos/..%2fchanges.json", "*/*")
            .0,
        404
    );
    assert_eq!(
        send(b"<script>alert(1)</script>").0,
        422,
        "no script by the back door"
    );
    photo.resize(13 << 20, 7);
    assert_eq!(send(&photo).0, 413);
}

#[test]
fn every_answer_carries_the_strict_rules() {
    let server = Server::start();
    let cookie = server.cookie();
    for path in ["/plans/small-yard", "/a/page.js", "/pair", "/nothing"] {
        let (_, answer) = server.get(&cookie, path, "text/html");
        let head = answer
            .split("\r\n\r\n")
            .next()
            .expect("a head")
            .to_lowercase();
        for rule in [
            "content-security-policy: default-src 'none'",
            "x-content-type-options: nosniff",
            "x-frame-options: deny",
        ] {
            assert!(head.contains(rule), "{path}: no {rule}\n{head}");
        }
        assert!(!head.contains("unsafe-"), "{path}");
    }
}

#[test]
fn by_itself_it_listens_on_this_machine_only() {
    let server = Server::start();
    let others: Vec<std::net::IpAddr> = if_addrs_of_this_machine();
    for ip in others {
        let reached = std::net::TcpStream::connect_timeout(
            &std::net::SocketAddr::new(ip, server.port),
            std::time::Duration::from_millis(300),
        );
        assert!(reached.is_err(), "{ip}");
    }
}

/// Addresses other than loopback, by the system's own file (Linux).
fn if_addrs_of_this_machine() -> Vec<std::net::IpAddr> {
    let table = std::fs::read_to_string("/proc/net/fib_trie").unwrap_or_default();
    let lines: Vec<&str> = table.lines().collect();
    let mut out: Vec<std::net::IpAddr> = lines
        .windows(2)
        .filter(|w| w[1].contains("/32 host LOCAL"))
        .filter_map(|w| w[0].trim().trim_start_matches("|-- ").parse().ok())
        .filter(|ip: &std::net::IpAddr| !ip.is_loopback())
        .collect();
    out.sort();
    out.dedup();
    out
}
