//! The diary on the page, and readings from instruments.

use std::path::PathBuf;
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use fenlamp_diary::{Diary, DiaryError, beside, instruments};
use fenlamp_report::diary::words::{Speech, WordsError, read_kind};
use fenlamp_report::diary::{Writing, WrittenEntry};
use fenlamp_report::learn::Settings;
use jiff::civil::Date;
use serde_json::json;

use super::App;
use super::edits::{Form, get};
use super::negotiate::{apart, either, failed, wants_json};
use super::plan_routes::{Asked, with_look};
use super::view::{self, Look};
use crate::failure::Failure;
use crate::learning::{learn_from, record_of};
use crate::plan_file::Opened;
use crate::view_model::days::today;
use crate::view_model::diary::{caution, failed as diary_failed};

/// Entries shown, the newest.
const SHOWN: usize = 60;

/// The file of a plan's diary.
pub fn file_of(look: &Look) -> Result<PathBuf, Failure> {
    match &look.file {
        Some(file) => Ok(beside(std::path::Path::new(file))),
        None => Err(Failure::input(
            "a demo keeps no diary of yours",
            "keep a change first, which makes a plan of your own of it; or start one",
        )),
    }
}

/// The diary that is read, and the day that counts as today: the plan's own, or that
/// of a demo that has one, which is laid beside the plans when it is first wanted.
fn read_from(app: &App, look: &Look, on: Option<Date>) -> Result<(PathBuf, Date), Failure> {
    let demo = crate::demos::demo(&look.id).filter(|_| look.file.is_none());
    let Some((csv, days)) = demo.and_then(|d| d.diary) else {
        return file_of(look).map(|path| (path, on.unwrap_or_else(today)));
    };
    let path = app.shelf.side(&look.id).join("demo.diary.sqlite");
    if !path.exists() {
        let made = |e: std::io::Error| {
            Failure::input(
                format!("{}: {e}", path.display()),
                "the folder of plans must be writable",
            )
        };
        std::fs::create_dir_all(app.shelf.side(&look.id)).map_err(made)?;
        let plan = opened(look)?;
        let mut diary = Diary::open(&path).map_err(diary_failed)?;
        diary
            .import_csv(csv, &Speech::of(&plan.plan))
            .map_err(diary_failed)?;
    }
    let last = days.last().and_then(|(day, _)| day.parse().ok());
    Ok((path, on.or(last).unwrap_or_else(today)))
}

/// The plan as kept: the diary is of the plant that stands, not of one that is tried.
pub fn opened(look: &Look) -> Result<Arc<Opened>, Failure> {
    match &look.kept {
        super::run::Read::Plan(opened) => Ok(Arc::clone(opened)),
        super::run::Read::Faults(faults) => Err(Failure::input(faults.to_string(), "")),
    }
}

fn entries(path: &std::path::Path, to: Date) -> Result<Vec<WrittenEntry>, Failure> {
    if !path.exists() {
        return Ok(Vec::new());
    }
    let diary = Diary::open_existing(path).map_err(diary_failed)?;
    let mut all = diary.standing(None, Some(to)).map_err(diary_failed)?;
    all.reverse();
    all.truncate(SHOWN);
    Ok(all)
}

/// `GET /plans/{plan}/diary`.
pub async fn page(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let on = asked.day;
    let done = with_look(&app, &name, &headers, move |app, look| {
        let found = read_from(app, &look, on).and_then(|(path, day)| entries(&path, day));
        let key = found
            .as_ref()
            .ok()
            .filter(|_| look.file.is_some())
            .and_then(|_| app.shelf.calendar_key(&look.id).ok());
        (look, found, key)
    })
    .await;
    match done {
        Err(response) => response,
        Ok((look, found, key)) => {
            let (list, why_not) = match found {
                Ok(list) => (list, None),
                Err(e) => (Vec::new(), Some(e.text())),
            };
            either(
                &headers,
                || json!({ "entries": list, "closed": why_not }),
                || {
                    view::diary::page(
                        &look,
                        &list,
                        why_not.as_deref(),
                        key.as_deref(),
                        on,
                        today(),
                    )
                },
            )
        }
    }
}

