//! The description of the addresses for programs, after the OpenAPI standard 3.1.

use axum::Json;
use serde_json::{Value, json};

use super::fields::PARTS;
use super::view::figure::FIGURES;

/// What an address takes and gives: path, method, what it does, what comes back.
pub const ADDRESSES: &[(&str, &str, &str, &str)] = &[
    (
        "/plans",
        "get",
        "All plans there are",
        "folder, and the plans with name and file",
    ),
    (
        "/plans/{plan}",
        "get",
        "The answer to a plan, with what is tried on top",
        "the form of docs/forecast-json.md",
    ),
    (
        "/plans/{plan}/days.csv",
        "get",
        "The days as CSV",
        "one row a day",
    ),
    (
        "/plans/{plan}/plot",
        "get",
        "The plot of the year, or of `from` to `to`",
        "SVG and its data",
    ),
    (
        "/plans/{plan}/live",
        "get",
        "The part of the page that moves, at a `stage`",
        "a fragment of HTML",
    ),
    (
        "/plans/{plan}/events",
        "get",
        "Progress of a run, and changes by others",
        "a stream of events",
    ),
    (
        "/plans/{plan}/parts",
        "get",
        "The parts of a plan",
        "id and title of each",
    ),
    (
        "/plans/{plan}/parts/{part}",
        "get",
        "The fields of a part",
        "path, label, text, literal and faults of each",
    ),
    (
        "/plans/{plan}/parts/{part}",
        "post",
        "Tries changes: `v:PATH` the new text, `w:PATH` the literal that was seen; `do` is set, add:TABLE or remove:ITEM",
        "rev, fields, fragments, and clash where someone else has written",
    ),
    (
        "/plans/{plan}/advice",
        "get",
        "Advice: `ask` is recipe, size (`what`) or payback (`parts`, `fuel`, `price`, `upkeep`, `money`); `wish` in words",
        "the `advice` of docs/advice-json.md, or null when nothing is asked",
    ),
    (
        "/plans/{plan}/diary",
        "get",
        "The newest entries of the diary",
        "entries, or why it is closed",
    ),
    (
        "/plans/{plan}/diary",
        "post",
        "Writes an entry down (`kind`, `words`, `day`, and `uid` to send it again safely), or takes one back (`do` withdraw, `uid`)",
        "uid, and the caution that goes with it",
    ),
    (
        "/plans/{plan}/diary/today",
        "get",
        "What to do today, and what may be wrong",
        "as `fenlamp today --json`",
    ),
    (
        "/plans/{plan}/diary/learned",
        "get",
        "What the diary teaches",
        "words, inputs, foresight and days",
    ),
    (
        "/plans/{plan}/calendar/{key}",
        "get",
        "The reminders as an iCalendar feed; the key is on the diary's page",
        "iCalendar (RFC 5545)",
    ),
    (
        "/plans/{plan}/photos",
        "post",
        "Keeps the picture that is the body (JPEG, PNG or WebP, at most 12 MB) and writes it down",
        "uid of the entry and the file's name",
    ),
    (
        "/plans/{plan}/photos/{file}",
        "get",
        "A picture by the name its entry has",
        "the picture",
    ),
    (
        "/plans/{plan}/readings",
        "post",
        "Readings of an instrument as JSON, with `Authorization: Bearer KEY` of `fenlamp diary PLAN device NAME`",
        "what became of each; it is on the disk",
    ),
    (
        "/plans/{plan}/booklet",
        "get",
        "The booklet: `paper` a4 or letter, `language` en or de",
        "one page to print",
    ),
    (
        "/plans/{plan}/cautions",
        "get",
        "All cautions",
        "the `findings` of docs/forecast-json.md",
    ),
    (
        "/plans/{plan}/figures/{figure}",
        "get",
        "How a figure came about",
        "title, value, inputs and steps",
    ),
    (
        "/plans/{plan}/text",
        "get",
        "The plan as text, with what is tried, and its versions",
        "rev, text, file, changes, versions",
    ),
    (
        "/plans/{plan}/text",
        "post",
        "Tries a whole text in place of the one whose SHA-256 is `saw`",
        "done",
    ),
    (
        "/plans/{plan}/versions/{version}",
        "get",
        "A version kept",
        "id and text",
    ),
    (
        "/plans/{plan}/desk",
        "post",
        "`do`: keep, drop, undo, redo, try (`lever`), mine or theirs (`change`), version, own (`feedstock`); `rev` as it was seen",
        "done",
    ),
    ("/start", "get", "The questions that make a plan", "a page"),
    (
        "/start",
        "post",
        "Makes a plan from the answers",
        "the way to the plan, or field and error of each answer that cannot be used",
    ),
    (
        "/feedstocks",
        "get",
        "The waste book, narrowed by `words`",
        "every figure of each",
    ),
    (
        "/feedstocks/{id}",
        "get",
        "One waste of the book",
        "every figure with its origin",
    ),
    ("/sources", "get", "All sources", "key, citation, standing"),
    (
        "/sources/{key}",
        "get",
        "One source",
        "key, citation, standing",
    ),
];

