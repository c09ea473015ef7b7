//! The API's document: OpenAPI 3.1, made from the route table and the types of the handlers.

use std::sync::Arc;

use aide::generate::in_context;
use aide::openapi::{
    ApiKeyLocation, License, OpenApi, Operation, Parameter, ParameterData, ParameterSchemaOrContent, PathItem,
    PathStyle, ReferenceOr, SchemaObject, SecurityScheme, Tag,
};
use aide::transform::TransformOpenApi;
use axum::http::Method;
use schemars::generate::SchemaSettings;
use schemars::{SchemaGenerator, json_schema};
use serde_json::json;

use crate::access::May;
use crate::extract::header_parameter;
use crate::problem::{Kind, Problem};
use crate::routes::Entry;

/// Name of the scheme of tokens in the document.
pub(crate) const TOKEN: &str = "token";
/// Name of the scheme of logins in the document.
pub(crate) const LOGIN: &str = "login";

/// What can stand in a path, and what it is.
const IN_PATHS: &[(&str, &str)] = &[
    ("gym", "Id of the gym."),
    ("athlete", "Id of an athlete."),
    ("movement", "Id of a movement."),
    ("place", "`floor`, or the id of a home."),
    ("session", "Id of a session."),
    ("revision", "Number of a revision."),
    ("class", "Id of a class."),
    ("plan", "Id of a plan, such as `monday-2`."),
    ("override", "Id of something set by hand."),
    ("policy", "Name of a policy on the shelf."),
    ("digest", "Digest of a component, hex."),
    ("n", "Number of an entry of somebody's."),
    ("user", "Id of a user."),
    ("token", "Id of a token."),
    ("link", "The secret part of a link that works once."),
];

/// Topics, in order; the part of a route's id before the dot.
const TOPICS: &[(&str, &str)] = &[
    ("gym", "The gym itself: its name, the rules of its floor, and a backup."),
    ("gyms", "Making gyms."),
    ("exchange", "A gym, its roster or one record, out and in."),
    ("athletes", "People who train, with their bests and limitations."),
    ("bests", "What somebody can do at most, with the history."),
    ("limitations", "What somebody cannot do, as they say themselves."),
    ("kit", "What there is to train with."),
    ("movements", "Movements that the gym added or changed."),
    ("sessions", "What coaches wrote, with every revision."),
    ("classes", "Sessions at an hour, with who comes."),
    ("attendance", "Who comes to a class, and who was checked in."),
    ("plans", "Plans of classes: immutable, and computed again to the same bytes."),
    ("cards", "What one athlete does in one class."),
    ("overrides", "What a coach set by hand on a card."),
    ("policies", "The shelf: what policies there are and in which order they are asked."),
    ("users", "Who may log in."),
    ("tokens", "What programs log in with."),
    ("login", "Logging in and out."),
    ("ledger", "Who did what when."),
    ("host", "The host itself."),
];

/// The document, as it is served.
#[derive(Clone, Debug)]
pub(crate) struct Document(Arc<str>);

impl Document {
    pub(crate) fn of(document: &OpenApi) -> Document {
        Document(serde_json::to_string_pretty(document).expect("a document has a JSON form").into())
    }

    pub(crate) fn json(&self) -> String {
        self.0.to_string()
    }
}

/// Makes schemas what OpenAPI 3.1 means by a schema. Called before routes are declared, on the same thread.
pub(crate) fn prepare() {
    in_context(|ctx| {
        ctx.schema = SchemaGenerator::new(SchemaSettings::draft2020_12().with(|settings| {
            settings.definitions_path = "/components/schemas".into();
            settings.meta_schema = None;
        }));
    });
}

/// Writes what the table says into the document.
pub(crate) fn describe<'t>(mut api: TransformOpenApi<'t>, entries: &[Entry]) -> TransformOpenApi<'t> {
    let document = api.inner_mut();
    document.info.title = "Classwright".into();
    document.info.version = "1".into();
    document.info.description = Some(about());
    document.info.license = Some(License {
        name: "MIT OR Apache-2.0".into(),
        identifier: Some("MIT OR Apache-2.0".into()),
        ..License::default()
    });
    let used = |topic: &str| entries.iter().any(|entry| entry.topic() == topic);
    document.tags = TOPICS
        .iter()
        .filter(|(topic, _)| used(topic))
        .map(|(name, words)| Tag { name: (*name).into(), description: Some((*words).into()), ..Tag::default() })
        .collect();
    for entry in entries {
        let item = document.paths.as_mut().and_then(|paths| paths.paths.get_mut(entry.path));
        if let Some(ReferenceOr::Item(item)) = item
            && let Some(operation) = operation(item, &entry.method)
        {
            describe_one(operation, entry);
        }
    }
    api.default_response::<Problem>()
        .security_scheme(
            TOKEN,
            SecurityScheme::Http {
                scheme: "bearer".into(),
                bearer_format: Some("gym.id.secret".into()),
                description: Some("A token, made by a user; it may what its scopes and its user may.".into()),
                extensions: Default::default(),
            },
        )
        .security_scheme(
            LOGIN,
            SecurityScheme::ApiKey {
                location: ApiKeyLocation::Cookie,
                name: "__Host-classwright".into(),
                description: Some(
                    "A login by password; `classwright` where the host speaks plain HTTP. A call that changes \
                     something also sends, in `X-CSRF-Token`, what the login answered."
                        .into(),
                ),
                extensions: Default::default(),
            },
        )
}