fn write(look: &Look, form: &Form) -> Result<(String, Option<&'static str>), Failure> {
    let path = file_of(look)?;
    let plan = opened(look)?;
    let text = |k| get(form, k).unwrap_or_default().trim();
    let mut diary = Diary::open(&path).map_err(diary_failed)?;
    if text("do") == "withdraw" {
        let gone = diary.withdraw(text("uid"), "").map_err(diary_failed)?;
        return Ok((gone.uid, None));
    }
    let entry = read_kind(text("kind"), text("words"), &Speech::of(&plan.plan))
        .map_err(|WordsError { message, help }| Failure::input(message, help))?;
    let date = match text("day") {
        "" => today(),
        day => crate::view_model::days::day(day).map_err(|e| {
            Failure::input(
                format!("\"{day}\" is no day: {e}"),
                "write it like 2026-06-01",
            )
        })?,
    };
    if date > today() {
        return Err(Failure::input(
            format!("{date} has not come yet"),
            "a diary holds what was; write the day it happened",
        ));
    }
    let said = caution(&entry);
    let writing = Writing {
        date,
        time: None,
        entry,
        words: text("words").to_owned(),
    };
    // A phone that was out of reach sends its entry again under the name it gave it.
    let added = match text("uid") {
        "" => diary.add(&writing),
        uid => diary.add_named(uid, &writing),
    }
    .map_err(diary_failed)?;
    Ok((added.uid, said))
}

/// `POST /plans/{plan}/diary`: writes an entry down, or takes one back. What it
/// answers is on the disk.
pub async fn add(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    axum::Form(form): axum::Form<Form>,
) -> Response {
    let sent = form.clone();
    let done = with_look(&app, &name, &headers, move |_, look| {
        let done = write(&look, &form);
        let list = file_of(&look)
            .and_then(|path| entries(&path, today()))
            .unwrap_or_default();
        (look, done, list)
    })
    .await;
    match done {
        Err(response) => response,
        Ok((_, Err(e), _)) if wants_json(&headers) => failed(&e, &headers),
        Ok((look, Err(e), list)) => (
            StatusCode::UNPROCESSABLE_ENTITY,
            view::diary::refused(&look, &list, &e.text(), &sent, today()),
        )
            .into_response(),
        Ok((_, Ok((uid, said)), _)) if wants_json(&headers) => {
            axum::Json(json!({ "uid": uid, "caution": said })).into_response()
        }
        // A caution must be read before anything else.
        Ok((look, Ok((_, Some(said))), list)) => {
            view::diary::cautioned(&look, &list, said).into_response()
        }
        Ok((look, Ok(_), _)) => Redirect::to(&format!("/plans/{}/diary", look.id)).into_response(),
    }
}

/// `GET /plans/{plan}/diary/today`: what to do, and what may be wrong; a fragment.
pub async fn look_at_today(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let on = asked.day;
    let done = with_look(&app, &name, &headers, move |app, look| {
        let (path, day) = read_from(app, &look, on)?;
        let plan = opened(&look)?;
        let (record, answer) = app.watched(&look.id, |control| {
            crate::view_model::causes::look(&plan, &path, day, control)
        })?;
        let causes = crate::view_model::causes::causes(&record, &answer);
        Ok::<_, Failure>((answer, causes))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) if wants_json(&headers) || matches!(e, Failure::Internal(_)) => {
            failed(&e, &headers)
        }
        Ok(Err(e)) => view::advice::refused(&e.text()).into_response(),
        Ok(Ok((answer, causes))) => either(
            &headers,
            || json!(answer),
            || view::diary::today(&answer, &causes),
        ),
    }
}

