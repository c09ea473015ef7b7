//! Errors of a session file, each with its line and a caret.

use std::path::Path;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use classwright_training::notation::NotationError;

/// All errors of a file, in order.
pub(crate) fn session_errors(path: &Path, text: &str, errors: &[NotationError]) -> String {
    let path = path.display().to_string();
    let renderer = Renderer::plain();
    let show = |error: &NotationError| {
        let end = error.span.end.min(text.len());
        let span = error.span.start.min(end)..end;
        if !(text.is_char_boundary(span.start) && text.is_char_boundary(span.end)) || text.is_empty() {
            return format!("error: {path}: {error}");
        }
        let title = match error.text.as_str() {
            "" => format!("expected {}", error.expected),
            found => format!("found `{found}`, expected {}", error.expected),
        };
        let label = error.nearest.as_ref().map_or_else(String::new, |name| format!("did you mean `{name}`?"));
        let snippet =
            Snippet::source(text).path(path.as_str()).annotation(AnnotationKind::Primary.span(span).label(label));
        renderer.render(&[Level::ERROR.primary_title(title).element(snippet)])
    };
    errors.iter().map(show).collect::<Vec<_>>().join("\n\n")
}