fn describe_one(operation: &mut Operation, entry: &Entry) {
    let access = entry.access;
    operation.operation_id = Some(entry.id.into());
    operation.summary = Some(entry.summary.into());
    operation.tags = vec![entry.topic().into()];
    operation.description = Some(access.may.sentence().into());
    operation.extensions.insert("x-may".into(), json!(access.may.id()));
    if access.may != May::Everybody {
        operation.extensions.insert("x-scope".into(), json!(access.scope.id()));
        let token = [(TOKEN.to_owned(), vec![access.scope.id().to_owned()])];
        operation.security = vec![token.into_iter().collect(), [(LOGIN.to_owned(), Vec::new())].into_iter().collect()];
    }
    let ids: Vec<_> = entry.ids().map(path_parameter).map(ReferenceOr::Item).collect();
    operation.parameters.splice(0..0, ids);
    if entry.creates {
        let words = "Up to 200 characters. A call that is sent again with the same key makes nothing twice.";
        in_context(|ctx| header_parameter(ctx, operation, "Idempotency-Key", false, words));
    }
}

fn path_parameter(name: &str) -> Parameter {
    let description = IN_PATHS.iter().find(|(known, _)| *known == name).map(|(_, words)| (*words).to_owned());
    let json_schema = json_schema!({ "type": "string", "minLength": 1 });
    let parameter_data = ParameterData {
        name: name.to_owned(),
        description,
        required: true,
        deprecated: None,
        format: ParameterSchemaOrContent::Schema(SchemaObject { json_schema, external_docs: None, example: None }),
        example: None,
        examples: Default::default(),
        explode: None,
        extensions: Default::default(),
    };
    Parameter::Path { parameter_data, style: PathStyle::Simple }
}

fn operation<'i>(item: &'i mut PathItem, method: &Method) -> Option<&'i mut Operation> {
    match *method {
        Method::GET => item.get.as_mut(),
        Method::POST => item.post.as_mut(),
        Method::PUT => item.put.as_mut(),
        Method::PATCH => item.patch.as_mut(),
        Method::DELETE => item.delete.as_mut(),
        _ => None,
    }
}

impl Entry {
    /// The part of its id before the dot.
    pub fn topic(&self) -> &'static str {
        self.id.split('.').next().unwrap_or(self.id)
    }

    /// The names in its path, in order.
    pub fn ids(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'))
    }
}

/// What the document says at its head: what holds for every path, and every kind of problem.
fn about() -> String {
    let mut text = String::from(
        "A gym's own service. What can be edited says its revision in `ETag`, and a change names that revision in \
         `If-Match`: 428 without it, 412 where somebody was sooner. A list comes in pages: `next` of one is `after` of \
         the next.\n\nWhat is not as asked is answered as `application/problem+json`. Its `type` is \
         `urn:classwright:failure:<kind>` where a policy failed by itself, else `urn:classwright:problem:<kind>`:\n\n\
         | kind | status | what it says |\n| --- | --- | --- |\n",
    );
    for kind in Kind::ALL {
        text += &format!("| {} | {} | {} |\n", kind.id(), kind.status().as_u16(), kind.title());
    }
    text
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::{IN_PATHS, TOPICS};
    use crate::routes::table;

    #[test]
    fn every_route_is_named_once_and_its_words_are_known() {
        let table = table();
        let ids: BTreeSet<&str> = table.iter().map(|entry| entry.id).collect();
        assert_eq!(ids.len(), table.len(), "two routes have one id");
        for entry in &table {
            assert!(TOPICS.iter().any(|(topic, _)| *topic == entry.topic()), "{} has no topic", entry.id);
            for name in entry.ids() {
                assert!(IN_PATHS.iter().any(|(known, _)| *known == name), "{}: say what `{name}` is", entry.path);
            }
        }
    }
}
