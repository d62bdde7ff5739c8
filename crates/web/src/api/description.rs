//! The description of the interface: OpenAPI 3.1, whose schemas are JSON Schema as the records give it.

use super::errors::Told;
use super::{Find, Make, Move, Saved, Undo};
use axum::Json;
use schemars::{JsonSchema, SchemaGenerator, generate::SchemaSettings};
use serde_json::{Map, Value, json};
use std::sync::LazyLock;
use studio::{Changes, Dossier, HouseSettings, Record};

/// `GET /api/v1/openapi.json`
pub(super) async fn openapi() -> Json<&'static Value> {
    Json(&DOCUMENT)
}

static DOCUMENT: LazyLock<Value> = LazyLock::new(|| {
    let mut settings = SchemaSettings::draft2020_12();
    settings.definitions_path = "/components/schemas".into();
    let mut schemas = settings.into_generator();
    let paths = paths(&mut schemas);
    let schemas = schemas.take_definitions(true);
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Lengthwise",
            "version": "1",
            "description": "A studio's golfers, readings, clubs, targets, jobs and follow-ups. Ids are UUIDs in lower case, made by \
                            the sender: the same id with the same content is answered again, with other content refused. Values \
                            are in SI units, lengths at the bench in inches where the name says so. On this machine only.",
            "license": { "name": "Apache-2.0", "identifier": "Apache-2.0" },
        },
        "servers": [{ "url": "/api/v1" }],
        "paths": paths,
        "components": { "schemas": schemas },
    })
});

fn paths(schemas: &mut SchemaGenerator) -> Value {
    let golfer = parameter("golfer", "A golfer's id.");
    let job = parameter("job", "A job's id.");
    let record = parameter("record", "A record's id.");
    let object = json!({ "type": "object" });
    let dossier = reference::<Dossier>(schemas);
    let house = reference::<HouseSettings>(schemas);
    let any_record = reference::<Record>(schemas);
    let saved = reference::<Saved>(schemas);
    let find = [
        json!({ "name": "q", "in": "query", "schema": { "type": "string", "maxLength": 120 }, "description": "Part of a name or contact, a telephone number, or a job's number." }),
        json!({ "name": "most", "in": "query", "schema": { "type": "integer", "minimum": 1, "maximum": 100 } }),
    ];
    // named so that a change of the query's fields is noticed here
    debug_assert_eq!(properties::<Find>(schemas), ["most", "q"]);
    json!({
        "/golfers": { "get": operation(schemas, "findGolfers", "Find golfers", &find, None, &object) },
        "/golfers/{golfer}": {
            "get": operation(schemas, "golfer", "Everything of one golfer", std::slice::from_ref(&golfer), None, &json!({
                "type": "object",
                "properties": {
                    "version": { "const": 1 },
                    "dossier": dossier,
                    "left_out": { "type": "integer", "description": "How many remarks about health are left out, as the passphrase was not typed a short while ago." },
                    "spine": object,
                },
                "required": ["version", "dossier", "left_out", "spine"],
            })),
        },
        "/golfers/{golfer}/plan": { "get": operation(schemas, "plan", "The target, the ways and the job as they follow from the readings now", std::slice::from_ref(&golfer), None, &object) },
        "/golfers/{golfer}/card": { "get": text_operation(schemas, "card", "The fitting card the command line takes", std::slice::from_ref(&golfer)) },
        "/golfers/{golfer}/log": { "get": operation(schemas, "log", "What was done, newest first", std::slice::from_ref(&golfer), None, &object) },
        "/golfers/{golfer}/trial": { "get": operation(schemas, "trial", "The trial in hand: letters of every visit, and the code once it is opened", std::slice::from_ref(&golfer), None, &object) },
        "/golfers/{golfer}/trial/analysis": { "get": operation(schemas, "analysis", "What the trial in hand says, once its code is opened", std::slice::from_ref(&golfer), None, &object) },
        "/golfers/{golfer}/target": { "post": operation(schemas, "keepTarget", "Keep the target as it is now", std::slice::from_ref(&golfer), Some(body::<Make>), &saved) },
        "/golfers/{golfer}/job": { "post": operation(schemas, "makeJob", "Make a job from the plan as it is now", std::slice::from_ref(&golfer), Some(body::<Make>), &saved) },
        "/golfers/{golfer}/jobs/{job}/move": { "post": operation(schemas, "moveJob", "Move a job on", &[golfer, job], Some(body::<Move>), &saved) },
        "/records/{record}/history": {
            "get": operation(schemas, "history", "What a record was, oldest first", &[record], None, &json!({
                "type": "object",
                "properties": {
                    "version": { "const": 1 },
                    "history": { "type": "array", "items": { "type": "object", "properties": { "act": { "type": "string" }, "record": any_record } } },
                },
            })),
        },
        "/due": { "get": operation(schemas, "due", "Who is due today", &[], None, &object) },
        "/house": {
            "get": operation(schemas, "house", "The house's settings", &[], None, &json!({
                "type": "object",
                "properties": { "version": { "const": 1 }, "house": house, "revision": { "type": "integer" } },
            })),
        },
        "/changes": { "post": operation(schemas, "save", "Save an act: all its records or none", &[], Some(body::<Changes>), &saved) },
        "/undo": { "post": operation(schemas, "undo", "Undo an act", &[], Some(body::<Undo>), &saved) },
    })
}