/// The description.
pub fn openapi() -> Value {
    let mut paths = serde_json::Map::new();
    for (path, method, does, gives) in ADDRESSES {
        let parameters: Vec<Value> = path
            .split('/')
            .filter_map(|p| p.strip_prefix('{')?.strip_suffix('}'))
            .map(|name| {
                let mut schema = json!({ "type": "string" });
                if name == "figure" {
                    schema["enum"] = json!(FIGURES);
                }
                if name == "part" {
                    schema["enum"] = json!(PARTS.iter().map(|p| p.id).collect::<Vec<_>>());
                }
                json!({ "name": name, "in": "path", "required": true, "schema": schema })
            })
            .collect();
        let kind = match *path {
            "/plans/{plan}/days.csv" => "text/csv",
            "/plans/{plan}/plot" | "/plans/{plan}/live" | "/plans/{plan}/booklet" => "text/html",
            "/plans/{plan}/events" => "text/event-stream",
            "/plans/{plan}/calendar/{key}" => "text/calendar",
            "/plans/{plan}/photos/{file}" => "image/*",
            "/start" if *method == "get" => "text/html",
            _ => "application/json",
        };
        let mut content = serde_json::Map::new();
        content.insert(kind.to_owned(), json!({}));
        let mut operation = json!({
            "summary": does,
            "parameters": parameters,
            "responses": {
                "200": { "description": gives, "content": content },
                "401": { "description": "this browser or program is not paired" },
                "404": { "description": "there is nothing of this name" },
                "429": { "description": "too many requests at once" },
            },
        });
        if *method == "post" {
            operation["requestBody"] = json!({ "required": true,
                "content": { "application/x-www-form-urlencoded": { "schema": { "type": "object" } } } });
            operation["responses"]["403"] =
                json!({ "description": "not from this server's own page" });
            operation["responses"]["409"] =
                json!({ "description": "someone else has written meanwhile; nothing was changed" });
            operation["responses"]["413"] = json!({ "description": "too large" });
            operation["responses"]["422"] =
                json!({ "description": "cannot be used, with the reason" });
        }
        let entry = paths.entry((*path).to_owned()).or_insert_with(|| json!({}));
        entry[*method] = operation;
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Fenlamp",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "The page's own addresses. Each gives HTML, or JSON when `Accept: application/json` comes first.",
            "license": { "name": "MIT OR Apache-2.0" },
        },
        "security": [{ "paired": [] }],
        "components": { "securitySchemes": { "paired": { "type": "apiKey", "in": "cookie", "name": "fenlamp" } } },
        "paths": paths,
    })
}

/// `GET /openapi.json`.
pub async fn description() -> Json<Value> {
    Json(openapi())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `docs/openapi.json` is what the server says; written anew with
    /// `FENLAMP_WRITE_REPORT=1`.
    #[test]
    fn the_description_is_that_of_the_docs() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/openapi.json");
        let mut now = serde_json::to_string_pretty(&openapi()).expect("JSON");
        now.push('\n');
        if std::env::var_os("FENLAMP_WRITE_REPORT").is_some() {
            std::fs::write(path, &now).expect("written");
        }
        let kept = std::fs::read_to_string(path).expect("docs/openapi.json is there");
        assert!(
            kept == now,
            "write docs/openapi.json anew with FENLAMP_WRITE_REPORT=1"
        );
    }
}
