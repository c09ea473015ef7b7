//! The routes, a file a topic: each declares them and holds their handlers.

mod athletes;
mod classes;
mod events;
mod exchange;
mod gym;
mod host;
mod kit;
mod ledger;
mod links;
mod login;
mod movements;
mod path;
mod sessions;
mod tokens;
mod users;

use crate::routes::Route;

/// Every route, topic by topic.
pub(crate) fn routes() -> Vec<Route> {
    [
        host::routes(),
        gym::routes(),
        events::routes(),
        ledger::routes(),
        links::routes(),
        login::routes(),
        users::routes(),
        tokens::routes(),
        athletes::routes(),
        kit::routes(),
        movements::routes(),
        sessions::routes(),
        classes::routes(),
        exchange::routes(),
    ]
    .into_iter()
    .flatten()
    .collect()
}
