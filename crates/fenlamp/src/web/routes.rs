//! Which address does what.

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::extract::{ConnectInfo, DefaultBodyLimit, Path, Query, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use fenlamp_model::reference;
use tokio::sync::Semaphore;

use super::access::{self, Door, guard};
use super::edits::Form;
use super::negotiate::{apart, desk_failed, either, failed, not_found, wants_json};
use super::start::{self, Answers};
use super::view;
use super::{App, advice_routes, diary_routes, openapi, photo_routes, plan_routes, write_routes};

/// Largest body of a request, bytes: a plan is a page or two.
const LARGEST_BODY: usize = 256 * 1024;
/// Requests worked on at one time; the others wait their turn.
const AT_A_TIME: usize = 64;

/// All routes behind the guard.
pub fn router(app: Arc<App>, door: Arc<Door>) -> Router {
    let plan = Router::new()
        .route("/plans/{plan}", get(plan_routes::year))
        .route("/plans/{plan}/live", get(plan_routes::live))
        .route("/plans/{plan}/plot", get(plan_routes::plot))
        .route("/plans/{plan}/days.csv", get(plan_routes::days))
        .route("/plans/{plan}/parts", get(plan_routes::parts))
        .route(
            "/plans/{plan}/parts/{part}",
            get(plan_routes::part).post(write_routes::part),
        )
        .route("/plans/{plan}/advice", get(advice_routes::page))
        .route("/plans/{plan}/advice/answer", get(advice_routes::answer))
        .route("/plans/{plan}/print", get(plan_routes::print))
        .route("/plans/{plan}/booklet", get(plan_routes::booklet))
        .route(
            "/plans/{plan}/diary",
            get(diary_routes::page).post(diary_routes::add),
        )
        .route("/plans/{plan}/diary/learned", get(diary_routes::learned))
        .route("/plans/{plan}/calendar/{key}", get(diary_routes::calendar))
        .route(
            "/plans/{plan}/diary/today",
            get(diary_routes::look_at_today),
        )
        .route(
            "/plans/{plan}/photos",
            post(photo_routes::add).layer(DefaultBodyLimit::max(photo_routes::LARGEST)),
        )
        .route("/plans/{plan}/photos/{file}", get(photo_routes::show))
        .route("/plans/{plan}/readings", post(diary_routes::readings))
        .route("/plans/{plan}/cautions", get(plan_routes::cautions))
        .route("/plans/{plan}/figures/{figure}", get(plan_routes::figure))
        .route(
            "/plans/{plan}/text",
            get(plan_routes::text).post(write_routes::text),
        )
        .route(
            "/plans/{plan}/versions/{version}",
            get(plan_routes::version),
        )
        .route("/plans/{plan}/desk", post(write_routes::desk));
    let seats = Arc::new(Semaphore::new(AT_A_TIME));
    Router::new()
        .merge(plan)
        .route("/", get(home))
        .route("/plans", get(plans))
        .route("/start", get(start_form).post(start_plan))
        .route("/feedstocks", get(feedstocks))
        .route("/feedstocks/{id}", get(feedstock))
        .route("/sources", get(sources))
        .route("/sources/{key}", get(source))
        .route("/openapi.json", get(openapi::description))
        .layer(middleware::from_fn(
            move |request, next: middleware::Next| {
                let seats = Arc::clone(&seats);
                async move {
                    // The semaphore is never closed.
                    let _seat = seats.acquire_owned().await;
                    next.run(request).await
                }
            },
        ))
        // A stream of events keeps no seat.
        .route("/plans/{plan}/events", get(plan_routes::events))
        .route("/a/{file}", get(asset))
        .with_state(app)
        .merge(
            Router::new()
                .route("/pair", get(access::pair_form).post(access::pair))
                .with_state(Arc::clone(&door)),
        )
        .fallback(nothing)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(middleware::from_fn_with_state(door, guard))
}

async fn nothing(headers: HeaderMap) -> Response {
    not_found("page of this name", &headers)
}

async fn home(State(app): State<Arc<App>>) -> Redirect {
    Redirect::to(&format!("/plans/{}", app.first))
}

/// The few files of the page, inside the program.
async fn asset(Path(file): Path<String>, headers: HeaderMap) -> Response {
    let (kind, bytes): (&str, &'static [u8]) = match file.as_str() {
        "page.css" => ("text/css; charset=utf-8", include_bytes!("assets/page.css")),
        "page.js" => (
            "text/javascript; charset=utf-8",
            include_bytes!("assets/page.js"),
        ),
        "mark.svg" => ("image/svg+xml", include_bytes!("assets/mark.svg")),
        _ => return not_found("such file", &headers),
    };
    let mut response = bytes.into_response();
    let out = response.headers_mut();
    if let Ok(kind) = HeaderValue::from_str(kind) {
        out.insert(header::CONTENT_TYPE, kind);
    }
    out.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, max-age=60"),
    );
    response
}

