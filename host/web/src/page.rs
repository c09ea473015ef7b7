//! Plain pages: a heading, a few words, perhaps a form. They load nothing and run nothing.

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{MediaType, Operation, Response as ApiResponse, SchemaObject, StatusCode as ApiStatus};
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use schemars::json_schema;

const LOOK: &str = "\
:root{color-scheme:light dark}\
body{font:18px/1.5 Georgia,serif;max-width:34rem;margin:3rem auto;padding:0 1rem}\
h1{font-size:1.6rem;border-bottom:3px double;padding-bottom:.4rem}\
label{display:block;margin:1rem 0 .2rem}\
input,button{font:inherit;width:100%;padding:.5rem;box-sizing:border-box;border:1px solid;border-radius:0}\
button{margin-top:1.5rem;border-width:2px;cursor:pointer}\
[role=alert]{border-left:.4rem solid;padding-left:.8rem;font-weight:bold}";

/// A page.
pub(crate) struct Page {
    status: StatusCode,
    html: String,
}

/// A field of a form.
pub(crate) struct Field {
    name: &'static str,
    label: &'static str,
    value: String,
    secret: bool,
}

impl Field {
    pub(crate) fn text(name: &'static str, label: &'static str, value: &str) -> Field {
        Field { name, label, value: value.to_owned(), secret: false }
    }

    pub(crate) fn password(name: &'static str, label: &'static str) -> Field {
        Field { name, label, value: String::new(), secret: true }
    }

    fn html(&self) -> String {
        let Field { name, label, value, secret } = self;
        let kind = match (secret, *name) {
            (true, _) => "type=\"password\" autocomplete=\"new-password\"",
            (false, "login") => "type=\"text\" autocomplete=\"username\"",
            (false, _) => "type=\"text\" autocomplete=\"off\"",
        };
        let value = escaped(value);
        format!(
            "<label for=\"{name}\">{label}</label>\
             <input id=\"{name}\" name=\"{name}\" {kind} value=\"{value}\" required>\n"
        )
    }
}

/// A page with words.
pub(crate) fn plain(heading: &str, words: &str, status: StatusCode) -> Page {
    Page { status, html: whole(heading, &format!("<p>{}</p>\n", escaped(words))) }
}

/// A page with a form, that is sent to where the page is. With a problem, it says that.
pub(crate) fn form(heading: &str, words: &str, fields: Vec<Field>, problem: Option<String>) -> Page {
    let mut body = format!("<p>{}</p>\n", escaped(words));
    if let Some(problem) = &problem {
        body += &format!("<p role=\"alert\">{}</p>\n", escaped(problem));
    }
    body += "<form method=\"post\">\n";
    body.extend(fields.iter().map(Field::html));
    body += "<button>Go on</button>\n</form>\n";
    let status = if problem.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Page { status, html: whole(heading, &body) }
}

fn whole(heading: &str, body: &str) -> String {
    let heading = escaped(heading);
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{heading}: Classwright</title>\n\
         <style>{LOOK}</style>\n<main>\n<h1>{heading}</h1>\n{body}</main>\n</html>\n"
    )
}

/// Text as HTML shows it, also within quotes.
fn escaped(text: &str) -> String {
    let mut html = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => html += "&amp;",
            '<' => html += "&lt;",
            '>' => html += "&gt;",
            '"' => html += "&quot;",
            '\'' => html += "&#39;",
            c => html.push(c),
        }
    }
    html
}

impl IntoResponse for Page {
    fn into_response(self) -> Response {
        let policy = "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; \
                      frame-ancestors 'none'";
        let headers = [
            (CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8")),
            (CACHE_CONTROL, HeaderValue::from_static("no-store")),
            (CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy)),
        ];
        (self.status, headers, self.html).into_response()
    }
}

impl OperationOutput for Page {
    type Inner = String;

    fn inferred_responses(_: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let page = |description: &str| {
            let json_schema = json_schema!({ "type": "string" });
            let schema = Some(SchemaObject { json_schema, external_docs: None, example: None });
            ApiResponse {
                description: description.into(),
                content: [("text/html".to_owned(), MediaType { schema, ..MediaType::default() })].into_iter().collect(),
                ..ApiResponse::default()
            }
        };
        vec![
            (Some(ApiStatus::Code(200)), page("A page.")),
            (Some(ApiStatus::Code(401)), page("The link does not work.")),
            (Some(ApiStatus::Code(422)), page("The form again, with what is not right.")),
            (Some(ApiStatus::Code(429)), page("Too many tries.")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_write_stays_text() {
        let fields = vec![Field::text("name", "Your name", "\"><script>")];
        let page = form("A <b>", "it's", fields, Some("a & b".into()));
        assert_eq!(page.status, 422);
        assert!(!page.html.contains("<script") && !page.html.contains("<b>"), "{}", page.html);
        assert!(page.html.contains("value=\"&quot;&gt;&lt;script&gt;\"") && page.html.contains("a &amp; b"));
    }
}
