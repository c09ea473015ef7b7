//! The API's document: all of the table is in it, it holds together, and it changes only on purpose.

use std::collections::BTreeSet;

use classwright_web::access::May;
use classwright_web::routes::table;
use serde_json::Value;

use crate::call::Call;
use crate::hall::Hall;
use classwright_web::Settings;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/openapi.json");

async fn document() -> Value {
    let hall = Hall::empty(Settings::default()).await;
    Call::get("/openapi.json").of(&hall.outside).await.is(200).json()
}

#[tokio::test]
async fn the_document_is_the_one_that_is_written_down() {
    let text = serde_json::to_string_pretty(&document().await).unwrap() + "\n";
    if std::env::var_os("CLASSWRIGHT_RENEW").is_some() {
        std::fs::write(FILE, &text).unwrap();
    }
    let written = std::fs::read_to_string(FILE).unwrap_or_default();
    let differs = written.lines().zip(text.lines()).position(|(a, b)| a != b);
    assert!(
        written == text,
        "the API has changed, from line {:?} of {FILE} on; if that is meant, renew it with\n  \
         CLASSWRIGHT_RENEW=1 cargo nextest run -p classwright-web openapi",
        differs.map(|line| line + 1)
    );
}

#[tokio::test]
async fn every_route_is_in_it_with_who_may() {
    let document = document().await;
    assert_eq!(document["openapi"], "3.1.0");
    let mut routes = 0;
    for entry in table() {
        let operation = &document["paths"][entry.path][entry.method.as_str().to_lowercase()];
        assert_eq!(operation["operationId"], entry.id);
        assert_eq!(operation["x-may"], entry.access.may.id(), "{}", entry.id);
        let secured = operation["security"].as_array().is_some_and(|schemes| schemes.len() == 2);
        assert_eq!(secured, entry.access.may != May::Everybody, "{}", entry.id);
        let parameters = operation["parameters"].as_array().cloned().unwrap_or_default();
        for name in entry.ids() {
            let is = |parameter: &&Value| parameter["name"] == name && parameter["in"] == "path";
            let parameter = parameters.iter().find(is).unwrap_or_else(|| panic!("{}: {name}", entry.id));
            assert!(parameter["description"].is_string(), "{}: {name}", entry.id);
        }
        let has_key = parameters.iter().any(|parameter| parameter["name"] == "Idempotency-Key");
        assert_eq!(has_key, entry.creates, "{}", entry.id);
        let problem = &operation["responses"]["default"]["content"]["application/problem+json"];
        assert!(problem["schema"].is_object(), "{}", entry.id);
        routes += 1;
    }
    let paths = document["paths"].as_object().unwrap();
    let written: usize = paths.values().map(|item| item.as_object().unwrap().len()).sum();
    assert_eq!(written, routes, "a path in the document is not in the table");
}

#[tokio::test]
async fn everything_that_is_referred_to_is_there_and_used() {
    let document = document().await;
    let mut referred = BTreeSet::new();
    refer(&document, &mut referred);
    let there: BTreeSet<String> = document["components"]["schemas"].as_object().unwrap().keys().cloned().collect();
    let dangling: Vec<_> = referred.difference(&there).collect();
    let unused: Vec<_> = there.difference(&referred).collect();
    assert!(dangling.is_empty() && unused.is_empty(), "dangling: {dangling:?}, unused: {unused:?}");
}

fn refer(value: &Value, referred: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            if let Some(Value::String(reference)) = object.get("$ref") {
                let name = reference.strip_prefix("#/components/schemas/");
                referred.insert(name.unwrap_or_else(|| panic!("{reference} leads elsewhere")).to_owned());
            }
            object.values().for_each(|value| refer(value, referred));
        }
        Value::Array(items) => items.iter().for_each(|value| refer(value, referred)),
        _ => {}
    }
}
