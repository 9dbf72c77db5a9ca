//! The same address gives a page or JSON, whichever is asked for.

use axum::Json;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::Markup;
use serde::Serialize;

use super::access::refuse;
use super::desk::DeskError;
use crate::failure::Failure;

/// Whether the request asks for JSON before HTML.
pub fn wants_json(headers: &HeaderMap) -> bool {
    let Some(accept) = headers.get(header::ACCEPT).and_then(|v| v.to_str().ok()) else {
        return false;
    };
    let place = |kind: &str| accept.find(kind).unwrap_or(usize::MAX);
    place("application/json") < place("text/html")
}

/// JSON or the page.
pub fn either<T: Serialize>(
    headers: &HeaderMap,
    json: impl FnOnce() -> T,
    page: impl FnOnce() -> Markup,
) -> Response {
    let mut response = if wants_json(headers) {
        Json(json()).into_response()
    } else {
        page().into_response()
    };
    let vary = header::HeaderValue::from_static("accept");
    response.headers_mut().insert(header::VARY, vary);
    response
}

/// Nothing of this name.
pub fn not_found(what: &str, headers: &HeaderMap) -> Response {
    refuse(
        StatusCode::NOT_FOUND,
        &format!("There is no {what}."),
        headers,
    )
}

/// A failure in words.
pub fn failed(failure: &Failure, headers: &HeaderMap) -> Response {
    let status = match failure {
        Failure::Stopped => StatusCode::CONFLICT,
        Failure::Internal(_) => StatusCode::INTERNAL_SERVER_ERROR,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    };
    let words = match failure {
        Failure::Stopped => "A newer change took its place.".to_owned(),
        other => other.text(),
    };
    refuse(status, &words, headers)
}

/// A desk that could not do it.
pub fn desk_failed(e: &DeskError, headers: &HeaderMap) -> Response {
    let status = match e {
        DeskError::Clash(_) => StatusCode::CONFLICT,
        DeskError::Edit(_) => StatusCode::UNPROCESSABLE_ENTITY,
        DeskError::Disk(_) => StatusCode::INSUFFICIENT_STORAGE,
    };
    refuse(status, &format!("{e}. Nothing was changed."), headers)
}

/// Work that takes its time, off the threads that answer.
pub async fn apart<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Failure> {
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|_| Failure::Internal("this could not be worked out".to_owned()))
}
