//! Photos of the diary: kept as files beside the plan, named in an entry.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use fenlamp_diary::Diary;
use fenlamp_report::diary::Writing;
use fenlamp_report::diary::words::{Speech, read_kind};
use serde_json::json;

use super::diary_routes::{file_of, opened};
use super::negotiate::{failed, not_found};
use super::plan_routes::with_look;
use super::{App, access, shelf};
use crate::failure::Failure;
use crate::view_model::days::today;
use crate::view_model::diary::failed as diary_failed;

/// Largest photo taken, bytes.
pub const LARGEST: usize = 12 << 20;

/// What a picture is by its first bytes: ending and kind. Nothing else is kept.
fn kind(bytes: &[u8]) -> Option<(&'static str, &'static str)> {
    match bytes {
        [0xff, 0xd8, 0xff, ..] => Some(("jpg", "image/jpeg")),
        [0x89, b'P', b'N', b'G', ..] => Some(("png", "image/png")),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => Some(("webp", "image/webp")),
        _ => None,
    }
}

/// `POST /plans/{plan}/photos`: keeps the picture that is the body, and writes it down
/// in the diary. What it answers is on the disk.
pub async fn add(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let Some((ending, _)) = kind(&body) else {
        return access::refuse(
            StatusCode::UNPROCESSABLE_ENTITY,
            "This is no photo: a JPEG, PNG or WebP is taken.",
            &headers,
        );
    };
    let done = with_look(&app, &name, &headers, move |app, look| {
        let diary = file_of(&look)?;
        let plan = opened(&look)?;
        let file = format!("{}_{}.{ending}", today(), &shelf::sha256_of(&body)[..12]);
        let path = app.shelf.side(&look.id).join("photos").join(&file);
        shelf::write_bytes(&path, &body).map_err(|e| {
            Failure::input(format!("{} cannot be written: {e}", path.display()), "")
        })?;
        let entry = read_kind("photo", &file, &Speech::of(&plan.plan))
            .map_err(|e| Failure::input(e.message, e.help))?;
        let mut diary = Diary::open(&diary).map_err(diary_failed)?;
        let added = diary
            .add(&Writing {
                date: today(),
                time: None,
                entry,
                words: file.clone(),
            })
            .map_err(diary_failed)?;
        Ok::<_, Failure>(json!({ "uid": added.uid, "file": file }))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok(value)) => axum::Json(value).into_response(),
    }
}

/// `GET /plans/{plan}/photos/{file}`: a picture by the name its entry has. Names are
/// looked up among the files there are.
pub async fn show(
    State(app): State<Arc<App>>,
    Path((name, file)): Path<(String, String)>,
    headers: HeaderMap,
) -> Response {
    let done = with_look(&app, &name, &headers, move |app, look| {
        std::fs::read_dir(app.shelf.side(&look.id).join("photos"))
            .into_iter()
            .flatten()
            .filter_map(Result::ok)
            .find(|e| e.file_name().to_str() == Some(&file))
            .and_then(|e| std::fs::read(e.path()).ok())
    })
    .await;
    match done {
        Err(response) => response,
        Ok(bytes) => match bytes.and_then(|b| kind(&b).map(|(_, kind)| (kind, b))) {
            Some((kind, bytes)) => (
                [(header::CONTENT_TYPE, HeaderValue::from_static(kind))],
                bytes,
            )
                .into_response(),
            None => not_found("such photo", &headers),
        },
    }
}