/// `GET /plans/{plan}/diary/learned`: what the diary teaches; a fragment.
pub async fn learned(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let (width, on) = (asked.width(&headers), asked.day);
    let done = with_look(&app, &name, &headers, move |app, look| {
        let (path, day) = read_from(app, &look, on)?;
        let plan = opened(&look)?;
        let record = record_of(&plan, &path, day)?;
        let settings = Settings {
            seed: plan.plan.seed,
            ..Settings::default()
        };
        app.watched(&look.id, |control| {
            learn_from(&plan, &record, &settings, control)
        })
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) if wants_json(&headers) || matches!(e, Failure::Internal(_)) => {
            failed(&e, &headers)
        }
        Ok(Err(e)) => view::advice::refused(&e.text()).into_response(),
        Ok(Ok(learned)) => either(
            &headers,
            || json!({ "words": learned.words, "inputs": learned.inputs, "foresight": learned.foresight, "days": learned.days }),
            || view::diary::learned(&learned, width),
        ),
    }
}

/// Days of the calendar feed.
const CALENDAR_DAYS: u32 = 180;

/// `GET /plans/{plan}/calendar/{key}`: the reminders as an iCalendar feed. A calendar
/// has no cookie: the address itself carries a secret of the plan's.
pub async fn calendar(
    State(app): State<Arc<App>>,
    Path((name, key)): Path<(String, String)>,
    headers: HeaderMap,
) -> Response {
    let done = with_look(&app, &name, &headers, move |app, look| {
        let own = app
            .shelf
            .calendar_key(&look.id)
            .map_err(|e| Failure::input(format!("the calendar's key cannot be kept: {e}"), ""))?;
        if key != format!("{own}.ics") {
            return Ok(None);
        }
        let plan = opened(&look)?;
        let path = file_of(&look)?;
        crate::view_model::diary::calendar(&plan, &path, None, CALENDAR_DAYS).map(|c| Some(c.text))
    })
    .await;
    match done {
        Ok(Ok(Some(text))) => {
            let kind = header::HeaderValue::from_static("text/calendar; charset=utf-8");
            ([(header::CONTENT_TYPE, kind)], text).into_response()
        }
        Ok(Err(e)) => failed(&e, &headers),
        // A wrong key and a plan that is not there look alike.
        Ok(Ok(None)) | Err(_) => super::negotiate::not_found("such calendar", &headers),
    }
}

/// `POST /plans/{plan}/readings`: an instrument writes with its own key
/// (`Authorization: Bearer KEY`); each reading counts once however often it is sent.
/// What it answers is on the disk.
pub async fn readings(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let key = headers
        .get(header::AUTHORIZATION)
        .and_then(|v| v.to_str().ok())
        .and_then(|v| v.strip_prefix("Bearer "))
        .unwrap_or_default()
        .to_owned();
    let done = apart(move || {
        // A stranger is not told which plans there are.
        let stranger = || {
            Err((
                StatusCode::UNAUTHORIZED,
                "this key belongs to no device".to_owned(),
            ))
        };
        let Some(file) = app.shelf.find(&name).and_then(|e| e.file) else {
            return stranger();
        };
        let told = |e: DiaryError| (StatusCode::INSUFFICIENT_STORAGE, e.to_string());
        let Ok(mut diary) = Diary::open_existing(&beside(&file)) else {
            return stranger();
        };
        let Ok(device) = diary.device_of_key(&key) else {
            return stranger();
        };
        let list = instruments::from_json(&body, jiff::Timestamp::now())
            .map_err(|e| (StatusCode::UNPROCESSABLE_ENTITY, e))?;
        let taken = diary.take(&device, &list).map_err(told)?;
        Ok(json!({ "readings": taken }))
    })
    .await;
    match done {
        Ok(Ok(taken)) => axum::Json(taken).into_response(),
        Ok(Err((status, words))) => (status, axum::Json(json!({ "error": words }))).into_response(),
        Err(e) => failed(&e, &headers),
    }
}