fn parameter(name: &str, description: &str) -> Value {
    json!({ "name": name, "in": "path", "required": true, "description": description, "schema": { "type": "string" } })
}

fn reference<T: JsonSchema>(schemas: &mut SchemaGenerator) -> Value {
    schemas.subschema_for::<T>().to_value()
}

fn body<T: JsonSchema>(schemas: &mut SchemaGenerator) -> Value {
    json!({ "required": true, "content": { "application/json": { "schema": reference::<T>(schemas) } } })
}

/// The names of an object's fields.
fn properties<T: JsonSchema>(schemas: &mut SchemaGenerator) -> Vec<String> {
    let schema = T::json_schema(schemas).to_value();
    schema["properties"]
        .as_object()
        .map(|fields: &Map<String, Value>| fields.keys().cloned().collect())
        .unwrap_or_default()
}

type MakeBody = fn(&mut SchemaGenerator) -> Value;

fn operation(
    schemas: &mut SchemaGenerator,
    id: &str,
    summary: &str,
    parameters: &[Value],
    body: Option<MakeBody>,
    answer: &Value,
) -> Value {
    let mut operation =
        shell(schemas, id, summary, parameters, &json!({ "application/json": { "schema": answer } }));
    if let (Some(body), Some(fields)) = (body, operation.as_object_mut()) {
        fields.insert("requestBody".to_owned(), body(schemas));
    }
    operation
}

fn text_operation(schemas: &mut SchemaGenerator, id: &str, summary: &str, parameters: &[Value]) -> Value {
    shell(
        schemas,
        id,
        summary,
        parameters,
        &json!({ "application/toml": { "schema": { "type": "string" } } }),
    )
}

fn shell(
    schemas: &mut SchemaGenerator,
    id: &str,
    summary: &str,
    parameters: &[Value],
    content: &Value,
) -> Value {
    let told = reference::<Told>(schemas);
    let refusal =
        |words: &str| json!({ "description": words, "content": { "application/json": { "schema": told } } });
    json!({
        "operationId": id,
        "summary": summary,
        "parameters": parameters,
        "responses": {
            "200": { "description": "Done.", "content": content },
            "401": refusal("Not signed in, or the passphrase is asked for once more."),
            "404": refusal("There is no such record."),
            "409": refusal("It was changed elsewhere, or the id was used for something else."),
            "413": refusal("Too large."),
            "415": refusal("Another kind of content was expected."),
            "422": refusal("What was sent cannot be taken."),
            "500": refusal("Our fault; what was saved before is safe."),
            "507": refusal("The disk is full."),
        },
    })
}