async fn plans(State(app): State<Arc<App>>, headers: HeaderMap) -> Response {
    let found = apart(move || {
        let folder = app.shelf.folder();
        let folder = folder.canonicalize().unwrap_or(folder.to_path_buf());
        (folder.display().to_string(), app.shelf.entries())
    })
    .await;
    match found {
        Ok((folder, entries)) => either(
            &headers,
            || {
                let plans: Vec<_> = entries
                    .iter()
                    .map(|e| {
                        serde_json::json!({
                            "name": e.name,
                            "file": e.file.as_ref().map(|f| f.display().to_string()),
                        })
                    })
                    .collect();
                serde_json::json!({ "folder": folder, "plans": plans })
            },
            || view::shelf::page(&folder, &entries),
        ),
        Err(e) => failed(&e, &headers),
    }
}

async fn start_form() -> Response {
    view::start::page(&Answers::default(), &[]).into_response()
}

async fn start_plan(
    State(app): State<Arc<App>>,
    ConnectInfo(_): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    axum::Form(form): axum::Form<Form>,
) -> Response {
    let answers = Answers(form);
    let made = apart(move || {
        let text = match start::plan(&answers, jiff::ZonedDateTime::now().date()) {
            Ok(text) => text,
            Err(wrong) => return Ok(Err((answers, wrong))),
        };
        let title = match answers.get("name") {
            "" => "my plant",
            name => name,
        };
        let file = app.shelf.free_file(title);
        super::shelf::write_whole(&file, &text).map_err(|e| {
            super::desk::DeskError::Disk(format!("{} cannot be written: {e}", file.display()))
        })?;
        let name = app.shelf.entry_of(&file).map(|e| e.name);
        Ok::<_, super::desk::DeskError>(Ok(name))
    })
    .await;
    match made {
        Ok(Ok(Ok(Some(name)))) => Redirect::to(&format!("/plans/{name}")).into_response(),
        Ok(Ok(Ok(None))) => not_found("plan where it was just written", &headers),
        Ok(Ok(Err((answers, wrong)))) => {
            if wants_json(&headers) {
                let wrong: Vec<_> = wrong
                    .iter()
                    .map(|w| serde_json::json!({ "field": w.field, "error": w.words }))
                    .collect();
                return (StatusCode::UNPROCESSABLE_ENTITY, axum::Json(wrong)).into_response();
            }
            (
                StatusCode::UNPROCESSABLE_ENTITY,
                view::start::page(&answers, &wrong),
            )
                .into_response()
        }
        Ok(Err(e)) => desk_failed(&e, &headers),
        Err(e) => failed(&e, &headers),
    }
}

/// What is looked for in the book.
#[derive(Debug, Default, serde::Deserialize)]
pub struct Sought {
    #[serde(default)]
    words: String,
    /// The plan one came from.
    plan: Option<String>,
}

async fn feedstocks(Query(sought): Query<Sought>, headers: HeaderMap) -> Response {
    let found = reference::search_feedstocks(&sought.words);
    either(
        &headers,
        || found.iter().map(|f| (*f).clone()).collect::<Vec<_>>(),
        || view::reference::feedstocks(&sought.words, &found),
    )
}

async fn feedstock(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(sought): Query<Sought>,
    headers: HeaderMap,
) -> Response {
    let Some(f) = reference::feedstock(&id) else {
        let near = reference::nearest_feedstock(&id)
            .map_or(String::new(), |n| format!("; the nearest is {}", n.id));
        return not_found(&format!("waste \"{id}\" in the book{near}"), &headers);
    };
    // Only a plan that is there gets a form.
    let plan = match sought.plan {
        Some(name) => apart(move || app.shelf.find(&name).map(|e| e.name))
            .await
            .ok()
            .flatten(),
        None => None,
    };
    either(
        &headers,
        || f.clone(),
        || view::reference::feedstock(f, plan.as_deref()),
    )
}

async fn sources(headers: HeaderMap) -> Response {
    either(&headers, reference::sources, view::reference::sources)
}

async fn source(Path(key): Path<String>, headers: HeaderMap) -> Response {
    match reference::source(&key) {
        Some(s) => either(&headers, || s.clone(), || view::reference::source(s)),
        None => not_found(&format!("source \"{key}\""), &headers),
    }
}
