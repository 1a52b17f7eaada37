//! A contact's operate and release said in a coil, a field or a distance that the user names.

use crate::{
    export::{at_leisure, refused},
    room::Room,
};
use axum::{
    Json,
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use reedmace_engine::Target;
use schemars::JsonSchema;
use serde::Deserialize;
use std::sync::Arc;

/// Whose sensitivity, and in what it is to be said.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Asked {
    /// The session, as `opened` named it.
    pub session: String,
    /// Index of the contact.
    #[serde(default)]
    pub contact: u16,
    /// `uniform`, `AT 25 mm x 9.25 mm`, `mT 25 mm x 9.25 mm` (a coil by its length and mean diameter) or
    /// `magnet NAME`, of the design.
    pub into: String,
}

/// `GET /api/convert`: of the session's newest text without faults.
pub(crate) async fn convert(State(room): State<Arc<Room>>, Query(asked): Query<Asked>) -> Response {
    let Some(session) = room.session(&asked.session) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let Some(good) = session.good() else {
        return refused("the design has faults; mend them first");
    };
    let (design, contact) = (good.design.clone(), usize::from(asked.contact));
    if contact >= design.contacts.len() {
        return refused("there is no such contact");
    }
    let target = match Target::read(&asked.into, &design) {
        Ok(target) => target,
        Err(why) => return refused(&why.to_string()),
    };
    // A contact's sensitivity is its own, whatever steel stands beside it.
    let bench = if design.steel.is_empty() { room.bench() } else { room.bench().coarse() };
    match at_leisure(&session, move |_| bench.said_in(&design, contact, &target)).await {
        Ok(Ok(said)) => Json(said).into_response(),
        Ok(Err(why)) => refused(&why.to_string()),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
