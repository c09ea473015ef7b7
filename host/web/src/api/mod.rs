//! The routes, a file a topic: each declares them and holds their handlers.

mod host;

use crate::routes::Route;

/// Every route, topic by topic.
pub(crate) fn routes() -> Vec<Route> {
    [host::routes()].into_iter().flatten().collect()
}
