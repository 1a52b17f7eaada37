//! What may be asked over HTTP, as an OpenAPI document.

use crate::{api, export, said};
use reedmace_engine::answer::Conversion;
use schemars::{JsonSchema, SchemaGenerator, generate::SchemaSettings};
use serde_json::{Value, json};

/// The whole document; addresses are below the secret part of the address.
pub fn document() -> Value {
    let mut out = SchemaSettings::openapi3().for_serialize().into_generator();
    let mut asked = SchemaSettings::openapi3().for_deserialize().into_generator();
    let start = out.subschema_for::<api::Start>();
    let said = out.subschema_for::<Vec<Conversion>>();
    let asking: Vec<Value> = parameters::<said::Asked>(&mut asked);
    let export: Vec<Value> = parameters::<export::Wanted>(&mut asked);
    let pictured: Vec<Value> = parameters::<api::Pictured>(&mut asked);
    let names: Vec<&str> = export::EXPORTS.iter().map(|(name, ..)| *name).collect();
    let what = json!({
        "name": "what", "in": "path", "required": true, "schema": { "type": "string", "enum": names },
    });
    let exported = [vec![what], export].concat();
    let files: serde_json::Map<String, Value> =
        export::EXPORTS.iter().map(|(.., kind)| ((*kind).to_owned(), json!({}))).collect();
    let told = |words: &str| json!({ "description": words });
    let refused = json!({
        "description": "It cannot be made; says why.",
        "content": { "application/json": { "schema": {
            "type": "object", "required": ["error"], "properties": { "error": { "type": "string" } },
        } } },
    });
    let common = |mut answers: Value| {
        answers["403"] = told("A page from elsewhere asks.");
        answers["404"] = told("No such thing, or a wrong secret.");
        answers["405"] = told("Nothing but reading is offered here.");
        answers["414"] = told("The address is too long.");
        answers["421"] = told("The request was meant for another server.");
        answers
    };
    let content = |kind: &str, schema: Value| json!({ "description": "There it is.", "content": { kind: { "schema": schema } } });
    json!({
        "openapi": "3.0.3",
        "info": {
            "title": "Reedmace workbench",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "Local to one machine and one user. Every address begins with a secret, new \
                at every start. Work on a design goes over the WebSocket at `api/live`; its messages \
                are described by `wire.schema.json` in the source tree.",
        },
        "servers": [{ "url": "/{token}", "variables": { "token": {
            "default": "token", "description": "The secret part of the address.",
        } } }],
        "paths": {
            "/": { "get": {
                "summary": "The page.",
                "responses": common(json!({ "200": content("text/html", json!({ "type": "string" })) })),
            } },
            "/api/start": { "get": {
                "summary": "What there is to begin with.",
                "responses": common(json!({
                    "200": content("application/json", start.to_value()),
                    "422": refused,
                    "429": told("Too many requests wait already."),
                })),
            } },
            "/api/thumbnail": { "get": {
                "summary": "A small picture of an arrangement: name exactly one design.",
                "parameters": pictured,
                "responses": common(json!({
                    "200": content("image/svg+xml", json!({ "type": "string" })),
                    "204": told("No unsaved edits are kept under this key, or no longer."),
                    "400": told("The parameters make no sense."),
                    "422": refused,
                    "429": told("Too many requests wait already."),
                })),
            } },
            "/api/schema": { "get": {
                "summary": "JSON Schema of design files.",
                "responses": common(json!({
                    "200": content("application/json", json!({ "type": "object" })),
                })),
            } },
            "/api/openapi.json": { "get": {
                "summary": "This document.",
                "responses": common(json!({
                    "200": content("application/json", json!({ "type": "object" })),
                })),
            } },
            "/api/export/{what}": { "get": {
                "summary": "A file made of a session's newest text without faults.",
                "parameters": exported,
                "responses": common(json!({
                    "200": { "description": "There it is.", "content": files },
                    "400": told("The parameters make no sense."),
                    "422": refused,
                    "429": told("Too many requests wait already."),
                })),
            } },
            "/api/convert": { "get": {
                "summary": "A contact's operate and release said in another coil, a field or a distance.",
                "parameters": asking,
                "responses": common(json!({
                    "200": content("application/json", said.to_value()),
                    "400": told("The parameters make no sense."),
                    "422": refused,
                    "429": told("Too many requests wait already."),
                })),
            } },
            "/api/live": { "get": {
                "summary": "The WebSocket of a session.",
                "responses": common(json!({
                    "101": told("Talk."),
                    "400": told("No WebSocket is asked for."),
                    "426": told("No WebSocket is asked for."),
                    "503": told("Too many pages are open."),
                })),
            } },
        },
        "components": { "schemas": out.take_definitions(true) },
    })
}

/// The fields of a type as parameters of a query.
fn parameters<T: JsonSchema>(generator: &mut SchemaGenerator) -> Vec<Value> {
    let schema = generator.root_schema_for::<T>().to_value();
    let required = schema["required"].as_array().cloned().unwrap_or_default();
    let fields = schema["properties"].as_object().cloned().unwrap_or_default();
    let parameter = |(name, mut schema): (String, Value)| {
        let meaning = schema.as_object_mut().and_then(|s| s.remove("description"));
        json!({
            "name": name, "in": "query", "required": required.contains(&json!(name)),
            "description": meaning, "schema": schema,
        })
    };
    fields.into_iter().map(parameter).collect()
}
